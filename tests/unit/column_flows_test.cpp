// Flows that plugins declare, through the host: each kind of end, starving, bending, and that they add up.
#include <gtest/gtest.h>

#include <cmath>

#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::pool;
using testing::Rig;

TEST(ColumnFlows, ToTheAirAndOutOfSurfaceAmmonium) {
  Rig rig(10, 15);
  rig.feed(
      0, rig.add("sample-gassing-chips", {{"gas_per_day", 0.1}, {"gas_ammonium_per_day", 0.2}, {"take_per_day", 0}, {"soluble_frac", 0.5}}),
      100);
  testing::run(rig, [&](std::size_t d, ColumnBatch& c) {
    const double t = static_cast<double>(d + 1);
    EXPECT_NEAR(pool(c, 0, "chips"), 50 * std::exp(-0.1 * t), 1e-9);
    EXPECT_NEAR(c.at(c.map().slot[0].surface_ammonium, 0), 50 * std::exp(-0.2 * t), 1e-9);
    EXPECT_NEAR(c.at(c.map().volatilised, 0), 100 - 50 * std::exp(-0.1 * t) - 50 * std::exp(-0.2 * t), 1e-9);
  });
}

TEST(ColumnFlows, NitrateThatIsFreedGoesMostlyToFastWater) {
  Rig rig(10, 35);
  rig.feed(0, rig.add("sample-first-order-nitrate", {}, 50), 100);
  testing::run(rig, [&](std::size_t, ColumnBatch& c) {
    EXPECT_NEAR(c.at(c.map().nitrate_fast, 0) / testing::nitrate(c), 0.66, 1e-12) << "phi_f: freed in the soil, not washed in";
  });
}

TEST(ColumnFlows, RainWashesAPoolStraightIntoAmmonium) {
  Rig rig(3, 15);
  rig.climate.rain_mm.assign(3, 10);
  rig.feed(0,
           rig.add("sample-gassing-chips",
                   {{"gas_per_day", 0}, {"gas_ammonium_per_day", 0}, {"take_per_day", 0}, {"soluble_frac", 0}, {"wash_mm", 20}}),
           100);
  testing::run(rig, [&](std::size_t d, ColumnBatch& c) {
    EXPECT_NEAR(pool(c, 0, "chips"), 100 * std::exp(-0.5 * static_cast<double>(d + 1)), 1e-9);
    EXPECT_NEAR(c.at(c.map().ammonium, 0), 100 * (1 - std::exp(-0.5 * static_cast<double>(d + 1))), 1e-9);
  });
}

TEST(ColumnFlows, RainAndSoilLifeCarryParticlesIn) {
  Rig rig(1, 15);
  rig.climate.rain_mm.assign(1, 5);
  // No decay: the material waits.
  rig.feed(0, rig.add("organic-two-pool", {{"fast_frac", 0}, {"slow_per_day", 0}, {"particle_wash_mm", 10}, {"mix_per_day", 0.03}}), 100);
  testing::run(rig, [&](std::size_t, ColumnBatch& c) { EXPECT_NEAR(pool(c, 0, "slow on top"), 100 * std::exp(-0.53), 1e-9); });
}

// One flow that takes is limited to what is there: the take is M/(M + K KG + D/k) of what is asked.
TEST(ColumnFlows, StarvingMeetsItsFormula) {
  Rig rig(1, 15);
  rig.nitrogen.mineral_at_start_kg_ha = 12;
  rig.nitrogen.ammonium_share_at_start = 0.5;
  rig.feed(0, rig.add("organic-two-pool", {{"carbon_to_nitrogen", 80}, {"fast_frac", 1}}, 600), 30);
  const Member member = rig.member();
  ColumnBatch c(rig.shape, {&member, 1}, 1);
  c.start();
  c.begin_day(0);
  std::vector<double> dy(c.map().rows);
  c.rates(c.state(), dy.data());

  const double g = std::exp(308.56 * (1 / 71.02 - 1 / (15 + 46.02))), k = 0.20 * g, want = 80.0 / 3 / 8;
  double kg = 0;
  for (std::size_t l = 0; l < 4; ++l) kg += rig.soil.kg_ha_per_mg_kg(l);
  const double asked = (want - 1) * k * 30, m = 12, lambda = m / (m + 0.8 * kg + asked / 1);
  double taken = 0;
  for (std::size_t l = 0; l < 4; ++l) taken -= dy[c.map().ammonium + l] + dy[c.map().nitrate_fast + l] + dy[c.map().nitrate_slow + l];
  EXPECT_NEAR(taken, lambda * asked, 1e-10 * asked);
  // Ammonium and both nitrates give in proportion to amount.
  EXPECT_NEAR(dy[c.map().ammonium] / c.at(c.map().ammonium, 0), dy[c.map().nitrate_slow] / c.at(c.map().nitrate_slow, 0), 1e-12);
  // Decay goes on at lambda + 0.05 (1 - lambda).
  const std::size_t fast = c.map().slot[0].first_pool + 3;
  EXPECT_NEAR(-dy[fast], (lambda + 0.05 * (1 - lambda)) * k * 30, 1e-10 * asked);
}

