// Smooth minimum and smooth positive part: the corners of the column's right-hand side. (equations.md 10.)
#pragma once

#include <cmath>

namespace leafhunger {

/// x, or 0 where it is below: written so that it compiles to one instruction.
inline double positive(double x) { return x > 0 ? x : 0; }

/// A smooth minimum, kin of the non-rectangular hyperbola: 0 <= smin <= min(a, b), 0 where either is 0, smooth; at a = b it is (1 - e) a,
/// far from the corner (1 - e^2) of the lesser. a, b >= 0.
inline double smin(double a, double b, double e = 0.05) {
  const double total = a + b + std::sqrt((a - b) * (a - b) + 4 * e * e * a * b);
  return 2 * (1 - e * e) * a * b / (total > 0 ? total : 1);
}

/// smin(a, b)/b without 0/0: the coefficient with which b is drawn on. 0 where both are 0.
inline double smin_share(double a, double b, double e = 0.05) {
  const double total = a + b + std::sqrt((a - b) * (a - b) + 4 * e * e * a * b);
  return 2 * (1 - e * e) * a / (total > 0 ? total : 1);
}

/// 0 for x <= 0, x^2/2d up to d, then x - d/2: once differentiable. d > 0.
inline double ramp(double x, double d) {
  const double inside = x < d ? x * x / (2 * d) : x - d / 2;
  return x > 0 ? inside : 0;
}

}  // namespace leafhunger
