// What happens at 00: feeding, forking in, watering in, cutting back.
#include <gtest/gtest.h>

#include <cmath>

#include "leafhunger/error.hpp"
#include "plugins/sample.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::pool;
using testing::Rig;

// The column on the morning of day `d`, after that day's events.
struct Morning {
  Member member;
  ColumnBatch c;
  Morning(const Rig& rig, std::size_t d) : member(rig.member()), c(rig.shape, {&member, 1}, 1) {
    c.start();
    for (std::size_t k = 0; k <= d; ++k) c.begin_day(k);
  }
};

TEST(ColumnFeeding, LiesOnTheSurfaceFromItsOwnMorningOn) {
  Rig rig(3, 10);
  rig.feed(1, rig.add("organic-two-pool", {{"ready_frac", 0.2}, {"fast_frac", 0.6}}), 50);
  EXPECT_EQ(pool(Morning(rig, 0).c, 0, "fast on top"), 0);
  Morning on(rig, 1);
  EXPECT_NEAR(pool(on.c, 0, "fast on top"), 50 * 0.8 * 0.6, 1e-12);
  EXPECT_NEAR(pool(on.c, 0, "slow on top"), 50 * 0.8 * 0.4, 1e-12);
  EXPECT_NEAR(pool(on.c, 0, "ready on top"), 50 * 0.2, 1e-12);
  EXPECT_EQ(pool(on.c, 0, "fast in soil"), 0);
}

TEST(ColumnFeeding, TwoOfADayAndTwoOnTwoDaysAddUp) {
  Rig rig(4, 10);
  const std::size_t slot = rig.add("organic-two-pool", {{"ready_frac", 0}, {"fast_frac", 1}});
  rig.feed(1, slot, 10), rig.feed(1, slot, 5), rig.feed(3, slot, 7);
  EXPECT_NEAR(pool(Morning(rig, 1).c, 0, "fast on top"), 15, 1e-12);
  EXPECT_NEAR(pool(Morning(rig, 3).c, 0, "fast on top"), 22, 1e-12) << "begin_day alone moves no time";
}

TEST(ColumnFeeding, ForkedInLiesInItsLayersByThickness) {
  Rig rig(2, 10);
  const std::size_t slot = rig.add("soluble-salt", {{"nitrate_frac", 0.5}}, 100);
  rig.feed(0, slot, 60);
  Morning m(rig, 0);
  const RowMap& map = m.c.map();
  EXPECT_EQ(m.c.at(map.slot[0].surface_ammonium, 0), 0);
  EXPECT_EQ(pool(m.c, 0, "nitrate on top"), 0);
  for (const auto& [layer, share] : {std::pair{std::size_t{0}, 0.5}, {std::size_t{1}, 0.5}, {std::size_t{2}, 0.0}}) {
    EXPECT_NEAR(m.c.at(map.ammonium + layer, 0), 30 * share, 1e-12);
    EXPECT_NEAR(m.c.at(map.nitrate_fast + layer, 0), 30 * share * 0.53, 1e-12) << "what is washed or forked in dissolved: phi_w";
    EXPECT_NEAR(m.c.at(map.nitrate_slow + layer, 0), 30 * share * 0.47, 1e-12);
  }
}

TEST(ColumnFeeding, ForkedDeeperThanTheColumnEndsAtItsFloor) {
  Rig rig(2, 10);
  rig.feed(0, rig.add("soluble-salt", {{"nitrate_frac", 0}}, 5000), 60);
  Morning m(rig, 0);
  for (std::size_t l = 0; l < 4; ++l) EXPECT_NEAR(m.c.at(m.c.map().ammonium + l, 0), 60 * rig.soil.thickness_mm[l] / 600, 1e-12);
}

