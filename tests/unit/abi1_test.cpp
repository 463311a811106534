// ABI 1 is frozen: offsets and sizes as they were then, on a machine with 64-bit pointers, and a plugin built from the header of that day.
#include <gtest/gtest.h>

#include <cmath>
#include <cstddef>

#include "leafhunger/plugin.h"
#include "support/models.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

// Structs that begin with `size` may only grow at their end; then its sizeof, here, becomes "at least".
static_assert(sizeof(lh_parameter) == 56);
static_assert(offsetof(lh_parameter, name) == 0);
static_assert(offsetof(lh_parameter, unit) == 8);
static_assert(offsetof(lh_parameter, meaning) == 16);
static_assert(offsetof(lh_parameter, source) == 24);
static_assert(offsetof(lh_parameter, def) == 32);
static_assert(offsetof(lh_parameter, lower) == 40);
static_assert(offsetof(lh_parameter, upper) == 48);

static_assert(sizeof(lh_named) == 24);
static_assert(offsetof(lh_named, name) == 0);
static_assert(offsetof(lh_named, unit) == 8);
static_assert(offsetof(lh_named, meaning) == 16);

static_assert(sizeof(lh_response) == 40);
static_assert(offsetof(lh_response, name) == 0);
static_assert(offsetof(lh_response, temperature) == 8);
static_assert(offsetof(lh_response, moisture) == 16);
static_assert(offsetof(lh_response, place) == 24);
static_assert(offsetof(lh_response, t_ref_c) == 28);
static_assert(offsetof(lh_response, q) == 32);

static_assert(sizeof(lh_pool) == 32);
static_assert(offsetof(lh_pool, name) == 0);
static_assert(offsetof(lh_pool, place) == 8);
static_assert(offsetof(lh_pool, kind) == 12);
static_assert(offsetof(lh_pool, wash_to) == 16);
static_assert(offsetof(lh_pool, wash_mm) == 20);
static_assert(offsetof(lh_pool, mix_per_day) == 24);

static_assert(sizeof(lh_flow) == 24);
static_assert(offsetof(lh_flow, name) == 0);
static_assert(offsetof(lh_flow, from) == 8);
static_assert(offsetof(lh_flow, to) == 12);
static_assert(offsetof(lh_flow, driver) == 16);
static_assert(offsetof(lh_flow, starves) == 20);
static_assert(offsetof(lh_flow, bends) == 21);
static_assert(offsetof(lh_flow, unused) == 22);

static_assert(sizeof(lh_table) == 32);
static_assert(offsetof(lh_table, name) == 0);
static_assert(offsetof(lh_table, n) == 8);
static_assert(offsetof(lh_table, x) == 16);
static_assert(offsetof(lh_table, y) == 24);

static_assert(sizeof(lh_day) == 152);
static_assert(offsetof(lh_day, size) == 0);
static_assert(offsetof(lh_day, m) == 4);
static_assert(offsetof(lh_day, m_pad) == 8);
static_assert(offsetof(lh_day, n_table) == 12);
static_assert(offsetof(lh_day, table) == 16);
static_assert(offsetof(lh_day, parameter) == 24);
static_assert(offsetof(lh_day, response) == 32);
static_assert(offsetof(lh_day, day_of_year) == 40);
static_assert(offsetof(lh_day, t_min_c) == 48);
static_assert(offsetof(lh_day, t_max_c) == 56);
static_assert(offsetof(lh_day, radiation_mj_m2) == 64);
static_assert(offsetof(lh_day, day_length_h) == 72);
static_assert(offsetof(lh_day, rain_mm) == 80);
static_assert(offsetof(lh_day, rain3_mm) == 88);
static_assert(offsetof(lh_day, t_soil_c) == 96);
static_assert(offsetof(lh_day, wfps_frac) == 104);
static_assert(offsetof(lh_day, rel_water_frac) == 112);
static_assert(offsetof(lh_day, age_d) == 120);
static_assert(offsetof(lh_day, given_kg_n_ha) == 128);
static_assert(offsetof(lh_day, given_t_dm_ha) == 136);
static_assert(offsetof(lh_day, mulch_t_dm_ha) == 144);

static_assert(sizeof(lh_about) == 64);
static_assert(offsetof(lh_about, name) == 0);
static_assert(offsetof(lh_about, version) == 8);
static_assert(offsetof(lh_about, summary) == 16);
static_assert(offsetof(lh_about, licence) == 24);
static_assert(offsetof(lh_about, source) == 32);
static_assert(offsetof(lh_about, n_parameter) == 40);
static_assert(offsetof(lh_about, parameter) == 48);
static_assert(offsetof(lh_about, check) == 56);

static_assert(sizeof(lh_release) == 144);
static_assert(offsetof(lh_release, size) == 0);
static_assert(offsetof(lh_release, about) == 8);
static_assert(offsetof(lh_release, n_response) == 72);
static_assert(offsetof(lh_release, n_pool) == 76);
static_assert(offsetof(lh_release, n_flow) == 80);
static_assert(offsetof(lh_release, n_age) == 84);
static_assert(offsetof(lh_release, response) == 88);
static_assert(offsetof(lh_release, pool) == 96);
static_assert(offsetof(lh_release, flow) == 104);
static_assert(offsetof(lh_release, age) == 112);
static_assert(offsetof(lh_release, start) == 120);
static_assert(offsetof(lh_release, rates) == 128);
static_assert(offsetof(lh_release, bend) == 136);

