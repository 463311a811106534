// What growers share: growth by light and warmth that closes its own canopy (expolinear, Goudriaan & Monteith 1990), the nitrogen of a
// critical dilution curve (Lemaire & Gastal 1997), roots that go down with the warmth, and the parameters of all that. When a plant is in
// leaf and what it drops is in seasons.hpp.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <initializer_list>

#include "../release/say_why.hpp"
#include "lane_math.hpp"
#include "leafhunger/plugin_sdk.hpp"

namespace grower {

using leafhunger::sdk::clip;
using leafhunger::sdk::plugins_of;
using leafhunger::sdk::row;
using leafhunger::sdk::smin;

/// A model adds its own after these.
enum Parameter {
  p_base,
  p_optimum,
  p_ceiling,
  p_light,
  p_closure,
  p_most,
  p_start,
  p_a,
  p_b,
  p_luxury,
  p_kcb,
  p_depletion,
  p_root_start,
  p_root_most,
  p_root_speed,
  p_perennial_roots,
  p_lag,
  p_dry_lowers_n,
  n_parameter
};

inline constexpr lh_parameter k_parameters[n_parameter] = {
    {"base_c", "degC", "growth ceases below", "banana 10: Tropical Fruits citing Turner 1994", 10, -2, 20},
    {"optimum_c", "degC", "dry matter is made fastest at", "banana about 20: Tropical Fruits citing Turner 1994", 20, 10, 36},
    {"ceiling_c", "degC", "growth ceases above", "banana 38: Tropical Fruits citing Turner 1994", 38, 22, 48},
    {"radiation_use_g_mj", "g/MJ", "dry matter for each MJ of global radiation caught",
     "from memory; canna grows 12.7-19.3 g/m2/d, Imai et al. 1993", 1.2, 0.02, 2.5},
    {"closure_t_ha", "t/ha", "dry matter at which leaves shade 63 % of the ground", "our own guess, from leaf area of cabbage and canna", 2,
     0.3, 8},
    {"ceiling_t_ha", "t/ha", "dry matter at which growth stops", "our own guess", 40, 2, 100},
    {"start_t_ha", "t/ha", "shoots at waking", "our own guess", 0.2, 0.01, 2},
    {"critical_a_percent", "%", "critical N at 1 t/ha of the power curve", "C3 reference 4.8, quoted by Errecart et al.", 4.8, 1, 7},
    {"critical_b", "-", "exponent of dilution", "C3 reference 0.34 (from memory; 0.32 quoted)", 0.34, 0, 0.7},
    {"luxury", "-", "plant N stops at this many times critical N", "Plenet & Lemaire 2000; index plateau 1.2-1.4", 1.2, 1, 2},
    {"basal_coefficient", "-", "K_cb at full cover", "FAO-56 Table 12, banana 1.1", 1.1, 0.1, 1.4},
    {"depletion_frac", "-", "p: share of available water used before stress, at 5 mm/d", "FAO-56 Table 22, banana 0.35", 0.35, 0.1, 0.8},
    {"root_start_mm", "mm", "root depth at the start of a season, where roots restart", "our own guess", 200, 20, 1500},
    {"root_depth_mm", "mm", "greatest root depth", "banana: Carr 2009", 400, 50, 3000},
    {"root_mm_per_c_day", "mm/degC/d", "speed of the root front", "0.7-1.2 as quoted by Pedersen et al. 2009", 0.8, 0, 3},
    {"perennial_roots", "-", "1: roots keep their depth over winter", "habit of the plant", 0, 0, 1},
    {"lag_d", "d", "lag of the air mean that wakes and sleeps it", "our own guess", 7, 1, 30},
    {"dry_lowers_n", "-", "share of the fall of critical N in dry soil that is counted: 0 none, 1 all of 0.83 Ks + 0.22, at most 1",
     "Errecart et al. (tall fescue); Ks here by layer 2 of the day before, which dries ahead of the root zone: 0 by default", 0, 0, 1},
};

/// Another default for a shared parameter, with its own source.
struct Change {
  Parameter parameter;
  double def;
  const char* source;
};

/// The shared parameters, some of them with other defaults, and then a model's own.
template <std::size_t n_own>
constexpr std::array<lh_parameter, n_parameter + n_own> parameters(const lh_parameter (&own)[n_own],
                                                                   std::initializer_list<Change> changes = {}) {
  std::array<lh_parameter, n_parameter + n_own> all{};
  for (std::size_t i = 0; i < n_parameter; ++i) all[i] = k_parameters[i];
  for (std::size_t i = 0; i < n_own; ++i) all[n_parameter + i] = own[i];
  for (const Change& c : changes) all[c.parameter].def = c.def, all[c.parameter].source = c.source;
  return all;
}

/// A model adds its own after these.
enum Memory { m_lag, m_awake, m_root, m_last_day, n_memory };
inline constexpr lh_named k_lag{"lagged air", "degC", "air mean behind by lag_d"};
inline constexpr lh_named k_awake{"awake", "-", "1 while in leaf"};
inline constexpr lh_named k_root{"root front", "mm", "depth reached"};
inline constexpr lh_named k_last_day{"last day", "d", "day of the year before"};

enum Factor { f_light, f_standing, f_lowered, n_factor };
inline constexpr lh_named k_factor[n_factor] = {{"light growth", "t/ha/d", "growth at full cover"},
                                                {"standing leaf", "t/ha", "leaves that shade beside those of this season"},
                                                {"lowered N", "-", "share by which dry soil lowers critical N"}};

inline constexpr double k_february = 32;      // 1 February: the year of plants begins
inline constexpr double k_root_warmth_c = 4;  // roots grow this far below the base of the shoots (our own guess)
inline constexpr double k_corner = 0.02;      // of the smooth minimum in growth

/// Beta response (Yin et al. 1995, from memory), mean of eight points on the day's sine.
inline double thermal(double t_min, double t_max, double base, double optimum, double ceiling) {
  const double power = (optimum - base) / (ceiling - optimum);
  double sum = 0;
  for (int k = 0; k < 8; ++k) {
    const double t = (t_min + t_max) / 2 + (t_max - t_min) / 2 * std::sin(2 * 3.14159265358979323846 * (k + 0.5) / 8);
    if (t > base && t < ceiling) sum += std::pow((t - base) / (optimum - base), power) * (ceiling - t) / (ceiling - optimum);
  }
  return sum / 8;
}

/// One member on one morning.
class Member {
 public:
  Member(const lh_day& day, double* memory, int i) : day_(day), memory_(memory), i_(i), n_(day.m_pad) {}
  double p(int k) const { return row(day_.parameter, k, n_)[i_]; }
  double& memory(int k) const { return row(memory_, k, n_)[i_]; }
  double day_of_year() const { return day_.day_of_year[i_]; }
  double t_min_c() const { return day_.t_min_c[i_]; }
  double t_max_c() const { return day_.t_max_c[i_]; }
  double mean_c() const { return (t_min_c() + t_max_c()) / 2; }
  const lh_day& day() const { return day_; }
  int lane() const { return i_; }
  int pad() const { return n_; }

