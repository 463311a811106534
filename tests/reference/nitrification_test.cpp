// Ammonium to nitrate: how fast against warmth, in the response and through a column.
#include <gtest/gtest.h>

#include "leafhunger/response.hpp"
#include "published.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::Rig;

// Silt loam, pH 7.7, constant rate until 200 mg/kg of ammonium N is used; read in the abstract.
constexpr const char* k_frederick = "Frederick 1956, SSSA Proc. 20:496-500";

// One day of a layer with `mg_kg` of ammonium N: mg/kg turned to nitrate.
double turned_mg_kg(double t_c, double mg_kg) {
  Rig rig(1, t_c);
  rig.nitrogen.nitrify_mg_kg_d = NitrogenConstants{}.nitrify_mg_kg_d;
  ColumnShape shape = rig.shape;
  const Member member = rig.member();
  ColumnBatch c(shape, {&member, 1}, 1);
  c.start();
  const double kg = rig.soil.kg_ha_per_mg_kg(0);
  c.state()[c.map().ammonium] = mg_kg * kg;
  c.begin_day(0);
  make_reference_stepper(testing::k_tight)->day(c, 0);
  return (c.at(c.map().nitrate_fast, 0) + c.at(c.map().nitrate_slow, 0)) / kg;
}

// N2: relative to 35 degC. Tolerance 0.1 absolute.
TEST(Nitrification, RelativeRates) {
  const auto& law = *find_temperature_response("nitrifier");
  double worst = 0;
  for (const auto& [t, f] : {std::pair{2.0, 0.017}, {7.0, 0.083}, {15.5, 0.375}, {21.0, 0.50}, {27.0, 0.75}, {35.0, 1.00}}) {
    published::expect_near("nitrification at " + published::digits(t) + " degC over that at 35", k_frederick, f, law.value(t, 0, 0), 0.1);
    worst = std::max(worst, std::abs(law.value(t, 0, 0) - f));
    const double column = turned_mg_kg(t, 5000) / turned_mg_kg(35, 5000);
    published::expect_near("the same through the column, ammonium in plenty", k_frederick, f, column, 0.1);
  }
  published::expect_at_most("worst of the six", "equations.md 6, 0.055 rounded", 0.0555, worst);
}

// N1: mg/kg a week, zero order until 200 mg/kg is used. Tolerance 20 %. The rate at 35 degC and the power of warmth were fitted on these.
TEST(Nitrification, RatesOfPlenty) {
  for (const auto& [t, week] : {std::pair{2.0, 2.0}, {15.5, 45.0}, {21.0, 60.0}, {27.0, 90.0}, {35.0, 120.0}})
    published::expect_near("nitrified a week at " + published::digits(t) + " degC, mg/kg, ammonium in plenty (fitted on this)", k_frederick,
                           week, 7 * turned_mg_kg(t, 1e5), 0.2 * week);
  published::known_miss("nitrified a week at 7 degC, mg/kg, ammonium in plenty (fitted on this)", k_frederick, 10, 7 * turned_mg_kg(7, 1e5),
                        2, "one power of warmth; theirs rises steepest between 7 and 15 degC");
}

// First order where ammonium is scarce: 17 (15/35)^1.4/60 = 0.087 a day (equations.md 5 rounds it to 0.09).
TEST(Nitrification, FirstOrderWhereScarce) {
  published::expect_near("nitrified a day at 15 degC, share, ammonium scarce", "equations.md 5", 0.09,
                         -std::log(1 - turned_mg_kg(15, 0.01) / 0.01), 0.005);
}

// N5, T9: a sharp peak near 35 degC.
TEST(Nitrification, PeaksBetween33And37) {
  const auto& law = *find_temperature_response("nitrifier");
  double best = 0;
  for (double t = 0; t <= 55; t += 0.25)
    if (law.value(t, 0, 0) > law.value(best, 0, 0)) best = t;
  published::expect_within("nitrification is fastest at, degC", "Myers 1975, Soil Biol. Biochem. 7:83-86", 33, 37, best);
}

// The pH factor of equations.md 5: 1 from pH 6 on, a tenth at most acid.
TEST(Nitrification, SlowsInAcidSoil) {
  const auto at_ph = [](double ph) {
    Soil soil = testing::bare_loam();
    soil.ph = ph;
    Rig rig(1, 20, soil);
    rig.nitrogen.nitrify_mg_kg_d = 17;
    rig.nitrogen.mineral_at_start_kg_ha = 100, rig.nitrogen.ammonium_share_at_start = 1;
    double n = 0;
    testing::run(rig, [&](std::size_t, ColumnBatch& c) { n = testing::nitrate(c); });
    return n;
  };
  EXPECT_GT(at_ph(6), 0);
  EXPECT_DOUBLE_EQ(at_ph(6), at_ph(8));
  EXPECT_LT(at_ph(5), at_ph(6));
  EXPECT_LT(at_ph(4.5), at_ph(5));
  EXPECT_DOUBLE_EQ(at_ph(4.2), at_ph(3));
}

}  // namespace
}  // namespace leafhunger
