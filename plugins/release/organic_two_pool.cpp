// Organic materials as powder, pellets or liquid: decay.hpp, with a surface that works at a constant share of the soil's speed.
#include "decay.hpp"

namespace {

constexpr lh_response k_responses[decay::n_response] = {
    {"decay on top", "lloyd_taylor", "relative_wet", LH_SURFACE, LH_NONE, LH_NONE},
    {"decay in soil", "lloyd_taylor", "relative_wet", LH_SOIL, LH_NONE, LH_NONE},
    {"ready on top", "arrhenius", "relative_wet", LH_SURFACE, decay::p_ready_ref, decay::p_ready_ea},
    {"ready in soil", "arrhenius", "relative_wet", LH_SOIL, decay::p_ready_ref, decay::p_ready_ea},
};

int32_t rates(const lh_day* day, const double*, const double*, double* coef, double*) {
  const double* contact = decay::row(day->parameter, decay::p_contact, day->m_pad);
  return decay::rates(day, coef, [&](int i) { return contact[i]; });
}

constexpr lh_release k_model =
    leafhunger::sdk::release({.name = "organic-two-pool",
                              .version = "1.1",
                              .summary = "organic matter that decays in a fast and a slow pool; microbes tie N up and free it again",
                              .licence = "MIT",
                              .source = "form as reviewed by Manzoni & Porporato 2009 (from memory); rates fitted to published incubations",
                              .parameters = decay::k_parameters,
                              .responses = k_responses,
                              .pools = decay::k_pools,
                              .flows = decay::k_flows,
                              .start = decay::start,
                              .rates = rates,
                              .check = decay::check});

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return leafhunger::sdk::plugins_of<k_model>(); }
