// Whether a planting was carried: hand-made days, one thing changed at a time.
#include "leafhunger/verdict.hpp"

#include <gtest/gtest.h>

#include <set>
#include <string>

namespace leafhunger {
namespace {

constexpr std::size_t k_days = 100, k_until = 80;

// A plant that grows every day and has a little more than it needs.
PlantDays fed() {
  PlantDays p;
  for (std::size_t d = 0; d < k_days; ++d) {
    const double w = 0.4 + 0.05 * static_cast<double>(d), n = 30 * w;
    p.nni.push_back(1.1), p.f_t.push_back(0.5), p.w_t_ha.push_back(w), p.plant_kg_n_ha.push_back(1.1 * n), p.critical_kg_n_ha.push_back(n);
    p.stress.push_back(1), p.days_in_hand.push_back(60), p.w_twin_t_ha.push_back(w), p.w_free_t_ha.push_back(w), p.awake.push_back(1);
  }
  return p;
}

// The index on these days, and plant N with it.
void set_nni(PlantDays& p, std::size_t first, std::size_t last, double nni) {
  for (std::size_t d = first; d <= last; ++d) p.nni[d] = nni, p.plant_kg_n_ha[d] = nni * p.critical_kg_n_ha[d];
}

TEST(Verdict, CarriesAFedPlant) {
  const Verdict v = judge(fed(), k_until);
  EXPECT_EQ(v.outcome, Outcome::carried);
  EXPECT_FALSE(v.first_short);
  EXPECT_FALSE(v.falls_behind);
  EXPECT_EQ(v.wakes, 0u);
  EXPECT_EQ(v.days_grown, static_cast<int>(k_until) + 1);
  EXPECT_EQ(v.days_short, 0);
  EXPECT_DOUBLE_EQ(v.nni_at_date, 1.1);
  EXPECT_DOUBLE_EQ(v.lowest_nni, 1.1);
  EXPECT_NEAR(v.mean_nni, 1.1, 1e-12);
  EXPECT_EQ(v.growth_frac, 1);
  EXPECT_EQ(v.water_frac, 1);
  EXPECT_EQ(v.shortfall_kg_n_ha, 0);
}

TEST(Verdict, CallsTheFirstOfFiveDays) {
  PlantDays p = fed();
  set_nni(p, 40, 44, 0.89);
  const Verdict v = judge(p, k_until);
  EXPECT_EQ(v.outcome, Outcome::ran_short);
  EXPECT_EQ(v.first_short, 40u);
  EXPECT_EQ(v.days_short, 5);
  EXPECT_DOUBLE_EQ(v.lowest_nni, 0.89);
}

TEST(Verdict, FourDaysAreNotEnough) {
  PlantDays p = fed();
  set_nni(p, 40, 43, 0.5);
  set_nni(p, 45, 48, 0.5);
  const Verdict v = judge(p, k_until);
  EXPECT_FALSE(v.first_short) << "a day that is not short between them breaks the run";
  EXPECT_NE(v.outcome, Outcome::ran_short);
  EXPECT_EQ(v.days_short, 8) << "but they are counted";
}

TEST(Verdict, TheLineItselfIsNotBelowIt) {
  PlantDays p = fed();
  set_nni(p, 40, 60, 0.90);
  EXPECT_FALSE(judge(p, k_until).first_short);
  set_nni(p, 40, 60, 0.8999);
  EXPECT_EQ(judge(p, k_until).first_short, 40u);
}

TEST(Verdict, DaysThatDoNotGrowNeitherCountNorBreakTheRun) {
  PlantDays p = fed();
  set_nni(p, 40, 60, 0.5);
  for (std::size_t d = 42; d <= 50; ++d) p.f_t[d] = 0.02;  // too cold to grow: at the line is not above it
  for (std::size_t d = 53; d <= 54; ++d) p.nni[d] = 2, p.f_t[d] = 0;
  // Growing and short: 40, 41, 51, 52, 55. That is five.
  for (std::size_t d = 56; d <= 60; ++d) p.nni[d] = 1.1;
  const Verdict v = judge(p, k_until);
  EXPECT_EQ(v.first_short, 40u);
  EXPECT_EQ(v.days_short, 5);
  p.nni[55] = 1.1;
  EXPECT_FALSE(judge(p, k_until).first_short) << "with four it is not";
}

TEST(Verdict, SmallPlantsDoNotCount) {
  PlantDays p = fed();
  set_nni(p, 0, k_days - 1, 0.5);
  for (double& w : p.w_t_ha) w = 0.3;
  const Verdict v = judge(p, k_until);
  EXPECT_FALSE(v.first_short);
  EXPECT_EQ(v.outcome, Outcome::never_woke);
  EXPECT_EQ(v.days_grown, 0);
  EXPECT_EQ(v.lowest_nni, 0);
  EXPECT_EQ(v.mean_nni, 0);
}

TEST(Verdict, ShortAfterTheDateIsStillCarriedToIt) {
  PlantDays p = fed();
  set_nni(p, k_until + 1, k_days - 1, 0.5);
  Verdict v = judge(p, k_until);
  EXPECT_EQ(v.outcome, Outcome::carried);
  EXPECT_EQ(v.first_short, k_until + 1) << "and the day is named";
  EXPECT_EQ(v.days_short, 0);
  set_nni(p, k_until, k_days - 1, 0.5);
  v = judge(p, k_until);
  EXPECT_EQ(v.outcome, Outcome::ran_short) << "a first short day on the date itself is short by it";
}

TEST(Verdict, FallsBehindWhereTheIndexSinksLater) {
  PlantDays p = fed();
  // From day 30 plant N stands still while want grows; the index sinks below 1 some days later.
  for (std::size_t d = 30; d < k_days; ++d) p.plant_kg_n_ha[d] = p.plant_kg_n_ha[29], p.nni[d] = p.plant_kg_n_ha[d] / p.critical_kg_n_ha[d];
  const Verdict v = judge(p, k_until);
  EXPECT_EQ(v.falls_behind, 30u);
  ASSERT_TRUE(v.first_short);
  EXPECT_LT(*v.falls_behind, *v.first_short);
}

TEST(Verdict, DoesNotFallBehindWhereTheStoreLasts) {
  PlantDays p = fed();
  for (double& n : p.plant_kg_n_ha) n *= 2;
  for (std::size_t d = 30; d < 40; ++d) p.plant_kg_n_ha[d] = p.plant_kg_n_ha[29];
  for (std::size_t d = 0; d < k_days; ++d) p.nni[d] = p.plant_kg_n_ha[d] / p.critical_kg_n_ha[d];
  EXPECT_FALSE(judge(p, k_until).falls_behind) << "supply lags for ten days, but the index stays above 1";
}

TEST(Verdict, SupplyAtNineTenthsOfWantIsNotBehind) {
  PlantDays p = fed();
  for (std::size_t d = 30; d < k_days; ++d)
    p.plant_kg_n_ha[d] = p.plant_kg_n_ha[d - 1] + 0.91 * (p.critical_kg_n_ha[d] - p.critical_kg_n_ha[d - 1]), p.nni[d] = 0.95;
  EXPECT_FALSE(judge(p, k_until).falls_behind);
  for (std::size_t d = 30; d < k_days; ++d)
    p.plant_kg_n_ha[d] = p.plant_kg_n_ha[d - 1] + 0.89 * (p.critical_kg_n_ha[d] - p.critical_kg_n_ha[d - 1]);
  EXPECT_EQ(judge(p, k_until).falls_behind, 30u);
}

TEST(Verdict, JustCarriedNeedsLittleInHandAndNoStore) {
  PlantDays p = fed();
  set_nni(p, 70, k_days - 1, 0.95);
  EXPECT_EQ(judge(p, k_until).outcome, Outcome::carried);
  p.days_in_hand[k_until] = 6.9;
  const Verdict v = judge(p, k_until);
  EXPECT_EQ(v.outcome, Outcome::just_carried);
  EXPECT_DOUBLE_EQ(v.days_in_hand, 6.9);
  p.days_in_hand[k_until] = 7;
  EXPECT_EQ(judge(p, k_until).outcome, Outcome::carried);
  p.days_in_hand[k_until] = 1;
  set_nni(p, 70, k_days - 1, 1.0);
  EXPECT_EQ(judge(p, k_until).outcome, Outcome::carried) << "a store in the leaves is more than the last week's worth";
}

TEST(Verdict, WaterIsTheLimit) {
  PlantDays p = fed();
  for (double& w : p.w_free_t_ha) w *= 3;
  Verdict v = judge(p, k_until);
  EXPECT_EQ(v.outcome, Outcome::water_limited);
  EXPECT_NEAR(v.water_frac, 1.0 / 3, 1e-12);
  set_nni(p, 40, 50, 0.5);
  EXPECT_EQ(judge(p, k_until).outcome, Outcome::ran_short) << "short of nitrogen all the same";
  p = fed();
  for (double& w : p.w_free_t_ha) w *= 2.4;
  EXPECT_EQ(judge(p, k_until).outcome, Outcome::carried) << "two fifths of the growth is enough";
}

TEST(Verdict, NeverWoke) {
  PlantDays p = fed();
  for (std::size_t d = 0; d < k_days; ++d) p.f_t[d] = d >= 20 && d < 24 ? 0.5 : 0;
  const Verdict v = judge(p, k_until);
  EXPECT_EQ(v.outcome, Outcome::never_woke) << "four days of growth are no season";
  EXPECT_EQ(v.days_grown, 4);
  EXPECT_EQ(v.wakes, 20u);
  p.f_t[24] = 0.5;
  EXPECT_NE(judge(p, k_until).outcome, Outcome::never_woke);
}

TEST(Verdict, ShortfallIsTheGreatestUpToTheDate) {
  PlantDays p = fed();
  set_nni(p, 40, 41, 0.8);
  set_nni(p, 85, 90, 0.1);
  EXPECT_NEAR(judge(p, k_until).shortfall_kg_n_ha, 0.2 * p.critical_kg_n_ha[41], 1e-12);
}

TEST(Verdict, GrowthIsAgainstTheWellFedTwin) {
  PlantDays p = fed();
  for (double& w : p.w_twin_t_ha) w *= 2;
  EXPECT_NEAR(judge(p, k_until).growth_frac, 0.5, 1e-12);
  for (double& w : p.w_twin_t_ha) w = 0;
  EXPECT_EQ(judge(p, k_until).growth_frac, 1) << "no twin, no loss";
}

TEST(Verdict, RulesMayBeMoved) {
  PlantDays p = fed();
  set_nni(p, 40, 42, 0.94);
  VerdictRules strict;
  strict.short_nni = 0.95, strict.short_days = 3;
  EXPECT_EQ(judge(p, k_until, strict).first_short, 40u);
  EXPECT_FALSE(judge(p, k_until).first_short);
}

TEST(Verdict, AsksAboutTheFirstAndTheLastDay) {
  PlantDays p = fed();
  EXPECT_EQ(judge(p, 0).outcome, Outcome::never_woke) << "one day of growth";
  EXPECT_EQ(judge(p, k_days - 1).outcome, Outcome::carried);
  set_nni(p, k_days - 5, k_days - 1, 0.1);
  EXPECT_EQ(judge(p, k_days - 1).first_short, k_days - 5) << "a run that ends with the season";
}

TEST(DayStates, AreOneOfFour) {
  PlantDays p = fed();
  p.awake[0] = 0;
  p.f_t[1] = 0.02;
  p.stress[2] = 0.49;
  set_nni(p, 3, 3, 0.89);
  p.nni[4] = 0.5, p.w_t_ha[4] = 0.2;
  p.stress[5] = 0.5;
  const auto s = states_of(p);
  ASSERT_EQ(s.size(), k_days);
  EXPECT_EQ(s[0], DayState::asleep);
  EXPECT_EQ(s[1], DayState::asleep) << "too cold to grow";
  EXPECT_EQ(s[2], DayState::dry);
  EXPECT_EQ(s[3], DayState::short_of_n);
  EXPECT_EQ(s[4], DayState::fed) << "too small to judge";
  EXPECT_EQ(s[5], DayState::fed);
}

TEST(DayStates, DryComesBeforeShort) {
  PlantDays p = fed();
  set_nni(p, 10, 10, 0.5);
  p.stress[10] = 0.2;
  EXPECT_EQ(states_of(p)[10], DayState::dry);
}

TEST(Outcomes, HaveNamesOfTheirOwn) {
  std::set<std::string> names;
  for (const auto o : {Outcome::carried, Outcome::just_carried, Outcome::ran_short, Outcome::water_limited, Outcome::never_woke})
    names.insert(name_of(o));
  EXPECT_EQ(names.size(), 5u);
  names.clear();
  for (const auto s : {DayState::asleep, DayState::dry, DayState::fed, DayState::short_of_n}) names.insert(name_of(s));
  EXPECT_EQ(names, (std::set<std::string>{"asleep", "dry", "fed", "short"}));
}

}  // namespace
}  // namespace leafhunger
