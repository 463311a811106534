#include "leafhunger/water.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>
#include <string>
#include <vector>

#include "leafhunger/error.hpp"

namespace {

using namespace leafhunger;

Soil soil_of(const char* texture) { return make_soil(*find_texture(texture), 3); }

double total(std::span<const double> values) { return std::accumulate(values.begin(), values.end(), 0.0); }

/// Every layer at the same place between wilting (0) and field capacity (1).
std::vector<double> storage_at(const Soil& soil, double available) {
  std::vector<double> mm;
  for (std::size_t l = 0; l < soil.layers(); ++l) {
    mm.push_back((soil.theta_wp[l] + available * (soil.theta_fc[l] - soil.theta_wp[l])) * soil.thickness_mm[l]);
  }
  return mm;
}

WaterDay rain_once(WaterBucket& bucket, double mm) {
  WaterForcing forcing;
  forcing.rain_mm = mm;
  WaterDay day;
  bucket.step(forcing, day);
  return day;
}

// Property: whatever falls, the day's water is all accounted for, and every store stays between nothing and its pores.
TEST(WaterBalance, ClosesOverRandomWeather) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> uniform;
  std::vector<Soil> soils;
  for (const Texture& texture : textures()) {
    soils.push_back(make_soil(texture, 3));
    soils.push_back(make_soil(texture, 3, {10, 10, 10, 70, 500, 2000}));
    soils.push_back(make_soil(texture, 3, {700}));
    soils.push_back(make_container(texture, 8, 100, 0.2));
    soils.push_back(make_container(texture, 8, 470, 0.5));
  }
  soils[2].k_sat_mm_per_day = 12;
  soils[5].rise_mm_per_day = 3;
  double worst = 0;
  for (const Soil& soil : soils) {
    const std::size_t n = soil.layers();
    WaterBucket bucket(soil);
    WaterDay day;
    std::vector<double> roots(n);
    for (int d = 0; d < 1500; ++d) {
      for (double& share : roots) share = uniform(random);
      const double all = total(roots);
      for (double& share : roots) share /= all;
      WaterForcing forcing;
      forcing.rain_mm = uniform(random) < 0.4 ? -8 * std::log(uniform(random) + 1e-12) : 0;
      if (d % 97 == 0) forcing.rain_mm = 400;
      forcing.by_hand_mm = d % 31 == 0 ? 15 : 0;
      forcing.eto_mm = 9 * uniform(random);
      forcing.cover_frac = uniform(random);
      forcing.mulch_frac = uniform(random);
      forcing.transpiration_want_mm = 1.2 * forcing.cover_frac * forcing.eto_mm;
      forcing.p_depletion = depletion_frac(uniform(random), forcing.transpiration_want_mm);
      if (d % 3 != 0) forcing.root_share = roots;
      const double before = total(bucket.storage_mm());
      bucket.step(forcing, day);
      const double left = before + forcing.rain_mm + forcing.by_hand_mm + day.risen_mm - day.transpired_mm - day.evaporated_mm -
                          day.run_off_mm - day.drained_mm.back() - total(bucket.storage_mm());
      worst = std::max(worst, std::abs(left));
      for (std::size_t l = 0; l < n; ++l) {
        ASSERT_GE(bucket.storage_mm()[l], soil.theta_wp[l] / 2 * soil.thickness_mm[l] - 1e-9);
        ASSERT_LE(bucket.storage_mm()[l], soil.theta_sat[l] * soil.thickness_mm[l] + 1e-9);
        ASSERT_GE(day.drained_mm[l], 0);
        ASSERT_GE(day.available_frac[l], 0);
        ASSERT_LE(day.available_frac[l], 1);
        ASSERT_GT(day.theta[l], 0);
        ASSERT_LE(day.wfps_frac[l], 1 + 1e-12);
      }
      ASSERT_GE(day.run_off_mm, 0);
      ASSERT_GE(day.evaporated_mm, 0);
      ASSERT_GE(day.transpired_mm, 0);
      ASSERT_LE(day.transpired_mm, forcing.transpiration_want_mm + 1e-12);
    }
  }
  EXPECT_LT(worst, 1e-9);
}

TEST(WaterBalance, RefusesWhatIsNotFinite) {
  WaterBucket bucket(soil_of("loam"));
  EXPECT_THROW(rain_once(bucket, std::numeric_limits<double>::quiet_NaN()), SolverError);
  WaterBucket other(soil_of("loam"));
  EXPECT_THROW(rain_once(other, std::numeric_limits<double>::infinity()), SolverError);
}

// Drainage in time: of the excess over field capacity exp(-t/tau) is left, so 95 % is gone after 3 tau.
TEST(Drainage, FollowsItsTime) {
  for (const char* texture : {"sand", "loam", "clay"}) {
    const Soil soil = make_soil(*find_texture(texture), 3, {600});
    WaterBucket bucket(soil);
    const double fc = soil.theta_fc[0] * 600;
    const std::vector<double> start = {fc + 30};
    bucket.set_storage_mm(start);
    for (int d = 1; d <= 5; ++d) {
      const WaterDay day = rain_once(bucket, 0);
      // Nothing evaporates: no demand.
      EXPECT_NEAR(bucket.storage_mm()[0] - fc, 30 * std::exp(-d / soil.drain_time_d), 1e-9) << texture << " day " << d;
      EXPECT_EQ(day.run_off_mm, 0);
    }
  }
}

