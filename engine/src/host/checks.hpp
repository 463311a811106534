// What a gardener can look at, on which day, and what to do then: chosen by how far the answer would move.
#pragma once

#include <vector>

#include "leafhunger/garden.hpp"

namespace leafhunger {

/// At most three, the most telling first, one of a kind; none that moves the answer by less than a week (equations.md 13.24). Goes by the
/// `perturbed` cases of the season's columns.
std::vector<Check> checks_of(const SeasonResult& season);

}  // namespace leafhunger
