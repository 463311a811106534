// Options and run of `leafhunger lesson`.
#pragma once

#include <CLI/CLI.hpp>

namespace leafhunger::cli {

struct Options;

struct LessonCommand {
  CLI::App* app = nullptr;
};

void add_lesson(CLI::App& app, LessonCommand& command, Options& options);
/// Throws InputError for options and files at fault; then no file is left.
int lesson(const Options& options);

}  // namespace leafhunger::cli
