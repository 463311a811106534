// Mulches that are feeds shield the soil by what is left of them. equations.md 4.3: the twin never starves, so straw shrinks as its carbon
// goes whatever the soil's nitrogen.
#include "core/mulch_twin.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "host/garden_plan.hpp"
#include "support/garden.hpp"
#include "support/models.hpp"

namespace leafhunger {
namespace {

constexpr Date k_day = std::chrono::sys_days{std::chrono::year{2001} / 1 / 1};
const Moisture k_moist{0.27, 0.27, 0.12, 0.5625, 1};  // loam at field capacity

MulchMaterial straw(double fast_frac = 1) {
  MulchMaterial m;
  m.model = &testing::release("organic-two-pool");
  m.parameter = testing::parameters(m.model->about, {{"carbon_to_nitrogen", 80},
                                                     {"fast_frac", fast_frac},
                                                     {"fast_per_day", 0.03},
                                                     {"slow_per_day", 0},
                                                     {"particle_wash_mm", 1e9},
                                                     {"mix_per_day", 0},
                                                     {"contact_frac", 0.5}});
  m.t_dm_per_kg_n = 0.2, m.mm_per_kg_n_ha = 2, m.conductivity_w_m_k = 0.15;
  return m;
}

TEST(MulchTwin, DecaysAtTheModelsOwnRate) {
  const std::vector<MulchMaterial> materials{straw()};
  MulchTwin twin(materials);
  EXPECT_EQ(twin.depth_mm(), 0);
  EXPECT_EQ(twin.cover_frac(), 0);
  twin.give(0, 25, k_day);
  EXPECT_NEAR(twin.depth_mm(), 50, 1e-12);
  for (int d = 0; d < 100; ++d) twin.decay(25, k_moist, 0, 0, k_day);
  // At 25 degC and field capacity in loam the law of warmth is 1; moisture takes its share in the wet limb.
  const double wet = find_moisture_response("relative_wet")->value(k_moist);
  EXPECT_NEAR(twin.depth_mm(), 50 * std::exp(-0.03 * 0.5 * wet * 100), 1e-9);
}

TEST(MulchTwin, ShieldsByWhatIsLeft) {
  const std::vector<MulchMaterial> materials{straw(0)};  // no fast share: nothing decays
  MulchTwin twin(materials);
  twin.give(0, 10, k_day);
  twin.give(0, 5, k_day);
  EXPECT_NEAR(twin.depth_mm(), 30, 1e-12);
  EXPECT_NEAR(twin.resistance_m2k_w(), 0.030 / 0.15, 1e-12);
  EXPECT_NEAR(twin.cover_frac(), 1 - std::exp(-3.0), 1e-12);
  twin.decay(20, k_moist, 5, 2, k_day);
  EXPECT_NEAR(twin.depth_mm(), 30, 1e-6);
}

TEST(MulchTwin, ColdAndDryKeepIt) {
  const std::vector<MulchMaterial> materials{straw()};
  const auto left = [&](double t_c, double theta) {
    MulchTwin twin(materials);
    twin.give(0, 25, k_day);
    for (int d = 0; d < 60; ++d) twin.decay(t_c, {theta, 0.27, 0.12, theta / 0.48, (theta - 0.12) / 0.15}, 0, 0, k_day);
    return twin.depth_mm();
  };
  EXPECT_LT(left(20, 0.25), left(10, 0.25));
  EXPECT_LT(left(15, 0.25), left(15, 0.14));
}

// A whole garden: the same beds with and without 8 cm of straw from November on.
TEST(MulchFeeding, InsulatesShrinksAndSavesWater) {
  const auto climate = [](double kg_m2) {
    Scenario s = testing::empty_scenario(3);
    s.beds = {testing::bed("Bed", 10)};
    s.beds[0].plantings = {testing::planting(s, "Bananas", "hardy-banana", 3)};
    Material straw = s.catalogue.materials.at("straw");
    straw.bulk_density_kg_m3 = 60;
    s.catalogue.materials["straw"] = straw;
    if (kg_m2 > 0) s.feedings.push_back(testing::broadcast("straw", {11, 5}, kg_m2 * 1000, "Bed"));
    const Garden g = testing::garden_of(std::move(s));
    const auto& plan = g.plan();
    const auto days = days_of_season(plan, g.seasons().back());
    const Date first = season_first(plan.scenario.site, g.seasons().back());
    return climate_of(plan, plan.columns[0], days, doses_of(plan, plan.columns[0], first, days.season.size()));
  };
  const SoilClimate bare = climate(0), mulched = climate(4.8);
  EXPECT_NEAR(mulched.mulch_mm[4], 80, 1e-6) << "4.8 kg of a straw of 60 kg/m3 on each square metre";
  EXPECT_EQ(mulched.mulch_mm[3], 0);
  for (std::size_t d = 5; d < mulched.days; ++d) ASSERT_LE(mulched.mulch_mm[d], mulched.mulch_mm[d - 1]);
  EXPECT_LT(mulched.mulch_mm[mulched.days - 1], 70);
  const auto mean = [](const SoilClimate& c, std::size_t from, std::size_t to) {
    double sum = 0;
    for (std::size_t d = from; d < to; ++d) sum += c.at(c.t_c, d, 1);
    return sum / static_cast<double>(to - from);
  };
  EXPECT_GT(mean(mulched, 61, 92), mean(bare, 61, 92) + 0.3) << "January";
  EXPECT_LT(mean(mulched, 181, 212), mean(bare, 181, 212) - 0.3) << "May";
  double wet = 0, dry = 0;
  for (std::size_t d = 0; d < bare.days; ++d) wet += mulched.evaporated_mm[d], dry += bare.evaporated_mm[d];
  EXPECT_LT(wet, 0.8 * dry);
}

}  // namespace
}  // namespace leafhunger