static_assert(sizeof(lh_morning) == 88);
static_assert(offsetof(lh_morning, size) == 0);
static_assert(offsetof(lh_morning, awake) == 8);
static_assert(offsetof(lh_morning, f_t) == 16);
static_assert(offsetof(lh_morning, cover_frac) == 24);
static_assert(offsetof(lh_morning, k_cb) == 32);
static_assert(offsetof(lh_morning, p_depletion) == 40);
static_assert(offsetof(lh_morning, root_front_mm) == 48);
static_assert(offsetof(lh_morning, luxury) == 56);
static_assert(offsetof(lh_morning, fixed_frac) == 64);
static_assert(offsetof(lh_morning, keep_frac) == 72);
static_assert(offsetof(lh_morning, reserve_frac) == 80);

static_assert(sizeof(lh_demand) == 128);
static_assert(offsetof(lh_demand, size) == 0);
static_assert(offsetof(lh_demand, about) == 8);
static_assert(offsetof(lh_demand, n_memory) == 72);
static_assert(offsetof(lh_demand, n_factor) == 76);
static_assert(offsetof(lh_demand, memory) == 80);
static_assert(offsetof(lh_demand, factor) == 88);
static_assert(offsetof(lh_demand, start) == 96);
static_assert(offsetof(lh_demand, morning) == 104);
static_assert(offsetof(lh_demand, critical) == 112);
static_assert(offsetof(lh_demand, grow) == 120);

static_assert(sizeof(lh_plugins) == 32);
static_assert(offsetof(lh_plugins, abi) == 0);
static_assert(offsetof(lh_plugins, size) == 4);
static_assert(offsetof(lh_plugins, n_release) == 8);
static_assert(offsetof(lh_plugins, n_demand) == 12);
static_assert(offsetof(lh_plugins, release) == 16);
static_assert(offsetof(lh_plugins, demand) == 24);

static_assert(LH_ABI == 1 && LH_NONE == -1);
static_assert(LH_OK == 0 && LH_BAD_PARAMETER == 1 && LH_FAILED == 2);
static_assert(LH_AMMONIUM == -2 && LH_NITRATE == -3 && LH_MINERAL == -4 && LH_SURFACE_AMMONIUM == -5 && LH_AIR == -6);
static_assert(LH_SURFACE == 0 && LH_SOIL == 1 && LH_UNFREED == 0 && LH_MICROBES == 1 && LH_HUMUS == 2);

std::shared_ptr<PluginRegistry> frozen() {
  auto fresh = std::make_shared<PluginRegistry>();
  const LoadReport report = load_plugins(*fresh, {std::string(LEAFHUNGER_TEST_PLUGIN_DIR) + "/abi1"});
  EXPECT_FALSE(report.any_refused()) << report.summary();
  return fresh;
}

TEST(Abi1, APluginOfThatDayIsFoundWhole) {
  const auto models = frozen();
  ASSERT_NE(models->release("frozen-grain"), nullptr);
  ASSERT_NE(models->demand("frozen-plant"), nullptr);
  const lh_release& m = *models->release("frozen-grain")->table;
  EXPECT_EQ(m.size, 144u);
  EXPECT_EQ(m.n_pool, 2);
  EXPECT_STREQ(m.flow[2].name, "tied up");
  EXPECT_EQ(m.flow[2].from, LH_MINERAL);
}

// Each of its functions is called as it was meant: closed forms of a pool that is washed in, freed, bent and aged.
TEST(Abi1, ItStillRuns) {
  const auto models = frozen();
  testing::Rig rig(10, 20);
  const lh_release& grain = *models->release("frozen-grain")->table;
  rig.shape.slots.push_back({&grain, 0});
  SlotMaterial material;
  material.parameter = default_parameters(grain.about);
  material.surface = {0, 0, 1, 5.5};
  rig.materials.push_back(material);
  rig.climate.rain_mm.assign(10, 2);
  rig.feed(0, 0, 100);
  testing::run(rig, [&](std::size_t d, ColumnBatch& c) {
    const double t = static_cast<double>(d + 1);
    EXPECT_NEAR(testing::pool(c, 0, "grains"), 100 * std::exp(-(0.2 + 0.5 * 0.05) * t), 1e-9)
        << "washed in at 2 mm over 10, bent by a half";
    EXPECT_NEAR(c.at(c.map().slot[0].first_age, 0), 2 * t, 1e-9) << "q10 2 at 20 degC over 10";
  });
}

TEST(Abi1, ItsPlantStillGrows) {
  const auto models = frozen();
  testing::Rig rig(20, 20);
  PlantOnGround p;
  p.model = models->demand("frozen-plant")->table;
  p.parameter = default_parameters(p.model->about);
  p.cover = 0.8;
  rig.plant = p;
  rig.shape.demand = p.model;
  double w = 0;
  testing::run(rig, [&](std::size_t, ColumnBatch& c) { w = c.at(c.map().w, 0); });
  EXPECT_GT(w, 0.5);
}

}  // namespace
}  // namespace leafhunger
