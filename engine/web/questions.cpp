#include "questions.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>

#include "glance.hpp"
#include "host/checks.hpp"
#include "host/json_document.hpp"
#include "host/report_figures.hpp"
#include "host/season_answers.hpp"
#include "host/words.hpp"
#include "kept_work.hpp"
#include "leafhunger/curves.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/lasts.hpp"
#include "leafhunger/listing.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/report.hpp"

namespace leafhunger::web {
namespace {

using Json = nlohmann::ordered_json;

struct Engine {
  std::shared_ptr<PluginRegistry> registry = std::make_shared<PluginRegistry>();
  LoadReport report = load_plugins(*registry, {});
  std::string catalogue = catalogue_folder("");
};

const Engine& engine() {
  static const Engine e;
  return e;
}

std::string contents(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

// All of a scenario that its weather and soil climates hang on: it less what is fed, asked and paid. Of one that is no JSON, its text. This
// comes before the reader has looked at it, and a page has little stack: what is deeper than the reader allows is left out here.
std::string world_of(const std::string& file, double warmer_c) {
  const std::string text = contents(file);
  const auto near = [](int depth, Json::parse_event_t, Json&) { return depth <= static_cast<int>(input::k_deepest_json); };
  Json written = Json::parse(text, near, false);
  if (!written.is_object()) return text;
  for (const char* key :
       {"feedings", "question", "prices_per_kg", "handful_g", "trowel_g", "litre_g", "handful_ml", "trowel_ml", "materials"})
    written.erase(key);
  const auto weather = written.find("weather");
  const bool of_file = weather != written.end() && weather->is_object() && weather->contains("file") && weather->at("file").is_string();
  const auto beside = std::filesystem::path(file).parent_path() / (of_file ? weather->at("file").get<std::string>() : "");
  return written.dump() + input::plain(warmer_c) + '\n' + (of_file ? contents(beside.string()) : "");
}

// How much warmer than its file each day is to be.
double warmer_of(const Json& q) { return q.value("warmer_c", 0.0); }

// The scenario as it is written: its weather is not yet warmed.
Scenario scenario_of(const Json& q) {
  const std::string file = q.at("file").get<std::string>();
  keep_work_of(world_of(file, warmer_of(q)));
  return read_scenario(file, engine().catalogue);
}

// The bed of one planting and what is given there: beds exchange nothing, so its answer stays the same.
void keep_bed_of(Scenario& scenario, const std::string& planting) {
  const auto holds = [&](const Bed& bed, const std::string& name) {
    return std::any_of(bed.plantings.begin(), bed.plantings.end(), [&](const Planting& p) { return p.name == name; });
  };
  std::erase_if(scenario.beds, [&](const Bed& bed) { return !holds(bed, planting); });
  if (scenario.beds.empty()) throw InputError({scenario.file, "only", input::in_quotes(planting), "the name of a planting", ""});
  const Bed& bed = scenario.beds.front();
  for (Feeding& f : scenario.feedings) std::erase_if(f.plantings, [&](const std::string& name) { return !holds(bed, name); });
  std::erase_if(scenario.feedings, [&](const Feeding& f) { return f.bed != bed.name && f.plantings.empty(); });
}

Garden garden_of(const Json& q) {
  Scenario scenario = scenario_of(q);
  if (q.contains("only")) keep_bed_of(scenario, q.at("only").get<std::string>());
  const double warmer_c = warmer_of(q);
  for (auto* column : {&scenario.weather.tmin_c, &scenario.weather.tmax_c})
    for (double& t : *column) t += warmer_c;
  return Garden(std::move(scenario), engine().registry, engine().report);
}

std::optional<int> season_of(const Json& q) {
  const auto season = q.find("season");
  return season != q.end() && season->is_number_integer() ? std::optional(season->get<int>()) : std::nullopt;
}

SeasonOptions options_of(const Json& q) {
  SeasonOptions options;
  options.season = season_of(q);
  options.reasons = q.value("reasons", true);
  return options;
}

// What the page's controls need of a scenario: amounts as measure and number, however they were written, and the seasons there are.
Json scenario_as_read(const Garden& garden) {
  static constexpr const char* k_measures[] = {"grams", "kilograms", "millilitres", "litres", "handfuls", "trowels"};
  static constexpr const char* k_per[] = {"m2", "plant", "bed"};
  const Scenario& s = garden.scenario();
  Json amounts = Json::array();
  for (const Feeding& f : s.feedings)
    amounts.push_back({{"value", f.amount.value},
                       {"measure", k_measures[static_cast<int>(f.amount.measure)]},
                       {"per", k_per[static_cast<int>(f.amount.per)]}});
  return {{"amounts", amounts},
          {"seasons", garden.seasons()},
          {"season", s.question.season},
          {"season_starts", to_iso(season_start_day(s.site))},
          {"made_up", !s.weather.made_up.empty()}};
}

// The days that the page draws, from spring on: grams a plant, and the soil where most roots are.
Json days_of(const SeasonResult& r, const ColumnResult& c) {
  const double each = grams_a_plant(c);
  const Series &has = *c.find("plant_kg_n_ha"), &needs = *c.find("critical_kg_n_ha"), &warm = *c.find("soil_c"),
               &water = *c.find("available_frac");
  const std::size_t layer = std::min<std::size_t>(1, warm.layers - 1);
  Json h = Json::array(), n = Json::array(), t = Json::array(), w = Json::array(), fed = Json::array();
  for (std::size_t d = first_drawn(r); d < r.days; ++d) {
    h.push_back(each * has.values[d]), n.push_back(each * needs.values[d]);
    t.push_back(warm.values[d * warm.layers + layer]), w.push_back(water.values[d * water.layers + layer]);
  }
  for (const FeedDay& day : r.feed_days)
    if (std::any_of(c.sources.begin(), c.sources.end(), [&](const auto& s) { return s.feeding == day.feeding; }))
      fed.push_back(to_iso(day.on));
  return {{"planting", c.name}, {"title", title_of(c)}, {"from", to_iso(r.first + std::chrono::days{static_cast<long>(first_drawn(r))})},
          {"has_g", h},         {"needs_g", n},         {"soil_c", t},
          {"water_frac", w},    {"fed_on", fed}};
}

// What one planting's picture shows, at once: "no, short from 2 June". All else comes with `page`.
std::string glance_of(const Garden& garden, const Json& q) {
  const SeasonResult r = glance(garden, q.at("only").get<std::string>(), season_of(q));
  const Answer a = answers_of(r).front();
  const auto& short_from = a.column->verdict.first_short;
  const std::string why = short_from ? "short from " + day_words(r, *short_from) : "";
  return Json{{"season", {{"season", r.season}, {"carry_to", to_iso(r.first + std::chrono::days{static_cast<long>(r.carry_to)})}}},
              {"answers", {{{"planting", a.column->name}, {"word", a.word}, {"why", why}}}},
              {"days", {days_of(r, *a.column)}}}
      .dump();
}

// The season as the command gives it, and what the report makes of it in words.
std::string page(const Garden& garden, const SeasonOptions& options) {
  const SeasonResult r = run_season(garden, options);
  Json answers = Json::array(), days = Json::array(), to_do = Json::array(), checks = Json::array();
  bool alone = false;
  for (const Answer& a : answers_of(r)) {
    answers.push_back(
        {{"planting", a.column->name}, {"word", a.word}, {"why", a.why}, {"second", a.second}, {"leave_alone", a.leave_alone}});
    days.push_back(days_of(r, *a.column));
    alone = alone || a.leave_alone;
  }
  for (const auto& lines : {window_sentences(r), preparations(r), second_feed_words(r)})
    for (const std::string& line : lines) to_do.push_back(line);
  for (const Check& c : r.checks) checks.push_back(in_words(c));
  const Json words = {{"to_do", to_do},
                      {"checks", checks},
                      {"leave_alone", alone ? leave_alone_words(r) : ""},
                      {"mulch", mulch_words(r)},
                      {"where", r.given_g > 0 ? where_it_went(r) : ""},
                      {"of_hundred", r.given_g > 0 ? Json(hundred_of(feed_of(r))) : Json()},
                      {"cost", r.given_g > 0 ? cost_words(r) : ""},
                      {"beside", r.given_g > 0 ? beside_words(r.beside) : ""}};
  return "{\"season\": " + in_json(r) + ", \"answers\": " + answers.dump() + ", \"words\": " + words.dump() + ", \"days\": " + days.dump() +
         "}\n";
}

CurvesQuestion curves_of(const Json& q) {
  CurvesQuestion question;
  if (q.contains("temperature_c")) question.temperature_c = q.at("temperature_c").get<std::vector<double>>();
  if (q.contains("days")) question.days = q.at("days").get<std::vector<int>>();
  if (q.contains("texture")) question.texture = q.at("texture").get<std::string>();
  if (!q.contains("moisture")) return question;
  question.wfps_frac.clear();
  for (const Json& wet : q.at("moisture")) question.wfps_frac.push_back(wet.is_number() ? std::optional(wet.get<double>()) : std::nullopt);
  return question;
}

std::string weather_as_csv(const Scenario& scenario, double warmer_c) {
  const DailyWeather& w = scenario.weather;
  std::string out;
  if (!w.made_up.empty()) out += "# " + w.made_up + "\n";
  if (warmer_c != 0) out += "# Every temperature moved by " + input::plain(warmer_c) + " degrees on a page: no station measured it so.\n";
  const std::pair<const char*, const std::vector<double>*> more[] = {{"sun_h", &w.sun_h},
                                                                     {"radiation_mj_m2", &w.radiation_mj_m2},
                                                                     {"rh_mean_percent", &w.rh_mean_percent},
                                                                     {"rh_max_percent", &w.rh_max_percent},
                                                                     {"rh_min_percent", &w.rh_min_percent},
                                                                     {"vapour_pressure_kpa", &w.vapour_pressure_kpa},
                                                                     {"wind_m_s", &w.wind_m_s}};
  out += "date,tmin_c,tmax_c,rain_mm";
  for (const auto& [name, values] : more)
    if (!values->empty()) out += std::string(",") + name;
  out += '\n';
  for (std::size_t d = 0; d < w.days(); ++d) {
    out += to_iso(w.date(d));
    for (const double v : {w.tmin_c[d] + warmer_c, w.tmax_c[d] + warmer_c, w.rain_mm[d]}) out += ',' + input::plain(v);
    for (const auto& [name, values] : more)
      if (!values->empty()) out += ',' + (std::isnan((*values)[d]) ? "" : input::plain((*values)[d]));
    out += '\n';
  }
  return out;
}

}  // namespace

std::string answer(const std::string& question) {
  const Json q = Json::parse(question);
  const std::string ask = q.at("ask").get<std::string>();
  if (ask == "season") return in_json(run_season(garden_of(q), options_of(q)));
  if (ask == "glance") return glance_of(garden_of(q), q);
  if (ask == "page") return page(garden_of(q), options_of(q));
  if (ask == "lasts") return in_json(how_often_it_lasts(garden_of(q)));
  if (ask == "check") return garden_of(q), "{\"file\": \"ok\"}\n";
  if (ask == "scenario") return scenario_as_read(garden_of(q)).dump();
  if (ask == "curves")
    return in_json(release_curves(find_materials(read_catalogue(engine().catalogue), q.at("materials").get<std::vector<std::string>>()),
                                  *engine().registry, engine().report, curves_of(q)));
  if (ask == "list")
    return list_in_json(q.at("what").get<std::string>() == "plants" ? Listed::plants : Listed::materials, "", engine().catalogue);
  if (ask == "weather") return weather_as_csv(scenario_of(q), warmer_of(q));
  throw InputError({"", "ask", ask, "season, lasts, page, glance, scenario, check, curves, list or weather", ""});
}

}  // namespace leafhunger::web
