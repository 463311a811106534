// Amounts as people say them: "2 handfuls a plant", "half a 15 kg bag", "3 oz per square yard", "20 ml per can, 2 cans each".
#pragma once

#include <string>
#include <string_view>

#include "leafhunger/scenario.hpp"

namespace leafhunger {

/// What was said, in measures that an Amount has. Ounces, pounds, gallons and yards go by their definitions (units.hpp); a mug is 300 ml, a
/// bucket or a watering can 10 l, a spoon 5 or 15 ml, a barrow 85 l (common practice, no source).
struct SpokenAmount {
  double value = 0;  ///< above 0
  Amount::Measure measure = Amount::Measure::grams;
  enum class For { unsaid, m2, plant, all };
  For per = For::unsaid;  ///< `all`: of everything that it is given to, together
};

/// Where a sentence about what was said begins: InputFault's first two parts.
struct SaidAt {
  std::string file, place;
};

/// Throws InputError where a word is not known, a number is missing, or a word means several things (a gallon, a cup, "2 to 3"): then the
/// choices are named. `bag_kg` is what the material is sold in, for "half a bag"; 0 where it is not known.
SpokenAmount parse_amount(std::string_view text, double bag_kg, const SaidAt& at);

}  // namespace leafhunger
