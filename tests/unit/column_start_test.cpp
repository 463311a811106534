// The column on the first morning: rows, mineral nitrogen, plant and reserve; and its rows' names.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdint>
#include <set>

#include "core/row_name.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::Rig;

ColumnBatch started(const Rig& rig, const Member& member) {
  ColumnBatch c(rig.shape, {&member, 1}, 1);
  c.start();
  return c;
}

TEST(ColumnStart, SharesMineralNByThickness) {
  Rig rig(1, 10);
  rig.nitrogen = NitrogenConstants{};
  const Member m = rig.member();
  const ColumnBatch c = started(rig, m);
  const RowMap& map = c.map();
  for (std::size_t l = 0; l < 4; ++l) {
    const double n = 20 * rig.soil.thickness_mm[l] / 600;
    EXPECT_NEAR(c.at(map.ammonium + l, 0), 0.2 * n, 1e-14);
    EXPECT_NEAR(c.at(map.nitrate_fast + l, 0), 0.8 * 0.66 * n, 1e-14);
    EXPECT_NEAR(c.at(map.nitrate_slow + l, 0), 0.8 * 0.34 * n, 1e-14);
  }
  EXPECT_NEAR(testing::ammonium(c) + testing::nitrate(c), 20, 1e-12);
}

TEST(ColumnStart, GivesThePlantItsLuxuryAndAShareOfLastYearsNitrogen) {
  Rig rig(1, 10);
  rig.grow("sample-steady-grower", 0.6);
  rig.climate.luxury.assign(1, 1.2);
  rig.climate.w_reference_t_ha = 8;
  rig.plant->host.reserve_share = 0.25;
  const Member m = rig.member();
  ColumnBatch c = started(rig, m);
  // That model wants 30 kg a tonne; a shoot of 0.2 t/ha over 0.6 of the ground.
  EXPECT_NEAR(c.at(c.map().plant, 0), 1.2 * 0.6 * 30 * 0.2, 1e-12);
  EXPECT_NEAR(c.at(c.map().reserve, 0), 0.25 * 0.6 * 30 * 8, 1e-12);
  EXPECT_EQ(c.at(c.map().w, 0), 0.2) << "and the last season's dry matter is gone again";
}

TEST(ColumnStart, BareGroundHasNoPlant) {
  Rig rig(1, 10);
  const Member m = rig.member();
  ColumnBatch c = started(rig, m);
  for (const std::size_t row : {c.map().plant, c.map().reserve, c.map().litter, c.map().w}) EXPECT_EQ(c.at(row, 0), 0);
  double critical[] = {7};
  c.critical(critical);
  EXPECT_EQ(critical[0], 0);
}

TEST(ColumnStart, EveryRowHasItsOwnName) {
  Rig rig(1, 10);
  rig.add("organic-two-pool");
  rig.add("sample-coated-granule", {}, 100);
  rig.add("soluble-salt");
  rig.grow("herbaceous");
  rig.climate.factors = static_cast<std::size_t>(rig.plant->model->n_factor);
  rig.climate.factor.assign(rig.climate.factors, 0.0);
  const Member m = rig.member();
  ColumnBatch c(rig.shape, {&m, 1}, 1);
  std::set<std::string> names;
  for (std::size_t r = 0; r < c.map().rows; ++r) EXPECT_TRUE(names.insert(row_name(c, r)).second) << row_name(c, r);
  EXPECT_TRUE(names.count("slot 0: fast in soil"));
  EXPECT_TRUE(names.count("slot 1: thermal age"));
  EXPECT_TRUE(names.count("slot 2: surface ammonium"));
  EXPECT_TRUE(names.count("ammonium, layer 4"));
  EXPECT_TRUE(names.count("dry matter"));
}

TEST(ColumnStart, WorstRowsNameWhatIsWrong) {
  Rig rig(1, 10);
  const Member m = rig.member();
  ColumnBatch c = started(rig, m);
  std::vector<double> y(c.state(), c.state() + c.map().rows);
  y[c.map().ammonium + 1] = -3;
  EXPECT_NE(worst_rows(c, y).find("ammonium, layer 2 = -3"), std::string::npos) << worst_rows(c, y);
  y[c.map().leached] = std::nan("");
  EXPECT_NE(worst_rows(c, y).find("leached"), std::string::npos) << "what is no number comes before what is below nought";
  EXPECT_EQ(worst_rows(c, y).find("layer 2"), std::string::npos);
}

TEST(ColumnStart, RowsAreAligned) {
  Rig rig(1, 10);
  rig.add("organic-two-pool");
  const Member m = rig.member();
  ColumnBatch c(rig.shape, {&m, 1}, 8);
  EXPECT_EQ(reinterpret_cast<std::uintptr_t>(c.state()) % 64, 0u);
}

}  // namespace
}  // namespace leafhunger
