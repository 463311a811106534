// `leafhunger visits`: several gardens, one list of days with what to load for each.
#include "visits_command.hpp"

#include <algorithm>
#include <iostream>

#include "commands.hpp"
#include "complain.hpp"
#include "endings.hpp"
#include "leafhunger/diary.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/visits.hpp"
#include "leafhunger/weather_writer.hpp"
#include "written.hpp"

namespace leafhunger::cli {

void add_visits(CLI::App& app, VisitsCommand& c, Options& o) {
  c.app = app.add_subcommand("visits", "several gardens: the days on which to feed, what to load, how many bags");
  c.app->add_option("GARDEN", c.gardens, "scenarios (JSON), or folders of them")->required();
  c.app->add_option("--season", o.season, "the year that the season ends in (default: the latest that a garden asks about)");
  c.app->add_option("--out", o.out, "write a page to print (FILE.html)");
  c.app->add_flag("--force", o.force, "overwrite that file");
  c.app->add_flag("--json", o.json, "answer as JSON");
  c.app->add_flag("--more", o.more, "also say what goes where");
  c.app->add_flag("--as-planned", o.as_planned, "leave the diaries out");
}

int visits(const VisitsCommand& c, const Options& o) {
  if (!o.out.empty()) require_ending(o.out, ".html", "a page to print");
  if (o.season && (*o.season < 1000 || *o.season > 9998))
    throw InputError({"", "--season", std::to_string(*o.season), "a year of four digits", "the year that the season ends in"});
  std::vector<std::string> passed_over;
  const auto files = garden_files(c.gardens, passed_over);
  const std::string catalogue = catalogue_folder(o.beside);
  const Loaded l = load(o);
  std::vector<RefusedGarden> refused;
  std::vector<Scenario> read;
  // What is wrong with one garden is said and does not stop the next.
  const auto unless_refused = [&](const std::string& file, const auto& attempt) {
    try {
      attempt();
    } catch (const InputError& e) {
      refused.push_back({file, e.what()});
    }
  };
  for (const std::string& file : files) unless_refused(file, [&] { read.push_back(read_scenario(file, catalogue)); });
  int season = o.season.value_or(0);
  for (const Scenario& s : read)
    if (!o.season) season = std::max(season, s.question.season);
  std::vector<Garden> gardens;
  for (Scenario& s : read) {
    const std::string file = s.file;
    unless_refused(file,
                   [&] { gardens.emplace_back(o.as_planned ? std::move(s) : follow_diary(std::move(s), season), l.registry, l.report); });
  }
  for (const RefusedGarden& g : refused) complain(g.sentence);
  if (gardens.empty()) return 2;
  const VisitsResult r = plan_visits(gardens, season, refused, passed_over);
  if (refused.empty() && !o.out.empty()) write_whole_file(o.out, in_html(r), o.force);
  if (!refused.empty() && !o.out.empty())
    complain(o.out + " was not written, since it would lack what was refused; mend that, or leave it out.");
  std::cout << (o.json ? in_json(r) : in_words(r, o.more));
  if (refused.empty()) tell_written(o.out, o.json);
  return refused.empty() ? 0 : 2;
}

}  // namespace leafhunger::cli
