#include "years.hpp"

#include <algorithm>
#include <limits>

#include "leafhunger/error.hpp"
#include "leafhunger/lasts.hpp"

namespace leafhunger {

Years all_years(const Garden::Plan& plan) {
  const Scenario& s = plan.scenario;
  const auto range = whole_seasons(s.weather, s.site);
  if (!range) days_of_season(plan, s.question.season);  // throws the sentence
  Years y;
  for (int season = range->first; season <= range->last; ++season) {
    y.seasons.push_back(season);
    y.days.push_back(days_of_season(plan, season));
    y.first.push_back(season_first(s.site, season));
    y.until.push_back(carry_to_index(plan, y.first.back(), y.days.back().season.size()));
  }
  return y;
}

std::vector<SoilClimate> climates_of(const Garden::Plan& plan, const ColumnPlan& column, const Years& years) {
  std::vector<SoilClimate> out;
  for (std::size_t y = 0; y < years.seasons.size(); ++y)
    out.push_back(climate_of(plan, column, years.days[y], doses_of(plan, column, years.first[y], years.days[y].season.size())));
  return out;
}

Member member_of(const Garden::Plan& plan, const ColumnPlan& column, const SoilClimate& climate, std::vector<Dose> doses) {
  Member m;
  m.climate = &climate, m.soil = &column.ground.soil, m.plant = column.plant_or_null(), m.nitrogen = &plan.nitrogen;
  m.materials = &column.materials, m.doses = std::move(doses);
  return m;
}

std::vector<std::optional<Date>> by_calendar(const Site& site, std::vector<std::optional<Date>> days) {
  const auto order = [&](const std::optional<Date>& d) {
    return d ? order_in_season(site, month_day_of(*d)) : std::numeric_limits<int>::max();
  };
  std::stable_sort(days.begin(), days.end(), [&](const auto& a, const auto& b) { return order(a) < order(b); });
  return days;
}

std::optional<MonthDay> kept_nine_in_ten(const Site& site, const std::vector<std::optional<Date>>& days) {
  // Up to the day before the (n - ceil(0.9 n) + 1)th earliest.
  const auto& worst = days[days.size() - static_cast<std::size_t>(nine_in_ten(static_cast<int>(days.size())))];
  if (!worst) return std::nullopt;
  const MonthDay day = month_day_of(*worst);
  return order_in_season(site, day) == order_in_season(site, season_start_day(site)) ? day : month_day_of(*worst - std::chrono::days{1});
}

bool kept(const Verdict& v) { return v.outcome == Outcome::carried || v.outcome == Outcome::just_carried; }

}  // namespace leafhunger
