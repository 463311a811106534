// The scenario file: garden, weather, question, beds, feedings, and the user's own materials, plants, prices and measures.
#include <filesystem>

#include "host/catalogue_entries.hpp"
#include "host/kept_work.hpp"
#include "host/scenario_parts.hpp"
#include "host/text_file.hpp"
#include "host/words.hpp"
#include "leafhunger/reader.hpp"

namespace leafhunger {

namespace {

using namespace input;

void read_garden(const JsonNode& node, Scenario& s) {
  const JsonFields f = node.group({"name", "note", "latitude_deg", "elevation_m", "currency"});
  s.garden = f.name("name", 80, "give the garden a name");
  s.note = f.text_or("", "note", 0, 10000, "write a remark");
  s.site.latitude_deg = f.number("latitude_deg", {-89.9, 89.9, "degrees, north positive"}, "read it off a map; 50 is south-west England");
  s.site.elevation_m = f.number_or(0, "elevation_m", {-400, 5000, "m above the sea"}, "read it off a map");
  s.currency = f.text_or(s.currency, "currency", 1, 12, "write its sign, such as \"£\"");
}

void read_evapotranspiration(const JsonFields& weather, Scenario& s) {
  const auto node = weather.find("evapotranspiration");
  if (!node) return;
  const JsonFields f = node->group({"form", "factor"});
  s.et.hargreaves = f.choice_or(0, "form", {"best", "hargreaves"}, "leave the key out for the best form that the weather allows") == 1;
  s.et.factor = f.number_or(1, "factor", {0.5, 1.5, ""}, "leave the key out unless you know how far local figures differ");
}

/// How many days on end may be filled where the weather file has none; 0 where nothing was asked for.
int read_gaps(const JsonFields& weather) {
  const auto node = weather.find("gaps");
  if (!node) return 0;
  const JsonFields f = node->group({"fill", "at_most_days"});
  f.choice("fill", {"interpolate"}, "it is the only way there is");
  return f.integer("at_most_days", {1, 10, "days"}, "say how many missing days on end may be filled");
}

/// Reads what the part "weather" says of a file, but not the file itself.
void read_weather_file_part(const JsonFields& f, const std::string& scenario_path, Scenario& s) {
  const JsonNode file = f.require("file", "the path of a daily weather file (CSV), from the scenario's folder", "name the weather file");
  const std::string written = file.text(1, 1000, "name the weather file");
  const auto full = std::filesystem::path(scenario_path).parent_path() / std::filesystem::path(written);
  s.weather_file = full.lexically_normal().string();
  std::error_code failed;
  if (written.find('\0') != std::string::npos || !std::filesystem::exists(full, failed)) {
    const std::string nearest = nearest_file_beside(s.weather_file);
    file.refuse("no file " + in_quotes(written), "the path of a daily weather file (CSV), from the scenario's folder",
                nearest.empty() ? "check the name and the folder" : "the nearest name in that folder is " + in_quotes(nearest));
  }
  if (std::filesystem::is_directory(full, failed)) {
    file.refuse("the folder " + in_quotes(written), "the path of a daily weather file (CSV), from the scenario's folder",
                "name the file inside the folder");
  }
  // A device or a pipe could keep the reader for ever; a scenario may come from a stranger.
  if (!std::filesystem::is_regular_file(full, failed)) {
    file.refuse(in_quotes(written) + ", which is no plain file", "the path of a daily weather file (CSV), from the scenario's folder",
                "copy what it holds into a file beside the scenario");
  }
  s.site.wind_height_m = f.number_or(s.site.wind_height_m, "wind_height_m", {0.5, 200, "m above the ground"},
                                     "write how high the wind was measured; most stations measure at 10 m");
}

void read_question(const JsonNode& node, Scenario& s) {
  const JsonFields f = node.group({"season", "carry_to"});
  s.question.season = f.integer_or(0, "season", {0, 9999, ""}, "write the year in which the season ends; leave it out for the last one");
  s.question.carry_to = f.month_day_or(s.question.carry_to, "carry_to", "write the day to which the feed should last");
}

/// Prices and weighings by material. `set` takes them.
template <class Set>
void read_by_material(const JsonFields& f, const char* key, const Range& range, const char* hint, const Scenario& s, Set&& set) {
  const auto node = f.find(key);
  if (!node) return;
  for (const auto& entry : node->entries()) {
    entry.at_key.require_entry(entry.key, s.catalogue.materials);
    set(entry.key, entry.value.number(range, hint));
  }
}

/// The user's own entries over the shipped ones, then his prices and measures.
void read_own_catalogue(const JsonFields& f, Scenario& s) {
  const auto cautions = names_of(s.catalogue.cautions);
  if (const auto node = f.find("materials")) {
    for (auto& [id, material] : read_materials(*node, cautions)) s.catalogue.materials.insert_or_assign(id, material);
  }
  if (const auto node = f.find("plants")) {
    for (auto& [id, plant] : read_plants(*node, cautions)) s.catalogue.plants.insert_or_assign(id, plant);
  }
  read_by_material(f, "prices_per_kg", {0, 10000, "per kg"}, "write the price of a bag divided by its weight", s,
                   [&](const std::string& id, double price) { s.catalogue.materials.at(id).price_per_kg = price; });
  read_by_material(f, "handful_g", {1, 2000, "g"}, "weigh a handful in grams", s,
                   [&](const std::string& id, double grams) { s.handful_g[id] = grams; });
  read_by_material(f, "trowel_g", {5, 5000, "g"}, "weigh a trowel in grams", s,
                   [&](const std::string& id, double grams) { s.trowel_g[id] = grams; });
  read_by_material(f, "litre_g", {10, 5000, "g"}, "weigh a full litre in grams", s,
                   [&](const std::string& id, double grams) { s.litre_g[id] = grams; });
  s.handful_ml = f.number_or(s.handful_ml, "handful_ml", {10, 500, "ml"}, "fill a measuring jug with handfuls and divide");
  s.trowel_ml = f.number_or(s.trowel_ml, "trowel_ml", {50, 2000, "ml"}, "fill a measuring jug with trowels and divide");
}

std::string season_in_words(const Site& site) {
  return to_words(season_start_day(site)) + " to " + to_words(month_day_of(season_last(site, 2001)));
}

/// The season asked for must lie within the weather from end to end; where none was asked for it is the last that does.
void settle_season(const JsonFields& f, const JsonNode& file, Scenario& s) {
  const auto seasons = whole_seasons(s.weather, s.site);
  const std::string days = to_iso(s.weather.first) + " to " + to_iso(s.weather.date(s.weather.days() - 1));
  if (!seasons) {
    file.refuse("weather of " + days + ", which holds no whole season", "at least one season, " + season_in_words(s.site),
                "add the missing days to " + in_quotes(file.value().text));
  }
  if (s.question.season == 0) {
    s.question.season = seasons->last;
  } else if (s.question.season < seasons->first || s.question.season > seasons->last) {
    const JsonFields question = f.find("question")->group({"season", "carry_to"});
    const std::string range = seasons->first == seasons->last ? std::to_string(seasons->first)
                                                              : std::to_string(seasons->first) + " to " + std::to_string(seasons->last);
    question.find("season")->refuse(std::to_string(s.question.season),
                                    range + (seasons->first == seasons->last ? ", the season" : ", the seasons") + " that the weather of " +
                                        days + " covers from end to end",
                                    "a season runs " + season_in_words(s.site) + " and is named by the year in which it ends");
  }
}

}  // namespace

Scenario read_scenario(const std::string& path, const std::string& catalogue_dir) {
  const JsonDocument document = read_json(path, "a scenario file (JSON)");
  const JsonFields f =
      JsonNode(document).group({"format", "garden", "weather", "question", "beds", "feedings", "materials", "plants", "prices_per_kg",
                                "handful_g", "trowel_g", "litre_g", "handful_ml", "trowel_ml", "$schema"});
  f.text_or("", "$schema", 0, 1000, "name the schema that your editor is to check by, or take the key out");  // read by nobody else
  f.integer("format", {1, 1, ""}, "write \"format\": 1, the one that this version reads");
  Scenario s;
  s.file = path;
  s.catalogue = kept_catalogue([&] { return read_catalogue(catalogue_dir); });
  read_own_catalogue(f, s);
  read_garden(f.require("garden", "a group with \"name\" and \"latitude_deg\"", "say which garden it is and where"), s);
  if (s.site.latitude_deg < 0) s.question.carry_to = {2, 28};  // 31 August shifted by half a year
  if (const auto question = f.find("question")) read_question(*question, s);
  const JsonFields weather = f.require("weather", "a group with \"file\" or \"place\"", "name the weather file")
                                 .group({"file", "wind_height_m", "evapotranspiration", "gaps", "place", "years", "seed", "start"});
  std::optional<MadeWeather> made;
  if (weather_is_made(weather)) {
    made = read_made_weather(weather, catalogue_dir, s.site);
  } else {
    read_weather_file_part(weather, path, s);
  }
  read_evapotranspiration(weather, s);
  s.beds = read_beds(f.require("beds", "a list of 1 to 50 beds", "describe at least one bed"), s);
  s.feedings = read_feedings(f.require("feedings", "a list of 0 to 200 feedings", "write [ ] where nothing is fed"), s);

  const int gaps = made ? 0 : read_gaps(weather);
  s.weather = kept_weather([&] { return made ? make_weather(*made, catalogue_dir) : read_weather(s.weather_file, gaps); });
  if (!s.weather.wind_m_s.empty() && !weather.has("wind_height_m")) {
    weather.node().refuse("no key \"wind_height_m\", though " + in_quotes(weather.find("file")->value().text) + " has wind",
                          "0.5 to 200 m above the ground", "write how high the wind was measured; most stations measure at 10 m");
  }
  settle_season(f, *weather.find(made ? "place" : "file"), s);
  return s;
}

}  // namespace leafhunger
