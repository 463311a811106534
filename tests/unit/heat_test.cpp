#include "leafhunger/heat.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <random>
#include <vector>

#include "leafhunger/error.hpp"

namespace {

using namespace leafhunger;

Soil loam() { return make_soil(*find_texture("loam"), 3); }

SurfaceDay air(double t_c) {
  SurfaceDay day;
  day.t_air_c = t_c;
  return day;
}

/// Years of a sine of air temperature; the last year's least and greatest of a depth, and the day of the greatest.
struct Swing {
  double least = 1e9, greatest = -1e9;
  int peak_day = 0;
  double amplitude() const { return (greatest - least) / 2; }
};
Swing swing_at(double depth_mm, HeatOptions options, double mean_c, double amplitude_c, double mulch_m2k_w = 0, double cover = 0) {
  HeatColumn column(loam(), options, mean_c);
  std::vector<double> layer_c(4);
  Swing out;
  for (int t = 0; t < 4 * 365; ++t) {
    SurfaceDay day = air(mean_c + amplitude_c * std::sin(2 * std::numbers::pi * t / 365));
    day.radiation_mj_m2 = 10 + 8 * std::sin(2 * std::numbers::pi * t / 365);
    day.net_longwave_mj_m2 = 3;
    day.mulch_resistance_m2k_w = mulch_m2k_w;
    day.cover_frac = cover;
    column.step(day, layer_c);
    if (t < 3 * 365) continue;
    const double c = column.mean_at_mm(depth_mm);
    out.least = std::min(out.least, c);
    if (c > out.greatest) {
      out.greatest = c;
      out.peak_day = t - 3 * 365;
    }
  }
  return out;
}

TEST(Heat, StaysWhereNothingDrivesIt) {
  HeatColumn column(loam(), {}, 12);
  std::vector<double> layer_c(4);
  for (int t = 0; t < 100; ++t) column.step(air(12), layer_c);
  for (const double c : layer_c) EXPECT_NEAR(c, 12, 1e-9);
}

TEST(Heat, LayersAreReadAtTheirMiddles) {
  const Soil soil = loam();
  HeatColumn column(soil, {}, 5);
  std::vector<double> layer_c(4);
  for (int t = 0; t < 30; ++t) column.step(air(20), layer_c);
  for (std::size_t l = 0; l < 4; ++l) EXPECT_NEAR(layer_c[l], column.mean_at_mm(soil.middle_mm(l)), 1e-12);
  EXPECT_GT(layer_c[0], layer_c[1]);
  EXPECT_GT(layer_c[2], layer_c[3]);
}

// What goes in through the surface and the wall is what the ground holds more, ice counted: no heat is lost in freezing, thawing or snow.
TEST(Heat, EnergyBalanceCloses) {
  std::mt19937 random(3);
  std::normal_distribution<double> normal;
  for (const Soil& soil :
       {loam(), make_container(*find_texture("loam"), 5, 100, 0.15), make_container(*find_texture("clay"), 5, 620, 0.6)}) {
    HeatColumn column(soil, {}, 4);
    std::vector<double> layer_c(soil.layers());
    double noise = 0, worst = 0, most_frozen = 0;
    for (int t = 0; t < 3000; ++t) {
      noise = 0.7 * noise + 5 * normal(random);
      SurfaceDay day = air(1 + 14 * std::sin(2 * std::numbers::pi * t / 365) + noise);
      day.radiation_mj_m2 = 8;
      day.net_longwave_mj_m2 = 5;
      day.rain_mm = t % 4 == 0 ? 6 : 0;
      day.mulch_resistance_m2k_w = t % 500 < 100 ? 0.3 : 0;
      const double before = column.heat_mj_m2();
      column.step(day, layer_c);
      worst = std::max(worst, std::abs(column.heat_mj_m2() - before - column.entered_mj_m2()));
      most_frozen = std::max(most_frozen, column.frozen_mm());
      ASSERT_GE(column.frozen_mm(), 0);
      ASSERT_LE(column.frozen_mm(), 0.2 * 10600);
    }
    EXPECT_LT(worst, 1e-9);
    EXPECT_GT(most_frozen, 10) << "the test must see frost";
  }
}

// The same where the search for frozen, mixed and thawed cells is hard put to it: swings of tens of degrees, odd ground.
TEST(Heat, WildFrostLosesNoHeat) {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> uniform;
  std::normal_distribution<double> normal;
  double worst = 0;
  for (int k = 0; k < 60; ++k) {
    HeatOptions options;
    options.freezing_water_frac = 0.001 + 0.5 * uniform(random);
    options.conductivity_w_m_k = 0.1 + 3 * uniform(random);
    options.capacity_mj_m3_k = 0.3 + 3 * uniform(random);
    options.moist_properties = k % 5 == 0;
    options.snow = k % 2 == 0;
    if (k % 3 == 0) options.exchange_w_m2_k = options.exchange_calm_w_m2_k = 1e9;
    const Soil soil = loam();
    HeatColumn column(soil, options, 10 * uniform(random) - 5);
    std::vector<double> layer_c(4), theta(4);
    for (int t = 0; t < 1000; ++t) {
      for (double& water : theta) water = 0.1 + 0.3 * uniform(random);
      column.set_water(theta);
      const double before = column.heat_mj_m2();
      SurfaceDay day = air(20 * normal(random));
      day.rain_mm = 5 * uniform(random);
      column.step(day, layer_c);
      worst = std::max(worst, std::abs(column.heat_mj_m2() - before - column.entered_mj_m2()));
    }
  }
  EXPECT_LT(worst, 1e-8);
}

// Backward Euler keeps to the range that drives it, whatever the layers and however wild the air.
TEST(Heat, NeverLeavesTheRangeThatDrivesIt) {
  std::mt19937 random(5);
  std::uniform_real_distribution<double> uniform(-35, 45);
  std::vector<Soil> soils = {make_soil(*find_texture("loam"), 3, {10}), make_soil(*find_texture("loam"), 3, {10, 10, 10, 10}),
                             make_soil(*find_texture("clay"), 3, {3000, 12000}), make_container(*find_texture("sand"), 3, 100, 0.01),
                             make_container(*find_texture("sand"), 3, 15000, 3)};
  for (const Soil& soil : soils) {
    for (const double frozen : {0.0, 0.2}) {
      HeatOptions options;
      options.freezing_water_frac = frozen;
      options.exchange_w_m2_k = options.exchange_calm_w_m2_k = 1e12;
      options.snow = false;
      HeatColumn column(soil, options, 10);
      std::vector<double> layer_c(soil.layers());
      for (int t = 0; t < 2000; ++t) {
        column.step(air(uniform(random)), layer_c);
        for (const double c : layer_c) {
          ASSERT_GE(c, -35);
          ASSERT_LE(c, 45);
        }
      }
    }
  }
}

TEST(Heat, RefusesWhatIsNotFinite) {
  HeatColumn column(loam(), {}, 10);
  std::vector<double> layer_c(4);
  EXPECT_THROW(column.step(air(std::numeric_limits<double>::quiet_NaN()), layer_c), SolverError);
}

// Order and sign only: no measured cool-temperate figure was found for mulch.
TEST(Mulch, ShrinksTheYearAndDelaysIt) {
  HeatOptions plain;
  plain.freezing_water_frac = 0;
  const Swing bare = swing_at(50, plain, 10, 6), mulched = swing_at(50, plain, 10, 6, 0.075 / 0.15);
  EXPECT_LT(mulched.amplitude(), 0.95 * bare.amplitude());
  EXPECT_GE(mulched.peak_day, bare.peak_day + 2);
  EXPECT_GT(mulched.least, bare.least);
}

TEST(Canopy, ShadesTheGround) {
  const Swing bare = swing_at(100, {}, 10, 6), shaded = swing_at(100, {}, 10, 6, 0, 1);
  EXPECT_LT(shaded.greatest, bare.greatest - 2);
}

TEST(Snow, FallsLiesAndMelts) {
  HeatColumn column(loam(), {}, 5);
  std::vector<double> layer_c(4);
  SurfaceDay day = air(-1);
  day.rain_mm = 10;
  column.step(day, layer_c);
  EXPECT_NEAR(column.snow_mm(), 10, 1e-12);  // at or below 0 degC all of it
  day = air(1);
  day.rain_mm = 4;
  column.step(day, layer_c);
  EXPECT_NEAR(column.snow_mm(), 10 + 2 - 3, 1e-12);  // half falls as snow, 3 mm melt for each degree
  column.step(air(5), layer_c);
  EXPECT_EQ(column.snow_mm(), 0);
}

TEST(Snow, KeepsTheGroundWarm) {
  HeatOptions without;
  without.snow = false;
  HeatColumn covered(loam(), {}, 6), open(loam(), without, 6);
  std::vector<double> a(4), b(4);
  for (int t = 0; t < 40; ++t) {
    SurfaceDay day = air(-8);
    day.rain_mm = t == 0 ? 30 : 0;
    covered.step(day, a);
    open.step(day, b);
  }
  EXPECT_GT(a[0], b[0] + 3);
  EXPECT_LT(covered.frozen_mm(), open.frozen_mm());
}

TEST(Freezing, HoldsAtZeroAndThaws) {
  HeatColumn column(loam(), {}, 3);
  std::vector<double> layer_c(4);
  for (int t = 0; t < 20; ++t) column.step(air(-4), layer_c);
  EXPECT_GT(column.frozen_mm(), 20);
  EXPECT_LT(layer_c[0], 0);
  EXPECT_GE(layer_c[3], -0.01);  // the front has not come so far
  for (int t = 0; t < 120; ++t) column.step(air(12), layer_c);
  EXPECT_EQ(column.frozen_mm(), 0);
  EXPECT_GT(layer_c[0], 10);
}

// Ground that starts below 0 degC unfrozen has to freeze by its own cold first, and none may be lost over it.
TEST(Freezing, ColdStart) {
  HeatColumn column(loam(), {}, -3);
  std::vector<double> layer_c(4);
  const double before = column.heat_mj_m2();
  column.step(air(-3), layer_c);
  EXPECT_NEAR(column.heat_mj_m2() - before, column.entered_mj_m2(), 1e-9);
  EXPECT_NEAR(layer_c[3], 0, 0.2);
}

// A 30 cm pot of plastic follows the air in about 0.3 d (equations.md 2.4): after a step of 10 degC nearly all is made good on the second
// day.
TEST(Pot, FollowsTheAir) {
  const Soil pot = make_container(*find_texture("loam"), 5, 300, 0.3);
  HeatColumn column(pot, {}, 10);
  std::vector<double> layer_c(pot.layers());
  column.step(air(20), layer_c);
  for (const double c : layer_c) EXPECT_GT(c, 14);
  column.step(air(20), layer_c);
  for (const double c : layer_c) EXPECT_GT(c, 19);
  HeatColumn ground(loam(), {}, 10);
  std::vector<double> ground_c(4);
  ground.step(air(20), ground_c);
  ground.step(air(20), ground_c);
  EXPECT_LT(ground_c[3], layer_c.back() - 5);
}

TEST(Pot, SunOnTheWallWarms) {
  const Soil pot = make_container(*find_texture("loam"), 5, 300, 0.3);
  HeatOptions shade;
  shade.wall_sun_frac = 0;
  HeatColumn in_sun(pot, {}, 15), in_shade(pot, shade, 15);
  std::vector<double> a(pot.layers()), b(pot.layers());
  SurfaceDay day = air(15);
  day.radiation_mj_m2 = 20;
  for (int t = 0; t < 20; ++t) {
    in_sun.step(day, a);
    in_shade.step(day, b);
  }
  // At the bottom, far from the top, the wall rules: T_w = 15 + 0.15 x 20 x 11.574/8 = 19.3 in sun.
  EXPECT_GT(a.back(), b.back() + 2);
  EXPECT_LT(a.back(), 26);
}

}  // namespace
