// Work shared over threads. Each index writes its own place, so the result does not depend on who did what.
#pragma once

#include <cstddef>
#include <functional>

namespace leafhunger {

/// Calls work(i) for i in 0..n-1 on up to `threads` threads (0: one a core). The first exception by index is rethrown when all have
/// stopped.
void parallel_for(std::size_t n, const std::function<void(std::size_t)>& work, unsigned threads = 0);
/// What 0 threads means; settable once for the process by LEAFHUNGER_THREADS.
unsigned default_threads();

}  // namespace leafhunger
