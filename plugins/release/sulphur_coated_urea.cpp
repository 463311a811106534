// Sulphur-coated urea: grains whose coat is cracked give their urea with the first wetting, the others as microbes and warmth open them.
#include "urea.hpp"

namespace {

using leafhunger::sdk::row;

enum Parameter {
  p_burst,
  p_per_day,
  p_q10,
  p_reference,
  p_on_top,
  p_hydrolysis,
  p_hydrolysis_top,
  p_urea_reference,
  p_urea_activation,
  p_wash,
  p_dissolved_wash,
  p_mix,
  n_parameter
};
constexpr lh_parameter k_parameters[n_parameter] = {
    {"burst_frac", "-", "share in grains whose coat is cracked: urea from the first hour", "from memory: 7-day dissolution 25 to 35 %", 0.3,
     0, 1},
    {"per_day", "1/d", "share of the sealed grains that opens each day, moist, at the reference temperature; lower with a heavier coat",
     "our own guess", 0.012, 0.0005, 0.2},
    {"q10", "-", "factor for 10 degC", "our own guess; much faster when warm (Allen, Hunt & Terman 1971, names from memory)", 2, 1, 4},
    {"reference_c", "degC", "temperature at which per_day is meant", "definition", 25, 0, 40},
    {"top_frac", "-", "speed of opening on the surface over that in the soil", "our own guess; order after Allen, Hunt & Terman 1971", 0.7,
     0, 1},
    urea::k_per_day,
    urea::k_top_per_day,
    urea::k_hydrolysis_reference_c,
    urea::k_hydrolysis_activation,
    {"particle_wash_mm", "mm", "rain that carries all but 1/e of the grains in", "our own guess, by form", 40, 0, 1e9},
    urea::k_wash,
    {"mix_per_day", "1/d", "carried in by soil life", "our own guess", 0.01, 0, 1},
};

enum Response { r_coat_top, r_coat_soil, r_urea_top, r_urea_soil, n_response };
constexpr lh_response k_responses[n_response] = {
    {"coat on top", "q10", "relative_wet", LH_SURFACE, p_reference, p_q10},
    {"coat in soil", "q10", "relative_wet", LH_SOIL, p_reference, p_q10},
    {"hydrolysis on top", "arrhenius", "urease_wet", LH_SURFACE, p_urea_reference, p_urea_activation},
    {"hydrolysis in soil", "arrhenius", "urease_wet", LH_SOIL, p_urea_reference, p_urea_activation},
};
enum Pool { s_sealed, s_urea, g_sealed, g_urea, n_pool };
constexpr lh_pool k_pools[n_pool] = {{"sealed on top", LH_SURFACE, LH_UNFREED, g_sealed, p_wash, p_mix},
                                     {"urea on top", LH_SURFACE, LH_UNFREED, g_urea, p_dissolved_wash, p_mix},
                                     {"sealed in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE},
                                     {"urea in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE}};
enum Flow { f_open_top, f_open_soil, f_top, f_soil, n_flow };
constexpr lh_flow k_flows[n_flow] = {{"opened on top", s_sealed, s_urea, s_sealed, 0, 0, {0, 0}},
                                     {"opened in soil", g_sealed, g_urea, g_sealed, 0, 0, {0, 0}},
                                     {"hydrolysed on top", s_urea, LH_SURFACE_AMMONIUM, s_urea, 0, 0, {0, 0}},
                                     {"hydrolysed in soil", g_urea, LH_AMMONIUM, g_urea, 0, 0, {0, 0}}};

int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double*) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    const double given = day->given_kg_n_ha[i], burst = row(day->parameter, p_burst, n)[i];
    row(pool, s_sealed, n)[i] = given * (1 - burst);
    row(pool, s_urea, n)[i] = given * burst;
    row(pool, g_sealed, n)[i] = row(pool, g_urea, n)[i] = surface_ammonium[i] = 0;
  }
  return LH_OK;
}

int32_t rates(const lh_day* day, const double*, const double*, double* coef, double*) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    const auto param = [&](int p) { return row(day->parameter, p, n)[i]; };
    const auto response = [&](int r) { return row(day->response, r, n)[i]; };
    row(coef, f_open_top, n)[i] = param(p_on_top) * param(p_per_day) * response(r_coat_top);
    row(coef, f_open_soil, n)[i] = param(p_per_day) * response(r_coat_soil);
    row(coef, f_top, n)[i] = param(p_hydrolysis_top) * response(r_urea_top);
    row(coef, f_soil, n)[i] = param(p_hydrolysis) * response(r_urea_soil);
  }
  return LH_OK;
}

constexpr lh_release k_model =
    leafhunger::sdk::release({.name = "sulphur-coated-urea",
                              .summary = "urea in coats of sulphur, some of them cracked from the start",
                              .licence = "MIT",
                              .source = "order after Allen, Hunt & Terman 1971 (names from memory); rates our own guess",
                              .parameters = k_parameters,
                              .responses = k_responses,
                              .pools = k_pools,
                              .flows = k_flows,
                              .start = start,
                              .rates = rates});

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return leafhunger::sdk::plugins_of<k_model>(); }
