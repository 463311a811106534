// Results in words (80 columns, no colour) and as JSON. Nothing here computes.
#pragma once

#include <string>

#include "leafhunger/garden.hpp"
#include "leafhunger/lasts.hpp"
#include "leafhunger/topup.hpp"

namespace leafhunger {

/// `more`: also how it was worked out, the whole ledger and all cautions.
std::string in_words(const SeasonResult& result, bool more);
/// `more`: also the feeding as it is, what each year came to, and how it was worked out.
std::string in_words(const LastsResult& result, bool more = false);
/// `more`: also what else is on the front, and what was searched.
std::string in_words(const TopUpResult& result, bool more = false);

/// Stable key order, shortest numbers that read back the same, no date of the run.
std::string in_json(const SeasonResult& result);
std::string in_json(const LastsResult& result);
std::string in_json(const TopUpResult& result);
/// The front, one row a schedule and planting; with every point run, the whole grid.
std::string in_csv(const TopUpResult& result);

/// Models with parameters, and what happened to each file looked at.
std::string in_words(const PluginRegistry& registry, const LoadReport& report, bool responses);
std::string in_json(const PluginRegistry& registry, const LoadReport& report, bool responses);

}  // namespace leafhunger
