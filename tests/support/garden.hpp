// Gardens made in code: the shipped catalogue, weather invented by seed, beds and feedings as a test wants them.
#pragma once

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include "leafhunger/garden.hpp"
#include "leafhunger/reader.hpp"
#include "models.hpp"
#include "random.hpp"

namespace leafhunger::testing {

/// Days of a mild wet coast, or of one `colder_c` colder. Smooth years with showers by seed.
inline DailyWeather invented_weather(Date first, std::size_t days, unsigned seed = 1, double colder_c = 0, double wet_share = 0.45) {
  Draw draw(seed);
  DailyWeather w;
  w.first = first;
  double warm = 0;
  for (std::size_t d = 0; d < days; ++d) {
    const double season = std::cos(2 * 3.14159265358979323846 * (day_of_year(w.date(d)) - 205) / 365.25);
    warm = 0.7 * warm + draw.between(-2.5, 2.5);
    const double mean = 11 + 5.5 * season + warm - colder_c, range = 5 + 2.5 * season + draw.between(0, 3);
    w.tmin_c.push_back(mean - range / 2), w.tmax_c.push_back(mean + range / 2);
    w.rain_mm.push_back(draw.chance(wet_share) ? -6 * std::log(1 - draw.unit()) : 0);
  }
  return w;
}

/// A garden of no bed yet, with weather for the seasons 2004 (`first_season`) and as many more as asked for, and a year before them.
inline Scenario empty_scenario(int seasons = 1, unsigned seed = 1, double latitude_deg = 50.3) {
  Scenario s;
  s.file = "made in a test", s.garden = "Test garden", s.note = "invented";
  s.site.latitude_deg = latitude_deg;
  const bool south = latitude_deg < 0;
  const Date first = make_date(2002, south ? MonthDay{5, 1} : MonthDay{11, 1}), last = season_last(s.site, 2003 + seasons);
  s.weather = invented_weather(first, static_cast<std::size_t>((last - first).count() + 1), seed);
  if (south)
    for (auto* row : {&s.weather.tmin_c, &s.weather.tmax_c, &s.weather.rain_mm}) std::rotate(row->begin(), row->begin() + 182, row->end());
  s.weather_file = "invented in a test";
  s.question.season = 2003 + seasons;
  s.catalogue = read_catalogue(LEAFHUNGER_CATALOGUE_DIR);
  return s;
}

inline Bed bed(const std::string& name, double area_m2, double organic_matter_percent = 3, const std::string& texture = "loam") {
  Bed b;
  b.name = name, b.area_m2 = area_m2, b.texture = texture;
  b.soil = make_soil(*find_texture(texture), organic_matter_percent);
  return b;
}

inline Planting planting(const Scenario& s, const std::string& name, const std::string& plant, int count = 1) {
  Planting p;
  p.name = name, p.plant = plant, p.count = count, p.crown_m2 = s.catalogue.plants.at(plant).crown_m2;
  return p;
}

inline Feeding broadcast(const std::string& material, MonthDay on, double g_m2, const std::string& bed_name) {
  Feeding f;
  f.material = material, f.on = on, f.bed = bed_name;
  f.amount = {g_m2, Amount::Measure::grams, Amount::Per::m2};
  return f;
}

inline Feeding per_plant(const std::string& material, MonthDay on, double grams, std::vector<std::string> plantings) {
  Feeding f;
  f.material = material, f.on = on, f.plantings = std::move(plantings);
  f.amount = {grams, Amount::Measure::grams, Amount::Per::plant};
  return f;
}

inline Garden garden_of(Scenario s) {
  auto models = registry();  // before load_report(), which it fills
  return Garden(std::move(s), std::move(models), load_report());
}

/// One bed with bananas and some bare ground, fed once in April.
inline Scenario one_bed(int seasons = 1) {
  Scenario s = empty_scenario(seasons);
  s.beds.push_back(bed("Bed", 12));
  s.beds[0].plantings.push_back(planting(s, "Bananas", "hardy-banana", 3));
  s.feedings.push_back(broadcast("concentrated-manure-powder", {4, 15}, 120, "Bed"));
  return s;
}

/// Scenarios that ship, by file name.
inline std::vector<std::string> examples() {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(std::filesystem::path(LEAFHUNGER_SOURCE_DIR) / "scenarios")) {
    const std::string name = entry.path().filename().string();
    if (entry.path().extension() == ".json" && name.find("schema") == std::string::npos) names.push_back(name);
  }
  std::sort(names.begin(), names.end());
  return names;
}
inline Garden example(const std::string& name) {
  return garden_of(read_scenario((std::filesystem::path(LEAFHUNGER_SOURCE_DIR) / "scenarios" / name).string(), LEAFHUNGER_CATALOGUE_DIR));
}

}  // namespace leafhunger::testing
