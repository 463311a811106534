// A plugin as an author outside the tree would write it: all nitrate, washed in by rain.
#include <leafhunger/plugin_sdk.hpp>

namespace {

constexpr lh_parameter k_parameters[] = {{"wash_mm", "mm", "rain that carries all but 1/e in", "a guess", 5, 0, 1e6}};
constexpr lh_pool k_pools[] = {{"salt", LH_SURFACE, LH_UNFREED, LH_NITRATE, 0, LH_NONE}};

int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double*) {
  for (int i = 0; i < day->m_pad; ++i) pool[i] = day->given_kg_n_ha[i], surface_ammonium[i] = 0;
  return LH_OK;
}
int32_t rates(const lh_day*, const double*, const double*, double*, double*) { return LH_OK; }

constexpr lh_release k_model = {sizeof(lh_release),
                                {"outside-salt", "1.0", "a salt from outside", "MIT", "a guess", 1, k_parameters, nullptr},
                                0,
                                1,
                                0,
                                0,
                                nullptr,
                                k_pools,
                                nullptr,
                                nullptr,
                                start,
                                rates,
                                nullptr};
constexpr const lh_release* k_release[] = {&k_model};
constexpr lh_plugins k_plugins = {LH_ABI, sizeof(lh_plugins), 1, 0, k_release, nullptr};

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return &k_plugins; }
