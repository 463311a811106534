// Weather that a scenario does not have measured: a place's normals, and how many years to make up from them.
#include "host/scenario_parts.hpp"
#include "host/words.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/weather_writer.hpp"

namespace leafhunger::input {

bool weather_is_made(const JsonFields& weather) {
  const bool made = weather.exactly_one({"file", "place"}, "name a weather file, or a place whose normals make the days up") == "place";
  const auto refuse_beside = [&](const char* key, const char* there, const char* other, const char* hint) {
    const auto node = weather.find(key);
    if (node)
      node->refuse("the key " + in_quotes(key) + " beside " + in_quotes(there), "that key beside " + in_quotes(other) + " only", hint);
  };
  if (made) {
    for (const char* key : {"wind_height_m", "gaps"})
      refuse_beside(key, "place", "file", "take it out, for made-up days have no wind and no gaps");
  } else {
    for (const char* key : {"years", "seed", "start"})
      refuse_beside(key, "file", "place", "take it out, for the file says which days there are");
  }
  return made;
}

MadeWeather read_made_weather(const JsonFields& weather, const std::string& catalogue_dir, const Site& site) {
  const JsonNode node = weather.require("place", "the name of a place", "leafhunger weather --list names them");
  const std::string name = node.text(1, 80, "leafhunger weather --list names them");
  const std::string file = shipped_normals(catalogue_dir);
  const auto normals = read_normals(file);
  MadeWeather made;
  try {
    made.normals = find_place(normals, name, file);
  } catch (const InputError& unknown) {
    node.refuse(unknown.fault().found, unknown.fault().allowed, unknown.fault().hint);
  }
  if ((made.normals.latitude_deg < 0) != (site.latitude_deg < 0)) {
    node.refuse("a place " + std::string(site.latitude_deg < 0 ? "north" : "south") + " of the equator for a garden on the other side",
                "a place on the garden's side", "there summer comes at the other end of the year");
  }
  made.request.years = weather.integer_or(20, "years", {1, k_most_years, "years"}, "ten or more tell how sure an answer is");
  made.request.seed =
      static_cast<std::uint64_t>(weather.integer_or(1, "seed", {0, 2147483647, ""}, "any of them does; another one gives other years"));
  made.request.start_year = weather.integer_or(made.request.start_year, "start", {k_first_start_year, k_last_start_year, ""},
                                               "write the year in which the first season begins");
  return made;
}

DailyWeather make_weather(const MadeWeather& made, const std::string& catalogue_dir) {
  try {
    DailyWeather days = WeatherGenerator(made.normals).generate(made.request);
    days.notes.push_back(generated_note(made.normals, made.request));
    days.made_up = "Weather made up from the monthly normals of " + made.normals.place + " (seed " + std::to_string(made.request.seed) +
                   "): no station measured it.";
    return days;
  } catch (const InputError& contradiction) {
    InputFault fault = contradiction.fault();
    fault.file = shipped_normals(catalogue_dir);
    throw InputError(fault);
  }
}

}  // namespace leafhunger::input
