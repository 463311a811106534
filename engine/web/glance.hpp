// A first look at one planting's season, for a picture that follows the reader's hand.
#pragma once

#include <optional>
#include <string>

#include "leafhunger/garden.hpp"

namespace leafhunger::web {

/// The planting alone, by the production stepper, as the years' answers are: its verdict, what it holds and needs, its soil, and which
/// feedings reach it. No labels, no ledger, not unfed, no reasons, no days in hand ("just carried" is carried): that is what takes the
/// time. The rest of the result is empty. `planting` is the name of one that the garden has. Throws InputError where the weather does not
/// cover the season.
SeasonResult glance(const Garden& garden, const std::string& planting, std::optional<int> season);

}  // namespace leafhunger::web
