// The host's ages and bends, through the sample of a coated granule: the standard test in moist soil at 25 degC and its longevity against
// warmth.
#include <gtest/gtest.h>

#include "published.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::pool;
using testing::Rig;

// Share out after each day, all of it in the soil.
std::vector<double> out_by_day(double life_d, double t_c, std::size_t days) {
  Rig rig(days, t_c);
  rig.feed(0, rig.add("sample-coated-granule", {{"life_d", life_d}}, 100), 100);
  std::vector<double> out{0};
  testing::run(rig, [&](std::size_t, ColumnBatch& c) { out.push_back(1 - pool(c, 0, "grain in soil") / 100); });
  return out;
}

std::size_t first_day_with(const std::vector<double>& out, double share) {
  std::size_t d = 0;
  while (d < out.size() && out[d] < share) ++d;
  return d;
}

// F1: at most 15 % in 24 h, at most 75 % in 28 d, at least 75 % by the stated time, at 25 degC.
TEST(CoatedGranule, KeepsTheStandardsLimits) {
  constexpr const char* k_cen = "CEN task force, in Trenkel 1997, IFA";
  for (const auto& [life, at28] : {std::pair{40.0, 0.57}, {90.0, 0.23}, {180.0, 0.09}}) {
    const auto out = out_by_day(life, 25, static_cast<std::size_t>(life) + 1);
    const std::string what = "coat of " + published::digits(life) + " d at 25 degC, share out ";
    published::expect_at_most(what + "after 24 h", k_cen, 0.15, out[1]);
    published::expect_at_most(what + "after 28 d", k_cen, 0.75, out[28]);
    published::expect_within(what + "at its life", k_cen, 0.75, 1, out[static_cast<std::size_t>(life)]);
    published::expect_near(what + "after 28 d", "equations.md 4.5", at28, out[28], 0.012);
    published::expect_near(what + "at its life", "equations.md 4.5", 0.799, out[static_cast<std::size_t>(life)], 0.003);
    EXPECT_LE(out[1], 0.001 * 1.5);
  }
}

// F15: against the life at 25 degC, twice as long at 15 and half at 35; F4: monotone with one inflection; F5: straight to about two thirds.
TEST(CoatedGranule, AgesByWarmth) {
  const double at25 = static_cast<double>(first_day_with(out_by_day(90, 25, 400), 0.799));
  published::expect_near("life at 15 degC over that at 25", "Oertli & Lunt 1962, Q10 2", 2.0,
                         static_cast<double>(first_day_with(out_by_day(90, 15, 400), 0.799)) / at25, 0.4);
  published::expect_near("life at 35 degC over that at 25", "Oertli & Lunt 1962, Q10 2", 0.5,
                         static_cast<double>(first_day_with(out_by_day(90, 35, 400), 0.799)) / at25, 0.1);
}

TEST(CoatedGranule, LagsThenRunsStraightThenFades) {
  const auto out = out_by_day(90, 25, 200);
  int turns = 0;
  double straight_until = 0;
  const double steady = out[40] - out[39];
  for (std::size_t d = 2; d < out.size(); ++d) {
    EXPECT_GE(out[d], out[d - 1]);
    const double now = out[d] - out[d - 1], before = out[d - 1] - (d > 1 ? out[d - 2] : 0);
    if (d > 2 && now < before - 1e-9 && turns == 0) turns = 1;
    if (turns == 1 && now > before + 1e-9) turns = 2;
    if (now > 0.9 * steady) straight_until = out[d];
  }
  EXPECT_EQ(turns, 1) << "it speeds up, then slows down, once each";
  published::expect_within("share at which the line begins to fade",
                           "Properties of coated fertilizer materials, California Agriculture 16(1), 1962", 0.55, 0.75, straight_until);
}

// F8: not a matter of moisture.
TEST(CoatedGranule, DoesNotFeelMoisture) {
  const auto out = [](double wet) {
    Rig rig(60, 20);
    for (double& w : rig.climate.wfps_frac) w = wet;
    for (double& a : rig.climate.available_frac) a = wet > 0.4 ? 1 : 0;
    rig.feed(0, rig.add("sample-coated-granule", {}, 100), 100);
    double left = 0;
    testing::run(rig, [&](std::size_t, ColumnBatch& c) { left = pool(c, 0, "grain in soil"); });
    return left;
  };
  EXPECT_DOUBLE_EQ(out(0.25), out(0.56));
}

}  // namespace
}  // namespace leafhunger
