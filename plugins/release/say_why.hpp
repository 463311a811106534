// How a model's `check` says why it refuses: the sentence, cut to the room that the host gives.
#pragma once

#include "leafhunger/plugin_sdk.hpp"

namespace say_why {

/// Writes `why` and its closing 0 into at most `n` bytes.
inline int32_t refuse(const char* why, char* text, int32_t n) {
  for (int32_t i = 0; i < n; ++i) {
    text[i] = i + 1 == n ? '\0' : why[i];
    if (text[i] == '\0') break;
  }
  return LH_BAD_PARAMETER;
}

}  // namespace say_why
