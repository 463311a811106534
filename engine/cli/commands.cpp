#include "commands.hpp"

#include <filesystem>
#include <iostream>

#include "folded.hpp"
#include "leafhunger/diary.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/garden.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/report.hpp"
#include "leafhunger/report_folder.hpp"
#include "written.hpp"

namespace leafhunger::cli {
namespace {

template <class Result>
void print(const Options& o, const Result& result) {
  std::cout << (o.json ? in_json(result) : in_words(result, o.more));
}

bool hungry(Hunger h) { return h == Hunger::greedy; }

}  // namespace

std::string folder_of_program() {
  std::error_code ec;
  const auto self = std::filesystem::read_symlink("/proc/self/exe", ec);
  return ec ? "." : self.parent_path().string();
}

Loaded load(const Options& o) {
  Loaded l;
  l.report = load_plugins(*l.registry, plugin_folders(o.plugin_folders, o.beside));
  return l;
}

Garden garden_of(const Options& o, std::optional<Date> today, const Change& change) {
  Scenario scenario = read_scenario(o.file, catalogue_folder(o.beside));
  if (!o.as_planned) scenario = follow_diary(std::move(scenario), o.season, today);
  scenario = changed(std::move(scenario), change);
  const Loaded l = load(o);
  return Garden(std::move(scenario), l.registry, l.report);
}

int season(const Options& o) {
  for (const auto& [asked, option] : {std::pair{o.figures, "--figures"}, {o.for_client, "--for-client"}})
    if (asked && o.out.empty()) throw InputError({"", option, "no --out beside it", "a folder to write to", "add --out DIR"});
  const Garden garden = garden_of(o);
  SeasonOptions options;
  options.season = o.season;
  const SeasonResult r = run_season(garden, options);
  std::vector<std::string> files;
  if (!o.out.empty()) files = write_report(o.out, garden, r, o.force, {.figures = o.figures, .for_client = o.for_client});
  print(o, r);
  tell_written(files, o.json);
  if (!o.strict) return 0;
  for (const ColumnResult& c : r.columns)
    if (!c.bare && hungry(c.hunger) && c.verdict.outcome == Outcome::ran_short) return 1;
  return 0;
}

int check(const Options& o) {
  const Garden garden = garden_of(o);
  const Scenario& s = garden.scenario();
  std::size_t plantings = 0;
  for (const Bed& b : s.beds) plantings += b.plantings.size();
  const auto seasons = garden.seasons();
  if (o.json) {
    std::cout << "{\"file\": \"ok\"}\n";
    return 0;
  }
  const auto counted = [](std::size_t n, const char* what) { return std::to_string(n) + " " + what + (n == 1 ? "" : "s"); };
  std::cout << folded(o.file + ": good. " + counted(s.beds.size(), "bed") + ", " + counted(plantings, "planting") + ", " +
                          counted(s.feedings.size(), "feeding") + "; weather for the seasons " + std::to_string(seasons.front()) + " to " +
                          std::to_string(seasons.back()) + ".",
                      2);
  for (const std::string& note : s.notes) std::cout << folded("  note: " + note, 4);
  for (const std::string& note : s.weather.notes) std::cout << folded("  note: " + note, 4);
  return 0;
}

int plugins(const Options& o) {
  const Loaded l = load(o);
  std::cout << (o.json ? in_json(*l.registry, l.report, o.responses) : in_words(*l.registry, l.report, o.responses));
  for (const auto& f : l.report.files)
    if (!f.refused.empty()) throw PluginError(f.refused, true);
  return 0;
}

}  // namespace leafhunger::cli
