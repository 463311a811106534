// `leafhunger curves`: what a feed frees in a jar, as a table, JSON, CSV or a picture.
#include "curves_command.hpp"

#include <algorithm>
#include <filesystem>
#include <iostream>

#include "commands.hpp"
#include "leafhunger/curves.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/weather_writer.hpp"
#include "lists.hpp"
#include "written.hpp"

namespace leafhunger::cli {
namespace {

CurvesQuestion question_of(const CurvesCommand& c) {
  CurvesQuestion q;
  if (c.app->count("--temps") > 0) {
    constexpr const char *k_allowed = "degrees Celsius from -20 to 60, with commas between", *k_hint = "such as --temps 5,10,15";
    q.temperature_c.clear();
    for (const std::string& part : parts_of(c.temperatures, "--temps", k_allowed, k_hint)) {
      const double t = number<double>(part, "--temps", k_allowed, k_hint);
      if (!(t >= -20 && t <= 60)) throw InputError({"", "--temps", part, k_allowed, k_hint});
      if (std::find(q.temperature_c.begin(), q.temperature_c.end(), t) == q.temperature_c.end()) q.temperature_c.push_back(t);
    }
  }
  if (c.app->count("--moisture") > 0) {
    constexpr const char *k_allowed = "field-capacity, or shares of the pores that hold water, above 0 and at most 1",
                         *k_hint = "such as --moisture 0.3,0.6; 0.6 is moist and airy";
    q.wfps_frac.clear();
    for (const std::string& part : parts_of(c.moistures, "--moisture", k_allowed, k_hint)) {
      std::optional<double> wet;
      if (part != "field-capacity") {
        wet = number<double>(part, "--moisture", k_allowed, k_hint);
        if (!(*wet > 0 && *wet <= 1)) throw InputError({"", "--moisture", part, k_allowed, k_hint});
      }
      if (std::find(q.wfps_frac.begin(), q.wfps_frac.end(), wet) == q.wfps_frac.end()) q.wfps_frac.push_back(wet);
    }
  }
  if (c.app->count("--days") > 0) {
    constexpr const char *k_allowed = "whole days from 1 to 3650, one for the last or several with commas between",
                         *k_hint = "such as --days 140, or --days 7,28,56";
    std::vector<int> days;
    for (const std::string& part : parts_of(c.days, "--days", k_allowed, k_hint)) {
      const int d = number<int>(part, "--days", k_allowed, k_hint);
      if (d < 1 || d > 3650) throw InputError({"", "--days", part, k_allowed, k_hint});
      days.push_back(d);
    }
    std::sort(days.begin(), days.end());
    days.erase(std::unique(days.begin(), days.end()), days.end());
    if (days.size() > 40)
      throw InputError(
          {"", "--days", std::to_string(days.size()) + " days", "at most 40 in a table", "write every day to a file with --out FILE.csv"});
    q.days = days.size() == 1 && c.days.find(',') == std::string::npos ? table_days(days[0]) : days;
  }
  return q;
}

// The engine names its own fields; a person typed options.
[[noreturn]] void as_option(InputError e) {
  InputFault fault = e.fault();
  for (const auto& [field, option] :
       {std::pair{"temperature_c", "--temps"}, {"moisture", "--moisture"}, {"days", "--days"}, {"material", "MATERIAL"}})
    if (fault.file.empty() && fault.place == field) fault.place = option;
  throw InputError(fault);
}

enum class Kind { svg, csv };

Kind kind_of(const std::string& path) {
  const std::string ending = std::filesystem::path(path).extension().string();
  if (ending == ".svg") return Kind::svg;
  if (ending == ".csv") return Kind::csv;
  throw InputError({path, "--out", ending.empty() ? "a name without an ending" : "the ending " + in_quotes(ending),
                    ".svg for a picture or .csv for every day's figures", "such as --out curves.svg"});
}

}  // namespace

void add_curves(CLI::App& app, CurvesCommand& c) {
  c.app = app.add_subcommand("curves", "how fast a feed frees its nitrogen at each warmth (a table, or a picture)");
  c.app->add_option("MATERIAL", c.materials, "materials of the catalogue, as people call them")->required();
  c.app->add_option("--temps", c.temperatures, "degrees Celsius, commas between (default 5,10,15,20,25)");
  c.app->add_option("--moisture", c.moistures, "share of pores with water, commas between (default field-capacity)");
  c.app->add_option("--days", c.days, "the last day, or a list of days (default 140)");
  c.app->add_option("--file", c.file, "a scenario whose own materials count too");
  c.app->add_option("--out", c.out, "write FILE.svg (a picture) or FILE.csv (every day)");
  c.app->add_flag("--force", c.force, "overwrite that file");
  c.app->add_flag("--json", c.json, "answer as JSON");
  c.app->add_flag("--more", c.more, "also say how it was worked out");
}

int curves(const CurvesCommand& c, const Options& o) {
  const CurvesQuestion question = question_of(c);
  std::optional<Kind> kind;
  if (c.app->count("--out") > 0) kind = kind_of(c.out);
  const std::string folder = catalogue_folder(o.beside);
  const Catalogue catalogue = c.file.empty() ? read_catalogue(folder) : read_scenario(c.file, folder).catalogue;
  PluginRegistry registry;
  const LoadReport report = load_plugins(registry, plugin_folders(o.plugin_folders, o.beside));
  CurvesResult result;
  try {
    result = release_curves(find_materials(catalogue, c.materials), registry, report, question);
  } catch (const InputError& e) {
    as_option(e);
  }
  if (kind) write_whole_file(c.out, *kind == Kind::svg ? in_svg(result) : in_csv(result), c.force);
  std::cout << (c.json ? in_json(result) : in_words(result, c.more));
  tell_written(kind ? c.out : "", c.json);
  return 0;
}

}  // namespace leafhunger::cli
