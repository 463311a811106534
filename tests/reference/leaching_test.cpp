// What share of nitrate a given drainage washes out: the column against the exponential law and the power form, and that showers do not
// matter.
//
// Scotter, White & Dyson 1993, J. Soil Sci. 44:25-33: X = exp(-z theta/I) for nitrate given on the surface (read in the abstract). Mixed
// evenly through the depth: the mean of that over z, (I/z theta)(1 - exp(-z theta/I)), derived. Burns 1975, J. Agric. Sci. 85: (P/(P +
// V/100))^h, the form in common use (from memory); for mixed nitrate h/2 for h.
#include <gtest/gtest.h>

#include <cmath>

#include "published.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::Rig;

struct Case {
  double drained_mm, theta;
  int depth_cm;
};

std::vector<double> layers_to(int depth_cm) {
  std::vector<double> l{50, 100, 150, 300};
  if (depth_cm > 60) l.push_back(300);
  return l;
}

// Share below the depth after `events` days that drain the same each. Surface: given dissolved on the first morning. Mixed: there at the
// start.
double washed_out(const Case& k, bool mixed, std::size_t events, Stepper& stepper) {
  Soil soil = make_soil(*find_texture("loam"), 0, layers_to(k.depth_cm));
  for (double& fc : soil.theta_fc) fc = k.theta;
  Rig rig(events, 10, soil);
  std::fill(rig.climate.drained_mm.begin(), rig.climate.drained_mm.end(), k.drained_mm / static_cast<double>(events));
  std::size_t within = 0;
  for (double mm = 0; mm < 10 * k.depth_cm; ++within) mm += soil.thickness_mm[within];
  if (mixed) {
    rig.nitrogen.mineral_at_start_kg_ha = 100, rig.nitrogen.ammonium_share_at_start = 0;
  } else {
    rig.feed(0, rig.add("soluble-salt", {{"nitrate_frac", 1}, {"dissolved_wash_mm", 0}}), 100);
  }
  double start = 0, left = 0;
  const Member member = rig.member();
  ColumnBatch c(rig.shape, {&member, 1}, 1);
  c.start();
  const auto inside = [&] {
    double n = 0;
    for (std::size_t l = 0; l < within; ++l) n += c.at(c.map().nitrate_fast + l, 0) + c.at(c.map().nitrate_slow + l, 0);
    return n;
  };
  start = mixed ? inside() : 100;
  for (std::size_t d = 0; d < events; ++d) {
    c.begin_day(d);
    stepper.day(c, d);
  }
  left = inside();
  return 1 - left / start;
}

double law(const Case& k, bool mixed) {
  const double x = k.drained_mm / 10 / k.theta / k.depth_cm;
  return mixed ? x * (1 - std::exp(-1 / x)) : std::exp(-1 / x);
}
double power(const Case& k) {
  const double p = k.drained_mm / 10;
  return std::pow(p / (p + k.theta), k.depth_cm);
}

constexpr Case k_table[] = {{100, 0.30, 30}, {100, 0.20, 30}, {200, 0.30, 30}, {150, 0.30, 60}, {250, 0.15, 30}, {200, 0.35, 90}};
constexpr const char* k_scotter = "Scotter et al. 1993";
constexpr const char* k_burns = "Burns 1975, power form";

std::string named(const Case& k, bool mixed) {
  return published::digits(k.drained_mm) + " mm through " + std::to_string(k.depth_cm) + " cm at " + published::digits(k.theta) + ", " +
         (mixed ? "mixed" : "on top");
}

TEST(Leaching, WithinFivePointsOfTheLawInOneEventAndInAThousand) {
  for (const Case& k : k_table)
    for (const bool mixed : {false, true})
      for (const std::size_t events : {std::size_t{1}, std::size_t{1000}}) {
        const double ours = washed_out(k, mixed, events, *make_reference_stepper());
        published::expect_near("washed out, " + named(k, mixed) + ", " + std::to_string(events) + (events == 1 ? " event" : " events"),
                               k_scotter, law(k, mixed), ours, 0.05);
        if (!mixed) published::expect_near("the same", k_burns, power(k), ours, 0.05);
      }
}

