// Measured tables and sizes of plants: how they are read, what is refused, and that a size reaches the column.
#include <gtest/gtest.h>

#include "host/garden_plan.hpp"
#include "leafhunger/error.hpp"
#include "support/garden.hpp"
#include "temp_garden.hpp"

namespace leafhunger {
namespace {

constexpr const char* k_plants = R"({"format": 1, "plants": {
  "leaf": {"title": "Leaf", "model": "herbaceous", "parameters": {"base_c": 10, "ceiling_t_ha": 30}, "hunger": "greedy", "crown_m2": 2,
    "tables": {"critical_n": [["05-01", 0], [196, 12.5], ["09-30", 9]]},
    "sizes": {"first-year": {"crown_m2": 0.5, "parameters": {"ceiling_t_ha": 12}}}}}})";

class PlantTables : public ::testing::Test {
 protected:
  void SetUp() override {
    folder.write("cautions.json", R"({"format": 1, "cautions": {}})");
    folder.write("materials.json", R"({"format": 1, "materials": {}})");
    folder.write("plants.json", k_plants);
  }
  std::string refusal(const std::string& from, const std::string& to) const {
    folder.write("plants.json", testing::replaced(k_plants, from, to));
    try {
      read_catalogue(folder.at(""));
    } catch (const InputError& error) {
      return error.what();
    }
    ADD_FAILURE() << "was taken";
    return {};
  }
  testing::TempFolder folder;
};

TEST_F(PlantTables, AreRead) {
  const Plant leaf = read_catalogue(folder.at("")).plants.at("leaf");
  ASSERT_EQ(leaf.tables.size(), 1u);
  EXPECT_EQ(leaf.tables[0].name, "critical_n");
  EXPECT_EQ(leaf.tables[0].x, (std::vector<double>{121, 196, 273}));
  EXPECT_EQ(leaf.tables[0].y, (std::vector<double>{0, 12.5, 9}));
  ASSERT_EQ(leaf.sizes.size(), 1u);
  EXPECT_EQ(leaf.sizes.at("first-year").crown_m2, 0.5);
  EXPECT_EQ(leaf.sizes.at("first-year").parameters.at("ceiling_t_ha"), 12);
}

TEST_F(PlantTables, AreRefusedInASentence) {
  const auto expect = [](const std::string& sentence, std::vector<std::string> parts) {
    for (const std::string& p : parts) EXPECT_NE(sentence.find(p), std::string::npos) << sentence << "\nlacks: " << p;
  };
  expect(refusal("[196, 12.5]", "[100, 12.5]"), {"plants.json", "line 3", "100", "more than the x of the knot before"});
  expect(refusal("[196, 12.5]", "[196]"), {"line 3", "/plants/leaf/tables/critical_n/1"});
  expect(refusal("\"05-01\"", "\"31-12\""), {"line 3", "31-12"});
  expect(refusal("12.5]", "\"much\"]"), {"line 3", "much"});
  expect(refusal("\"crown_m2\": 0.5, ", ""), {"line 4", "crown_m2"});
  expect(refusal("\"crown_m2\": 0.5", "\"crown_m2\": -1"), {"line 4", "-1", "0.005 to 400"});
}

TEST_F(PlantTables, ASizeChangesCrownAndParametersOfItsPlanting) {
  Scenario s = testing::empty_scenario(1);
  Plant young = s.catalogue.plants.at("hardy-banana");
  young.sizes["first-year"] = {0.5, {{"ceiling_t_ha", 12}}};
  young.tables.push_back({"critical_n", {100, 200}, {1, 2}});
  s.catalogue.plants["hardy-banana"] = young;
  s.beds = {testing::bed("Bed", 10)};
  s.beds[0].plantings = {testing::planting(s, "Old", "hardy-banana", 1), testing::planting(s, "New", "hardy-banana", 1)};
  s.beds[0].plantings[1].size = "first-year";
  s.beds[0].plantings[1].crown_m2 = 0.5;
  const Garden g = testing::garden_of(std::move(s));
  const lh_demand& model = testing::demand(young.model);
  const auto at = static_cast<std::size_t>(parameter_index(model.about, "ceiling_t_ha"));
  const auto &old_one = g.plan().columns[0], &new_one = g.plan().columns[1];
  EXPECT_EQ(new_one.on_ground.parameter[at], 12);
  EXPECT_NE(old_one.on_ground.parameter[at], 12);
  EXPECT_LT(new_one.area_m2, old_one.area_m2);
  EXPECT_EQ(new_one.on_ground.tables.size(), 1u);
}

}  // namespace
}  // namespace leafhunger
