// Want, reserve, fixation, uptake and growth in the column.
#include <gtest/gtest.h>

#include <cmath>

#include "core/smooth.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::Rig;

// A grower in soil that it can reach; `mineral` kg/ha, all nitrate unless said.
struct Growing : Rig {
  explicit Growing(std::size_t days, double mineral = 100, double ammonium_share = 0) : Rig(days, 15) {
    grow("sample-steady-grower", 0.8);
    nitrogen.mineral_at_start_kg_ha = mineral, nitrogen.ammonium_share_at_start = ammonium_share;
    climate.luxury.assign(days, 1.2);
    climate.f_t.assign(days, 0.5);
    climate.reach_per_day.assign(days * 4, 0.05);
    climate.reach_wet_per_day.assign(days * 4, 0.08);
    climate.root_frac.assign(days * 4, 0.5);
    plant->host.reserve_share = 0;
  }
};

struct Rates {
  Member member;
  ColumnBatch c;
  std::vector<double> dy;
  // With plant N at `index` of critical N.
  Rates(const Rig& rig, double index, double w = 4) : member(rig.member()), c(rig.shape, {&member, 1}, 1), dy(c.map().rows) {
    c.start();
    c.begin_day(0);
    c.state()[c.map().w] = w;
    double critical[1];
    c.critical(critical);
    c.state()[c.map().plant] = index * critical[0];
    c.rates(c.state(), dy.data());
  }
  double of(std::size_t row) const { return dy[row]; }
};

TEST(ColumnPlant, CriticalNIsOfTheColumn) {
  Growing rig(1);
  Rates r(rig, 1);
  double critical[1];
  r.c.critical(critical);
  EXPECT_NEAR(critical[0], 0.8 * 30 * 4, 1e-12) << "cover times what a tonne wants";
}

TEST(ColumnPlant, WantsUpToItsLuxuryAndNoMore) {
  Growing rig(1);
  const Rates full(rig, 1.2), over(rig, 1.5), hungry(rig, 0.9);
  EXPECT_EQ(full.of(full.c.map().taken), 0) << "at the ceiling: nothing";
  EXPECT_EQ(over.of(over.c.map().taken), 0) << "above it: nothing, and nothing comes out";
  EXPECT_EQ(over.of(over.c.map().plant), 0);
  EXPECT_GT(hungry.of(hungry.c.map().taken), 0);
  EXPECT_EQ(hungry.of(hungry.c.map().plant), hungry.of(hungry.c.map().taken));
}

// want = ramp(1.2 Ncrit - N, 0.05 Ncrit)/tau; supply = sum reach N^2/(N + N_r); U = smin(want, supply).
TEST(ColumnPlant, TakesTheSmallerOfWantAndReach) {
  for (const double mineral : {2.0, 30.0, 5000.0}) {
    Growing rig(1, mineral);
    const Rates r(rig, 1.0);
    const double critical = 0.8 * 30 * 4, want = ramp(0.2 * critical, 0.05 * critical) / 2;
    double supply = 0;
    for (std::size_t l = 0; l < 4; ++l) {
      const double n = mineral * rig.soil.thickness_mm[l] / 600;
      supply += 0.05 * n * n / (n + 1);
    }
    EXPECT_NEAR(r.of(r.c.map().taken), smin(want, supply), 1e-10 * want) << mineral;
    EXPECT_LE(r.of(r.c.map().taken), std::min(want, supply));
  }
}

TEST(ColumnPlant, TakesAmmoniumAtItsSmallerReach) {
  Growing nitrate(1, 50, 0), ammonium(1, 50, 1);
  nitrate.plant->host.catch_up_d = ammonium.plant->host.catch_up_d = 0.001;  // so that supply is the limit
  const Rates a(ammonium, 0.5), n(nitrate, 0.5);
  EXPECT_NEAR(a.of(a.c.map().taken) / n.of(n.c.map().taken), 0.2, 1e-3);
}

TEST(ColumnPlant, LeavesWhatItCannotReach) {
  Growing rig(1, 100);
  for (std::size_t l = 2; l < 4; ++l) rig.climate.reach_per_day[l] = 0;
  const Rates r(rig, 0.9);
  EXPECT_EQ(r.of(r.c.map().nitrate_fast + 2), 0);
  EXPECT_LT(r.of(r.c.map().nitrate_fast + 0), 0);
}

