// Granules in a polymer coat: the standard's three limits at 25 degC, longevity against warmth, the shape of release (nitrogen-release
// figures F1 to F15). Warmth (51.2 kJ/mol) was set on F6; F9 to F15 test it. The shape's constants are set on F5 and the label's 80 %. F7
// (potassium and phosphate leave later than nitrate) is not modelled: coats let out nitrogen alone.
#include <gtest/gtest.h>

#include <cmath>

#include "lying_feed.hpp"
#include "published.hpp"

namespace leafhunger {
namespace {

using testing::first_day_with;
using testing::gone_by_day;
using testing::Lying;

constexpr const char* k_cen = "CEN task force, in Trenkel 1997, IFA";
constexpr const char* k_oertli = "Oertli & Lunt 1962, SSSA Proc. 26, part I";
constexpr const char* k_lunt = "Lunt & Oertli 1962, SSSA Proc. 26(6):584-587, part II";
constexpr const char* k_brown = "Brown, Luebs & Pratt 1966, Agron. J. 58(2):175-178";

// Share out of coats at 00 of each day.
std::vector<double> out(double longevity_d, const Lying& lying, std::size_t days, std::map<std::string, double> more = {}) {
  more["longevity_d"] = longevity_d;
  return gone_by_day("coated-granule", {"granules"}, more, days, lying);
}

// F1: at most 15 % in 24 h, at most 75 % in 28 d, at least 75 % by the stated time, at 25 degC. Stated times 40 to 360 d.
TEST(CoatedGranule, KeepsTheStandardsLimits) {
  for (const double life : {40.0, 90.0, 180.0, 360.0}) {
    const auto share = out(life, Lying{25}, static_cast<std::size_t>(life) + 1);
    const std::string what = "coat of " + published::digits(life) + " d at 25 degC, share out ";
    published::expect_at_most(what + "after 24 h", k_cen, 0.15, share[1]);
    published::expect_at_most(what + "after 28 d", k_cen, 0.75, share[28]);
    published::expect_within(what + "at its life", k_cen, 0.75, 1, share[static_cast<std::size_t>(life)]);
    published::expect_near(what + "at its life", "Trenkel 2010: 80 % by the stated time", 0.80, share[static_cast<std::size_t>(life)],
                           0.003);
  }
  for (const auto& [life, at28] : {std::pair{40.0, 0.57}, {90.0, 0.23}, {180.0, 0.09}})
    published::expect_near("coat of " + published::digits(life) + " d at 25 degC, share out after 28 d", "equations.md 4.5", at28,
                           out(life, Lying{25}, 28)[28], 0.012);
}

// A longevity stated at another temperature is met at that temperature, without a second conversion.
TEST(CoatedGranule, MeetsItsLabelAtTheLabelsTemperature) {
  for (const double t : {21.0, 25.0, 30.0}) EXPECT_NEAR(out(90, Lying{t}, 90, {{"longevity_c", t}})[90], 0.799, 0.001) << t << " degC";
}

// F15: multipliers of the nominal life, derived from Q10 2; tolerance 20 %. F10: 10 degC double the elapsed time, Q10 1.7 to 2.3.
TEST(CoatedGranule, AgesByWarmth) {
  const auto life = [](double t_c, double nominal_c) {
    return static_cast<double>(first_day_with(out(90, Lying{t_c}, 600, {{"longevity_c", nominal_c}}), 0.799));
  };
  constexpr const char* k_from = "derived with Q10 2 from Oertli & Lunt 1962; Brown, Luebs & Pratt 1966";
  for (const auto& [t, factor] : {std::pair{15.0, 1.52}, {26.0, 0.71}, {32.0, 0.47}})
    published::expect_near("life of a coat at " + published::digits(t) + " degC over that at 21, its nominal", k_from, factor,
                           life(t, 21) / life(21, 21), 0.2 * factor);
  for (const auto& [t, factor] : {std::pair{15.0, 2.0}, {35.0, 0.5}})
    published::expect_near("life of a coat at " + published::digits(t) + " degC over that at 25, its nominal", k_from, factor,
                           life(t, 25) / life(25, 25), 0.2 * factor);
  for (const double t : {5.0, 15.0, 25.0})
    published::expect_within("time to 80 % out, " + published::digits(t) + " over " + published::digits(t + 10) + " degC", k_brown, 1.7,
                             2.3, life(t, 25) / life(t + 10, 25));
}

// F6: 10 to 20 degC almost doubles the initial rate, that of the straight line.
TEST(CoatedGranule, DoublesItsFirstRate) {
  const auto steepest = [](double t_c) {
    const auto share = out(90, Lying{t_c}, 200);
    double most = 0;
    for (std::size_t d = 1; d < share.size(); ++d) most = std::max(most, share[d] - share[d - 1]);
    return most;
  };
  published::expect_within("rate of a coat, 20 over 10 degC (fitted on this)", k_oertli, 1.7, 2.1, steepest(20) / steepest(10));
}

// F4: lag, straight line, decay: one inflection, monotone, at most 1. F5: straight to about two thirds (fitted on this).
TEST(CoatedGranule, LagsThenRunsStraightThenFades) {
  const auto share = out(90, Lying{25}, 200);
  int turns = 0;
  double straight_until = 0;
  const double steady = share[40] - share[39];
  for (std::size_t d = 2; d < share.size(); ++d) {
    EXPECT_GE(share[d], share[d - 1]);
    EXPECT_LE(share[d], 1);
    const double now = share[d] - share[d - 1], before = share[d - 1] - share[d - 2];
    if (d > 2 && now < before - 1e-9 && turns == 0) turns = 1;
    if (turns == 1 && now > before + 1e-9) turns = 2;
    if (now > 0.9 * steady) straight_until = share[d];
  }
  published::expect_near("inflections of a coat's release", "Shaviv, Raban & Zaidel 2003, Environ. Sci. Technol. 37:2251-2256", 1, turns,
                         0);
  published::expect_within("share at which the line begins to fade (fitted on this)",
                           "Properties of coated fertilizer materials, California Agriculture 16(1), 1962", 0.55, 0.75, straight_until);
}

// F8: no moisture effect from wilting to above field capacity, tolerance 10 %; slower when left on the surface.
TEST(CoatedGranule, DoesNotFeelMoisture) {
  const Texture& loam = *find_texture("loam");
  const auto at = [](double theta, double forked_mm) {
    Lying lying{20, forked_mm};
    lying.theta = theta;
    return out(90, lying, 60, {{"mix_per_day", 0}})[60];
  };
  published::expect_near("out of a coat at wilting over that at field capacity", k_lunt, 1, at(loam.theta_wp, 100) / at(loam.theta_fc, 100),
                         0.1);
  published::expect_near("out of a coat in wet soil over that at field capacity", k_lunt, 1, at(0.36, 100) / at(loam.theta_fc, 100), 0.1);
  published::expect_at_most("out of a coat on the surface over that mixed in", std::string(k_lunt) + ": order", 0.99,
                            at(loam.theta_fc, 0) / at(loam.theta_fc, 100));
}

// F9, F11: resin-coated urea, 4 weeks. Longevity is fitted on 35 degC; the others would test it. Tolerance 8 points.
TEST(CoatedGranule, ResinCoatedUreaAgainstWarmth) {
  const std::map<std::string, double> urea = {{"nitrate_frac", 0}, {"urea_frac", 1}};
  double life = 60;
  for (double step = 32; step > 1e-3; step /= 2) life += 100 * out(life, Lying{35}, 28, urea)[28] > 67 ? step : -step;
  published::expect_near("resin-coated urea out in 4 weeks at 35 degC, % (longevity fitted on this)", k_brown, 67,
                         100 * out(life, Lying{35}, 28, urea)[28], 8);
  published::known_miss("resin-coated urea out in 4 weeks at 5 degC, %", k_brown, 25, 100 * out(life, Lying{5}, 28, urea)[28], 8,
                        "no lag and a root of time in theirs; our coat waits and runs straight");
  // F12 puts the misfit down to shape: the published times have Q10 1.93 if release goes by the root of time.
  published::expect_near("Q10 of the time of a coat, 5 to 35 degC, by its own shape", "derived from Brown, Luebs & Pratt 1966: 1.93", 1.93,
                         std::exp(51.2 / 8.314e-3 * (1 / 278.15 - 1 / 308.15) / 3), 0.2);
  // F11. Warmth not printed; 20 degC as in the water trial.
  published::known_miss("13.2 % resin on urea, out in 4 weeks at 20 degC, %", k_brown, 49, 100 * out(life, Lying{20}, 28, urea)[28], 8,
                        "the same shape; its warmth is not printed");
  auto bare = urea;
  bare["uncoated_frac"] = 1;
  published::expect_near("uncoated urea out in a day, %", k_brown, 94, 100 * out(life, Lying{20}, 1, bare)[1], 8);
  published::expect_at_least("9.0 % resin over 13.2 %, out in 4 weeks, life by mass of coat", std::string(k_brown) + ": order", 1,
                             out(life * 9.0 / 13.2, Lying{20}, 28, urea)[28] / out(life, Lying{20}, 28, urea)[28]);
}

// F9 again: with a share of cracked grains the coat meets both ends. Two numbers on two figures: a fit, no test.
TEST(CoatedGranule, CrackedGrainsExplainTheColdEnd) {
  const std::map<std::string, double> cracked = {{"nitrate_frac", 0}, {"urea_frac", 1}, {"uncoated_frac", 0.2}};
  double life = 60;
  for (double step = 32; step > 1e-3; step /= 2) life += 100 * out(life, Lying{35}, 28, cracked)[28] > 67 ? step : -step;
  published::expect_near("with a fifth cracked, out in 4 weeks at 5 degC, % (share and longevity fitted on this)", k_brown, 25,
                         100 * out(life, Lying{5}, 28, cracked)[28], 8);
}

// F13: two materials, 25 degC, 220 d in soil. Neither longevity was read: nine months at 25 degC is what they imply.
TEST(CoatedGranule, NineMonthsInSoil) {
  published::expect_within("coat of 270 d, out in 220 d at 25 degC, % (longevity fitted on this)",
                           "Wang et al. 2011, Open J. Soil Sci. 1:40-44", 63.6, 70.8, 100 * out(270, Lying{25}, 220)[220]);
}

// What comes out is what the label says: nitrate, ammonium, urea that then turns.
TEST(CoatedGranule, FreesByItsLabel) {
  testing::Rig rig(150, 25);
  rig.feed(0, rig.add("coated-granule", {{"longevity_d", 40}, {"nitrate_frac", 0.3}, {"urea_frac", 0.5}}, 100), 100);
  double nitrate = 0, ammonium = 0, granules = 0, urea = 0;
  testing::run(rig, [&](std::size_t, ColumnBatch& c) {
    nitrate = testing::nitrate(c), ammonium = testing::ammonium(c);
    granules = testing::pool(c, 0, "granules in soil"), urea = testing::pool(c, 0, "urea in soil");
  });
  EXPECT_NEAR(nitrate / (100 - granules), 0.3, 1e-9);
  EXPECT_NEAR((ammonium + urea) / (100 - granules), 0.7, 1e-9);
  EXPECT_LT(urea, 2) << "hydrolysed as it comes";
}

}  // namespace
}  // namespace leafhunger
