// Urea with a urease inhibitor: hydrolysis starts slowed by a share that fades as the inhibitor breaks down. It has an age of its own, so
// each feeding keeps its own inhibitor.
#include <cmath>

#include "plain_urea.hpp"

namespace {

using plain_urea::row;

enum Parameter { p_inhibitor = plain_urea::n_parameter, p_lasts, n_parameter };
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

constexpr lh_named k_ages[] = {{"age of the inhibitor", "d", "days since it was given"}};

int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double* age) {
  for (int i = 0; i < day->m_pad; ++i) age[i] = 0;
  return plain_urea::start(day, pool, surface_ammonium, age);
}

int32_t rates(const lh_day* day, const double*, const double* age, double* coef, double* age_rate) {
  for (int i = 0; i < day->m_pad; ++i) age_rate[i] = 1;
  return plain_urea::rates(day, coef, [&](int i) {
    // What is left of the inhibitor, mean over the day that begins.
    const double lasts = row(day->parameter, p_lasts, day->m_pad)[i];
    const double left = lasts * -std::expm1(-1 / lasts) * std::exp(-(age[i] > 0 ? age[i] : 0) / lasts);
    return 1 - row(day->parameter, p_inhibitor, day->m_pad)[i] * left;
  });
}

constexpr lh_release k_model = leafhunger::sdk::release({.name = "inhibited-urea",
                                                         .summary = "urea with a urease inhibitor that fades",
                                                         .licence = "MIT",
                                                         .source = "Lasisi & Akinremi 2021; how long it lasts is our own guess",
                                                         .parameters = k_parameters,
                                                         .responses = plain_urea::k_responses,
                                                         .pools = plain_urea::k_pools,
                                                         .flows = plain_urea::k_flows,
                                                         .ages = k_ages,
                                                         .start = start,
                                                         .rates = rates});

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return leafhunger::sdk::plugins_of<k_model>(); }
