// Release models written in Python, for this process. The C line has no user pointer, so each live model takes one of a fixed number of
// places, each with functions of its own that find their way back to it.
#pragma once

#include <deque>
#include <memory>
#include <string>
#include <vector>

#include "bindings.hpp"
#include "host/parallel.hpp"
#include "leafhunger/error.hpp"

namespace leafhunger {
class Garden;
}

namespace leafhunger::bindings {

// One model: the tables of plugin.h with what they point to, and the two functions.
class PythonModel {
 public:
  static constexpr std::size_t k_places = 32;  ///< that can live at once

  /// `about`: what the package made of its declarations. `initial(given, parameters)` and `rates(day, pools, parameters)` answer with whole
  /// arrays. Throws PluginError where a plugin of that make would be refused, or where there is no room.
  PythonModel(const py::dict& about, py::object initial, py::object rates);
  ~PythonModel();
  PythonModel(const PythonModel&) = delete;
  PythonModel& operator=(const PythonModel&) = delete;

  const lh_plugins* plugins() const { return &plugins_; }
  const std::string& origin() const { return origin_; }
  const lh_release& table() const { return table_; }

  int32_t start(const lh_day& day, double* pool, double* surface_ammonium);
  int32_t rates(const lh_day& day, const double* pool, double* coef);

 private:
  const char* keep(const py::handle& text) { return texts_.emplace_back(py::cast<std::string>(text)).c_str(); }
  // Calls one of the two and hands the answer, [rows][m], to `take(row, lane, value)`.
  template <class Take, class... Arguments>
  int32_t call(const py::object& function, std::size_t rows, const lh_day& day, const Take& take, Arguments&&... arguments);
  py::dict day_of(const lh_day& day) const;
  std::size_t parameters() const { return parameters_.size(); }

  std::deque<std::string> texts_;  // a deque: c_str() stays where it is
  std::vector<lh_parameter> parameters_;
  std::vector<lh_response> responses_;
  std::vector<lh_pool> pools_;
  std::vector<lh_flow> flows_;
  lh_release table_{};
  const lh_release* tables_[1] = {&table_};
  lh_plugins plugins_{};
  std::string origin_;
  std::size_t place_ = k_places;
  py::object initial_, rates_;
};

/// Adds it to the registry, which keeps it alive.
void add_to(PluginRegistry& registry, const std::shared_ptr<PythonModel>& model);
std::string name_of(const PythonModel& model);
/// What it is called in listings and refusals, such as "Python: Shell".
const std::string& origin_of(const PythonModel& model);
/// Whether that model is one written in Python.
bool in_python(const ReleaseModel* model);
/// Whether a material of the garden's catalogue is freed by one.
bool in_python(const Garden& garden);

/// Forgets what a Python model last complained of on this thread.
void forget_complaint();
/// Throws `e` on as Python sees it: with the Python model's own reason, and what it raised as the cause. Needs Python's lock.
[[noreturn]] void throw_with_complaint(const PluginError& e);

/// Runs the engine without Python's lock; on one thread where Python models take part, since they must not meet themselves.
template <class Work>
auto without_lock(bool python_models, const Work& work) {
  forget_complaint();
  try {
    const py::gil_scoped_release no_gil;
    std::optional<OneThread> one;
    if (python_models) one.emplace();
    return work();
  } catch (const PluginError& e) {
    throw_with_complaint(e);
  }
}

}  // namespace leafhunger::bindings
