#include "core/year_curve.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "core/portable_math.hpp"

namespace leafhunger {

namespace {

constexpr std::array<std::size_t, 13> k_first_day = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365};
constexpr std::size_t k_harmonics = 18, k_waves = 2 * k_harmonics;
constexpr std::size_t k_unknowns = 13;  // twelve forces on the months and the year's mean

using Waves = std::array<double, k_waves>;
using System = std::array<std::array<double, k_unknowns + 1>, k_unknowns>;

/// Cosine and sine of each harmonic at the middle of a day.
Waves waves_at(std::size_t day) {
  Waves w;
  for (std::size_t k = 1; k <= k_harmonics; ++k) {
    // Whole half-days, so that the argument is exact before the division.
    const double turns = static_cast<double>(k * (2 * day + 1) % (2 * k_year_days)) / (2.0 * k_year_days);
    w[2 * k - 2] = portable::cos_turns(turns);
    w[2 * k - 1] = portable::sin_turns(turns);
  }
  return w;
}

struct Basis {
  std::vector<Waves> day;
  std::array<Waves, 12> month{};  // averages

  Basis() : day(k_year_days) {
    for (std::size_t d = 0; d < k_year_days; ++d) day[d] = waves_at(d);
    for (std::size_t m = 0; m < 12; ++m) {
      for (std::size_t d = k_first_day[m]; d < k_first_day[m + 1]; ++d) {
        for (std::size_t i = 0; i < k_waves; ++i) month[m][i] += day[d][i] * weight_of_year_day(d) / k_days_of_month[m];
      }
    }
  }
};

const Basis& basis() {
  static const Basis b;
  return b;
}

/// Gaussian elimination with the greatest pivot; the system is small and well posed.
std::array<double, k_unknowns> solve(System a) {
  for (std::size_t i = 0; i < k_unknowns; ++i) {
    std::size_t pivot = i;
    for (std::size_t r = i + 1; r < k_unknowns; ++r) {
      if (std::abs(a[r][i]) > std::abs(a[pivot][i])) pivot = r;
    }
    std::swap(a[i], a[pivot]);
    for (std::size_t r = 0; r < k_unknowns; ++r) {
      if (r == i) continue;
      const double share = a[r][i] / a[i][i];
      for (std::size_t c = i; c <= k_unknowns; ++c) a[r][c] -= share * a[i][c];
    }
  }
  std::array<double, k_unknowns> x;
  for (std::size_t i = 0; i < k_unknowns; ++i) x[i] = a[i][k_unknowns] / a[i][i];
  return x;
}

}  // namespace

std::size_t month_of_year_day(std::size_t day) {
  return static_cast<std::size_t>(std::upper_bound(k_first_day.begin(), k_first_day.end(), day) - k_first_day.begin()) - 1;
}

double weight_of_year_day(std::size_t day) { return day == 58 ? 1.2425 : 1; }

std::array<double, 12> month_averages(const std::vector<double>& year) {
  std::array<double, 12> sum{};
  for (std::size_t d = 0; d < k_year_days; ++d) sum[month_of_year_day(d)] += year[d] * weight_of_year_day(d);
  for (std::size_t m = 0; m < 12; ++m) sum[m] /= k_days_of_month[m];
  return sum;
}

std::vector<double> smooth_year(const std::array<double, 12>& averages) {
  // Least sum of k^4 (a_k^2 + b_k^2) under twelve conditions: coefficients = waves of the months x forces / k^4, the forces balance, and
  // a mean is free.
  const Basis& b = basis();
  Waves softness;
  for (std::size_t k = 1; k <= k_harmonics; ++k) {
    const double k2 = static_cast<double>(k * k);
    softness[2 * k - 2] = softness[2 * k - 1] = 1 / (k2 * k2);
  }
  System a{};
  for (std::size_t m = 0; m < 12; ++m) {
    for (std::size_t n = 0; n < 12; ++n) {
      for (std::size_t i = 0; i < k_waves; ++i) a[m][n] += b.month[m][i] * softness[i] * b.month[n][i];
    }
    a[m][12] = a[12][m] = 1;
    a[m][13] = averages[m];
  }
  const auto forces = solve(a);
  Waves coefficient{};
  for (std::size_t m = 0; m < 12; ++m) {
    for (std::size_t i = 0; i < k_waves; ++i) coefficient[i] += softness[i] * b.month[m][i] * forces[m];
  }
  std::vector<double> year(k_year_days, forces[12]);
  for (std::size_t d = 0; d < k_year_days; ++d) {
    for (std::size_t i = 0; i < k_waves; ++i) year[d] += coefficient[i] * b.day[d][i];
  }
  return year;
}

std::vector<double> stepped_year(const std::array<double, 12>& averages) {
  std::vector<double> year(k_year_days);
  for (std::size_t d = 0; d < k_year_days; ++d) year[d] = averages[month_of_year_day(d)];
  return year;
}

std::vector<double> year_above(const std::array<double, 12>& averages, double floor) {
  auto year = smooth_year(averages);
  if (*std::min_element(year.begin(), year.end()) <= floor) year = stepped_year(averages);
  return year;
}

}  // namespace leafhunger
