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

// Days from the season's start on which it first ran short; past the end where it never did. Ascending.
std::vector<std::size_t> short_days(const std::vector<YearVerdict>& years, std::size_t never) {
  std::vector<std::size_t> days;
  for (const YearVerdict& y : years) days.push_back(y.verdict.first_short.value_or(never));
  std::sort(days.begin(), days.end());
  return days;
}

PlantingYears of_column(const Garden::Plan& plan, const ColumnPlan& column, const Years& years) {
  const auto climates = climates_of(plan, column, years);
  PlantingYears p;
  p.name = column.name, p.hunger = column.plant->hunger, p.fed = !column.given.empty();
  p.unfed = verdicts(plan, column, years, climates, false);
  p.years = p.fed ? verdicts(plan, column, years, climates, true) : p.unfed;
  std::vector<std::size_t> ran_short;
  for (std::size_t y = 0; y < p.years.size(); ++y) {
    const Verdict& v = p.years[y].verdict;
    p.kept += kept(v), p.kept_unfed += kept(p.unfed[y].verdict);
    p.slept += v.outcome == Outcome::never_woke, p.thirsty += v.outcome == Outcome::water_limited;
    if (v.outcome == Outcome::ran_short) ran_short.push_back(*v.first_short);
  }
  const Date any = years.first.back();
  const auto day_of = [&](std::size_t index) { return month_day_of(any + std::chrono::days{static_cast<long>(index)}); };
  if (!ran_short.empty()) {
    std::sort(ran_short.begin(), ran_short.end());
    p.usual_first_short = day_of(ran_short[ran_short.size() / 2]);
  }
  constexpr std::size_t k_never = 1000;
  const auto days = short_days(p.years, k_never);
  // Kept in 9 years of 10 up to the day before the (n - ceil(0.9 n) + 1)th earliest first short day.
  const std::size_t worst = days[days.size() - static_cast<std::size_t>(nine_in_ten(static_cast<int>(days.size())))];
  p.kept_whole_season = worst == k_never;
  p.kept_nine_in_ten = day_of(p.kept_whole_season ? 364 : worst == 0 ? 0 : worst - 1);
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
