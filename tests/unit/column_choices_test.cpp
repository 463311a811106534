// What a catalogue entry may choose: other laws of warmth and moisture than its model's, ammonia lost as it is spread, ammonia on chalk.
#include <gtest/gtest.h>

#include <cmath>

#include "leafhunger/response.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::pool;
using testing::Rig;

// What is left after a day of decay tells the factor: -ln(left)/k.
double factor_of_decay(double t_c, const ChosenResponse& chosen) {
  Rig rig(1, t_c);
  const std::size_t slot = rig.add("organic-two-pool", {{"ready_frac", 0}, {"fast_frac", 1}, {"fast_per_day", 0.1}}, 50);
  const lh_release& model = testing::release("organic-two-pool");
  rig.materials[slot].response.resize(static_cast<std::size_t>(model.n_response));
  for (std::size_t r = 0; r < rig.materials[slot].response.size(); ++r)
    if (std::string(model.response[r].name).rfind("decay", 0) == 0) rig.materials[slot].response[r] = chosen;
  rig.feed(0, slot, 100);
  double left = 0;
  testing::run(rig, [&](std::size_t, ColumnBatch& c) { left = pool(c, 0, "fast in soil") / 100; });
  return -std::log(left) / 0.1;
}

TEST(ColumnChoices, LawsOfWarmthAndMoistureInPlaceOfTheModels) {
  const auto* flat = find_moisture_response("flat");
  const ChosenResponse doubling{find_temperature_response("q10"), flat, 25, 2};
  EXPECT_NEAR(factor_of_decay(25, doubling), 1, 1e-9);
  EXPECT_NEAR(factor_of_decay(15, doubling), 0.5, 1e-9);
  EXPECT_NEAR(factor_of_decay(15, {find_temperature_response("q10"), flat, 15, 3}), 1, 1e-9);
  EXPECT_NEAR(factor_of_decay(15, {find_temperature_response("kirschbaum"), flat, 25, 0}), 0.3929, 0.3929 * 5e-3)
      << "Kirschbaum 1995 relative to 25 degC, constants from memory checked against its abstract";
  // Only one of the two chosen: the other stays the model's own, lloyd_taylor.
  EXPECT_NEAR(factor_of_decay(15, {nullptr, flat, 25, 2}), 0.4907, 0.4907 * 5e-3);
}

TEST(ColumnChoices, WetManureLosesAmmoniaAsItIsSpread) {
  const auto lost = [](double forked_mm, Without without) {
    Rig rig(1, 15);
    SurfaceConstants surface{0, 0, 1, 5.5};
    surface.lost_at_once_frac = 0.2;
    rig.without = without;
    rig.feed(0, rig.add("soluble-salt", {{"nitrate_frac", 0.25}}, forked_mm, surface), 100);
    const Member m = rig.member();
    ColumnBatch c(rig.shape, {&m, 1}, 1);
    c.start();
    c.begin_day(0);
    const double there =
        c.at(c.map().slot[0].surface_ammonium, 0) + testing::ammonium(c) + pool(c, 0, "nitrate on top") + testing::nitrate(c);
    EXPECT_NEAR(there + c.at(c.map().volatilised, 0), 100 + (there > 0 ? rig.nitrogen.mineral_at_start_kg_ha : 0), 1e-9);
    return c.at(c.map().volatilised, 0);
  };
  EXPECT_NEAR(lost(0, Without::nothing), 0.2 * 75, 1e-12) << "a fifth of the ammonium, none of the nitrate";
  EXPECT_EQ(lost(100, Without::nothing), 0) << "forked in";
  EXPECT_EQ(lost(0, Without::gas), 0) << "with losses to the air taken away";
}

// Common practice, no source: an ammonium salt keeps its ammonia on sour soil and loses it on chalk.
TEST(ColumnChoices, ChalkLosesTheAmmoniaOfSalts) {
  const auto lost = [](double ph, double ph_factor) {
    Rig rig(3, 15);
    rig.soil.ph = ph;
    rig.feed(0, rig.add("soluble-salt", {{"nitrate_frac", 0}}, 0, {0.1, 0.05, ph_factor, 5.5}), 100);
    double out = 0;
    testing::run(rig, [&](std::size_t, ColumnBatch& c) { out = c.at(c.map().volatilised, 0); });
    return out;
  };
  EXPECT_EQ(lost(5.5, 0.05), lost(7, 0.05));
  EXPECT_NEAR(lost(8, 0.05), lost(6.5, 1), 1e-9);
  EXPECT_GT(lost(7.5, 0.05), 5 * lost(6.5, 0.05));
  EXPECT_EQ(lost(8, 1), lost(6, 1)) << "manure's own alkali is in its constants already";
}

}  // namespace
}  // namespace leafhunger
