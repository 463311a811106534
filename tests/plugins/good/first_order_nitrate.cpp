// A good sample: nitrogen that turns to nitrate at one first-order rate, from the surface and in the soil. With its reference at 35 degC it
// is the jar form N0 (1 - exp(-kt)) of Stanford & Smith (1972).
#include "sample.hpp"

namespace {

using leafhunger::sdk::row;

enum Parameter { p_rate, p_reference, p_activation, p_wash, p_mix, n_parameter };
constexpr lh_parameter k_parameters[n_parameter] = {
    {"per_week", "1/week", "first-order rate at the reference temperature", "Stanford & Smith 1972 at 35 degC", 0.054, 0.001, 1},
    {"reference_c", "degC", "reference temperature", "Stanford & Smith 1972", 35, 0, 40},
    {"activation_kj_mol", "kJ/mol", "activation energy", "from the line of Campbell, Myers & Weier 1981", 43.7, 0, 100},
    {"wash_mm", "mm", "rain that carries all but 1/e in", "a sample: no source", 10, 0, 1e6},
    {"mix_per_day", "1/d", "carried in by soil life", "a sample: no source", 0.01, 0, 1},
};

enum Response { r_top, r_soil, n_response };
constexpr lh_response k_responses[n_response] = {{"on top", "arrhenius", "flat", LH_SURFACE, p_reference, p_activation},
                                                 {"in soil", "arrhenius", "relative_water", LH_SOIL, p_reference, p_activation}};

enum Pool { s_bound, g_bound, n_pool };
constexpr lh_pool k_pools[n_pool] = {{"bound on top", LH_SURFACE, LH_UNFREED, g_bound, p_wash, p_mix},
                                     {"bound in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE}};
constexpr lh_flow k_flows[] = {{"freed on top", s_bound, LH_NITRATE, s_bound, 0, 0, {0, 0}},
                               {"freed in soil", g_bound, LH_NITRATE, g_bound, 0, 0, {0, 0}}};

int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double*) {
  for (int i = 0; i < day->m_pad; ++i) {
    row(pool, s_bound, day->m_pad)[i] = day->given_kg_n_ha[i];
    row(pool, g_bound, day->m_pad)[i] = 0;
    surface_ammonium[i] = 0;
  }
  return LH_OK;
}

int32_t rates(const lh_day* day, const double*, const double*, double* coef, double*) {
  const int n = day->m_pad;
  for (int f = 0; f < 2; ++f)
    for (int i = 0; i < n; ++i) row(coef, f, n)[i] = row(day->parameter, p_rate, n)[i] / 7 * row(day->response, f, n)[i];
  return LH_OK;
}

constexpr lh_release k_model = {sizeof(lh_release),
                                {"sample-first-order-nitrate", "1.0", "one pool that turns to nitrate", "MIT", "Stanford & Smith 1972",
                                 n_parameter, k_parameters, nullptr},
                                n_response,
                                n_pool,
                                2,
                                0,
                                k_responses,
                                k_pools,
                                k_flows,
                                nullptr,
                                start,
                                rates,
                                nullptr};

}  // namespace

SAMPLE_RELEASE(k_model)
