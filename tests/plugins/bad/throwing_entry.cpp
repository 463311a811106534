// Throws when it is asked for its models; the class of what it throws lives in the library.
#include <stdexcept>

#include "sample.hpp"

namespace {
struct Sulk : std::runtime_error {
  Sulk() : std::runtime_error("no models today") {}
};
}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { throw Sulk(); }