// What equations.md 3 prints for four layers.
TEST(Leaching, MeetsTheSheetsFigures) {
  const double surface[] = {0.436, 0.551, 0.617, 0.333, 0.864, 0.214}, mixed[] = {0.663, 0.759, 0.810, 0.585, 0.945, 0.507};
  for (std::size_t i = 0; i < std::size(k_table); ++i) {
    published::expect_near("washed out, " + named(k_table[i], false), "equations.md 3", surface[i],
                           washed_out(k_table[i], false, 100, *make_reference_stepper()), 1e-3);
    published::expect_near("washed out, " + named(k_table[i], true), "equations.md 3", mixed[i],
                           washed_out(k_table[i], true, 100, *make_reference_stepper()), 1e-3);
  }
}

// I/(theta z) from 0.25 to 5.5, z 30 and 60 cm: the grid on which the speeds were fitted, so this says how well one law is met, not that it
// is true.
TEST(Leaching, WithinFivePointsOnTheWholeGrid) {
  double worst = 0, squares = 0;
  int n = 0;
  for (const int depth : {30, 60})
    for (double x = 0.25; x <= 5.5; x += 0.25)
      for (const bool mixed : {false, true}) {
        const Case k{x * 0.3 * depth * 10, 0.3, depth};
        const double off = washed_out(k, mixed, 20, *make_reference_stepper()) - law(k, mixed);
        worst = std::max(worst, std::abs(off)), squares += off * off, ++n;
      }
  published::expect_at_most("worst of 88 points of the grid", k_scotter, 0.05, worst);
  published::expect_at_most("root of the mean square", k_scotter, 0.025, std::sqrt(squares / n));
}

// The same drainage in 1, 10, 100 and 1,000 events.
TEST(Leaching, DoesNotDependOnTheNumberOfShowers) {
  for (const bool batch : {false, true}) {
    const auto stepper = [&] { return batch ? make_batch_stepper() : make_reference_stepper(); };
    for (const Case& k : k_table)
      for (const bool mixed : {false, true}) {
        const double one = washed_out(k, mixed, 1, *stepper());
        double worst = 0;
        for (const std::size_t events : {10, 100, 1000}) worst = std::max(worst, std::abs(washed_out(k, mixed, events, *stepper()) - one));
        published::expect_at_most("1 against 10, 100, 1,000 events, " + named(k, mixed) + (batch ? ", production" : ""), "by construction",
                                  1e-3, worst);
      }
  }
}

// Ammonium is held: R = 1 + rho Kd/theta_f, Kd of a silt loam 5, of a fine sand 2.6 L/kg.
TEST(Leaching, AmmoniumIsHeldBack) {
  Soil soil = testing::bare_loam();
  const double r = 1 + soil.bulk_density_mg_m3[0] * soil.k_sorption_l_kg / soil.theta_fc[0];
  published::expect_within("retardation of ammonium in loam", "Clothier et al. 1988", 1 + 1.3 * 2.6 / 0.3, 1 + 1.3 * 5 / 0.25, r);
  Rig rig(1, 10);
  rig.nitrogen.mineral_at_start_kg_ha = 100, rig.nitrogen.ammonium_share_at_start = 1;
  std::fill(rig.climate.drained_mm.begin(), rig.climate.drained_mm.end(), 1.0);
  double leached = 0;
  testing::run(rig, [&](std::size_t, ColumnBatch& c) { leached = c.at(c.map().leached, 0); });
  // A small drainage takes out of the lowest layer q/(theta L R) of what it holds.
  const double held = 100 * 300.0 / 600;
  EXPECT_NEAR(leached, held * 1.0 / (soil.theta_fc[3] * 300) / r, 1e-3 * leached);
}

// Water that backs up carries nothing up in this version.
TEST(Leaching, NothingRises) {
  Rig rig(5, 10);
  rig.nitrogen.mineral_at_start_kg_ha = 100;
  std::fill(rig.climate.drained_mm.begin(), rig.climate.drained_mm.end(), -3.0);
  testing::run(rig, [&](std::size_t, ColumnBatch& c) {
    EXPECT_EQ(c.at(c.map().leached, 0), 0);
    EXPECT_NEAR(c.at(c.map().nitrate_fast, 0), 100 * 0.8 * 0.66 * 50 / 600, 1e-12);
  });
}

}  // namespace
}  // namespace leafhunger
