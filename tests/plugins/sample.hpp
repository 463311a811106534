// The smallest models that the host accepts. Each bad plugin changes one thing of them, so that exactly that is at fault.
#pragma once

#include "leafhunger/plugin_sdk.hpp"

namespace sample {

using leafhunger::sdk::row;

inline constexpr lh_parameter k_parameters[] = {{"freed_per_day", "1/d", "freed each day", "a sample: no source", 0.05, 0, 1}};
inline constexpr lh_pool k_pools[] = {{"grains", LH_SURFACE, LH_UNFREED, LH_AMMONIUM, LH_NONE, LH_NONE}};
inline constexpr lh_flow k_flows[] = {{"freed", 0, LH_SURFACE_AMMONIUM, 0, 0, 0, {0, 0}}};

inline int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double*) {
  for (int i = 0; i < day->m_pad; ++i) pool[i] = day->given_kg_n_ha[i], surface_ammonium[i] = 0;
  return LH_OK;
}
inline int32_t rates(const lh_day* day, const double*, const double*, double* coef, double*) {
  for (int i = 0; i < day->m_pad; ++i) coef[i] = day->parameter[i];
  return LH_OK;
}
inline constexpr lh_release release(const char* name) {
  return {sizeof(lh_release),
          {name, "1.0", "one pool that is freed in proportion to what is left", "MIT", "a sample: no source", 1, k_parameters, nullptr},
          0,
          1,
          1,
          0,
          nullptr,
          k_pools,
          k_flows,
          nullptr,
          start,
          rates,
          nullptr};
}

inline constexpr lh_parameter k_plant_parameters[] = {
    {"grown_t_ha_d", "t/ha/d", "dry matter grown each day", "a sample: no source", 0.1, 0, 1}};

inline int32_t plant_start(const lh_day* day, double* w, double*) {
  for (int i = 0; i < day->m_pad; ++i) w[i] = 0.2;
  return LH_OK;
}
inline int32_t plant_morning(const lh_day* day, const double*, double*, lh_morning* out, double*) {
  for (int i = 0; i < day->m_pad; ++i) {
    out->awake[i] = 1, out->f_t[i] = 0.5, out->cover_frac[i] = 0.5, out->k_cb[i] = 1, out->p_depletion[i] = 0.5,
    out->root_front_mm[i] = 400;
    out->luxury[i] = 1.2, out->fixed_frac[i] = 0, out->keep_frac[i] = 1, out->reserve_frac[i] = 0;
  }
  return LH_OK;
}
inline int32_t plant_critical(int32_t m_pad, const double*, const double*, const double* w, double* n_critical) {
  for (int i = 0; i < m_pad; ++i) n_critical[i] = 30 * w[i];
  return LH_OK;
}
inline int32_t plant_grow(int32_t m_pad, const double* parameter, const double*, const double* w, const double* nni, const double* stress,
                          double* w_rate) {
  for (int i = 0; i < m_pad; ++i) {
    const double fed = nni[i] >= LH_WELL_FED ? 1 : leafhunger::sdk::smin(nni[i], 1, 0.02);
    w_rate[i] = parameter[i] * w[i] / (w[i] + 1) * stress[i] * fed;
  }
  return LH_OK;
}
inline constexpr lh_demand demand(const char* name) {
  return {sizeof(lh_demand),
          {name, "1.0", "grows at one speed, whatever the weather", "MIT", "a sample: no source", 1, k_plant_parameters, nullptr},
          0,
          0,
          nullptr,
          nullptr,
          plant_start,
          plant_morning,
          plant_critical,
          plant_grow};
}

}  // namespace sample

// The export of a library with one model.
#define SAMPLE_RELEASE(model)                                                                 \
  static const lh_release* const k_release[] = {&(model)};                                    \
  static const lh_plugins k_plugins = {LH_ABI, sizeof(lh_plugins), 1, 0, k_release, nullptr}; \
  LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return &k_plugins; }

#define SAMPLE_DEMAND(model)                                                                 \
  static const lh_demand* const k_demand[] = {&(model)};                                     \
  static const lh_plugins k_plugins = {LH_ABI, sizeof(lh_plugins), 0, 1, nullptr, k_demand}; \
  LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return &k_plugins; }
