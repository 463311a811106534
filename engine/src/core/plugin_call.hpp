// Calls across the plugin line. A plugin must not throw; one that does stops the run with a sentence, never the process.
#pragma once

#include <exception>
#include <string>

#include "leafhunger/plugin.h"

namespace leafhunger {

/// Calls a function of a plugin and answers its status. `refuse(why)` throws; it is called for whatever is thrown.
template <class Call, class Refuse>
int32_t status_of(const Call& call, const Refuse& refuse) {
  std::string why;
  try {
    return call();
  } catch (const std::exception& e) {
    why = std::string("threw an exception, which no plugin may: ") + e.what();
  } catch (...) {
    why = "threw something, which no plugin may";
  }
  refuse(why);
  return LH_FAILED;
}

/// The same, where any status but LH_OK is refused too.
template <class Call, class Refuse>
void call_plugin(const Call& call, const Refuse& refuse) {
  const int32_t status = status_of(call, refuse);
  if (status != LH_OK) refuse("failed with status " + std::to_string(status));
}

}  // namespace leafhunger
