// Release curves: the command's own numbers, words and picture.
#include <limits>
#include <numeric>

#include "bindings_register.hpp"
#include "leafhunger/curves.hpp"

namespace leafhunger::bindings {

using namespace py::literals;

namespace {

// [material][moisture][temperature][day], the days asked about or all of them; NaN where no spread is known.
py::array_t<double> days_of(const CurvesResult& r, bool spread, bool daily) {
  std::vector<int> days = r.asked.days;
  if (daily) {
    days.resize(static_cast<std::size_t>(r.asked.days.back()) + 1);
    std::iota(days.begin(), days.end(), 0);
  }
  const std::vector<std::size_t> shape{r.materials.size(), r.asked.wfps_frac.size(), r.asked.temperature_c.size(), days.size()};
  py::array_t<double> out(shape);
  double* to = out.mutable_data();
  for (const Curve& c : r.curves)
    for (const int d : days) {
      const auto& from = spread ? c.spread_frac : c.freed_frac;
      *to++ = from.empty() ? std::numeric_limits<double>::quiet_NaN() : from[static_cast<std::size_t>(d)];
    }
  return out;
}

}  // namespace

void bind_curves(py::module_& m) {
  py::class_<CurvesResult, std::shared_ptr<CurvesResult>>(m, "Curves", "What jars freed, day by day.")
      .def(
          "words", [](const CurvesResult& r, bool more) { return in_words(r, more); }, "more"_a)
      .def("json", [](const CurvesResult& r) { return in_json(r); })
      .def("csv", [](const CurvesResult& r) { return in_csv(r); })
      .def("svg", [](const CurvesResult& r) { return in_svg(r); })
      .def(
          "freed_frac", [](const CurvesResult& r, bool daily) { return days_of(r, false, daily); }, "daily"_a)
      .def(
          "spread_frac", [](const CurvesResult& r, bool daily) { return days_of(r, true, daily); }, "daily"_a);
  m.def(
      "curves",
      [](const Plugins& plugins, const std::vector<py::dict>& given, const std::vector<double>& temperature_c,
         const std::vector<std::optional<double>>& wfps_frac, const std::vector<int>& days, const std::string& texture) {
        std::vector<Material> materials;
        bool python = false;
        for (const py::dict& d : given) {
          materials.push_back(material_of(d));
          python = python || in_python(plugins.registry->release(materials.back().model));
        }
        return without_lock(python, [&] {
          return std::make_shared<CurvesResult>(
              release_curves(materials, *plugins.registry, plugins.report, {temperature_c, wfps_frac, days, texture}));
        });
      },
      "plugins"_a, "materials"_a, "temperature_c"_a, "wfps_frac"_a, "days"_a, "texture"_a);
}

}  // namespace leafhunger::bindings
