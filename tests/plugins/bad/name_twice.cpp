// Two models of one name in one library.
#include "sample.hpp"

static constexpr lh_release k_one = sample::release("name-twice"), k_two = sample::release("name-twice");
static const lh_release* const k_release[] = {&k_one, &k_two};
static const lh_plugins k_plugins = {LH_ABI, sizeof(lh_plugins), 2, 0, k_release, nullptr};
LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return &k_plugins; }
