// A grower by thermal time and light: wakes and sleeps by temperature, grows expolinearly (Goudriaan & Monteith 1990), and wants the
// nitrogen of a critical dilution curve (Lemaire & Gastal 1997). With dies_back 0 it keeps its leaves and only rests in the cold.
#include <cmath>

#include "leafhunger/plugin_sdk.hpp"

namespace {

using leafhunger::sdk::clip;
using leafhunger::sdk::row;
using leafhunger::sdk::smin;

enum Parameter {
  p_base,
  p_optimum,
  p_ceiling,
  p_light,
  p_closure,
  p_most,
  p_start,
  p_standing,
  p_a,
  p_b,
  p_luxury,
  p_fixed,
  p_kcb,
  p_depletion,
  p_root_start,
  p_root_most,
  p_root_speed,
  p_dies_back,
  p_sleep_margin,
  p_frost,
  p_return,
  p_perennial_roots,
  p_lag,
  n_parameter
};
constexpr lh_parameter k_parameters[n_parameter] = {
    {"base_c", "degC", "growth ceases below", "banana 10: Tropical Fruits citing Turner 1994", 10, -2, 20},
    {"optimum_c", "degC", "dry matter is made fastest at", "banana about 20: Tropical Fruits citing Turner 1994", 20, 10, 36},
    {"ceiling_c", "degC", "growth ceases above", "banana 38: Tropical Fruits citing Turner 1994", 38, 22, 48},
    {"radiation_use_g_mj", "g/MJ", "dry matter for each MJ of global radiation caught",
     "from memory; canna grows 12.7-19.3 g/m2/d, Imai et al. 1993", 1.2, 0.02, 2.5},
    {"closure_t_ha", "t/ha", "dry matter at which leaves shade 63 % of the ground", "our own guess, from leaf area of cabbage and canna", 2,
     0.3, 8},
    {"ceiling_t_ha", "t/ha", "dry matter at which growth stops", "our own guess", 40, 2, 100},
    {"start_t_ha", "t/ha", "shoots at waking", "our own guess", 0.2, 0.01, 2},
    {"standing_leaf_t_ha", "t/ha", "leaves kept over winter", "our own guess", 0, 0, 20},
    {"critical_a_percent", "%", "critical N at 1 t/ha of the power curve", "C3 reference 4.8, quoted by Errecart et al.", 4.8, 1, 7},
    {"critical_b", "-", "exponent of dilution", "C3 reference 0.34 (from memory; 0.32 quoted)", 0.34, 0, 0.7},
    {"luxury", "-", "plant N stops at this many times critical N", "Plenet & Lemaire 2000; index plateau 1.2-1.4", 1.2, 1, 2},
    {"fixed_frac", "-", "share of the want met by symbiotic fixation", "0; giant waterside perennial 1: Osborne et al. 1992", 0, 0, 1},
    {"basal_coefficient", "-", "K_cb at full cover", "FAO-56 Table 12, banana 1.1", 1.1, 0.1, 1.4},
    {"depletion_frac", "-", "p: share of available water used before stress, at 5 mm/d", "FAO-56 Table 22, banana 0.35", 0.35, 0.1, 0.8},
    {"root_start_mm", "mm", "root depth at the start of a season", "our own guess", 200, 20, 1500},
    {"root_depth_mm", "mm", "greatest root depth", "banana: Carr 2009", 400, 50, 3000},
    {"root_mm_per_c_day", "mm/degC/d", "speed of the root front", "0.7-1.2 as quoted by Pedersen et al. 2009", 0.8, 0, 3},
    {"dies_back", "-", "1: dies back in autumn; 0: evergreen", "habit of the plant", 1, 0, 1},
    {"sleep_margin_c", "degC", "sleeps when the lagged air is this far below base", "our own guess", 2, 0, 10},
    {"frost_c", "degC", "a night this cold kills the leaves", "our own guess", -2, -30, 5},
    {"reserve_return", "-", "share of leaf N drawn back at the end of the season", "Himken et al. 1997", 0.46, 0, 1},
    {"perennial_roots", "-", "1: roots keep their depth over winter", "habit of the plant", 0, 0, 1},
    {"lag_d", "d", "lag of the air mean that wakes and sleeps it", "our own guess", 7, 1, 30},
};

enum Memory { m_lag, m_awake, m_root, m_last_day, m_slept, n_memory };
constexpr lh_named k_memory[n_memory] = {{"lagged air", "degC", "air mean behind by lag_d"},
                                         {"awake", "-", "1 while in leaf"},
                                         {"root front", "mm", "depth reached"},
                                         {"last day", "d", "day of the year before"},
                                         {"slept", "-", "1 from the end of a season to 1 February"}};

enum Factor { f_light, f_standing, n_factor };
constexpr lh_named k_factor[n_factor] = {{"light growth", "t/ha/d", "growth at full cover"},
                                         {"standing leaf", "t/ha", "leaves kept over winter"}};

constexpr double k_wake_from = 32;      // 1 February
constexpr double k_sleep_from = 213;    // 1 August
constexpr double k_tender_until = 182;  // 1 July: a frost before it cuts back, after it nothing does until August
constexpr double k_harden_from = 227;   // 15 August
constexpr double k_root_warmth_c = 4;   // roots grow this far below the base of the shoots
constexpr double k_corner = 0.02;       // of the smooth minimum in growth

// Beta response (Yin et al. 1995, from memory), mean of eight points on the day's sine.
double thermal(double t_min, double t_max, double base, double optimum, double ceiling) {
  const double power = (optimum - base) / (ceiling - optimum);
  double sum = 0;
  for (int k = 0; k < 8; ++k) {
    const double t = (t_min + t_max) / 2 + (t_max - t_min) / 2 * std::sin(2 * 3.14159265358979323846 * (k + 0.5) / 8);
    if (t > base && t < ceiling) sum += std::pow((t - base) / (optimum - base), power) * (ceiling - t) / (ceiling - optimum);
  }
  return sum / 8;
}

int32_t check(const double* p, char* text, int32_t n) {
  if (p[p_base] < p[p_optimum] && p[p_optimum] < p[p_ceiling] && p[p_start] < p[p_most] && p[p_root_start] <= p[p_root_most]) return LH_OK;
  static constexpr char k_why[] = "base_c < optimum_c < ceiling_c, start_t_ha < ceiling_t_ha and root_start_mm <= root_depth_mm must hold";
  for (int32_t i = 0; i < n; ++i) {
    text[i] = k_why[i];
    if (k_why[i] == '\0') break;
    if (i + 1 == n) text[i] = '\0';
  }
  return LH_BAD_PARAMETER;
}

int32_t start(const lh_day* day, double* w, double* memory) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    w[i] = row(day->parameter, p_start, n)[i];
    row(memory, m_lag, n)[i] = (day->t_min_c[i] + day->t_max_c[i]) / 2;
    row(memory, m_awake, n)[i] = 0;
    const bool keeps_roots = row(day->parameter, p_perennial_roots, n)[i] > 0.5;
    row(memory, m_root, n)[i] = row(day->parameter, keeps_roots ? p_root_most : p_root_start, n)[i];
    row(memory, m_last_day, n)[i] = day->day_of_year[i];
    row(memory, m_slept, n)[i] = 1;
  }
  return LH_OK;
}