// The same water in one shower or in many leaves the same drainage in the end, so that leaching, which hangs on it alone, does too.
TEST(Drainage, OneShowerOrMany) {
  for (const double start : {1.0, 0.3}) {
    std::vector<std::vector<double>> drained;
    for (const int showers : {1, 10, 100, 1000}) {
      const Soil soil = soil_of("loam");
      WaterBucket bucket(soil);
      bucket.set_storage_mm(storage_at(soil, start));
      std::vector<double> sum(soil.layers());
      for (int d = 0; d < showers + 100; ++d) {
        const WaterDay day = rain_once(bucket, d < showers ? 100.0 / showers : 0.0);
        for (std::size_t l = 0; l < sum.size(); ++l) sum[l] += day.drained_mm[l];
        ASSERT_EQ(day.run_off_mm, 0);
      }
      drained.push_back(sum);
    }
    for (std::size_t i = 1; i < drained.size(); ++i) {
      for (std::size_t l = 0; l < drained[0].size(); ++l) EXPECT_NEAR(drained[i][l], drained[0][l], 1e-6);
    }
    if (start == 1.0) {
      EXPECT_NEAR(drained[0].back(), 100, 1e-6);
    }
  }
}

TEST(Drainage, LimitedWhereAsked) {
  Soil soil = make_soil(*find_texture("sand"), 3, {600});
  soil.k_sat_mm_per_day = 8;
  WaterBucket bucket(soil);
  bucket.set_storage_mm(std::vector<double>{soil.theta_fc[0] * 600 + 60});
  EXPECT_NEAR(rain_once(bucket, 0).drained_mm[0], 8, 1e-12);
}

TEST(Drainage, WaterRisesWhereAsked) {
  Soil soil = soil_of("loam");
  soil.rise_mm_per_day = 2;
  WaterBucket bucket(soil);
  bucket.set_storage_mm(storage_at(soil, 0));
  const double before = bucket.storage_mm()[3];
  EXPECT_NEAR(rain_once(bucket, 0).risen_mm, 2, 1e-12);
  EXPECT_NEAR(bucket.storage_mm()[3] - before, 2, 1e-12);
  std::vector<double> full;
  for (std::size_t l = 0; l < soil.layers(); ++l) full.push_back(soil.theta_sat[l] * soil.thickness_mm[l]);
  bucket.set_storage_mm(full);
  const WaterDay day = rain_once(bucket, 0);  // at saturation only what drains makes room
  EXPECT_LE(day.risen_mm, 2);
  EXPECT_EQ(day.run_off_mm, 0);
}

// 20 mm on a dry clay whose subsoil is at wilting: all of it goes in, however the top is cut.
TEST(RunOff, DryClayTakesAShower) {
  for (const auto& layers : {std::vector<double>{50, 100, 150, 300}, {10, 40, 550}, {600}}) {
    const Soil soil = make_soil(*find_texture("clay"), 3, layers);
    WaterBucket bucket(soil);
    bucket.set_storage_mm(storage_at(soil, 0));
    EXPECT_EQ(rain_once(bucket, 20).run_off_mm, 0);
  }
}

TEST(RunOff, RainBeyondWhatEnters) {
  WaterBucket clay(soil_of("clay"));
  EXPECT_NEAR(rain_once(clay, 100).run_off_mm, 40, 1e-9);
  WaterBucket sand(soil_of("sand"));
  EXPECT_NEAR(rain_once(sand, 100).run_off_mm, 0, 1e-9);
}

TEST(RunOff, FullColumnBacksUp) {
  const Soil soil = soil_of("clay");
  std::vector<double> full;
  for (std::size_t l = 0; l < soil.layers(); ++l) full.push_back(soil.theta_sat[l] * soil.thickness_mm[l]);
  WaterBucket bucket(soil);
  bucket.set_storage_mm(full);
  const WaterDay day = rain_once(bucket, 40);
  EXPECT_GT(day.run_off_mm, 10);
  EXPECT_NEAR(day.run_off_mm + day.drained_mm.back() + total(bucket.storage_mm()) - total(full), 40, 1e-9);
}

TEST(ByHand, IsRainToTheBucket) {
  WaterBucket a(soil_of("loam")), b(soil_of("loam"));
  WaterForcing rain, hand;
  rain.rain_mm = hand.by_hand_mm = 17;
  WaterDay day_a, day_b;
  a.step(rain, day_a);
  b.step(hand, day_b);
  EXPECT_TRUE(std::equal(a.storage_mm().begin(), a.storage_mm().end(), b.storage_mm().begin()));
  EXPECT_EQ(day_a.drained_mm, day_b.drained_mm);
}

