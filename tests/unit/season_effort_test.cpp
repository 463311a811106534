// What a season takes to carry and buy, and where each feeding went: by feeding and by planting they add up to what was given.
#include <gtest/gtest.h>

#include <numeric>

#include "leafhunger/garden.hpp"
#include "support/garden.hpp"

namespace leafhunger {
namespace {

SeasonResult season(double bag_kg = 0) {
  Scenario s = testing::empty_scenario(1);
  s.beds = {testing::bed("One", 12), testing::bed("Two", 5)};
  s.beds[0].plantings = {testing::planting(s, "Bananas", "hardy-banana", 3), testing::planting(s, "Yuccas", "yucca", 1)};
  s.beds[1].plantings = {testing::planting(s, "Cannas", "canna", 4)};
  s.feedings = {testing::broadcast("concentrated-manure-powder", {4, 15}, 100, "One"),
                testing::per_plant("dried-blood", {5, 20}, 30, {"Cannas"}),
                testing::broadcast("concentrated-manure-powder", {6, 10}, 50, "Two")};
  s.feedings[1].every_days = 30, s.feedings[1].until = MonthDay{8, 1};
  s.catalogue.materials.at("concentrated-manure-powder").bag_kg = bag_kg;
  return run_season(testing::garden_of(std::move(s)));
}

TEST(SeasonEffort, KilogramsAndBags) {
  const SeasonResult r = season(0.5);
  ASSERT_EQ(r.carried.size(), 2u);
  EXPECT_EQ(r.carried[0].material_id, "concentrated-manure-powder");
  EXPECT_NEAR(r.carried[0].kg, 1.2 + 0.25, 1e-9);
  EXPECT_EQ(r.carried[0].bags, 3);
  EXPECT_NEAR(r.carried[1].kg, 3 * 4 * 0.030, 1e-9) << "20 May, 19 June, 19 July";
  EXPECT_EQ(r.carried[1].bags, 0) << "sold loose";
  EXPECT_NEAR(r.carried[0].cost + r.carried[1].cost, r.cost, 1e-9);
  EXPECT_EQ(season(0.725).carried[0].bags, 2) << "two full bags are two, whatever the rounding";
}

TEST(SeasonEffort, FeedingsAddUpToWhatWasGiven) {
  const SeasonResult r = season();
  ASSERT_EQ(r.by_feeding_g.size(), 3u);
  double there = 0;
  for (const Ledger& l : r.by_feeding_g) there += l.out();
  EXPECT_NEAR(there, r.given_g, 1e-9 * r.given_g);
  // Each planting's own share of them adds up to the same.
  for (std::size_t i = 0; i < 3; ++i) {
    double sum = 0;
    for (const ColumnResult& c : r.columns)
      for (const auto& s : c.sources)
        if (s.feeding == i) sum += s.where.out() * c.area_m2 / 10;
    EXPECT_NEAR(sum, r.by_feeding_g[i].out(), 1e-9 * r.given_g);
    EXPECT_GT(sum, 0);
  }
}

// What the answer advises, done: the planting is carried; with the next smaller helping it is not.
TEST(SeasonEffort, TheSecondFeedThatItAdvisesCarries) {
  Scenario s = testing::one_bed(1);
  const SeasonResult r = run_season(testing::garden_of(s));
  const auto& advised = r.columns[0].second_feed;
  ASSERT_EQ(r.columns[0].verdict.outcome, Outcome::ran_short);
  ASSERT_TRUE(advised.has_value());
  EXPECT_EQ(month_day_of(advised->on), (MonthDay{5, 15})) << "a month after 15 April";
  EXPECT_NEAR(advised->grams_per_plant, advised->handfuls * 56, 1e-9) << "80 ml at 700 kg/m3";
  const auto outcome_with = [&](double grams) {
    Scenario again = s;
    again.feedings.push_back(testing::per_plant("concentrated-manure-powder", month_day_of(advised->on), grams, {r.columns[0].name}));
    return run_season(testing::garden_of(std::move(again))).columns[0].verdict.outcome;
  };
  const Outcome then = outcome_with(advised->grams_per_plant);
  EXPECT_TRUE(then == Outcome::carried || then == Outcome::just_carried);
  EXPECT_EQ(outcome_with(advised->grams_per_plant * 0.3), Outcome::ran_short);
}

// Common practice, no source: a 15 kg bag of concentrated manure is spoken of as some 200 litres of rotted manure. It holds for nitrogen,
// and for what plants get of it in a season the bag does more; it does not hold for organic matter.
TEST(SeasonEffort, ABagForABarrow) {
  const Garden garden = testing::example("bag-or-barrow.json");
  const SeasonResult r = run_season(garden);
  const auto& materials = garden.scenario().catalogue.materials;
  const auto organic_kg = [&](const Carried& c) {
    const Material& m = materials.at(c.material_id);
    return c.kg * m.n_percent / 100 * m.carbon_to_nitrogen / 0.58;
  };
  EXPECT_NEAR(r.carried[0].kg, 15, 1e-9);
  EXPECT_NEAR(r.carried[1].kg, 0.2 * materials.at("stacked-farmyard-manure").bulk_density_kg_m3, 1e-9);
  const double bag_n = r.by_feeding_g[0].out(), barrow_n = r.by_feeding_g[1].out();
  EXPECT_GT(bag_n / barrow_n, 0.5);
  EXPECT_LT(bag_n / barrow_n, 2.0);
  const auto gain = [&](const char* name) {
    for (const ColumnResult& c : r.columns)
      if (c.name == name) return c.gain_g;
    return 0.0;
  };
  EXPECT_GT(gain("Cannas with a bag"), 1.5 * gain("Cannas with barrows"));
  EXPECT_LT(organic_kg(r.carried[0]), 0.5 * organic_kg(r.carried[1]));
}

TEST(SeasonEffort, AFrugalPlantThatIsFedIsFullLongerThanAGreedyOne) {
  const SeasonResult r = season();
  EXPECT_GT(r.columns[1].days_full, r.columns[0].days_full) << "yuccas against bananas, in one bed with one dose";
}

}  // namespace
}  // namespace leafhunger
