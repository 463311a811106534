// `leafhunger lasts`: in how many years, how sure, and what dose would do.
#include "lasts_command.hpp"

#include <filesystem>
#include <iostream>

#include "commands.hpp"
#include "complain.hpp"
#include "endings.hpp"
#include "interrupt.hpp"
#include "leafhunger/enough.hpp"
#include "leafhunger/ensemble.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/lasts.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/report.hpp"
#include "leafhunger/weather_writer.hpp"
#include "lists.hpp"
#include "progress.hpp"
#include "written.hpp"

namespace leafhunger::cli {
namespace {

bool hungry(Hunger h) { return h == Hunger::greedy; }

Control control(const Options& o, Progress& progress) {
  return {[&progress](std::size_t done, std::size_t of) { progress(done, of); }, o.stop};
}

// What is said in place of the status where Ctrl-C came: what had been answered by then is printed, no file is written.
int stopped(const Options& o, std::size_t answered, const std::string& out) {
  std::size_t plantings = 0;
  for (const Bed& b : read_scenario(o.file, catalogue_folder(o.beside)).beds) plantings += b.plantings.size();
  complain("stopped; " + std::to_string(answered) + " of " + std::to_string(plantings) + (plantings == 1 ? " planting" : " plantings") +
           " had been answered" + (out.empty() ? "" : "; " + out + " was not written"));
  return k_stopped;
}

int how_sure(const LastsCommand& c, const Options& o) {
  EnsembleQuestion q;
  if (c.sure < 2 || c.sure > 10000)
    throw InputError(
        {"", "--sure", std::to_string(c.sure), "2 to 10000 ways that feed, soil and plant may be", "50 are enough for a first look"});
  if (c.seed < 0)
    throw InputError({"", "--seed", std::to_string(c.seed), "0 or more", "any such number does; another one gives other draws"});
  if (!c.out.empty()) require_ending(c.out, ".csv", "the bands by day");
  q.samples = static_cast<int>(c.sure), q.seed = static_cast<std::uint64_t>(c.seed), q.bands = !c.out.empty();
  EnsembleResult r;
  {
    Progress progress("trying ways it may be:");
    r = how_sure_it_is(garden_of(o), q, control(o, progress));
  }
  if (!c.out.empty() && !r.stopped) write_whole_file(c.out, in_csv(r), c.force);
  if (!r.plantings.empty()) std::cout << (o.json ? in_json(r) : in_words(r, o.more));
  if (r.stopped) return stopped(o, r.plantings.size(), c.out);
  tell_written(c.out, o.json);
  if (!o.strict) return 0;
  for (const PlantingSureness& p : r.plantings)
    if (hungry(p.hunger) && p.kept_share < 0.9) return 1;
  return 0;
}

EnoughQuestion enough_question(const LastsCommand& c) {
  EnoughQuestion q;
  q.find = c.enough;
  if (c.app->count("--doses") > 0) {
    constexpr const char *k_allowed = "multiples of the spring dose, above 0 and at most 100, with commas between",
                         *k_hint = "such as --doses 0.5,1,1.5,2,3";
    for (const std::string& part : parts_of(c.doses, "--doses", k_allowed, k_hint)) {
      const double m = number<double>(part, "--doses", k_allowed, k_hint);
      if (!(m > 0 && m <= 100)) throw InputError({"", "--doses", part, k_allowed, k_hint});
      if (std::find(q.multiples.begin(), q.multiples.end(), m) == q.multiples.end()) q.multiples.push_back(m);
    }
  }
  if (c.app->count("--dates") > 0) {
    constexpr const char *k_allowed = "days as MM-DD with commas between", *k_hint = "such as --dates 03-15,04-01,04-15,05-01,05-15";
    for (const std::string& part : parts_of(c.dates, "--dates", k_allowed, k_hint)) {
      const auto day = parse_month_day(part);
      if (!day) throw InputError({"", "--dates", in_quotes(part), k_allowed, k_hint});
      q.dates.push_back(*day);
    }
  }
  return q;
}

int what_dose(const LastsCommand& c, const Options& o) {
  const EnoughQuestion q = enough_question(c);
  if (!c.out.empty()) {
    require_ending(c.out, ".svg", "the picture of the curve");
    if (q.multiples.empty() == q.dates.empty())
      throw InputError({c.out, "--out", q.dates.empty() ? "no curve to draw" : "two curves for one picture", "a picture of one curve",
                        "give --doses or --dates, one of the two"});
  }
  EnoughResult r;
  {
    Progress progress("trying doses:");
    r = what_would_do(garden_of(o), q, control(o, progress));
  }
  if (!c.out.empty() && !r.stopped) write_whole_file(c.out, in_svg(r), c.force);
  if (!r.plantings.empty()) std::cout << (o.json ? in_json(r) : in_words(r, o.more));
  if (r.stopped) return stopped(o, r.plantings.size(), c.out);
  tell_written(c.out, o.json);
  if (!o.strict) return 0;
  for (const PlantingEnough& p : r.plantings)
    if (p.fed && hungry(p.hunger) && !p.enough) return 1;
  return 0;
}

}  // namespace

void add_lasts(CLI::App& app, LastsCommand& c) {
  c.app = &app;
  app.add_option("--sure", c.sure, "also how sure that is: try so many ways that feed, soil and plant may be (50 do)");
  app.add_option("--seed", c.seed, "with --sure: another whole number gives other draws (default 1)");
  app.add_flag("--enough", c.enough, "find the smallest spring dose that would do in 9 years of 10");
  app.add_option("--doses", c.doses, "years kept by size of the spring dose: multiples of it, commas between");
  app.add_option("--dates", c.dates, "years kept by the day of the spring dose: MM-DD, commas between");
  app.add_option("--out", c.out, "with --sure: the bands by day to FILE.csv; with --doses or --dates: the picture to FILE.svg");
  app.add_flag("--force", c.force, "overwrite that file");
}

int lasts(const LastsCommand& c, const Options& o) {
  const auto given = [&](const char* option) { return c.app->count(option) > 0; };
  const bool sure = given("--sure"), dose = c.enough || given("--doses") || given("--dates");
  if (sure && dose) throw InputError({"", "--sure", "--sure beside --enough, --doses or --dates", "one question at a time", "ask twice"});
  if (given("--seed") && !sure)
    throw InputError({"", "--seed", "no --sure beside it", "--seed with --sure", "add --sure 50, or take --seed out"});
  if (given("--out") && !sure && !dose)
    throw InputError(
        {"", "--out", "no --sure, --doses or --dates beside it", "--out with one of these", "such as --doses 0.5,1,2 --out doses.svg"});
  if (sure) return how_sure(c, o);
  if (dose) return what_dose(c, o);
  LastsResult r;
  {
    Progress progress("running years:");
    r = how_often_it_lasts(garden_of(o), control(o, progress));
  }
  if (!r.plantings.empty()) std::cout << (o.json ? in_json(r) : in_words(r, o.more));
  if (r.stopped) return stopped(o, r.plantings.size(), "");
  if (!o.strict) return 0;
  for (const PlantingYears& p : r.plantings)
    if (hungry(p.hunger) && p.kept < nine_in_ten(static_cast<int>(r.seasons.size()))) return 1;
  return 0;
}

}  // namespace leafhunger::cli
