// A plant whose need was measured: what nitrogen it should hold by date, as knots with lines between. It neither grows nor suffers here;
// its canopy is what it is told to be.
//
// Tables: `critical_n`, x the day of the year and y g of N a square metre of covered ground; `cover` (may be left out), x the day of the
// year and y the share of the crown's ground that leaves shade. In leaf from the first to the last knot of `critical_n`; after the last it
// holds what it has.
#include <cmath>
#include <cstring>

#include "grower.hpp"

namespace {

using grower::row;

enum Parameter {
  p_luxury,
  p_cover,
  p_kcb,
  p_depletion,
  p_root_start,
  p_root_most,
  p_root_speed,
  p_root_base,
  p_perennial_roots,
  n_parameter
};
constexpr const lh_parameter& shared(grower::Parameter p) { return grower::k_parameters[p]; }
constexpr lh_parameter k_parameters[n_parameter] = {
    shared(grower::p_luxury),
    {"cover_frac", "-", "share of the crown's ground that leaves shade while in leaf, where there is no table `cover`", "our own guess",
     0.8, 0, 1},
    shared(grower::p_kcb),
    shared(grower::p_depletion),
    shared(grower::p_root_start),
    shared(grower::p_root_most),
    shared(grower::p_root_speed),
    {"root_base_c", "degC", "roots grow in soil warmer than", "our own guess", 6, -2, 20},
    shared(grower::p_perennial_roots),
};

constexpr double k_mark_t_ha = 1;      // W is only a mark that something stands there: the verdict counts days with more than 0.3
constexpr double k_g_m2 = 10;          // kg/ha in a g/m2
constexpr double k_season_ends = 304;  // 31 October

enum Memory { m_root, m_last_day, n_memory };
constexpr lh_named k_memory[n_memory] = {grower::k_root, grower::k_last_day};
enum Factor { f_critical, n_factor };
constexpr lh_named k_factor[n_factor] = {{"critical N", "kg/ha", "of covered ground, from the table"}};

const lh_table* find(const lh_day& day, const char* name) {
  for (int32_t t = 0; t < day.n_table; ++t)
    if (std::strcmp(day.table[t].name, name) == 0) return &day.table[t];
  return nullptr;
}

/// Knots in order, and no number below 0 nor above `most`.
bool sound(const lh_table& t, double most) {
  for (int32_t k = 0; k < t.n; ++k)
    if (!(t.y[k] >= 0 && t.y[k] <= most) || (k > 0 && !(t.x[k] > t.x[k - 1]))) return false;
  return t.n >= 2;
}

double at(const lh_table& t, double x) {
  if (x <= t.x[0]) return t.y[0];
  for (int32_t k = 1; k < t.n; ++k)
    if (x <= t.x[k]) return t.y[k - 1] + (t.y[k] - t.y[k - 1]) * (x - t.x[k - 1]) / (t.x[k] - t.x[k - 1]);
  return t.y[t.n - 1];
}

int32_t check(const double* p, char* text, int32_t n) {
  if (p[p_root_start] <= p[p_root_most]) return LH_OK;
  return say_why::refuse("root_start_mm <= root_depth_mm must hold", text, n);
}

int32_t start(const lh_day* day, double* w, double* memory) {
  const lh_table* wanted = find(*day, "critical_n");
  if (wanted == nullptr || !sound(*wanted, 1e4)) return LH_FAILED;
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    w[i] = k_mark_t_ha;
    const bool kept = row(day->parameter, p_perennial_roots, n)[i] > 0.5;
    row(memory, m_root, n)[i] = row(day->parameter, kept ? p_root_most : p_root_start, n)[i];
    row(memory, m_last_day, n)[i] = day->day_of_year[i];
  }
  return LH_OK;
}

int32_t morning(const lh_day* day, const double*, double* memory, lh_morning* out, double* factor) {
  const lh_table *wanted = find(*day, "critical_n"), *canopy = find(*day, "cover");
  if (wanted == nullptr || !sound(*wanted, 1e4) || (canopy != nullptr && !sound(*canopy, 1))) return LH_FAILED;
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    const auto p = [&](int k) { return row(day->parameter, k, n)[i]; };
    double &root = row(memory, m_root, n)[i], &last = row(memory, m_last_day, n)[i];
    const double today = day->day_of_year[i];
    const bool in_leaf = today >= wanted->x[0] && today <= wanted->x[wanted->n - 1];
    if (last < grower::k_february && today >= grower::k_february && p(p_perennial_roots) < 0.5) root = p(p_root_start);
    last = today;
    const double warm = day->t_soil_c[i] - p(p_root_base);
    if (in_leaf && warm > 0) root = std::fmin(root + p(p_root_speed) * warm, p(p_root_most));
    out->awake[i] = in_leaf ? 1 : 0;
    out->f_t[i] = in_leaf ? 1 : 0;
    out->cover_frac[i] = !in_leaf ? 0 : canopy != nullptr ? at(*canopy, today) : p(p_cover);
    out->k_cb[i] = p(p_kcb);
    out->p_depletion[i] = p(p_depletion);
    out->root_front_mm[i] = root;
    out->luxury[i] = p(p_luxury);
    out->fixed_frac[i] = 0;
    out->keep_frac[i] = 1;
    out->reserve_frac[i] = 0;
    // November and December lie before a season that begins in spring, though after the last knot by number.
    const bool before = !in_leaf && (today < wanted->x[0] || today > k_season_ends);
    row(factor, f_critical, n)[i] = k_g_m2 * (before ? wanted->y[0] : at(*wanted, today));
  }
  return LH_OK;
}

int32_t critical(int32_t n, const double*, const double* factor, const double* w, double* n_critical) {
  for (int i = 0; i < n; ++i) n_critical[i] = w[i] > 0 ? row(factor, f_critical, n)[i] : 0;
  return LH_OK;
}

int32_t grow(int32_t n, const double*, const double*, const double*, const double*, const double*, double* w_rate) {
  for (int i = 0; i < n; ++i) w_rate[i] = 0;
  return LH_OK;
}

constexpr lh_demand k_model = {sizeof(lh_demand),
                               {"measured-table", "1.0", "wants the nitrogen that was measured, by date; its canopy is given", "MIT",
                                "the measurements in the entry's own table", n_parameter, k_parameters, check},
                               n_memory,
                               n_factor,
                               k_memory,
                               k_factor,
                               start,
                               morning,
                               critical,
                               grow};

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return grower::plugins_of<k_model>(); }
