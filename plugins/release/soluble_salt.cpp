// Soluble salts: all of the N is nitrate or ammonium from the first hour; rain or dew dissolves and carries it in.
#include "leafhunger/plugin_sdk.hpp"

namespace {

using leafhunger::sdk::row;

enum Parameter { p_nitrate, p_wash, p_dew, n_parameter };
constexpr lh_parameter k_parameters[n_parameter] = {
    {"nitrate_frac", "-", "share of N that is nitrate; the rest is ammonium", "label", 0.5, 0, 1},
    {"dissolved_wash_mm", "mm", "rain that carries all but 1/e of the nitrate in", "derived from Black, Sherlock & Smith 1987", 4, 0, 1e6},
    {"dew_per_day", "1/d", "dissolved and carried in by dew", "our own guess", 0.05, 0, 1},
};

constexpr lh_pool k_pools[] = {{"nitrate on top", LH_SURFACE, LH_UNFREED, LH_NITRATE, p_wash, p_dew}};

int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double*) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    const double nitrate = row(day->parameter, p_nitrate, n)[i];
    pool[i] = day->given_kg_n_ha[i] * nitrate;
    surface_ammonium[i] = day->given_kg_n_ha[i] * (1 - nitrate);
  }
  return LH_OK;
}

// Nothing decays: the host's wash-in and its surface ammonium do all the work.
int32_t rates(const lh_day*, const double*, const double*, double*, double*) { return LH_OK; }

constexpr lh_release k_model = leafhunger::sdk::release({.name = "soluble-salt",
                                                         .summary = "nitrate and ammonium salts, free at once",
                                                         .licence = "MIT",
                                                         .source = "definition of a soluble salt",
                                                         .parameters = k_parameters,
                                                         .pools = k_pools,
                                                         .start = start,
                                                         .rates = rates});

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return leafhunger::sdk::plugins_of<k_model>(); }