TEST(ColumnFlows, AllThatStarveInAPlaceShareOneLambda) {
  const auto tied = [](int slots) {
    Rig rig(30, 15);
    rig.nitrogen.mineral_at_start_kg_ha = 8;
    for (int s = 0; s < slots; ++s)
      rig.feed(0, rig.add("organic-two-pool", {{"carbon_to_nitrogen", 80}, {"fast_frac", 1}, {"death_per_day", 0}}, 100), 30.0 / slots);
    double left = 0;
    testing::run(rig, [&](std::size_t, ColumnBatch& c) { left = testing::ammonium(c) + testing::nitrate(c); });
    return left;
  };
  EXPECT_NEAR(tied(1), tied(2), 1e-8) << "one heap or two halves of it";
  EXPECT_NEAR(tied(1), tied(5), 1e-8);
}

TEST(ColumnFlows, WhatDoesNotAskDoesNotStarve) {
  const auto freed = [](bool with_straw) {
    Rig rig(20, 15);
    rig.nitrogen.mineral_at_start_kg_ha = 1;
    const std::size_t meal = rig.add("organic-two-pool", {{"carbon_to_nitrogen", 4}, {"fast_frac", 1}}, 100);
    rig.feed(0, meal, 50);
    if (with_straw) rig.feed(0, rig.add("organic-two-pool", {{"carbon_to_nitrogen", 100}, {"fast_frac", 1}}, 100), 20);
    double left = 0;
    testing::run(rig, [&](std::size_t, ColumnBatch& c) { left = pool(c, meal, "fast in soil"); });
    return left;
  };
  EXPECT_NEAR(freed(true), freed(false), 1e-8) << "rich meal decays beside straw as without it";
}

// What bends is bent: the sample's take goes up to double as its chips are eaten.
TEST(ColumnFlows, BendsActAtEachStage) {
  Rig rig(40, 15);
  rig.nitrogen.mineral_at_start_kg_ha = 1e7;  // so that nothing starves
  rig.feed(0,
           rig.add("sample-gassing-chips", {{"gas_per_day", 0}, {"gas_ammonium_per_day", 0}, {"soluble_frac", 0}, {"take_per_day", 0.2}}),
           100);
  // x' = -0.05 x (2 - x), x = chips over given: x/(2 - x) = exp(-0.1 t).
  testing::run(rig, [&](std::size_t d, ColumnBatch& c) {
    const double e = std::exp(-0.1 * static_cast<double>(d + 1));
    EXPECT_NEAR(pool(c, 0, "chips"), 100 * 2 * e / (1 + e), 1e-2);
  });
}

TEST(ColumnFlows, AgesRunOnTheirOwn) {
  Rig rig(10, 25);
  rig.feed(3, rig.add("sample-coated-granule", {}, 100), 100);
  testing::run(rig, [&](std::size_t d, ColumnBatch& c) {
    const double age = c.at(c.map().slot[0].first_age, 0);
    if (d >= 3) {
      EXPECT_NEAR(age, static_cast<double>(d) - 2, 1e-9) << "one a day at 25 degC from the day it was given";
    }
  });
}

// Every flow has one donor and one receiver: the sum over all nitrogen rows changes only by what the soil frees.
TEST(ColumnFlows, SumToNought) {
  Rig rig(60, 18, make_soil(*find_texture("loam"), 3));
  rig.nitrogen = NitrogenConstants{};
  for (std::size_t d = 0; d < 60; ++d) {
    rig.climate.rain_mm[d] = d % 7 == 0 ? 12 : 0;
    for (std::size_t l = 0; l < 4; ++l) {
      rig.climate.drained_mm[d * 4 + l] = d % 7 == 0 ? 9 : 0;
      rig.climate.wfps_frac[d * 4 + l] = d % 7 == 0 ? 0.8 : 0.5;
    }
  }
  const SurfaceConstants surface{0.085, 0.065, 1, 5.5};
  rig.feed(0, rig.add("organic-two-pool", {{"ready_frac", 0.3}}, 0, surface), 60);
  rig.feed(5, rig.add("organic-two-pool", {{"carbon_to_nitrogen", 80}}, 150, surface), 30);
  rig.feed(9, rig.add("soluble-salt", {}, 0, surface), 40, 6);
  rig.feed(12, rig.add("sample-coated-granule", {}, 0, surface), 50);
  rig.feed(20, rig.add("sample-gassing-chips", {}, 0, surface), 25);
  double given = 0;
  const double days[] = {0, 5, 9, 12, 20}, kg[] = {60, 30, 40, 50, 25};
  testing::run(rig, [&](std::size_t d, ColumnBatch& c) {
    given = 0;
    for (int k = 0; k < 5; ++k)
      if (days[k] <= static_cast<double>(d)) given += kg[k];
    double sum = 0;
    for (std::size_t r = 0; r < c.map().nitrogen_rows; ++r)
      if (r != c.map().taken) sum += c.at(r, 0);
    EXPECT_NEAR(sum, given + 20 + c.at(c.map().from_soil, 0), 1e-10 * (given + 20));
    for (std::size_t r = 0; r < c.map().rows; ++r) EXPECT_GE(c.at(r, 0), -1e-9);
  });
}

