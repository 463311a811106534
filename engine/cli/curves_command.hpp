// Options and run of `leafhunger curves`.
#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

namespace leafhunger::cli {

struct Options;

struct CurvesCommand {
  CLI::App* app = nullptr;
  std::vector<std::string> materials;
  std::string temperatures, moistures, days, out, file;
  bool json = false, more = false, force = false;
};

void add_curves(CLI::App& app, CurvesCommand& command);
/// Throws InputError for options and files at fault; then no file is left.
int curves(const CurvesCommand& command, const Options& options);

}  // namespace leafhunger::cli
