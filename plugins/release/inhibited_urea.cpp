// Urea with a urease inhibitor: hydrolysis starts slowed by a share that fades as the inhibitor breaks down. It has an age of its own, so
// each feeding keeps its own inhibitor.
#include "urea.hpp"

namespace {

using leafhunger::sdk::row;

enum Parameter { p_per_day, p_top_per_day, p_reference, p_activation, p_wash, p_mix, p_inhibitor, p_lasts, n_parameter };
constexpr lh_parameter k_parameters[n_parameter] = {
    urea::k_per_day,
    urea::k_top_per_day,
    urea::k_reference_c,
    urea::k_activation,
    urea::k_wash,
    urea::k_mix,
    {"inhibitor_frac", "-", "share by which hydrolysis is slowed at first", "derived from Lasisi & Akinremi 2021: 0.08 against 0.19 a day",
     0.58, 0, 1},
    {"inhibitor_d", "d", "days in which the inhibitor falls to 1/e", "our own guess", 20, 1, 200},
};

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
constexpr lh_named k_ages[] = {{"age of the inhibitor", "d", "days since it was given"}};

int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double* age) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    row(pool, s_urea, n)[i] = day->given_kg_n_ha[i];
    row(pool, g_urea, n)[i] = surface_ammonium[i] = age[i] = 0;
  }
  return LH_OK;
}

int32_t rates(const lh_day* day, const double*, const double* age, double* coef, double* age_rate) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    const auto param = [&](int p) { return row(day->parameter, p, n)[i]; };
    // What is left of the inhibitor, mean over the day that begins.
    const double lasts = param(p_lasts), left = lasts * -std::expm1(-1 / lasts) * std::exp(-(age[i] > 0 ? age[i] : 0) / lasts);
    const double free = 1 - param(p_inhibitor) * left;
    row(coef, f_top, n)[i] = param(p_top_per_day) * row(day->response, r_top, n)[i] * free;
    row(coef, f_soil, n)[i] = param(p_per_day) * row(day->response, r_soil, n)[i] * free;
    age_rate[i] = 1;
  }
  return LH_OK;
}

constexpr lh_release k_model = {sizeof(lh_release),
                                {"inhibited-urea", "1.0", "urea with a urease inhibitor that fades", "MIT",
                                 "Lasisi & Akinremi 2021; how long it lasts is our own guess", n_parameter, k_parameters, nullptr},
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
                                nullptr};
constexpr const lh_release* k_release[] = {&k_model};
constexpr lh_plugins k_plugins = {LH_ABI, sizeof(lh_plugins), 1, 0, k_release, nullptr};

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return &k_plugins; }