// The soil's own transformations, against their formulas (equations.md 5), layer by layer.
TEST(ColumnFlows, NitrificationAndDenitrificationMeetTheirFormulas) {
  Rig rig(1, 18, make_soil(*find_texture("loam"), 3));
  rig.nitrogen = NitrogenConstants{};
  rig.nitrogen.humus_freed_per_year = 0;
  rig.nitrogen.mineral_at_start_kg_ha = 150, rig.nitrogen.ammonium_share_at_start = 0.4;
  rig.climate.wfps_frac.assign(4, 0.8);
  const Member member = rig.member();
  ColumnBatch c(rig.shape, {&member, 1}, 1);
  c.start();
  c.begin_day(0);
  std::vector<double> dy(c.map().rows);
  c.rates(c.state(), dy.data());
  double gas = 0;
  for (std::size_t l = 0; l < 4; ++l) {
    const double kg = rig.soil.kg_ha_per_mg_kg(l), share = rig.soil.thickness_mm[l] / 600, nh = 150 * 0.4 * share, no = 150 * 0.6 * share;
    const double wet = std::pow((1 - 0.8) / 0.4, 0.75);  // above field capacity only the wet limb counts
    const double nitrified = 17 * std::pow(18.0 / 35, 1.4) * wet * nh / (nh / kg + 60);
    const double carbon = std::min(1.0, rig.soil.organic_matter_percent[l] / 3), threshold = std::pow((0.8 - 0.6) / 0.4, 2);
    const double denitrified = carbon * 2 * std::pow(3, 0.3) * threshold * no / (no / kg + 10);
    EXPECT_NEAR(-dy[c.map().ammonium + l], nitrified, 1e-12) << l;
    EXPECT_NEAR(dy[c.map().nitrate_fast + l], 0.66 * nitrified - 0.66 * denitrified, 1e-12)
        << "phi_f of what is new; what goes is in proportion";
    EXPECT_NEAR(dy[c.map().nitrate_slow + l], 0.34 * nitrified - 0.34 * denitrified, 1e-12);
    gas += denitrified;
  }
  EXPECT_NEAR(dy[c.map().denitrified], gas, 1e-12);
}

TEST(ColumnFlows, FastestIsAtLeastWhatAnyPoolLoses) {
  Rig rig(3, 20, make_soil(*find_texture("loam"), 3));
  rig.nitrogen = NitrogenConstants{};
  rig.climate.rain_mm = {0, 30, 2};
  for (std::size_t l = 0; l < 4; ++l) rig.climate.drained_mm[4 + l] = 25;
  rig.feed(0, rig.add("organic-two-pool", {{"ready_frac", 0.3}}, 0, {0.085, 0.065, 1, 5.5}), 60);
  rig.feed(0, rig.add("organic-two-pool", {{"carbon_to_nitrogen", 80}}, 150), 30);
  rig.feed(0, rig.add("sample-gassing-chips", {}, 0, {1.0, 2.6, 1, 5.5}), 30);
  const Member member = rig.member();
  ColumnBatch c(rig.shape, {&member, 1}, 1);
  c.start();
  const auto stepper = make_reference_stepper();
  std::vector<double> dy(c.map().rows);
  for (std::size_t d = 0; d < 3; ++d) {
    c.begin_day(d);
    c.rates(c.state(), dy.data());
    for (std::size_t r = 0; r < c.map().nitrogen_rows; ++r)
      if (c.at(r, 0) > 1e-6) {
        EXPECT_LE(-dy[r] / c.at(r, 0), c.fastest_per_day(0) * (1 + 1e-12)) << "row " << r << ", day " << d;
      }
    stepper->day(c, d);
  }
}

}  // namespace
}  // namespace leafhunger
