// Many seasons: how often does it last, and how far apart may top-ups be.
#include "bindings_register.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/lasts.hpp"
#include "leafhunger/report.hpp"
#include "leafhunger/topup.hpp"

namespace leafhunger::bindings {
namespace {

using namespace py::literals;

py::list years_list(const std::vector<YearVerdict>& years) {
  py::list all;
  for (const YearVerdict& y : years)
    all.append(py::dict("season"_a = y.season, "outcome"_a = name_of(y.verdict.outcome),
                        "first_short"_a = y.first_short ? date_of(*y.first_short) : py::object(py::none()),
                        "taken_kg_n_ha"_a = y.taken_kg_n_ha, "leached_kg_n_ha"_a = y.leached_kg_n_ha));
  return all;
}

py::dict lasts_dict(const LastsResult& r) {
  py::list plantings;
  for (const PlantingYears& p : r.plantings)
    plantings.append(
        py::dict("name"_a = p.name, "hunger"_a = name_of(p.hunger), "fed"_a = p.fed, "years"_a = years_list(p.years),
                 "unfed"_a = years_list(p.unfed), "kept"_a = p.kept, "kept_unfed"_a = p.kept_unfed, "never_woke"_a = p.slept,
                 "water_limited"_a = p.thirsty,
                 "usual_first_short"_a = p.usual_first_short ? py::object(py::str(to_iso(*p.usual_first_short))) : py::object(py::none()),
                 "kept_nine_in_ten_until"_a = to_iso(p.kept_nine_in_ten), "kept_whole_season"_a = p.kept_whole_season));
  return py::dict("garden"_a = r.garden, "note"_a = r.note, "weather_note"_a = r.weather_note, "carry_to"_a = to_iso(r.carry_to),
                  "seasons"_a = r.seasons, "feedings"_a = r.feed_words, "notes"_a = r.notes, "plantings"_a = plantings);
}

py::dict point_dict(const TopUpPoint& p) {
  return py::dict("interval_d"_a = p.interval_d, "dose_g_per_plant"_a = p.dose_g_per_plant, "top_ups"_a = p.top_ups, "kept"_a = p.kept,
                  "keeps"_a = p.keeps, "scorches"_a = p.scorches, "soluble_g_n_m2"_a = p.soluble_g_n_m2,
                  "leached_g_n_m2"_a = p.leached_g_n_m2, "cost"_a = p.cost);
}

py::dict topup_dict(const TopUpResult& r) {
  py::list plantings, cautions;
  for (const PlantingTopUp& p : r.plantings) {
    py::list grid;
    for (const TopUpPoint& point : p.grid) grid.append(point_dict(point));
    plantings.append(py::dict("name"_a = p.name, "count"_a = p.count, "area_m2"_a = p.area_m2, "kept_without"_a = p.kept_without,
                              "first"_a = to_iso(p.first), "grid"_a = grid, "best"_a = p.best));
  }
  for (const Caution& c : r.cautions) cautions.append(py::make_tuple(c.key, c.words));
  return py::dict("garden"_a = r.garden, "note"_a = r.note, "weather_note"_a = r.weather_note, "currency"_a = r.currency,
                  "material"_a = r.material_id, "material_title"_a = r.material_title, "carry_to"_a = to_iso(r.carry_to),
                  "until"_a = to_iso(r.until), "seasons"_a = r.seasons, "years_wanted"_a = r.years_wanted, "handful_g"_a = r.handful_g,
                  "plantings"_a = plantings, "cautions"_a = cautions, "notes"_a = r.notes, "seasons_run"_a = r.seasons_run);
}

MonthDay month_day(const std::string& text, const char* place) {
  const auto day = parse_month_day(text);
  if (!day) throw InputError({"", place, "\"" + text + "\"", "a day as MM-DD, such as 08-31", "month first, two digits each"});
  return *day;
}

}  // namespace

void bind_years(py::module_& m) {
  py::class_<LastsResult, std::shared_ptr<LastsResult>>(m, "Lasts", "Every season of the weather.")
      .def(
          "words", [](const LastsResult& r, bool more) { return in_words(r, more); }, "more"_a)
      .def("json", [](const LastsResult& r) { return in_json(r); })
      .def("summary", &lasts_dict);
  py::class_<TopUpResult, std::shared_ptr<TopUpResult>>(m, "TopUps", "A grid of intervals and doses over every season.")
      .def(
          "words", [](const TopUpResult& r, bool more) { return in_words(r, more); }, "more"_a)
      .def("json", [](const TopUpResult& r) { return in_json(r); })
      .def("summary", &topup_dict);
  m.def(
      "lasts",
      [](const Garden& g) { return without_lock(in_python(g), [&] { return std::make_shared<LastsResult>(how_often_it_lasts(g)); }); },
      "garden"_a);
  m.def(
      "topup",
      [](const Garden& g, const std::string& material, const std::vector<std::string>& plantings,
         const std::optional<std::vector<int>>& intervals_d, const std::vector<double>& doses_g_per_plant, int first_after_d,
         const std::string& until) {
        TopUpQuestion q;
        q.material = material, q.plantings = plantings;
        if (intervals_d) q.intervals_d = *intervals_d;
        q.doses_g_per_plant = doses_g_per_plant, q.first_after_d = first_after_d, q.until = month_day(until, "until");
        return without_lock(in_python(g), [&] { return std::make_shared<TopUpResult>(tune_top_ups(g, q)); });
      },
      "garden"_a, "material"_a, "plantings"_a, "intervals_d"_a, "doses_g_per_plant"_a, "first_after_d"_a, "until"_a);
}

}  // namespace leafhunger::bindings
