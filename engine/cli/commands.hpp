// One function a command. Each returns the exit status: 0 done, 1 --strict not met; faults are thrown.
#pragma once

#include <memory>
#include <optional>
#include <stop_token>
#include <string>
#include <vector>

#include "leafhunger/compare.hpp"
#include "leafhunger/garden.hpp"
#include "leafhunger/plugin_loader.hpp"
#include "leafhunger/plugin_registry.hpp"

namespace leafhunger::cli {

struct Options {
  std::string file, beside, out;
  std::vector<std::string> plugin_folders;
  std::optional<int> season;
  std::stop_token stop;  // Ctrl-C, for long commands
  bool json = false, more = false, strict = false, responses = false, force = false, figures = false, for_client = false;
  bool as_planned = false;  ///< whatever the diary says
};

/// Folder that the running program lies in.
std::string folder_of_program();

/// The plugins that the options name, and those of the installation.
struct Loaded {
  std::shared_ptr<PluginRegistry> registry = std::make_shared<PluginRegistry>();
  LoadReport report;
};
Loaded load(const Options& options);

/// The scenario of `options` with its plugins, and what the diary beside it has of the season asked about: that of the options, of the day
/// that counts as today, or of the scenario. Throws what reading and loading throw.
/// `change`: fed otherwise than that.
Garden garden_of(const Options& options, std::optional<Date> today = std::nullopt, const Change& change = {});

int season(const Options& options);
int check(const Options& options);
int plugins(const Options& options);

}  // namespace leafhunger::cli
