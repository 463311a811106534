// parallel.hpp where there are no threads: a page opened from a memory stick may not share memory between workers.
#include "host/parallel.hpp"

namespace leafhunger {

OneThread::OneThread() : before_(true) {}
OneThread::~OneThread() { static_cast<void>(before_); }

unsigned default_threads() { return 1; }

// The first exception by index is the first there is.
void parallel_for(std::size_t n, const std::function<void(std::size_t)>& work, unsigned) {
  for (std::size_t i = 0; i < n; ++i) work(i);
}

}  // namespace leafhunger
