// A thin C++ skin for authors of plugins: tables filled by name, rows by index, loops over members that let nothing through, and the smooth
// minimum that the host uses too. Header only; needs no library. What it writes is plain plugin.h: a plugin may mix both.
#pragma once

#include <cmath>
#include <cstddef>
#include <span>

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

/// A release model by the names of its parts, in this order; what is left out is empty. See plugin.h for what each means.
///   constexpr lh_release k_model = release({.name = "my-feed", ..., .pools = k_pools, .start = start, .rates = rates});
/// `start` and `rates` as the C line has them; `bend` and `check` may be left out.
struct ReleaseParts {
  const char *name = nullptr, *version = "1.0", *summary = nullptr, *licence = nullptr, *source = nullptr;
  std::span<const lh_parameter> parameters = {};
  std::span<const lh_response> responses = {};
  std::span<const lh_pool> pools = {};
  std::span<const lh_flow> flows = {};
  std::span<const lh_named> ages = {};
  int32_t (*start)(const lh_day*, double*, double*, double*) = nullptr;
  int32_t (*rates)(const lh_day*, const double*, const double*, double*, double*) = nullptr;
  int32_t (*bend)(int32_t, const double*, const double*, const double*, const double*, double*) = nullptr;
  int32_t (*check)(const double*, char*, int32_t) = nullptr;
};

constexpr lh_release release(const ReleaseParts& p) {
  const auto count = [](const auto& rows) { return static_cast<int32_t>(rows.size()); };
  return {sizeof(lh_release),
          {p.name, p.version, p.summary, p.licence, p.source, count(p.parameters), p.parameters.data(), p.check},
          count(p.responses),
          count(p.pools),
          count(p.flows),
          count(p.ages),
          p.responses.data(),
          p.pools.data(),
          p.flows.data(),
          p.ages.data(),
          p.start,
          p.rates,
          p.bend};
}

/// A flow out of a pool of the plugin into another (an index) or out of it (LH_AMMONIUM, LH_NITRATE, LH_SURFACE_AMMONIUM, LH_AIR).
constexpr lh_flow flow(const char* name, int from, int to) { return {name, from, to, from, 0, 0, {0, 0}}; }

/// One member of a day: its parameters, responses and what was given to it by index, and its place in rows.
class Lane {
 public:
  Lane(const lh_day& day, int i) : day_(&day), i_(i) {}
  double parameter(int p) const { return row(day_->parameter, p, day_->m_pad)[i_]; }
  double response(int r) const { return row(day_->response, r, day_->m_pad)[i_]; }
  double given() const { return day_->given_kg_n_ha[i_]; }
  double of(const double* rows, int r = 0) const { return row(rows, r, day_->m_pad)[i_]; }
  double& in(double* rows, int r = 0) const { return row(rows, r, day_->m_pad)[i_]; }
  const lh_day& day() const { return *day_; }
  int index() const { return i_; }

 private:
  const lh_day* day_;
  int i_;
};

/// Calls `work(Lane)` for each member and answers LH_OK; whatever is thrown becomes LH_FAILED, since nothing may be thrown across the line.
template <class Work>
int32_t each_member(const lh_day* day, const Work& work) noexcept {
  try {
    for (int i = 0; i < day->m_pad; ++i) work(Lane(*day, i));
    return LH_OK;
  } catch (...) {
    return LH_FAILED;
  }
}

/// What `leafhunger_plugins` answers for these models (lh_release or lh_demand, of static storage):
///   LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return plugins_of<k_model>(); }
template <const lh_release&... models>
const lh_plugins* plugins_of() {
  static constexpr const lh_release* k_table[] = {&models...};
  static constexpr lh_plugins k_plugins = {LH_ABI, sizeof(lh_plugins), static_cast<int32_t>(sizeof...(models)), 0, k_table, nullptr};
  return &k_plugins;
}
template <const lh_demand&... models>
requires(sizeof...(models) > 0) const lh_plugins* plugins_of() {
  static constexpr const lh_demand* k_table[] = {&models...};
  static constexpr lh_plugins k_plugins = {LH_ABI, sizeof(lh_plugins), 0, static_cast<int32_t>(sizeof...(models)), nullptr, k_table};
  return &k_plugins;
}

}  // namespace leafhunger::sdk
