// Options and run of `leafhunger weather`.
#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace leafhunger::cli {

struct Options;

struct WeatherCommand {
  CLI::App* app = nullptr;
  std::string place, normals, out;
  long long years = 30, seed = 1, start = 2000;
  bool force = false, list = false;
};

void add_weather(CLI::App& app, WeatherCommand& command);
/// Throws InputError for options and files at fault; then no file is left.
int weather(const WeatherCommand& command, const Options& options);

}  // namespace leafhunger::cli
