// `leafhunger new`: a first scenario from a few questions.
#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace leafhunger::cli {

struct Options;

struct NewCommand {
  CLI::App* app = nullptr;
  std::string file, name, place, weather, latitude, area, soil, plants, feed, bag_name, bag_nitrogen, bag_origin, bag_form, amount, on;
  bool force = false, ask_nothing = false;
};

void add_new(CLI::App& app, NewCommand& command);
int make_new(const NewCommand& command, const Options& options);

}  // namespace leafhunger::cli
