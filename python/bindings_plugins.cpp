#include "bindings_register.hpp"
#include "leafhunger/report.hpp"

namespace leafhunger::bindings {
namespace {

using namespace py::literals;

constexpr const char* k_this_process = "registered by Python in this process";

py::dict model_dict(const char* kind, const lh_about& a, const std::string& origin) {
  py::list parameters;
  for (int32_t i = 0; i < a.n_parameter; ++i) {
    const lh_parameter& p = a.parameter[i];
    parameters.append(py::dict("name"_a = p.name, "unit"_a = p.unit, "default"_a = p.def, "lower"_a = p.lower, "upper"_a = p.upper,
                               "meaning"_a = p.meaning, "source"_a = p.source));
  }
  return py::dict("name"_a = a.name, "kind"_a = kind, "version"_a = a.version, "licence"_a = a.licence, "summary"_a = a.summary,
                  "source"_a = a.source, "origin"_a = origin, "parameters"_a = parameters);
}

}  // namespace

void bind_plugins(py::module_& m) {
  m.def("plugin_folders", &plugin_folders, "extra"_a, "beside"_a,
        "Folders to look for plugins in: extra, the environment's, the installation's.");
  m.def("catalogue_folder", &catalogue_folder, "beside"_a, "The folder of the shipped catalogue, or the environment's.");
  py::class_<Plugins, std::shared_ptr<Plugins>>(m, "Plugins", "Plugins opened from folders, in order.")
      .def(py::init([](const std::vector<std::string>& folders, const std::vector<std::shared_ptr<PythonModel>>& models) {
             const py::gil_scoped_release no_gil;
             auto p = std::make_shared<Plugins>();
             p->report = load_plugins(*p->registry, folders);
             if (!models.empty()) p->report.folders.emplace_back(k_this_process);
             for (const auto& model : models) {
               const auto& [name, origin] = std::pair{name_of(*model), origin_of(*model)};
               add_to(*p->registry, model);
               p->report.files.push_back({origin, "", k_this_process, {name}});
             }
             return p;
           }),
           "folders"_a, "models"_a = std::vector<std::shared_ptr<PythonModel>>{})
      .def(
          "words", [](const Plugins& p, bool responses) { return in_words(*p.registry, p.report, responses); }, "responses"_a)
      .def(
          "json", [](const Plugins& p, bool responses) { return in_json(*p.registry, p.report, responses); }, "responses"_a)
      .def("models",
           [](const Plugins& p) {
             py::list all;
             for (const auto& [name, model] : p.registry->releases()) all.append(model_dict("release", model.table->about, model.origin));
             for (const auto& [name, model] : p.registry->demands()) all.append(model_dict("demand", model.table->about, model.origin));
             return all;
           })
      .def_property_readonly("searched", [](const Plugins& p) { return p.report.folders_searched; })
      .def_property_readonly("missing", [](const Plugins& p) { return p.report.folders_missing; })
      .def_property_readonly("files", [](const Plugins& p) {
        py::list all;
        for (const auto& f : p.report.files) all.append(py::make_tuple(f.path, f.refused));
        return all;
      });
}

}  // namespace leafhunger::bindings