  bool awake() const { return memory(m_awake) > 0.5; }
  /// What of `w` is left when it is cut back to the shoots of a start.
  double keep_start(double w) const { return w > p(p_start) ? p(p_start) / w : 1; }

 private:
  const lh_day& day_;
  double* memory_;
  int i_, n_;
};

/// What a model has made of its memory and its season by the time it speaks.
struct Mood {
  bool leaves = false;    ///< in leaf: shades the ground
  double standing = 0;    ///< t/ha of leaves beside those of this season
  double pace = 1;        ///< on growth, beside warmth, light and water
  double keep = 1;        ///< dry matter kept this morning
  double to_reserve = 0;  ///< share of the N of what is not kept
  double fixed = 0;       ///< share of the want from the air
};

inline int32_t check(const double* p, char* text, int32_t n) {
  if (p[p_base] < p[p_optimum] && p[p_optimum] < p[p_ceiling] && p[p_start] < p[p_most] && p[p_root_start] <= p[p_root_most]) return LH_OK;
  return say_why::refuse("base_c < optimum_c < ceiling_c, start_t_ha < ceiling_t_ha and root_start_mm <= root_depth_mm must hold", text, n);
}

inline void start(const Member& m, double* w) {
  w[m.lane()] = m.p(p_start);
  m.memory(m_lag) = m.mean_c();
  m.memory(m_awake) = 0;
  m.memory(m_root) = m.p(m.p(p_perennial_roots) > 0.5 ? p_root_most : p_root_start);
  m.memory(m_last_day) = m.day_of_year();
}

/// Call first of all each morning. True on 1 February.
inline bool wake_up(const Member& m) {
  double& last = m.memory(m_last_day);
  const bool february = last < k_february && m.day_of_year() >= k_february;
  last = m.day_of_year();
  m.memory(m_lag) += (m.mean_c() - m.memory(m_lag)) / m.p(p_lag);
  return february;
}

inline void grow_roots(const Member& m) {
  const double warm = m.day().t_soil_c[m.lane()] - (m.p(p_base) - k_root_warmth_c);
  double& root = m.memory(m_root);
  if (warm > 0) root = std::fmin(root + m.p(p_root_speed) * warm, m.p(p_root_most));
}

/// Errecart et al.: critical N of tall fescue falls to (0.83 ET/ET0 + 0.22) of itself in dry soil, at most 1. ET/ET0 is taken as Ks.
inline double lowered_by_drought(const Member& m) {
  const double ks = clip(m.day().rel_water_frac[m.lane()] / (1 - m.p(p_depletion)), 0, 1);
  return m.p(p_dry_lowers_n) * (1 - std::fmin(0.83 * ks + 0.22, 1));
}

inline void speak(const Member& m, const Mood& mood, const double* w_twin, lh_morning* out, double* factor) {
  const int i = m.lane(), n = m.pad();
  const double f_t = m.awake() ? thermal(m.t_min_c(), m.t_max_c(), m.p(p_base), m.p(p_optimum), m.p(p_ceiling)) : 0;
  out->awake[i] = m.memory(m_awake);
  out->f_t[i] = f_t;
  out->cover_frac[i] = mood.leaves ? 1 - std::exp(-(w_twin[i] * mood.keep + mood.standing) / m.p(p_closure)) : 0;
  out->k_cb[i] = m.p(p_kcb);
  out->p_depletion[i] = m.p(p_depletion);
  out->root_front_mm[i] = m.memory(m_root);
  out->luxury[i] = m.p(p_luxury);
  out->fixed_frac[i] = mood.fixed;
  out->keep_frac[i] = mood.keep;
  out->reserve_frac[i] = mood.to_reserve;
  row(factor, f_light, n)[i] = 0.01 * m.p(p_light) * m.day().radiation_mj_m2[i] * f_t * mood.pace;
  row(factor, f_standing, n)[i] = mood.standing;
  row(factor, f_lowered, n)[i] = lowered_by_drought(m);
}

// Critical N and growth go through their lanes twice, for one chain of roots and divisions a time: more lanes are then under way at once.
LANE_MATH_CLONES inline int32_t critical(int32_t n, const double* parameter, const double* factor, const double* w, double* n_critical) {
  const double *a = row(parameter, p_a, n), *b = row(parameter, p_b, n), *lowered = row(factor, f_lowered, n);
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) {
    const double w2 = w[i] * w[i];
    n_critical[i] = lane_math::log_above_one(1 + w2 * w2);
  }
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) n_critical[i] = 10 * a[i] * lane_math::exp(-b[i] / 4 * n_critical[i]) * w[i] * (1 - lowered[i]);
  return LH_OK;
}

