// A column's whole season of water and warmth: what goes in comes out, and mulch, leaves, pots and watering act in the right direction.
// Weather: that of the demo garden, invented and seeded. No measured figure for a mulched bed or a pot in a cool climate was found, so
// their tests ask for order and sign (equations.md 2.4).
#include "leafhunger/soil_climate.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <functional>
#include <numeric>

#include "leafhunger/reader.hpp"
#include "leafhunger/trace.hpp"
#include "support/models.hpp"
#include "temp_garden.hpp"

namespace leafhunger {
namespace {

constexpr int k_season = 2013;

std::filesystem::path demo_weather_file() { return std::filesystem::path(LEAFHUNGER_SOURCE_DIR) / "scenarios" / "saltmarsh-weather.csv"; }

struct Record {
  DailyWeather weather;
  Site site;
  Atmosphere air;

  Record() : weather(read_weather(demo_weather_file().string())) {
    site.latitude_deg = 50.3;
    site.elevation_m = 12;
    air = make_atmosphere(weather, site);
  }
  SeasonDays days(int season) const { return *season_days(weather, season_first(site, season), season_last(site, season)); }
};

const Record& record() {
  static const Record once;
  return once;
}

SoilClimate run(const Ground& ground, const PlantOnGround* plant = nullptr, int season = k_season) {
  return make_soil_climate(record().weather, record().air, record().days(season), ground, plant);
}

Ground ground_of(const char* texture) {
  Ground ground;
  ground.soil = make_soil(*find_texture(texture), 3);
  return ground;
}

Ground pot_of(const char* mix, double diameter_m = 0.3) {
  const auto found = std::find_if(mixes().begin(), mixes().end(), [&](const Texture& t) { return std::string(mix) == t.name; });
  Ground ground;
  ground.soil = make_container(*found, 0, 300, diameter_m);
  return ground;
}

void mulch(Ground& ground, double depth_mm, double conductivity_w_m_k) {
  ground.mulch_frac = 1;
  ground.mulch_resistance_m2k_w = depth_mm / 1000 / conductivity_w_m_k;
}

PlantOnGround leaves(double cover = 0.8) {
  PlantOnGround plant;
  plant.model = &testing::demand("herbaceous");
  plant.parameter = testing::parameters(plant.model->about);
  plant.cover = cover;
  return plant;
}

double total(const std::vector<double>& values) { return std::accumulate(values.begin(), values.end(), 0.0); }

double drained_mm(const SoilClimate& c) {
  double sum = 0;
  for (std::size_t d = 0; d < c.days; ++d) sum += c.at(c.drained_mm, d, c.layers - 1);
  return sum;
}

unsigned month_of(const SoilClimate& c, std::size_t d) { return month_day_of(c.first + std::chrono::days{static_cast<long>(d)}).month; }

std::size_t day_of(const SoilClimate& c, MonthDay day) {
  for (std::size_t d = 0; d < c.days; ++d)
    if (month_day_of(c.first + std::chrono::days{static_cast<long>(d)}) == day) return d;
  ADD_FAILURE() << "no such day";
  return 0;
}

constexpr std::size_t k_second = 1;  // 50-150 mm: its middle is at 10 cm

/// Mean of the second layer's temperature over the days that `counts` picks.
double mean_c(const SoilClimate& c, const std::function<bool(std::size_t)>& counts) {
  double sum = 0;
  int n = 0;
  for (std::size_t d = 0; d < c.days; ++d) {
    if (!counts(d)) continue;
    sum += c.at(c.t_c, d, k_second);
    ++n;
  }
  EXPECT_GT(n, 0);
  return sum / n;
}

double month_c(const SoilClimate& c, unsigned month) {
  return mean_c(c, [&](std::size_t d) { return month_of(c, d) == month; });
}

/// Root mean square of the change from day to day.
double restlessness_c(const SoilClimate& c, const std::function<bool(std::size_t)>& counts) {
  double sum = 0;
  int n = 0;
  for (std::size_t d = 1; d < c.days; ++d) {
    if (!counts(d)) continue;
    sum += std::pow(c.at(c.t_c, d, k_second) - c.at(c.t_c, d - 1, k_second), 2);
    ++n;
  }
  return std::sqrt(sum / n);
}

bool any_day(std::size_t) { return true; }

/// What is in the column more than a year before, less what went in, plus what came out, mm.
double astray_mm(const SoilClimate& c) {
  return c.stored_last_mm - c.stored_first_mm - total(c.rain_mm) - total(c.by_hand_mm) - total(c.risen_mm) + total(c.evaporated_mm) +
         total(c.transpired_mm) + drained_mm(c) + total(c.run_off_mm);
}

TEST(ColumnYear, WaterBalanceCloses) {
  const PlantOnGround plant = leaves();
  const std::size_t days = record().days(k_season).season.size();

  const SoilClimate bare = run(ground_of("loam"));
  EXPECT_NEAR(astray_mm(bare), 0, 1e-6);
  EXPECT_EQ(total(bare.transpired_mm), 0);
  EXPECT_GT(drained_mm(bare), 100);
  EXPECT_NEAR(
      total(bare.rain_mm),
      [&] {
        double rain = 0;
        for (const std::size_t i : record().days(k_season).season) rain += record().weather.rain_mm[i];
        return rain;
      }(),
      1e-9);

  Ground watered = ground_of("sandy loam");
  mulch(watered, 60, 0.3);
  watered.water_below_frac = 0.6, watered.water_give_mm = 12;
  watered.by_hand_mm.assign(days, 0);
  for (std::size_t d = 200; d < days; d += 9) watered.by_hand_mm[d] = 14;
  const SoilClimate fed = run(watered, &plant);
  EXPECT_NEAR(astray_mm(fed), 0, 1e-6);
  EXPECT_GT(total(fed.watered_mm), 20);
  EXPECT_GT(total(fed.transpired_mm), 100);

  Ground clay = ground_of("clay");
  clay.by_hand_mm.assign(days, 0);
  clay.by_hand_mm[100] = 200;
  clay.soil.k_sat_mm_per_day = 8;
  const SoilClimate flooded = run(clay);
  EXPECT_NEAR(astray_mm(flooded), 0, 1e-6);
  EXPECT_GE(total(flooded.run_off_mm), 140);  // clay takes 60 mm a day

  Ground moist = ground_of("sand");
  moist.soil.rise_mm_per_day = 2;
  const SoilClimate risen = run(moist, &plant);
  EXPECT_NEAR(astray_mm(risen), 0, 1e-6);
  EXPECT_GT(total(risen.risen_mm), 10);

  const SoilClimate pot = run(pot_of("potting mix"), &plant);
  EXPECT_NEAR(astray_mm(pot), 0, 1e-6);
}

// Water that comes up and leaves again the same day would wash nitrate out of a soil through which nothing moves down.
TEST(ColumnYear, RiseAndDrainageAreNet) {
  const PlantOnGround plant = leaves();
  Ground still = ground_of("loam"), rising = still;
  rising.soil.rise_mm_per_day = 1;
  const SoilClimate without = run(still, &plant), with = run(rising, &plant);
  for (std::size_t d = 0; d < with.days; ++d) {
    const double drained = with.at(with.drained_mm, d, with.layers - 1);
    ASSERT_GE(drained, 0);
    ASSERT_GE(with.risen_mm[d], 0);
    ASSERT_TRUE(drained == 0 || with.risen_mm[d] == 0) << "day " << d;
  }
  EXPECT_EQ(total(without.risen_mm), 0);
  EXPECT_GT(total(with.risen_mm), 10);
  EXPECT_GT(total(with.transpired_mm), total(without.transpired_mm));
  // On bare ground the lowest layer never dries: all that rises leaves again, and gross 365 mm more would drain.
  const SoilClimate bare = run(rising), bare_still = run(still);
  EXPECT_EQ(total(bare.risen_mm), 0);
  EXPECT_LE(drained_mm(bare), drained_mm(bare_still) + 1);
}

// Means of all the demo's seasons but the first.
struct Climatology {
  std::array<double, 13> month_c{};
  double restlessness_c = 0, evaporated_mm = 0;
};
Climatology climatology(const Ground& ground) {
  constexpr int k_first = 2012, k_last = 2024, k_seasons = k_last - k_first + 1;
  Climatology out;
  for (int season = k_first; season <= k_last; ++season) {
    const SoilClimate c = run(ground, nullptr, season);
    for (unsigned month = 1; month <= 12; ++month) out.month_c[month] += month_c(c, month) / k_seasons;
    out.restlessness_c += restlessness_c(c, any_day) / k_seasons;
    out.evaporated_mm += total(c.evaporated_mm) / k_seasons;
  }
  return out;
}

// 75 mm of rotted matter over the whole plot with the weather of Dublin 1992-2010, the same equations in another program (equations.md
// 2.4, C): January +0.8, March +0.3, April -0.1, June -0.9, July -0.8, December +1.2 degC, swing from day to day x 0.48. Ours is another
// and an invented weather: within 0.5 degC and a fifth of the swing.
TEST(MulchedBed, IsWarmerInWinterCoolerInSummerAndSteadier) {
  Ground covered = ground_of("loam"), straw = covered;
  mulch(covered, 75, 0.3);
  mulch(straw, 75, 0.15);
  const Climatology bare = climatology(ground_of("loam")), under = climatology(covered), dry = climatology(straw);
  for (const auto& [month, change_c] : {std::pair{1, 0.8}, {3, 0.3}, {4, -0.1}, {6, -0.9}, {7, -0.8}, {12, 1.2}})
    EXPECT_NEAR(under.month_c[month] - bare.month_c[month], change_c, 0.5) << month;
  EXPECT_NEAR(under.restlessness_c / bare.restlessness_c, 0.48, 0.1);
  EXPECT_LT(under.evaporated_mm, 0.8 * bare.evaporated_mm);
  // Dry straw parts ground and air better than rotted matter does.
  EXPECT_GT(dry.month_c[1], under.month_c[1]);
  EXPECT_LT(dry.month_c[6], under.month_c[6]);
  EXPECT_LT(dry.restlessness_c, under.restlessness_c);
}

// The sign only: no station with such a bed was found (equations.md 2.4).
TEST(ShadedBed, IsCoolerUnderFullLeaves) {
  PlantOnGround tall = leaves(1.2), low = leaves(1.2);
  tall.host.shade = 0.7;
  low.host.shade = 0.3;
  Ground ground = ground_of("loam");
  ground.water_below_frac = 0.6, ground.water_give_mm = 12;
  const SoilClimate shaded = run(ground, &tall), half = run(ground, &low), bare = run(ground);
  const auto leafy = [&](std::size_t d) { return shaded.cover_frac[d] > 0.9 && month_of(shaded, d) <= 8; };
  EXPECT_LT(mean_c(shaded, leafy), mean_c(bare, leafy) - 1);
  EXPECT_LT(mean_c(half, leafy), mean_c(bare, leafy));
  // Before anything has come up there is nothing to shade.
  EXPECT_NEAR(month_c(shaded, 1), month_c(bare, 1), 0.5);
}

// What reaches the ground is what falls less 1 mm on full leaves less what a mulch catches, 0.5 x 1.15 (1 - cover) ETo at most.
TEST(Interception, ByLeavesAndMulch) {
  const PlantOnGround plant = leaves(1.0);
  Ground ground = ground_of("loam");
  ground.water_below_frac = 0.5, ground.water_give_mm = 12;
  mulch(ground, 60, 0.3);
  ground.mulch_frac = 0.8;
  const SoilClimate c = run(ground, &plant);
  const SeasonDays days = record().days(k_season);
  int leafy = 0;
  for (std::size_t d = 0; d < c.days; ++d) {
    const std::size_t i = days.season[d];
    const double fallen = record().weather.rain_mm[i] + c.watered_mm[d], cover = c.cover_frac[d];
    const double leaves_mm = std::min(fallen, 1.0 * cover);
    const double mulch_mm = std::min(fallen - leaves_mm, 0.5 * 0.8 * 1.15 * (1 - cover) * record().air.eto_mm[i]);
    ASSERT_NEAR(c.rain_mm[d], fallen - leaves_mm - mulch_mm, 1e-12) << "day " << d;
    leafy += cover > 0.5 && fallen > 0;
  }
  EXPECT_GT(leafy, 10);
  EXPECT_NEAR(astray_mm(c), 0, 1e-6);
}

/// Mean of the available water above a depth, at 00.
double available_above(const SoilClimate& c, const Soil& soil, std::size_t d, double depth_mm) {
  double sum = 0;
  for (std::size_t l = 0; l < c.layers; ++l)
    sum += std::clamp(depth_mm - soil.top_mm(l), 0.0, soil.thickness_mm[l]) * c.at(c.available_frac, d, l);
  return sum / depth_mm;
}

// "When the top 20 cm falls below half, give 12 mm": on just those days on which something grows. 20 cm ends inside the third layer.
TEST(WateringRule, ReadsTheGroundAboveItsDepth) {
  constexpr double k_depth_mm = 200;
  const PlantOnGround plant = leaves();
  Ground ground = ground_of("loam");
  ground.water_below_frac = 0.5, ground.water_give_mm = 12, ground.water_depth_mm = k_depth_mm;
  const SoilClimate c = run(ground, &plant);
  int given = 0, held = 0;
  for (std::size_t d = 1; d < c.days; ++d) {
    const double above = available_above(c, ground.soil, d, k_depth_mm);
    const bool grows = c.f_t[d] > 0.05 && c.w_twin_t_ha[d - 1] * c.keep_frac[d] > 0.3;
    if (c.watered_mm[d] > 0) {
      ++given;
      ASSERT_EQ(c.watered_mm[d], 12);
      ASSERT_LT(above, 0.5) << "day " << d;
    } else if (grows && c.keep_frac[d] == 1) {
      ++held;
      ASSERT_GE(above, 0.5) << "day " << d;
    }
  }
  EXPECT_GE(given, 2);
  EXPECT_GE(held, 20);
  Ground by_roots = ground;
  by_roots.water_depth_mm = 0;
  EXPECT_NE(run(by_roots, &plant).watered_mm, c.watered_mm);
  EXPECT_EQ(total(run(ground).watered_mm), 0);  // nothing grows on bare ground
}

TEST(WateringByHand, EntersTheGroundButNotTheRain) {
  Ground dry = ground_of("loam");
  dry.by_hand_mm.assign(record().days(k_season).season.size(), 0);
  Ground wet = dry;
  const SoilClimate without = run(dry);
  const std::size_t day = day_of(without, {7, 10});
  wet.by_hand_mm[day] = 15;
  const SoilClimate with = run(wet);
  EXPECT_EQ(with.by_hand_mm[day], 15);
  EXPECT_EQ(total(with.by_hand_mm), 15);
  EXPECT_EQ(with.rain_mm, without.rain_mm);
  EXPECT_EQ(with.watered_mm, without.watered_mm);
  EXPECT_GT(with.at(with.theta, day, 0), without.at(without.theta, day, 0) + 0.01);
  EXPECT_EQ(with.at(with.theta, day - 1, 0), without.at(without.theta, day - 1, 0));
  EXPECT_NEAR(astray_mm(with), 0, 1e-6);
}

// The year before was watered too: a pot that lives by the can starts its season with what that left.
TEST(WateringByHand, InTheYearBeforeAsWell) {
  const SeasonDays days = record().days(k_season);
  Ground dry = pot_of("potting mix");
  Ground wet = dry;
  wet.spin_up_by_hand_mm.assign(days.spin_up.size(), 0);
  const PlantOnGround plant = leaves(1.0);
  for (std::size_t d = 0; d < days.spin_up.size(); ++d) {
    const unsigned month = month_day_of(record().weather.date(days.spin_up[d])).month;
    if (month >= 5 && month <= 9 && d % 2 == 0) wet.spin_up_by_hand_mm[d] = 8;
  }
  const SoilClimate without = run(dry, &plant), with = run(wet, &plant);
  EXPECT_GT(with.w_reference_t_ha, 1.05 * without.w_reference_t_ha);
  EXPECT_EQ(total(with.by_hand_mm), 0);
}

/// Root mean square of the second layer's departure from the day's air.
double off_the_air_c(const SoilClimate& c, int season) {
  const SeasonDays days = record().days(season);
  double sum = 0;
  for (std::size_t d = 0; d < c.days; ++d) sum += std::pow(c.at(c.t_c, d, k_second) - record().air.t_air_c[days.season[d]], 2);
  return std::sqrt(sum / static_cast<double>(c.days));
}

// A plastic pot of 30 cm follows the air in about 0.3 d (equations.md 2.4): C/(4 U/D) = 2.3e6/(4 x 7.46/0.3)/86400 = 0.27 d.
TEST(PotInTheAir, FollowsTheAir) {
  Ground plastic = pot_of("loam");
  plastic.heat.wall_u_w_m2_k = pot_walls()[0].u_w_m2_k();
  plastic.heat.wall_sun_frac = 0;
  Ground wrapped = plastic;
  wrapped.heat.wall_u_w_m2_k = pot_walls()[3].u_w_m2_k();
  const SoilClimate pot = run(plastic), cosy = run(wrapped), soil = run(ground_of("loam"));
  EXPECT_LT(off_the_air_c(pot, k_season), 1.2);
  EXPECT_LT(off_the_air_c(pot, k_season), 0.6 * off_the_air_c(soil, k_season));
  EXPECT_GT(off_the_air_c(cosy, k_season), off_the_air_c(pot, k_season));
  EXPECT_GT(restlessness_c(pot, any_day), 1.5 * restlessness_c(soil, any_day));
  EXPECT_LT(restlessness_c(cosy, any_day), restlessness_c(pot, any_day));
  // The sun on a pot's side warms it, more in June than in January.
  Ground sunny = plastic;
  sunny.heat.wall_sun_frac = 0.15;
  const SoilClimate lit = run(sunny);
  const double june = month_c(lit, 6) - month_c(pot, 6), january = month_c(lit, 1) - month_c(pot, 1);
  EXPECT_GT(june, 1);
  EXPECT_LT(june, 6);
  EXPECT_GT(january, 0);
  EXPECT_LT(january, june / 3);
}

// The demo's record begins on 1 November 2010: its first season has no year before it and is run twice. The leap day of 2012 counts.
TEST(Seasons, SpunOnTheirOwnYearWhereTheRecordBegins) {
  const SeasonDays first = record().days(2011), leap = record().days(2012), later = record().days(2013);
  EXPECT_TRUE(first.spun_on_own_year);
  EXPECT_EQ(first.spin_up, first.season);
  EXPECT_FALSE(leap.spun_on_own_year);
  EXPECT_EQ(leap.season.size(), 366u);
  EXPECT_EQ(leap.spin_up.size(), 365u);
  EXPECT_FALSE(later.spun_on_own_year);
  EXPECT_EQ(later.spin_up.size(), 365u);
  EXPECT_EQ(later.spin_up.back() + 1, later.season.front());
  EXPECT_EQ(to_iso(record().weather.date(later.spin_up.front())), "2011-11-02");  // 365 days before: the year before has 366
  const PlantOnGround plant = leaves();
  for (const int season : {2011, 2012}) {
    const SoilClimate c = run(ground_of("loam"), &plant, season);
    EXPECT_EQ(c.days, season == 2012 ? 366u : 365u);
    EXPECT_EQ(to_iso(c.first), std::to_string(season - 1) + "-11-01");
    EXPECT_NEAR(astray_mm(c), 0, 1e-6);
    EXPECT_GT(c.w_reference_t_ha, 1);
  }
  // A season that is run twice starts from its own end: the column's water of 31 October, not field capacity.
  const SoilClimate own = run(ground_of("loam"), nullptr, 2011);
  EXPECT_NEAR(own.stored_first_mm, own.stored_last_mm, 1e-6);
}

TEST(HeatWithWater, RunsAndDiffersLittle) {
  Ground constant = ground_of("loam"), moist = constant;
  moist.heat.moist_properties = true;
  const PlantOnGround plant = leaves();
  const SoilClimate a = run(constant, &plant), b = run(moist, &plant);
  double square = 0, worst = 0;
  for (std::size_t d = 0; d < a.days; ++d) {
    const double difference = b.at(b.t_c, d, k_second) - a.at(a.t_c, d, k_second);
    square += difference * difference;
    worst = std::max(worst, std::abs(difference));
  }
  EXPECT_GT(worst, 0.05);  // it does something
  EXPECT_LT(worst, 2);
  EXPECT_LT(std::sqrt(square / static_cast<double>(a.days)), 0.5);
  EXPECT_EQ(run(constant).theta, run(moist).theta);  // on bare ground water asks nothing of warmth
}

/// A garden of one bed and one pot under the demo's weather, in a folder of its own.
class WateredGarden : public ::testing::Test {
 protected:
  SoilClimate climate(std::size_t column, const std::string& bed_keys, const std::string& pot_keys, int season,
                      const std::string& latitude = "50.3") {
    folder.write("weather.csv", testing::read_all(demo_weather_file()));
    const std::string path = folder.write("garden.json", R"({"format": 1, "garden": {"name": "G", "latitude_deg": )" + latitude +
                                                             R"(}, "weather": {"file": "weather.csv"},
      "beds": [{"name": "Bed", "area_m2": 10, "soil": {"texture": "loam"}, )" +
                                                             bed_keys + R"( "plantings": []},
               {"name": "Pot", "container": {"depth_mm": 300, "diameter_mm": 300)" +
                                                             pot_keys + R"(}, "plantings": []}],
      "feedings": [{"material": "dried-blood", "on": "05-10", "bed": "Bed", "amount": {"grams": 30, "per": "m2"}, "watered_in_mm": 4}]})");
    Garden garden(read_scenario(path, LEAFHUNGER_CATALOGUE_DIR), testing::registry(), testing::load_report());
    return trace_column(garden, column, season, StepperKind::batch).climate;
  }
  testing::TempFolder folder;
};

TEST_F(WateredGarden, ByDateAndWateredIn) {
  const SoilClimate c = climate(0,
                                R"("waterings": [{"on": "05-01", "give_mm": 6, "again": {"every_days": 9, "until": "05-20"}},
                                   {"on": "07-04", "hose": {"minutes": 10, "litres_per_minute": 15}},
                                   {"on": "08-01", "sprinkler": {"minutes": 40, "mm_per_hour": 6}}, {"on": "02-29", "give_mm": 1}],)",
                                "", 2013);
  std::vector<double> expected(c.days, 0);
  for (const MonthDay day : {MonthDay{5, 1}, {5, 10}, {5, 19}}) expected[day_of(c, day)] += 6;
  expected[day_of(c, {5, 10})] += 4;  // watered in that day as well
  expected[day_of(c, {7, 4})] += 15;  // 150 litres on 10 m2
  expected[day_of(c, {8, 1})] += 4;
  expected[day_of(c, {2, 28})] += 1;  // no leap year
  for (std::size_t d = 0; d < c.days; ++d) EXPECT_NEAR(c.by_hand_mm[d], expected[d], 1e-12) << "day " << d;
  EXPECT_NEAR(astray_mm(c), 0, 1e-6);
}

TEST_F(WateredGarden, EverySeasonAndTheYearBefore) {
  const std::string october = R"("waterings": [{"on": "10-20", "give_mm": 30}, {"on": "02-29", "give_mm": 2}],)";
  for (const int season : {2011, 2012, 2013}) {
    const SoilClimate with = climate(0, october, "", season), without = climate(0, "", "", season);
    EXPECT_EQ(with.by_hand_mm[day_of(with, {10, 20})], 30);
    EXPECT_EQ(total(with.by_hand_mm), 36);  // 4 mm with the feed
    EXPECT_EQ(with.by_hand_mm[day_of(with, season == 2012 ? MonthDay{2, 29} : MonthDay{2, 28})], 2);
    // 30 mm eleven days before the season begins are still felt then, also where the season is run twice.
    EXPECT_GE(with.stored_first_mm, without.stored_first_mm);
    EXPECT_GT(with.at(with.drained_mm, 0, with.layers - 1) + with.stored_first_mm,
              without.at(without.drained_mm, 0, without.layers - 1) + without.stored_first_mm);
  }
}

TEST_F(WateredGarden, OfTheSouthBeginsInMay) {
  const SoilClimate c =
      climate(0, R"("waterings": [{"on": "12-20", "give_mm": 9, "again": {"every_days": 20, "until": "01-31"}}],)", "", 2013, "-37");
  EXPECT_EQ(to_iso(c.first), "2012-05-01");
  for (const MonthDay day : {MonthDay{12, 20}, {1, 9}, {1, 29}}) EXPECT_EQ(c.by_hand_mm[day_of(c, day)], 9);
  EXPECT_EQ(c.by_hand_mm[9], 4);  // watered in on 10 May, ten days into the season
  EXPECT_EQ(total(c.by_hand_mm), 31);
}

TEST_F(WateredGarden, PotsTakeTheirWallFromTheFile) {
  const SoilClimate plastic = climate(1, "", R"(, "wall": "plastic")", 2013), usual = climate(1, "", "", 2013),
                    wrapped = climate(1, "", R"(, "wall": "insulated")", 2013), shaded = climate(1, "", R"(, "in_shade": true)", 2013);
  EXPECT_EQ(plastic.t_c, usual.t_c);
  EXPECT_LT(restlessness_c(wrapped, any_day), restlessness_c(plastic, any_day));
  EXPECT_LT(month_c(shaded, 6), month_c(plastic, 6) - 1);
}

}  // namespace
}  // namespace leafhunger
