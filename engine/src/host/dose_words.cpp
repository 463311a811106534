#include "dose_words.hpp"

#include <cmath>

#include "season_answers.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

constexpr double k_many = 12;            // a person loses count of more
constexpr double k_near_enough = 0.1;    // our own figure: hands differ by more
constexpr double k_tenths_below_g = 10;  // from here on a kitchen scale's grams will do

// "" where no half or whole number of `one` is near, or too many are.
std::string counted_scoops(double grams, double scoop_g, const char* one, const char* many) {
  const double count = grams / scoop_g, near = std::round(count * 2) / 2;
  return near < 0.5 || near > k_many || std::abs(count - near) > k_near_enough * near ? "" : words_of_count(near, one, many);
}

}  // namespace

std::string words_of_count(double count, const std::string& one, const std::string& many) {
  const double whole = std::floor(count);
  if (count == 0.5) return "half a " + one;
  return input::plain(whole) + (count > whole ? " and a half " : " ") + (count == 1 ? one : many);
}

std::string weight_of_dose(double grams) {
  return grams < k_tenths_below_g ? input::plain(std::round(grams * 10) / 10) + " g" : weight(grams);
}

std::string words_of_scoops(double grams, double handful_g, double trowel_g) {
  if (handful_g > 0 && std::round(2 * grams / handful_g) / 2 < k_many) return counted_scoops(grams, handful_g, "handful", "handfuls");
  return trowel_g > 0 ? counted_scoops(grams, trowel_g, "trowel", "trowels") : "";
}

std::string in_hand_and_scale(double grams, double handful_g, double trowel_g) {
  const std::string scoops = words_of_scoops(grams, handful_g, trowel_g);
  return scoops.empty() ? weight_of_dose(grams) : scoops + " (" + weight_of_dose(grams) + ")";
}

std::string in_scale_and_hand(double grams, double handful_g, double trowel_g) {
  const std::string scoops = words_of_scoops(grams, handful_g, trowel_g);
  return weight_of_dose(grams) + (scoops.empty() ? "" : " (" + scoops + ")");
}

}  // namespace leafhunger
