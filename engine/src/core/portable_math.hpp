// Logarithm, exponential, sine and the like from nothing but +, -, x, / and square root, which IEEE 754 fixes to the last bit. The C
// library's own differ from one machine to the next in the last bit, and generated weather is to have the same bytes everywhere. Errors are
// a few units in the last place (tests/unit/generator_test.cpp holds them beside the library's).
#pragma once

#include <cmath>
#include <numbers>

namespace leafhunger::portable {

/// Natural logarithm, x > 0.
inline double log(double x) {
  int exponent = 0;
  double m = std::frexp(x, &exponent);  // exact
  if (m < 0.5 * std::numbers::sqrt2) {
    m *= 2;
    --exponent;
  }
  const double s = (m - 1) / (m + 1), s2 = s * s;  // log m = 2 artanh s, |s| < 0.172
  double sum = 0;
  for (int k = 21; k >= 1; k -= 2) sum = sum * s2 + 1.0 / k;
  return exponent * std::numbers::ln2 + 2 * s * sum;
}

/// e to the x, x < 700.
inline double exp(double x) {
  if (x < -745) return 0;
  const double k = std::floor(x / std::numbers::ln2 + 0.5);
  constexpr double k_high = 0x1.62e42fee00000p-1, k_low = 0x1.a39ef35793c76p-33;  // ln 2 in two parts, so that k x high is exact
  const double r = (x - k * k_high) - k * k_low;
  double sum = 1;
  for (int i = 14; i >= 1; --i) sum = 1 + sum * r / i;
  return std::ldexp(sum, static_cast<int>(k));  // exact
}

/// Sine of a number of whole turns: sin(2 pi turns).
inline double sin_turns(double turns) {
  double t = turns - std::floor(turns + 0.5);  // -0.5 to 0.5
  if (t > 0.25) t = 0.5 - t;
  if (t < -0.25) t = -0.5 - t;
  const double x = 2 * std::numbers::pi * t, x2 = x * x;
  double sum = 1;
  for (int k = 23; k >= 3; k -= 2) sum = 1 - sum * x2 / (k * (k - 1));
  return x * sum;
}

inline double cos_turns(double turns) { return sin_turns(turns + 0.25); }

/// Arc sine, |x| <= 0.5.
inline double asin_half(double x) {
  double term = x, sum = x;
  for (int k = 1; k < 26; ++k) {
    term *= x * x * (2 * k - 1) * (2 * k - 1) / (2.0 * k * (2 * k + 1));
    sum += term;
  }
  return sum;
}

}  // namespace leafhunger::portable