TEST(ColumnPlant, ReserveComesFirst) {
  Growing rig(1);
  rig.plant->host.reserve_share = 0.2, rig.climate.w_reference_t_ha = 30;
  const Rates r(rig, 1.0);
  const double critical = 0.8 * 30 * 4, want = ramp(0.2 * critical, 0.05 * critical) / 2, reserve = 0.2 * 0.8 * 30 * 30;
  const double back = smin(want, 0.05 * reserve);
  EXPECT_NEAR(-r.of(r.c.map().reserve), back, 1e-10);
  EXPECT_NEAR(r.of(r.c.map().plant), r.of(r.c.map().taken) + back, 1e-10);
  EXPECT_NEAR(r.c.need()[0], want - back, 1e-10);
}

TEST(ColumnPlant, FixersTakeTheirShareFromTheAir) {
  Growing rig(1);
  rig.climate.fixed_frac.assign(1, 0.75);
  const Rates r(rig, 1.0);
  const double critical = 0.8 * 30 * 4, want = ramp(0.2 * critical, 0.05 * critical) / 2;
  EXPECT_NEAR(r.of(r.c.map().fixed), 0.75 * want, 1e-10);
  EXPECT_NEAR(r.c.need()[0], 0.25 * want, 1e-10);
  EXPECT_NEAR(r.of(r.c.map().plant), r.of(r.c.map().taken) + r.of(r.c.map().fixed), 1e-10);
  rig.climate.fixed_frac.assign(1, 1.0);
  EXPECT_EQ(Rates(rig, 1.0).of(r.c.map().taken), 0);
}

TEST(ColumnPlant, SleepsInTheCold) {
  Growing rig(1);
  rig.climate.f_t.assign(1, 0.0);
  const Rates r(rig, 0.5);
  EXPECT_EQ(r.of(r.c.map().taken), 0);
  EXPECT_EQ(r.of(r.c.map().reserve), 0);
  rig.climate.f_t.assign(1, 0.01);
  const Rates half(rig, 0.5);
  rig.climate.f_t.assign(1, 0.02);
  const Rates whole(rig, 0.5);
  EXPECT_NEAR(half.c.need()[0], whole.c.need()[0] / 2, 1e-10) << "want x min(1, f_T/0.02)";
}

TEST(ColumnPlant, GrowsSlowerWhenShortOrDry) {
  Growing rig(1);
  const Rates well(rig, 1.2), poor(rig, 0.5);
  EXPECT_NEAR(poor.of(poor.c.map().w) / well.of(well.c.map().w), 0.5, 0.01);
  rig.climate.stress.assign(1, 0.3);
  const Rates dry(rig, 1.2);
  EXPECT_NEAR(dry.of(dry.c.map().w) / well.of(well.c.map().w), 0.3, 1e-12);
}

// In a small store all is taken in the end but what roots cannot clear, and nothing is overdrawn.
TEST(ColumnPlant, NeverOverdrawsTheSoil) {
  Growing rig(200, 10);
  rig.climate.reach_per_day.assign(200 * 4, 0.5);
  double before = 10;
  testing::run(rig, [&](std::size_t, ColumnBatch& c) {
    const double n = testing::nitrate(c);
    EXPECT_GE(n, 0);
    EXPECT_LE(n, before + 1e-12);
    before = n;
    EXPECT_NEAR(n + c.at(c.map().taken, 0), 10, 1e-9);
  });
  EXPECT_LT(before, 1);
}

// The index of the first day when plant N stands still: NNI = N over critical.
TEST(ColumnPlant, NutritionIndexIsPlantOverCritical) {
  Growing rig(30, 200);
  const auto season = run_labelled(rig.shape, rig.member(), 0, "test");
  for (std::size_t d = 0; d < 30; ++d) {
    EXPECT_NEAR(season.plant.nni[d], season.plant.plant_kg_n_ha[d] / season.plant.critical_kg_n_ha[d], 1e-12);
    EXPECT_NEAR(season.plant.critical_kg_n_ha[d], 0.8 * 30 * season.plant.w_t_ha[d], 1e-9);
    EXPECT_LE(season.plant.nni[d], 1.2 + 1e-9) << "the luxury ceiling";
  }
}

// Days in hand: what roots can reach over the mean need of the next seven days.
TEST(ColumnPlant, DaysInHand) {
  Growing rig(30, 60);
  const auto s = run_labelled(rig.shape, rig.member(), 0, "test");
  const std::size_t d = 10;
  double there = 0, need = 0;
  for (std::size_t l = 0; l < 4; ++l) there += 0.5 * (s.nitrate[d * 4 + l] + 0.2 * s.ammonium[d * 4 + l]);
  for (std::size_t e = d + 1; e <= d + 7; ++e) need += s.need[e] / 7;
  EXPECT_NEAR(s.plant.days_in_hand[d], there / need, 1e-9);
}

}  // namespace
}  // namespace leafhunger
