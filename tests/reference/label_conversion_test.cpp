// What labels and tables say against the same from atomic masses and definitions.
#include <gtest/gtest.h>

#include "leafhunger/soil.hpp"
#include "leafhunger/units.hpp"
#include "published.hpp"

namespace leafhunger {
namespace {

using namespace units;

constexpr const char* k_masses = "molar masses";
constexpr const char* k_table = "Reiter, Virginia Cooperative Extension SPES-201NP, Table 1";

// L1: 2 x 30.973762/141.944524; an extension table prints 0.4365 and 2.2910.
TEST(LabelConversion, Phosphate) {
  published::expect_near("P in P2O5", k_masses, 0.436421, p_from_p2o5(1), 1e-4);
  published::expect_near("P2O5 for P", k_masses, 2.2914, p2o5_from_p(1), 1e-4);
  published::expect_near("P in P2O5, as a table rounds it", "extension table", 0.4365, p_from_p2o5(1), 1e-4);
}

// L2: 2 x 39.0983/94.196; the same table prints 0.8301 and 1.2051 (the second is off by 5e-4 from its own first).
TEST(LabelConversion, Potash) {
  published::expect_near("K in K2O", k_masses, 0.830148, k_from_k2o(1), 1e-4);
  published::expect_near("K2O for K", k_masses, 1.2046, k2o_from_k(1), 1e-4);
}

TEST(LabelConversion, OtherOxidesAndSalts) {  // L3
  published::expect_near("Mg in MgO", k_table, 0.6032, mg_from_mgo(1), 5e-4);
  published::expect_near("Ca in CaO", k_table, 0.7147, ca_from_cao(1), 5e-4);
  published::expect_near("S in sulphate", k_table, 0.3339, s_from_sulphate(1), 5e-4);
  published::expect_near("N in ammonia", k_table, 0.8225, n_from_ammonia(1), 5e-4);
  published::expect_near("N in ammonium sulphate", k_table, 0.2120, n_from_ammonium_sulphate(1), 5e-4);
}

TEST(LabelConversion, NitrogenSalts) {  // L4: labels are a little below the pure salt
  constexpr const char* k_ifa = "IFA conversion factors";
  published::expect_near("N in pure urea, %", k_masses, 46.65, 100 * n_from_urea(1), 0.01);
  published::expect_near("N in urea, label, %", k_ifa, 46, 100 * n_from_urea(1), 1);
  published::expect_near("N in ammonium nitrate, label, %", k_ifa, 33.5, 100 * n_from_ammonium_nitrate(1), 1.6);
  published::expect_near("N in ammonium sulphate, label, %", k_ifa, 21, 100 * n_from_ammonium_sulphate(1), 0.5);
}

TEST(LabelConversion, NitrateAndItsNitrogen) {  // soil-climate table 4.2: 14.0067/62.0049
  published::expect_near("N in nitrate", "atomic masses", 0.22590, n_from_nitrate(1), 2e-5);
  published::expect_near("nitrate for N", "atomic masses", 4.4268, nitrate_from_n(1), 2e-4);
}

TEST(LabelConversion, Contents) {  // L5, L6
  EXPECT_NEAR(kg_t_from_lb_short_ton(1), 0.5, 1e-12);
  EXPECT_NEAR(kg_t_from_percent(1), 10, 1e-12);
  EXPECT_NEAR(lb_short_ton_from_percent(1), 20, 1e-9);
  published::expect_near("1 mg/kg in 15 cm of soil at 1.33 Mg/m3, kg/ha", "arithmetic", 2.0, kg_ha_from_mg_kg(1, 150, 1.33), 0.01);
  published::expect_near("1 lb/yd3, kg/m3", "definition", 0.5933, kg_m3_from_lb_yd3(1), 5e-5);
  published::expect_near("horse manure, kg/m3", "NOFA Interstate Council, Appendix A", 475, kg_m3_from_lb_yd3(800), 0.5);
}

TEST(LabelConversion, AmountsOnTheGround) {
  published::expect_near("1 oz/yd2, g/m2", "definition", 33.906, g_m2_from_oz_yd2(1), 5e-4);
  published::expect_near("1 lb/1000 ft2, g/m2", "definition", 4.882, g_m2_from_lb_1000ft2(1), 5e-4);
  published::expect_near("1 lb/acre, kg/ha", "definition", 1.1209, kg_ha_from_lb_acre(1), 5e-5);
  EXPECT_EQ(kg_ha_from_g_m2(150), 1500);
  EXPECT_EQ(g_m2_from_kg_ha(45), 4.5);
}

TEST(LabelConversion, GoesThereAndBack) {
  for (const double x : {0.0, 0.5, 3.4, 46.0, 1e5}) {
    EXPECT_NEAR(p_from_p2o5(p2o5_from_p(x)), x, 1e-12 * x);
    EXPECT_NEAR(k_from_k2o(k2o_from_k(x)), x, 1e-12 * x);
    EXPECT_NEAR(oz_yd2_from_g_m2(g_m2_from_oz_yd2(x)), x, 1e-12 * x);
    EXPECT_NEAR(lb_1000ft2_from_g_m2(g_m2_from_lb_1000ft2(x)), x, 1e-12 * x);
    EXPECT_NEAR(n_from_nitrate(nitrate_from_n(x)), x, 1e-12 * x);
  }
}

// The soil's own conversion is the same one, and drainage of 100 mm that carries 10 kg N/ha holds 10 mg N/L.
TEST(LabelConversion, AgreesWithTheEngine) {
  const Soil soil = make_soil(*find_texture("loam"), 3);
  for (std::size_t l = 0; l < soil.layers(); ++l)
    EXPECT_DOUBLE_EQ(soil.kg_ha_per_mg_kg(l), kg_ha_from_mg_kg(1, soil.thickness_mm[l], soil.bulk_density_mg_m3[l]));
  EXPECT_DOUBLE_EQ(mg_l_from_kg_ha(10, 100), 10);
}

}  // namespace
}  // namespace leafhunger
