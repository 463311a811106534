// `leafhunger weather`: daily weather from monthly normals.
#include "weather_command.hpp"

#include <chrono>
#include <iostream>
#include <string>

#include "commands.hpp"
#include "folded.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/generator.hpp"
#include "leafhunger/plugin_loader.hpp"
#include "leafhunger/weather_writer.hpp"

namespace leafhunger::cli {
namespace {

std::string one_decimal(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.1f", value);
  return text;
}

void list(const std::vector<ClimateNormals>& normals) {
  std::string source;
  for (const ClimateNormals& n : normals) {
    double rain = 0, coldest = 99, warmest = -99;
    for (const auto& m : n.months) {
      rain += m.rain_mm;
      coldest = std::min(coldest, 0.5 * (m.tmin_c + m.tmax_c));
      warmest = std::max(warmest, 0.5 * (m.tmin_c + m.tmax_c));
    }
    std::string about = n.place + ": latitude " + one_decimal(n.latitude_deg);
    if (n.elevation_m) about += ", " + std::to_string(std::lround(*n.elevation_m)) + " m up";
    about += "; coldest month " + one_decimal(coldest) + ", warmest " + one_decimal(warmest) + " degrees, " +
             std::to_string(std::lround(rain)) + " mm of rain a year";
    std::cout << folded(about, 2);
    std::cout << folded("  " + (n.source.empty() ? "source not given" : n.source), 2);
  }
}

int whole_number(long long value, long long low, long long high, const char* option, const char* hint) {
  if (value < low || value > high)
    throw InputError({"", option, std::to_string(value), std::to_string(low) + " to " + std::to_string(high), hint});
  return static_cast<int>(value);
}

}  // namespace

void add_weather(CLI::App& app, WeatherCommand& w) {
  w.app = app.add_subcommand("weather", "make up daily weather from monthly normals (a CSV for a scenario)");
  w.app->add_option("--place", w.place, "a place of the list, or of your own file");
  w.app->add_option("--normals", w.normals, "your own monthly normals (CSV) in place of the shipped ones");
  w.app->add_option("--years", w.years, "how many years (default 30)");
  w.app->add_option("--seed", w.seed, "another whole number gives other years (default 1)");
  w.app->add_option("--start", w.start, "year of the first 1 November, in the south 1 May (default 2000)");
  w.app->add_option("--out", w.out, "write to this file (default: to the terminal)");
  w.app->add_flag("--force", w.force, "overwrite the file");
  w.app->add_flag("--list", w.list, "list the places with their sources");
}

int weather(const WeatherCommand& w, const Options& o) {
  const std::string file = w.normals.empty() ? shipped_normals(catalogue_folder(o.beside)) : w.normals;
  const auto normals = read_normals(file);
  if (w.list) {
    list(normals);
    return 0;
  }
  GeneratorRequest request;
  request.years = whole_number(w.years, 1, k_most_years, "--years", "thirty are the custom for a climate");
  request.seed =
      static_cast<std::uint64_t>(whole_number(w.seed, 0, 2147483647, "--seed", "any such number does; another one gives other years"));
  request.start_year = whole_number(w.start, k_first_start_year, k_last_start_year, "--start", "write a year of four digits");
  if (w.place.empty() && normals.size() > 1)
    throw InputError({"", "--place", "no place", "one of the places that --list names", "say which, such as --place " + normals[0].place});
  const ClimateNormals& place = w.place.empty() ? normals[0] : find_place(normals, w.place, file);

  DailyWeather made;
  try {
    made = WeatherGenerator(place).generate(request);
  } catch (const InputError& e) {
    InputFault fault = e.fault();
    fault.file = file;
    throw InputError(fault);
  }
  const std::string text = weather_csv(made, place, request, LEAFHUNGER_VERSION);
  if (w.out.empty()) {
    std::cout << text << std::flush;
    if (!std::cout) throw Error("the weather could not be written to its end");
    return 0;
  }
  write_whole_file(w.out, text, w.force);
  const auto last = made.date(made.days() - 1);
  std::cout << folded(w.out + ": " + std::to_string(request.years) + (request.years == 1 ? " year" : " years") +
                          " of made-up days after the normals of " + place.place + ", " + to_words(month_day_of(made.first)) + " " +
                          std::to_string(year_of(made.first)) + " to " + to_words(month_day_of(last)) + " " +
                          std::to_string(year_of(last)) + ".",
                      2);
  return 0;
}

}  // namespace leafhunger::cli
