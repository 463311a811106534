// `leafhunger compare`: two scenarios, or one fed otherwise.
#pragma once

#include <CLI/CLI.hpp>

#include "commands.hpp"
#include "leafhunger/compare.hpp"

namespace leafhunger::cli {

struct CompareCommand {
  CLI::App* app = nullptr;
  std::string other, material, first;
  Change change;
};

void add_compare(CLI::App& app, CompareCommand& command, Options& options);
int compare(const CompareCommand& command, const Options& options);

}  // namespace leafhunger::cli
