// Says that it has a model, but gives no table of them.
#include "sample.hpp"

static const lh_plugins k_plugins = {LH_ABI, sizeof(lh_plugins), 1, 0, nullptr, nullptr};
LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return &k_plugins; }
