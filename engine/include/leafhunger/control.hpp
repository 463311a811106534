// How a long call says how far it is, and how it is told to stop.
#pragma once

#include <cstddef>
#include <functional>
#include <stop_token>

namespace leafhunger {

struct Control {
  /// Called from the working threads, one at a time; `of` may change as it learns what there is to do.
  std::function<void(std::size_t done, std::size_t of)> progress;
  /// Looked at between batches of seasons. A call that was stopped returns what was finished by then and says so.
  std::stop_token stop;

  bool stopped() const { return stop.stop_requested(); }
};

}  // namespace leafhunger
