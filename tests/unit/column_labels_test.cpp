// Labels follow every gram: they sum to the pools, stay with their source, and change nothing.
#include <gtest/gtest.h>

#include "leafhunger/error.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::Rig;

TEST(ColumnLabels, StayWithTheirFeeding) {
  Rig rig(40, 15);
  // Two feedings of one material in one slot, and nothing else.
  const std::size_t slot = rig.add("sample-first-order-nitrate", {}, 50);
  rig.feed(0, slot, 30), rig.feed(10, slot, 50);
  const auto s = run_labelled(rig.shape, rig.member(), 2, "test");
  ASSERT_EQ(s.by_source.size(), 6u) << "two feedings, soil, mineral N and plant at the start, the air";
  EXPECT_NEAR(s.by_source[0].out(), 30, 1e-10);
  EXPECT_NEAR(s.by_source[1].out(), 50, 1e-10);
  EXPECT_GT(s.by_source[0].mineral / 30, s.by_source[1].mineral / 50) << "the older one is further on";
  for (std::size_t k = 2; k < 6; ++k) EXPECT_EQ(s.by_source[k].out(), 0);
}

TEST(ColumnLabels, OfOneSlotMixAsTheyShould) {
  // A label alone must fare as its feeding would alone: the model is linear here.
  Rig both(40, 15), alone(40, 15);
  const std::size_t slot = both.add("sample-first-order-nitrate", {}, 50);
  both.feed(0, slot, 30), both.feed(10, slot, 50);
  alone.feed(10, alone.add("sample-first-order-nitrate", {}, 50), 50);
  const auto s = run_labelled(both.shape, both.member(), 2, "both", testing::k_tight),
             t = run_labelled(alone.shape, alone.member(), 1, "alone", testing::k_tight);
  EXPECT_NEAR(s.by_source[1].mineral, t.by_source[0].mineral, 1e-9);
}

TEST(ColumnLabels, ChangeNothing) {
  Rig rig(60, 15, make_soil(*find_texture("loam"), 3));
  rig.nitrogen = NitrogenConstants{};
  rig.climate.drained_mm.assign(60 * 4, 1);
  rig.feed(3, rig.add("organic-two-pool", {{"carbon_to_nitrogen", 60}}, 100), 40);
  const auto labelled = run_labelled(rig.shape, rig.member(), 1, "test", testing::k_tight);
  double nitrate = 0, leached = 0;
  testing::run(rig, [&](std::size_t, ColumnBatch& c) { nitrate = testing::nitrate(c), leached = c.at(c.map().leached, 0); });
  double with = 0;
  for (std::size_t l = 0; l < 4; ++l) with += labelled.nitrate[59 * 4 + l];
  EXPECT_NEAR(with, nitrate, 1e-9);
  EXPECT_NEAR(labelled.leached.back(), leached, 1e-9);
}

// What is reported of each evening adds up that evening, the feed of that morning included.
TEST(ColumnSeasonSeries, CloseEveryEvening) {
  Rig rig(60, 15, make_soil(*find_texture("loam"), 3));
  rig.nitrogen = NitrogenConstants{};
  rig.climate.drained_mm.assign(60 * 4, 1), rig.climate.wfps_frac.assign(60 * 4, 0.7);
  rig.grow("sample-steady-grower", 0.8);
  rig.climate.luxury.assign(60, 1.2), rig.climate.f_t.assign(60, 0.5), rig.climate.fixed_frac.assign(60, 0.2);
  rig.climate.reach_per_day.assign(60 * 4, 0.05);
  rig.climate.keep_frac[30] = 0.5, rig.climate.reserve_frac[30] = 0.46;
  const std::size_t slot = rig.add("organic-two-pool", {{"ready_frac", 0.3}}, 0, {0.085, 0.065, 1, 5.5});
  rig.feed(3, slot, 40), rig.feed(20, slot, 25);
  const auto s = run_labelled(rig.shape, rig.member(), 2, "test");
  for (std::size_t d = 0; d < 60; ++d) {
    EXPECT_EQ(s.given[d], d < 3 ? 0 : d < 20 ? 40 : 65) << d;
    double mineral = 0;
    for (std::size_t l = 0; l < 4; ++l) mineral += s.ammonium[d * 4 + l] + s.nitrate[d * 4 + l];
    const double in = s.given[d] + s.from_soil[d] + s.fixed[d] + s.ledger.start_mineral + s.ledger.start_plant;
    const double out = s.plant.plant_kg_n_ha[d] + s.reserve[d] + s.litter[d] + mineral + s.unfreed[d] + s.microbes[d] + s.humus[d] +
                       s.leached[d] + s.volatilised[d] + s.denitrified[d];
    EXPECT_NEAR(in, out, 1e-9 * in) << d;
  }
  EXPECT_GT(s.litter.back(), 0);
}

TEST(ColumnLabels, NeedOneLane) {
  Rig rig(1, 15);
  const Member m = rig.member();
  ColumnBatch c(rig.shape, {&m, 1}, 8);
  c.start();
  EXPECT_THROW(c.use_labels({4, 0, 1, 2, 3}), Error);
}

TEST(ColumnLabels, FixedNitrogenIsItsOwnSource) {
  Rig rig(20, 15);
  rig.grow("sample-steady-grower", 0.8);
  rig.climate.luxury.assign(20, 1.2), rig.climate.f_t.assign(20, 0.5), rig.climate.fixed_frac.assign(20, 1.0);
  const auto s = run_labelled(rig.shape, rig.member(), 0, "test");
  EXPECT_GT(s.by_source[3].plant, 0);
  EXPECT_NEAR(s.by_source[3].plant, s.ledger.fixed, 1e-9);
}

}  // namespace
}  // namespace leafhunger
