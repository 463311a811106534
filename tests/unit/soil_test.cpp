#include "leafhunger/soil.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numeric>
#include <string>

#include "leafhunger/error.hpp"

namespace {

using namespace leafhunger;

const Texture& loam() { return *find_texture("loam"); }

double organic_total(const Soil& soil) {
  double total = 0;
  for (std::size_t l = 0; l < soil.layers(); ++l) total += soil.organic_matter_percent[l] * soil.thickness_mm[l];
  return total;
}

TEST(Textures, ValuesThatOthersRelyOn) {
  const Texture& t = loam();
  EXPECT_EQ(t.theta_fc, 0.27);
  EXPECT_EQ(t.theta_wp, 0.12);
  EXPECT_EQ(t.theta_sat, 0.48);
  EXPECT_EQ(t.drain_time_d, 0.7);
  EXPECT_EQ(t.rew_mm, 9);
  EXPECT_EQ(t.infiltration_mm_per_day, 250);
  EXPECT_EQ(t.bulk_density_mg_m3, 1.3);
  EXPECT_EQ(t.k_sorption_l_kg, 4);
  EXPECT_EQ(find_texture("sand")->drain_time_d, 0.25);
  EXPECT_EQ(find_texture("sand")->infiltration_mm_per_day, 1000);
  EXPECT_EQ(find_texture("clay")->drain_time_d, 2.5);
  EXPECT_EQ(find_texture("clay")->infiltration_mm_per_day, 60);
  EXPECT_EQ(find_texture("silt loam")->k_sorption_l_kg, 5);
  EXPECT_EQ(find_texture("sand")->k_sorption_l_kg, 2.6);
  EXPECT_EQ(find_texture("Loam"), nullptr);
  EXPECT_EQ(find_texture(""), nullptr);
}

TEST(Textures, RunEvenlyFromCoarseToFine) {
  const auto& all = textures();
  for (std::size_t i = 0; i < all.size(); ++i) {
    EXPECT_LT(all[i].theta_wp, all[i].theta_fc);
    EXPECT_LT(all[i].theta_fc, all[i].theta_sat);
    if (i == 0) continue;
    EXPECT_GE(all[i].theta_sat, all[i - 1].theta_sat);
    EXPECT_GT(all[i].drain_time_d, all[i - 1].drain_time_d);
    EXPECT_LT(all[i].infiltration_mm_per_day, all[i - 1].infiltration_mm_per_day);
    EXPECT_LE(all[i].bulk_density_mg_m3, all[i - 1].bulk_density_mg_m3);
  }
}

// Pores 0.70-0.80 of the volume (solids 20 to 30 %: growers' article), water after drainage 0.43-0.59 (J. Environ. Hort. 5(4):180,
// abstract), at least a tenth of what is held out of reach (growers' training page).
TEST(Mixes, PottingMixIsInsideWhatIsPublished) {
  const auto& all = mixes();
  ASSERT_EQ(all.size(), textures().size() + 1);
  for (std::size_t i = 0; i < textures().size(); ++i) EXPECT_STREQ(all[i].name, textures()[i].name);
  const Texture& mix = all.back();
  EXPECT_STREQ(mix.name, "potting mix");
  EXPECT_EQ(find_texture("potting mix"), nullptr);  // no soil
  EXPECT_GE(mix.theta_sat, 0.70);
  EXPECT_LE(mix.theta_sat, 0.80);
  EXPECT_GE(mix.theta_fc, 0.43);
  EXPECT_LE(mix.theta_fc, 0.59);
  EXPECT_GE(mix.theta_wp, 0.1 * mix.theta_fc);
  // Peat at 0.45 of water, de Vries 1963: 0.13e-6 m2/s.
  EXPECT_NEAR(mix.conductivity_w_m_k / (mix.capacity_mj_m3_k * 1e6), 0.13e-6, 0.005e-6);
  EXPECT_LT(mix.rew_mm, 100 * (mix.theta_fc - mix.theta_wp / 2));  // below what can evaporate at all, FAO-56 eq 73
}

// equations.md 2.4, by hand: 1/(1/8 + 0.002/0.22) = 7.458, 1/(1/8 + 0.012/1.0) = 7.299, 1/(1/8 + 0.025/0.13) = 3.152,
// 1/(1/8 + 0.020/0.04) = 1.6.
TEST(PotWalls, ConductanceOfWallAndFilm) {
  const std::vector<std::pair<std::string, double>> expected = {{"plastic", 7.458}, {"clay", 7.299}, {"wood", 3.152}, {"insulated", 1.6}};
  ASSERT_EQ(pot_walls().size(), expected.size());
  for (std::size_t i = 0; i < expected.size(); ++i) {
    EXPECT_EQ(pot_walls()[i].name, expected[i].first);
    EXPECT_NEAR(pot_walls()[i].u_w_m2_k(), expected[i].second, 0.0005) << expected[i].first;
  }
}

TEST(MakeSoil, DefaultLayers) {
  const Soil soil = make_soil(loam(), 3);
  EXPECT_EQ(soil.thickness_mm, (std::vector<double>{50, 100, 150, 300}));
  EXPECT_EQ(soil.organic_matter_percent, (std::vector<double>{3, 3, 3, 0.5}));
  EXPECT_EQ(soil.depth_mm(), 600);
  EXPECT_EQ(soil.top_mm(3), 300);
  EXPECT_EQ(soil.middle_mm(1), 100);
  EXPECT_FALSE(soil.container);
  // 1 mg/kg in 100 mm of 1.3 Mg/m3: 1,300 t/ha of soil, 1.3 kg/ha.
  EXPECT_DOUBLE_EQ(soil.kg_ha_per_mg_kg(1), 1.3);
}

TEST(MakeSoil, LayerAcrossThreeHundredIsSplitByThickness) {
  const Soil soil = make_soil(loam(), 3, {200, 200, 200});
  EXPECT_DOUBLE_EQ(soil.organic_matter_percent[1], (3 + 0.5) / 2);
  EXPECT_DOUBLE_EQ(soil.organic_matter_percent[2], 0.5);
}

TEST(MakeSoil, OrganicMatterDoesNotHangOnTheLayers) {
  const double expected = organic_total(make_soil(loam(), 4));
  for (const auto& layers : {std::vector<double>{600}, {10, 590}, {290, 20, 290}, {100, 100, 100, 100, 100, 100}}) {
    EXPECT_NEAR(organic_total(make_soil(loam(), 4, layers)), expected, 1e-9);
  }
}

TEST(MakeSoil, RefusesThinLayersInOneSentence) {
  for (const double mm : {0.1, 9.99, 0.0, -50.0, std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()}) {
    EXPECT_THROW(make_soil(loam(), 3, {50, mm, 300}), InputError) << mm;
  }
  EXPECT_THROW(make_soil(loam(), 3, {}), InputError);
  EXPECT_NO_THROW(make_soil(loam(), 3, {10}));
  try {
    make_soil(loam(), 3, {0.1});
    FAIL();
  } catch (const InputError& error) {
    EXPECT_NE(std::string(error.what()).find("0.1 mm"), std::string::npos) << error.what();
    EXPECT_NE(std::string(error.what()).find("10 mm or more"), std::string::npos) << error.what();
  }
}

TEST(MakeContainer, LayersFollowTheDepth) {
  EXPECT_EQ(make_container(loam(), 5, 300, 0.3).thickness_mm, (std::vector<double>{50, 100, 150}));
  EXPECT_EQ(make_container(loam(), 5, 400, 0.3).thickness_mm, (std::vector<double>{50, 100, 125, 125}));
  EXPECT_EQ(make_container(loam(), 5, 100, 0.3).thickness_mm, (std::vector<double>{50, 50}));
  EXPECT_EQ(make_container(loam(), 5, 151, 0.3).thickness_mm, (std::vector<double>{50, 101}));
  for (double depth = 100; depth < 1200; depth += 7) {
    const Soil pot = make_container(loam(), 5, depth, 0.4);
    EXPECT_NEAR(pot.depth_mm(), depth, 1e-9);
    for (const double mm : pot.thickness_mm) {
      EXPECT_GE(mm, 25);
      EXPECT_LE(mm, 150 + 1e-9);
    }
    for (const double om : pot.organic_matter_percent) EXPECT_EQ(om, 5);  // one mix
    EXPECT_TRUE(pot.container);
    EXPECT_EQ(pot.container_diameter_m, 0.4);
  }
}

TEST(MakeContainer, RefusesWhatIsNoPot) {
  EXPECT_THROW(make_container(loam(), 5, 99, 0.3), InputError);
  EXPECT_THROW(make_container(loam(), 5, 300, 0), InputError);
  EXPECT_THROW(make_container(loam(), 5, std::numeric_limits<double>::quiet_NaN(), 0.3), InputError);
}

TEST(TotalAvailable, CountsOnlyWhatLiesAbove) {
  const Soil soil = make_soil(loam(), 3);
  EXPECT_DOUBLE_EQ(total_available_mm(soil, 600), 0.15 * 600);
  EXPECT_DOUBLE_EQ(total_available_mm(soil, 400), 0.15 * 400);
  EXPECT_DOUBLE_EQ(total_available_mm(soil, 0), 0);
  EXPECT_DOUBLE_EQ(total_available_mm(soil, 5000), 0.15 * 600);
}

}  // namespace
