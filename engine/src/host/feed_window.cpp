#include "feed_window.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <set>
#include <tuple>

#include "parallel.hpp"
#include "years.hpp"

namespace leafhunger {
namespace {

// Our own rule, no source: equations.md 13.23 says why.
constexpr long k_reach_d = 7, k_shortest_d = 5, k_longest_d = 14, k_step_d = 14;
constexpr std::size_t k_most_dates = 60;  // a rhythm of every week all year has fewer; the dates after them keep their day
constexpr double k_lost_frac = 0.1;       // of the feed's N: washed out
constexpr double k_can_mm = k_can_l;      // on a square metre

int eight_in_ten(int n) { return (8 * n + 9) / 10; }

// What a year of the record says about the days near one date, by days from it: from -k_reach_d on.
struct NearDate {
  std::vector<char> wet;
  std::vector<double> lost_frac;  ///< of a feed given on that day
};
constexpr long k_days_near = 2 * k_reach_d + k_longest_d;

// Of one date: what waits for rain on it, and the ask on whose ground it is reckoned.
struct OfDate {
  RainAsk most;
  double dissolves_mm = 0;
  long reach_d = k_reach_d, longest_d = k_longest_d;
};

std::map<Date, OfDate> by_date(const Garden::Plan& plan, const std::vector<RainAsk>& asks) {
  std::map<Date, OfDate> out;
  for (const RainAsk& a : asks) {
    OfDate& d = out[a.on];
    d.dissolves_mm = std::max(d.dissolves_mm, slot_material(*a.material, release_of(plan, *a.material)).surface.dissolved_wash_mm);
    if (!a.every_days) continue;  // windows of one rhythm keep apart
    d.reach_d = std::min<long>(d.reach_d, *a.every_days / 4);
    d.longest_d = std::clamp<long>(*a.every_days / 2, k_shortest_d, d.longest_d);
  }
  while (out.size() > k_most_dates) out.erase(std::prev(out.end()));
  // A column whose years are run for one date serves the others too.
  std::set<std::size_t> chosen;
  for (auto& [date, d] : out) {
    std::pair<bool, double> best{};
    for (const RainAsk& a : asks) {
      const ColumnPlan& column = plan.columns[a.column];
      // Bare ground beside a planting gets its share of what is broadcast, but nobody asks what becomes of it.
      if (a.on != date || !column.planting) continue;
      const std::pair<bool, double> weight{chosen.count(a.column) > 0, a.kg_n_ha * column.area_m2};
      if (weight > best) best = weight, d.most = a;
    }
    if (d.most.material) chosen.insert(d.most.column);
  }
  std::erase_if(out, [](const auto& entry) { return !entry.second.most.material; });
  return out;
}

// The dates that are reckoned on one column, and that column with room for what they give.
struct OfColumn {
  ColumnPlan with;
  std::vector<const OfDate*> dates;
  std::vector<std::size_t> slots;
};

// What one year says of each date: each feed given every fortnight near its day, beside not at all. Loss hangs little on the day.
std::vector<NearDate> near_dates(const Garden::Plan& plan, const ColumnPlan& column, const OfColumn& asked,
                                 const std::vector<double>& wet_day_mm, const Years& years, std::size_t y, const SoilClimate& climate) {
  const long n = static_cast<long>(climate.days);
  std::vector<Member> members;
  std::vector<long> planned;
  std::size_t each = 0;
  for (std::size_t k = 0; k < asked.dates.size(); ++k) {
    const RainAsk& most = asked.dates[k]->most;
    Feeding once;
    once.on = month_day_of(most.on);
    const auto days = feeding_days(once, years.first[y], climate.days);
    const long day = days.empty() ? n - 1 : static_cast<long>(days.front());
    planned.push_back(day);
    auto others = doses_of(plan, column, years.first[y], climate.days);
    std::erase_if(others, [&](const Dose& d) { return most.feeding == d.source && static_cast<long>(d.day) == day; });
    members.push_back(member_of(plan, asked.with, climate, others));
    for (long shift = -k_reach_d; shift < k_days_near - k_reach_d + k_step_d; shift += k_step_d) {
      auto doses = others;
      doses.push_back({static_cast<std::size_t>(std::clamp(day + shift, 0l, n - 1)), asked.slots[k], most.kg_n_ha, 0, 0});
      std::stable_sort(doses.begin(), doses.end(), [](const Dose& a, const Dose& b) { return a.day < b.day; });
      members.push_back(member_of(plan, asked.with, climate, std::move(doses)));
    }
    each = members.size() / (k + 1);
  }
  const auto briefs = run_batch(asked.with.shape, members, 8);
  std::vector<NearDate> out(asked.dates.size());
  for (std::size_t k = 0; k < out.size(); ++k) {
    const auto lost = [&](std::size_t i) {
      return (briefs[k * each + i].ledger.leached - briefs[k * each].ledger.leached) / asked.dates[k]->most.kg_n_ha;
    };
    for (long shift = 0; shift < k_days_near; ++shift) {
      const long d = planned[k] + shift - k_reach_d;
      const bool within = d >= 0 && d < n;
      out[k].wet.push_back(within && plan.scenario.weather.rain_mm[years.days[y].season[static_cast<std::size_t>(d)]] >= wet_day_mm[k]);
      const auto before = static_cast<std::size_t>(shift / k_step_d) + 1;
      const double part = static_cast<double>(shift % k_step_d) / static_cast<double>(k_step_d);
      out[k].lost_frac.push_back((1 - part) * lost(before) + part * lost(before + 1));
    }
  }
  return out;
}

struct Counted {
  int good = 0, washed_in = 0, washed_out = 0;
};
Counted count(const std::vector<NearDate>& years, long opens, long last) {
  Counted c;
  for (const NearDate& y : years) {
    long given = opens;
    while (given <= last && !y.wet[static_cast<std::size_t>(given)]) ++given;
    const bool in = given <= last, out = y.lost_frac[static_cast<std::size_t>(std::min(given, last))] > k_lost_frac;
    c.washed_in += in, c.washed_out += out, c.good += in && !out;
  }
  return c;
}

FeedWindow choose(const OfDate& asked, const std::vector<NearDate>& years, double wet_day_mm) {
  const int n = static_cast<int>(years.size()), wanted = eight_in_ten(n);
  std::optional<std::tuple<bool, long, int, long>> best;
  FeedWindow w;
  for (long days = k_shortest_d; days <= asked.longest_d; ++days)
    for (long shift = -asked.reach_d; shift <= asked.reach_d; ++shift) {
      const Counted c = count(years, k_reach_d + shift, k_reach_d + shift + days - 1);
      const bool enough = c.good >= wanted;
      const long far = days + std::abs(shift);
      // Less is better, part by part: enough years, then short and near the day, or many years where none has enough.
      const std::tuple<bool, long, int, long> key{!enough, enough ? far : -c.good, enough ? -c.good : static_cast<int>(far), days};
      if (best && key >= *best) continue;
      best = key;
      w.opens = asked.most.on + std::chrono::days{shift}, w.closes = w.opens + std::chrono::days{days - 1};
      w.washed_in = c.washed_in, w.washed_out = c.washed_out;
    }
  w.planned = asked.most.on, w.wet_day_mm = wet_day_mm, w.years = n;
  w.cans_m2 = static_cast<int>(std::ceil(asked.dissolves_mm * std::log(10.0) / k_can_mm));
  return w;
}

}  // namespace

bool waits_for_rain(const Material& material, double watered_in_mm, double forked_in_mm) {
  return material.form != Form::liquid && material.form != Form::bulky && watered_in_mm <= 0 && forked_in_mm <= 0;
}

std::vector<FeedWindow> windows_of(const Garden::Plan& plan, const std::vector<RainAsk>& asks) {
  const auto dates = by_date(plan, asks);
  if (dates.empty()) return {};
  const Years years = all_years(plan);
  const std::size_t n = years.seasons.size();
  std::map<std::size_t, OfColumn> columns;
  for (const auto& [date, asked] : dates) {
    const std::size_t c = asked.most.column;
    OfColumn& of = columns.try_emplace(c, OfColumn{plan.columns[c], {}, {}}).first->second;
    of.dates.push_back(&asked), of.slots.push_back(slots_for(plan, of.with, *asked.most.material, 0, 1).front());
  }
  std::vector<FeedWindow> out;
  for (const auto& held : columns) {
    const ColumnPlan& column = plan.columns[held.first];
    const OfColumn& of = held.second;
    std::vector<double> wet_day_mm;  // a gardener reads whole millimetres off a gauge
    for (const OfDate* date : of.dates) wet_day_mm.push_back(std::ceil(date->dissolves_mm * std::log(2.0)));
    std::vector<std::vector<NearDate>> near(n);
    parallel_for(n, [&](std::size_t y) {
      const SoilClimate climate =
          climate_of(plan, column, years.days[y], doses_of(plan, column, years.first[y], years.days[y].season.size()));
      near[y] = near_dates(plan, column, of, wet_day_mm, years, y, climate);
    });
    for (std::size_t k = 0; k < of.dates.size(); ++k) {
      std::vector<NearDate> of_date;
      for (auto& year : near) of_date.push_back(std::move(year[k]));
      out.push_back(choose(*of.dates[k], of_date, wet_day_mm[k]));
      out.back().planting = column.name;
    }
  }
  std::stable_sort(out.begin(), out.end(), [](const FeedWindow& a, const FeedWindow& b) { return a.planned < b.planned; });
  return out;
}

}  // namespace leafhunger
