// A member's bytes do not depend on its neighbours, its place, the width of the batch or the threads around it.
#include <gtest/gtest.h>

#include <cstring>
#include <numeric>

#include "columns.hpp"
#include "host/parallel.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/lasts.hpp"
#include "leafhunger/report.hpp"

namespace leafhunger {
namespace {

bool same(const std::vector<double>& a, const std::vector<double>& b) {
  return a.size() == b.size() && (a.empty() || std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0);
}
bool same(const Brief& a, const Brief& b) {
  if (std::memcmp(&a.ledger, &b.ledger, sizeof(Ledger)) != 0) return false;
  for (const auto part : {&PlantDays::nni, &PlantDays::w_t_ha, &PlantDays::plant_kg_n_ha, &PlantDays::critical_kg_n_ha})
    if (!same(a.plant.*part, b.plant.*part)) return false;
  return same(a.plant.f_t, b.plant.f_t) && same(a.plant.stress, b.plant.stress);
}

// Members of one shape that differ in all else: years of 365 and 366 days, doses, limits taken away, figures of material and plant.
struct Mixed {
  Garden garden;
  const ColumnPlan* column;
  Years years;
  std::vector<SoilClimate> climates;
  std::vector<std::vector<SlotMaterial>> materials;
  std::vector<PlantOnGround> plants;
  std::vector<NitrogenConstants> nitrogen;
  std::vector<Member> members;

