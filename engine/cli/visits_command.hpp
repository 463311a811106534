// Options and run of `leafhunger visits`.
#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

namespace leafhunger::cli {

struct Options;

struct VisitsCommand {
  CLI::App* app = nullptr;
  std::vector<std::string> gardens;
};

void add_visits(CLI::App& app, VisitsCommand& command, Options& options);
/// A garden that is refused is left out and said on standard error, each its own sentence; then 2, and no file is written. Throws
/// InputError for what is wrong with the question itself.
int visits(const VisitsCommand& command, const Options& options);

}  // namespace leafhunger::cli
