// A dose as hands and scales measure it. One rule for every answer and page, so that one dose is said with one weight everywhere.
#pragma once

#include <string>

namespace leafhunger {

/// "1 handful", "1 and a half handfuls"; `count` in halves.
std::string words_of_count(double count, const std::string& one, const std::string& many);
/// "56 g", "2.8 kg", below 10 g "7.5 g".
std::string weight_of_dose(double grams);
/// "half a handful", "2 and a half handfuls", from a dozen on "4 trowels", up to a dozen of those: the half or whole number of them that is
/// within a tenth of it. Empty where none is: who filled half a handful for 40 g, of 56 to the handful, would give far too little. A
/// measure of 0 g is not named.
std::string words_of_scoops(double grams, double handful_g, double trowel_g);
/// "3 handfuls (168 g)", or grams alone where no number of scoops is near.
std::string in_hand_and_scale(double grams, double handful_g, double trowel_g);
/// "168 g (3 handfuls)", or grams alone.
std::string in_scale_and_hand(double grams, double handful_g, double trowel_g);

}  // namespace leafhunger
