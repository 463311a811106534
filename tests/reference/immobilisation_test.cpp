// Carbon that ties nitrogen up: the worked figures of the textbook rule, driven through a column with mineral nitrogen in plenty.
//
// Rule attributed to Brady & Weil (quoted by a teaching site): microbes hold 8 carbon for 1 nitrogen and keep a third of the carbon that
// they decay, so C:N 24 breaks even. 100 kg of straw of 42 % carbon at C:N 80, decayed whole, ties up 1.225 kg N; at 24 nothing; at 12 it
// frees 1.75 kg.
#include <gtest/gtest.h>

#include "published.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::Rig;

constexpr const char* k_rule = "rule attributed to Brady & Weil, worked";
constexpr double k_straw_c = 42;  // kg C in 100 kg of straw

// kg N taken from the soil when all of it has decayed and no microbe has died; below 0 where it frees.
double tied_up(double c_to_n, double days, double* decayed = nullptr) {
  Rig rig(static_cast<std::size_t>(days), 25);
  rig.nitrogen.mineral_at_start_kg_ha = 1e6;
  const double n = k_straw_c / c_to_n;
  rig.feed(
      0, rig.add("organic-two-pool", {{"carbon_to_nitrogen", c_to_n}, {"fast_frac", 1}, {"fast_per_day", 0.1}, {"death_per_day", 0}}, 600),
      n);
  double taken = 0;
  testing::run(rig, [&](std::size_t, ColumnBatch& c) {
    taken = 1e6 - testing::ammonium(c) - testing::nitrate(c);
    if (decayed) *decayed = 1 - testing::pool(c, 0, "fast in soil") / n;
  });
  return taken;
}

TEST(Immobilisation, StrawTakesWhatTheRuleSays) {
  published::expect_near("N tied up by 100 kg of straw, C:N 80, kg", k_rule, 1.225, tied_up(80, 250), 5e-3 * 1.225);
  published::expect_near("the same at C:N 24, kg", k_rule, 0, tied_up(24, 250), 1e-6);
  published::expect_near("freed by the same mass at C:N 12, kg", k_rule, 1.75, -tied_up(12, 250), 5e-3 * 1.75);
}

TEST(Immobilisation, HalfDecayedHalfTaken) {
  double decayed = 0;
  const double taken = tied_up(80, 7, &decayed);
  published::expect_near("N tied up when half has decayed, kg", k_rule, 0.6125 * decayed / 0.5, taken, 5e-3 * 0.6125);
}

// C3: at its peak 1 to 33 g N for each kg of carbon added, of 47 residues at 15 degC, N not limiting. Straw of equations.md 4.2: 20 at 32
// d.
TEST(Immobilisation, PeakOfStraw) {
  Rig rig(170, 15);
  rig.nitrogen.mineral_at_start_kg_ha = 1e6;
  rig.feed(0, rig.add("organic-two-pool", {{"carbon_to_nitrogen", 80}, {"fast_frac", 0.8}}, 600), k_straw_c / 80);
  double peak = 0, peak_day = 0;
  testing::run(rig, [&](std::size_t d, ColumnBatch& c) {
    const double g_per_kg = (1e6 - testing::ammonium(c) - testing::nitrate(c)) * 1000 / k_straw_c;
    if (g_per_kg > peak) peak = g_per_kg, peak_day = static_cast<double>(d + 1);
  });
  published::expect_within("greatest tie-up of straw, g N/kg C", "Trinsoutrot et al. 2000, 47 residues", 1, 33, peak);
  published::expect_near("the same", "equations.md 4.2", 20, peak, 1);
  published::expect_near("its day", "equations.md 4.2", 32, peak_day, 2);
}

// Scarce nitrogen limits the tie-up: what is there, not what is asked for; and nothing goes below nought.
TEST(Immobilisation, StarvesWhereNitrogenIsScarce) {
  const auto decayed = [](double mineral_kg_ha, double& least) {
    Rig rig(30, 15);
    rig.nitrogen.mineral_at_start_kg_ha = mineral_kg_ha;
    rig.feed(0, rig.add("organic-two-pool", {{"carbon_to_nitrogen", 80}, {"fast_frac", 1}}, 600), 100);
    least = mineral_kg_ha;
    double share = 0;
    testing::run(rig, [&](std::size_t, ColumnBatch& c) {
      least = std::min(least, testing::ammonium(c) + testing::nitrate(c));
      share = 1 - testing::pool(c, 0, "fast in soil") / 100;
    });
    return share;
  };
  double least_scarce = 0, least_plenty = 0;
  const double scarce = decayed(5, least_scarce), plenty = decayed(1e5, least_plenty);
  EXPECT_GE(least_scarce, 0);
  EXPECT_LT(least_scarce, 0.5) << "it takes nearly all there is";
  EXPECT_LT(scarce, 0.4 * plenty) << "and decays slowly for want of more";
  EXPECT_GT(scarce, 0.05) << "but does not stand still (starved_frac)";
  EXPECT_GT(least_plenty, 9e4);
}

}  // namespace
}  // namespace leafhunger
