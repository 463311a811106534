#include "leafhunger/lasts.hpp"

#include <algorithm>

#include "finished.hpp"
#include "season_words.hpp"
#include "years.hpp"

namespace leafhunger {
namespace {

std::vector<YearVerdict> verdicts(const Garden::Plan& plan, const ColumnPlan& column, const Years& years,
                                  const std::vector<SoilClimate>& climates, bool fed) {
  std::vector<Member> members;
  for (std::size_t y = 0; y < climates.size(); ++y)
    members.push_back(
        member_of(plan, column, climates[y], fed ? doses_of(plan, column, years.first[y], climates[y].days) : std::vector<Dose>{}));
  std::vector<YearVerdict> out;
  const auto briefs = run_batch(column.shape, members);
  for (std::size_t y = 0; y < briefs.size(); ++y) {
    YearVerdict v{years.seasons[y], judge(briefs[y].plant, years.until[y]), {}, briefs[y].ledger.taken, briefs[y].ledger.leached};
    if (v.verdict.first_short) v.first_short = years.first[y] + std::chrono::days{static_cast<long>(*v.verdict.first_short)};
    out.push_back(v);
  }
  return out;
}

PlantingYears of_column(const Garden::Plan& plan, const ColumnPlan& column, const Years& years) {
  const auto climates = climates_of(plan, column, years);
  PlantingYears p;
  p.name = column.name, p.hunger = column.plant->hunger, p.fed = !column.given.empty();
  p.unfed = verdicts(plan, column, years, climates, false);
  p.years = p.fed ? verdicts(plan, column, years, climates, true) : p.unfed;
  std::vector<std::optional<Date>> ran_short, first_short;
  for (std::size_t y = 0; y < p.years.size(); ++y) {
    const Verdict& v = p.years[y].verdict;
    p.kept += kept(v), p.kept_unfed += kept(p.unfed[y].verdict);
    p.slept += v.outcome == Outcome::never_woke, p.thirsty += v.outcome == Outcome::water_limited;
    if (v.outcome == Outcome::ran_short) ran_short.push_back(p.years[y].first_short);
    first_short.push_back(p.years[y].first_short);
  }
  const Site& site = plan.scenario.site;
  ran_short = by_calendar(site, std::move(ran_short));
  if (!ran_short.empty()) p.usual_first_short = month_day_of(*ran_short[ran_short.size() / 2]);
  const auto until = kept_nine_in_ten(site, by_calendar(site, std::move(first_short)));
  p.kept_whole_season = !until;
  p.kept_nine_in_ten = until.value_or(month_day_of(years.first.back() - std::chrono::days{1}));
  return p;
}

}  // namespace

int nine_in_ten(int n) { return (9 * n + 9) / 10; }

LastsResult how_often_it_lasts(const Garden& garden, const Control& control) {
  const Garden::Plan& plan = garden.plan();
  const Years years = all_years(plan);
  const auto planted = planted_columns(plan);
  LastsResult out;
  out.garden = plan.scenario.garden, out.note = plan.scenario.note, out.weather_note = plan.scenario.weather.made_up,
  out.carry_to = plan.scenario.question.carry_to, out.seasons = years.seasons;
  out.plantings = finished<PlantingYears>(planted.size(), control, [&](std::size_t i) { return of_column(plan, *planted[i], years); });
  out.stopped = out.plantings.size() < planted.size();
  out.feed_words = words_of_feedings(plan, years.first.back(), years.days.back().season.size());
  out.notes = notes_of(plan, years.days.front());
  return out;
}

}  // namespace leafhunger
