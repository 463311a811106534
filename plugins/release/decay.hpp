// What organic matter does wherever it lies: a fast and a slow pool of carbon-bearing nitrogen, a share that is ready at once, microbes
// that build themselves from what decays, and humus from dead microbes. Models that differ in how their surface works share it.
//
// Stoichiometry as reviewed by Manzoni & Porporato 2009 (from memory): of carbon decayed, microbes keep the share e and want one N for CN_b
// of it. A material poorer in N than CN_b/e (24:1) takes the difference from the soil's mineral N; where that is scarce, decay slows to
// what can be met, plus a small share (starved_frac) that goes on without building. It acts on carbon that decays, not on all of it: what
// is stable in a compost asks for nothing.
//
// Pools are held as nitrogen; carbon = N x C:N of the organic part.
#pragma once

#include "leafhunger/plugin_sdk.hpp"
#include "say_why.hpp"

namespace decay {

using leafhunger::sdk::row;

/// A model may add its own after these.
enum Parameter {
  p_cn,
  p_ready,
  p_ammonium,
  p_fast,
  p_k_fast,
  p_k_slow,
  p_k_death,
  p_efficiency,
  p_cn_microbes,
  p_humus,
  p_starved,
  p_k_ready,
  p_ready_ref,
  p_ready_ea,
  p_wash,
  p_mix,
  p_contact,
  n_parameter
};

inline constexpr lh_parameter k_parameters[n_parameter] = {
    {"carbon_to_nitrogen", "-", "C:N of the organic part: C:N of the whole over (1 - ready_frac)", "label or analysis of the material", 10,
     0.5, 2000},
    {"ready_frac", "-", "share of N that needs no decay: ammonium, uric acid, urea", "our fit by origin (equations.md 4.2)", 0, 0, 0.95},
    {"ammonium_frac", "-", "share of N that is ammonium as bought, a part of ready_frac; lies on the surface from the first hour",
     "analysis of the material", 0, 0, 0.95},
    {"fast_frac", "-", "share of the organic N in the fast pool", "fitted by origin to published incubations", 0.5, 0, 1},
    {"fast_per_day", "1/d", "decay of the fast pool at 25 degC, moist", "fitted to published incubations", 0.20, 0.005, 1},
    {"slow_per_day", "1/d", "decay of the slow pool at 25 degC, moist", "fitted to published incubations", 0.0007, 0, 0.05},
    {"death_per_day", "1/d", "death of microbes at 25 degC, moist", "fitted, a compromise", 0.010, 0, 0.1},
    {"efficiency", "-", "share of decayed carbon that microbes keep", "Brady & Weil rule as quoted; 0.5 +- 0.25 over 780 values", 1.0 / 3,
     0.1, 0.7},
    {"microbial_c_to_n", "-", "C:N of microbes", "Brady & Weil rule as quoted; 7.35 in Cleveland & Liptzin 2007", 8, 4, 15},
    {"humus_frac", "-", "share of dying microbial N that becomes humus", "our own guess, refitted to the same", 0.30, 0, 0.8},
    {"starved_frac", "-", "share of decay that goes on where mineral N is all gone", "our own guess", 0.05, 0, 0.5},
    {"ready_per_day", "1/d", "ready N to ammonium at its reference temperature", "our own guess", 0.6, 0.01, 5},
    {"ready_reference_c", "degC", "reference temperature of ready_per_day", "definition", 20, 0, 40},
    {"ready_activation_kj_mol", "kJ/mol", "activation energy of ready_per_day", "Lasisi & Akinremi 2021 for urea", 36, 0, 120},
    {"particle_wash_mm", "mm", "rain that carries all but 1/e of the particles in", "our own guess, by form", 10, 0, 1e9},
    {"mix_per_day", "1/d", "carried in by soil life", "our own guess", 0.01, 0, 1},
    {"contact_frac", "-", "speed of decay on the surface over that in the soil", "our own guess, by form", 0.5, 0, 1},
};

/// Whoever shares this names its four responses in this order.
enum Response { r_decay_surface, r_decay_soil, r_ready_surface, r_ready_soil, n_response };

enum Pool { s_fast, s_slow, s_ready, g_fast, g_slow, g_ready, microbes, humus, n_pool };
inline constexpr lh_pool k_pools[n_pool] = {
    {"fast on top", LH_SURFACE, LH_UNFREED, g_fast, p_wash, p_mix},   {"slow on top", LH_SURFACE, LH_UNFREED, g_slow, p_wash, p_mix},
    {"ready on top", LH_SURFACE, LH_UNFREED, g_ready, p_wash, p_mix}, {"fast in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE},
    {"slow in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE}, {"ready in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE},
    {"microbes", LH_SOIL, LH_MICROBES, LH_NONE, LH_NONE, LH_NONE},    {"humus", LH_SOIL, LH_HUMUS, LH_NONE, LH_NONE, LH_NONE},
};

// Four flows for each of the four decaying pools, in the order of Pool; then the rest.
enum FlowOfPool { f_build_free, f_build_starving, f_free, f_take, n_flow_of_pool };
inline constexpr int k_decaying[4] = {s_fast, s_slow, g_fast, g_slow};
enum Flow { f_ready_top = 4 * n_flow_of_pool, f_ready_soil, f_humus, f_death, n_flow };

#define DECAY(label, pool, freed)                                                                                                       \
  {label ": into microbes", pool, microbes, pool, 0, 0, {0, 0}}, {label ": into microbes, if fed", pool, microbes, pool, 1, 0, {0, 0}}, \
      {label ": freed", pool, freed, pool, 0, 0, {0, 0}}, {                                                                             \
    label ": tied up", LH_MINERAL, microbes, pool, 1, 0, { 0, 0 }                                                                       \
  }
inline constexpr lh_flow k_flows[n_flow] = {
    DECAY("fast on top", s_fast, LH_SURFACE_AMMONIUM),
    DECAY("slow on top", s_slow, LH_SURFACE_AMMONIUM),
    DECAY("fast in soil", g_fast, LH_AMMONIUM),
    DECAY("slow in soil", g_slow, LH_AMMONIUM),
    {"ready on top: freed", s_ready, LH_SURFACE_AMMONIUM, s_ready, 0, 0, {0, 0}},
    {"ready in soil: freed", g_ready, LH_AMMONIUM, g_ready, 0, 0, {0, 0}},
    {"dead microbes: into humus", microbes, humus, microbes, 0, 0, {0, 0}},
    {"dead microbes: freed", microbes, LH_AMMONIUM, microbes, 0, 0, {0, 0}},
};
#undef DECAY

inline int32_t check(const double* p, char* text, int32_t n) {
  if (p[p_ammonium] <= p[p_ready]) return LH_OK;
  return say_why::refuse("ammonium_frac is a part of ready_frac, so it can be no more than that: lower it, or raise ready_frac", text, n);
}

inline int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double*) {
  const int n = day->m_pad;
  const auto param = [&](int p, int i) { return row(day->parameter, p, n)[i]; };
  for (int i = 0; i < n; ++i) {
    const double given = day->given_kg_n_ha[i], ready = param(p_ready, i), ammonium = param(p_ammonium, i), fast = param(p_fast, i);
    row(pool, s_fast, n)[i] = given * (1 - ready) * fast;
    row(pool, s_slow, n)[i] = given * (1 - ready) * (1 - fast);
    row(pool, s_ready, n)[i] = given * (ready - ammonium);
    for (int p = g_fast; p < n_pool; ++p) row(pool, p, n)[i] = 0;
    surface_ammonium[i] = given * ammonium;
  }
  return LH_OK;
}

/// `on_top(lane)`: speed on the surface over what its responses say, 0 or more.
template <class OnTop>
int32_t rates(const lh_day* day, double* coef, const OnTop& on_top) {
  const int n = day->m_pad;
  const auto param = [&](int p, int i) { return row(day->parameter, p, n)[i]; };
  const auto response = [&](int r, int i) { return row(day->response, r, n)[i]; };
  for (int i = 0; i < n; ++i) {
    // N that microbes want for each N that decays; above 1 the material cannot pay for it itself.
    const double want = param(p_efficiency, i) * param(p_cn, i) / param(p_cn_microbes, i);
    const double top = on_top(i);
    const bool poor = want > 1;
    for (int d = 0; d < 4; ++d) {
      const bool lies_on_top = k_decaying[d] == s_fast || k_decaying[d] == s_slow;
      const bool fast = k_decaying[d] == s_fast || k_decaying[d] == g_fast;
      const double g = lies_on_top ? top * response(r_decay_surface, i) : response(r_decay_soil, i);
      const double k = g * param(fast ? p_k_fast : p_k_slow, i);
      const auto set = [&](int f, double value) { row(coef, d * n_flow_of_pool + f, n)[i] = value; };
      set(f_build_free, poor ? param(p_starved, i) * k : want * k);
      set(f_build_starving, poor ? (1 - param(p_starved, i)) * k : 0);
      set(f_free, poor ? 0 : (1 - want) * k);
      set(f_take, poor ? (want - 1) * k : 0);
    }
    row(coef, f_ready_top, n)[i] = top * param(p_k_ready, i) * response(r_ready_surface, i);
    row(coef, f_ready_soil, n)[i] = param(p_k_ready, i) * response(r_ready_soil, i);
    const double die = param(p_k_death, i) * response(r_decay_soil, i);
    row(coef, f_humus, n)[i] = param(p_humus, i) * die;
    row(coef, f_death, n)[i] = (1 - param(p_humus, i)) * die;
  }
  return LH_OK;
}

}  // namespace decay
