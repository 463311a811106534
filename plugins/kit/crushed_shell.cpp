// Crushed nut shell: nitrogen in a hard husk, freed at one speed that depends on warmth and moisture. Change it into your own.
#include <leafhunger/plugin_sdk.hpp>

namespace {
using namespace leafhunger::sdk;

// Numbers that a material may set: name, unit, meaning, source, usual value, lower and upper bound.
enum { p_speed, p_reference, p_q10, p_wash, n_parameters };
constexpr lh_parameter k_parameters[n_parameters] = {
    {"freed_per_day", "1/d", "freed each day at reference_c, moist", "invented", 0.02, 0, 1},
    {"reference_c", "degC", "temperature at which that holds", "invented", 15, 0, 40},
    {"q10", "-", "how much faster for 10 degrees more", "invented", 2, 1, 5},
    {"particle_wash_mm", "mm", "rain that carries all but 1/e in", "invented", 30, 0, 1e9},
};
// Speeds that the host works out each day (`leafhunger plugins --responses` lists the laws).
enum { r_top, r_soil, n_responses };
constexpr lh_response k_responses[n_responses] = {{"decay on top", "q10", "relative_wet", LH_SURFACE, p_reference, p_q10},
                                                  {"decay in soil", "q10", "relative_wet", LH_SOIL, p_reference, p_q10}};
// Where nitrogen can be (rain carries what lies on top into the soil), and how it leaves: at a coefficient x what is there.
enum { on_top, in_soil, n_pools };
constexpr lh_pool k_pools[n_pools] = {{"shell on top", LH_SURFACE, LH_UNFREED, in_soil, p_wash, LH_NONE},
                                      {"shell in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE}};
enum { f_top, f_soil, n_flows };
constexpr lh_flow k_flows[n_flows] = {flow("freed on top", on_top, LH_SURFACE_AMMONIUM), flow("freed in soil", in_soil, LH_AMMONIUM)};

// What is given starts on top.
int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double*) {
  return each_member(day, [&](Lane m) { m.in(pool, on_top) = m.given(), m.in(pool, in_soil) = 0, m.in(surface_ammonium) = 0; });
}
// Coefficients of the day, per day; on top it dries and goes at half the speed.
int32_t rates(const lh_day* day, const double*, const double*, double* coef, double*) {
  return each_member(day, [&](Lane m) {
    m.in(coef, f_top) = 0.5 * m.parameter(p_speed) * m.response(r_top);
    m.in(coef, f_soil) = m.parameter(p_speed) * m.response(r_soil);
  });
}
constexpr lh_release k_model = release({.name = "crushed-shell",
                                        .summary = "a husk that frees nitrogen at one speed",
                                        .licence = "MIT",
                                        .source = "invented",
                                        .parameters = k_parameters,
                                        .responses = k_responses,
                                        .pools = k_pools,
                                        .flows = k_flows,
                                        .start = start,
                                        .rates = rates});
}  // namespace
LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return plugins_of<k_model>(); }
