// Work shared over threads. Each index writes its own place, so the result does not depend on who did what.
#pragma once

#include <cstddef>
#include <functional>

namespace leafhunger {

/// Calls work(i) for i in 0..n-1 on up to `threads` threads (0: one a core). The first exception by index is rethrown when all have
/// stopped.
void parallel_for(std::size_t n, const std::function<void(std::size_t)>& work, unsigned threads = 0);
/// While one lives, parallel_for on its thread does all the work itself: for models that are not to be called from several threads.
class OneThread {
 public:
  OneThread();
  ~OneThread();
  OneThread(const OneThread&) = delete;
  OneThread& operator=(const OneThread&) = delete;

 private:
  bool before_;
};
/// What 0 threads means; settable once for the process by LEAFHUNGER_THREADS.
unsigned default_threads();

}  // namespace leafhunger
