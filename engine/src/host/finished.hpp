// Answers of a long call, one a planting: all of them, or those that were finished when it was told to stop.
#pragma once

#include <mutex>
#include <optional>
#include <utility>
#include <vector>

#include "leafhunger/control.hpp"
#include "parallel.hpp"

namespace leafhunger {

/// `of(i)` for i in 0..n-1 on all cores, in the order of i. It answers an Answer, or an optional one where it may break off.
template <class Answer, class Of>
std::vector<Answer> finished(std::size_t n, const Control& control, const Of& of) {
  std::vector<std::optional<Answer>> answered(n);
  std::mutex telling;
  std::size_t done = 0;
  parallel_for(n, [&](std::size_t i) {
    if (control.stopped()) return;
    answered[i] = of(i);
    if (!answered[i]) return;
    const std::scoped_lock lock(telling);
    ++done;
    if (control.progress) control.progress(done, n);
  });
  std::vector<Answer> out;
  for (auto& a : answered)
    if (a) out.push_back(std::move(*a));
  return out;
}

}  // namespace leafhunger
