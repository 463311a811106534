// What a gardener can look at, on which day, and what to do then: chosen by how far the answer would move.
#pragma once

#include <string>
#include <vector>

#include "leafhunger/garden.hpp"

namespace leafhunger {

/// At most three, the most telling first, one of a kind; none that moves the answer by less than a week (equations.md 13.24). Goes by the
/// `perturbed` cases of the season's columns.
std::vector<Check> checks_of(const SeasonResult& season);
/// Whether the planting gets something of what is given that day.
bool reaches(const FeedDay& day, const ColumnResult& column);
/// What to do at feeding time for the season's checks: "Bananas: leave one of the 3 unfed until 18 June, to look at beside the rest."
std::vector<std::string> preparations(const SeasonResult& season);
/// The same, of what is given that day alone.
std::vector<std::string> preparations(const SeasonResult& season, const FeedDay& day);

}  // namespace leafhunger
