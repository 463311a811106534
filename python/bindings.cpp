#include "bindings.hpp"

#include "leafhunger/reader.hpp"

PYBIND11_MODULE(_engine, m) {
  using namespace leafhunger;
  m.doc() = "The compiled engine. Use the package `leafhunger`; what stands here may change.";
  m.attr("version") = LEAFHUNGER_VERSION;
  m.def("nearest_name", &nearest_name, pybind11::arg("name"), pybind11::arg("known"),
        "Of the known names the one nearest to `name`; empty where none is near.");
  bindings::bind_errors(m);
  bindings::bind_register(m);
  bindings::bind_plugins(m);
  bindings::bind_garden(m);
  bindings::bind_years(m);
  bindings::bind_sure(m);
  bindings::bind_trace(m);
  bindings::bind_jar(m);
  bindings::bind_curves(m);
}
