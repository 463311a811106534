// Soil temperature, evapotranspiration and soil moisture deficit beside what real stations measured, and beside long-term normals.
//
// Dublin Airport, 1991-2010 (open data of the Irish meteorological service, station 532): not carried by the project. The tests look for
// dublin-airport-1991-2010.csv in the folder that LEAFHUNGER_DATA names, else in shared/data beside the project, and are skipped elsewhere.
// Manhattan, Kansas, 2010-2013 (US Climate Reference Network): carried in data/.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <numbers>
#include <numeric>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include "leafhunger/atmosphere.hpp"
#include "leafhunger/heat.hpp"
#include "leafhunger/water.hpp"
#include "published.hpp"

#ifndef LEAFHUNGER_SOURCE_DIR
#define LEAFHUNGER_SOURCE_DIR "."
#endif

namespace {

using namespace leafhunger;
using published::expect_at_most;
using published::expect_near;
using published::expect_within;

constexpr double k_missing = std::numeric_limits<double>::quiet_NaN();

/// A station's file: consecutive days, columns by name, NaN where a field is empty.
struct StationFile {
  Date first;
  std::map<std::string, std::vector<double>> columns;
  std::size_t days() const { return columns.empty() ? 0 : columns.begin()->second.size(); }
  unsigned month(std::size_t day) const { return month_day_of(first + std::chrono::days{static_cast<long>(day)}).month; }
  int year(std::size_t day) const { return year_of(first + std::chrono::days{static_cast<long>(day)}); }
};

std::vector<std::string> fields(const std::string& line) {
  std::vector<std::string> out;
  std::stringstream stream(line);
  for (std::string field; std::getline(stream, field, ',');) out.push_back(field);
  if (!line.empty() && line.back() == ',') out.emplace_back();
  return out;
}

std::optional<StationFile> read_station(const std::filesystem::path& path) {
  std::ifstream in(path);
  if (!in) return std::nullopt;
  StationFile station;
  std::vector<std::string> names;
  for (std::string line; std::getline(in, line);) {
    if (line.empty() || line[0] == '#') continue;
    const auto row = fields(line);
    if (names.empty()) {
      names = row;
      continue;
    }
    const auto date = parse_date(row.at(0));
    if (!date || row.size() != names.size()) throw std::runtime_error("a station's file is broken at: " + line);
    if (station.days() == 0) station.first = *date;
    if (*date != station.first + std::chrono::days{static_cast<long>(station.days())})
      throw std::runtime_error("a day is missing before: " + line);
    for (std::size_t i = 1; i < names.size(); ++i) station.columns[names[i]].push_back(row[i].empty() ? k_missing : std::stod(row[i]));
  }
  return station;
}

const std::optional<StationFile>& dublin() {
  static const std::optional<StationFile> station = [] {
    const char* const named = std::getenv("LEAFHUNGER_DATA");
    const std::filesystem::path folder =
        named != nullptr ? std::filesystem::path(named) : std::filesystem::path(LEAFHUNGER_SOURCE_DIR) / ".." / "shared" / "data";
    return read_station(folder / "dublin-airport-1991-2010.csv");
  }();
  return station;
}

#define NEED_DUBLIN()                                                                                                               \
  if (!dublin()) {                                                                                                                  \
    GTEST_SKIP() << "Skipped: the Dublin Airport record is not here. Set LEAFHUNGER_DATA to the folder that holds it to run this."; \
  }

constexpr Site k_dublin{53.428, 71, 10};

enum class Sun { radiation, sunshine, range };

DailyWeather dublin_weather(Sun sun) {
  const auto& station = *dublin();
  DailyWeather weather;
  weather.first = station.first;
  weather.tmin_c = station.columns.at("tmin_c");
  weather.tmax_c = station.columns.at("tmax_c");
  weather.rain_mm = station.columns.at("rain_mm");
  weather.wind_m_s = station.columns.at("wind_m_s_10m");
  if (sun != Sun::range) weather.sun_h = station.columns.at("sun_h");
  if (sun == Sun::radiation) weather.radiation_mj_m2 = station.columns.at("radiation_mj_m2");
  return weather;
}

double mean(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

double correlation(const std::vector<double>& a, const std::vector<double>& b) {
  const double ma = mean(a), mb = mean(b);
  double ab = 0, aa = 0, bb = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    ab += (a[i] - ma) * (b[i] - mb);
    aa += (a[i] - ma) * (a[i] - ma);
    bb += (b[i] - mb) * (b[i] - mb);
  }
  return ab / std::sqrt(aa * bb);
}

/// What covers the ground for the whole record.
struct Cover {
  double cover_frac = 0, shade = 0, turf_m2k_w = 0;
  double k_cb = 0, p_table = 0.5;
  double root_scale_mm = 220;  ///< roots thin out as exp(-z/scale)
};

/// Daily means at depths, and the bucket's daily figures.
struct GroundRecord {
  std::vector<std::vector<double>> at_c;  ///< one vector a depth
  std::vector<double> deficit_mm, evaporation_mm;
};

GroundRecord run_ground(const DailyWeather& weather, const Site& site, const Soil& soil, const Cover& cover,
                        const std::vector<double>& depths_mm, const HeatOptions& heat = {}, std::size_t spin_up_days = 365,
                        const std::vector<double>* demand_mm = nullptr) {
  Atmosphere sky = make_atmosphere(weather, site);
  if (demand_mm != nullptr) sky.eto_mm = *demand_mm;
  const std::size_t n = soil.layers();
  std::vector<double> roots(n), layer_c(n);
  double all = 0;
  for (std::size_t l = 0; l < n; ++l) all += roots[l] = std::exp(-soil.middle_mm(l) / cover.root_scale_mm) * soil.thickness_mm[l];
  for (double& share : roots) share /= all;

  double start_c = 0;
  for (std::size_t d = 0; d < spin_up_days; ++d) start_c += sky.t_air_c[d] / static_cast<double>(spin_up_days);
  WaterBucket bucket(soil);
  HeatColumn column(soil, heat, start_c);
  WaterDay water;
  GroundRecord record;
  record.at_c.resize(depths_mm.size());
  for (std::size_t pass = 0; pass < 2; ++pass) {  // the first: the first year alone, as spin-up
    for (std::size_t d = 0; d < (pass == 0 ? spin_up_days : weather.days()); ++d) {
      const double etc_mm = cover.k_cb * cover.cover_frac * sky.eto_mm[d];
      WaterForcing forcing;
      forcing.rain_mm = weather.rain_mm[d];
      forcing.eto_mm = sky.eto_mm[d];
      forcing.transpiration_want_mm = etc_mm;
      forcing.p_depletion = depletion_frac(cover.p_table, etc_mm);
      forcing.cover_frac = cover.cover_frac;
      if (cover.k_cb > 0) forcing.root_share = roots;
      bucket.step(forcing, water);
      SurfaceDay surface;
      surface.t_air_c = sky.t_air_c[d];
      surface.radiation_mj_m2 = sky.radiation_mj_m2[d];
      surface.net_longwave_mj_m2 = sky.net_longwave_mj_m2[d];
      surface.rain_mm = weather.rain_mm[d];
      surface.evaporated_mm = water.evaporated_mm;
      surface.transpired_mm = water.transpired_mm;
      surface.cover_frac = cover.cover_frac;
      surface.shade = cover.shade;
      surface.turf_resistance_m2k_w = cover.turf_m2k_w * cover.cover_frac;
      column.set_water(water.theta);
      column.step(surface, layer_c);
      if (pass == 0) continue;
      for (std::size_t i = 0; i < depths_mm.size(); ++i) record.at_c[i].push_back(column.mean_at_mm(depths_mm[i]));
      double deficit_mm = 0;
      for (std::size_t l = 0; l < n; ++l) deficit_mm += soil.theta_fc[l] * soil.thickness_mm[l] - bucket.storage_mm()[l];
      record.deficit_mm.push_back(deficit_mm);
      record.evaporation_mm.push_back(water.evaporated_mm + water.transpired_mm);
    }
  }
  return record;
}

/// Model less measured, over days that were measured and that `takes` accepts.
struct Misfit {
  double rmse = 0, bias = 0;
  std::size_t days = 0;
};
template <class Takes>
Misfit misfit(const std::vector<double>& model, const std::vector<double>& measured, Takes takes) {
  Misfit out;
  double squares = 0;
  for (std::size_t d = 0; d < model.size(); ++d) {
    if (std::isnan(measured[d]) || !takes(d)) continue;
    out.bias += model[d] - measured[d];
    squares += (model[d] - measured[d]) * (model[d] - measured[d]);
    ++out.days;
  }
  const auto days = static_cast<double>(out.days);
  out.bias /= days;
  out.rmse = std::sqrt(squares / days);
  return out;
}

class DublinSoil : public testing::TestWithParam<Sun> {};

// Bare plot, 10 cm, daily means, 2001-2009 (3,287 days). h was chosen on this station's record as a whole and was then scanned at other
// stations, where it came out between 24 and 28; nothing else was fitted. A two-day lag regression fitted here reaches 1.51 degC.
// Expected from equations.md 2.3: RMSE 0.91, 0.92, 0.97 by input; held to 0.05 of that, and to the goals of 1.3 and 0.7 by month.
TEST_P(DublinSoil, TenCentimetresBare) {
  NEED_DUBLIN();
  const auto& station = *dublin();
  const Sun sun = GetParam();
  const char* const input = sun == Sun::radiation ? "radiation" : sun == Sun::sunshine ? "sunshine" : "temperature range";
  const double expected = sun == Sun::radiation ? 0.91 : sun == Sun::sunshine ? 0.92 : 0.97;
  const auto record = run_ground(dublin_weather(sun), k_dublin, make_soil(*find_texture("loam"), 3), Cover{}, {100});
  const auto& measured = station.columns.at("soil_10cm_c");
  const auto in_years = [&](std::size_t d) { return station.year(d) >= 2001 && station.year(d) <= 2009; };
  const Misfit all = misfit(record.at_c[0], measured, in_years);
  std::printf("  %-18s RMSE %.3f bias %+.3f days %zu; by month RMSE/bias:", input, all.rmse, all.bias, all.days);
  const std::string check = std::string("soil at 10 cm, bare, from ") + input;
  const char* const source = "Dublin Airport 2001-2009, measured";
  EXPECT_EQ(all.days, 3287u);
  expect_at_most(check + ", RMSE of days, degC", source, 1.3, all.rmse);
  expect_near(check + ", RMSE of days, degC", "equations.md 2.3, another program", expected, all.rmse, 0.05);
  double worst = 0;
  for (unsigned month = 1; month <= 12; ++month) {
    const Misfit one = misfit(record.at_c[0], measured, [&](std::size_t d) { return in_years(d) && station.month(d) == month; });
    std::printf(" %.2f/%+.2f", one.rmse, one.bias);
    worst = std::max(worst, std::abs(one.bias));
  }
  std::printf("\n");
  expect_at_most(check + ", worst bias of a month, degC", source, 0.7, worst);
}
INSTANTIATE_TEST_SUITE_P(Inputs, DublinSoil, testing::Values(Sun::radiation, Sun::sunshine, Sun::range),
                         [](const testing::TestParamInfo<Sun>& i) {
                           return std::string(i.param == Sun::radiation ? "Radiation" : i.param == Sun::sunshine ? "Sunshine" : "Range");
                         });

/// Ratio of a year's, June and July's, December's sum to the published potential evapotranspiration, and correlation of days.
struct EtRatio {
  double year, summer, december, daily_r;
};
EtRatio ratio_to_published(const std::vector<double>& eto) {
  const auto& station = *dublin();
  const auto& pe = station.columns.at("pe_mm");
  std::array<double, 13> ours{}, theirs{};
  for (std::size_t d = 0; d < eto.size(); ++d) {
    for (const unsigned m : {0u, station.month(d)}) {
      ours[m] += eto[d];
      theirs[m] += pe[d];
    }
  }
  return {ours[0] / theirs[0], (ours[6] + ours[7]) / (theirs[6] + theirs[7]), ours[12] / theirs[12], correlation(eto, pe)};
}

void expect_ratio(const std::string& form, const EtRatio& expected, const std::vector<double>& eto, double tolerance = 0.006,
                  double december_tolerance = 0.006) {
  const EtRatio ours = ratio_to_published(eto);
  const std::string check = "ETo over published PE, " + form;
  const char* const source = "Dublin Airport 1991-2010; ratios of equations.md 2.1";
  expect_near(check + ", year", source, expected.year, ours.year, tolerance);
  expect_near(check + ", June and July", source, expected.summer, ours.summer, tolerance);
  expect_near(check + ", December", source, expected.december, ours.december, december_tolerance);
  expect_near(check + ", correlation of days", source, expected.daily_r, ours.daily_r, tolerance);
}

// 7,305 days. Half a unit of the printed digit, and a little for the ratio's own rounding.
TEST(DublinEvapotranspiration, RatioToPublished) {
  NEED_DUBLIN();
  EtOptions hargreaves;
  hargreaves.hargreaves = true;
  const Atmosphere by_range = make_atmosphere(dublin_weather(Sun::range), k_dublin);
  const Atmosphere by_sun = make_atmosphere(dublin_weather(Sun::sunshine), k_dublin);
  EXPECT_TRUE(std::all_of(by_range.et_form.begin(), by_range.et_form.end(), [](EtForm f) { return f == EtForm::temperatures; }));
  EXPECT_TRUE(std::all_of(by_sun.et_form.begin(), by_sun.et_form.end(), [](EtForm f) { return f == EtForm::dew_at_tmin; }));
  expect_ratio("eq 52", {1.18, 1.28, 0.74, 0.92}, make_atmosphere(dublin_weather(Sun::range), k_dublin, hargreaves).eto_mm);
  expect_ratio("temperatures only", {1.10, 1.14, 0.97, 0.91}, by_range.eto_mm);
  EtOptions coast;
  coast.radiation_factor = 0.19;
  expect_ratio("temperatures only, k_Rs 0.19", {1.17, 1.26, 0.78, 0.92},
               make_atmosphere(dublin_weather(Sun::range), k_dublin, coast).eto_mm);
  expect_ratio("sunshine", {1.07, 1.08, 0.99, 0.95}, by_sun.eto_mm);
}

// The row that rule 2 exists for: humidity guessed and wind measured runs far too high in winter. The engine never does this by itself.
// The row stands for "sunshine or radiation", hence 0.01.
TEST(DublinEvapotranspiration, MeasuredWindWithGuessedHumidityIsWorse) {
  NEED_DUBLIN();
  DailyWeather weather = dublin_weather(Sun::radiation);
  for (const double t : weather.tmin_c) weather.vapour_pressure_kpa.push_back(fao56::saturation_pressure_kpa(t));
  expect_ratio("radiation, measured wind", {1.21, 1.12, 1.7, 0.94}, make_atmosphere(weather, k_dublin).eto_mm, 0.01, 0.06);
}

// Radiation from sunshine and from the temperature range beside the measured: equations.md 2.1 says monthly ratio 0.99-1.06, November to
// January 1.06-1.13, daily RMSE 1.55; range 1.01-1.14, 3.3 MJ/m2/d.
TEST(DublinRadiation, BesideMeasured) {
  NEED_DUBLIN();
  const auto& station = *dublin();
  const auto& measured = station.columns.at("radiation_mj_m2");
  const auto any = [](std::size_t) { return true; };
  for (const Sun sun : {Sun::sunshine, Sun::range}) {
    const auto model = make_atmosphere(dublin_weather(sun), k_dublin).radiation_mj_m2;
    const bool by_sun = sun == Sun::sunshine;
    const std::string check = by_sun ? "radiation from sunshine" : "radiation from the temperature range";
    expect_near(check + ", RMSE of days, MJ/m2/d", "Dublin Airport 1991-2010; equations.md 2.1", by_sun ? 1.55 : 3.3,
                misfit(model, measured, any).rmse, by_sun ? 0.01 : 0.06);
    for (unsigned month = 1; month <= 12; ++month) {
      double ours = 0, theirs = 0;
      for (std::size_t d = 0; d < model.size(); ++d) {
        if (station.month(d) != month || std::isnan(measured[d])) continue;
        ours += model[d];
        theirs += measured[d];
      }
      const bool dark = month >= 11 || month == 1;
      const double least = by_sun ? (dark ? 1.06 : 0.99) : 1.01, most = by_sun ? (dark ? 1.13 : 1.06) : 1.14;
      expect_within(check + ", ratio in month " + std::to_string(month), "Dublin Airport 1991-2010; equations.md 2.1", least - 0.006,
                    most + 0.006, ours / theirs);
    }
  }
}

// Mown grass on loam beside the service's deficit for well drained soil. Theirs is a model too, of another kind (one store, no layers), so
// this is no test of truth: given the same evaporative demand, the service's own, the course of the deficit has to agree and so has its
// size. With our own ETo the deficit is larger by the excess that RatioToPublished shows. Roots thin out over 60 cm; available water 90 mm.
TEST(DublinWater, DeficitOfGrass) {
  NEED_DUBLIN();
  const auto& station = *dublin();
  const Cover grass{1, 0, 0, 1.0, 0.5, 600};
  const auto& theirs = station.columns.at("smd_well_drained_mm");
  for (const bool their_demand : {true, false}) {
    const auto record = run_ground(dublin_weather(Sun::radiation), k_dublin, make_soil(*find_texture("loam"), 3), grass, {}, {}, 365,
                                   their_demand ? &station.columns.at("pe_mm") : nullptr);
    std::vector<double> ours;
    for (const double mm : record.deficit_mm) ours.push_back(std::max(mm, 0.0));  // theirs stops at field capacity
    const Misfit all = misfit(ours, theirs, [](std::size_t) { return true; });
    const double r = correlation(ours, theirs);
    const std::string check = std::string("soil moisture deficit under grass, ") + (their_demand ? "their demand" : "our ETo");
    const char* const source = "Dublin Airport 1991-2010, the service's well drained model";
    std::printf("  %s: correlation %.3f, bias %+.1f mm, RMSE %.1f mm\n", check.c_str(), r, all.bias, all.rmse);
    expect_within(check + ", correlation of days", source, 0.90, 1.0, r);
    expect_within(check + ", bias, mm", source, -10, 10, all.bias);
    double actual_mm = 0, potential_mm = 0;
    for (std::size_t d = 0; d < ours.size(); ++d) {
      actual_mm += record.evaporation_mm[d] / 20;
      potential_mm += station.columns.at("pe_mm")[d] / 20;
    }
    std::printf("  actual evapotranspiration %.0f mm a year; the service's potential %.0f\n", actual_mm, potential_mm);
    EXPECT_LT(actual_mm, potential_mm);
  }
}

// Standing prairie grass, silt loam (equations.md 2.3): cover 1, shade 0.2, turf resistance 0.20. Humidity measured, wind not. Four
// years; days without measurement take part as forcing, by interpolation of temperature, radiation and humidity, and rain gaps count as
// dry.
TEST(ManhattanSoil, UnderStandingGrass) {
  const auto station =
      read_station(std::filesystem::path(LEAFHUNGER_SOURCE_DIR) / "tests" / "reference" / "data" / "manhattan-ks-2010-2013.csv");
  ASSERT_TRUE(station);
  ASSERT_EQ(station->days(), 1461u);
  const auto filled = [&](const char* name) {
    auto column = station->columns.at(name);
    for (std::size_t d = 0; d < column.size(); ++d) {
      if (!std::isnan(column[d])) continue;
      std::size_t after = d;
      while (std::isnan(column[after])) ++after;
      column[d] = column[d - 1] + (column[after] - column[d - 1]) / static_cast<double>(after - d + 1);
    }
    return column;
  };
  DailyWeather weather;
  weather.first = station->first;
  weather.tmin_c = filled("tmin_c");
  weather.tmax_c = filled("tmax_c");
  weather.radiation_mj_m2 = filled("radiation_mj_m2");
  weather.rh_mean_percent = filled("rh_pct");
  weather.rain_mm = station->columns.at("rain_mm");
  for (double& mm : weather.rain_mm) mm = std::isnan(mm) ? 0 : mm;

  const Cover prairie{1, 0.2, 0.20, 1.0, 0.5, 220};
  const auto any = [](std::size_t) { return true; };
  const auto winter = [&](std::size_t d) { return station->month(d) == 12 || station->month(d) <= 2; };
  const char* const depth_names[] = {"soil_5cm_c", "soil_10cm_c", "soil_20cm_c", "soil_50cm_c"};
  double winter_rmse[2] = {};
  for (const bool cold_physics : {true, false}) {
    HeatOptions heat;
    if (!cold_physics) {
      heat.snow = false;
      heat.freezing_water_frac = 0;
    }
    const auto record = run_ground(weather, {39.10, 345, 10}, make_soil(*find_texture("silt loam"), 3), prairie, {50, 100, 200, 500}, heat);
    for (std::size_t i = 0; i < 4; ++i) {
      const auto& measured = station->columns.at(depth_names[i]);
      const Misfit year = misfit(record.at_c[i], measured, any), cold = misfit(record.at_c[i], measured, winter);
      std::printf("  %-11s %s: RMSE %.2f bias %+.2f; winter RMSE %.2f bias %+.2f (%zu days)\n", depth_names[i],
                  cold_physics ? "with snow and frost" : "without            ", year.rmse, year.bias, cold.rmse, cold.bias, year.days);
      EXPECT_GT(year.days, 1400u);
      if (cold_physics) {
        // Goal: the 1.2 degC that this surface reached over stations of many climates, with a quarter for this one's own ways.
        expect_at_most(std::string("soil under grass, ") + depth_names[i] + ", RMSE of days, degC", "Manhattan KS 2010-2013, measured", 1.5,
                       year.rmse);
      }
      if (i == 1) winter_rmse[cold_physics ? 0 : 1] = cold.rmse;
    }
  }
  // Snow and freezing earn their place where winters are hard.
  EXPECT_LT(winter_rmse[0], 0.7 * winter_rmse[1]);
}

// Monthly normals of Rothamsted, England, 1891-1990 (printed web table of its meteorological records): tmin, tmax, rain.
constexpr std::array<double, 12> k_rothamsted_tmin_c = {0.3, 0.3, 1.4, 3.3, 6.2, 9.1, 11.2, 11.0, 9.1, 6.2, 2.8, 1.2};
constexpr std::array<double, 12> k_rothamsted_tmax_c = {5.8, 6.4, 9.1, 12.2, 16.0, 18.9, 20.8, 20.5, 17.8, 13.5, 9.0, 6.7};
constexpr std::array<double, 12> k_rothamsted_rain_mm = {61.4, 47.4, 50.3, 46.6, 49.9, 52.1, 56.3, 60.3, 54.3, 69.5, 68.5, 68.8};
// Bare soil, 1931-1990 (30 cm: 48 years within), same source; read at 9 a.m., and on other years than the air.
constexpr std::array<double, 12> k_rothamsted_10cm_c = {2.5, 2.5, 4.0, 7.2, 11.4, 15.3, 17.0, 16.1, 13.3, 9.3, 5.5, 3.5};
constexpr std::array<double, 12> k_rothamsted_20cm_c = {3.1, 3.1, 4.5, 7.3, 11.1, 14.9, 16.8, 16.2, 13.8, 10.1, 6.3, 4.2};
constexpr std::array<double, 12> k_rothamsted_30cm_c = {3.4, 3.3, 4.7, 7.5, 11.2, 15.0, 16.8, 16.4, 14.0, 10.7, 6.8, 4.6};

/// A smooth yearly course whose monthly means are the twelve given: straight lines between mid-months, the knots corrected until they are.
std::vector<double> smooth_year(const std::array<double, 12>& normals, const std::vector<unsigned>& month_of_day) {
  std::array<double, 12> knots = normals;
  std::vector<double> out(month_of_day.size());
  for (int round = 0; round < 50; ++round) {
    for (std::size_t d = 0; d < out.size(); ++d) {
      const double at = (static_cast<double>(d) + 0.5) / static_cast<double>(out.size()) * 12 - 0.5;  // 0 at mid-January
      const double floor = std::floor(at);
      const auto i = static_cast<std::size_t>(std::lround(floor) + 12) % 12;
      out[d] = knots[i] + (at - floor) * (knots[(i + 1) % 12] - knots[i]);
    }
    std::array<double, 12> sums{}, counts{};
    for (std::size_t d = 0; d < out.size(); ++d) {
      sums[month_of_day[d] - 1] += out[d];
      counts[month_of_day[d] - 1] += 1;
    }
    for (std::size_t m = 0; m < 12; ++m) knots[m] += normals[m] - sums[m] / counts[m];
  }
  return out;
}

// Days: smooth temperatures, rain spread evenly, and a daily range that is wider and narrower by 35 % in turn, as that of real days is
// (coefficient of variation at Dublin Airport 0.30 in August to 0.44 in December); on even days the square root of eq 50 would see too much
// sun. Warm from March to September is expected: a reading at 9 a.m. is below the day's mean when the day's wave is large.
TEST(Rothamsted, MonthlySoilFromNormals) {
  DailyWeather weather;
  weather.first = make_date(2001, {1, 1});
  std::vector<unsigned> month_of_day;
  for (std::size_t d = 0; d < 365; ++d) month_of_day.push_back(month_day_of(weather.first + std::chrono::days{static_cast<long>(d)}).month);
  const auto tmin = smooth_year(k_rothamsted_tmin_c, month_of_day), tmax = smooth_year(k_rothamsted_tmax_c, month_of_day);
  constexpr std::array<double, 12> days_in = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  for (int year = 0; year < 3; ++year) {
    for (std::size_t d = 0; d < 365; ++d) {
      const std::size_t m = month_of_day[d] - 1;
      const double half_swing_c = 0.35 * (d % 2 == 0 ? 1 : -1) * (tmax[d] - tmin[d]) / 2;
      weather.tmin_c.push_back(tmin[d] - half_swing_c);
      weather.tmax_c.push_back(tmax[d] + half_swing_c);
      weather.rain_mm.push_back(k_rothamsted_rain_mm[m] / days_in[m]);
    }
  }
  const auto record = run_ground(weather, {51.8, 128, 10}, make_soil(*find_texture("loam"), 3), Cover{}, {100, 200, 300});
  const std::array<const std::array<double, 12>*, 3> measured = {&k_rothamsted_10cm_c, &k_rothamsted_20cm_c, &k_rothamsted_30cm_c};
  for (std::size_t i = 0; i < 3; ++i) {
    double squares = 0, worst = 0;
    std::printf("  %zu0 cm, model less normal:", i + 1);
    for (std::size_t m = 0; m < 12; ++m) {
      double sum = 0, count = 0;
      for (std::size_t d = 0; d < 365; ++d) {
        if (month_of_day[d] != m + 1) continue;
        sum += record.at_c[i][730 + d];
        count += 1;
      }
      const double error = sum / count - (*measured[i])[m];
      squares += error * error;
      worst = std::max(worst, std::abs(error));
      std::printf(" %+.1f", error);
    }
    const double rms = std::sqrt(squares / 12);
    std::printf("; RMS %.2f\n", rms);
    const std::string check = "Rothamsted soil at " + std::to_string(10 * (i + 1)) + " cm by month from normals, degC";
    expect_at_most(check + ", RMS", "Rothamsted Meteorological Records, 9 a.m. readings", 1.5, rms);
    expect_at_most(check + ", worst month", "Rothamsted Meteorological Records, 9 a.m. readings", 2.0, worst);
  }
}

}  // namespace