int32_t morning(const lh_day* day, const double* w_twin, double* memory, lh_morning* out, double* factor) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    const auto p = [&](int k) { return row(day->parameter, k, n)[i]; };
    double& lag = row(memory, m_lag, n)[i];
    double& awake = row(memory, m_awake, n)[i];
    double& root = row(memory, m_root, n)[i];
    double& last = row(memory, m_last_day, n)[i];
    double& slept = row(memory, m_slept, n)[i];
    const double today = day->day_of_year[i], w = w_twin[i], keep_start = w > p(p_start) ? p(p_start) / w : 1;
    const bool evergreen = p(p_dies_back) < 0.5, frost = day->t_min_c[i] <= p(p_frost);
    const bool february = last < k_wake_from && today >= k_wake_from;
    last = today;
    lag += ((day->t_min_c[i] + day->t_max_c[i]) / 2 - lag) / p(p_lag);

    double keep = 1, to_reserve = 0;
    if (evergreen) {
      awake = lag > p(p_base) ? 1 : 0;
      if (february) keep = keep_start;  // last year's flush joins the standing leaves; the oldest fall as litter
    } else {
      if (february) slept = 0;
      if (awake < 0.5) {
        awake = slept < 0.5 && today >= k_wake_from && today < k_sleep_from && lag > p(p_base) ? 1 : 0;
      } else if (today >= k_sleep_from || today < k_wake_from) {
        if (lag < p(p_base) - p(p_sleep_margin) || frost) {
          awake = 0, slept = 1, keep = keep_start, to_reserve = p(p_return);
        }
      } else if (frost && today < k_tender_until) {
        keep = keep_start;
      }
    }
    if (february && p(p_perennial_roots) < 0.5 && !evergreen) root = p(p_root_start);
    const double warm = day->t_soil_c[i] - (p(p_base) - k_root_warmth_c);
    if ((evergreen || slept < 0.5) && warm > 0) root = std::fmin(root + p(p_root_speed) * warm, p(p_root_most));

    const double f_t = awake > 0.5 ? thermal(day->t_min_c[i], day->t_max_c[i], p(p_base), p(p_optimum), p(p_ceiling)) : 0;
    const double harden = !evergreen && today >= k_harden_from ? clip((lag - p(p_base) + 2) / 4, 0, 1) : 1;
    const double leaves = (evergreen || awake > 0.5) ? 1 - std::exp(-(w * keep + p(p_standing)) / p(p_closure)) : 0;
    out->awake[i] = awake;
    out->f_t[i] = f_t;
    out->cover_frac[i] = leaves;
    out->k_cb[i] = p(p_kcb);
    out->p_depletion[i] = p(p_depletion);
    out->root_front_mm[i] = root;
    out->luxury[i] = p(p_luxury);
    out->fixed_frac[i] = p(p_fixed);
    out->keep_frac[i] = keep;
    out->reserve_frac[i] = to_reserve;
    row(factor, f_light, n)[i] = 0.01 * p(p_light) * day->radiation_mj_m2[i] * f_t * harden;
    row(factor, f_standing, n)[i] = p(p_standing);
  }
  return LH_OK;
}

