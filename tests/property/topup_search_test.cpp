// The search against plain brute force: every schedule of a grid in every year to its end, by plain loops, feasible ones compared each with
// each. Fifty small problems made by seed.
#include "host/topup_search.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <sstream>

#include "leafhunger/error.hpp"
#include "leafhunger/report.hpp"
#include "support/garden.hpp"

namespace leafhunger {
namespace {

using testing::Draw;

template <class T>
T one_of(Draw& draw, const std::vector<T>& all) {
  return all[std::min(all.size() - 1, static_cast<std::size_t>(draw.unit() * static_cast<double>(all.size())))];
}

// `n` different ones, in the order in which they are drawn.
template <class T>
std::vector<T> some_of(Draw& draw, std::vector<T> all, std::size_t n) {
  std::vector<T> out;
  while (out.size() < n && !all.empty()) {
    const T t = one_of(draw, all);
    all.erase(std::find(all.begin(), all.end(), t));
    out.push_back(t);
  }
  return out;
}

struct Problem {
  Scenario scenario;
  TopUpQuestion question;
};

Problem problem(unsigned seed) {
  Draw draw(seed);
  const auto count = [&](double least, double most) { return static_cast<std::size_t>(draw.between(least, most + 1)); };
  Problem p;
  p.scenario = testing::empty_scenario(static_cast<int>(count(2, 4)), seed);
  Scenario& s = p.scenario;
  const double area_m2 = draw.between(5, 15), organic_matter_percent = draw.between(1, 4);
  s.beds.push_back(testing::bed("Bed", area_m2, organic_matter_percent, one_of<std::string>(draw, {"loam", "sandy loam", "silt loam"})));
  const auto plants = some_of<std::string>(draw, {"hardy-banana", "canna", "ginger-lily", "elephant-ear"}, draw.chance(0.4) ? 2 : 1);
  for (const std::string& plant : plants)
    s.beds[0].plantings.push_back(testing::planting(s, "The " + plant, plant, static_cast<int>(count(1, 3))));
  if (draw.chance(0.7)) {
    const std::string material = one_of<std::string>(draw, {"concentrated-manure-powder", "dried-blood"});
    const MonthDay on{4, static_cast<unsigned>(count(1, 28))};
    s.feedings.push_back(testing::broadcast(material, on, draw.between(20, 150), "Bed"));
  }
  if (draw.chance(0.3)) s.feedings.push_back(testing::per_plant("dried-blood", {5, 15}, draw.between(5, 30), {"The " + plants[0]}));
  TopUpQuestion& q = p.question;
  q.materials = some_of<std::string>(draw, {"dried-blood", "concentrated-manure-powder", "sulphate-of-ammonia", "calcium-ammonium-nitrate"},
                                     draw.chance(0.3) ? 2 : 1);
  q.intervals_d = some_of<int>(draw, {14, 21, 28, 35, 42, 56, 70, 100, 120}, count(3, 6));
  q.doses_g_per_plant = some_of<double>(draw, {2, 5, 10, 15, 20, 30, 40, 60, 120}, count(3, 6));
  q.first_after_d = some_of<int>(draw, {14, 30, 45, 60}, draw.chance(0.4) ? 2 : 1);
  q.until = some_of<MonthDay>(draw, {{7, 15}, {7, 31}, {8, 31}}, draw.chance(0.3) ? 2 : 1);
  q.prefer = some_of<Aim>(draw, {Aim::cost, Aim::trips, Aim::leached}, 3);
  q.share = one_of<YearsShare>(draw, {{1, 2}, {3, 4}, {9, 10}, {1, 1}});
  q.may_scorch = draw.chance(0.3);
  if (draw.chance(0.3)) q.leached_at_most_g_n_m2 = draw.between(0.5, 8);
  q.together = draw.chance(0.25);
  return p;
}

// A schedule of one planting, run to the end in every year.
struct Plain {
  std::string material;
  int interval_d, first_after_d;
  MonthDay until;
  double dose_g, cost, soluble_g_m2;
  std::vector<std::vector<std::size_t>> dates;
  int trips = 0, kept = 0;
  double leached_g_m2 = 0;
  std::vector<std::size_t> place;  // in the question's lists: first day, last day, interval, material, dose
};

std::size_t index_of(MonthDay day, Date first, std::size_t days) {
  Feeding f;
  f.on = day;
  return feeding_days(f, first, days).front();
}

struct Dates {
  int interval_d;
  std::vector<std::size_t> place;  // first day, last day, interval
  std::vector<std::vector<std::size_t>> of_year;
};

// Sets of dates, each once, under its longest interval.
std::vector<Dates> all_dates(const TopUpQuestion& q, const Years& years, const std::vector<std::size_t>& spring) {
  std::vector<Dates> out;
  for (std::size_t f = 0; f < q.first_after_d.size(); ++f)
    for (std::size_t u = 0; u < q.until.size(); ++u)
      for (std::size_t i = 0; i < q.intervals_d.size(); ++i) {
        Dates d{q.intervals_d[i], {f, u, i}, {}};
        for (std::size_t y = 0; y < years.seasons.size(); ++y) {
          d.of_year.emplace_back();
          for (std::size_t day = spring[y] + static_cast<std::size_t>(q.first_after_d[f]);
               day <= index_of(q.until[u], years.first[y], years.days[y].season.size()); day += static_cast<std::size_t>(q.intervals_d[i]))
            d.of_year.back().push_back(day);
        }
        if (d.of_year[0].empty()) continue;
        const auto twin = std::find_if(out.begin(), out.end(), [&](const Dates& o) { return o.of_year == d.of_year; });
        if (twin == out.end()) {
          out.push_back(d);
        } else if (d.interval_d > twin->interval_d) {
          *twin = d;
        }
      }
  return out;
}

std::vector<Plain> run_all(const Garden::Plan& plan, const ColumnPlan& planned, const Years& years, const TopUpQuestion& q,
                           const std::vector<Dates>& dates) {
  const std::size_t n = years.seasons.size();
  std::size_t most = 1;
  for (const Dates& d : dates)
    for (const auto& days : d.of_year) most = std::max(most, days.size());
  std::vector<Plain> out;
  const auto climates = climates_of(plan, planned, years);
  for (std::size_t m = 0; m < q.materials.size(); ++m) {
    const Material& material = plan.scenario.catalogue.materials.at(q.materials[m]);
    ColumnPlan column = planned;
    const auto slots = slots_for(plan, column, material, 0, most);
    const int count = column.planting->count;
    for (const Dates& d : dates)
      for (std::size_t k = 0; k < q.doses_g_per_plant.size(); ++k) {
        const double dose = q.doses_g_per_plant[k], n_kg_ha = dose * count / column.area_m2 * 10 * material.n_percent / 100;
        Plain p{material.id, d.interval_d, q.first_after_d[d.place[0]], q.until[d.place[1]], dose, 0, 0, d.of_year, 0, 0, 0, d.place};
        p.place.push_back(m), p.place.push_back(k);
        p.soluble_g_m2 = n_kg_ha / 10 * soluble_share(material, release_of(plan, material));
        int top_ups = 0;
        for (std::size_t y = 0; y < n; ++y) {
          std::set<std::size_t> fed;
          for (const Feeding& f : plan.scenario.feedings)
            for (const std::size_t day : feeding_days(f, years.first[y], climates[y].days)) fed.insert(day);
          int trips = 0;
          auto doses = doses_of(plan, column, years.first[y], climates[y].days);
          for (std::size_t t = 0; t < d.of_year[y].size(); ++t) {
            trips += fed.count(d.of_year[y][t]) == 0;
            doses.push_back({d.of_year[y][t], slots[std::min(t, slots.size() - 1)], n_kg_ha, 0, 0});
          }
          std::stable_sort(doses.begin(), doses.end(), [](const Dose& a, const Dose& b) { return a.day < b.day; });
          const Member member = member_of(plan, column, climates[y], doses);
          const Brief brief = run_batch(column.shape, {&member, 1}, 1)[0];
          p.kept += kept(judge(brief.plant, years.until[y]));
          p.leached_g_m2 += brief.ledger.leached / 10 / static_cast<double>(n);
          p.trips = std::max(p.trips, trips), top_ups = std::max(top_ups, static_cast<int>(d.of_year[y].size()));
        }
        p.cost = top_ups * dose * count / 1000 * material.price_per_kg;
        out.push_back(p);
      }
  }
  return out;
}

bool feasible(const Plain& p, const TopUpQuestion& q, std::size_t years) {
  return p.kept >= q.share.years(static_cast<int>(years)) && (q.may_scorch || p.soluble_g_m2 <= 5) &&
         p.leached_g_m2 <= q.leached_at_most_g_n_m2;
}

double of(double cost, int trips, double leached, Aim aim) { return aim == Aim::cost ? cost : aim == Aim::trips ? trips : leached; }

struct Choice {
  double cost;
  int trips;
  double leached;
};
bool better(const Choice& a, const Choice& b) {
  return a.cost <= b.cost && a.trips <= b.trips && a.leached <= b.leached &&
         (a.cost < b.cost || a.trips < b.trips || a.leached < b.leached);
}

std::vector<std::size_t> spring_of(const Garden::Plan& plan, const std::vector<const ColumnPlan*>& columns, const Years& years) {
  std::vector<std::size_t> spring;
  for (std::size_t y = 0; y < years.seasons.size(); ++y) {
    std::size_t first = 1000;
    for (const ColumnPlan* c : columns)
      for (const Dose& d : doses_of(plan, *c, years.first[y], years.days[y].season.size())) first = std::min(first, d.day);
    spring.push_back(first < 1000 ? first : index_of({4, 15}, years.first[y], years.days[y].season.size()));
  }
  return spring;
}

std::string words(const std::string& material, int interval_d, double dose_g, int first_after_d, MonthDay until, int trips, int kept,
                  double cost, double leached) {
  std::ostringstream out;
  out.precision(17);
  out << material << " every " << interval_d << " d, " << dose_g << " g, after " << first_after_d << " until " << to_iso(until) << ", "
      << trips << " trips, " << kept << " years, " << cost << ", " << leached;
  return out.str();
}
std::string words(const Plain& p) {
  return words(p.material, p.interval_d, p.dose_g, p.first_after_d, p.until, p.trips, p.kept, p.cost, p.leached_g_m2);
}
std::string words(const TopUpPoint& p) {
  return words(p.material_id, p.interval_d, p.dose_g_per_plant, p.first_after_d, p.until, p.trips, p.kept, p.cost, p.leached_g_n_m2);
}

struct Tally {
  int fronts_of_several = 0, fronts = 0, nothing_feasible = 0, need_none = 0, together = 0, schedules = 0;
  std::size_t seasons_asked = 0, seasons_run = 0;
};

void check_alone(const Garden& garden, const TopUpQuestion& q, const TopUpResult& r, Tally& tally) {
  const Garden::Plan& plan = garden.plan();
  const Years years = all_years(plan);
  const std::size_t n = years.seasons.size();
  const auto columns = planted_columns(plan);
  ASSERT_EQ(r.plantings.size(), columns.size());
  for (std::size_t c = 0; c < columns.size(); ++c) {
    const PlantingTopUp& found = r.plantings[c];
    SCOPED_TRACE(found.name);
    if (found.needs_none) {
      EXPECT_GE(found.kept_without, r.years_wanted);
      ++tally.need_none;
      continue;
    }
    EXPECT_TRUE(found.kept_without < r.years_wanted || found.leached_without_g_n_m2 > q.leached_at_most_g_n_m2);
    const auto all = run_all(plan, *columns[c], years, q, all_dates(q, years, spring_of(plan, {columns[c]}, years)));
    tally.schedules += static_cast<int>(all.size());
    std::vector<Plain> ok, front;
    for (const Plain& p : all)
      if (feasible(p, q, n)) ok.push_back(p);
    for (const Plain& p : ok) {
      const bool beaten = std::any_of(ok.begin(), ok.end(), [&](const Plain& o) {
        return better({o.cost, o.trips, o.leached_g_m2}, {p.cost, p.trips, p.leached_g_m2});
      });
      if (!beaten) front.push_back(p);
    }
    std::multiset<std::string> expected, got;
    for (const Plain& p : front) expected.insert(words(p));
    for (const TopUpPoint& p : found.front) got.insert(words(p));
    EXPECT_EQ(got, expected);
    tally.fronts += !front.empty(), tally.fronts_of_several += front.size() > 1;
    if (!front.empty()) {
      const Plain& best = *std::min_element(front.begin(), front.end(), [&](const Plain& a, const Plain& b) {
        for (const Aim aim : q.prefer) {
          const double x = of(a.cost, a.trips, a.leached_g_m2, aim), y = of(b.cost, b.trips, b.leached_g_m2, aim);
          if (x != y) return x < y;
        }
        if (a.interval_d != b.interval_d) return a.interval_d > b.interval_d;
        return a.dose_g < b.dose_g;
      });
      ASSERT_TRUE(found.best);
      EXPECT_EQ(words(*found.best), words(best));
      // The customary interval, all else the same, over all years.
      TopUpQuestion custom = q;
      custom.intervals_d = {found.custom_interval_d}, custom.first_after_d = {best.first_after_d}, custom.until = {best.until};
      custom.materials = {best.material}, custom.doses_g_per_plant = {best.dose_g};
      EXPECT_EQ(found.custom_interval_d, std::abs(best.interval_d - 42) <= std::abs(best.interval_d - 28) ? 42 : 28);
      EXPECT_EQ(found.custom_kept,
                run_all(plan, *columns[c], years, custom, all_dates(custom, years, spring_of(plan, {columns[c]}, years)))[0].kept);
      continue;
    }
    ++tally.nothing_feasible;
    EXPECT_FALSE(found.best);
    EXPECT_NE(found.gives, TopUpGives::nothing);
    if (found.gives == TopUpGives::leached) {  // what leaches least of all that keep it
      double least = 1e9;
      for (const Plain& p : all)
        if (p.kept >= r.years_wanted && (q.may_scorch || p.soluble_g_m2 <= 5)) least = std::min(least, p.leached_g_m2);
      ASSERT_TRUE(found.nearest);
      EXPECT_EQ(found.nearest->leached_g_n_m2, least);
    } else if (found.gives == TopUpGives::years) {
      int most = -1;
      for (const Plain& p : all)
        if (q.may_scorch || p.soluble_g_m2 <= 5) most = std::max(most, p.kept);
      ASSERT_EQ(found.nearest.has_value(), most >= 0);
      if (found.nearest) {
        EXPECT_EQ(found.nearest->kept, most);
      }
    }
  }
  tally.seasons_asked += r.searched.seasons_asked, tally.seasons_run += r.searched.seasons_run;
}

void check_together(const Garden& garden, const TopUpQuestion& q, const TopUpResult& r, Tally& tally) {
  const Garden::Plan& plan = garden.plan();
  const Years years = all_years(plan);
  const std::size_t n = years.seasons.size();
  const auto columns = planted_columns(plan);
  ASSERT_TRUE(r.together);
  ++tally.together;
  const auto dates = all_dates(q, years, spring_of(plan, columns, years));
  double area = 0;
  for (const ColumnPlan* c : columns) area += c->area_m2;
  struct Whole {
    Choice choice{};
    bool ok = true;
    std::string words;
    int interval_d = 0;
  };
  std::vector<Whole> wholes(dates.size());
  bool any = false;
  for (std::size_t c = 0; c < columns.size(); ++c) {
    if (r.plantings[c].needs_none) {
      for (Whole& w : wholes) w.choice.leached += r.plantings[c].leached_without_g_n_m2 * columns[c]->area_m2 / area;
      continue;
    }
    any = true;
    const auto all = run_all(plan, *columns[c], years, q, dates);
    for (std::size_t d = 0; d < dates.size(); ++d) {
      const Plain* cheapest = nullptr;
      for (const Plain& p : all) {
        if (p.dates != dates[d].of_year || !feasible(p, q, n)) continue;
        if (!cheapest || p.cost < cheapest->cost || (p.cost == cheapest->cost && p.leached_g_m2 < cheapest->leached_g_m2)) cheapest = &p;
      }
      Whole& w = wholes[d];
      w.interval_d = dates[d].interval_d;
      if (!cheapest) {
        w.ok = false;
        continue;
      }
      w.choice.cost += cheapest->cost, w.choice.trips = cheapest->trips;
      w.choice.leached += cheapest->leached_g_m2 * columns[c]->area_m2 / area;
      w.words += words(*cheapest) + "; ";
    }
  }
  if (!any) {
    EXPECT_TRUE(r.together->front.empty());
    return;
  }
  std::multiset<std::string> expected, got;
  const Whole* best = nullptr;
  for (const Whole& w : wholes) {
    if (!w.ok) continue;
    // The sums of the two run in another order: leached to a part in 1e12.
    if (std::any_of(wholes.begin(), wholes.end(), [&](const Whole& o) {
          return o.ok && better({o.choice.cost, o.choice.trips, o.choice.leached * (1 + 1e-12)}, w.choice);
        }))
      continue;
    expected.insert(w.words);
    const auto before = [&](const Whole& a, const Whole& b) {
      for (const Aim aim : q.prefer) {
        const double x = of(a.choice.cost, a.choice.trips, a.choice.leached, aim),
                     y = of(b.choice.cost, b.choice.trips, b.choice.leached, aim);
        if (std::abs(x - y) > 1e-12 * std::abs(x)) return x < y;
      }
      return a.interval_d > b.interval_d;
    };
    if (!best || before(w, *best)) best = &w;
  }
  const auto as_words = [](const GardenTopUp& g) {
    std::string text;
    for (const TopUpPoint& p : g.points) text += words(p) + "; ";
    return text;
  };
  for (const GardenTopUp& g : r.together->front) got.insert(as_words(g));
  EXPECT_EQ(got, expected);
  ASSERT_EQ(r.together->best.has_value(), best != nullptr);
  if (best) {
    EXPECT_EQ(as_words(*r.together->best), best->words);
  }
}

TEST(TopUpSearch, EqualsBruteForceOnFiftySmallProblems) {
  Tally tally;
  for (unsigned seed = 1; seed <= 50; ++seed) {
    SCOPED_TRACE(seed);
    Problem p = problem(seed);
    const Garden garden = testing::garden_of(std::move(p.scenario));
    TopUpQuestion q = p.question;
    TopUpResult r;
    try {
      r = tune_top_ups(garden, q);
    } catch (const InputError&) {  // no day left for a top-up: there must be none, indeed
      const Years years = all_years(garden.plan());
      const auto columns = planted_columns(garden.plan());
      EXPECT_TRUE(all_dates(q, years, spring_of(garden.plan(), columns, years)).empty());
      continue;
    }
    q.together ? check_together(garden, q, r, tally) : check_alone(garden, q, r, tally);
  }
  std::printf("fronts %d, of several %d, nothing feasible %d, none needed %d, together %d, schedules %d, seasons run %zu of %zu\n",
              tally.fronts, tally.fronts_of_several, tally.nothing_feasible, tally.need_none, tally.together, tally.schedules,
              tally.seasons_run, tally.seasons_asked);
  // The problems are no good if they are all alike.
  EXPECT_GE(tally.fronts, 15);
  EXPECT_GE(tally.fronts_of_several, 5);
  EXPECT_GE(tally.nothing_feasible, 5);
  EXPECT_GE(tally.together, 5);
  EXPECT_LT(tally.seasons_run, tally.seasons_asked);
}

// Told day by day, the same as when the whole season is judged.
TEST(KeptSoFar, SaysWhatTheVerdictOfTheWholeSeasonSays) {
  Draw draw(7);
  int kept_ones = 0, decided_early = 0;
  for (int k = 0; k < 2000; ++k) {
    const std::size_t days = 60, until = static_cast<std::size_t>(draw.between(0, 59.9));
    const double low = draw.between(0, 0.6);
    PlantDays p;
    SoilClimate climate;
    for (std::size_t d = 0; d < days; ++d) {
      p.nni.push_back(draw.chance(low) ? draw.between(0.8, 0.9) : draw.between(0.9, 1.2));
      p.f_t.push_back(draw.chance(0.1) ? 0.01 : 0.5), p.w_t_ha.push_back(0.05 * static_cast<double>(d) * draw.between(0.5, 1));
      climate.w_twin_t_ha.push_back(2), climate.w_free_t_ha.push_back(draw.chance(0.1) ? 6 : 3);
    }
    p.plant_kg_n_ha = p.critical_kg_n_ha = p.w_t_ha, p.w_twin_t_ha = SharedRow(climate.w_twin_t_ha);
    p.w_free_t_ha = SharedRow(climate.w_free_t_ha);
    KeptSoFar so_far;
    std::optional<bool> early;
    for (std::size_t d = 0; d < days; ++d) {
      so_far.day(d, p.nni[d], p.f_t[d], p.w_t_ha[d], until);
      if (so_far.decided() && !early) early = so_far.kept(climate, until), decided_early += d + 1 < days;
    }
    const bool whole = kept(judge(p, until));
    EXPECT_EQ(so_far.kept(climate, until), whole);
    if (early) {
      EXPECT_EQ(*early, whole);
    }
    kept_ones += whole;
  }
  EXPECT_GT(kept_ones, 200);
  EXPECT_LT(kept_ones, 1800);
  EXPECT_GT(decided_early, 1000);
}

}  // namespace
}  // namespace leafhunger
