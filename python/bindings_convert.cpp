// Structs to dicts, and texts to days.
#include <algorithm>
#include <string_view>

#include "bindings.hpp"
#include "leafhunger/error.hpp"

namespace leafhunger::bindings {

using namespace py::literals;

namespace {

/// Whether it is written as a day is, whatever its figures say: "00-00", "0000-00-00".
bool written_as(std::string_view pattern, std::string_view text) {
  return std::equal(pattern.begin(), pattern.end(), text.begin(), text.end(),
                    [](char p, char c) { return p == '0' ? c >= '0' && c <= '9' : p == c; });
}

}  // namespace

MonthDay month_day_of(const std::string& text, const char* place, const char* such_as) {
  const auto day = parse_month_day(text);
  if (day) return *day;
  std::string mend = "month first, two digits each";
  if (written_as("00-00", text)) {
    const std::string turned = text.substr(3) + '-' + text.substr(0, 2);
    mend = parse_month_day(turned) ? "the month comes first: \"" + turned + '"' : "no year has such a day; check month and day";
  }
  throw InputError({"", place, '"' + text + '"', std::string("a day as MM-DD, such as ") + such_as, mend});
}

Date day_of(const std::string& text, const char* place, const char* such_as) {
  const auto day = parse_date(text);
  if (day) return *day;
  const bool written = written_as("0000-00-00", text) && text[0] != '0';  // years have four figures
  throw InputError({"", place, '"' + text + '"', std::string("a day as YYYY-MM-DD, such as ") + such_as,
                    written ? "there is no such day; check year, month and day" : "give text or a datetime.date"});
}

py::object date_of(Date date) {
  const std::chrono::year_month_day d{date};
  return py::module_::import("datetime")
      .attr("date")(static_cast<int>(d.year()), static_cast<unsigned>(d.month()), static_cast<unsigned>(d.day()));
}

py::object date_of(Date first, const std::optional<std::size_t>& day) {
  if (!day) return py::none();
  return date_of(first + std::chrono::days{static_cast<long>(*day)});
}

py::dict dict_of(const Verdict& v, Date first) {
  return py::dict("outcome"_a = name_of(v.outcome), "first_short"_a = date_of(first, v.first_short),
                  "falls_behind"_a = date_of(first, v.falls_behind), "wakes"_a = date_of(first, v.wakes), "days_short"_a = v.days_short,
                  "days_grown"_a = v.days_grown, "nni_at_date"_a = v.nni_at_date, "lowest_nni"_a = v.lowest_nni, "mean_nni"_a = v.mean_nni,
                  "days_in_hand"_a = v.days_in_hand, "growth_frac"_a = v.growth_frac, "water_frac"_a = v.water_frac,
                  "shortfall_kg_n_ha"_a = v.shortfall_kg_n_ha);
}

py::dict dict_of(const Ledger& l) {
  return py::dict("given"_a = l.given, "from_soil"_a = l.from_soil, "start_mineral"_a = l.start_mineral, "start_plant"_a = l.start_plant,
                  "fixed"_a = l.fixed, "plant"_a = l.plant, "reserve"_a = l.reserve, "litter"_a = l.litter, "mineral"_a = l.mineral,
                  "unfreed"_a = l.unfreed, "microbes"_a = l.microbes, "humus"_a = l.humus, "leached"_a = l.leached,
                  "volatilised"_a = l.volatilised, "denitrified"_a = l.denitrified, "taken"_a = l.taken);
}

py::dict dict_of(const Material& m) {
  static constexpr const char* k_forms[] = {"powder", "pellet", "granule", "liquid", "bulky"};
  py::dict laws;
  for (const auto& [group, c] : m.responses)
    laws[py::str(group)] =
        py::dict("temperature"_a = c.temperature, "moisture"_a = c.moisture, "reference_c"_a = c.reference_c, "q"_a = c.q);
  return py::dict("id"_a = m.id, "title"_a = m.title, "model"_a = m.model, "n_percent"_a = m.n_percent,
                  "carbon_to_nitrogen"_a = m.carbon_to_nitrogen, "form"_a = k_forms[static_cast<int>(m.form)],
                  "ammonium_frac"_a = m.ammonium_frac, "origin"_a = m.origin_word, "estimated"_a = m.estimated, "spread"_a = m.spread,
                  "parameters"_a = m.parameters, "price_per_kg"_a = m.price_per_kg, "bulk_density_kg_m3"_a = m.bulk_density_kg_m3,
                  "sources"_a = m.sources, "responses"_a = laws);
}

Material material_of(const py::dict& d) {
  using Numbers = std::map<std::string, double>;
  Material m;
  m.id = py::cast<std::string>(d["id"]), m.title = py::cast<std::string>(d["title"]), m.model = py::cast<std::string>(d["model"]);
  m.n_percent = py::cast<double>(d["n_percent"]), m.carbon_to_nitrogen = py::cast<double>(d["carbon_to_nitrogen"]);
  m.ammonium_frac = py::cast<double>(d["ammonium_frac"]);
  m.parameters = py::cast<Numbers>(d["parameters"]), m.estimated = py::cast<Numbers>(d["estimated"]);
  m.spread = py::cast<Numbers>(d["spread"]);
  for (const auto& [group, law] : py::cast<std::map<std::string, py::dict>>(d["responses"]))
    m.responses[group] = {py::cast<std::string>(law["temperature"]), py::cast<std::string>(law["moisture"]),
                          py::cast<double>(law["reference_c"]), py::cast<double>(law["q"])};
  return m;
}

py::array view_of(const std::vector<double>& values, std::size_t layers, const py::object& owner) {
  const auto days = static_cast<py::ssize_t>(values.size() / layers), n = static_cast<py::ssize_t>(layers);
  const std::vector<py::ssize_t> shape = layers == 1 ? std::vector<py::ssize_t>{days} : std::vector<py::ssize_t>{days, n};
  py::array_t<double> view(shape, values.data(), owner);  // with an owner, pybind11 does not copy
  py::detail::array_proxy(view.ptr())->flags &= ~py::detail::npy_api::NPY_ARRAY_WRITEABLE_;
  return view;
}

}  // namespace leafhunger::bindings
