#include "bindings.hpp"
#include "leafhunger/error.hpp"

namespace leafhunger::bindings {
namespace {

// The classes live in Python, where they have docstrings and can be pickled.
py::object error_class(const char* name) { return py::module_::import("leafhunger.errors").attr(name); }

void raise(const char* name, const char* sentence) { PyErr_SetObject(error_class(name).ptr(), py::str(sentence).ptr()); }

void raise(const InputError& e) {
  const InputFault& f = e.fault();
  using namespace py::literals;
  const py::object type = error_class("InputError");
  const py::object error =
      type(e.what(), "file"_a = f.file, "place"_a = f.place, "found"_a = f.found, "allowed"_a = f.allowed, "hint"_a = f.hint);
  PyErr_SetObject(type.ptr(), error.ptr());
}

void raise(const PluginError& e) {
  using namespace py::literals;
  const py::object type = error_class("PluginError");
  const py::object error = type(e.what(), "at_load"_a = e.at_load());
  PyErr_SetObject(type.ptr(), error.ptr());
}

}  // namespace

void bind_errors(py::module_& m) {
  using namespace py::literals;
  // So that what the package itself refuses is worded as the engine words it.
  m.def(
      "sentence",
      [](const std::string& place, const std::string& found, const std::string& allowed, const std::string& hint, const std::string& file) {
        return std::string(InputError({file, place, found, allowed, hint}).what());
      },
      "place"_a, "found"_a, "allowed"_a, "hint"_a, "file"_a = "");
  // No input makes a ledger fail to close; that the border carries such an error over must be testable all the same.
  m.def(
      "throw_ledger_error", [](const std::string& text) { throw LedgerError(text); }, "sentence"_a);
  py::register_local_exception_translator([](std::exception_ptr thrown) {
    try {
      if (thrown) std::rethrow_exception(thrown);
    } catch (const InputError& e) {
      raise(e);
    } catch (const PluginError& e) {
      raise(e);
    } catch (const SolverError& e) {
      raise("SolverError", e.what());
    } catch (const LedgerError& e) {
      raise("LedgerError", e.what());
    } catch (const Error& e) {
      raise("Error", e.what());
    }
  });
}

}  // namespace leafhunger::bindings
