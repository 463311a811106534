// Bulky matter laid on top: decay.hpp with a surface of its own. Only its sole touches the soil, so the deeper it lies the slower each part
// of it goes; it has its own wetness, that of the last days' rain; it takes mineral N at its contact alone; and it shrinks as it goes,
// since the host weighs what is left (day->mulch_t_dm_ha, all bulky matter of the column, so splitting a mulch changes nothing).
#include <algorithm>
#include <array>

#include "decay.hpp"

namespace {

using decay::row;

enum Parameter { p_contact_mass = decay::n_parameter, p_wet, n_parameter };

// The shared ones, three of them with defaults of a mulch, and two of its own.
constexpr std::array<lh_parameter, n_parameter> k_parameters = [] {
  std::array<lh_parameter, n_parameter> all{};
  for (int p = 0; p < decay::n_parameter; ++p) all[p] = decay::k_parameters[p];
  all[decay::p_wash].def = 1e9;  // rain carries no chips
  all[decay::p_mix].def = 0.001;
  all[decay::p_contact].def = 1;  // the depth of the mulch sets its contact
  all[p_contact_mass] = {"contact_t_dm_ha",
                         "t/ha",
                         "mulch whose sole touches the soil, dry matter: speed is 1/(1 + all mulch there/this)",
                         "our own guess: 1 kg/m2",
                         10,
                         0.5,
                         1000};
  all[p_wet] = {"wet_mm", "mm/d", "rain, mean of three days, from which the mulch is wet through", "our own guess", 2, 0.05, 50};
  return all;
}();

// What lies on top is wet by its own rain, not by the soil's water.
constexpr lh_response k_responses[decay::n_response] = {
    {"decay on top", "lloyd_taylor", "flat", LH_SURFACE, LH_NONE, LH_NONE},
    {"decay in soil", "lloyd_taylor", "relative_wet", LH_SOIL, LH_NONE, LH_NONE},
    {"ready on top", "arrhenius", "flat", LH_SURFACE, decay::p_ready_ref, decay::p_ready_ea},
    {"ready in soil", "arrhenius", "relative_wet", LH_SOIL, decay::p_ready_ref, decay::p_ready_ea},
};

int32_t rates(const lh_day* day, const double*, const double*, double* coef, double*) {
  const auto param = [&](int p, int i) { return row(day->parameter, p, day->m_pad)[i]; };
  return decay::rates(day, coef, [&](int i) {
    const double wet = std::clamp(day->rain3_mm[i] / param(p_wet, i), 0.0, 1.0);
    const double touching = 1 / (1 + std::max(0.0, day->mulch_t_dm_ha[i]) / param(p_contact_mass, i));
    return param(decay::p_contact, i) * wet * touching;
  });
}

constexpr lh_release k_model = leafhunger::sdk::release(
    {.name = "bulky-mulch",
     .summary = "organic matter laid on top: works at its sole, dries, shrinks, ties N up where it touches the soil",
     .licence = "MIT",
     .source = "decay as organic-two-pool; contact and wetness our own form",
     .parameters = k_parameters,
     .responses = k_responses,
     .pools = decay::k_pools,
     .flows = decay::k_flows,
     .start = decay::start,
     .rates = rates,
     .check = decay::check});

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return leafhunger::sdk::plugins_of<k_model>(); }
