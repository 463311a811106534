// Calls across the plugin line. A plugin must not throw; one that does stops the run with a sentence, never the process.
#pragma once

#include <exception>
#include <string>

#include "leafhunger/plugin.h"

namespace leafhunger {

/// Calls a function of a plugin. `refuse(why)` throws; it is called for any status but LH_OK and for whatever is thrown.
template <class Call, class Refuse>
void call_plugin(const Call& call, const Refuse& refuse) {
  std::string why;
  try {
    const int32_t status = call();
    if (status == LH_OK) return;
    why = "failed with status " + std::to_string(status);
  } catch (const std::exception& e) {
    why = std::string("threw an exception, which no plugin may: ") + e.what();
  } catch (...) {
    why = "threw something, which no plugin may";
  }
  refuse(why);
}

}  // namespace leafhunger
