// Options and run of `leafhunger today`.
#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace leafhunger::cli {

struct Options;

struct TodayCommand {
  CLI::App* app = nullptr;
  std::string on;
};

/// Adds its own options to the command `app`, which has FILE, --json and --more already.
void add_today(CLI::App& app, TodayCommand& command);
/// Throws InputError for options and files at fault.
int today(const TodayCommand& command, const Options& options);

}  // namespace leafhunger::cli