TEST(ColumnFeeding, ALiquidIsInAtOnce) {
  Rig rig(2, 10);
  rig.feed(0, rig.add("soluble-salt", {{"nitrate_frac", 0.5}, {"dissolved_wash_mm", 0}}, 0, {0.05, 0.05, 1, 0}), 40);
  Morning m(rig, 0);
  EXPECT_NEAR(m.c.at(m.c.map().ammonium, 0), 20, 1e-12);
  EXPECT_NEAR(m.c.at(m.c.map().nitrate_fast, 0), 20 * 0.53, 1e-12);
  EXPECT_NEAR(m.c.at(m.c.map().nitrate_slow, 0), 20 * 0.47, 1e-12);
  EXPECT_EQ(m.c.at(m.c.map().slot[0].surface_ammonium, 0), 0);
}

TEST(ColumnWateringIn, LeavesTheExponentialOnTop) {
  Rig rig(2, 10);
  const std::size_t slot = rig.add("organic-two-pool", {{"ready_frac", 0}, {"fast_frac", 1}, {"particle_wash_mm", 10}});
  rig.feed(0, slot, 100, 7);
  Morning m(rig, 0);
  EXPECT_NEAR(pool(m.c, 0, "fast on top"), 100 * std::exp(-0.7), 1e-10);
  EXPECT_NEAR(pool(m.c, 0, "fast in soil"), 100 * (1 - std::exp(-0.7)), 1e-10);
}

TEST(ColumnWateringIn, CarriesSurfaceAmmoniumAndNitrate) {
  Rig rig(2, 10);
  rig.feed(0, rig.add("soluble-salt", {{"nitrate_frac", 0.5}, {"dissolved_wash_mm", 4}}, 0, {0, 0, 1, 5.5}), 100, 8);
  Morning m(rig, 0);
  EXPECT_NEAR(m.c.at(m.c.map().slot[0].surface_ammonium, 0), 50 * std::exp(-8 / 5.5), 1e-10);
  EXPECT_NEAR(m.c.at(m.c.map().ammonium, 0), 50 * (1 - std::exp(-8 / 5.5)), 1e-10);
  EXPECT_NEAR(pool(m.c, 0, "nitrate on top"), 50 * std::exp(-2), 1e-10);
  EXPECT_NEAR(m.c.at(m.c.map().nitrate_fast, 0), 0.53 * 50 * (1 - std::exp(-2)), 1e-10);
}

TEST(ColumnWateringIn, WatersWhatLayThereBefore) {
  Rig rig(3, 10);
  const std::size_t old = rig.add("organic-two-pool", {{"ready_frac", 0}, {"fast_frac", 1}, {"particle_wash_mm", 10}}),
                    fresh = rig.add("soluble-salt");
  rig.feed(0, old, 100);
  rig.feed(1, fresh, 10, 5);
  EXPECT_NEAR(pool(Morning(rig, 1).c, old, "fast on top"), 100 * std::exp(-0.5), 1e-10) << "water falls on all that lies there";
}

TEST(ColumnWateringIn, WateringByDateWashesInLikeAnyOther) {
  Rig rig(3, 10);
  const std::size_t slot = rig.add("organic-two-pool", {{"ready_frac", 0}, {"fast_frac", 1}, {"particle_wash_mm", 10}});
  rig.feed(0, slot, 100, 3);
  rig.climate.by_hand_mm = {3 + 4, 5, 0};  // 4 mm by date on the day of the feeding, 5 mm on the next; the row holds watering-in too
  EXPECT_NEAR(pool(Morning(rig, 0).c, 0, "fast on top"), 100 * std::exp(-0.7), 1e-10);
  EXPECT_NEAR(pool(Morning(rig, 1).c, 0, "fast on top"), 100 * std::exp(-1.2), 1e-10);
  EXPECT_NEAR(pool(Morning(rig, 2).c, 0, "fast on top"), 100 * std::exp(-1.2), 1e-10);
}

TEST(ColumnWateringIn, TenMillimetresOnceAreFiveTwice) {
  const auto left = [](std::vector<double> mm) {
    Rig rig(1, 10);
    const std::size_t slot = rig.add("organic-two-pool", {{"ready_frac", 0}, {"fast_frac", 1}, {"particle_wash_mm", 10}});
    rig.feed(0, slot, 100, mm[0]);
    if (mm.size() > 1) rig.feed(0, slot, 0, mm[1]);
    return pool(Morning(rig, 0).c, 0, "fast on top");
  };
  EXPECT_NEAR(left({10}), left({5, 5}), 1e-10);
}

