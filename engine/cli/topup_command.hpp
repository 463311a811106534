// Options and run of `leafhunger topup`.
#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

namespace leafhunger::cli {

struct Options;

struct TopUpCommand {
  CLI::App* app = nullptr;
  std::vector<std::string> materials, plantings, intervals, doses, first_after, until, prefer;
  std::string years, leached_at_most, out;
  bool together = false, may_scorch = false, whole_grid = false, force = false;
};

/// Adds its own options to the command `app`, which has FILE, --json and --more already.
void add_topup(CLI::App& app, TopUpCommand& command);
/// Throws InputError for options and files at fault; then no file is left.
int topup(const TopUpCommand& command, const Options& options);

}  // namespace leafhunger::cli
