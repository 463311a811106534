// What the answer for one planting hangs on: what is not well known, one thing at a time at its likely least and most.
#pragma once

#include <string>
#include <vector>

#include "core/column.hpp"
#include "garden_plan.hpp"

namespace leafhunger {

/// One day's warmth of the soil that the reckoning may be off by, either way, degC (our own guess: the stations of equations.md 2.3 are
/// within 1 to 1.5).
inline constexpr double k_warmth_off_c = 1.5;

/// The season's other cases of a fed member; `feed`, `warmth`, `want`, `soil`, in that order. A figure's likely
/// least and most are a standard deviation (equations.md 13.18) below and above the value in use.
std::vector<Perturbed> perturbed_cases(const Garden::Plan& plan, const ColumnPlan& column, const SeasonDays& days, const Member& member,
                                       std::size_t until);
/// Whether a plain answer would be false comfort: as reckoned it is kept, or short for less than a month before the date, and one of the
/// things alone makes of that "kept" at one end and "short for a month or more" at the other (our own rule).
bool too_uncertain(const Verdict& reckoned, const std::vector<Perturbed>& cases, std::size_t until);
/// The case that moves the answer furthest; there must be one.
const Perturbed& deciding(const std::vector<Perturbed>& cases);
/// What to measure to tell its two ends apart: "the soil's nitrate".
std::string to_measure(Perturbed::What what);

}  // namespace leafhunger
