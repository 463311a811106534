#include "topup_command.hpp"

#include <filesystem>
#include <iostream>

#include "commands.hpp"
#include "complain.hpp"
#include "interrupt.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/report.hpp"
#include "leafhunger/weather_writer.hpp"
#include "lists.hpp"
#include "progress.hpp"
#include "written.hpp"

namespace leafhunger::cli {
namespace {

template <class Number>
std::vector<Number> numbers(const std::vector<std::string>& parts, const char* option, const char* allowed, const char* hint) {
  std::vector<Number> out;
  for (const std::string& part : parts) {
    if (part.empty()) throw InputError({"", option, "nothing between two commas", allowed, hint});
    out.push_back(number<Number>(part, option, allowed, hint));
  }
  return out;
}

TopUpQuestion question_of(const TopUpCommand& c) {
  TopUpQuestion q;
  q.materials = c.materials, q.plantings = c.plantings;
  q.together = c.together, q.may_scorch = c.may_scorch, q.every_point = c.whole_grid;
  const auto given = [&](const char* option) { return c.app->count(option) > 0; };
  if (given("--intervals"))
    q.intervals_d = numbers<int>(c.intervals, "--intervals", "whole numbers of days, 1 to 365", "such as --intervals 28 42 56");
  if (given("--doses")) q.doses_g_per_plant = numbers<double>(c.doses, "--doses", "grams a plant, more than 0", "such as --doses 20 40 60");
  if (given("--first-after"))
    q.first_after_d = numbers<int>(c.first_after, "--first-after", "whole numbers of days, 1 to 365", "such as --first-after 21 30 45");
  for (const std::string& text : c.until) {
    const auto day = parse_month_day(text);
    if (!day) throw InputError({"", "--until", in_quotes(text), "a day as MM-DD, such as 08-31", "month first, two digits each"});
    q.until.push_back(*day);
  }
  if (given("--prefer")) {
    q.prefer.clear();
    for (const std::string& text : c.prefer) {
      const auto aim = aim_of(text);
      if (!aim)
        throw InputError(
            {"", "--prefer", in_quotes(text), "cost, trips and leached, what matters most first", "such as --prefer cost,trips,leached"});
      if (std::find(q.prefer.begin(), q.prefer.end(), *aim) != q.prefer.end())
        throw InputError({"", "--prefer", in_quotes(text) + " a second time", "each of cost, trips and leached once", "take one out"});
      q.prefer.push_back(*aim);
    }
  }
  if (given("--years")) {
    const auto share = parse_years_share(c.years);
    if (!share)
      throw InputError({"", "--years", in_quotes(c.years), "years of years such as 9/10, or a share above 0 and at most 1 such as 0.9",
                        "--years 1 asks for every year"});
    q.share = *share;
  }
  if (given("--leached-at-most")) {
    constexpr const char *k_allowed = "0 or more g of nitrogen a square metre in a season", *k_hint = "such as --leached-at-most 5";
    if (c.leached_at_most.empty()) throw InputError({"", "--leached-at-most", "nothing", k_allowed, k_hint});
    q.leached_at_most_g_n_m2 = number<double>(c.leached_at_most, "--leached-at-most", k_allowed, k_hint);
    if (!(q.leached_at_most_g_n_m2 >= 0)) throw InputError({"", "--leached-at-most", in_quotes(c.leached_at_most), k_allowed, k_hint});
  }
  return q;
}

void require_csv(const std::string& path) {
  const std::string ending = std::filesystem::path(path).extension().string();
  if (ending == ".csv") return;
  throw InputError({path, "--out", ending.empty() ? "a name without an ending" : "the ending \"" + ending + "\"",
                    ".csv for a table of the schedules", "such as --out schedules.csv"});
}

}  // namespace

void add_topup(CLI::App& app, TopUpCommand& c) {
  c.app = &app;
  app.add_option("--material", c.materials, "what to top up with, as people call it; several to choose from")->required()->delimiter(',');
  app.add_option("--plantings", c.plantings, "only these (default: the hungry ones)");
  app.add_option("--intervals", c.intervals, "days between top-ups to try (default: 14 to 70 in weeks)")->delimiter(',');
  app.add_option("--doses", c.doses, "grams a plant to try (default: half a handful to four)")->delimiter(',');
  app.add_option("--first-after", c.first_after, "days from the spring feed to the first top-up to try (default 30)")->delimiter(',');
  app.add_option("--until", c.until, "no top-up after this day, nor past \"carry_to\"; MM-DD, several to try (default 08-31)")
      ->delimiter(',');
  app.add_flag("--together", c.together, "one calendar for all plantings, each with a dose of its own");
  app.add_option("--prefer", c.prefer, "what matters most first (default trips,cost,leached)")->delimiter(',');
  app.add_option("--years", c.years, "years in which it is to last: 9/10 or 0.9 (default 9/10)");
  app.add_option("--leached-at-most", c.leached_at_most, "g of nitrogen a square metre that may wash out in a season");
  app.add_flag("--may-scorch", c.may_scorch, "also doses that could scorch if given at once");
  app.add_flag("--whole-grid", c.whole_grid, "run every schedule to the end and show the years kept of each");
  app.add_option("--out", c.out, "write the schedules to choose from into FILE.csv");
  app.add_flag("--force", c.force, "overwrite that file");
}

int topup(const TopUpCommand& c, const Options& o) {
  const TopUpQuestion q = question_of(c);
  if (!c.out.empty()) require_csv(c.out);
  TopUpResult r;
  {
    Progress progress("trying schedules:");
    r = tune_top_ups(garden_of(o), q, {[&](std::size_t done, std::size_t of) { progress(done, of); }, o.stop});
  }
  if (!c.out.empty() && !r.stopped) write_whole_file(c.out, in_csv(r), c.force);
  std::cout << (o.json ? in_json(r) : in_words(r, o.more));
  if (!r.stopped) tell_written(c.out, o.json);
  if (!r.stopped) return 0;
  complain("stopped" + (c.out.empty() ? std::string() : "; " + c.out + " was not written"));
  return k_stopped;
}

}  // namespace leafhunger::cli
