// Plain urea, and nothing that holds it back.
#include "plain_urea.hpp"

namespace {

constexpr lh_parameter k_parameters[plain_urea::n_parameter] = {urea::k_per_day,    urea::k_top_per_day, urea::k_reference_c,
                                                                urea::k_activation, urea::k_wash,        urea::k_mix};

int32_t rates(const lh_day* day, const double*, const double*, double* coef, double*) {
  return plain_urea::rates(day, coef, [](int) { return 1.0; });
}

constexpr lh_release k_model =
    leafhunger::sdk::release({.name = "urea",
                              .summary = "urea that the soil turns into ammonium within days",
                              .licence = "MIT",
                              .source = "Lasisi & Akinremi 2021 (warmth); Yadav et al. 1987 (water); Black et al. 1987 (surface)",
                              .parameters = k_parameters,
                              .responses = plain_urea::k_responses,
                              .pools = plain_urea::k_pools,
                              .flows = plain_urea::k_flows,
                              .start = plain_urea::start,
                              .rates = rates});

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return leafhunger::sdk::plugins_of<k_model>(); }
