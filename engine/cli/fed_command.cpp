#include "fed_command.hpp"

#include <iostream>

#include "folded.hpp"
#include "leafhunger/reader.hpp"

namespace leafhunger::cli {

void add_fed(CLI::App& app, FedCommand& c, Options& o) {
  c.app = app.add_subcommand("fed", "write down what was given, in a diary beside the scenario");
  c.app->add_option("FILE", o.file, "scenario (JSON)")->required();
  c.app->add_option("DATE", c.fed.on, "the day, YYYY-MM-DD")->required();
  c.app->add_option("PLANTING", c.fed.target, "the planting, or the bed that it was spread over")->required();
  c.app->add_option("MATERIAL", c.fed.material, "what was given, as people call it")->required();
  c.app->add_option("AMOUNT", c.amount, "such as 2 handfuls each")->required();
  c.app->add_flag("--watered", c.fed.watered, "it was watered in, a can on a square metre");
}

int fed(const FedCommand& c, const Options& o) {
  Fed f = c.fed;
  for (const std::string& word : c.amount) f.amount += (f.amount.empty() ? "" : " ") + word;
  const Scenario s = read_scenario(o.file, catalogue_folder(o.beside));
  const std::string path = diary_path(o.file);
  const std::string line = add_to_diary(path, s, f);
  std::cout << path << ": " << line << '\n';
  // A diary takes the plan's place: who begins one in June is told that April's feed counts no more unless it is written down.
  const int season = season_of(s.site, *parse_date(f.on));
  for (const std::string& l : plan_against_done(follow_diary(s, season), season))
    if (l.find("; not in the diary") != std::string::npos) std::cout << folded("  " + l + ".", 4);
  return 0;
}

}  // namespace leafhunger::cli