TEST(ColumnCuttingBack, ShareKeptAndReturned) {
  Rig rig(3, 10);
  rig.grow("sample-steady-grower", 1);
  rig.climate.luxury.assign(3, 1.2);
  rig.climate.w_reference_t_ha = 4;
  rig.climate.keep_frac[1] = 0.25, rig.climate.reserve_frac[1] = 0.46;
  const Member member = rig.member();
  ColumnBatch c(rig.shape, {&member, 1}, 1);
  c.start();
  c.begin_day(0);
  const double plant = c.at(c.map().plant, 0), reserve = c.at(c.map().reserve, 0), w = c.at(c.map().w, 0);
  c.begin_day(1);
  EXPECT_NEAR(c.at(c.map().w, 0), 0.25 * w, 1e-14);
  EXPECT_NEAR(c.at(c.map().plant, 0), 0.25 * plant, 1e-12);
  EXPECT_NEAR(c.at(c.map().reserve, 0), reserve + 0.75 * 0.46 * plant, 1e-12);
  EXPECT_NEAR(c.at(c.map().litter, 0), 0.75 * 0.54 * plant, 1e-12);
}

TEST(ColumnCuttingBack, ToNothingLosesNothing) {
  Rig rig(2, 10);
  rig.grow("sample-steady-grower", 1);
  rig.climate.keep_frac[0] = 0, rig.climate.reserve_frac[0] = 1;
  const Member member = rig.member();
  ColumnBatch c(rig.shape, {&member, 1}, 1);
  c.start();
  const double plant = c.at(c.map().plant, 0), reserve = c.at(c.map().reserve, 0);
  c.begin_day(0);
  EXPECT_EQ(c.at(c.map().plant, 0), 0);
  EXPECT_NEAR(c.at(c.map().reserve, 0), plant + reserve, 1e-12) << "all of it to the reserve, and no 0/0 for the litter";
  EXPECT_FALSE(std::isnan(c.at(c.map().litter, 0)));
}

// A plugin that breaks its word is named with its model, function and day.
std::string fault_of(const lh_release& model, std::size_t days, double kg = 10) {
  Rig rig(days, 10);
  rig.shape.slots.push_back({&model, 0});
  SlotMaterial material;
  material.parameter = default_parameters(model.about);
  rig.materials.push_back(material);
  rig.feed(0, 0, kg);
  try {
    testing::run(rig, [](std::size_t, ColumnBatch&) {});
  } catch (const PluginError& e) {
    EXPECT_FALSE(e.at_load());
    return e.what();
  }
  return "";
}

TEST(ColumnPluginFaults, AreNamed) {
  EXPECT_EQ(fault_of(sample::release("sample"), 3), "");
  lh_release lossy = sample::release("lossy");
  lossy.start = [](const lh_day* day, double* p, double* a, double*) -> int32_t {
    for (int i = 0; i < day->m_pad; ++i) p[i] = day->given_kg_n_ha[i] * (1 - 1e-9), a[i] = 0;
    return LH_OK;
  };
  const std::string sentence = fault_of(lossy, 3);
  EXPECT_NE(sentence.find("lossy"), std::string::npos) << sentence;
  EXPECT_NE(sentence.find("start"), std::string::npos) << sentence;
  EXPECT_NE(sentence.find("2003-11-01"), std::string::npos) << sentence;
}

TEST(ColumnPluginFaults, AMassThatSumsInRoundingIsGood) {
  lh_release rounding = sample::release("rounding");
  rounding.start = [](const lh_day* day, double* p, double* a, double*) -> int32_t {
    for (int i = 0; i < day->m_pad; ++i) p[i] = day->given_kg_n_ha[i] * (1 + 4e-13), a[i] = 0;
    return LH_OK;
  };
  EXPECT_EQ(fault_of(rounding, 2), "") << "4e-13 of what was given is rounding";
}

}  // namespace
}  // namespace leafhunger
