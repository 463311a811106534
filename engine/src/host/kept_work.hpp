// Where work may be taken from that was done before. The command does all of it anew (kept_work.cpp); a page, which asks about one garden
// again and again as a slider moves, keeps it (web/kept_work.cpp). Each answers make(), or what it returned before for the same.
#pragma once

#include <functional>

#include "garden_plan.hpp"

namespace leafhunger {

/// The shipped catalogue.
Catalogue kept_catalogue(const std::function<Catalogue()>& make);
/// The weather of the scenario that is being read.
DailyWeather kept_weather(const std::function<DailyWeather()>& make);
/// What that weather does above the ground.
Atmosphere kept_atmosphere(const std::function<Atmosphere()>& make);
/// The soil climate of a column with this ground. Of columns of the plan only, not of one that was changed to see what would be.
SoilClimate kept_climate(const Garden::Plan& plan, const ColumnPlan& column, const SeasonDays& days, const Ground& ground,
                         const std::function<SoilClimate()>& make);

}  // namespace leafhunger