// Evaporation takes from each part above 100 mm in proportion to what it holds above half of wilting, and nothing from below.
TEST(Evaporation, TakesWhereThereIs) {
  const Soil soil = soil_of("loam");
  WaterBucket bucket(soil);
  auto start = storage_at(soil, 0.5);
  start[0] = 0.06 * 50 + 2;  // 2 mm above half of wilting in 0-50; the part 50-100 holds (0.195 - 0.06) x 50 = 6.75 mm
  bucket.set_storage_mm(start);
  WaterForcing forcing;
  forcing.eto_mm = 1e-6;  // so little that the shares stay as they are
  WaterDay day;
  bucket.step(forcing, day);
  const double from_first = start[0] - bucket.storage_mm()[0], from_second = start[1] - bucket.storage_mm()[1];
  EXPECT_NEAR(from_first / day.evaporated_mm, 2 / 8.75, 1e-6);
  EXPECT_NEAR(from_second / day.evaporated_mm, 6.75 / 8.75, 1e-6);
  EXPECT_EQ(bucket.storage_mm()[2], start[2]);
  // K_r = left / (TEW - REW) = 8.75 / (21 - 9), FAO-56 eq 74; 1.15 is the wet bare soil's.
  EXPECT_NEAR(day.evaporated_mm, 1.15 * 8.75 / 12 * 1e-6, 1e-12);
}

TEST(Evaporation, StopsAtHalfOfWilting) {
  for (const Soil& soil :
       {soil_of("loam"), make_soil(*find_texture("sand"), 3, {10, 10, 80, 500}), make_container(*find_texture("clay"), 3, 100, 0.2)}) {
    WaterBucket bucket(soil);
    WaterForcing forcing;
    forcing.eto_mm = 12;
    WaterDay day;
    double before = 1e9;
    for (int d = 0; d < 2000; ++d) {
      bucket.step(forcing, day);
      ASSERT_LE(day.evaporated_mm, before + 1e-12);  // a drying soil gives less each day
      before = day.evaporated_mm;
    }
    EXPECT_LT(day.evaporated_mm, 1e-3);
    EXPECT_GE(bucket.storage_mm()[0], soil.theta_wp[0] / 2 * soil.thickness_mm[0] - 1e-9);
  }
}

TEST(Transpiration, SpreadsByRootsAndWater) {
  const Soil soil = soil_of("loam");
  WaterBucket bucket(soil);
  auto start = storage_at(soil, 1.0);
  start[1] = storage_at(soil, 0.5)[1];
  bucket.set_storage_mm(start);
  const std::vector<double> roots = {0.25, 0.5, 0.25, 0};
  WaterForcing forcing;
  forcing.transpiration_want_mm = 2;
  forcing.p_depletion = 0.35;
  forcing.cover_frac = 1;
  forcing.root_share = roots;
  WaterDay day;
  bucket.step(forcing, day);
  EXPECT_EQ(day.stress, 1);  // 0.75 available, stress begins below 0.65
  EXPECT_NEAR(day.transpired_mm, 2, 1e-12);
  for (std::size_t l = 0; l < 3; ++l) EXPECT_NEAR(start[l] - bucket.storage_mm()[l], 2.0 / 3, 1e-12);  // r a = 0.25 each
  EXPECT_EQ(bucket.storage_mm()[3], start[3]);
}

TEST(Transpiration, NeverBelowWilting) {
  const Soil soil = make_soil(*find_texture("sand"), 3, {10, 590});
  WaterBucket bucket(soil);
  const std::vector<double> roots = {0.9, 0.1};
  WaterForcing forcing;
  forcing.transpiration_want_mm = 9;
  forcing.p_depletion = 0.8;
  forcing.cover_frac = 1;
  forcing.root_share = roots;
  WaterDay day;
  for (int d = 0; d < 50; ++d) {
    bucket.step(forcing, day);
    for (std::size_t l = 0; l < 2; ++l) ASSERT_GE(bucket.storage_mm()[l], soil.theta_wp[l] * soil.thickness_mm[l] - 1e-12);
  }
  EXPECT_LT(day.stress, 0.01);
}

TEST(Transpiration, NothingGrows) {
  WaterBucket bucket(soil_of("loam"));
  const std::vector<double> none(4, 0.0);
  for (const bool given : {true, false}) {
    WaterForcing forcing;
    forcing.transpiration_want_mm = 3;
    if (given) forcing.root_share = none;
    WaterDay day;
    bucket.step(forcing, day);
    EXPECT_EQ(day.transpired_mm, 0);
    EXPECT_EQ(day.stress, 1);
  }
}

TEST(WaterDayBuffers, AreReused) {
  WaterBucket bucket(soil_of("loam"));
  WaterForcing forcing;
  forcing.rain_mm = 5;
  WaterDay day;
  bucket.step(forcing, day);
  const double* const theta = day.theta.data();
  const double* const drained = day.drained_mm.data();
  for (int d = 0; d < 100; ++d) bucket.step(forcing, day);
  EXPECT_EQ(day.theta.data(), theta);
  EXPECT_EQ(day.drained_mm.data(), drained);
}

}  // namespace