int32_t critical(int32_t n, const double* parameter, const double*, const double* w, double* n_critical) {
  const double *a = row(parameter, p_a, n), *b = row(parameter, p_b, n);
  for (int i = 0; i < n; ++i) {
    const double w2 = w[i] * w[i];
    n_critical[i] = 10 * a[i] * std::exp(-b[i] / 4 * std::log1p(w2 * w2)) * w[i];
  }
  return LH_OK;
}

int32_t grow(int32_t n, const double* parameter, const double* factor, const double* w, const double* nni, const double* stress,
             double* w_rate) {
  const double *closure = row(parameter, p_closure, n), *most = row(parameter, p_most, n);
  const double *light = row(factor, f_light, n), *standing = row(factor, f_standing, n);
  for (int i = 0; i < n; ++i) {
    const double fed = nni[i] >= LH_WELL_FED ? 1 : smin(nni[i], 1, k_corner);
    w_rate[i] = light[i] * stress[i] * (1 - std::exp(-(w[i] + standing[i]) / closure[i])) * (1 - w[i] / most[i]) * fed;
  }
  return LH_OK;
}

constexpr lh_demand k_model = {
    sizeof(lh_demand),
    {"herbaceous", "1.0", "grows by warmth and light, wants the N of a critical dilution curve; dies back or keeps its leaves", "MIT",
     "Goudriaan & Monteith 1990 (expolinear, in name); Lemaire & Gastal 1997 (dilution, from memory)", n_parameter, k_parameters, check},
    n_memory,
    n_factor,
    k_memory,
    k_factor,
    start,
    morning,
    critical,
    grow};
constexpr const lh_demand* k_demand[] = {&k_model};
constexpr lh_plugins k_plugins = {LH_ABI, sizeof(lh_plugins), 0, 1, nullptr, k_demand};

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return &k_plugins; }
