// Options and run of `leafhunger lasts`: the plain answer, how sure it is, and the dose that would do it.
#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace leafhunger::cli {

struct Options;

struct LastsCommand {
  CLI::App* app = nullptr;
  long long sure = 0, seed = 1;
  std::string out, doses, dates;
  bool force = false, enough = false;
};

/// Adds what is asked beyond the plain answer to the command `app`, which has FILE, --json, --more and --strict already.
void add_lasts(CLI::App& app, LastsCommand& command);
/// Throws InputError for options and files at fault; then no file is left.
int lasts(const LastsCommand& command, const Options& options);

}  // namespace leafhunger::cli
