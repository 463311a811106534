// Built for an ABI that this host does not speak.
#include "sample.hpp"

static constexpr lh_release k_model = sample::release("other-abi");
static const lh_release* const k_release[] = {&k_model};
static const lh_plugins k_plugins = {LH_ABI + 1, sizeof(lh_plugins), 1, 0, k_release, nullptr};
LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return &k_plugins; }
