// The dose that would do: each point is `lasts` of a garden whose file says that dose or date; the smallest is the least of a fine search.
#include "leafhunger/enough.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <regex>

#include "columns.hpp"
#include "host/parallel.hpp"
#include "leafhunger/error.hpp"

namespace leafhunger {
namespace {

Scenario two_plants(int seasons = 4) {
  Scenario s = testing::empty_scenario(seasons);
  s.beds.push_back(testing::bed("Bed", 14));
  s.beds[0].plantings = {testing::planting(s, "Bananas", "hardy-banana", 3), testing::planting(s, "Cannas", "canna", 4),
                         testing::planting(s, "Yuccas", "yucca", 1)};
  s.feedings = {testing::per_plant("dried-blood", {4, 15}, 60, {"Bananas"}), testing::per_plant("dried-blood", {4, 15}, 30, {"Cannas"})};
  return s;
}

const PlantingYears& planting(const LastsResult& r, const std::string& name) {
  for (const PlantingYears& p : r.plantings)
    if (p.name == name) return p;
  throw std::runtime_error("no " + name);
}

int kept_with(Scenario s, double multiple, std::optional<MonthDay> on, const std::string& name) {
  for (Feeding& f : s.feedings) {
    f.amount.value *= multiple;
    if (on) f.on = *on;
  }
  return planting(how_often_it_lasts(testing::garden_of(std::move(s))), name).kept;
}

EnoughQuestion curves() {
  EnoughQuestion q;
  q.multiples = {0.5, 1, 3}, q.dates = {{3, 15}, {4, 15}, {5, 20}};
  return q;
}

void expect_points_are_lasts(const Scenario& s) {
  const EnoughResult r = what_would_do(testing::garden_of(s), curves());
  for (const PlantingEnough& p : r.plantings) {
    if (!p.fed) continue;
    SCOPED_TRACE(p.name);
    EXPECT_EQ(p.kept, kept_with(s, 1, {}, p.name));
    for (const EnoughPoint& e : p.by_multiple) EXPECT_EQ(e.kept, kept_with(s, e.multiple, {}, p.name)) << e.multiple;
    for (const EnoughPoint& e : p.by_date) EXPECT_EQ(e.kept, kept_with(s, 1, e.on, p.name)) << to_iso(e.on);
  }
}

TEST(Enough, APointIsLastsOfThatDoseAndDate) { expect_points_are_lasts(two_plants()); }

// Where the dose lies on the ground as a mulch, or comes with water, it changes the soil's climate too.
TEST(Enough, APointIsLastsWhereTheFeedIsAMulchOrWateredIn) {
  Scenario s = two_plants(2);
  s.feedings[0].watered_in_mm = 15;
  s.feedings[1] = testing::per_plant("grass-cuttings", {4, 15}, 2500, {"Cannas"});
  expect_points_are_lasts(s);
}

TEST(Enough, TheSmallestKeepsAndNoFinerSearchFindsASmallerOne) {
  Scenario s = two_plants();
  const Garden garden = testing::garden_of(s);
  EnoughQuestion q;
  for (int k = 1; k <= 64; ++k) q.multiples.push_back(k / 16.0);
  const EnoughResult r = what_would_do(garden, q);
  int found = 0;
  for (const PlantingEnough& p : r.plantings) {
    if (!p.fed || p.enough) {
      EXPECT_FALSE(p.smallest);
      continue;
    }
    const auto least =
        std::find_if(p.by_multiple.begin(), p.by_multiple.end(), [&](const EnoughPoint& e) { return e.kept >= r.years_wanted; });
    ASSERT_EQ(p.smallest.has_value(), least != p.by_multiple.end()) << p.name;
    if (!p.smallest) continue;
    ++found;
    EXPECT_GE(p.smallest->kept, r.years_wanted);
    EXPECT_EQ(p.smallest->multiple, least->multiple) << p.name;
  }
  EXPECT_GT(found, 0) << "a test that found nothing to find tests nothing";
}

TEST(Enough, OnlyTheSpringDoseChanges) {
  Scenario s = two_plants(2);
  s.feedings.push_back(testing::per_plant("dried-blood", {11, 20}, 40, {"Bananas"}));
  s.feedings.push_back(testing::per_plant("dried-blood", {6, 20}, 40, {"Bananas"}));
  EnoughQuestion q;
  q.find = false, q.multiples = {2};
  const PlantingEnough p = what_would_do(testing::garden_of(s), q).plantings[0];
  EXPECT_EQ(p.on, (MonthDay{4, 15}));
  EXPECT_NEAR(p.dose_g_per_plant, 60, 1e-9);
  s.feedings[0].amount.value *= 2;
  EXPECT_EQ(p.by_multiple[0].kept, planting(how_often_it_lasts(testing::garden_of(s)), "Bananas").kept);
}

// 3 bananas, 60 g each of 13 % N of which 2 % is ready: by hand.
TEST(Enough, SaysWhatCouldScorch) {
  const Scenario s = two_plants(1);
  const Garden garden = testing::garden_of(s);
  EnoughQuestion q;
  q.find = false, q.multiples = {1, 100};
  const PlantingEnough p = what_would_do(garden, q).plantings[0];
  const Material& m = s.catalogue.materials.at("dried-blood");
  double area = 0;
  for (const ColumnPlan& c : garden.plan().columns)
    if (c.name == "Bananas") area = c.area_m2;
  EXPECT_NEAR(p.by_multiple[1].soluble_g_n_m2, 100 * 60 * 3 / area * m.n_percent / 100 * m.parameters.at("ready_frac"), 1e-9);
  EXPECT_FALSE(p.by_multiple[0].scorches);
  EXPECT_TRUE(p.by_multiple[1].scorches);
}

TEST(Enough, NamesWhatLimitsWhereNoDoseDoes) {
  Scenario s = two_plants(2);
  for (auto* row : {&s.weather.tmin_c, &s.weather.tmax_c})
    for (double& t : *row) t -= 5;  // bananas wake late or never
  s.feedings = {testing::per_plant("wood-chips", {4, 15}, 200, {"Bananas"})};
  const EnoughResult r = what_would_do(testing::garden_of(std::move(s)));
  const PlantingEnough& p = r.plantings[0];
  ASSERT_FALSE(p.enough);
  ASSERT_FALSE(p.smallest);
  EXPECT_TRUE(p.slept > 0 || !p.limit.empty());
  EXPECT_EQ(p.most.multiple, 4);
  EXPECT_NE(in_words(r).find("no dose up to 4"), std::string::npos) << in_words(r);
}

TEST(EnoughThreads, TheSameBytesWhateverTheThreads) {
  const Garden garden = testing::garden_of(two_plants(2));
  const std::string many = in_json(what_would_do(garden, curves()));
  const OneThread alone;
  EXPECT_EQ(in_json(what_would_do(garden, curves())), many);
}

TEST(Enough, NumbersOutOfRangeAndGardensWithoutFeedAreRefused) {
  for (const double m : {0.0, -1.0, 101.0, std::nan("")}) {
    EnoughQuestion q;
    q.multiples = {m};
    EXPECT_THROW(what_would_do(testing::garden_of(two_plants(1)), q), InputError) << m;
  }
  Scenario s = two_plants(1);
  s.feedings.clear();
  EXPECT_THROW(what_would_do(testing::garden_of(std::move(s))), InputError);
  EXPECT_THROW(in_svg(what_would_do(testing::garden_of(two_plants(1)), curves())), InputError) << "two curves for one picture";
}

}  // namespace
}  // namespace leafhunger