  explicit Mixed(std::size_t n) : garden(testing::garden_of(make())), column(&garden.plan().columns[0]), years(all_years(garden.plan())) {
    climates = climates_of(garden.plan(), *column, years);
    testing::Draw draw(4);
    materials.resize(n, column->materials), plants.resize(n, column->on_ground), nitrogen.resize(n, garden.plan().nitrogen);
    for (std::size_t i = 0; i < n; ++i) {
      const std::size_t y = i % climates.size();
      Member m =
          member_of(garden.plan(), *column, climates[y], doses_of(garden.plan(), *column, years.first[y], years.days[y].season.size()));
      for (Dose& d : m.doses) d.kg_n_ha *= draw.between(0, 2);
      if (draw.chance(0.2)) m.doses.clear();
      m.without = static_cast<Without>(draw.whole(0, 6));
      m.without_from = static_cast<std::size_t>(draw.whole(0, 200));
      if (draw.chance(0.5)) nitrogen[i].nitrify_mg_kg_d = draw.between(6, 30), m.nitrogen = &nitrogen[i];
      if (draw.chance(0.5)) {
        for (auto& material : materials[i]) material.surface.volatile_per_day = draw.between(0, 0.2);
        m.materials = &materials[i];
      }
      if (draw.chance(0.5)) plants[i].host.uptake_per_day = draw.between(0.05, 0.25), m.plant = &plants[i];
      members.push_back(m);
    }
  }
  static Scenario make() {
    Scenario s = testing::one_bed(3);
    Material straw = s.catalogue.materials.at("garden-compost");
    straw.id = "straw", straw.n_percent = 0.5, straw.carbon_to_nitrogen = 80, straw.form = Form::bulky,
    straw.parameters = {{"fast_frac", 0.8}};
    s.catalogue.materials["straw"] = straw;
    s.feedings.push_back(testing::broadcast("straw", {3, 1}, 400, "Bed"));
    s.feedings.back().forked_in_mm = 100;
    s.feedings.push_back(testing::broadcast("calcium-ammonium-nitrate", {5, 20}, 30, "Bed"));
    s.feedings.back().watered_in_mm = 8;
    return s;
  }
};

TEST(SameBytes, WhateverTheLanes) {
  const Mixed mixed(21);
  const auto one = run_batch(mixed.column->shape, mixed.members, 1);
  for (const std::size_t lanes : {8, 16, 32}) {
    const auto many = run_batch(mixed.column->shape, mixed.members, lanes);
    ASSERT_EQ(many.size(), one.size());
    for (std::size_t i = 0; i < one.size(); ++i) EXPECT_TRUE(same(one[i], many[i])) << "member " << i << " in " << lanes << " lanes";
  }
}

// So many that those of one weather fill several blocks and part of another.
TEST(SameBytes, HoweverManyAbreast) {
  const Mixed mixed(130);
  const auto one = run_batch(mixed.column->shape, mixed.members, 1);
  for (const std::size_t lanes : {std::size_t{24}, k_most_lanes}) {
    const auto many = run_batch(mixed.column->shape, mixed.members, lanes);
    for (std::size_t i = 0; i < one.size(); ++i) EXPECT_TRUE(same(one[i], many[i])) << "member " << i << " in " << lanes << " lanes";
  }
}

TEST(SameBytes, WhateverTheOrder) {
  const Mixed mixed(21);
  const auto straight = run_batch(mixed.column->shape, mixed.members, 16);
  testing::Draw draw(8);
  for (int turn = 0; turn < 3; ++turn) {
    std::vector<std::size_t> order(mixed.members.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    for (std::size_t i = order.size() - 1; i > 0; --i)
      std::swap(order[i], order[static_cast<std::size_t>(draw.whole(0, static_cast<int>(i)))]);
    std::vector<Member> shuffled;
    for (const std::size_t i : order) shuffled.push_back(mixed.members[i]);
    const auto results = run_batch(mixed.column->shape, shuffled, 16);
    for (std::size_t i = 0; i < order.size(); ++i)
      EXPECT_TRUE(same(results[i], straight[order[i]])) << "member " << order[i] << " at place " << i;
  }
}

TEST(SameBytes, WhateverTheNeighbours) {
  const Mixed mixed(9);
  const auto alone = run_batch(mixed.column->shape, {&mixed.members[4], 1}, 8);
  const auto among = run_batch(mixed.column->shape, mixed.members, 16);
  EXPECT_TRUE(same(alone[0], among[4]));
}

// A plant at rest beside one that grows, a feed under water beside one that works; nothing sends a lane the long way.
TEST(SameBytes, WhicheverYearsStandBesides) {
  Scenario scenario = read_scenario(LEAFHUNGER_SOURCE_DIR "/tests/bench/one-column.json", LEAFHUNGER_CATALOGUE_DIR);
  for (const unsigned month : {5u, 7u, 8u}) scenario.feedings.push_back(testing::broadcast("dried-blood", {month, 10}, 60, "Bed"));
  const Garden garden = testing::garden_of(std::move(scenario));
  const ColumnPlan& column = garden.plan().columns[0];
  const Years years = all_years(garden.plan());
  std::vector<SoilClimate> climates = climates_of(garden.plan(), column, years);
  for (std::size_t y = 0; y < climates.size(); y += 2)  // where water fills the ground nothing decays
    for (std::size_t d = 5 * y; d < climates[y].days; d += 30)
      std::fill_n(&climates[y].wfps_frac[d * climates[y].layers], climates[y].layers, 1.0);
  for (std::size_t later = 0; later < 6; later += 2) {
    std::vector<Member> members;
    for (std::size_t y = 0; y < climates.size(); ++y) {
      auto doses = doses_of(garden.plan(), column, years.first[y], years.days[y].season.size());
      for (Dose& d : doses) d.day += later;
      members.push_back(member_of(garden.plan(), column, climates[y], std::move(doses)));
    }
    const auto one = run_batch(column.shape, members, 1), many = run_batch(column.shape, members, 16);
    for (std::size_t i = 0; i < one.size(); ++i) EXPECT_TRUE(same(one[i], many[i])) << "member " << i << ", " << later << " days later";
  }
}

// What pairs and triples of a weather have in common runs side by side with that of other weathers, each to a day of its own: more of them
// than go at once, and some that part on the first day.
TEST(SameBytes, WhateverTheyHaveInCommon) {
  const Garden garden = testing::garden_of(read_scenario(LEAFHUNGER_SOURCE_DIR "/tests/bench/one-column.json", LEAFHUNGER_CATALOGUE_DIR));
  const ColumnPlan& column = garden.plan().columns[0];
  const Years years = all_years(garden.plan());
  std::vector<SoilClimate> climates = climates_of(garden.plan(), column, years);
  const std::size_t n = climates.size();
  climates.reserve(2 * n);
  for (std::size_t y = 0; y < n; ++y) climates.push_back(climates[y]);
  ASSERT_GT(climates.size(), 18u);
  std::vector<Member> members;
  for (std::size_t w = 0; w < climates.size(); ++w)
    for (std::size_t twin = 0; twin < 2 + w % 2; ++twin) {
      auto doses = doses_of(garden.plan(), column, years.first[w % n], years.days[w % n].season.size());
      ASSERT_GE(doses.size(), 2u);
      doses.front().day = w % 5 == 0 ? 0 : 40 + 9 * w;
      doses.back().day = std::max(doses.back().day, doses.front().day + 1);
      for (Dose& d : doses) d.day = std::max(d.day, doses.front().day);
      (w % 3 == 0 ? doses.front() : doses.back()).kg_n_ha += 7 * static_cast<double>(twin);
      members.push_back(member_of(garden.plan(), column, climates[w], std::move(doses)));
    }
  const auto one = run_batch(column.shape, members, 1);
  for (const std::size_t lanes : {std::size_t{8}, std::size_t{16}, k_most_lanes}) {
    const auto many = run_batch(column.shape, members, lanes);
    for (std::size_t i = 0; i < one.size(); ++i) EXPECT_TRUE(same(one[i], many[i])) << "member " << i << " in " << lanes << " lanes";
  }
}

// Shares of fast water and the ground's layers are read from the first lane for all. Nothing that ships varies them within a batch, but an
// ensemble over them would get its first member's figures in every lane, without a word: refuse such a batch, or read them by lane.
// Shares of fast water are wired into a batch's transfers, so members that differ in them are refused rather than read as the first.
TEST(SameBytes, MembersWithOtherSharesOfFastWaterAreRefused) {
  Mixed mixed(2);
  NitrogenConstants other = mixed.garden.plan().nitrogen;
  other.fast = 0.8, other.wash_fast = 0.6;
  Member one = mixed.members[0], two = one;
  two.nitrogen = &other;
  const Member pair[] = {one, two};
  EXPECT_THROW(run_batch(mixed.column->shape, pair, 8), SolverError);
  const Member alike[] = {two, two};
  EXPECT_TRUE(same(run_batch(mixed.column->shape, {&two, 1}, 1)[0], run_batch(mixed.column->shape, alike, 8)[1]));
}

TEST(SameBytesThreads, WhateverTheirNumber) {
  const Mixed mixed(16);
  const auto straight = run_batch(mixed.column->shape, mixed.members, 8);
  for (const unsigned threads : {2u, 4u}) {
    std::vector<std::vector<Brief>> all(6);
    parallel_for(
        all.size(), [&](std::size_t k) { all[k] = run_batch(mixed.column->shape, mixed.members, 8); }, threads);
    for (const auto& results : all)
      for (std::size_t i = 0; i < results.size(); ++i) EXPECT_TRUE(same(results[i], straight[i]));
  }
}

TEST(SameBytesThreads, OfWholeAnswers) {
  const auto with = [](const char* threads, const auto& answer) {
    setenv("LEAFHUNGER_THREADS", threads, 1);
    auto text = answer();
    unsetenv("LEAFHUNGER_THREADS");
    return text;
  };
  const Garden garden = testing::example("one-bed.json");
  const auto season = [&] { return in_json(run_season(garden)); };
  const auto lasts = [&] { return in_json(how_often_it_lasts(garden)); };
  const auto topup = [&] {
    TopUpQuestion q;
    q.materials = {"dried-blood"}, q.intervals_d = {28, 42, 56}, q.doses_g_per_plant = {30, 60};
    return in_json(tune_top_ups(garden, q));
  };
  EXPECT_EQ(with("1", season), with("4", season));
  EXPECT_EQ(with("1", lasts), with("3", lasts));
  EXPECT_EQ(with("1", topup), with("4", topup));
}

TEST(SameBytesThreads, OneGardenSharedByMany) {
  const Garden garden = testing::example("one-bed.json");
  const std::string once = in_json(run_season(garden));
  std::vector<std::string> answers(6);
  parallel_for(
      answers.size(), [&](std::size_t k) { answers[k] = in_json(run_season(garden)); }, 3);
  for (const std::string& a : answers) EXPECT_EQ(a, once);
}

}  // namespace
}  // namespace leafhunger
