// Answers with a null pointer.
#include "sample.hpp"

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return nullptr; }
