// Plain urea, and nothing that holds it back.
#include "urea.hpp"

namespace {

using leafhunger::sdk::row;

enum Parameter { p_per_day, p_top_per_day, p_reference, p_activation, p_wash, p_mix, n_parameter };
constexpr lh_parameter k_parameters[n_parameter] = {urea::k_per_day,    urea::k_top_per_day, urea::k_reference_c,
                                                    urea::k_activation, urea::k_wash,        urea::k_mix};

enum Response { r_top, r_soil, n_response };
constexpr lh_response k_responses[n_response] = {
    {"hydrolysis on top", "arrhenius", "urease_wet", LH_SURFACE, p_reference, p_activation},
    {"hydrolysis in soil", "arrhenius", "urease_wet", LH_SOIL, p_reference, p_activation},
};
enum Pool { s_urea, g_urea, n_pool };
constexpr lh_pool k_pools[n_pool] = {{"urea on top", LH_SURFACE, LH_UNFREED, g_urea, p_wash, p_mix},
                                     {"urea in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE}};
enum Flow { f_top, f_soil, n_flow };
constexpr lh_flow k_flows[n_flow] = {{"hydrolysed on top", s_urea, LH_SURFACE_AMMONIUM, s_urea, 0, 0, {0, 0}},
                                     {"hydrolysed in soil", g_urea, LH_AMMONIUM, g_urea, 0, 0, {0, 0}}};

int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double*) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    row(pool, s_urea, n)[i] = day->given_kg_n_ha[i];
    row(pool, g_urea, n)[i] = surface_ammonium[i] = 0;
  }
  return LH_OK;
}

int32_t rates(const lh_day* day, const double*, const double*, double* coef, double*) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    row(coef, f_top, n)[i] = row(day->parameter, p_top_per_day, n)[i] * row(day->response, r_top, n)[i];
    row(coef, f_soil, n)[i] = row(day->parameter, p_per_day, n)[i] * row(day->response, r_soil, n)[i];
  }
  return LH_OK;
}

constexpr lh_release k_model = {
    sizeof(lh_release),
    {"urea", "1.0", "urea that the soil turns into ammonium within days", "MIT",
     "Lasisi & Akinremi 2021 (warmth); Yadav et al. 1987 (water); Black et al. 1987 (surface)", n_parameter, k_parameters, nullptr},
    n_response,
    n_pool,
    n_flow,
    0,
    k_responses,
    k_pools,
    k_flows,
    nullptr,
    start,
    rates,
    nullptr};
constexpr const lh_release* k_release[] = {&k_model};
constexpr lh_plugins k_plugins = {LH_ABI, sizeof(lh_plugins), 1, 0, k_release, nullptr};

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return &k_plugins; }
