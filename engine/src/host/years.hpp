// One column over all seasons of the weather: climates made once, then many members run over them.
#pragma once

#include <deque>
#include <optional>
#include <vector>

#include "core/season.hpp"
#include "garden_plan.hpp"

namespace leafhunger {

/// The seasons of a garden's weather, ascending; throws InputError where there is none.
struct Years {
  std::vector<int> seasons;
  std::vector<SeasonDays> days;
  std::vector<Date> first;
  std::vector<std::size_t> until;  ///< index of the question's date
};
Years all_years(const Garden::Plan& plan);

/// The column's climate in each year, with the scenario's own feeding (watering-in is part of it).
std::vector<SoilClimate> climates_of(const Garden::Plan& plan, const ColumnPlan& column, const Years& years);
/// A member of `column` in year `y` with these doses.
Member member_of(const Garden::Plan& plan, const ColumnPlan& column, const SoilClimate& climate, std::vector<Dose> doses);
/// First short days of so many seasons in the calendar's order, so that a leap year's is not a day late; those never short last.
std::vector<std::optional<Date>> by_calendar(const Site& site, std::vector<std::optional<Date>> first_short);
/// Of days in that order: the last up to which 9 seasons in 10 were kept; none where those were to their end.
std::optional<MonthDay> kept_nine_in_ten(const Site& site, const std::vector<std::optional<Date>>& first_short);
/// Kept: awake, not short up to the date, and not merely thirsty.
bool kept(const Verdict& verdict);

}  // namespace leafhunger