/// What is left of growth where nitrogen is short.
__attribute__((always_inline)) inline double fed_share(double nni) { return nni >= LH_WELL_FED ? 1 : smin(nni, 1, k_corner); }

/// Growth of a member under `stress`, which a model may have changed, and as it is `fed`.
__attribute__((always_inline)) inline double grown(int i, int32_t n, const double* parameter, const double* factor, double w, double fed,
                                                   double stress) {
  const double closure = row(parameter, p_closure, n)[i], most = row(parameter, p_most, n)[i], per_both = 1 / (closure * most);
  return row(factor, f_light, n)[i] * stress * (1 - lane_math::exp(-(w + row(factor, f_standing, n)[i]) * (most * per_both))) *
         (1 - w * (closure * per_both)) * fed;
}

LANE_MATH_CLONES inline int32_t grow(int32_t n, const double* parameter, const double* factor, const double* w, const double* nni,
                                     const double* stress, double* w_rate) {
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) w_rate[i] = fed_share(nni[i]);
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) w_rate[i] = grown(i, n, parameter, factor, w[i], w_rate[i], stress[i]);
  return LH_OK;
}

/// A grower by its own parts; what it shares is filled in.
template <std::size_t n_all, std::size_t n_all_memory>
constexpr lh_demand model(const lh_named& name_version_summary, const char* source, const std::array<lh_parameter, n_all>& parameter,
                          const lh_named (&memory)[n_all_memory], decltype(lh_demand::start) begin, decltype(lh_demand::morning) morning,
                          decltype(lh_demand::grow) growth = grow) {
  const auto& [name, version, summary] = name_version_summary;
  return {sizeof(lh_demand),
          {name, version, summary, "MIT", source, n_all, parameter.data(), check},
          n_all_memory,
          n_factor,
          memory,
          k_factor,
          begin,
          morning,
          critical,
          growth};
}

}  // namespace grower
