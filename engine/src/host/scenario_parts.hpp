// The larger parts of a scenario, each read by its own file.
#pragma once

#include <vector>

#include "host/json_fields.hpp"
#include "leafhunger/generator.hpp"
#include "leafhunger/scenario.hpp"

namespace leafhunger::input {

/// Repeats within a season.
struct Again {
  int every_days;
  MonthDay until;
};
/// Reads "again" of something that is first done on `on`; `what` says what: "feeding".
Again read_again(const JsonNode& node, const Site& site, MonthDay on, const std::string& what);

/// Reads the "beds" list. Needs scenario.catalogue and .site; adds notes.
std::vector<Bed> read_beds(const JsonNode& node, Scenario& scenario);
/// Reads the "feedings" list. Needs scenario.catalogue, .beds and .site.
std::vector<Feeding> read_feedings(const JsonNode& node, const Scenario& scenario);

/// Weather made up from a place's normals.
struct MadeWeather {
  ClimateNormals normals;
  GeneratorRequest request;
};

/// Whether the "weather" group names a place; else it names a file. Refuses both, none, and keys that belong to the other.
bool weather_is_made(const JsonFields& weather);
/// Reads "place", "years", "seed" and "start". The place must be among the shipped normals and on the garden's side of the equator.
MadeWeather read_made_weather(const JsonFields& weather, const std::string& catalogue_dir, const Site& site);
/// The days, with a note that says what they are.
DailyWeather make_weather(const MadeWeather& made, const std::string& catalogue_dir);

}  // namespace leafhunger::input
