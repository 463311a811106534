// What goes wrong, on the output of errors.
#pragma once

#include <unistd.h>

#include <iostream>
#include <string>

#include "folded.hpp"

namespace leafhunger::cli {

/// The sentence behind the program's name. Folded where a person reads it; one line where a program or a file does.
inline void complain(const std::string& sentence) {
  const std::string line = "leafhunger: " + sentence;
  std::cerr << (isatty(STDERR_FILENO) != 0 ? folded(line, 2) : line + '\n');
}

}  // namespace leafhunger::cli
