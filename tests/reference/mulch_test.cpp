// A mulch as a feed: works at its sole, dries, shrinks, ties nitrogen up where it touches the soil. Its closed form, and the signs of the
// published figures on straw (nitrogen-release C3, C7, C8).
#include <gtest/gtest.h>

#include <cmath>

#include "leafhunger/response.hpp"
#include "published.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::pool;
using testing::Rig;

constexpr double k_t_dm_per_kg_n = 0.1;  // dry matter of 1 % N

std::size_t add_mulch(Rig& rig, const std::map<std::string, double>& set, double forked_mm = 0) {
  const std::size_t slot = rig.add("bulky-mulch", set, forked_mm);
  rig.materials[slot].bulky = true;
  rig.materials[slot].t_dm_per_kg_n = k_t_dm_per_kg_n;
  return slot;
}
void wet(Rig& rig, double rain3_mm) { std::fill(rig.climate.rain3_mm.begin(), rig.climate.rain3_mm.end(), rain3_mm); }

double on_top(const ColumnBatch& c, std::size_t slot) {
  return pool(c, slot, "fast on top") + pool(c, slot, "slow on top") + pool(c, slot, "ready on top");
}

// Rich in nitrogen, so nothing starves: each day an exponential, its speed by the mulch that is there in the morning.
TEST(Mulch, MeetsItsClosedForm) {
  const double t_c = 15, mix = 0.001, rain3 = 1.2, fast_d = 0.2, slow_d = 0.0007, ready_d = 0.6;
  Rig rig(200, t_c);
  wet(rig, rain3);
  const std::size_t slot = add_mulch(rig, {{"carbon_to_nitrogen", 12}, {"ready_frac", 0.1}, {"fast_frac", 0.6}});
  const double given = 150;
  rig.feed(0, slot, given);
  const double g = find_temperature_response("lloyd_taylor")->value(t_c, 0, 0),
               gr = find_temperature_response("arrhenius")->value(t_c, 20, 36);
  double fast = given * 0.9 * 0.6, slow = given * 0.9 * 0.4, ready = given * 0.1, worst = 0;
  testing::run(rig, [&](std::size_t, ColumnBatch& c) {
    const double top = rain3 / 2 / (1 + (fast + slow + ready) * k_t_dm_per_kg_n / 10);
    fast *= std::exp(-top * g * fast_d - mix), slow *= std::exp(-top * g * slow_d - mix), ready *= std::exp(-top * gr * ready_d - mix);
    for (const auto& [name, value] : {std::pair{"fast on top", fast}, {"slow on top", slow}, {"ready on top", ready}})
      worst = std::max(worst, std::abs(pool(c, slot, name) - value) / given);
  });
  published::expect_at_most("mulch on top, 200 d, worst of three pools over N given", "closed form, day by day", 1e-9, worst);
}

TEST(Mulch, StandsStillWhereDry) {
  const auto left = [](double rain3_mm) {
    Rig rig(60, 18);
    wet(rig, rain3_mm);
    const std::size_t slot = add_mulch(rig, {{"carbon_to_nitrogen", 15}, {"mix_per_day", 0}});
    rig.feed(0, slot, 50);
    double n = 0;
    testing::run(rig, [&](std::size_t, ColumnBatch& c) { n = on_top(c, slot); });
    return n;
  };
  EXPECT_EQ(left(0), 50) << "no rain, no decay, though the soil below is at field capacity";
  EXPECT_GT(left(0.5), left(1));
  EXPECT_GT(left(1), left(2));
  EXPECT_DOUBLE_EQ(left(2), left(20)) << "wet through";
}

// The deeper it lies the smaller the share that goes; and a mulch in two parts is one mulch.
TEST(Mulch, WorksAtItsSole) {
  const auto left = [](double kg_n_ha, bool in_two) {
    Rig rig(120, 15);
    wet(rig, 3);
    double sum = 0;
    std::vector<std::size_t> slots;
    for (int k = 0; k < (in_two ? 2 : 1); ++k) slots.push_back(add_mulch(rig, {{"carbon_to_nitrogen", 15}}));
    for (const std::size_t slot : slots) rig.feed(0, slot, kg_n_ha / static_cast<double>(slots.size()));
    testing::run(rig, [&](std::size_t, ColumnBatch& c) {
      sum = 0;
      for (const std::size_t slot : slots) sum += on_top(c, slot);
    });
    return sum / kg_n_ha;
  };
  EXPECT_GT(left(1000, false), left(100, false));
  EXPECT_GT(left(100, false), left(10, false));
  EXPECT_LT(left(10, false), 1);
  EXPECT_NEAR(left(300, true), left(300, false), 1e-9);
}

