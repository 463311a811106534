// Isobutylidene diurea: water takes it apart grain by grain, so small grains go sooner and dry soil stops it; microbes are not needed. The
// urea that it frees turns within days and is not followed by itself.
#include "leafhunger/plugin_sdk.hpp"

namespace {

using leafhunger::sdk::row;

enum Parameter { p_size, p_per_day, p_power, p_q10, p_reference, p_wash, p_mix, p_contact, n_parameter };
constexpr lh_parameter k_parameters[n_parameter] = {
    {"particle_mm", "mm", "diameter of the grains", "label", 1.1, 0.3, 6},
    {"per_day_at_1_mm", "1/d", "freed each day by grains of 1 mm, moist, at the reference temperature",
     "line through three sizes of Hughes 1976 (0.0199, 0.0059, 0.0031 a day at 0.65, 1.1, 1.85 mm)", 0.0084, 0.0005, 0.05},
    {"size_power", "-", "power with which the speed falls with size", "slope of that line", 1.8, 0.5, 3},
    {"q10", "-", "factor for 10 degC", "our own guess", 2, 1, 4},
    {"reference_c", "degC", "temperature at which per_day_at_1_mm is meant", "Hughes 1976", 21, 0, 40},
    {"particle_wash_mm", "mm", "rain that carries all but 1/e of the grains in", "our own guess, by form", 40, 0, 1e9},
    {"mix_per_day", "1/d", "carried in by soil life", "our own guess", 0.01, 0, 1},
    {"contact_frac", "-", "speed on the surface over that in the soil", "our own guess, by form", 0.5, 0, 1},
};

enum Response { r_top, r_soil, n_response };
constexpr lh_response k_responses[n_response] = {
    {"hydrolysis on top", "q10", "relative_water", LH_SURFACE, p_reference, p_q10},
    {"hydrolysis in soil", "q10", "relative_water", LH_SOIL, p_reference, p_q10},
};
enum Pool { s_grain, g_grain, n_pool };
constexpr lh_pool k_pools[n_pool] = {{"grains on top", LH_SURFACE, LH_UNFREED, g_grain, p_wash, p_mix},
                                     {"grains in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE}};
enum Flow { f_top, f_soil, n_flow };
constexpr lh_flow k_flows[n_flow] = {{"freed on top", s_grain, LH_SURFACE_AMMONIUM, s_grain, 0, 0, {0, 0}},
                                     {"freed in soil", g_grain, LH_AMMONIUM, g_grain, 0, 0, {0, 0}}};

int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double*) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    row(pool, s_grain, n)[i] = day->given_kg_n_ha[i];
    row(pool, g_grain, n)[i] = surface_ammonium[i] = 0;
  }
  return LH_OK;
}

int32_t rates(const lh_day* day, const double*, const double*, double* coef, double*) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    const auto param = [&](int p) { return row(day->parameter, p, n)[i]; };
    const double k = param(p_per_day) * std::pow(param(p_size), -param(p_power));
    row(coef, f_top, n)[i] = param(p_contact) * k * row(day->response, r_top, n)[i];
    row(coef, f_soil, n)[i] = k * row(day->response, r_soil, n)[i];
  }
  return LH_OK;
}

constexpr lh_release k_model = leafhunger::sdk::release({.name = "isobutylidene-diurea",
                                                         .summary = "slow nitrogen that water takes apart, small grains first",
                                                         .licence = "MIT",
                                                         .source = "Hughes 1976, Agron. J. 68(1):103-106",
                                                         .parameters = k_parameters,
                                                         .responses = k_responses,
                                                         .pools = k_pools,
                                                         .flows = k_flows,
                                                         .start = start,
                                                         .rates = rates});

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return leafhunger::sdk::plugins_of<k_model>(); }
