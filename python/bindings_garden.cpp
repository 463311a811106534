// A garden and one season of it.
#include "bindings_register.hpp"
#include "host/garden_plan.hpp"
#include "leafhunger/diary.hpp"
#include "leafhunger/garden.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/report.hpp"
#include "leafhunger/report_folder.hpp"

namespace leafhunger::bindings {
namespace {

using namespace py::literals;

const ColumnResult& column(const SeasonResult& r, std::size_t i) {
  if (i >= r.columns.size()) throw py::index_error("no such column");
  return r.columns[i];
}

py::dict column_dict(const SeasonResult& r, std::size_t i) {
  const ColumnResult& c = column(r, i);
  py::list reasons, sources, states, drainage;
  for (const Reason& reason : c.reasons)
    reasons.append(py::dict("key"_a = reason.key, "words"_a = reason.words, "moved_d"_a = reason.moved_d,
                            "verdict"_a = dict_of(reason.verdict, r.first)));
  for (const auto& s : c.sources)
    sources.append(py::dict("name"_a = s.name, "given_kg_n_ha"_a = s.given_kg_n_ha, "where"_a = dict_of(s.where)));
  for (const DayState s : c.states) states.append(name_of(s));
  for (const DrainageMonth& month : c.drainage)
    drainage.append(py::make_tuple(date_of(month.first), month.drained_mm, month.leached_kg_n_ha, month.mg_n_per_l()));
  py::dict d("name"_a = c.name, "bed"_a = c.bed, "bare"_a = c.bare, "plant_id"_a = c.plant_id, "plant_title"_a = c.plant_title,
             "hunger"_a = name_of(c.hunger), "count"_a = c.count, "area_m2"_a = c.area_m2, "cover"_a = c.cover, "fed"_a = c.fed,
             "gain_g"_a = c.gain_g, "days_full"_a = c.days_full, "cost"_a = c.cost, "taken_unfed_kg_n_ha"_a = c.taken_unfed_kg_n_ha,
             "ledger"_a = dict_of(c.ledger), "reasons"_a = reasons, "sources"_a = sources, "states"_a = states, "drainage"_a = drainage);
  d["second_feed"] = c.second_feed ? py::object(py::make_tuple(date_of(c.second_feed->on), c.second_feed->handfuls,
                                                               c.second_feed->grams_per_plant, c.second_feed->material_title))
                                   : py::object(py::none());
  d["verdict"] = c.bare ? py::object(py::none()) : dict_of(c.verdict, r.first);
  d["unfed"] = c.bare ? py::object(py::none()) : dict_of(c.unfed, r.first);
  return d;
}

py::dict season_dict(const SeasonResult& r) {
  py::list cautions;
  for (const Caution& c : r.cautions) cautions.append(py::make_tuple(c.key, c.words));
  py::list carried, by_feeding;
  for (const Carried& c : r.carried)
    carried.append(py::make_tuple(c.material_id, c.kg, c.cost, c.bags > 0 ? py::object(py::int_(c.bags)) : py::object(py::none())));
  for (const Ledger& l : r.by_feeding_g) by_feeding.append(dict_of(l));
  return py::dict("garden"_a = r.garden, "note"_a = r.note, "weather_note"_a = r.weather_note, "currency"_a = r.currency,
                  "season"_a = r.season, "first_day"_a = date_of(r.first), "days"_a = r.days, "carry_to"_a = date_of(r.first, r.carry_to),
                  "feedings"_a = r.feed_words, "total_g"_a = dict_of(r.total_g), "cost"_a = r.cost, "gain_g"_a = r.gain_g,
                  "beside_g"_a = py::dict("phosphorus"_a = r.beside.phosphorus_g, "potassium"_a = r.beside.potassium_g,
                                          "organic_matter"_a = r.beside.organic_matter_g),
                  "given_g"_a = r.given_g, "trips"_a = r.trips, "carried"_a = carried, "by_feeding_g"_a = by_feeding,
                  "cautions"_a = cautions, "notes"_a = r.notes);
}

const Bed& bed_called(const Scenario& s, const std::string& name) {
  for (const Bed& b : s.beds)
    if (b.name == name) return b;
  throw py::key_error(name);
}

}  // namespace

void bind_garden(py::module_& m) {
  py::class_<SeasonResult, std::shared_ptr<SeasonResult>>(m, "Season", "What one season came to. Owns the arrays that it lends.")
      .def(
          "words", [](const SeasonResult& r, bool more) { return in_words(r, more); }, "more"_a)
      .def("json", [](const SeasonResult& r) { return in_json(r); })
      .def(
          "write_report",
          [](const SeasonResult& r, const Garden& g, const std::string& folder, bool force, bool figures, bool for_client) {
            without_lock(in_python(g), [&] {
              write_report(folder, g, r, force, {.figures = figures, .for_client = for_client});
              return 0;
            });
          },
          "garden"_a, "folder"_a, "force"_a, "figures"_a, "for_client"_a)
      .def("summary", &season_dict)
      .def("column_names",
           [](const SeasonResult& r) {
             std::vector<std::string> names;
             for (const ColumnResult& c : r.columns) names.push_back(c.name);
             return names;
           })
      .def("column", &column_dict, "index"_a)
      .def(
          "series_about",
          [](const SeasonResult& r, std::size_t i) {
            py::list all;
            for (const Series& s : column(r, i).series)
              if (!s.values.empty()) all.append(py::make_tuple(s.name, s.unit, s.meaning, s.layers));
            return all;
          },
          "index"_a)
      .def(
          "series",
          [](const py::object& self, std::size_t i, const std::string& name) -> py::array {
            const Series* s = column(self.cast<const SeasonResult&>(), i).find(name);
            if (!s) throw py::key_error(name);
            return view_of(s->values, s->layers, self);
          },
          "index"_a, "name"_a, "A read-only view, not a copy; the season stays alive as long as any view of it.");

  py::class_<Garden, std::shared_ptr<Garden>>(m, "Garden", "A scenario made ready to run.")
      .def(py::init([](const std::string& path, const std::string& catalogue, const Plugins& plugins, std::optional<int> season,
                       const std::optional<std::string>& today) {
             const auto day = today ? parse_date(*today) : std::nullopt;
             const auto read = [&] {
               return std::make_shared<Garden>(follow_diary(read_scenario(path, catalogue), season, day), plugins.registry, plugins.report);
             };
             return without_lock(false, read);
           }),
           "path"_a, "catalogue"_a, "plugins"_a, "season"_a = py::none(), "today"_a = py::none())
      .def_property_readonly("diary", [](const Garden& g) { return diary_path(g.scenario().file); })
      .def_property_readonly("name", [](const Garden& g) { return g.scenario().garden; })
      .def_property_readonly("note", [](const Garden& g) { return g.scenario().note; })
      .def_property_readonly("file", [](const Garden& g) { return g.scenario().file; })
      .def_property_readonly("season_asked", [](const Garden& g) { return g.scenario().question.season; })
      .def_property_readonly("carry_to", [](const Garden& g) { return to_iso(g.scenario().question.carry_to); })
      .def_property_readonly("seasons", &Garden::seasons)
      .def_property_readonly("notes",
                             [](const Garden& g) {
                               std::vector<std::string> all = g.scenario().notes;
                               all.insert(all.end(), g.scenario().weather.notes.begin(), g.scenario().weather.notes.end());
                               return all;
                             })
      .def("plantings",
           [](const Garden& g) {
             py::list all;
             for (const Bed& b : g.scenario().beds)
               for (const Planting& p : b.plantings) all.append(py::make_tuple(p.name, b.name, p.plant, p.count));
             return all;
           })
      .def("column_names",
           [](const Garden& g) {
             std::vector<std::string> names;
             for (const ColumnPlan& c : g.plan().columns) names.push_back(c.name);
             return names;
           })
      .def("materials",
           [](const Garden& g) {
             py::dict all;
             for (const auto& [id, material] : g.scenario().catalogue.materials) all[py::str(id)] = dict_of(material);
             return all;
           })
      .def(
          "layers_mm", [](const Garden& g, const std::string& bed) { return bed_called(g.scenario(), bed).soil.thickness_mm; }, "bed"_a)
      .def(
          "season",
          [](const Garden& g, std::optional<int> year, bool reasons) {
            SeasonOptions options;
            options.season = year;
            options.reasons = reasons;
            return without_lock(in_python(g), [&] { return std::make_shared<SeasonResult>(run_season(g, options)); });
          },
          "year"_a, "reasons"_a);
}

}  // namespace leafhunger::bindings
