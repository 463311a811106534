// Urea by itself: where it can be and how it leaves, shared by the model that nothing holds back and the one with an inhibitor.
#pragma once

#include "urea.hpp"

namespace plain_urea {

using leafhunger::sdk::row;

/// A model may add its own after these.
enum Parameter { p_per_day, p_top_per_day, p_reference, p_activation, p_wash, p_mix, n_parameter };

enum Response { r_top, r_soil, n_response };
inline constexpr lh_response k_responses[n_response] = {
    {"hydrolysis on top", "arrhenius", "urease_wet", LH_SURFACE, p_reference, p_activation},
    {"hydrolysis in soil", "arrhenius", "urease_wet", LH_SOIL, p_reference, p_activation},
};
enum Pool { s_urea, g_urea, n_pool };
inline constexpr lh_pool k_pools[n_pool] = {{"urea on top", LH_SURFACE, LH_UNFREED, g_urea, p_wash, p_mix},
                                            {"urea in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE}};
enum Flow { f_top, f_soil, n_flow };
inline constexpr lh_flow k_flows[n_flow] = {leafhunger::sdk::flow("hydrolysed on top", s_urea, LH_SURFACE_AMMONIUM),
                                            leafhunger::sdk::flow("hydrolysed in soil", g_urea, LH_AMMONIUM)};

inline int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double*) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    row(pool, s_urea, n)[i] = day->given_kg_n_ha[i];
    row(pool, g_urea, n)[i] = surface_ammonium[i] = 0;
  }
  return LH_OK;
}

/// `free(lane)`: share of its speed that nothing holds back.
template <class Free>
int32_t rates(const lh_day* day, double* coef, const Free& free) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    const double share = free(i);
    row(coef, f_top, n)[i] = row(day->parameter, p_top_per_day, n)[i] * row(day->response, r_top, n)[i] * share;
    row(coef, f_soil, n)[i] = row(day->parameter, p_per_day, n)[i] * row(day->response, r_soil, n)[i] * share;
  }
  return LH_OK;
}

}  // namespace plain_urea
