// Batches that go on from where members part are to say the same, to the byte, as each member run by itself from the start.
#include <gtest/gtest.h>

#include <algorithm>

#include "columns.hpp"
#include "leafhunger/topup.hpp"

namespace leafhunger {
namespace {

bool same(const Brief& a, const Brief& b) {
  return a.plant.nni == b.plant.nni && a.plant.plant_kg_n_ha == b.plant.plant_kg_n_ha && a.plant.w_t_ha == b.plant.w_t_ha &&
         a.plant.critical_kg_n_ha == b.plant.critical_kg_n_ha && a.ledger.leached == b.ledger.leached &&
         a.ledger.volatilised == b.ledger.volatilised && a.ledger.in() == b.ledger.in() && a.ledger.out() == b.ledger.out();
}

// Schedules of a search: the same spring feed, then top-ups that differ in day and dose, in more than one year.
TEST(WarmStart, SaysWhatEachMemberSaysAlone) {
  Scenario s = testing::one_bed(2);
  s.feedings.push_back(testing::broadcast("calcium-ammonium-nitrate", {6, 1}, 10, "Bed"));
  const Garden garden = testing::garden_of(std::move(s));
  const ColumnPlan& column = garden.plan().columns[0];
  const Years years = all_years(garden.plan());
  const auto climates = climates_of(garden.plan(), column, years);
  ASSERT_GE(climates.size(), 2u);
  std::vector<Member> members;
  for (std::size_t y = 0; y < climates.size(); ++y) {
    const auto own = doses_of(garden.plan(), column, years.first[y], climates[y].days);
    ASSERT_EQ(own.size(), 2u);
    for (std::size_t k = 0; k < 40; ++k) {
      auto doses = own;
      doses[1].day += k % 20;
      doses[1].kg_n_ha *= 1 + 0.1 * static_cast<double>(k / 20);
      members.push_back(member_of(garden.plan(), column, climates[y], k == 0 ? std::vector<Dose>{doses[0]} : doses));
    }
    // One that parts earlier than those before it, and one that was never fed.
    auto early = own;
    early[0].day -= 30;
    members.push_back(member_of(garden.plan(), column, climates[y], early));
    members.push_back(member_of(garden.plan(), column, climates[y], {}));
  }
  for (const std::size_t lanes : {8, 16}) {
    const auto warm = run_batch(column.shape, members, lanes);
    for (std::size_t i = 0; i < members.size(); ++i)
      EXPECT_TRUE(same(warm[i], run_batch(column.shape, {&members[i], 1}, 1)[0])) << "member " << i << ", " << lanes << " lanes";
  }
}

// The search's answer is that of the plain grid: each point run in each year by itself, from the first day.
TEST(WarmStart, TopUpAnswersAsThePlainGridDoes) {
  const Garden garden = testing::example("one-bed.json");
  TopUpQuestion q;
  q.every_point = true, q.materials = {"dried-blood"}, q.intervals_d = {21, 35, 49, 63}, q.doses_g_per_plant = {20, 40, 80};
  const TopUpResult result = tune_top_ups(garden, q);
  const Garden::Plan& plan = garden.plan();
  const Years years = all_years(plan);
  ASSERT_FALSE(result.plantings.empty());
  for (const PlantingTopUp& p : result.plantings) {
    const auto it = std::find_if(plan.columns.begin(), plan.columns.end(), [&](const ColumnPlan& c) { return c.name == p.name; });
    ASSERT_NE(it, plan.columns.end());
    ColumnPlan column = *it;
    const Material& material = plan.scenario.catalogue.materials.at(q.materials[0]);
    const auto climates = climates_of(plan, column, years);
    const std::size_t slot = slots_for(plan, column, material, 0, 1).front();
    for (const TopUpPoint& point : p.grid) {
      int kept_years = 0;
      double leached = 0;
      for (std::size_t y = 0; y < climates.size(); ++y) {
        auto doses = doses_of(plan, column, years.first[y], climates[y].days);
        Feeding last;
        last.on = point.until;
        const std::size_t until = feeding_days(last, years.first[y], climates[y].days).front();
        for (std::size_t d = doses.front().day + static_cast<std::size_t>(point.first_after_d); d <= until;
             d += static_cast<std::size_t>(point.interval_d))
          doses.push_back({d, slot, point.dose_g_per_plant * p.count / p.area_m2 * 10 * material.n_percent / 100, 0, 0});
        std::stable_sort(doses.begin(), doses.end(), [](const Dose& a, const Dose& b) { return a.day < b.day; });
        const Member member = member_of(plan, column, climates[y], doses);
        const Brief brief = run_batch(column.shape, {&member, 1}, 1)[0];
        kept_years += kept(judge(brief.plant, years.until[y]));
        leached += brief.ledger.leached / 10 / static_cast<double>(climates.size());
      }
      EXPECT_EQ(point.kept, kept_years) << p.name << ", " << point.interval_d << " days, " << point.dose_g_per_plant << " g";
      EXPECT_DOUBLE_EQ(point.leached_g_n_m2, leached);
    }
  }
}

}  // namespace
}  // namespace leafhunger
