// Denitrification in wet soil, roots in the cold. Ammonia has a file of its own.
#include <gtest/gtest.h>

#include <cmath>

#include "leafhunger/response.hpp"
#include "published.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::Rig;

// M11, D1: nothing below 60 % of pores; tripling in 10 degC (measured 5 to 15 degC: 0.56 to 1.89 mg/kg/h, anaerobic, carbon not limiting).
TEST(Denitrification, HasAThresholdAndAQ10) {
  const auto gas = [](double t_c, double wfps) {
    Rig rig(1, t_c, make_soil(*find_texture("loam"), 3));
    rig.nitrogen = NitrogenConstants{};
    rig.nitrogen.nitrify_mg_kg_d = 0, rig.nitrogen.humus_freed_per_year = 0;
    rig.nitrogen.mineral_at_start_kg_ha = 1000, rig.nitrogen.ammonium_share_at_start = 0;
    std::fill(rig.climate.wfps_frac.begin(), rig.climate.wfps_frac.end(), wfps);
    double sum = 0;
    testing::run(rig, [&](std::size_t, ColumnBatch& c) { sum = c.at(c.map().denitrified, 0); });
    return sum;
  };
  EXPECT_EQ(gas(25, 0.45), 0);
  EXPECT_EQ(gas(25, 0.60), 0);
  EXPECT_GT(gas(25, 0.65), 0);
  for (double w = 0.65; w < 0.99; w += 0.05) EXPECT_GT(gas(25, w + 0.05), gas(25, w));
  constexpr const char* k_canada = "Effects of temperature and organic matter on denitrification in soil, Can. J. Soil Sci.";
  published::expect_near("denitrification, 15 over 5 degC", k_canada, 1.89 / 0.56, gas(15, 0.9) / gas(5, 0.9), 0.3 * 1.89 / 0.56);
  published::expect_within("Q10 of denitrification", "review chapter, ecology reference text", 2, 4, gas(20, 0.9) / gas(10, 0.9));
}

// Macduff, Hopper & Wild 1987: uptake at 3 degC root temperature a third of that at 13, no more above.
TEST(ColdRoots, TakeAThirdAtThreeDegrees) {
  constexpr const char* k_macduff = "Macduff, Hopper & Wild 1987";
  const auto& law = *find_temperature_response("cold_root");
  published::expect_near("uptake at 3 degC over that at 13", k_macduff, 1.0 / 3, law.value(3, 0, 0) / law.value(13, 0, 0), 1e-12);
  for (const double t : {13.0, 17.0, 25.0}) EXPECT_EQ(law.value(t, 0, 0), 1);
}

}  // namespace
}  // namespace leafhunger
