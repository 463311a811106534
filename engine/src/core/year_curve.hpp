// Seasonal courses through monthly means: the smoothest curve whose average over each calendar month is exactly the given figure.
#pragma once

#include <array>
#include <vector>

#include "leafhunger/normals.hpp"

namespace leafhunger {

inline constexpr std::size_t k_year_days = 365;

/// 0-11, of the days of a common year.
std::size_t month_of_year_day(std::size_t day);
/// How often a day of the common year comes in a mean year: 1, but 1.2425 for 28 February, which stands for the 29th too.
double weight_of_year_day(std::size_t day);
/// Averages over the calendar months.
std::array<double, 12> month_averages(const std::vector<double>& year);

/// A sum of yearly harmonics (first to eighteenth) with the given averages and the least mean square of its second derivative.
std::vector<double> smooth_year(const std::array<double, 12>& averages);
/// Each day as its month's figure: for months so unlike that a smooth curve would leave its bounds.
std::vector<double> stepped_year(const std::array<double, 12>& averages);
/// The smooth curve where it stays above `floor`, else the stepped one.
std::vector<double> year_above(const std::array<double, 12>& averages, double floor);

}  // namespace leafhunger
