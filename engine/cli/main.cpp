// The command: options in, exit status out. What the commands do is in commands.cpp.
#include <CLI/CLI.hpp>
#include <cstdio>
#include <iostream>
#include <memory>

#include "commands.hpp"
#include "compare_command.hpp"
#include "complain.hpp"
#include "curves_command.hpp"
#include "fed_command.hpp"
#include "help_format.hpp"
#include "interrupt.hpp"
#include "lasts_command.hpp"
#include "leafhunger/error.hpp"
#include "lesson_command.hpp"
#include "list_command.hpp"
#include "mistakes.hpp"
#include "new_command.hpp"
#include "today_command.hpp"
#include "topup_command.hpp"
#include "visits_command.hpp"
#include "weather_command.hpp"

int main(int argc, char** argv) {
  using namespace leafhunger;
  cli::Options o;
  CLI::App app{"leafhunger: how much nitrogen a feed frees, when, and whether it lasts.", "leafhunger"};
  app.formatter(std::make_shared<cli::HelpFormat>());  // before the commands, which inherit it
  app.set_version_flag("--version", LEAFHUNGER_VERSION);
  app.require_subcommand(1);
  app.add_option("--plugins", o.plugin_folders, "look for plugins in this folder first (may be given again)");

  const auto with_file = [&](CLI::App* command) {
    command->add_option("FILE", o.file, "scenario (JSON)")->required();
    command->add_flag("--json", o.json, "answer as JSON");
    command->add_flag("--more", o.more, "also say how it was worked out");
    command->add_flag("--as-planned", o.as_planned, "leave the diary out");
    return command;
  };
  auto* season = with_file(app.add_subcommand("season", "run one season: does it last, where did the nitrogen go"));
  season->add_option("--season", o.season, "the year that the season ends in");
  season->add_option("--out", o.out, "write report.html, calendar.ics and series.csv into this folder");
  season->add_flag("--figures", o.figures, "write the figures there too, as SVG");
  season->add_flag("--for-client", o.for_client, "write for-client.html there too: a page a bed, in plain words");
  season->add_flag("--force", o.force, "overwrite those files");
  season->add_flag("--strict", o.strict, "exit with 1 where a hungry planting runs short by the date");
  auto* lasts = with_file(app.add_subcommand("lasts", "over all years of the weather: in how many is each planting carried to the date"));
  lasts->add_flag("--strict", o.strict, "exit with 1 where a hungry planting is kept in fewer than 9 years of 10");
  cli::LastsCommand lasting;
  cli::add_lasts(*lasts, lasting);
  auto* topup = with_file(app.add_subcommand("topup", "what to top up with, how far apart, how much and how long"));
  cli::TopUpCommand topping;
  cli::add_topup(*topup, topping);
  auto* today = with_file(app.add_subcommand("due", "what needs feeding now, and when the next feed is due")->alias("today"));
  cli::TodayCommand standing;
  cli::add_today(*today, standing);
  cli::CompareCommand comparing;
  cli::add_compare(app, comparing, o);
  cli::VisitsCommand touring;
  cli::add_visits(app, touring, o);
  cli::FedCommand given;
  cli::add_fed(app, given, o);
  cli::ListCommand listing;
  cli::add_list(app, listing, o);
  auto* check = app.add_subcommand("check", "read a scenario and all that it names, and say what is wrong");
  check->add_option("FILE", o.file, "scenario (JSON)")->required();
  check->add_flag("--json", o.json, "answer as JSON");
  auto* plugins = app.add_subcommand("plugins", "list models with their parameters, units, bounds and sources");
  plugins->add_flag("--json", o.json, "answer as JSON");
  plugins->add_flag("--responses", o.responses, "list the temperature and moisture responses too");
  cli::LessonCommand teaching;
  cli::add_lesson(app, teaching, o);
  cli::CurvesCommand curves;
  cli::add_curves(app, curves);
  cli::NewCommand fresh;
  cli::add_new(app, fresh);
  cli::WeatherCommand weather;
  cli::add_weather(app, weather);

  try {
    app.parse(argc, argv);
  } catch (const CLI::Success& e) {
    return app.exit(e);
  } catch (const CLI::ParseError& e) {
    cli::complain(cli::mistake_in(app, {argv + 1, argv + argc}, e).what());
    return 2;
  }
  o.beside = cli::folder_of_program();
  // What may take long stops in good order; all else is ended by Ctrl-C as any program is.
  std::optional<cli::Interrupt> interrupt;
  if (lasts->parsed() || topup->parsed()) o.stop = interrupt.emplace().token();
  const auto answer = [&] {
    if (season->parsed()) return cli::season(o);
    if (lasts->parsed()) return cli::lasts(lasting, o);
    if (topup->parsed()) return cli::topup(topping, o);
    if (today->parsed()) return cli::today(standing, o);
    if (comparing.app->parsed()) return cli::compare(comparing, o);
    if (touring.app->parsed()) return cli::visits(touring, o);
    if (given.app->parsed()) return cli::fed(given, o);
    if (listing.app->parsed()) return cli::list(listing, o);
    if (check->parsed()) return cli::check(o);
    if (teaching.app->parsed()) return cli::lesson(o);
    if (curves.app->parsed()) return cli::curves(curves, o);
    if (fresh.app->parsed()) return cli::make_new(fresh, o);
    if (weather.app->parsed()) return cli::weather(weather, o);
    return cli::plugins(o);
  };
  try {
    const int status = answer();
    if (!std::cout.flush()) throw Error("the answer could not be written to its end; check the room on the disk");
    return o.stop.stop_requested() ? cli::k_stopped : status;
  } catch (const InputError& e) {
    cli::complain(e.what());
    return 2;
  } catch (const PluginError& e) {
    cli::complain(e.what());
    return e.at_load() ? 2 : 3;
  } catch (const std::exception& e) {
    cli::complain(e.what());
    return 3;
  } catch (...) {
    cli::complain("a plugin threw something that says nothing about itself, which no plugin may");
    return 3;
  }
}
