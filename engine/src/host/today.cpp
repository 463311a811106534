#include "leafhunger/today.hpp"

#include <algorithm>
#include <cmath>

#include "dose_words.hpp"
#include "leafhunger/diary.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/lasts.hpp"
#include "parallel.hpp"
#include "perturbed.hpp"
#include "season_words.hpp"
#include "words.hpp"
#include "years.hpp"

namespace leafhunger {
namespace {

std::string dated(Date d) { return to_words(month_day_of(d)) + " " + std::to_string(year_of(d)); }

// The season at hand up to a day, then that of another year, day of the year for day of the year.
SeasonDays continued(const DailyWeather& weather, const SeasonDays& so_far, Date first, std::size_t days, Date other_first) {
  SeasonDays out = so_far;
  for (std::size_t d = out.season.size(); d < days; ++d) {
    const MonthDay day = month_day_of(first + std::chrono::days{static_cast<long>(d)});
    Date then = make_date(year_of(other_first), day);
    if (then < other_first) then = make_date(year_of(other_first) + 1, day);
    out.season.push_back(static_cast<std::size_t>((then - weather.first).count()));
  }
  return out;
}

// Growing days on which it held less than it wants, back from the first short day to `today`.
std::size_t due_before(const PlantDays& p, std::size_t first_short, std::size_t today) {
  const VerdictRules rules;
  std::size_t due = first_short;
  for (std::size_t d = first_short; d-- > today;) {
    if (!(p.f_t[d] > rules.growing_f_t && p.w_t_ha[d] > rules.growing_w_t_ha)) continue;
    if (p.nni[d] >= 1) break;
    due = d;
  }
  return due;
}

struct Asked {
  Date first;  ///< of the season at hand
  std::size_t days, today, until;
  std::vector<int> seasons;  ///< of the futures
  std::vector<SeasonDays> futures;
};

// When it runs short by the date, from a day on. What was before is past: a run of short days that is still going on counts from that day.
std::optional<std::size_t> short_ahead(const PlantDays& days, const Asked& a, std::size_t from) {
  PlantDays ahead = days;
  const auto run = static_cast<std::size_t>(VerdictRules{}.short_days - 1);
  for (std::size_t d = 0; d + run < std::min(from, days.f_t.size()); ++d) ahead.f_t[d] = 0;
  const auto first_short = judge(ahead, a.until).first_short;
  return first_short && *first_short <= a.until ? first_short : std::nullopt;
}

// The last feeding day's doses once more, today or so many weeks later, in every future.
void try_again(const Garden::Plan& plan, ColumnPlan column, const Asked& a, const std::vector<Dose>& doses,
               const std::vector<SoilClimate>& climates, PlantingToday& p) {
  constexpr std::size_t k_week = 7, k_recovery = 2 * k_week + 4;  // our own guess: a fortnight, and the run of five days may end in it
  const bool short_now = std::any_of(p.futures.begin(), p.futures.end(), [&](const Future& f) { return f.first_short == a.today; });
  if (short_now && a.today + k_recovery > a.until) {
    p.too_late = true;
    return;
  }
  std::vector<Dose> again;
  bool lies = false;
  for (const Dose& d : doses) {
    if (d.day != doses.back().day) continue;
    const Material& m = *column.slot_material[d.slot];
    const double grams = d.kg_n_ha / (m.n_percent / 100) / 10 * column.area_m2 / column.planting->count;
    p.again_words += (p.again_words.empty() ? "" : " and ") +
                     in_hand_and_scale(grams, grams_per_measure(plan.scenario, m, Amount::Measure::handfuls),
                                       grams_per_measure(plan.scenario, m, Amount::Measure::trowels)) +
                     " of " + lower_first(m.title);
    const double forked_mm = column.shape.slots[d.slot].forked_mm;
    lies = lies || (m.form == Form::bulky && forked_mm <= 0);
    again.push_back({0, slots_for(plan, column, m, forked_mm, 1)[0], d.kg_n_ha, 0, d.source});
  }
  p.again_words += column.planting->count > 1 ? " each" : "";
  const std::size_t n = climates.size();
  std::vector<std::size_t> days{a.today};  // what is short already waits for no later day
  for (std::size_t d = a.today + k_week; d <= a.until && !short_now; d += k_week) days.push_back(d);
  std::vector<SoilClimate> own;  // a mulch shields the soil from the day it lies there
  if (lies) own.reserve(n * days.size());
  std::vector<Member> members;
  for (const std::size_t day : days) {
    auto all = doses;
    for (Dose d : again) d.day = day, all.push_back(d);
    for (std::size_t f = 0; f < n; ++f) {
      if (lies) own.push_back(climate_of(plan, column, a.futures[f], all));
      members.push_back(member_of(plan, column, lies ? own.back() : climates[f], all));
    }
  }
  const auto briefs = run_batch(column.shape, members);
  const int wanted = nine_in_ten(static_cast<int>(n));
  for (std::size_t k = 0; k < days.size(); ++k) {
    int carried = 0;
    const std::size_t from = short_now ? a.today + k_recovery : a.today;
    for (std::size_t f = 0; f < n; ++f) carried += !short_ahead(briefs[k * n + f].plant, a, from);
    if (carried >= wanted) p.again_by = a.first + std::chrono::days{static_cast<long>(days[k])}, p.again_kept = carried;
    if (!p.again_by) p.again_kept = std::max(p.again_kept, carried);
  }
  if (!p.again_by && a.today + k_recovery > a.until) p.too_late = true, p.again_words.clear(), p.again_kept = 0;
}

PlantingToday stands(const Garden::Plan& plan, const ColumnPlan& column, const Asked& a) {
  PlantingToday p;
  p.name = column.name, p.hunger = column.plant->hunger;
  std::vector<Dose> doses = doses_of(plan, column, a.first, a.days);
  std::erase_if(doses, [&](const Dose& d) { return d.day > a.today; });
  if (!doses.empty()) p.last_fed = a.first + std::chrono::days{static_cast<long>(doses.back().day)};

  std::vector<SoilClimate> climates;
  for (const SeasonDays& days : a.futures) climates.push_back(climate_of(plan, column, days, doses));
  std::vector<Member> members;
  for (const SoilClimate& c : climates) members.push_back(member_of(plan, column, c, doses));
  const auto briefs = run_batch(column.shape, members);
  constexpr std::size_t k_never = 1000;
  std::vector<std::pair<std::size_t, std::size_t>> due;  // day and future
  for (std::size_t f = 0; f < briefs.size(); ++f) {
    Future future{a.seasons[f], {}, {}};
    const Outcome outcome = judge(briefs[f].plant, a.until).outcome;
    p.slept_in += outcome == Outcome::never_woke, p.thirsty_in += outcome == Outcome::water_limited;
    if (const auto first_short = short_ahead(briefs[f].plant, a, a.today)) {
      future.first_short = std::max(*first_short, a.today);
      future.due = std::max(due_before(briefs[f].plant, *first_short, a.today), a.today);
      ++p.short_in;
    }
    due.emplace_back(future.due.value_or(k_never), f);
    p.futures.push_back(future);
  }
  std::stable_sort(due.begin(), due.end());
  const std::size_t n = due.size();
  p.needed = static_cast<int>(n) - p.short_in < nine_in_ten(static_cast<int>(n));
  const auto at = [&](std::size_t rank) -> std::optional<Date> {
    if (due[rank].first == k_never) return std::nullopt;
    return a.first + std::chrono::days{static_cast<long>(due[rank].first)};
  };
  p.due_early = at((n - 1) / 10), p.due_usual = at((n - 1) / 2),
  p.due_late = at(static_cast<std::size_t>(nine_in_ten(static_cast<int>(n)) - 1));

  if (p.needed && !doses.empty()) try_again(plan, column, a, doses, climates, p);

  // Days in hand look a week ahead: in the middling future.
  const std::size_t middle = due[(n - 1) / 2].second;
  const ColumnSeason season = run_labelled(column.shape, members[middle], plan.scenario.feedings.size(), p.name);
  p.state = states_of(season.plant)[a.today];
  if (!doses.empty() && p.hunger == Hunger::greedy) {
    const Verdict reckoned = judge(season.plant, a.until);
    const auto cases = perturbed_cases(plan, column, a.futures[middle], members[middle], a.until);
    if (too_uncertain(reckoned, cases, a.until)) p.measure = to_measure(deciding(cases).what);
  }
  p.nni = season.plant.nni[a.today], p.days_in_hand = season.plant.days_in_hand[a.today];
  return p;
}

}  // namespace

TodayResult how_it_stands(const Garden& garden, Date on) {
  const Garden::Plan& plan = garden.plan();
  const Scenario& s = plan.scenario;
  const DailyWeather& w = s.weather;
  Asked a;
  const int season = season_of(s.site, on);
  a.first = season_first(s.site, season);
  a.days = static_cast<std::size_t>((season_last(s.site, season) - a.first).count()) + 1;
  const Date record_end = w.date(w.days() - 1), known_to = std::min(on, record_end);
  // Of a season that lies beyond the record nothing is known, and each other year stands for it whole.
  auto so_far = known_to < a.first ? SeasonDays{} : season_days(w, a.first, known_to).value_or(SeasonDays{});
  const bool known = !so_far.season.empty();
  if (!known && known_to >= a.first)
    throw InputError(
        {s.weather_file, "--on", to_iso(on) + ", of the season that begins on " + to_iso(a.first),
         "a day of a season that the weather covers from its first day; it runs from " + to_iso(w.first) + " to " + to_iso(record_end),
         "add the days that are missing, or ask about another day"});
  a.today = static_cast<std::size_t>((on - a.first).count());
  a.until = carry_to_index(plan, a.first, a.days);
  if (const auto range = whole_seasons(w, s.site))
    for (int y = range->first; y <= range->last; ++y) {
      if (y == season) continue;
      a.seasons.push_back(y);
      const Date other = season_first(s.site, y);
      a.futures.push_back(continued(w, known ? so_far : *season_days(w, other, other), a.first, a.days, other));
    }
  if (a.seasons.empty())
    throw InputError({s.weather_file, "--on", "no whole season besides that of " + to_iso(on),
                      "weather of other years, for the days to come", "add years to the record; `leafhunger weather` makes some up"});

  TodayResult out;
  out.garden = s.garden, out.note = s.note, out.weather_note = w.made_up, out.first = a.first, out.on = on, out.season = season,
  out.seasons = a.seasons;
  out.carry_to = a.first + std::chrono::days{static_cast<long>(a.until)};
  out.late = late_for_nitrogen(s.site, month_day_of(on));
  const auto planted = planted_columns(plan);
  out.plantings.resize(planted.size());
  parallel_for(planted.size(), [&](std::size_t i) { out.plantings[i] = stands(plan, *planted[i], a); });
  for (std::size_t i = 0; i < s.feedings.size(); ++i) {
    const auto days = feeding_days(s.feedings[i], a.first, a.days);
    const auto so_many = std::count_if(days.begin(), days.end(), [&](std::size_t d) { return d <= a.today; });
    const std::string words = words_of_feeding(plan, i, a.first, a.days);
    if (so_many > 0) out.given.push_back(words);
    if (so_many < static_cast<long>(days.size())) {
      const Date next = a.first + std::chrono::days{static_cast<long>(days[static_cast<std::size_t>(so_many)])};
      out.to_come.push_back(words + " (from " + dated(next) + ")");
    }
  }
  out.against_plan = plan_against_done(s, season);
  out.any_weather = known, out.known_to = known_to;
  out.notes = notes_of(plan, a.futures.front());
  return out;
}

}  // namespace leafhunger
