// Methylene urea and ureaform: chains of several lengths, the short ones dissolve in cold water, longer ones in hot water, the longest in
// none. Microbes take each apart at its own pace. Without fractions on the label all of it is one pool, at the pace of whole ureaform.
#include "say_why.hpp"
#include "urea.hpp"

namespace {

using leafhunger::sdk::row;

enum Parameter {
  p_urea,
  p_cold,
  p_hot,
  p_k_cold,
  p_k_hot,
  p_k_insoluble,
  p_k_urea,
  p_k_urea_top,
  p_reference,
  p_activation,
  p_urea_reference,
  p_urea_activation,
  p_wash,
  p_dissolved_wash,
  p_mix,
  p_contact,
  n_parameter
};
constexpr lh_parameter k_parameters[n_parameter] = {
    {"urea_frac", "-", "share of N that is free urea", "label", 0, 0, 1},
    {"cold_soluble_frac", "-", "share of N in chains that cold water dissolves, urea not counted", "label", 0, 0, 1},
    {"hot_soluble_frac", "-", "share of N in chains that only hot water dissolves; the rest is insoluble", "label", 0, 0, 1},
    {"cold_per_day", "1/d", "freed each day of the cold-soluble chains, moist, at the reference temperature", "our own guess", 0.03, 0.001,
     0.5},
    {"hot_per_day", "1/d", "the same of the hot-soluble chains", "our own guess", 0.005, 0.0002, 0.1},
    {"insoluble_per_day", "1/d", "the same of the rest: default for whole ureaform as one pool; about 0.001 where fractions are given",
     "fitted to ureaform in two soils (Basaraba 1964, name from memory); 0.001 our own guess", 0.00484, 0.0001, 0.05},
    urea::renamed(urea::k_per_day, "urea_per_day"),
    urea::renamed(urea::k_top_per_day, "urea_top_per_day"),
    {"reference_c", "degC", "temperature at which the speeds of the chains are meant", "definition", 20, 0, 40},
    {"activation_kj_mol", "kJ/mol", "activation energy of taking chains apart",
     "fitted to ureaform at 10 to 30 degC (Basaraba 1964, name from memory)", 49.6, 0, 120},
    urea::k_hydrolysis_reference_c,
    urea::k_hydrolysis_activation,
    {"particle_wash_mm", "mm", "rain that carries all but 1/e of the particles in", "our own guess, by form", 10, 0, 1e9},
    urea::k_wash,
    {"mix_per_day", "1/d", "carried in by soil life", "our own guess", 0.01, 0, 1},
    {"contact_frac", "-", "speed on the surface over that in the soil, of the chains", "our own guess, by form", 0.5, 0, 1},
};

enum Response { r_chains_top, r_chains_soil, r_urea_top, r_urea_soil, n_response };
constexpr lh_response k_responses[n_response] = {
    {"chains on top", "arrhenius", "relative_wet", LH_SURFACE, p_reference, p_activation},
    {"chains in soil", "arrhenius", "relative_wet", LH_SOIL, p_reference, p_activation},
    {"hydrolysis on top", "arrhenius", "urease_wet", LH_SURFACE, p_urea_reference, p_urea_activation},
    {"hydrolysis in soil", "arrhenius", "urease_wet", LH_SOIL, p_urea_reference, p_urea_activation},
};

enum Pool { s_urea, s_cold, s_hot, s_rest, g_urea, g_cold, g_hot, g_rest, n_pool };
constexpr lh_pool k_pools[n_pool] = {
    {"urea on top", LH_SURFACE, LH_UNFREED, g_urea, p_dissolved_wash, p_mix},
    {"cold-soluble on top", LH_SURFACE, LH_UNFREED, g_cold, p_wash, p_mix},
    {"hot-soluble on top", LH_SURFACE, LH_UNFREED, g_hot, p_wash, p_mix},
    {"insoluble on top", LH_SURFACE, LH_UNFREED, g_rest, p_wash, p_mix},
    {"urea in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE},
    {"cold-soluble in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE},
    {"hot-soluble in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE},
    {"insoluble in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE},
};

// One flow a pool, in the order of Pool.
constexpr lh_flow k_flows[n_pool] = {
    {"urea on top: hydrolysed", s_urea, LH_SURFACE_AMMONIUM, s_urea, 0, 0, {0, 0}},
    {"cold-soluble on top: freed", s_cold, LH_SURFACE_AMMONIUM, s_cold, 0, 0, {0, 0}},
    {"hot-soluble on top: freed", s_hot, LH_SURFACE_AMMONIUM, s_hot, 0, 0, {0, 0}},
    {"insoluble on top: freed", s_rest, LH_SURFACE_AMMONIUM, s_rest, 0, 0, {0, 0}},
    {"urea in soil: hydrolysed", g_urea, LH_AMMONIUM, g_urea, 0, 0, {0, 0}},
    {"cold-soluble in soil: freed", g_cold, LH_AMMONIUM, g_cold, 0, 0, {0, 0}},
    {"hot-soluble in soil: freed", g_hot, LH_AMMONIUM, g_hot, 0, 0, {0, 0}},
    {"insoluble in soil: freed", g_rest, LH_AMMONIUM, g_rest, 0, 0, {0, 0}},
};

int32_t check(const double* p, char* text, int32_t n) {
  if (p[p_urea] + p[p_cold] + p[p_hot] <= 1) return LH_OK;
  return say_why::refuse("urea_frac, cold_soluble_frac and hot_soluble_frac are shares of one whole, so they can add up to 1 at most", text,
                         n);
}

int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double*) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    const double given = day->given_kg_n_ha[i], urea = row(day->parameter, p_urea, n)[i], cold = row(day->parameter, p_cold, n)[i],
                 hot = row(day->parameter, p_hot, n)[i], rest = 1 - urea - cold - hot;
    row(pool, s_urea, n)[i] = given * urea;
    row(pool, s_cold, n)[i] = given * cold;
    row(pool, s_hot, n)[i] = given * hot;
    row(pool, s_rest, n)[i] = given * (rest > 0 ? rest : 0);  // three tenths and seven may miss 1 by a bit
    for (int p = g_urea; p < n_pool; ++p) row(pool, p, n)[i] = 0;
    surface_ammonium[i] = 0;
  }
  return LH_OK;
}

int32_t rates(const lh_day* day, const double*, const double*, double* coef, double*) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    const auto param = [&](int p) { return row(day->parameter, p, n)[i]; };
    const auto response = [&](int r) { return row(day->response, r, n)[i]; };
    const double top = param(p_contact) * response(r_chains_top), soil = response(r_chains_soil);
    row(coef, s_urea, n)[i] = param(p_k_urea_top) * response(r_urea_top);
    row(coef, s_cold, n)[i] = param(p_k_cold) * top;
    row(coef, s_hot, n)[i] = param(p_k_hot) * top;
    row(coef, s_rest, n)[i] = param(p_k_insoluble) * top;
    row(coef, g_urea, n)[i] = param(p_k_urea) * response(r_urea_soil);
    row(coef, g_cold, n)[i] = param(p_k_cold) * soil;
    row(coef, g_hot, n)[i] = param(p_k_hot) * soil;
    row(coef, g_rest, n)[i] = param(p_k_insoluble) * soil;
  }
  return LH_OK;
}

constexpr lh_release k_model =
    leafhunger::sdk::release({.name = "methylene-urea",
                              .summary = "chains of urea that microbes take apart, short ones first",
                              .licence = "MIT",
                              .source = "ureaform at 10 to 30 degC (Basaraba 1964, name from memory); fractions our own guess",
                              .parameters = k_parameters,
                              .responses = k_responses,
                              .pools = k_pools,
                              .flows = k_flows,
                              .start = start,
                              .rates = rates,
                              .check = check});

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return leafhunger::sdk::plugins_of<k_model>(); }
