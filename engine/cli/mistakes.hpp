// What is wrong with the words of a command line, in the house's one sentence.
#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

#include "leafhunger/error.hpp"

namespace leafhunger::cli {

/// Of words that `app` refused with `refusal`: what was found, what is allowed, and the nearest name where there is one.
InputError mistake_in(const CLI::App& app, const std::vector<std::string>& words, const CLI::ParseError& refusal);

}  // namespace leafhunger::cli
