#include "bindings_register.hpp"
#include "leafhunger/trace.hpp"

namespace leafhunger::bindings {
namespace {

using namespace py::literals;

struct Forcing {
  const char* name;
  std::vector<double> SoilClimate::*rows;
  bool per_layer;
};
constexpr Forcing k_forcings[] = {
    {"t_c", &SoilClimate::t_c, true},
    {"wfps_frac", &SoilClimate::wfps_frac, true},
    {"theta", &SoilClimate::theta, true},
    {"available_frac", &SoilClimate::available_frac, true},
    {"drained_mm", &SoilClimate::drained_mm, true},
    {"reach_per_day", &SoilClimate::reach_per_day, true},
    {"reach_wet_per_day", &SoilClimate::reach_wet_per_day, true},
    {"root_frac", &SoilClimate::root_frac, true},
    {"stress", &SoilClimate::stress, false},
    {"f_t", &SoilClimate::f_t, false},
    {"awake", &SoilClimate::awake, false},
    {"cover_frac", &SoilClimate::cover_frac, false},
    {"luxury", &SoilClimate::luxury, false},
    {"fixed_frac", &SoilClimate::fixed_frac, false},
    {"keep_frac", &SoilClimate::keep_frac, false},
    {"reserve_frac", &SoilClimate::reserve_frac, false},
    {"root_front_mm", &SoilClimate::root_front_mm, false},
    {"rain_mm", &SoilClimate::rain_mm, false},
    {"rain3_mm", &SoilClimate::rain3_mm, false},
    {"watered_mm", &SoilClimate::watered_mm, false},
    {"evaporated_mm", &SoilClimate::evaporated_mm, false},
    {"transpired_mm", &SoilClimate::transpired_mm, false},
    {"run_off_mm", &SoilClimate::run_off_mm, false},
    {"radiation_mj_m2", &SoilClimate::radiation_mj_m2, false},
    {"day_length_h", &SoilClimate::day_length_h, false},
    {"t_min_c", &SoilClimate::t_min_c, false},
    {"t_max_c", &SoilClimate::t_max_c, false},
    {"day_of_year", &SoilClimate::day_of_year, false},
    {"w_twin_t_ha", &SoilClimate::w_twin_t_ha, false},
    {"w_free_t_ha", &SoilClimate::w_free_t_ha, false},
};

}  // namespace

void bind_trace(py::module_& m) {
  py::class_<Trace, std::shared_ptr<Trace>>(m, "Trace", "Every state of one column at the end of each day. Owns the arrays that it lends.")
      .def_property_readonly("rows", [](const Trace& t) { return t.rows; })
      .def_property_readonly("first_day", [](const Trace& t) { return date_of(t.climate.first); })
      .def_property_readonly("layers", [](const Trace& t) { return t.climate.layers; })
      .def_property_readonly("evaluations", [](const Trace& t) { return t.evaluations; })
      .def_property_readonly("slot_material", [](const Trace& t) { return t.slot_material; })
      .def_property_readonly("w_reference_t_ha", [](const Trace& t) { return t.climate.w_reference_t_ha; })
      .def_property_readonly(
          "doses",
          [](const Trace& t) {
            py::list all;
            for (const auto& d : t.doses)
              all.append(py::dict("day"_a = d.day, "slot"_a = d.slot, "kg_n_ha"_a = d.kg_n_ha, "watered_in_mm"_a = d.watered_in_mm));
            return all;
          })
      .def_property_readonly("start", [](const py::object& self) { return view_of(self.cast<const Trace&>().start, 1, self); })
      .def_property_readonly("states",
                             [](const py::object& self) {
                               const Trace& t = self.cast<const Trace&>();
                               return view_of(t.states, t.rows.size(), self);
                             })
      .def("forcings", [](const py::object& self) {
        const Trace& t = self.cast<const Trace&>();
        py::dict all;
        for (const Forcing& f : k_forcings) {
          const auto& rows = t.climate.*f.rows;
          if (!rows.empty()) all[f.name] = view_of(rows, f.per_layer ? t.climate.layers : 1, self);
        }
        if (t.climate.factors > 0) all["factor"] = view_of(t.climate.factor, t.climate.factors, self);
        return all;
      });
  m.def(
      "trace",
      [](const Garden& g, std::size_t column, int season, bool reference, double absolute_kg_ha, double relative, int refine) {
        return without_lock(in_python(g), [&] {
          return std::make_shared<Trace>(
              trace_column(g, column, season, reference ? StepperKind::reference : StepperKind::batch, absolute_kg_ha, relative, refine));
        });
      },
      "garden"_a, "column"_a, "season"_a, "reference"_a, "absolute_kg_ha"_a, "relative"_a, "refine"_a);
}

}  // namespace leafhunger::bindings
