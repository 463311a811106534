#include "bindings_register.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "host/garden_plan.hpp"

namespace leafhunger::bindings {

using namespace py::literals;
using Values = py::array_t<double, py::array::c_style | py::array::forcecast>;

namespace {

constexpr std::size_t k_places = PythonModel::k_places;

// All under Python's lock.
std::array<PythonModel*, k_places> g_place{};

// What a Python model raised on this thread: a plain pointer, since a thread may end without Python's lock.
thread_local std::string t_why;
thread_local PyObject* t_cause = nullptr;

void complain(const std::string& why, py::handle cause) {
  forget_complaint();
  t_why = why;
  t_cause = cause.inc_ref().ptr();
}

// The first m lanes of each row, as an array of Python's own: nothing of the host's is lent, so nothing can be kept.
py::object rows_of(const double* first, std::size_t rows, std::size_t m, std::size_t m_pad) {
  if (first == nullptr) return py::none();
  Values out({rows, m});
  for (std::size_t r = 0; r < rows; ++r) std::copy_n(first + r * m_pad, m, out.mutable_data() + r * m);
  return out;
}

}  // namespace

namespace {

template <std::size_t place>
int32_t start_at(const lh_day* day, double* pool, double* surface_ammonium, double*) {
  const py::gil_scoped_acquire gil;
  return g_place[place]->start(*day, pool, surface_ammonium);
}

template <std::size_t place>
int32_t rates_at(const lh_day* day, const double* pool, const double*, double* coef, double*) {
  const py::gil_scoped_acquire gil;
  return g_place[place]->rates(*day, pool, coef);
}

template <std::size_t... places>
void set_functions(lh_release& table, std::size_t place, std::index_sequence<places...>) {
  static constexpr std::array starts{&start_at<places>...};
  static constexpr std::array rates{&rates_at<places>...};
  table.start = starts[place];
  table.rates = rates[place];
}

}  // namespace

PythonModel::PythonModel(const py::dict& about, py::object initial, py::object rates)
    : initial_(std::move(initial)), rates_(std::move(rates)) {
  const auto text = [&](const py::handle& d, const char* key) { return keep(d[key]); };
  const auto number = [](const py::handle& d, const char* key) { return py::cast<int32_t>(d[key]); };
  for (const py::handle p : about["parameters"])
    parameters_.push_back({text(p, "name"), text(p, "unit"), text(p, "meaning"), text(p, "source"), py::cast<double>(p["default"]),
                           py::cast<double>(p["lower"]), py::cast<double>(p["upper"])});
  for (const py::handle r : about["responses"])
    responses_.push_back(
        {text(r, "name"), text(r, "temperature"), text(r, "moisture"), number(r, "place"), number(r, "reference_c"), number(r, "q")});
  for (const py::handle p : about["pools"])
    pools_.push_back(
        {text(p, "name"), number(p, "place"), number(p, "kind"), number(p, "wash_to"), number(p, "wash_mm"), number(p, "mix_per_day")});
  for (const py::handle f : about["flows"])
    flows_.push_back({text(f, "name"),
                      number(f, "donor"),
                      number(f, "to"),
                      number(f, "driver"),
                      static_cast<uint8_t>(py::cast<bool>(f["starves"])),
                      0,
                      {0, 0}});
  const auto count = [](const auto& rows) { return static_cast<int32_t>(rows.size()); };
  table_.size = sizeof table_;
  table_.about = {text(about, "name"),   text(about, "version"), text(about, "summary"), text(about, "licence"),
                  text(about, "source"), count(parameters_),     parameters_.data(),     nullptr};
  table_.n_response = count(responses_), table_.response = responses_.data();
  table_.n_pool = count(pools_), table_.pool = pools_.data();
  table_.n_flow = count(flows_), table_.flow = flows_.data();
  plugins_ = {LH_ABI, sizeof plugins_, 1, 0, tables_, nullptr};
  origin_ = py::cast<std::string>(about["origin"]);

  place_ = static_cast<std::size_t>(std::find(g_place.begin(), g_place.end(), nullptr) - g_place.begin());
  if (place_ == k_places)
    throw PluginError("model " + std::string(table_.about.name) + ": " + std::to_string(k_places) +
                          " models written in Python live in this process, and there is room for no more; drop gardens that use old ones",
                      true);
  set_functions(table_, place_, std::make_index_sequence<k_places>{});
  // What is malformed is refused now, by the same rules as any plugin.
  PluginRegistry alone;
  alone.add(&plugins_, origin_);
  g_place[place_] = this;
}

PythonModel::~PythonModel() {
  if (!Py_IsInitialized()) {  // the process ends: Python's objects are gone with Python
    initial_.release();
    rates_.release();
    return;
  }
  const py::gil_scoped_acquire gil;
  if (place_ < k_places && g_place[place_] == this) g_place[place_] = nullptr;
  initial_ = py::object();
  rates_ = py::object();
}

py::dict PythonModel::day_of(const lh_day& d) const {
  const auto m = static_cast<std::size_t>(d.m), pad = static_cast<std::size_t>(d.m_pad);
  py::dict day;
  day["members"] = m;
  day["response"] = rows_of(d.response, responses_.size(), m, pad);
  for (const auto& [name, row] : {std::pair{"day_of_year", d.day_of_year},
                                  {"t_min_c", d.t_min_c},
                                  {"t_max_c", d.t_max_c},
                                  {"radiation_mj_m2", d.radiation_mj_m2},
                                  {"day_length_h", d.day_length_h},
                                  {"rain_mm", d.rain_mm},
                                  {"rain3_mm", d.rain3_mm},
                                  {"t_soil_c", d.t_soil_c},
                                  {"wfps_frac", d.wfps_frac},
                                  {"rel_water_frac", d.rel_water_frac},
                                  {"age_d", d.age_d},
                                  {"given_kg_n_ha", d.given_kg_n_ha},
                                  {"given_t_dm_ha", d.given_t_dm_ha},
                                  {"mulch_t_dm_ha", d.mulch_t_dm_ha}})
    day[name] = rows_of(row, 1, m, pad);
  return day;
}

template <class Take, class... Arguments>
int32_t PythonModel::call(const py::object& function, std::size_t rows, const lh_day& day, const Take& take, Arguments&&... arguments) {
  const auto m = static_cast<std::size_t>(day.m), pad = static_cast<std::size_t>(day.m_pad);
  try {
    const Values answer = py::cast<Values>(function(std::forward<Arguments>(arguments)...));
    if (answer.ndim() != 2 || answer.shape(0) != static_cast<py::ssize_t>(rows) || answer.shape(1) != static_cast<py::ssize_t>(m))
      throw py::value_error("an answer of another shape");
    // Lanes past the members repeat the last.
    for (std::size_t r = 0; r < rows; ++r)
      for (std::size_t i = 0; i < pad; ++i) take(r, i, answer.data()[r * m + std::min(i, m - 1)]);
    return LH_OK;
  } catch (py::error_already_set& e) {
    const py::object raised = e.value();
    const py::object cause = raised ? raised.attr("__cause__") : py::object(py::none());
    complain(raised ? std::string(py::str(raised)) : std::string(e.what()), raised && !cause.is_none() ? cause : raised);
  } catch (const std::exception& e) {
    complain(std::string("failed: ") + e.what(), py::none());
  }
  return LH_FAILED;
}

int32_t PythonModel::start(const lh_day& day, double* pool, double* surface_ammonium) {
  const auto m = static_cast<std::size_t>(day.m), pad = static_cast<std::size_t>(day.m_pad), n = pools_.size();
  return call(
      initial_, n + 1, day, [&](std::size_t r, std::size_t i, double v) { (r < n ? pool + r * pad : surface_ammonium)[i] = v; },
      rows_of(day.given_kg_n_ha, 1, m, pad), rows_of(day.parameter, parameters(), m, pad));
}

int32_t PythonModel::rates(const lh_day& day, const double* pool, double* coef) {
  const auto m = static_cast<std::size_t>(day.m), pad = static_cast<std::size_t>(day.m_pad);
  return call(
      rates_, flows_.size(), day, [&](std::size_t r, std::size_t i, double v) { coef[r * pad + i] = v; }, day_of(day),
      rows_of(pool, pools_.size(), m, pad), rows_of(day.parameter, parameters(), m, pad));
}

void add_to(PluginRegistry& registry, const std::shared_ptr<PythonModel>& model) { registry.add(model->plugins(), model->origin(), model); }

std::string name_of(const PythonModel& model) { return model.table().about.name; }
const std::string& origin_of(const PythonModel& model) { return model.origin(); }

bool in_python(const ReleaseModel* model) {
  return model != nullptr &&
         std::any_of(g_place.begin(), g_place.end(), [&](const PythonModel* p) { return p != nullptr && &p->table() == model->table; });
}

bool in_python(const Garden& garden) {
  const Garden::Plan& plan = garden.plan();
  for (const auto& [id, material] : plan.scenario.catalogue.materials)
    if (in_python(plan.registry->release(material.model))) return true;
  return false;
}

void forget_complaint() {
  t_why.clear();
  py::handle(std::exchange(t_cause, nullptr)).dec_ref();
}

void throw_with_complaint(const PluginError& e) {
  if (t_cause == nullptr) throw e;
  const py::object cause = py::reinterpret_steal<py::object>(std::exchange(t_cause, nullptr));
  const bool raised = PyExceptionInstance_Check(cause.ptr());
  // Somebody wants to stop, and no model is at fault.
  if (raised && !PyErr_GivenExceptionMatches(cause.ptr(), PyExc_Exception)) {
    PyErr_SetObject(py::type::of(cause).ptr(), cause.ptr());
    throw py::error_already_set();
  }
  std::string sentence = e.what();
  // The engine knows that a function failed; the model knows why. Python's names of the functions are its own.
  const auto put = [&](const std::string& from, const std::string& to) {
    const auto at = sentence.find(from);
    if (at == std::string::npos) return false;
    sentence.replace(at, from.size(), to);
    return true;
  };
  if (!put("failed with status " + std::to_string(LH_FAILED), t_why) && !put("failed", t_why)) sentence += ": " + t_why;
  put("`start`", "`initial`");
  const py::object type = py::module_::import("leafhunger.errors").attr("PluginError");
  const py::object error = type(sentence, "at_load"_a = e.at_load());
  if (raised) PyException_SetCause(error.ptr(), cause.inc_ref().ptr());
  PyErr_SetObject(type.ptr(), error.ptr());
  throw py::error_already_set();
}

void bind_register(py::module_& m) {
  py::class_<PythonModel, std::shared_ptr<PythonModel>>(m, "PythonModel", "A release model written in Python, ready for the engine.")
      .def(py::init<const py::dict&, py::object, py::object>(), "about"_a, "initial"_a, "rates"_a)
      .def_property_readonly("name", [](const PythonModel& p) { return name_of(p); })
      .def_property_readonly("origin", &PythonModel::origin);
}

}  // namespace leafhunger::bindings