TEST(Mulch, ForkedInIsAnyOtherOrganicMatter) {
  const auto column = [](const char* model) {
    Rig rig(90, 16);
    rig.nitrogen.mineral_at_start_kg_ha = 60;
    rig.feed(0, rig.add(model, {{"carbon_to_nitrogen", 60}, {"fast_frac", 0.7}}, 150), 40);
    std::vector<double> all;
    testing::run(rig, [&](std::size_t, ColumnBatch& c) { all.assign(c.state(), c.state() + c.map().nitrogen_rows); });
    return all;
  };
  EXPECT_EQ(column("bulky-mulch"), column("organic-two-pool"));
}

struct Tied {
  double most_g_per_kg_c = 0, carbon_kept = 1;
  std::vector<double> by_layer;  // mineral N at the end
};
// Straw of C:N 80 and 40 % carbon on top for `days`; greatest tie-up in g N for each kg of its carbon.
Tied straw(double t_dm_ha, double mineral_kg_ha, std::size_t days, double t_c, double starved_frac = 0.05) {
  Rig rig(days, t_c);
  wet(rig, 2);
  rig.nitrogen.mineral_at_start_kg_ha = mineral_kg_ha;
  const std::size_t slot =
      add_mulch(rig, {{"carbon_to_nitrogen", 80}, {"fast_frac", 0.8}, {"fast_per_day", 0.03}, {"starved_frac", starved_frac}});
  rig.materials[slot].t_dm_per_kg_n = 80 / 400.0;
  const double n = t_dm_ha * 400 / 80;
  rig.feed(0, slot, n);
  Tied tied;
  testing::run(rig, [&](std::size_t, ColumnBatch& c) {
    const double taken = mineral_kg_ha - testing::ammonium(c) - testing::nitrate(c) - c.at(c.map().leached, 0);
    tied.most_g_per_kg_c = std::max(tied.most_g_per_kg_c, taken * 1000 / (t_dm_ha * 400));
    tied.carbon_kept = (on_top(c, slot) + pool(c, slot, "fast in soil") + pool(c, slot, "slow in soil")) / n;
    tied.by_layer.clear();
    for (std::size_t l = 0; l < c.shape().layers; ++l)
      tied.by_layer.push_back(c.at(c.map().ammonium + l, 0) + c.at(c.map().nitrate_fast + l, 0) + c.at(c.map().nitrate_slow + l, 0));
  });
  return tied;
}

// C3: residues that tie up take 1 to 33 g N for each kg of carbon at their peak, N not limiting, mixed in. C7, C8: straw ties up.
TEST(Mulch, TiesUpAtItsContact) {
  const Tied plenty = straw(2, 1e6, 240, 15);
  published::expect_within("greatest tie-up of a thin straw mulch, g N/kg C, N in plenty", "Trinsoutrot et al. 2000, 47 residues", 1, 33,
                           plenty.most_g_per_kg_c);
  const Tied thin = straw(1, 20, 240, 15), thick = straw(10, 20, 240, 15);
  EXPECT_GT(thin.most_g_per_kg_c, 2 * thick.most_g_per_kg_c) << "scarce N holds it: more straw, less for each kg of it";
  EXPECT_LT(thick.most_g_per_kg_c, plenty.most_g_per_kg_c);
  // It takes from the layer that it touches alone; what lies deeper stays where nothing moves.
  const double start[] = {20 * 50 / 600.0, 20 * 100 / 600.0, 20 * 150 / 600.0, 20 * 300 / 600.0};
  EXPECT_LT(thick.by_layer[0], 0.5 * start[0]);
  for (std::size_t l = 1; l < 4; ++l) EXPECT_NEAR(thick.by_layer[l], start[l], 1e-9);
}

// Carbon goes on being respired where mineral N is all gone (starved_frac): without that a thick straw would hardly rot.
TEST(Mulch, RotsOnWhereStarved) {
  const double starving = straw(10, 20, 245, 13).carbon_kept, stuck = straw(10, 20, 245, 13, 0).carbon_kept;
  EXPECT_GT(stuck, starving);
  EXPECT_LT(starving, 1);
  EXPECT_LT(straw(3, 20, 245, 13).carbon_kept, starving) << "thin straw rots sooner";
  EXPECT_LT(straw(3, 1e6, 245, 13).carbon_kept, straw(3, 20, 245, 13).carbon_kept) << "and sooner still where N is plenty";
}

}  // namespace
}  // namespace leafhunger
