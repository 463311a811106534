// Weather and ground at the edge of what a garden can have, and at the edge of what a file may say: each run ends, closes its ledger, keeps
// every state finite and above nought, and says what anybody would say of such a place.
#include <gtest/gtest.h>

#include <cmath>

#include "columns.hpp"
#include "leafhunger/lasts.hpp"

namespace leafhunger {
namespace {

using testing::garden_of;

/// Two years of days by `of` (day of the year from 1, as the north has it): tmin, tmax, rain.
template <class Of>
Scenario under(double latitude_deg, Of&& of, int seasons = 1) {
  Scenario s = testing::empty_scenario(seasons, 1, latitude_deg);
  for (std::size_t d = 0; d < s.weather.days(); ++d) {
    const auto [low, high, rain] = of(day_of_year(s.weather.date(d)), d);
    s.weather.tmin_c[d] = low, s.weather.tmax_c[d] = high, s.weather.rain_mm[d] = rain;
  }
  s.beds.push_back(testing::bed("Bed", 12));
  s.beds[0].plantings.push_back(testing::planting(s, "Bananas", "hardy-banana", 3));
  s.beds[0].plantings.push_back(testing::planting(s, "Yuccas", "yucca", 1));
  s.feedings.push_back(testing::broadcast("concentrated-manure-powder", latitude_deg < 0 ? MonthDay{10, 15} : MonthDay{4, 15}, 120, "Bed"));
  s.feedings.push_back(testing::broadcast("sulphate-of-ammonia", latitude_deg < 0 ? MonthDay{11, 15} : MonthDay{5, 15}, 40, "Bed"));
  return s;
}

struct Day {
  double low, high, rain;
};

SeasonResult sound(Scenario s) {
  const Garden garden = garden_of(std::move(s));
  SeasonResult r = run_season(garden);
  for (const ColumnResult& c : r.columns) {
    EXPECT_LE(std::abs(c.ledger.relative_residual()), 1e-9) << c.name;
    for (const Series& one : c.series)
      for (const double v : one.values) {
        EXPECT_TRUE(std::isfinite(v)) << c.name << ", " << one.name;
        if (one.unit == "kg/ha" || one.unit == "t/ha") {
          EXPECT_GE(v, k_least_kg_ha) << c.name << ", " << one.name;
        }
        if (!std::isfinite(v)) return r;
      }
  }
  // The production stepper takes it too.
  for (const auto& column : testing::ready_columns(garden, garden.scenario().question.season))
    for (const Brief& b : run_batch(column.plan->shape, {&column.member, 1}, 8)) EXPECT_LE(std::abs(b.ledger.relative_residual()), 1e-9);
  return r;
}

std::pair<double, double> range_of(const ColumnResult& c, const char* name) {
  const auto& v = c.find(name)->values;
  return {*std::min_element(v.begin(), v.end()), *std::max_element(v.begin(), v.end())};
}

double wave(unsigned day) { return std::cos(2 * 3.14159265358979323846 * (day - 200.0) / 365.25); }

TEST(Extremes, Arctic) {
  const auto r = sound(under(78, [](unsigned day, std::size_t d) {
    const double mean = -12 + 15 * wave(day);
    return Day{mean - 4, mean + 4, d % 3 == 0 ? 1.5 : 0.0};
  }));
  EXPECT_LT(range_of(r.columns[0], "soil_c").first, -2) << "frost in the ground";
  EXPECT_LT(range_of(r.columns[0], "soil_c").second, 15);
  EXPECT_GT(r.columns[0].ledger.unfreed, 0.5 * 0.05 * r.columns[0].ledger.given) << "little is freed in the cold";
}

TEST(Extremes, Desert) {
  Scenario dry = under(25, [](unsigned day, std::size_t) {
    const double mean = 27 + 9 * wave(day);
    return Day{mean - 9, mean + 9, 0.0};
  });
  Scenario watered = dry;
  watered.beds[0].watering.emplace();
  watered.beds[0].watering->below_frac = 0.6, watered.beds[0].watering->give_mm = 20;
  const auto r = sound(dry), w = sound(watered);
  EXPECT_EQ(r.columns[0].ledger.leached, 0) << "not a drop of rain in two years";
  EXPECT_GT(w.columns[0].ledger.taken, r.columns[0].ledger.taken);
  EXPECT_LT(range_of(r.columns[0], "soil_c").second, 75);
}

TEST(Extremes, Monsoon) {
  const auto r = sound(under(19, [](unsigned day, std::size_t d) {
    const bool wet = day > 160 && day < 270;
    return Day{24, 31, wet ? (d % 4 == 0 ? 120.0 : 15.0) : 0.0};
  }));
  EXPECT_GT(r.columns[2].ledger.leached, 0.3 * r.columns[2].ledger.given) << "bare ground under two metres of rain keeps no nitrate";
}

TEST(Extremes, PotInAugust) {
  Scenario s = under(50.3, [](unsigned day, std::size_t d) {
    const double mean = 12 + 8 * wave(day) + (day > 213 && day < 244 ? 12 : 0);
    return Day{mean - 8, mean + 8, d % 10 == 0 && day < 200 ? 4.0 : 0.0};
  });
  const double diameter_m = 0.1;
  s.beds[0].soil = make_container(*find_texture("sand"), 0, 100, diameter_m);
  s.beds[0].area_m2 = 0.785398 * diameter_m * diameter_m;
  s.beds[0].heat.wall_u_w_m2_k = pot_walls()[0].u_w_m2_k();
  s.beds[0].plantings.resize(1), s.beds[0].plantings[0].count = 1;
  const auto dry = sound(s);
  s.beds[0].watering.emplace();
  s.beds[0].watering->below_frac = 0.9, s.beds[0].watering->give_mm = 30;
  const auto drenched = sound(s);
  EXPECT_GT(range_of(dry.columns[0], "soil_c").second, 25) << "a small pot in the sun is as warm as the air, or warmer";
  EXPECT_GE(drenched.columns[0].ledger.leached, dry.columns[0].ledger.leached);
}

// What the weather reader lets in at most (weather_columns.cpp): nobody has such days, and the run must still end.
TEST(Extremes, FiguresAtTheEdgeOfAFile) {
  double latitude = 89.9;
  for (const auto& day : {Day{-70, -70, 0}, Day{60, 60, 0}, Day{-70, 60, 0}, Day{-70, 60, 2000}, Day{20, 20, 2000}, Day{0, 0, 2000}}) {
    latitude = -latitude;
    SCOPED_TRACE(std::to_string(latitude) + ": " + std::to_string(day.low) + " to " + std::to_string(day.high) + ", " +
                 std::to_string(day.rain));
    sound(under(latitude, [&](unsigned, std::size_t d) { return d % 2 == 0 || day.rain == 0 ? day : Day{day.low, day.high, 0}; }));
  }
}

TEST(Extremes, EachDayAnotherWorld) {
  testing::Draw draw(11);
  sound(under(50, [&](unsigned, std::size_t) {
    const double low = draw.between(-70, 60);
    return Day{low, draw.between(low, 60), draw.chance(0.3) ? draw.log_between(0.1, 2000) : 0};
  }));
}

TEST(Extremes, ThirtyYears) {
  Scenario s = under(
      50.3,
      [](unsigned day, std::size_t d) {
        const double mean = 11 + 6 * wave(day) + 2 * std::sin(static_cast<double>(d) * 0.37);
        return Day{mean - 4, mean + 4, d % 2 == 0 ? 5.0 : 0.0};
      },
      30);
  const Garden garden = garden_of(s);
  const LastsResult r = how_often_it_lasts(garden);
  ASSERT_EQ(r.seasons.size(), 31u);
  for (const PlantingYears& p : r.plantings) {
    ASSERT_EQ(p.years.size(), 31u);
    // The weather repeats, but for leap days and a small wave: so do the years.
    for (const YearVerdict& y : p.years)
      EXPECT_NEAR(y.taken_kg_n_ha, p.years[0].taken_kg_n_ha, 0.2 * p.years[0].taken_kg_n_ha + 1) << y.season;
  }
}

// Figures of ground at the edges that the reader allows.
TEST(Extremes, Ground) {
  for (const char* texture : {"sand", "clay"})
    for (const double ph : {3.0, 9.5}) {
      Scenario s = testing::one_bed();
      s.beds[0].soil = make_soil(*find_texture(texture), 60, {10, 10, 10, 2000});
      s.beds[0].soil.ph = ph;
      s.beds[0].soil.k_sat_mm_per_day = 1, s.beds[0].soil.rise_mm_per_day = 5;
      s.beds[0].mulch.depth_mm = 300, s.beds[0].mulch.conductivity_w_m_k = 0.15;
      s.beds[0].plantings[0].count = 10000;
      s.feedings[0].amount.value = 1e6;
      sound(s);
      std::vector<double> twenty(20, 500.0);
      s.beds[0].soil = make_soil(*find_texture(texture), 0, twenty);
      sound(s);
    }
}

}  // namespace
}  // namespace leafhunger
