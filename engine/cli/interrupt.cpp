#include "interrupt.hpp"

#include <pthread.h>
#include <signal.h>
#include <unistd.h>

#include <ctime>

namespace leafhunger::cli {
namespace {

sigset_t ctrl_c() {
  sigset_t set;
  sigemptyset(&set);
  sigaddset(&set, SIGINT);
  return set;
}

}  // namespace

Interrupt::Interrupt() {
  const sigset_t set = ctrl_c();
  pthread_sigmask(SIG_BLOCK, &set, nullptr);
  watch_ = std::jthread([this, set](const std::stop_token& over) {
    constexpr timespec k_look_again{0, 50'000'000};
    while (!over.stop_requested()) {
      if (sigtimedwait(&set, nullptr, &k_look_again) != SIGINT) continue;
      if (!asked_.request_stop()) _exit(k_stopped);  // asked before
    }
  });
}

Interrupt::~Interrupt() = default;

}  // namespace leafhunger::cli
