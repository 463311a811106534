// A line on the terminal that counts up while a long answer is worked out.
#pragma once

#include <unistd.h>

#include <cstddef>
#include <iostream>
#include <string>
#include <utility>

namespace leafhunger::cli {

/// Shown on the terminal alone, and wiped in the end; nothing where the output of errors goes to a file.
class Progress {
 public:
  explicit Progress(std::string what) : what_(std::move(what)), shown_(isatty(STDERR_FILENO) != 0) {}
  ~Progress() {
    if (shown_ && last_ >= 0) std::cerr << '\r' << std::string(what_.size() + 12, ' ') << '\r' << std::flush;
  }
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  void operator()(std::size_t done, std::size_t of) {
    const int percent = static_cast<int>(100 * done / of);
    if (!shown_ || percent == last_) return;
    last_ = percent;
    std::cerr << '\r' << what_ << ' ' << percent << " %" << std::flush;
  }

 private:
  std::string what_;
  bool shown_;
  int last_ = -1;
};

}  // namespace leafhunger::cli
