// Names of files to be written.
#pragma once

#include <filesystem>
#include <string>

#include "leafhunger/error.hpp"

namespace leafhunger::cli {

/// Throws InputError where the file named with --out ends otherwise than in `ending`; `what` is what is written, such as "the picture".
inline void require_ending(const std::string& path, const char* ending, const char* what) {
  const std::string there = std::filesystem::path(path).extension().string();
  if (there == ending) return;
  throw InputError({path, "--out", there.empty() ? "a name without an ending" : "the ending \"" + there + "\"",
                    std::string(ending) + " for " + what, std::string("such as --out answer") + ending});
}

}  // namespace leafhunger::cli
