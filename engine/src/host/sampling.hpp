// Draws of figures that are not well known.
#pragma once

#include <cstdint>
#include <limits>
#include <string_view>
#include <vector>

namespace leafhunger {

/// A figure with a spread on either side, as standard deviations, and the bounds that it may not leave. lower <= value <= upper.
struct Spreading {
  double value = 0, minus = 0, plus = 0;
  double lower = -std::numeric_limits<double>::infinity(), upper = std::numeric_limits<double>::infinity();
};

/// The value below which a share u of the truth lies, 0 < u < 1: two half normals that meet at `value`, cut off at the bounds. Never
/// outside them; `value` itself where both spreads are 0.
double quantile_of(const Spreading& figure, double u);

/// One column of a Latin hypercube: n numbers, one in each n-th of 0 to 1, in an order that hangs on seed and name alone.
std::vector<double> latin_column(std::uint64_t seed, std::string_view name, std::size_t n);

/// Quantile p of numbers in ascending order, in line between neighbours (type 7 of Hyndman & Fan 1996).
double quantile_of_sorted(const std::vector<double>& ascending, double p);

}  // namespace leafhunger
