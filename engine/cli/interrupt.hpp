// Ctrl-C: the first asks the work to stop where it can, the second ends the process at once.
#pragma once

#include <stop_token>
#include <thread>

namespace leafhunger::cli {

inline constexpr int k_stopped = 130;  ///< exit status, as shells have it

/// To be made in main() before any thread is: threads inherit that they are not to be interrupted themselves.
class Interrupt {
 public:
  Interrupt();
  ~Interrupt();
  Interrupt(const Interrupt&) = delete;
  Interrupt& operator=(const Interrupt&) = delete;
  std::stop_token token() const { return asked_.get_token(); }

 private:
  std::stop_source asked_;
  std::jthread watch_;
};

}  // namespace leafhunger::cli
