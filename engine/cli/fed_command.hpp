// `leafhunger fed`: writes down what was given.
#pragma once

#include <CLI/CLI.hpp>

#include "commands.hpp"
#include "leafhunger/diary.hpp"

namespace leafhunger::cli {

struct FedCommand {
  CLI::App* app = nullptr;
  Fed fed;
  std::vector<std::string> amount;
};

void add_fed(CLI::App& app, FedCommand& command, Options& options);
int fed(const FedCommand& command, const Options& options);

}  // namespace leafhunger::cli
