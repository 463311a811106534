// From a scenario to columns: whose ground is whose, what each is given, which figures a material brings.
#include "host/garden_plan.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "leafhunger/error.hpp"
#include "plugins/sample.hpp"
#include "support/garden.hpp"

namespace leafhunger {
namespace {

using testing::bed;
using testing::broadcast;
using testing::garden_of;
using testing::per_plant;
using testing::planting;

const ColumnPlan& column(const Garden& g, const std::string& name) {
  for (const ColumnPlan& c : g.plan().columns)
    if (c.name == name) return c;
  throw std::runtime_error("no column " + name);
}

double area_of_bed(const Garden& g, std::size_t b) {
  double sum = 0;
  for (const ColumnPlan& c : g.plan().columns)
    if (c.bed == b) sum += c.area_m2;
  return sum;
}

Scenario two_plants(double area_m2, double first_crown_m2, double second_crown_m2) {
  Scenario s = testing::empty_scenario();
  s.beds.push_back(bed("Bed", area_m2));
  s.beds[0].plantings = {planting(s, "One", "canna", 2), planting(s, "Two", "dahlia", 4)};
  s.beds[0].plantings[0].crown_m2 = first_crown_m2, s.beds[0].plantings[1].crown_m2 = second_crown_m2;
  return s;
}

TEST(GardenPlan, EachCrownFeedsFromAQuarterMoreThanItsOwnGround) {
  const Garden g = garden_of(two_plants(20, 1.0, 0.5));
  EXPECT_NEAR(column(g, "One").area_m2, 2 * 1.0 / 0.8, 1e-12);
  EXPECT_NEAR(column(g, "Two").area_m2, 4 * 0.5 / 0.8, 1e-12);
  EXPECT_NEAR(column(g, "Bed: bare ground").area_m2, 20 - 5, 1e-12);
  EXPECT_NEAR(column(g, "One").on_ground.cover, 0.8, 1e-12);
  EXPECT_NEAR(area_of_bed(g, 0), 20, 1e-9);
}

TEST(GardenPlan, ACrowdedBedIsSharedByCrown) {
  const Garden g = garden_of(two_plants(4, 1.0, 1.0));
  EXPECT_EQ(g.plan().columns.size(), 2u) << "nothing is left bare";
  EXPECT_NEAR(column(g, "One").area_m2, 4 * 2.0 / 6, 1e-12);
  EXPECT_NEAR(column(g, "Two").area_m2, 4 * 4.0 / 6, 1e-12);
  EXPECT_NEAR(column(g, "One").on_ground.cover, 1.5, 1e-12) << "crowns wider than their ground";
  EXPECT_NEAR(area_of_bed(g, 0), 4, 1e-12);
}

TEST(GardenPlan, TheGardenerKnowsBetter) {
  Scenario s = two_plants(20, 1.0, 0.5);
  s.beds[0].plantings[0].ground_m2 = 9;
  const Garden g = garden_of(std::move(s));
  EXPECT_EQ(column(g, "One").area_m2, 9);
  EXPECT_NEAR(column(g, "One").on_ground.cover, 2.0 / 9, 1e-12);
  EXPECT_NEAR(column(g, "Two").area_m2, 2.5, 1e-12);
  EXPECT_NEAR(column(g, "Bed: bare ground").area_m2, 20 - 9 - 2.5, 1e-12);
}

TEST(GardenPlan, MoreGroundThanTheBedIsRefused) {
  Scenario s = two_plants(20, 1.0, 0.5);
  s.beds[0].plantings[0].ground_m2 = 15, s.beds[0].plantings[1].ground_m2 = 5.5;
  try {
    garden_of(std::move(s));
    FAIL();
  } catch (const InputError& e) {
    EXPECT_EQ(e.fault().place, "/beds/0/plantings");
    EXPECT_NE(std::string(e.what()).find("20.5 m2"), std::string::npos) << e.what();
  }
  Scenario t = two_plants(20, 1.0, 0.5);
  t.beds[0].plantings[0].ground_m2 = 20;
  EXPECT_THROW(garden_of(std::move(t)), InputError) << "nothing left for the other";
}

TEST(GardenPlan, AnEmptyBedIsBareGround) {
  Scenario s = testing::empty_scenario();
  s.beds.push_back(bed("Fallow", 7));
  const Garden g = garden_of(std::move(s));
  ASSERT_EQ(g.plan().columns.size(), 1u);
  EXPECT_EQ(g.plan().columns[0].name, "Fallow: bare ground");
  EXPECT_EQ(g.plan().columns[0].planting, nullptr);
  EXPECT_EQ(g.plan().columns[0].area_m2, 7);
}

TEST(GardenPlan, APotIsAllRooted) {
  Scenario s = testing::empty_scenario();
  Bed pot = bed("Pot", 0.2);
  pot.soil = make_container(*find_texture("loam"), 0, 400, 0.5);
  pot.plantings.push_back(planting(s, "Canna", "canna"));
  s.beds.push_back(pot);
  const Garden g = garden_of(std::move(s));
  ASSERT_EQ(g.plan().columns.size(), 1u);
  EXPECT_NEAR(g.plan().columns[0].area_m2, 0.2, 1e-12);
  EXPECT_EQ(g.plan().columns[0].shape.layers, g.plan().columns[0].ground.soil.layers());
}

TEST(GardenPlan, BroadcastGivesTheSameToEveryColumnTheBareOneIncluded) {
  Scenario s = two_plants(20, 1.0, 0.5);
  s.feedings.push_back(broadcast("concentrated-manure-powder", {4, 15}, 150, "Bed"));
  const Garden g = garden_of(std::move(s));
  for (const ColumnPlan& c : g.plan().columns) {
    ASSERT_EQ(c.given.size(), 1u) << c.name;
    EXPECT_NEAR(c.given[0].kg_material_ha, 1500, 1e-9);
    const auto doses = doses_of(g.plan(), c, make_date(2003, {11, 1}), 366);
    ASSERT_EQ(doses.size(), 1u);
    EXPECT_NEAR(doses[0].kg_n_ha, 1500 * 0.045, 1e-9) << "4.5 % N";
    EXPECT_EQ(doses[0].day, 166u) << "15 April, from 1 November of the year before a leap year";
  }
}

TEST(GardenPlan, NamedPlantingsGetTheirShareByCount) {
  Scenario s = two_plants(20, 1.0, 0.5);
  s.feedings.push_back(per_plant("dried-blood", {5, 1}, 40, {"One"}));
  Feeding whole = broadcast("dried-blood", {6, 1}, 0, "Bed");
  whole.amount = {500, Amount::Measure::grams, Amount::Per::bed};
  s.feedings.push_back(whole);
  const Garden g = garden_of(std::move(s));
  ASSERT_EQ(column(g, "One").given.size(), 2u);
  EXPECT_NEAR(column(g, "One").given[0].kg_material_ha, 40 * 2 / 2.5 * 10, 1e-9);
  EXPECT_NEAR(column(g, "One").given[1].kg_material_ha, 500 / 20.0 * 10, 1e-9);
  EXPECT_EQ(column(g, "Two").given.size(), 1u);
  EXPECT_EQ(column(g, "Bed: bare ground").given.size(), 1u);
}

// Of what was given by weight, all arrives: over columns, kg/ha x area is the mass.
TEST(GardenPlan, MassIsWhatWasGiven) {
  Scenario s = two_plants(20, 1.0, 0.5);
  s.feedings.push_back(broadcast("dried-blood", {4, 15}, 60, "Bed"));
  s.feedings.push_back(per_plant("dried-blood", {5, 1}, 40, {"One", "Two"}));
  const Garden g = garden_of(std::move(s));
  double grams[2] = {};
  for (const ColumnPlan& c : g.plan().columns)
    for (const auto& given : c.given) grams[given.feeding] += given.kg_material_ha / 10 * c.area_m2;
  EXPECT_NEAR(grams[0], 60 * 20, 1e-9);
  EXPECT_NEAR(grams[1], 40 * 6, 1e-9);
}

TEST(GardenPlan, OneMaterialAtOneDepthSharesASlot) {
  Scenario s = two_plants(20, 1.0, 0.5);
  for (const double depth : {0.0, 100.0, 0.0, 100.0, 60.0}) {
    s.feedings.push_back(broadcast("dried-blood", {4, 15}, 60, "Bed"));
    s.feedings.back().forked_in_mm = depth;
  }
  s.feedings.push_back(broadcast("calcium-nitrate", {4, 15}, 60, "Bed"));
  const Garden g = garden_of(std::move(s));
  const ColumnPlan& c = column(g, "One");
  EXPECT_EQ(c.shape.slots.size(), 4u);
  EXPECT_EQ(c.given[0].slots, c.given[2].slots);
  EXPECT_EQ(c.given[1].slots, c.given[3].slots);
  EXPECT_NE(c.given[0].slots, c.given[1].slots);
  EXPECT_NE(c.given[4].slots, c.given[1].slots);
  EXPECT_EQ(c.materials.size(), 4u);
}

// decisions 2.6: what ages (coats, inhibitors) stays apart, since a second dose must not make the first young again.
TEST(GardenPlan, WhatAgesKeepsASlotForEachDose) {
  Scenario s = two_plants(20, 1.0, 0.5);
  Material coated = s.catalogue.materials.at("dried-blood");
  coated.id = "coated", coated.model = "sample-coated-granule", coated.parameters.clear();
  s.catalogue.materials["coated"] = coated;
  s.feedings.push_back(broadcast("coated", {4, 15}, 60, "Bed"));
  s.feedings.back().every_days = 30, s.feedings.back().until = MonthDay{8, 1};
  const Garden g = garden_of(std::move(s));
  const auto doses = doses_of(g.plan(), column(g, "One"), make_date(2003, {11, 1}), 366);
  ASSERT_EQ(doses.size(), 4u);
  std::set<std::size_t> slots;
  for (const Dose& d : doses) slots.insert(d.slot);
  EXPECT_EQ(slots.size(), 4u);
}

TEST(GardenPlan, LiquidsAndScoopsAreWeighed) {
  Scenario s = two_plants(20, 1.0, 0.5);
  Feeding f = per_plant("dried-blood", {5, 1}, 0, {"One"});
  f.amount = {3, Amount::Measure::handfuls, Amount::Per::plant};
  s.feedings.push_back(f);
  s.handful_g["dried-blood"] = 50;
  const Garden g = garden_of(std::move(s));
  EXPECT_NEAR(column(g, "One").given[0].kg_material_ha, 150 * 2 / 2.5 * 10, 1e-9);
}

TEST(FeedingDays, RunThroughTheSeason) {
  const Date first = make_date(2003, {11, 1});
  Feeding f;
  f.on = {11, 1};
  EXPECT_EQ(feeding_days(f, first, 366), std::vector<std::size_t>{0});
  f.on = {10, 31};
  EXPECT_EQ(feeding_days(f, first, 366), std::vector<std::size_t>{365});
  f.on = {2, 29};
  EXPECT_EQ(feeding_days(f, first, 366), std::vector<std::size_t>{120});
  EXPECT_EQ(feeding_days(f, make_date(2004, {11, 1}), 365), std::vector<std::size_t>{119}) << "28 February in a common year";
  f.on = {4, 15}, f.every_days = 42, f.until = MonthDay{8, 31};
  EXPECT_EQ(feeding_days(f, first, 366), (std::vector<std::size_t>{166, 208, 250, 292}));
  f.until = MonthDay{8, 18};
  EXPECT_EQ(feeding_days(f, first, 366).size(), 3u);
  f.until = MonthDay{8, 19};
  EXPECT_EQ(feeding_days(f, first, 366).size(), 4u) << "the last day counts";
  f.every_days = 365, f.until = MonthDay{10, 31};
  EXPECT_EQ(feeding_days(f, first, 366).size(), 1u);
  f.every_days = 1;
  EXPECT_EQ(feeding_days(f, first, 366).size(), 366u - 166);
}

TEST(FeedingDays, InTheSouthFromMay) {
  const Date first = make_date(2004, {5, 1});
  Feeding f;
  f.on = {10, 15};
  EXPECT_EQ(feeding_days(f, first, 365), std::vector<std::size_t>{167});
  f.on = {4, 30};
  EXPECT_EQ(feeding_days(f, first, 365), std::vector<std::size_t>{364});
}

TEST(GardenPlan, DosesComeInOrderOfDay) {
  Scenario s = two_plants(20, 1.0, 0.5);
  s.feedings.push_back(broadcast("dried-blood", {6, 1}, 10, "Bed"));
  s.feedings.push_back(broadcast("calcium-nitrate", {4, 1}, 10, "Bed"));
  s.feedings.back().every_days = 40, s.feedings.back().until = MonthDay{8, 1};
  s.feedings.push_back(broadcast("dried-blood", {3, 1}, 10, "Bed"));
  const Garden g = garden_of(std::move(s));
  const auto doses = doses_of(g.plan(), column(g, "Two"), make_date(2003, {11, 1}), 366);
  EXPECT_TRUE(std::is_sorted(doses.begin(), doses.end(), [](const Dose& a, const Dose& b) { return a.day < b.day; }));
  EXPECT_EQ(doses.size(), 6u);
  EXPECT_EQ(doses[0].source, 2u) << "the label is the feeding's index in the file";
}

TEST(GardenPlan, WateringInIsPartOfTheClimate) {
  Scenario s = two_plants(20, 1.0, 0.5);
  s.feedings.push_back(broadcast("dried-blood", {6, 1}, 10, "Bed"));
  s.feedings.back().watered_in_mm = 20;
  const Garden g = garden_of(s);
  s.feedings[0].watered_in_mm = 0;
  const Garden dry = garden_of(s);
  const auto climate = [](const Garden& garden) {
    const ColumnPlan& c = column(garden, "Bed: bare ground");
    const SeasonDays days = days_of_season(garden.plan(), 2004);
    return climate_of(garden.plan(), c, days, doses_of(garden.plan(), c, make_date(2003, {11, 1}), 366));
  };
  const SoilClimate wet = climate(g), none = climate(dry);
  const std::size_t d = 213;
  EXPECT_GT(wet.at(wet.theta, d, 0), none.at(none.theta, d, 0));
  EXPECT_EQ(wet.at(wet.theta, d - 1, 0), none.at(none.theta, d - 1, 0));
  EXPECT_EQ(wet.rain_mm[d], none.rain_mm[d]) << "water by hand is no rain: the event washes in by itself";
}

TEST(GardenPlan, DateOfTheQuestion) {
  Scenario s = testing::one_bed();
  s.question.carry_to = {8, 31};
  const Garden g = garden_of(std::move(s));
  EXPECT_EQ(carry_to_index(g.plan(), make_date(2003, {11, 1}), 366), 304u);
}

// Materials.
Material meal() {
  Material m;
  m.id = "meal", m.title = "Meal", m.model = "organic-two-pool";
  m.n_percent = 5, m.carbon_to_nitrogen = 8;
  m.origin = {"garden.json", "line 9, /materials/meal", {{"ready_frac", "line 12, /materials/meal/parameters/ready_frac"}}};
  return m;
}
double value(const SlotMaterial& m, const lh_release& model, const char* name) {
  return m.parameter[static_cast<std::size_t>(parameter_index(model.about, name))];
}

TEST(SlotMaterial, CarbonOfTheOrganicPartFollowsFromTheLabel) {
  const lh_release& model = testing::release("organic-two-pool");
  Material m = meal();
  EXPECT_NEAR(value(slot_material(m, model), model, "carbon_to_nitrogen"), 8, 1e-12);
  m.parameters["ready_frac"] = 0.33;
  EXPECT_NEAR(value(slot_material(m, model), model, "carbon_to_nitrogen"), 8 / 0.67, 1e-12);
  m.parameters["carbon_to_nitrogen"] = 20;
  EXPECT_EQ(value(slot_material(m, model), model, "carbon_to_nitrogen"), 20) << "the entry's own figure wins";
}

// equations.md 4.1; figures are guesses but for w_dis, so this only holds them to the sheet.
TEST(SlotMaterial, FormSetsWhatTheEntryDoesNot) {
  const lh_release& model = testing::release("organic-two-pool");
  struct Row {
    Form form;
    double wash, contact;
  };
  for (const Row& r : {Row{Form::powder, 10, 0.5}, Row{Form::pellet, 40, 0.3}, Row{Form::granule, 4, 1}, Row{Form::liquid, 0, 1}}) {
    Material m = meal();
    m.form = r.form;
    EXPECT_EQ(value(slot_material(m, model), model, "particle_wash_mm"), r.wash);
    EXPECT_EQ(value(slot_material(m, model), model, "contact_frac"), r.contact);
    m.parameters["particle_wash_mm"] = 17;
    EXPECT_EQ(value(slot_material(m, model), model, "particle_wash_mm"), 17);
  }
  Material mulch = meal();
  mulch.form = Form::bulky;
  EXPECT_TRUE(slot_material(mulch, model).bulky);
}

TEST(SlotMaterial, DryMatterFollowsFromTheLabel) {
  Material m = meal();
  m.n_percent = 5, m.dry_matter_percent = 80;
  // 1 kg of N comes with 20 kg of material, 16 kg dry.
  EXPECT_NEAR(slot_material(m, testing::release("organic-two-pool")).t_dm_per_kg_n, 0.016, 1e-15);
}

std::string fault_of(const Material& m, const lh_release& model, std::string* place = nullptr) {
  try {
    slot_material(m, model);
  } catch (const InputError& e) {
    if (place) *place = e.fault().place;
    return e.what();
  }
  return "";
}

TEST(SlotMaterial, AParameterOutsideItsBoundsIsNamedWhereItStands) {
  Material m = meal();
  m.parameters["ready_frac"] = 1.5;
  std::string place;
  const std::string sentence = fault_of(m, testing::release("organic-two-pool"), &place);
  EXPECT_EQ(place, "line 12, /materials/meal/parameters/ready_frac");
  for (const char* words : {"garden.json", "1.5", "0 to 0.95", "ready_frac"})
    EXPECT_NE(sentence.find(words), std::string::npos) << words << ": " << sentence;
  for (const double bad : {std::nan(""), -0.1, 1e300}) {
    m.parameters["ready_frac"] = bad;
    EXPECT_NE(fault_of(m, testing::release("organic-two-pool")), "");
  }
}

TEST(SlotMaterial, AnUnknownParameterOffersTheNearest) {
  Material m = meal();
  m.parameters["redy_frac"] = 0.1;
  const std::string sentence = fault_of(m, testing::release("organic-two-pool"));
  EXPECT_NE(sentence.find("\"redy_frac\""), std::string::npos) << sentence;
  EXPECT_NE(sentence.find("did you mean \"ready_frac\"?"), std::string::npos) << sentence;
}

TEST(SlotMaterial, AModelsOwnRefusalIsPassedOn) {
  lh_release picky = sample::release("picky");
  picky.about.check = [](const double*, char* text, int32_t n) -> int32_t {
    std::snprintf(text, static_cast<std::size_t>(n), "these never fit together");
    return LH_BAD_PARAMETER;
  };
  const std::string sentence = fault_of(meal(), picky);
  EXPECT_NE(sentence.find("these never fit together"), std::string::npos) << sentence;
  EXPECT_NE(sentence.find("\"meal\""), std::string::npos) << sentence;
}

TEST(SlotMaterial, ARefusalWithoutItsClosingNoughtIsCutOff) {
  lh_release talkative = sample::release("talkative");
  talkative.about.check = [](const double*, char* text, int32_t n) -> int32_t {
    std::fill(text, text + n, 'x');
    return LH_BAD_PARAMETER;
  };
  const std::string sentence = fault_of(meal(), talkative);
  EXPECT_NE(sentence.find("xxx"), std::string::npos);
  EXPECT_LT(sentence.size(), 800u);
}

TEST(GardenPlan, AnUnknownModelSaysWhatWasSearched) {
  Scenario s = testing::one_bed();
  s.catalogue.materials.at("concentrated-manure-powder").model = "organic-two-pol";
  try {
    garden_of(std::move(s));
    FAIL();
  } catch (const InputError& e) {
    const std::string sentence = e.what();
    for (const char* words : {"\"organic-two-pol\"", "did you mean \"organic-two-pool\"?", "searched", LEAFHUNGER_PLUGIN_DIR})
      EXPECT_NE(sentence.find(words), std::string::npos) << words << ": " << sentence;
  }
}

TEST(GardenPlan, AnUnknownPlantModelToo) {
  Scenario s = testing::one_bed();
  s.catalogue.plants.at("hardy-banana").model = "herbacious";
  try {
    garden_of(std::move(s));
    FAIL();
  } catch (const InputError& e) {
    EXPECT_NE(std::string(e.what()).find("did you mean \"herbaceous\"?"), std::string::npos) << e.what();
  }
}

TEST(SolubleShare, IsWhatDissolvesAtOnce) {
  Material m = meal();
  m.parameters["ready_frac"] = 0.33;
  EXPECT_NEAR(soluble_share(m, testing::release("organic-two-pool")), 0.33, 1e-12);
  m.ammonium_frac = 0.1;
  EXPECT_NEAR(soluble_share(m, testing::release("organic-two-pool")), 0.33, 1e-12) << "ammonium is a part of what is ready";
  m.parameters.clear(), m.ammonium_frac = 0;
  m.model = "soluble-salt";
  EXPECT_NEAR(soluble_share(m, testing::release("soluble-salt")), 1, 1e-12);
  m.model = "urea";
  EXPECT_NEAR(soluble_share(m, testing::release("urea")), 1, 1e-12) << "it scorches before it is ammonium";
  m.model = "coated-granule", m.parameters = {{"uncoated_frac", 0.2}, {"nitrate_frac", 0.3}, {"urea_frac", 0.5}};
  EXPECT_NEAR(soluble_share(m, testing::release("coated-granule")), 0.2, 1e-12) << "the coat holds the rest back";
}

TEST(GardenPlan, SeasonsAreThoseOfTheWeather) {
  EXPECT_EQ(garden_of(testing::one_bed(3)).seasons(), (std::vector<int>{2003, 2004, 2005, 2006}));
  const Garden g = garden_of(testing::one_bed());
  EXPECT_THROW(days_of_season(g.plan(), 2010), InputError);
  try {
    days_of_season(g.plan(), 2010);
  } catch (const InputError& e) {
    EXPECT_NE(std::string(e.what()).find("2003 to 2004"), std::string::npos) << e.what();
  }
}

}  // namespace
}  // namespace leafhunger
