// Grams in each measure.
#include <gtest/gtest.h>

#include "leafhunger/scenario.hpp"

namespace leafhunger {
namespace {

class Amounts : public ::testing::Test {
 protected:
  void SetUp() override {
    material.id = "meal";
    material.bulk_density_kg_m3 = 650;
  }
  double grams(Amount::Measure measure) const { return grams_per_measure(scenario, material, measure); }

  Scenario scenario;
  Material material;
};

TEST_F(Amounts, WeightsNeedNoDensity) {
  EXPECT_EQ(grams(Amount::Measure::grams), 1);
  EXPECT_EQ(grams(Amount::Measure::kilograms), 1000);
}

// 650 kg/m3 is 650 g a litre.
TEST_F(Amounts, VolumesGoByBulkDensity) {
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::litres), 650);
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::millilitres), 0.65);
}

// Handful 80 ml, trowel 300 ml (equations.md 14.13; common practice, no source): 52 g and 195 g.
TEST_F(Amounts, HandsAndTrowels) {
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::handfuls), 52);
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::trowels), 195);
}

TEST_F(Amounts, OwnMeasuresWin) {
  scenario.handful_ml = 100;
  scenario.trowel_ml = 200;
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::handfuls), 65);
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::trowels), 130);
  scenario.handful_g["meal"] = 47;
  scenario.handful_g["other"] = 99;
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::handfuls), 47);
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::trowels), 130);
}

TEST_F(Amounts, AWeighedLitreStandsForTheBulkDensity) {
  scenario.litre_g["meal"] = 500;
  scenario.litre_g["other"] = 9;
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::litres), 500);
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::millilitres), 0.5);
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::handfuls), 40);
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::trowels), 150);
  EXPECT_EQ(grams(Amount::Measure::kilograms), 1000);
}

TEST_F(Amounts, AWeighedScoopBeatsAWeighedLitre) {
  scenario.litre_g["meal"] = 500;
  scenario.handful_g["meal"] = 47;
  scenario.trowel_g["meal"] = 180;
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::handfuls), 47);
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::trowels), 180);
  EXPECT_DOUBLE_EQ(grams(Amount::Measure::litres), 500) << "a scoop says nothing of a litre";
}

}  // namespace
}  // namespace leafhunger
