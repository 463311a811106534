// Exponential and logarithm from nothing but +, -, x, / and bits, so that loops over lanes vectorise and every machine gives the same
// bytes. A season calls them thousands of times a member; the C library's take one lane at a time.
#pragma once

#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <utility>

// One copy for each instruction set that pays; contraction is off, so all give the same bytes. Sanitizers know no such dispatch.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define LANE_MATH_CLONES __attribute__((target_clones("arch=x86-64-v4", "avx2", "default")))
#else
#define LANE_MATH_CLONES
#endif

namespace lane_math {

/// c[0] + c[1] x, c[2] + c[3] x, ... and a last one that has no fellow.
template <std::size_t n, std::size_t... k>
__attribute__((always_inline)) inline std::array<double, (n + 1) / 2> pairs(double x, const std::array<double, n>& c,
                                                                            std::index_sequence<k...>) {
  if constexpr (n % 2 == 0)
    return {(c[2 * k] + c[2 * k + 1] * x)...};
  else
    return {(c[2 * k] + c[2 * k + 1] * x)..., c[n - 1]};
}

/// c[0] + c[1] x + c[2] x^2 + ... by pairs, then pairs of pairs (Estrin 1960): few of its steps wait for the one before, as all would in
/// Horner's order. Written out by the compiler, since a loop inside a loop would keep the outer one from vectorising.
template <std::size_t n>
__attribute__((always_inline)) inline double polynomial(double x, const std::array<double, n>& c) {
  if constexpr (n == 1) {
    return c[0];
  } else {
    return polynomial(x * x, pairs(x, c, std::make_index_sequence<n / 2>{}));
  }
}

/// e to the x for x from -700 (below it counts as that) to 700, within 2 units in the last place.
__attribute__((always_inline)) inline double exp(double x) {
  constexpr double k_per_ln2 = 0x1.71547652b82fep0, k_high = 0x1.62e42fee00000p-1, k_low = 0x1.a39ef35793c76p-33;
  constexpr double k_whole = 0x1.8p52;  // adding it rounds to a whole number, which then stands in the low bits
  const double held = x > -700 ? x : -700;
  const double shifted = held * k_per_ln2 + k_whole, k = shifted - k_whole;
  const double r = (held - k * k_high) - k * k_low;  // |r| <= 0.347
  // Taylor to the 13th: the next term is below 1e-17.
  constexpr std::array<double, 14> k_taylor{
      1.0,        1.0,         0.5,          1.0 / 6,       1.0 / 24,       1.0 / 120,       1.0 / 720,
      1.0 / 5040, 1.0 / 40320, 1.0 / 362880, 1.0 / 3628800, 1.0 / 39916800, 1.0 / 479001600, 1.0 / 6227020800};
  const double sum = polynomial(r, k_taylor);
  const auto two_to_k = (std::bit_cast<std::uint64_t>(shifted) << 52) + (std::uint64_t{1023} << 52);
  return sum * std::bit_cast<double>(two_to_k);
}

/// Natural logarithm of x, 1 or more: absolutely within 1e-15 of 1 + itself.
__attribute__((always_inline)) inline double log_above_one(double x) {
  constexpr std::uint64_t k_exponent = 0x7ff0000000000000, k_one = 0x3ff0000000000000, k_whole_bits = 0x4330000000000000;
  const auto bits = std::bit_cast<std::uint64_t>(x);
  const double twos = std::bit_cast<double>(k_whole_bits | (bits >> 52)) - (0x1p52 + 1023);
  const double m = std::bit_cast<double>((bits & ~k_exponent) | k_one);  // 1 to 2
  const bool upper = m > 0x1.6a09e667f3bcdp0;
  const double near_one = upper ? 0.5 * m : m, e = upper ? twos + 1 : twos;
  const double s = (near_one - 1) / (near_one + 1), s2 = s * s;  // log = 2 artanh s, |s| < 0.172
  constexpr std::array<double, 11> k_odd{1.0,      1.0 / 3,  1.0 / 5,  1.0 / 7,  1.0 / 9, 1.0 / 11,
                                         1.0 / 13, 1.0 / 15, 1.0 / 17, 1.0 / 19, 1.0 / 21};
  const double sum = polynomial(s2, k_odd);
  return e * 0x1.62e42fefa39efp-1 + 2 * s * sum;
}

}  // namespace lane_math
