#include "leafhunger/trace.hpp"

#include "core/row_name.hpp"
#include "core/season.hpp"
#include "garden_plan.hpp"
#include "years.hpp"

namespace leafhunger {

Trace trace_column(const Garden& garden, std::size_t column_index, int season, StepperKind kind, double absolute_kg_ha, double relative,
                   int refine) {
  const Garden::Plan& plan = garden.plan();
  const ColumnPlan& column = plan.columns.at(column_index);
  const SeasonDays days = days_of_season(plan, season);
  const auto doses = doses_of(plan, column, season_first(plan.scenario.site, season), days.season.size());
  Trace t;
  t.climate = climate_of(plan, column, days, doses);
  const Member member = member_of(plan, column, t.climate, doses);
  ColumnBatch c(column.shape, {&member, 1}, 1);
  c.start();
  t.start.assign(c.state(), c.state() + c.map().rows);
  for (std::size_t r = 0; r < c.map().rows; ++r) t.rows.push_back(row_name(c, r));
  for (const Dose& d : doses) t.doses.push_back({d.day, d.slot, d.kg_n_ha, d.watered_in_mm});
  for (const Material* m : column.slot_material) t.slot_material.push_back(m->id);
  const auto stepper = kind == StepperKind::reference ? make_reference_stepper({absolute_kg_ha, relative}) : make_batch_stepper(refine);
  t.days = c.days();
  for (std::size_t d = 0; d < t.days; ++d) {
    c.begin_day(d);
    stepper->day(c, d);
    t.states.insert(t.states.end(), c.state(), c.state() + c.map().rows);
  }
  t.evaluations = stepper->evaluations();
  return t;
}

}  // namespace leafhunger
