// A thin C++ skin for authors of plugins: rows by index, and the smooth minimum that the host uses too. Header only; needs no library.
#pragma once

#include <cmath>
#include <cstddef>

#include "leafhunger/plugin.h"

#define LH_EXPORT extern "C" __attribute__((visibility("default")))

namespace leafhunger::sdk {

/// Row `i` of a `[rows][m_pad]` array.
inline const double* row(const double* base, int i, int m_pad) { return base + static_cast<std::ptrdiff_t>(i) * m_pad; }
inline double* row(double* base, int i, int m_pad) { return base + static_cast<std::ptrdiff_t>(i) * m_pad; }

/// A smooth minimum: never above min(a, b), 0 where either is 0, (1 - e) a where a = b. a, b >= 0.
inline double smin(double a, double b, double e) {
  const double total = a + b + std::sqrt((a - b) * (a - b) + 4 * e * e * a * b);
  return total > 0 ? 2 * (1 - e * e) * a * b / total : 0.0;
}

inline double clip(double x, double low, double high) { return x < low ? low : x > high ? high : x; }

}  // namespace leafhunger::sdk
