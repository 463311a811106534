// Ammonia from what lies on the surface: manure kept or lost by the day it is worked in, urea with and without water (nitrogen-release
// figures A1 to A12).
//
// Manure: k_v 0.085, k_c 0.065 a day at 15 degC and the fifth lost as it is spread were fitted on A9; A10 to A12 test them. Urea prills:
// k_v 1.0, k_c 2.6 and hydrolysis 2.0 a day on top were fitted on A1; A2, A3 and A7 test them.
#include <gtest/gtest.h>

#include <cmath>

#include "lying_feed.hpp"
#include "published.hpp"

namespace leafhunger {
namespace {

using testing::Rig;

constexpr const char* k_alberta = "Alberta Agriculture, Nutrient Management Planning Guide, Table 4.3.4";
constexpr const char* k_black = "Black, Sherlock & Smith 1987, J. Soil Sci. 38";
constexpr const char* k_engel = "Engel, Montana State Univ., Ammonia volatility from urea";

constexpr SurfaceConstants k_manure{0.085, 0.065, 1, 5.5, 0.2};
constexpr SurfaceConstants k_prills{1.0, 2.6, 1, 4};
// Half of its nitrogen is ammonium; the rest neither decays nor moves, so that what is lost is that ammonium's.
const std::map<std::string, double> k_slurry = {{"ready_frac", 0.5}, {"ammonium_frac", 0.5}, {"fast_frac", 0}, {"slow_per_day", 0}};

// Share of manure's ammonium kept after `days` on top.
double kept(int days, double t_c = 15, double rain_mm = 0, const SurfaceConstants& surface = k_manure, double forked_mm = 0) {
  Rig rig(static_cast<std::size_t>(days), t_c);
  std::fill(rig.climate.rain_mm.begin(), rig.climate.rain_mm.end(), rain_mm);
  rig.feed(0, rig.add("organic-two-pool", k_slurry, forked_mm, surface), 100);
  double lost = 0;
  testing::run(rig, [&](std::size_t, ColumnBatch& c) { lost = c.at(c.map().volatilised, 0) / 50; });
  return 1 - lost;
}

// A9: average weather, by days until it is worked in. Tolerance 0.05.
TEST(ManureAmmonia, KeptByTheDayItIsWorkedIn) {
  for (const auto& [days, share] : {std::pair{1, 0.75}, {2, 0.70}, {3, 0.65}, {4, 0.60}, {5, 0.55}})
    published::expect_near("ammonium kept, worked in after " + std::to_string(days) + " d (fitted on this)", k_alberta, share, kept(days),
                           0.05);
  published::expect_near("ammonium kept, never worked in (fitted on this)", k_alberta, 0.34, kept(120), 0.05);
  published::expect_near("ammonium kept, injected", k_alberta, 1, kept(120, 15, 0, k_manure, 100), 0.05);
  // What equations.md 5 says that the constants give.
  for (const auto& [days, share] : {std::pair{1, 0.74}, {2, 0.68}, {3, 0.64}, {4, 0.60}, {5, 0.56}, {120, 0.35}})
    EXPECT_NEAR(kept(days), share, 0.006) << days << " d";
}

// A10: 1 d and never. The table names its weather by two words; taken: cool 7, warm 22 degC, wet 2 mm a day, dry none. Tolerance 0.05.
TEST(ManureAmmonia, KeptByWeather) {
  constexpr const char* k_words = "known only by the words of its weather; ours taken as 7 and 22 degC, 0 and 2 mm a day";
  const double cool = 7, warm = 22, wet = 2, dry = 0;
  published::known_miss("ammonium kept, cool and wet, worked in after 1 d", k_alberta, 0.90, kept(1, cool, wet), 0.05,
                        "the fifth lost at once hangs on no weather");
  published::known_miss("ammonium kept, cool and wet, never worked in", k_alberta, 0.60, kept(120, cool, wet), 0.05, k_words);
  published::known_miss("ammonium kept, cool and dry, worked in after 1 d", k_alberta, 0.85, kept(1, cool, dry), 0.05,
                        "the fifth lost at once hangs on no weather");
  published::expect_near("ammonium kept, cool and dry, never worked in", k_alberta, 0.50, kept(120, cool, dry), 0.05);
  published::expect_near("ammonium kept, warm and wet, worked in after 1 d", k_alberta, 0.75, kept(1, warm, wet), 0.05);
  published::known_miss("ammonium kept, warm and wet, never worked in", k_alberta, 0.25, kept(120, warm, wet), 0.05, k_words);
  published::known_miss("ammonium kept, warm and dry, worked in after 1 d", k_alberta, 0.50, kept(1, warm, dry), 0.05,
                        "the fifth lost at once hangs on no weather");
  published::known_miss("ammonium kept, warm and dry, never worked in", k_alberta, 0.00, kept(120, warm, dry), 0.05,
                        "the soil takes its part in at any warmth");
  // The order of the four, never worked in, does not hang on the figures taken.
  EXPECT_GT(kept(120, cool, wet), kept(120, cool, dry));
  EXPECT_GT(kept(120, cool, dry), kept(120, warm, dry));
  EXPECT_GT(kept(120, warm, wet), kept(120, warm, dry));
}

// A11: never more than 95 %. A12: nothing once incorporated, at most 5 % of the ammonium.
TEST(ManureAmmonia, StaysWithinItsBounds) {
  published::expect_at_most("ammonium lost at 35 degC, dry, never worked in", "Alberta Agriculture Agdex 538-3", 0.95, 1 - kept(365, 35));
  published::expect_at_most("ammonium lost once worked in", "Moore et al. 2006, quoted by Utah State Univ.", 0.05,
                            1 - kept(120, 15, 0, k_manure, 100));
}

TEST(ManureAmmonia, ClosedForm) {
  for (const int days : {1, 3, 10}) {
    const double lost = 0.085 / 0.15 * (1 - std::exp(-0.15 * days));
    published::expect_near("ammonium kept after " + std::to_string(days) + " d", "closed form", 0.8 * (1 - lost), kept(days), 1e-9);
  }
}

TEST(ManureAmmonia, DoublesInTenDegreesAndStopsUnderRain) {
  const auto lost = [](double t_c, double rain_mm, double watered_mm) {
    Rig rig(1, t_c);
    rig.climate.rain_mm[0] = rain_mm;
    rig.feed(0, rig.add("soluble-salt", {{"nitrate_frac", 0}}, 0, {0.01, 0, 1, 5.5}), 100, watered_mm);
    double sum = 0;
    testing::run(rig, [&](std::size_t, ColumnBatch& c) { sum = c.at(c.map().volatilised, 0); });
    return sum;
  };
  EXPECT_NEAR(lost(25, 0, 0) / lost(15, 0, 0), 2, 0.02) << "a small loss is in proportion to the rate";
  EXPECT_LT(lost(15, 16, 0), 0.4 * lost(15, 0, 0)) << "rain spread over the day";
  // Watered in at once: exp(-16/5.5) of it stays on top.
  EXPECT_NEAR(lost(15, 0, 16) / lost(15, 0, 0), std::exp(-16 / 5.5), 1e-9);
}

// The column steps whole days, and hours matter here: a leg of part of a day is walked with classical Runge-Kutta on the column's own
// rates.
void walk(ColumnBatch& c, double days) {
  const std::size_t n = c.map().rows;
  constexpr int k_steps = 400;
  const double h = days / k_steps;
  std::vector<double> k1(n), k2(n), k3(n), k4(n), at(n);
  double* y = c.state();
  for (int step = 0; step < k_steps; ++step) {
    const auto probe = [&](const std::vector<double>& k, double share) {
      for (std::size_t r = 0; r < n; ++r) at[r] = y[r] + share * h * k[r];
    };
    c.rates(y, k1.data()), probe(k1, 0.5);
    c.rates(at.data(), k2.data()), probe(k2, 0.5);
    c.rates(at.data(), k3.data()), probe(k3, 1);
    c.rates(at.data(), k4.data());
    for (std::size_t r = 0; r < n; ++r) y[r] += h / 6 * (k1[r] + 2 * k2[r] + 2 * k3[r] + k4[r]);
  }
}

// % of urea on pasture lost in 30 d, `mm` of water `hours` after it (0 to 24, or a multiple of 24). Warmth not printed; 15 degC taken.
double lost_of_urea(double mm, double hours) {
  const auto whole = static_cast<std::size_t>(hours / 24);
  const double part = hours / 24 - static_cast<double>(whole);
  const std::size_t days = 32;
  Rig rig(days, 15);
  rig.climate.by_hand_mm.assign(days, 0.0);
  const std::size_t watered = whole + (part > 0 ? 1 : 0);
  rig.climate.by_hand_mm[watered] = mm;
  rig.feed(0, rig.add("urea", {}, 0, k_prills), 100);
  const Member member = rig.member();
  ColumnBatch c(rig.shape, {&member, 1}, 1);
  c.start();
  const auto stepper = make_reference_stepper(testing::k_tight);
  for (std::size_t d = 0; d < days; ++d) {
    c.begin_day(d);
    if (part > 0 && d == whole) {
      walk(c, part);  // the next day's morning comes early
      continue;
    }
    stepper->day(c, d);
  }
  return c.at(c.map().volatilised, 0);
}

// A1: 0, 4, 16 mm within 3 h. A2: 16 mm two days late. Tolerances 5, 4, 2 points; late water saves less than 10 % of the loss.
TEST(UreaAmmonia, EarlyWaterSavesIt) {
  published::expect_near("urea lost as ammonia, no water, % (fitted on this)", k_black, 28.1, lost_of_urea(0, 3), 5);
  published::expect_near("urea lost as ammonia, 4 mm within 3 h, % (fitted on this)", k_black, 9.2, lost_of_urea(4, 3), 4);
  published::expect_near("urea lost as ammonia, 16 mm within 3 h, % (fitted on this)", k_black, 1.8, lost_of_urea(16, 3), 2);
  const double dry = lost_of_urea(0, 3);
  published::expect_at_least("share of the loss that 16 mm saves at once", k_black, 0.9, 1 - lost_of_urea(16, 3) / dry);
  published::expect_within("share of the loss that 16 mm saves after 48 h", k_black, 0, 0.1, 1 - lost_of_urea(16, 48) / dry);
  for (const auto& [mm, hours, percent] : {std::tuple{0.0, 3.0, 28.0}, {4.0, 3.0, 11.0}, {16.0, 3.0, 2.0}, {16.0, 48.0, 27.0}})
    EXPECT_NEAR(lost_of_urea(mm, hours), percent, 0.6) << "equations.md 5, " << mm << " mm after " << hours << " h";
}

// A leg walked in parts is the leg walked whole: the helper above adds nothing of its own.
TEST(UreaAmmonia, PartsOfADayAddUp) {
  EXPECT_NEAR(lost_of_urea(0, 3), lost_of_urea(0, 48), 1e-6);
  EXPECT_NEAR(lost_of_urea(16, 24), lost_of_urea(16, 23.9999), 1e-3);
}

// % of urea lost on dry soil (0.06 g/g) in 30 d, watered with `mm` every `every` days.
double lost_on_dry_soil(double mm, std::size_t every, std::size_t days = 30, double mix_per_day = 0.01) {
  Rig rig(days, 15);
  testing::set_water(rig, 0.06 * find_texture("loam")->bulk_density_mg_m3);
  rig.climate.by_hand_mm.assign(days, 0.0);
  for (std::size_t d = every; mm > 0 && d < days; d += every) rig.climate.by_hand_mm[d] = mm;
  rig.feed(0, rig.add("urea", {{"mix_per_day", mix_per_day}}, 0, k_prills), 100);
  double lost = 0;
  testing::run(rig, [&](std::size_t, ColumnBatch& c) { lost = c.at(c.map().volatilised, 0); });
  return lost;
}

// A3: 33 % lost slowly in 30 d, 39.4 with repeated wettings of 2 mm (how often is not printed; every five days taken). Tolerance 6.
TEST(UreaAmmonia, DrySoilLosesSlowly) {
  published::known_miss("urea lost on dry soil in 30 d, %", k_black, 33, lost_on_dry_soil(0, 1), 6,
                        "soil life takes a twentieth in though it is dry; 27.6 without it, just inside");
  published::expect_near("the same, no soil life where it is so dry, %", k_black, 33, lost_on_dry_soil(0, 1, 30, 0), 6);
  EXPECT_LT(lost_on_dry_soil(0, 1, 3), 0.5 * lost_on_dry_soil(0, 1)) << "slowly: less than half of it in the first three days";
  published::known_miss("urea lost on dry soil wetted with 2 mm every 5 d, %", k_black, 39.4, lost_on_dry_soil(2, 5), 6,
                        "water carries in by its depth alone here; a dry crust holds 2 mm");
}

// A7: one rain of half an inch or more stops it, showers below 5 mm do not. A8: loss rises with warmth and pH. Orders.
TEST(UreaAmmonia, RainWarmthAndLime) {
  // % of urea lost by the end of the day that begins after `rain_mm` fell on day 1, and in all.
  const auto lost = [](double rain_mm, double t_c, double ph_factor, const char* model, double rain_every_day = 0) {
    const std::size_t days = 40;
    Rig rig(days, t_c);
    std::fill(rig.climate.rain_mm.begin(), rig.climate.rain_mm.end(), rain_every_day);
    rig.climate.rain_mm[1] += rain_mm;
    SurfaceConstants surface = k_prills;
    surface.ph_factor = ph_factor;
    rig.feed(0, rig.add(model, {}, 0, surface), 100);
    double by_night = 0, all = 0;
    testing::run(rig, [&](std::size_t d, ColumnBatch& c) { (d <= 1 ? by_night : all) = c.at(c.map().volatilised, 0); });
    return std::pair{by_night, all};
  };
  // At 3 degC hydrolysis is slow, so most is still to lose when the rain comes.
  const auto dry = lost(0, 3, 1, "inhibited-urea"), rain = lost(12.7, 3, 1, "inhibited-urea"), shower = lost(3, 3, 1, "inhibited-urea");
  const double to_come = dry.second - dry.first;
  published::expect_at_most("share of the ammonia still to come that goes on after 12.7 mm", std::string(k_engel) + ": stops it", 0.1,
                            (rain.second - rain.first) / to_come);
  published::expect_at_least("share of the ammonia still to come that goes on after 3 mm", std::string(k_engel) + ": does not stop it", 0.3,
                             (shower.second - shower.first) / to_come);
  constexpr const char* k_ernst = "Ernst & Massey 1960 (names from memory): order";
  published::expect_at_least("ammonia from urea, 25 over 10 degC", k_ernst, 1.05,
                             lost(0, 25, 1, "urea").second / lost(0, 10, 1, "urea").second);
  published::expect_at_least("ammonia from urea, full over half the factor of pH", k_ernst, 1.05,
                             lost(0, 15, 1, "urea").second / lost(0, 15, 0.5, "urea").second);
  // A6: seventeen trials, cold seasons included, 1.1 to 44 %; an inhibitor lowers the mean from 18.1 to 6.5. Weather of the trials was not
  // read, so the means are no test; ours over a spread of weather must lie in the band, and the inhibitor must help where rain follows.
  for (const double t : {2.0, 8.0, 14.0})
    for (const double daily : {0.0, 1.0, 3.0}) {
      const double plain = lost(0, t, 1, "urea", daily).second, held = lost(0, t, 1, "inhibited-urea", daily).second;
      published::expect_within("ammonia from urea at " + published::digits(t) + " degC with " + published::digits(daily) + " mm a day, %",
                               k_engel, 1.1, 44, plain);
      if (daily > 0) {
        EXPECT_LT(held, plain) << t << " degC, " << daily << " mm a day";
      }
    }
}

}  // namespace
}  // namespace leafhunger
