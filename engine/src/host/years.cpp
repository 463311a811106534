#include "years.hpp"

#include "leafhunger/error.hpp"

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

bool kept(const Verdict& v) { return v.outcome == Outcome::carried || v.outcome == Outcome::just_carried; }

}  // namespace leafhunger
