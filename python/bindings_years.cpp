// Many seasons: how often does it last, and how far apart may top-ups be.
#include "bindings_wait.hpp"
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
  return py::dict("material"_a = p.material_id, "interval_d"_a = p.interval_d, "dose_g_per_plant"_a = p.dose_g_per_plant,
                  "first_after_d"_a = p.first_after_d, "first"_a = to_iso(p.first), "last"_a = to_iso(p.last), "until"_a = to_iso(p.until),
                  "top_ups"_a = p.top_ups, "trips"_a = p.trips, "kept"_a = p.kept, "keeps"_a = p.keeps, "scorches"_a = p.scorches,
                  "soluble_g_n_m2"_a = p.soluble_g_n_m2, "leached_g_n_m2"_a = p.leached_g_n_m2, "cost"_a = p.cost);
}

template <class T>
py::object dict_or_none(const std::optional<T>& thing, py::dict (*dict)(const T&)) {
  return thing ? py::object(dict(*thing)) : py::object(py::none());
}

py::list point_list(const std::vector<TopUpPoint>& points) {
  py::list all;
  for (const TopUpPoint& p : points) all.append(point_dict(p));
  return all;
}

py::dict searched_dict(const TopUpSearched& s) {
  return py::dict("schedules"_a = s.schedules, "same_dates"_a = s.same_dates, "scorching"_a = s.scorching,
                  "short_too_often"_a = s.short_too_often, "washing"_a = s.washing, "beaten"_a = s.beaten, "left"_a = s.left,
                  "seasons_asked"_a = s.seasons_asked, "seasons_run"_a = s.seasons_run);
}

py::dict garden_topup_dict(const GardenTopUp& g) {
  return py::dict("interval_d"_a = g.interval_d, "first_after_d"_a = g.first_after_d, "first"_a = to_iso(g.first),
                  "last"_a = to_iso(g.last), "until"_a = to_iso(g.until), "top_ups"_a = g.top_ups, "trips"_a = g.trips, "cost"_a = g.cost,
                  "leached_g_n_m2"_a = g.leached_g_n_m2, "points"_a = point_list(g.points), "of"_a = g.of);
}

py::dict topup_dict(const TopUpResult& r) {
  py::list plantings, cautions, materials, together, until, prefer;
  for (const PlantingTopUp& p : r.plantings)
    plantings.append(py::dict("name"_a = p.name, "count"_a = p.count, "area_m2"_a = p.area_m2, "kept_without"_a = p.kept_without,
                              "leached_without_g_n_m2"_a = p.leached_without_g_n_m2, "needs_none"_a = p.needs_none,
                              "best"_a = dict_or_none(p.best, &point_dict), "front"_a = point_list(p.front),
                              "custom_interval_d"_a = p.custom_interval_d, "custom_kept"_a = p.custom_kept,
                              "nearest"_a = dict_or_none(p.nearest, &point_dict),
                              "gives"_a = p.gives == TopUpGives::nothing ? py::object(py::none()) : py::object(py::str(name_of(p.gives))),
                              "grid"_a = point_list(p.grid), "searched"_a = searched_dict(p.searched)));
  for (const TopUpResult::Feed& f : r.feeds)
    materials.append(
        py::dict("id"_a = f.id, "title"_a = f.title, "handful_g"_a = f.handful_g, "doses_g_per_plant"_a = f.doses_g_per_plant));
  if (r.together)
    for (const GardenTopUp& g : r.together->front) together.append(garden_topup_dict(g));
  for (const MonthDay d : r.asked.until) until.append(to_iso(d));
  for (const Aim aim : r.asked.prefer) prefer.append(name_of(aim));
  for (const Caution& c : r.cautions) cautions.append(py::make_tuple(c.key, c.words));
  return py::dict("garden"_a = r.garden, "note"_a = r.note, "weather_note"_a = r.weather_note, "currency"_a = r.currency,
                  "materials"_a = materials, "carry_to"_a = to_iso(r.carry_to), "until"_a = until, "prefer"_a = prefer,
                  "seasons"_a = r.seasons, "years_wanted"_a = r.years_wanted, "plantings"_a = plantings,
                  "together"_a = r.together ? py::object(together) : py::object(py::none()), "searched"_a = searched_dict(r.searched),
                  "cautions"_a = cautions, "notes"_a = r.notes);
}

}  // namespace

void bind_years(py::module_& m) {
  py::class_<LastsResult, std::shared_ptr<LastsResult>>(m, "Lasts", "Every season of the weather.")
      .def(
          "words", [](const LastsResult& r, bool more) { return in_words(r, more); }, "more"_a)
      .def("json", [](const LastsResult& r) { return in_json(r); })
      .def("summary", &lasts_dict);
  py::class_<TopUpResult, std::shared_ptr<TopUpResult>>(m, "TopUps", "A search over schedules and every season.")
      .def(
          "words", [](const TopUpResult& r, bool more) { return in_words(r, more); }, "more"_a)
      .def("json", [](const TopUpResult& r) { return in_json(r); })
      .def("csv", [](const TopUpResult& r) { return in_csv(r); })
      .def("summary", &topup_dict);
  m.def(
      "lasts",
      [](const Garden& g) {
        return stoppable(in_python(g), py::none(),
                         [&](const Control& control) { return std::make_shared<LastsResult>(how_often_it_lasts(g, control)); });
      },
      "garden"_a);
  m.def(
      "topup",
      [](const Garden& g, const std::vector<std::string>& materials, const std::vector<std::string>& plantings,
         const std::optional<std::vector<int>>& intervals_d, const std::vector<double>& doses_g_per_plant,
         const std::vector<int>& first_after_d, const std::vector<std::string>& until, bool together,
         const std::vector<std::string>& prefer, const std::string& years, bool may_scorch,
         const std::optional<double>& leached_at_most_g_n_m2, bool whole_grid, const py::object& progress) {
        TopUpQuestion q;
        q.materials = materials, q.plantings = plantings;
        if (intervals_d) q.intervals_d = *intervals_d;
        q.doses_g_per_plant = doses_g_per_plant, q.first_after_d = first_after_d;
        for (const std::string& day : until) q.until.push_back(month_day_of(day, "until", "08-31"));
        q.together = together, q.may_scorch = may_scorch, q.every_point = whole_grid;
        if (leached_at_most_g_n_m2) q.leached_at_most_g_n_m2 = *leached_at_most_g_n_m2;
        q.prefer.clear();
        for (const std::string& name : prefer) q.prefer.push_back(*aim_of(name));
        const auto share = parse_years_share(years);
        if (!share)
          throw InputError({"", "years", "\"" + years + "\"",
                            "so many years of so many, such as \"9/10\", or a share above 0 and at most 1, such as 0.9",
                            "1 asks for every year"});
        q.share = *share;
        return stoppable(in_python(g), progress,
                         [&](const Control& control) { return std::make_shared<TopUpResult>(tune_top_ups(g, q, control)); });
      },
      "garden"_a, "materials"_a, "plantings"_a, "intervals_d"_a, "doses_g_per_plant"_a, "first_after_d"_a, "until"_a, "together"_a,
      "prefer"_a, "years"_a, "may_scorch"_a, "leached_at_most_g_n_m2"_a, "whole_grid"_a, "progress"_a);
}

}  // namespace leafhunger::bindings
