// `leafhunger today`: how it stands, and when the next feed is due.
#include "today_command.hpp"

#include <iostream>

#include "commands.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/today.hpp"
#include "lists.hpp"

namespace leafhunger::cli {

void add_today(CLI::App& app, TodayCommand& c) {
  c.app = &app;
  app.add_option("--on", c.on, "the day that counts as today, YYYY-MM-DD")->required();
}

int today(const TodayCommand& c, const Options& o) {
  const auto on = parse_date(c.on);
  if (!on)
    throw InputError(
        {"", "--on", in_quotes(c.on), "a day as YYYY-MM-DD, such as 2024-06-15", "year first, then month and day of two digits"});
  const TodayResult r = how_it_stands(garden_of(o, *on), *on);
  std::cout << (o.json ? in_json(r) : in_words(r, o.more)) << std::flush;
  if (!std::cout) throw Error("the answer could not be written to its end");
  return 0;
}

}  // namespace leafhunger::cli
