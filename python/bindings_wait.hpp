// Long calls: Python's lock is let go, Ctrl-C and a progress function are served by the thread that called.
#pragma once

#include <chrono>
#include <condition_variable>
#include <exception>
#include <mutex>
#include <optional>
#include <thread>
#include <utility>

#include "bindings_register.hpp"
#include "leafhunger/control.hpp"

namespace leafhunger::bindings {

/// Calls `work(control)` on another thread and waits for it, looking for signals meanwhile. `progress` is None or a function of how many of
/// how many are done. What a signal or that function raises stops the work and is raised here. Models written in Python are served on the
/// calling thread instead, where signals reach them by themselves; then nothing is told.
template <class Work>
auto stoppable(bool python_models, const py::object& progress, const Work& work) {
  if (python_models) return without_lock(true, [&] { return work(Control{}); });
  using Answer = decltype(work(Control{}));
  std::mutex mutex;
  std::condition_variable changed;
  std::pair<std::size_t, std::size_t> done{0, 0};
  bool over = false;
  std::optional<Answer> answer;
  std::exception_ptr fault;
  std::stop_source stop;
  Control control;
  control.stop = stop.get_token();
  control.progress = [&](std::size_t k, std::size_t of) {
    const std::scoped_lock lock(mutex);
    done = {k, of};
  };
  std::jthread worker([&] {
    try {
      answer.emplace(work(control));
    } catch (...) {
      fault = std::current_exception();
    }
    const std::scoped_lock lock(mutex);
    over = true;
    changed.notify_one();
  });
  // However this ends, the worker has to, without Python's lock, which it may want.
  struct Joined {
    std::stop_source& stop;
    std::jthread& worker;
    ~Joined() {
      if (!worker.joinable()) return;
      stop.request_stop();
      const py::gil_scoped_release no_gil;
      worker.join();
    }
  } const joined{stop, worker};
  std::pair<std::size_t, std::size_t> told{0, 0}, now;
  for (bool ended = false; !ended;) {
    {
      const py::gil_scoped_release no_gil;
      std::unique_lock lock(mutex);
      ended = changed.wait_for(lock, std::chrono::milliseconds(50), [&] { return over; });
      now = done;
    }
    if (PyErr_CheckSignals() != 0) throw py::error_already_set();
    if (!progress.is_none() && now != told) progress(now.first, now.second);
    told = now;
  }
  {
    const py::gil_scoped_release no_gil;
    worker.join();
  }
  if (fault) std::rethrow_exception(fault);
  return std::move(*answer);
}

}  // namespace leafhunger::bindings
