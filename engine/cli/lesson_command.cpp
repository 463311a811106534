// `leafhunger lesson`: a page for a class, with guesses first and answers after.
#include "lesson_command.hpp"

#include <iostream>

#include "commands.hpp"
#include "endings.hpp"
#include "leafhunger/lesson.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/weather_writer.hpp"
#include "written.hpp"

namespace leafhunger::cli {

void add_lesson(CLI::App& app, LessonCommand& c, Options& o) {
  c.app = app.add_subcommand("lesson", "a page for a class: why is spring slow? Guesses first, answers overleaf");
  c.app->add_option("FILE", o.file, "scenario (JSON) whose coldest and warmest spring are compared")->required();
  c.app->add_option("--out", o.out, "write the page (FILE.html)");
  c.app->add_flag("--force", o.force, "overwrite that file");
  c.app->add_flag("--json", o.json, "answer as JSON");
}

int lesson(const Options& o) {
  if (!o.out.empty()) require_ending(o.out, ".html", "a page to show and to print");
  const std::string folder = catalogue_folder(o.beside);
  Scenario scenario = read_scenario(o.file, folder);
  const LessonPresets presets = read_lesson(folder, scenario.catalogue);
  const Loaded l = load(o);
  std::string planting;
  scenario = one_handful(std::move(scenario), planting);
  const LessonResult r = make_lesson(Garden(std::move(scenario), l.registry, l.report), planting, presets, *l.registry, l.report);
  if (!o.out.empty()) write_whole_file(o.out, in_html(r), o.force);
  std::cout << (o.json ? in_json(r) : in_words(r));
  tell_written(o.out, o.json);
  if (!o.json && o.out.empty()) std::cout << "\n  As a page to show and to print, with guesses first: --out lesson.html\n";
  return 0;
}

}  // namespace leafhunger::cli
