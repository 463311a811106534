// `leafhunger due`: what needs feeding on a day, and when the next feed is due.
#include "today_command.hpp"

#include <ctime>
#include <iostream>
#include <optional>

#include "commands.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/today.hpp"
#include "lists.hpp"

namespace leafhunger::cli {

namespace {

// The day on the user's wall. Only a question hangs on it, no file.
Date by_the_clock() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  localtime_r(&now, &local);
  return make_date(local.tm_year + 1900, {static_cast<unsigned>(local.tm_mon + 1), static_cast<unsigned>(local.tm_mday)});
}

}  // namespace

void add_today(CLI::App& app, TodayCommand& c) {
  c.app = &app;
  app.add_option("--on", c.on, "the day that counts as today, YYYY-MM-DD (default: today)");
}

int today(const TodayCommand& c, const Options& o) {
  const auto on = c.on.empty() && c.app->count("--on") == 0 ? std::optional(by_the_clock()) : parse_date(c.on);
  if (!on)
    throw InputError(
        {"", "--on", in_quotes(c.on), "a day as YYYY-MM-DD, such as 2024-06-15", "year first, then month and day of two digits"});
  const TodayResult r = how_it_stands(garden_of(o, *on), *on);
  std::cout << (o.json ? in_json(r) : in_words(r, o.more));
  return 0;
}

}  // namespace leafhunger::cli
