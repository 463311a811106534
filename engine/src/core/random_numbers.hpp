// Random numbers that are a function of seed, day and purpose, and of nothing else: what one draw takes never shifts another.
// Philox4x32-10 (Salmon, Moraes, Dror & Shaw 2011, "Parallel random numbers: as easy as 1, 2, 3", SC11), checked on its known answers.
#pragma once

#include <array>
#include <cstdint>

#include "core/portable_math.hpp"

namespace leafhunger {

using PhiloxWords = std::array<std::uint32_t, 4>;

inline PhiloxWords philox4x32_10(PhiloxWords counter, std::array<std::uint32_t, 2> key) {
  for (int round = 0; round < 10; ++round) {
    const std::uint64_t a = 0xD2511F53ull * counter[0], b = 0xCD9E8D57ull * counter[2];
    counter = {static_cast<std::uint32_t>(b >> 32) ^ counter[1] ^ key[0], static_cast<std::uint32_t>(b),
               static_cast<std::uint32_t>(a >> 32) ^ counter[3] ^ key[1], static_cast<std::uint32_t>(a)};
    key[0] += 0x9E3779B9u;
    key[1] += 0xBB67AE85u;
  }
  return counter;
}

/// The normal number below which a share p of all lie, 0 < p < 1. Rational approximation of P. J. Acklam (2003; relative error at most
/// 1.2e-9), coefficients from memory and held beside the exact function by a test.
inline double normal_quantile(double p) {
  constexpr double a[] = {-3.969683028665376e+01, 2.209460984245205e+02,  -2.759285104469687e+02,
                          1.383577518672690e+02,  -3.066479806614716e+01, 2.506628277459239e+00};
  constexpr double b[] = {-5.447609879822406e+01, 1.615858368580409e+02, -1.556989798598866e+02, 6.680131188771972e+01,
                          -1.328068155288572e+01};
  constexpr double c[] = {-7.784894002430293e-03, -3.223964580411365e-01, -2.400758277161838e+00,
                          -2.549732539343734e+00, 4.374664141464968e+00,  2.938163982698783e+00};
  constexpr double d[] = {7.784695709041462e-03, 3.224671290700398e-01, 2.445134137142996e+00, 3.754408661907416e+00};
  constexpr double k_low = 0.02425;
  if (p > 0.5) return -normal_quantile(1 - p);  // symmetric to the last bit
  if (p < k_low) {
    const double q = std::sqrt(-2 * portable::log(p));
    return (((((c[0] * q + c[1]) * q + c[2]) * q + c[3]) * q + c[4]) * q + c[5]) / ((((d[0] * q + d[1]) * q + d[2]) * q + d[3]) * q + 1);
  }
  const double q = p - 0.5, r = q * q;
  return (((((a[0] * r + a[1]) * r + a[2]) * r + a[3]) * r + a[4]) * r + a[5]) * q /
         (((((b[0] * r + b[1]) * r + b[2]) * r + b[3]) * r + b[4]) * r + 1);
}

/// Share of normal numbers below x (Abramowitz & Stegun 1964, 26.2.17; error below 7.5e-8), symmetric so that its mean is exactly one half.
inline double normal_share(double x) {
  const double z = x < 0 ? -x : x;
  if (z > 30) return x < 0 ? 0 : 1;
  const double t = 1 / (1 + 0.2316419 * z);
  const double tail = 0.3989422804014327 * portable::exp(-0.5 * z * z) * t *
                      (0.319381530 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  return x < 0 ? tail : 1 - tail;
}

/// The draws of one day.
class DayDraws {
 public:
  DayDraws(std::uint64_t seed, std::uint32_t day)
      : key_{static_cast<std::uint32_t>(seed), static_cast<std::uint32_t>(seed >> 32)}, day_(day) {}

  /// Two numbers evenly spread over 0 <= u < 1, in steps of 2^-53, for one purpose.
  std::array<double, 2> uniform(std::uint32_t purpose, std::uint32_t attempt = 0) const {
    const PhiloxWords w = philox4x32_10({day_, purpose, attempt, 0}, key_);
    return {unit(w[0], w[1]), unit(w[2], w[3])};
  }
  /// Two independent normal numbers.
  std::array<double, 2> normal(std::uint32_t purpose) const {
    const auto u = uniform(purpose);
    return {normal_quantile(open(u[0])), normal_quantile(open(u[1]))};
  }
  /// Gamma-distributed with mean `shape` and unit scale (Marsaglia & Tsang 2000, ACM TOMS 26:363-372; for shape < 1 their boost by a
  /// power).
  double gamma(std::uint32_t purpose, double shape) const {
    const double above = shape < 1 ? shape + 1 : shape;
    const double d = above - 1.0 / 3, c = 1 / std::sqrt(9 * d);
    for (std::uint32_t attempt = 0;; ++attempt) {
      const auto u = uniform(purpose, attempt);
      const double x = normal_quantile(open(u[0]));
      const double root = 1 + c * x;
      if (root <= 0) continue;
      const double v = root * root * root;
      if (portable::log(open(u[1])) >= 0.5 * x * x + d - d * v + d * portable::log(v)) continue;
      if (shape >= 1) return d * v;
      return d * v * portable::exp(portable::log(open(uniform(purpose + 1, attempt)[0])) / shape);
    }
  }

 private:
  static double unit(std::uint32_t high, std::uint32_t low) {
    return (static_cast<double>(high >> 5) * 67108864.0 + static_cast<double>(low >> 6)) / 9007199254740992.0;
  }
  static double open(double u) { return u > 0 ? u : 0.5 / 9007199254740992.0; }  // 0 < u < 1

  std::array<std::uint32_t, 2> key_;
  std::uint32_t day_;
};

}  // namespace leafhunger
