// The border to Python. Here numbers and texts cross, and nothing is decided: checking what a person typed, docstrings and pictures are the
// package's. Structs become dicts; arrays stay where they are and are lent as read-only views that keep their owner alive.
#pragma once

#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "leafhunger/catalogue.hpp"
#include "leafhunger/date.hpp"
#include "leafhunger/ledger.hpp"
#include "leafhunger/plugin_loader.hpp"
#include "leafhunger/verdict.hpp"

namespace leafhunger::bindings {

namespace py = pybind11;

/// Plugins that were opened, and what happened to each file. Shared by the gardens and jars that use them.
struct Plugins {
  std::shared_ptr<PluginRegistry> registry = std::make_shared<PluginRegistry>();
  LoadReport report;
};

/// C++ errors to those of leafhunger.errors.
void bind_errors(py::module_& m);
void bind_plugins(py::module_& m);
void bind_garden(py::module_& m);
void bind_years(py::module_& m);
void bind_sure(py::module_& m);
void bind_trace(py::module_& m);
void bind_jar(py::module_& m);
void bind_curves(py::module_& m);
void bind_register(py::module_& m);

/// datetime.date.
py::object date_of(Date date);
/// The date with this index into a season that begins on `first`; None where there is none.
py::object date_of(Date first, const std::optional<std::size_t>& day);
py::dict dict_of(const Verdict& verdict, Date first);
py::dict dict_of(const Ledger& ledger);
py::dict dict_of(const Material& material);
/// The other way, what a jar needs of it: label, model, parameters, spread and laws.
Material material_of(const py::dict& material);

/// The day that a text names; InputError at `place` where it names none. `such_as` shows how to write one.
MonthDay month_day_of(const std::string& text, const char* place, const char* such_as);
Date day_of(const std::string& text, const char* place, const char* such_as);

/// A view of `values` as [days] or, with more than one layer, [days][layers]. `owner` is the Python object that holds them.
py::array view_of(const std::vector<double>& values, std::size_t layers, const py::object& owner);

}  // namespace leafhunger::bindings
