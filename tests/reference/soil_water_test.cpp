// Soil water against FAO-56 and against an independent program of the same equations.
#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <numeric>
#include <sstream>
#include <string>
#include <vector>

#include "leafhunger/heat.hpp"
#include "leafhunger/soil.hpp"
#include "leafhunger/water.hpp"
#include "published.hpp"

#ifndef LEAFHUNGER_SOURCE_DIR
#define LEAFHUNGER_SOURCE_DIR "."
#endif

namespace {

using namespace leafhunger;
using published::expect_near;
using published::expect_within;

struct Table19Row {
  const char* texture;
  double fc_least, fc_most, wp_least, wp_most, between_least, between_most, rew_least, rew_most, tew_least, tew_most;
};

// FAO-56 Table 19, p144: field capacity, wilting point, their difference (m3/m3), readily and totally evaporable water (mm, Ze 0.10 m).
constexpr std::array<Table19Row, 9> k_table_19 = {{
    {"sand", 0.07, 0.17, 0.02, 0.07, 0.05, 0.11, 2, 7, 6, 12},
    {"loamy sand", 0.11, 0.19, 0.03, 0.10, 0.06, 0.12, 4, 8, 9, 14},
    {"sandy loam", 0.18, 0.28, 0.06, 0.16, 0.11, 0.15, 6, 10, 15, 20},
    {"loam", 0.20, 0.30, 0.07, 0.17, 0.13, 0.18, 8, 10, 16, 22},
    {"silt loam", 0.22, 0.36, 0.09, 0.21, 0.13, 0.19, 8, 11, 18, 25},
    {"silt", 0.28, 0.36, 0.12, 0.22, 0.16, 0.20, 8, 11, 22, 26},
    {"silty clay loam", 0.30, 0.37, 0.17, 0.24, 0.13, 0.18, 8, 11, 22, 27},
    {"silty clay", 0.30, 0.42, 0.17, 0.29, 0.13, 0.19, 8, 12, 22, 28},
    {"clay", 0.32, 0.40, 0.20, 0.24, 0.12, 0.20, 8, 12, 22, 29},
}};

TEST(Table19, EveryTextureLiesInItsRow) {
  ASSERT_EQ(textures().size(), k_table_19.size());
  for (std::size_t i = 0; i < k_table_19.size(); ++i) {
    const Table19Row& row = k_table_19[i];
    const Texture& ours = textures()[i];
    ASSERT_STREQ(ours.name, row.texture);
    const std::string name = row.texture, source = "FAO-56 Table 19 p144";
    expect_within(name + ", field capacity", source, row.fc_least, row.fc_most, ours.theta_fc);
    expect_within(name + ", wilting point", source, row.wp_least, row.wp_most, ours.theta_wp);
    expect_within(name + ", available", source, row.between_least, row.between_most, ours.theta_fc - ours.theta_wp);
    expect_within(name + ", readily evaporable, mm", source, row.rew_least, row.rew_most, ours.rew_mm);
    expect_within(name + ", totally evaporable (eq 73), mm", source, row.tew_least, row.tew_most,
                  100 * (ours.theta_fc - 0.5 * ours.theta_wp));
  }
}

/// A single layer with water contents of the example's own.
Soil one_layer(double thickness_mm, double theta_fc, double theta_wp) {
  Soil soil = make_soil(*find_texture("loam"), 3, {thickness_mm});
  soil.theta_fc = {theta_fc};
  soil.theta_wp = {theta_wp};
  return soil;
}

// FAO-56 Ex 36 p166: available water 90, 170, 120 mm/m; onion, tomato, maize. Printed to a whole mm; the reading of TAW and RAW that it
// rounds is exact. RAW is read from the stress function: the depletion at which it leaves 1.
TEST(Stress, TotalAndReadilyAvailableWater) {
  struct Crop {
    const char* name;
    double root_m, p;
    std::array<double, 3> taw, raw;
  };
  const std::array<Crop, 3> crops = {{
      {"onion", 0.4, 0.30, {36, 68, 48}, {10.8, 20.4, 14.4}},
      {"tomato", 0.8, 0.40, {72, 136, 96}, {28.8, 54.4, 38.4}},
      {"maize", 1.2, 0.55, {108, 204, 144}, {59.4, 112.2, 79.2}},
  }};
  const std::array<std::array<double, 2>, 3> soils = {{{0.15, 0.06}, {0.32, 0.15}, {0.35, 0.23}}};
  const std::array<const char*, 3> soil_names = {"loamy sand", "silt", "silty clay"};
  for (const Crop& crop : crops) {
    for (std::size_t i = 0; i < 3; ++i) {
      const Soil soil = make_soil(*find_texture("loam"), 3, {50, 100, 150, 300, 900});
      Soil filled = soil;
      filled.theta_fc.assign(5, soils[i][0]);
      filled.theta_wp.assign(5, soils[i][1]);
      const double taw = total_available_mm(filled, crop.root_m * 1000);
      double low = 0, high = 1;  // available share at which stress begins
      for (int k = 0; k < 60; ++k) ((stress_coefficient((low + high) / 2, crop.p) < 1) ? low : high) = (low + high) / 2;
      const std::string who = std::string(crop.name) + " on " + soil_names[i];
      expect_near("total available water, " + who + ", mm", "FAO-56 Ex 36 p166", crop.taw[i], taw, 1e-9);
      expect_near("readily available water, " + who + ", mm", "FAO-56 Ex 36 p166", crop.raw[i], (1 - high) * taw, 1e-9);
    }
  }
}

// FAO-56 Ex 37 p168: tomato, 0.8 m, p 0.40, 0.32 and 0.12 m3/m3, ETo 5 mm/d, Kc 1.2, depletion 55 mm at first, ten dry days. The bucket
// itself is driven: one layer of 800 mm, ground shaded whole so that nothing evaporates.
TEST(Stress, TenDryDays) {
  constexpr std::array<double, 10> ks_printed = {1, 1, 0.97, 0.91, 0.85, 0.80, 0.75, 0.70, 0.66, 0.62};
  constexpr std::array<double, 10> ks_unrounded = {1, 1, 0.969, 0.908, 0.851, 0.798, 0.748, 0.702, 0.658, 0.617};
  constexpr std::array<double, 10> dr_printed = {61.0, 67.0, 72.8, 78.3, 83.4, 88.2, 92.6, 96.9, 100.8, 104.5};
  constexpr std::array<double, 10> dr_unrounded = {61, 67, 72.81, 78.26, 83.37, 88.16, 92.65, 96.86, 100.81, 104.51};
  const Soil soil = one_layer(800, 0.32, 0.12);
  WaterBucket bucket(soil);
  const std::array<double, 1> start = {800 * 0.32 - 55}, roots = {1.0};
  bucket.set_storage_mm(start);
  WaterForcing forcing;
  forcing.eto_mm = 5;
  forcing.transpiration_want_mm = 1.2 * 5;
  forcing.p_depletion = 0.40;
  forcing.cover_frac = 1;
  forcing.root_share = roots;
  WaterDay day;
  for (std::size_t i = 0; i < 10; ++i) {
    bucket.step(forcing, day);
    const double depletion = 800 * 0.32 - bucket.storage_mm()[0];
    const std::string which = ", day " + std::to_string(i + 1);
    expect_near("stress coefficient" + which, "FAO-56 Ex 37 p168", ks_printed[i], day.stress, 0.005);
    expect_near("stress coefficient, unrounded" + which, "FAO-56 Ex 37 p168, recomputed", ks_unrounded[i], day.stress, 0.001);
    expect_near("depletion, mm" + which, "FAO-56 Ex 37 p168", dr_printed[i], depletion, 0.06);
    expect_near("depletion, unrounded, mm" + which, "FAO-56 Ex 37 p168, recomputed", dr_unrounded[i], depletion, 0.006);
    EXPECT_EQ(day.evaporated_mm, 0);
  }
}

// FAO-56 p162: p from the table rises by 0.04 for each mm that ETc is below 5, within 0.1-0.8.
TEST(Stress, DepletionFraction) {
  EXPECT_DOUBLE_EQ(depletion_frac(0.35, 5), 0.35);
  EXPECT_DOUBLE_EQ(depletion_frac(0.35, 2), 0.47);
  EXPECT_DOUBLE_EQ(depletion_frac(0.35, 20), 0.1);
  EXPECT_DOUBLE_EQ(depletion_frac(0.65, 0), 0.8);
}

// FAO-56 chapter 10, p195-198: evaporation falls by 5 % for each 10 % of ground under organic mulch; 50 % cover -> 25 % (a definition).
TEST(Mulch, FivePerCentForEachTen) {
  const Soil soil = make_soil(*find_texture("loam"), 3);
  const auto evaporated = [&](double mulch_frac) {
    WaterBucket bucket(soil);
    WaterForcing forcing;
    forcing.eto_mm = 3;
    forcing.mulch_frac = mulch_frac;
    WaterDay day;
    bucket.step(forcing, day);
    return day.evaporated_mm;
  };
  const double bare = evaporated(0);
  EXPECT_NEAR(bare, 1.15 * 3, 1e-12);
  expect_near("evaporation under 50 % mulch, share of bare", "FAO-56 ch. 10 p196", 0.75, evaporated(0.5) / bare, 1e-12);
  expect_near("evaporation under 100 % mulch, share of bare", "FAO-56 ch. 10 p196", 0.50, evaporated(1) / bare, 1e-12);
}

// Against an independent program of the same equations: data/soil_prototype.csv says which. 400 invented days with a drought of 45 days,
// 100 mm in two days, and 300 mm in one (more than enters), bare, half covered and wholly covered; water and heat together. Printed to 12
// digits.
TEST(IndependentProgram, WaterAndHeatDayByDay) {
  std::ifstream in(std::filesystem::path(LEAFHUNGER_SOURCE_DIR) / "tests" / "reference" / "data" / "soil_prototype.csv");
  ASSERT_TRUE(in);
  constexpr std::size_t k_days = 400;
  std::array<double, k_days> rain{}, eto{}, t{}, rs{}, rnl{};
  double mean_c = 0;
  for (std::size_t d = 0; d < k_days; ++d) {
    const double year = 2 * std::numbers::pi / 365, at = static_cast<double>(d);
    rain[d] = d % 9 == 0 ? 12 : d % 3 == 1 ? 0.75 : 0;
    if (d >= 130 && d < 175) rain[d] = 0;
    eto[d] = 2.5 - 2.0 * std::cos(year * at);
    t[d] = 10 - 6 * std::cos(year * (at - 20));
    rs[d] = 11 - 8 * std::cos(year * at);
    rnl[d] = 4 - 1.5 * std::cos(year * at);
    mean_c += t[d] / k_days;
  }
  rain[100] = 90;
  rain[200] = 40;
  rain[201] = 60;
  rain[250] = 300;

  const Soil soil = make_soil(*find_texture("loam"), 3);
  std::array<double, 4> roots{};
  for (std::size_t l = 0; l < 4; ++l) roots[l] = std::exp(-soil.middle_mm(l) / 220) * soil.thickness_mm[l];
  const double all = std::accumulate(roots.begin(), roots.end(), 0.0);
  for (double& share : roots) share /= all;
  HeatOptions options;
  options.snow = false;
  options.freezing_water_frac = 0;

  double worst_water = 0, worst_c = 0;
  std::size_t rows = 0, day = 0;
  double cover_now = -1;
  WaterBucket bucket(soil);
  HeatColumn column(soil, options, mean_c);
  WaterDay water;
  std::array<double, 4> drained{}, layer_c{};
  for (std::string line; std::getline(in, line);) {
    if (line.empty() || line[0] == '#' || line[0] == 'c') continue;
    std::stringstream stream(line);
    std::vector<double> row;
    for (std::string field; std::getline(stream, field, ',');) row.push_back(std::stod(field));
    ASSERT_EQ(row.size(), 15u);
    if (row[0] != cover_now) {
      cover_now = row[0];
      day = 0;
      drained.fill(0);
      bucket = WaterBucket(soil);
      column = HeatColumn(soil, options, mean_c);
      for (std::size_t d = 0; d < 365; ++d) {  // spin-up: bare, moist
        SurfaceDay surface{t[d], rs[d], rnl[d]};
        surface.evaporated_mm = 0.8 * eto[d];
        column.step(surface, layer_c);
      }
    }
    for (; day <= static_cast<std::size_t>(row[1]); ++day) {
      WaterForcing forcing;
      forcing.rain_mm = rain[day];
      forcing.eto_mm = eto[day];
      forcing.cover_frac = cover_now;
      forcing.transpiration_want_mm = 1.1 * cover_now * eto[day];
      forcing.p_depletion = depletion_frac(0.35, forcing.transpiration_want_mm);
      forcing.root_share = roots;
      bucket.step(forcing, water);
      for (std::size_t l = 0; l < 4; ++l) drained[l] += water.drained_mm[l];
      SurfaceDay surface{t[day], rs[day], rnl[day]};
      surface.rain_mm = rain[day];
      surface.evaporated_mm = water.evaporated_mm;
      surface.transpired_mm = water.transpired_mm;
      surface.cover_frac = cover_now;
      column.step(surface, layer_c);
    }
    for (std::size_t l = 0; l < 4; ++l) {
      worst_water = std::max({worst_water, std::abs(drained[l] - row[2 + l]), std::abs(water.wfps_frac[l] - row[6 + l])});
      worst_c = std::max(worst_c, std::abs(layer_c[l] - row[10 + l]));
    }
    worst_water = std::max(worst_water, std::abs(water.stress - row[14]));
    ++rows;
  }
  EXPECT_EQ(rows, 3u * 40u);
  expect_near("water of 400 days, greatest difference (mm, share)", "independent NumPy program of the same equations", 0, worst_water,
              1e-8);
  expect_near("layer temperatures of 400 days, greatest difference, degC", "independent NumPy program of the same equations", 0, worst_c,
              1e-8);
}

}  // namespace
