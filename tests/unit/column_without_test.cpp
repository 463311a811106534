// Runs with one limit taken away: each takes away what it says, from the day it says, and nothing else.
#include <gtest/gtest.h>

#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::Rig;

struct Wet : Rig {
  Wet() : Rig(30, 8, make_soil(*find_texture("loam"), 3)) {
    nitrogen = NitrogenConstants{};
    climate.rain_mm.assign(30, 2);
    climate.drained_mm.assign(30 * 4, 4);
    climate.wfps_frac.assign(30 * 4, 0.75);
    climate.available_frac.assign(30 * 4, 0.4);
    grow("sample-steady-grower", 0.8);
    climate.luxury.assign(30, 1.2);
    climate.f_t.assign(30, 0.5);
    climate.stress.assign(30, 0.6);
    climate.reach_per_day.assign(30 * 4, 0.005);
    climate.reach_wet_per_day.assign(30 * 4, 0.02);
    plant->host.reserve_share = 0;
    feed(2, add("organic-two-pool", {{"ready_frac", 0.3}}, 0, {0.085, 0.065, 1, 5.5}), 100);
  }
};

struct Came {
  Ledger ledger;
  double w;
};

Came came_of(Wet& rig, Without without, std::size_t from = 0) {
  Member m = rig.member();
  m.without = without, m.without_from = from;
  const auto briefs = run_batch(rig.shape, {&m, 1}, 1);
  return {briefs[0].ledger, briefs[0].plant.w_t_ha.back()};
}

TEST(ColumnWithout, Leaching) {
  Wet rig;
  EXPECT_GT(came_of(rig, Without::nothing).ledger.leached, 1);
  EXPECT_EQ(came_of(rig, Without::leaching).ledger.leached, 0);
  EXPECT_GT(came_of(rig, Without::leaching).ledger.denitrified, 0) << "gas goes on";
}

TEST(ColumnWithout, Gas) {
  Wet rig;
  const Ledger as_it_was = came_of(rig, Without::nothing).ledger, without = came_of(rig, Without::gas).ledger;
  EXPECT_GT(as_it_was.volatilised, 0);
  EXPECT_GT(as_it_was.denitrified, 0);
  EXPECT_EQ(without.volatilised, 0);
  EXPECT_EQ(without.denitrified, 0);
  EXPECT_GT(without.leached, 0);
}

TEST(ColumnWithout, Cold) {
  Wet rig;
  EXPECT_GT(came_of(rig, Without::cold).ledger.from_soil, 1.5 * came_of(rig, Without::nothing).ledger.from_soil);
  EXPECT_LT(came_of(rig, Without::cold).ledger.unfreed, came_of(rig, Without::nothing).ledger.unfreed);
}

TEST(ColumnWithout, Drought) {
  Wet rig;
  const Came as_it_was = came_of(rig, Without::nothing), without = came_of(rig, Without::drought);
  EXPECT_GT(without.w, as_it_was.w) << "no stress";
  EXPECT_GT(without.ledger.from_soil, as_it_was.ledger.from_soil) << "no moisture limit on release";
  EXPECT_GT(without.ledger.taken, as_it_was.ledger.taken) << "roots reach as in moist soil";
}

TEST(ColumnWithout, Waiting) {
  Wet rig;
  const Ledger without = came_of(rig, Without::waiting).ledger;
  EXPECT_EQ(without.unfreed, 0) << "all of it is mineral from the first hour";
  EXPECT_EQ(without.microbes, 0);
  EXPECT_EQ(without.volatilised, 0);
}

TEST(ColumnWithout, Distance) {
  Wet rig;
  EXPECT_GT(came_of(rig, Without::distance).ledger.taken, 2 * came_of(rig, Without::nothing).ledger.taken);
}

TEST(ColumnWithout, ActsFromItsDayOn) {
  Wet rig;
  const double whole = came_of(rig, Without::nothing).ledger.leached;
  const double half = came_of(rig, Without::leaching, 15).ledger.leached;
  EXPECT_GT(half, 0);
  EXPECT_LT(half, whole);
  EXPECT_EQ(came_of(rig, Without::leaching, 30).ledger.leached, whole) << "after the end: as it was, to the last digit";
}

TEST(ColumnWithout, LedgersCloseAllTheSame) {
  Wet rig;
  for (const Without w :
       {Without::nothing, Without::leaching, Without::gas, Without::cold, Without::drought, Without::waiting, Without::distance})
    EXPECT_NEAR(came_of(rig, w).ledger.relative_residual(), 0, 1e-12);
}

}  // namespace
}  // namespace leafhunger
