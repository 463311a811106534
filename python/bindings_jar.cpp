// Materials, jars and response functions.
#include <limits>

#include "bindings_register.hpp"
#include "core/jar.hpp"
#include "host/garden_plan.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/incubation.hpp"
#include "leafhunger/label.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/response.hpp"

namespace leafhunger::bindings {
namespace {

using namespace py::literals;
using Values = py::array_t<double, py::array::c_style | py::array::forcecast>;

const lh_release& release_called(const Plugins& plugins, const std::string& name) {
  if (const ReleaseModel* model = plugins.registry->release(name)) return *model->table;
  std::vector<std::string> known;
  for (const auto& [known_name, model] : plugins.registry->releases()) known.push_back(known_name);
  std::string all;
  for (const auto& k : known) all += (all.empty() ? "\"" : ", \"") + k + "\"";
  const std::string near = nearest_name(name, known);
  throw InputError({"", "model", "\"" + name + "\"", known.empty() ? "a model of a loaded plugin, and there is none" : all,
                    (near.empty() ? "" : "did you mean \"" + near + "\"? ") + plugins.report.summary()});
}

Values answer_like(const Values& x) { return Values(std::vector<py::ssize_t>(x.shape(), x.shape() + x.ndim())); }

py::list about_all(const auto& responses) {
  py::list all;
  for (const auto& r : responses) all.append(py::make_tuple(r.name, r.formula, r.source));
  return all;
}

}  // namespace

void bind_jar(py::module_& m) {
  m.def(
      "materials",
      [](const std::string& catalogue_folder) {
        py::dict all;
        for (const auto& [id, material] : read_catalogue(catalogue_folder).materials) all[py::str(id)] = dict_of(material);
        return all;
      },
      "catalogue_folder"_a);
  m.def(
      "incubate",
      [](const Plugins& plugins, const py::dict& given, const std::vector<double>& temperature_c, const std::vector<int>& days,
         std::optional<double> wfps_frac, const std::string& texture) {
        const Material material = material_of(given);
        const auto share = without_lock(in_python(plugins.registry->release(material.model)), [&] {
          const lh_release& release = release_called(plugins, material.model);
          return incubate(release, slot_material(material, release), {temperature_c, days, wfps_frac, texture});
        });
        return Values({temperature_c.size(), days.size()}, share.data());
      },
      "plugins"_a, "material"_a, "temperature_c"_a, "days"_a, "wfps_frac"_a, "texture"_a);
  m.def("origins", [] {
    py::list all;
    for (const auto& origin : label_origins()) all.append(py::make_tuple(origin.word, origin.meaning));
    return all;
  });
  m.def(
      "from_label",
      [](double n_percent, double dry_matter_percent, std::optional<double> carbon_to_nitrogen, std::optional<double> ammonium_frac,
         const std::string& word) {
        const LabelOrigin* origin = find_label_origin(word);
        if (!origin) throw py::key_error(word);
        const LabelEstimate e = estimate_from_label({n_percent, dry_matter_percent, carbon_to_nitrogen, ammonium_frac}, *origin);
        return py::dict("carbon_to_nitrogen"_a = e.carbon_to_nitrogen, "estimated"_a = e.parameters, "spread"_a = e.spread,
                        "sources"_a = e.sources);
      },
      "n_percent"_a, "dry_matter_percent"_a, "carbon_to_nitrogen"_a, "ammonium_frac"_a, "origin"_a);
  m.def("temperature_responses", [] { return about_all(temperature_responses()); });
  m.def("moisture_responses", [] { return about_all(moisture_responses()); });
  m.def("textures", [] {
    std::vector<std::string> names;
    for (const Texture& t : textures()) names.push_back(t.name);
    return names;
  });
  // What a law does not get is NaN: a law that needs it answers NaN.
  m.def(
      "temperature_response",
      [](const std::string& name, const Values& t_c, std::optional<double> reference_c, std::optional<double> q) {
        const TemperatureResponse* law = find_temperature_response(name);
        if (!law) throw py::key_error(name);
        constexpr double k_nan = std::numeric_limits<double>::quiet_NaN();
        Values out = answer_like(t_c);
        for (py::ssize_t i = 0; i < t_c.size(); ++i)
          out.mutable_data()[i] = law->value(t_c.data()[i], reference_c.value_or(k_nan), q.value_or(k_nan));
        return out;
      },
      "name"_a, "t_c"_a, "reference_c"_a, "q"_a);
  m.def(
      "moisture_response",
      [](const std::string& name, const Values& wfps_frac, const std::string& texture_name) {
        const MoistureResponse* law = find_moisture_response(name);
        const Texture* texture = find_texture(texture_name);
        if (!law || !texture) throw py::key_error(law ? texture_name : name);
        Values out = answer_like(wfps_frac);
        for (py::ssize_t i = 0; i < wfps_frac.size(); ++i) {
          const double w = wfps_frac.data()[i], theta = w * texture->theta_sat;
          const double available = (theta - texture->theta_wp) / (texture->theta_fc - texture->theta_wp);
          out.mutable_data()[i] = law->value({theta, texture->theta_fc, texture->theta_wp, w, std::min(1.0, std::max(0.0, available))});
        }
        return out;
      },
      "name"_a, "wfps_frac"_a, "texture"_a);
}

}  // namespace leafhunger::bindings
