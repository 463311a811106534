#include "sampling.hpp"

#include <algorithm>
#include <cmath>

#include "core/random_numbers.hpp"

namespace leafhunger {
namespace {

// FNV-1a, 64 bits: a name as a number, the same everywhere.
std::uint64_t number_of(std::string_view name) {
  std::uint64_t h = 0xcbf29ce484222325ull;
  for (const char c : name) h = (h ^ static_cast<unsigned char>(c)) * 0x100000001b3ull;
  return h;
}

}  // namespace

double quantile_of(const Spreading& f, double u) {
  if (f.minus <= 0 && f.plus <= 0) return f.value;
  // The bounds in standard deviations. A side without spread ends at the value.
  const auto share_below = [&](double bound, double spread) {
    if (spread <= 0) return 0.5;
    const double z = (bound - f.value) / spread;
    return std::isinf(z) ? (z < 0 ? 0.0 : 1.0) : normal_share(z);
  };
  const double from = share_below(f.lower, f.minus), to = share_below(f.upper, f.plus);
  constexpr double k_edge = 1e-12;
  const double z = normal_quantile(std::clamp(from + u * (to - from), k_edge, 1 - k_edge));
  return std::clamp(f.value + z * (z < 0 ? f.minus : f.plus), f.lower, f.upper);
}

std::vector<double> latin_column(std::uint64_t seed, std::string_view name, std::size_t n) {
  const std::uint64_t h = number_of(name);
  const DayDraws draws(seed ^ h, static_cast<std::uint32_t>(h >> 32));
  std::vector<double> u(n);
  for (std::size_t i = 0; i < n; ++i) u[i] = static_cast<double>(i);
  for (std::size_t i = n; i-- > 1;) {
    const auto j = static_cast<std::size_t>(draws.uniform(static_cast<std::uint32_t>(i))[0] * static_cast<double>(i + 1));
    std::swap(u[i], u[std::min(j, i)]);
  }
  for (std::size_t i = 0; i < n; ++i) u[i] = (u[i] + draws.uniform(static_cast<std::uint32_t>(i), 1)[1]) / static_cast<double>(n);
  return u;
}

double quantile_of_sorted(const std::vector<double>& x, double p) {
  const double at = p * static_cast<double>(x.size() - 1);
  const auto k = static_cast<std::size_t>(at);
  if (k + 1 >= x.size()) return x.back();
  return x[k] + (at - static_cast<double>(k)) * (x[k + 1] - x[k]);
}

}  // namespace leafhunger
