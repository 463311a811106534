// `leafhunger list`: plants, materials, places and soils by the words that people use.
#pragma once

#include <CLI/CLI.hpp>
#include <string>

#include "commands.hpp"

namespace leafhunger::cli {

struct ListCommand {
  CLI::App* app = nullptr;
  std::string what;
  std::vector<std::string> words;
};

void add_list(CLI::App& app, ListCommand& command, Options& options);
int list(const ListCommand& command, const Options& options);

}  // namespace leafhunger::cli
