// A good sample with an age and a bend: a coated granule. What is out follows dR/dt = f(T) r smin(1, 3(1 - R)) (1 - exp(-(age/lag)^2)): a
// lag, a straight line to two thirds, a decay (shape of Shaviv et al. 2003). Rates are per day at 25 degC and double every 10 degC.
#include "sample.hpp"

namespace {

using leafhunger::sdk::row;
using leafhunger::sdk::smin;

enum Parameter { p_life, p_lag, p_nitrate, p_wash, p_reference, p_activation, p_on_top, n_parameter };
constexpr lh_parameter k_parameters[n_parameter] = {
    {"life_d", "d", "days to 80 % out at 25 degC", "label", 90, 20, 400},
    {"lag_frac", "-", "lag over life", "a guess", 0.06, 0.01, 0.3},
    {"nitrate_frac", "-", "share that comes out as nitrate", "label", 0.5, 0, 1},
    {"wash_mm", "mm", "rain that carries all but 1/e in", "a guess", 60, 0, 1e6},
    {"reference_c", "degC", "temperature of the life on the label", "label", 25, 15, 30},
    {"activation_kj_mol", "kJ/mol", "activation energy: Q10 2 near 20 degC", "Oertli & Lunt 1962", 51.2, 20, 80},
    {"on_top_frac", "-", "speed on the surface over that in the soil", "Lunt & Oertli 1962, order only", 0.7, 0, 1},
};

enum Response { r_top, r_soil, n_response };
constexpr lh_response k_responses[n_response] = {{"on top", "arrhenius", "flat", LH_SURFACE, p_reference, p_activation},
                                                 {"in soil", "arrhenius", "flat", LH_SOIL, p_reference, p_activation}};
enum Pool { s_grain, g_grain, n_pool };
constexpr lh_pool k_pools[n_pool] = {{"grain on top", LH_SURFACE, LH_UNFREED, g_grain, p_wash, LH_NONE},
                                     {"grain in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE}};
enum Flow { f_top_ammonium, f_top_nitrate, f_ammonium, f_nitrate, n_flow };
constexpr lh_flow k_flows[n_flow] = {{"out on top, ammonium", s_grain, LH_SURFACE_AMMONIUM, s_grain, 0, 1, {0, 0}},
                                     {"out on top, nitrate", s_grain, LH_NITRATE, s_grain, 0, 1, {0, 0}},
                                     {"out in soil, ammonium", g_grain, LH_AMMONIUM, g_grain, 0, 1, {0, 0}},
                                     {"out in soil, nitrate", g_grain, LH_NITRATE, g_grain, 0, 1, {0, 0}}};
constexpr lh_named k_ages[] = {{"thermal age", "d", "age at the label's temperature"}};

int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double* age) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    row(pool, s_grain, n)[i] = day->given_kg_n_ha[i];
    row(pool, g_grain, n)[i] = 0;
    surface_ammonium[i] = 0;
    age[i] = 0;
  }
  return LH_OK;
}

int32_t rates(const lh_day* day, const double*, const double*, double* coef, double* age_rate) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    const auto p = [&](int k) { return row(day->parameter, k, n)[i]; };
    const double speed = 0.837 / (p(p_life) * (1 - p(p_lag))), soil = row(day->response, r_soil, n)[i],
                 top = p(p_on_top) * row(day->response, r_top, n)[i];
    row(coef, f_top_ammonium, n)[i] = top * speed * (1 - p(p_nitrate));
    row(coef, f_top_nitrate, n)[i] = top * speed * p(p_nitrate);
    row(coef, f_ammonium, n)[i] = soil * speed * (1 - p(p_nitrate));
    row(coef, f_nitrate, n)[i] = soil * speed * p(p_nitrate);
    age_rate[i] = soil;
  }
  return LH_OK;
}

int32_t bend(int32_t n, const double* parameter, const double* pool, const double* age, const double* given, double* out) {
  for (int i = 0; i < n; ++i) {
    const double lag = row(parameter, p_lag, n)[i] * row(parameter, p_life, n)[i], t = age[i] > 0 ? age[i] / lag : 0;
    double left = given[i] > 0 ? (row(pool, s_grain, n)[i] + row(pool, g_grain, n)[i]) / given[i] : 0;
    left = left < 1e-9 ? 1e-9 : left;
    const double value = smin(1, 3 * left, 0.05) / left * (1 - std::exp(-t * t));
    for (int f = 0; f < n_flow; ++f) row(out, f, n)[i] = value;
  }
  return LH_OK;
}

constexpr lh_release k_model = {sizeof(lh_release),
                                {"sample-coated-granule", "1.0", "granules that let nitrogen out through a coat", "MIT",
                                 "shape of Shaviv et al. 2003", n_parameter, k_parameters, nullptr},
                                n_response,
                                n_pool,
                                n_flow,
                                1,
                                k_responses,
                                k_pools,
                                k_flows,
                                k_ages,
                                start,
                                rates,
                                bend};

}  // namespace

SAMPLE_RELEASE(k_model)
