// Where a soil climate may be taken from, if the same was worked out before. The command works each out anew (kept_climates.cpp); a page,
// which asks about one garden again and again as a slider moves, keeps them (web/kept_climates.cpp).
#pragma once

#include <functional>

#include "garden_plan.hpp"

namespace leafhunger {

/// make(), or what it returned before for the same column, days and ground. Of columns of the plan only, not of one that was changed to see
/// what would be.
SoilClimate kept_climate(const Garden::Plan& plan, const ColumnPlan& column, const SeasonDays& days, const Ground& ground,
                         const std::function<SoilClimate()>& make);

}  // namespace leafhunger
