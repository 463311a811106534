#include "parallel.hpp"

#include <algorithm>
#include <atomic>
#include <cstdlib>
#include <exception>
#include <thread>
#include <utility>
#include <vector>

namespace leafhunger {
namespace {

thread_local bool t_one_thread = false;

}  // namespace

OneThread::OneThread() : before_(std::exchange(t_one_thread, true)) {}
OneThread::~OneThread() { t_one_thread = before_; }

unsigned default_threads() {
  if (const char* text = std::getenv("LEAFHUNGER_THREADS")) {
    const int n = std::atoi(text);
    if (n > 0) return static_cast<unsigned>(std::min(n, 256));
  }
  return std::max(1u, std::thread::hardware_concurrency());
}

void parallel_for(std::size_t n, const std::function<void(std::size_t)>& work, unsigned threads) {
  if (threads == 0) threads = default_threads();
  if (t_one_thread) threads = 1;
  std::vector<std::exception_ptr> errors(n);
  std::atomic<std::size_t> next{0};
  std::atomic<bool> stop{false};
  const auto run = [&] {
    for (std::size_t i = next++; i < n && !stop; i = next++) {
      try {
        work(i);
      } catch (...) {
        errors[i] = std::current_exception();
        stop = true;
      }
    }
  };
  {
    std::vector<std::jthread> helpers;
    for (std::size_t t = 1; t < std::min<std::size_t>(threads, n); ++t) helpers.emplace_back(run);
    run();
  }
  for (const auto& e : errors)
    if (e) std::rethrow_exception(e);
}

}  // namespace leafhunger
