#include "glance.hpp"

#include <algorithm>

#include "host/garden_plan.hpp"
#include "host/years.hpp"

namespace leafhunger::web {

SeasonResult glance(const Garden& garden, const std::string& planting, std::optional<int> season) {
  const Garden::Plan& plan = garden.plan();
  const Scenario& s = plan.scenario;
  const auto column =
      std::find_if(plan.columns.begin(), plan.columns.end(), [&](const ColumnPlan& c) { return c.planting && c.name == planting; });

  SeasonResult out;
  out.season = season.value_or(s.question.season);
  const SeasonDays days = days_of_season(plan, out.season);
  out.first = season_first(s.site, out.season), out.days = days.season.size();
  out.carry_to_day = s.question.carry_to, out.carry_to = carry_to_index(plan, out.first, out.days);

  const auto doses = doses_of(plan, *column, out.first, out.days);
  const SoilClimate climate = climate_of(plan, *column, days, doses);
  const Member member = member_of(plan, *column, climate, doses);
  const Brief brief = run_batch(column->shape, {&member, 1}, 1).front();

  ColumnResult c;
  c.name = column->name, c.area_m2 = column->area_m2, c.count = column->planting->count, c.fed = !doses.empty();
  c.verdict = judge(brief.plant, out.carry_to);
  c.states = states_of(brief.plant);
  c.series = {{"plant_kg_n_ha", "kg/ha", "", 1, brief.plant.plant_kg_n_ha},
              {"critical_kg_n_ha", "kg/ha", "", 1, brief.plant.critical_kg_n_ha},
              {"soil_c", "degC", "", climate.layers, climate.t_c},
              {"available_frac", "-", "", climate.layers, climate.available_frac}};
  for (const Dose& d : doses) {
    FeedDay day;
    day.on = out.first + std::chrono::days{static_cast<long>(d.day)}, day.feeding = d.source;
    if (std::none_of(c.sources.begin(), c.sources.end(), [&](const auto& have) { return have.feeding == d.source; }))
      c.sources.push_back({"", 0, {}, d.source});
    out.feed_days.push_back(day);
  }
  out.columns.push_back(std::move(c));
  return out;
}

}  // namespace leafhunger::web
