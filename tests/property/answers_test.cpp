// The answers agree with one another: `lasts` with `season` year by year, `topup` with `lasts` and with its own grid.
#include <gtest/gtest.h>

#include <cmath>
#include <tuple>

#include "columns.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/lasts.hpp"
#include "leafhunger/topup.hpp"

namespace leafhunger {
namespace {

const Garden& demo() {
  static const Garden garden = testing::example("saltmarsh-lane.json");
  return garden;
}

bool was_kept(Outcome o) { return o == Outcome::carried || o == Outcome::just_carried; }

TEST(Answers, LastsIsSeasonYearByYear) {
  const LastsResult lasts = how_often_it_lasts(demo());
  ASSERT_GE(lasts.seasons.size(), 10u);
  std::vector<int> kept(lasts.plantings.size(), 0);
  for (std::size_t y = 0; y < lasts.seasons.size(); ++y) {
    SeasonOptions o;
    o.season = lasts.seasons[y], o.reasons = false;
    const SeasonResult season = run_season(demo(), o);
    std::size_t p = 0;
    for (const ColumnResult& c : season.columns) {
      if (c.bare) continue;
      const YearVerdict& year = lasts.plantings[p].years[y];
      SCOPED_TRACE(c.name + ", " + std::to_string(lasts.seasons[y]));
      ASSERT_EQ(lasts.plantings[p].name, c.name);
      EXPECT_EQ(year.season, lasts.seasons[y]);
      // "Just carried" needs the days in hand, which only the season's run keeps.
      EXPECT_EQ(was_kept(year.verdict.outcome), was_kept(c.verdict.outcome));
      EXPECT_EQ(year.verdict.first_short, c.verdict.first_short);
      EXPECT_NEAR(year.taken_kg_n_ha, c.ledger.taken, 1e-3);
      EXPECT_NEAR(year.leached_kg_n_ha, c.ledger.leached, 1e-3);
      if (year.verdict.first_short) {
        EXPECT_EQ(*year.first_short, season.first + std::chrono::days{static_cast<long>(*c.verdict.first_short)});
      }
      EXPECT_EQ(lasts.plantings[p].unfed[y].verdict.first_short, c.unfed.first_short);
      kept[p] += was_kept(c.verdict.outcome);
      ++p;
    }
  }
  for (std::size_t p = 0; p < kept.size(); ++p) EXPECT_EQ(lasts.plantings[p].kept, kept[p]) << lasts.plantings[p].name;
}

TEST(Answers, LastsCountsEachYearOnce) {
  for (const PlantingYears& p : how_often_it_lasts(demo()).plantings) {
    int short_years = 0;
    for (const YearVerdict& y : p.years) short_years += y.verdict.outcome == Outcome::ran_short;
    EXPECT_EQ(p.kept + p.slept + p.thirsty + short_years, static_cast<int>(p.years.size())) << p.name;
    EXPECT_EQ(p.usual_first_short.has_value(), short_years > 0) << p.name;
    // It is the day of one of those years, leap years and others among them.
    EXPECT_TRUE(!p.usual_first_short || std::any_of(p.years.begin(), p.years.end(), [&](const YearVerdict& y) {
      return y.verdict.outcome == Outcome::ran_short && month_day_of(*y.first_short) == *p.usual_first_short;
    })) << p.name;
    if (p.fed) {
      EXPECT_GE(p.kept, p.kept_unfed) << p.name;
    }
  }
}

TEST(Answers, TopUpIsTheBestPointOfItsGrid) {
  TopUpQuestion q;
  q.materials = {"concentrated-manure-powder"}, q.intervals_d = {21, 42, 84}, q.doses_g_per_plant = {30, 60, 120, 240},
  q.every_point = true;
  const TopUpResult r = tune_top_ups(demo(), q);
  const LastsResult lasts = how_often_it_lasts(demo());
  ASSERT_FALSE(r.plantings.empty());
  for (const PlantingTopUp& p : r.plantings) {
    SCOPED_TRACE(p.name);
    for (const PlantingYears& l : lasts.plantings)
      if (l.name == p.name) {
        EXPECT_EQ(p.kept_without, l.kept) << "with its own feeding alone, as lasts has it";
      }
    ASSERT_EQ(p.grid.size(), 12u);
    const TopUpPoint* best = nullptr;
    for (const TopUpPoint& point : p.grid) {
      EXPECT_EQ(point.keeps, point.kept >= nine_in_ten(static_cast<int>(r.seasons.size())));
      EXPECT_NEAR(point.cost, point.top_ups * point.dose_g_per_plant / 1000 * p.count * 1.6, 1e-9)
          << "price of the catalogue: 1.60 a kilogram";
      // 4.5 % N, of which 0.33 is soluble.
      EXPECT_NEAR(point.soluble_g_n_m2, point.dose_g_per_plant * p.count / p.area_m2 * 0.045 * 0.33, 1e-9);
      EXPECT_EQ(point.scorches, point.soluble_g_n_m2 > 5);
      if (!point.keeps || point.scorches) continue;
      const auto key = [](const TopUpPoint& x) { return std::tuple(x.trips, x.cost, x.leached_g_n_m2); };
      if (!best || key(point) < key(*best)) best = &point;
    }
    ASSERT_EQ(p.best.has_value(), best != nullptr);
    if (!best) continue;
    EXPECT_EQ(p.best->interval_d, best->interval_d);
    EXPECT_EQ(p.best->dose_g_per_plant, best->dose_g_per_plant);
    EXPECT_EQ(p.best->kept, best->kept);
    EXPECT_EQ(p.best->leached_g_n_m2, best->leached_g_n_m2);
  }
  EXPECT_EQ(r.searched.schedules, 12 * r.plantings.size());
  EXPECT_EQ(r.searched.seasons_asked, r.plantings.size() * r.seasons.size() * 13);
}

// More of the same never keeps fewer years, but for a year at the very line.
TEST(Answers, ABiggerDoseKeepsNoFewerYears) {
  TopUpQuestion q;
  q.materials = {"dried-blood"}, q.intervals_d = {28, 56}, q.doses_g_per_plant = {10, 20, 40, 80, 160}, q.every_point = true;
  for (const PlantingTopUp& p : tune_top_ups(demo(), q).plantings) {
    EXPECT_GE(p.grid[0].kept, p.kept_without - 1) << p.name;
    for (std::size_t i = 1; i < p.grid.size(); ++i) {
      if (p.grid[i].interval_d != p.grid[i - 1].interval_d) continue;
      EXPECT_GE(p.grid[i].kept, p.grid[i - 1].kept - 1) << p.name << ", " << p.grid[i].dose_g_per_plant << " g";
      EXPECT_GT(p.grid[i].cost, p.grid[i - 1].cost);
      EXPECT_GE(p.grid[i].leached_g_n_m2, p.grid[i - 1].leached_g_n_m2 - 1e-6) << p.name;
    }
  }
}

TEST(Answers, TopUpTakesOnlyWhatIsNamed) {
  TopUpQuestion q;
  q.materials = {"dried-blood"}, q.intervals_d = {42}, q.doses_g_per_plant = {20}, q.plantings = {"Yuccas"};
  const TopUpResult r = tune_top_ups(demo(), q);
  ASSERT_EQ(r.plantings.size(), 1u);
  EXPECT_EQ(r.plantings[0].name, "Yuccas");
}

TEST(Answers, AnEmptyOrImpossibleGridIsRefused) {
  for (const auto& spoil : std::vector<std::function<void(TopUpQuestion&)>>{
           [](TopUpQuestion& q) { q.intervals_d.clear(); }, [](TopUpQuestion& q) { q.intervals_d = {0}; },
           [](TopUpQuestion& q) { q.intervals_d = {-7}; }, [](TopUpQuestion& q) { q.intervals_d = {366}; },
           [](TopUpQuestion& q) { q.doses_g_per_plant = {0}; }, [](TopUpQuestion& q) { q.doses_g_per_plant = {std::nan("")}; },
           [](TopUpQuestion& q) { q.doses_g_per_plant = {1e9}; },
           [](TopUpQuestion& q) {
             q.materials = {"dried-blood", "moon-dust"};
           },
           [](TopUpQuestion& q) { q.materials.clear(); }, [](TopUpQuestion& q) { q.first_after_d.clear(); },
           [](TopUpQuestion& q) { q.first_after_d = {0}; },
           [](TopUpQuestion& q) {
             q.share = {11, 10};
           },
           [](TopUpQuestion& q) { q.leached_at_most_g_n_m2 = -1; }, [](TopUpQuestion& q) { q.leached_at_most_g_n_m2 = std::nan(""); },
           [](TopUpQuestion& q) {
             q.until = {{3, 1}};
           },
           [](TopUpQuestion& q) {
             for (int g = 1; g <= 20000; ++g) q.doses_g_per_plant.push_back(g);
           },
           [](TopUpQuestion& q) { q.plantings = {"Triffids"}; }}) {
    TopUpQuestion q;
    q.materials = {"dried-blood"};
    spoil(q);
    EXPECT_THROW(tune_top_ups(demo(), q), InputError);
  }
}

// A reason names the limit that moved the date most, and each was run.
TEST(Answers, ReasonsAreInOrder) {
  const SeasonResult r = run_season(demo());
  int with_reasons = 0;
  for (const ColumnResult& c : r.columns) {
    if (c.bare) continue;
    if (c.verdict.outcome != Outcome::ran_short) {
      EXPECT_TRUE(c.reasons.empty()) << c.name;
      continue;
    }
    ++with_reasons;
    ASSERT_EQ(c.reasons.size(), 6u) << c.name;
    for (std::size_t k = 0; k < c.reasons.size(); ++k) {
      const auto moved = static_cast<int>(c.reasons[k].verdict.first_short.value_or(r.days)) - static_cast<int>(*c.verdict.first_short);
      EXPECT_EQ(c.reasons[k].moved_d, moved) << c.name << ", " << c.reasons[k].key;
      if (k > 0) {
        EXPECT_GE(c.reasons[k - 1].moved_d, moved);
      }
    }
  }
  EXPECT_GT(with_reasons, 0);
}

}  // namespace
}  // namespace leafhunger
