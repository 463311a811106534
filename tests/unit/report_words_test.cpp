// Results in words and as JSON: 80 columns, worst first, whole hundreds, nothing of the machine.
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>

#include "host/lines.hpp"
#include "leafhunger/report.hpp"
#include "support/garden.hpp"

namespace leafhunger {
namespace {

using testing::bed;
using testing::broadcast;
using testing::garden_of;
using testing::planting;
using Json = nlohmann::json;

// A hungry bed, a frugal one, one that sleeps all year, and names that strain the layout.
const SeasonResult& season() {
  static const SeasonResult result = [] {
    Scenario s = testing::empty_scenario(3);
    s.beds = {bed("Hungry bed by the old wall", 12), bed("Gravel", 6, 1)};
    s.beds[0].plantings = {planting(s, "Bananas", "hardy-banana", 4),
                           planting(s, "Ginger lilies beside the path to the pond and round it", "ginger-lily", 3)};
    s.beds[1].plantings = {planting(s, "Yuccas", "yucca", 2)};
    s.feedings.push_back(broadcast("concentrated-manure-powder", {4, 15}, 90, "Hungry bed by the old wall"));
    s.currency = "£";
    return run_season(garden_of(std::move(s)));
  }();
  return result;
}

void expect_fits(const std::string& text) {
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) {
    EXPECT_LE(lines::width(line), lines::k_width) << line;
    EXPECT_EQ(line.find('\t'), std::string::npos);
    EXPECT_EQ(line.find('\x1b'), std::string::npos) << "no colour: " << line;
  }
  EXPECT_FALSE(std::regex_search(text, std::regex(R"(\b(nan|inf)\b)"))) << text;
  EXPECT_EQ(text.back(), '\n');
}

TEST(ReportWords, FitTheTerminal) {
  expect_fits(in_words(season(), false));
  expect_fits(in_words(season(), true));
}

TEST(ReportWords, FirstScreenHasNoIndexAndNoFieldUnits) {
  const std::string text = in_words(season(), false);
  for (const char* word : {"NNI", "index", "kg/ha", "t/ha", "m2 ", "mineralis", "immobil"})
    EXPECT_EQ(text.find(word), std::string::npos) << word;
  EXPECT_NE(text.find("--more"), std::string::npos);
}

TEST(ReportWords, AskTheQuestionAndNameTheFeeding) {
  const std::string text = in_words(season(), false);
  EXPECT_EQ(text.find("Test garden, 2006. Does the feed last until 31 August?"), 0u) << text.substr(0, 90);
  EXPECT_NE(text.find("15 April: 90 g a square metre of concentrated manure powder"), std::string::npos);
}

TEST(ReportWords, EveryPlantingHasOneAnswerAndTheWorstComesFirst) {
  const std::string text = in_words(season(), false);
  const std::string order[] = {"no", "dry", "cold", "just", "yes"};
  std::istringstream in(text);
  std::size_t rank = 0;
  int answers = 0;
  const std::regex answer(R"(^  (.+?)  +(no|dry|cold|just|yes)( .*)?$)");
  for (std::string line; std::getline(in, line);) {
    std::smatch m;
    if (!std::regex_match(line, m, answer)) continue;
    ++answers;
    std::size_t here = 0;
    while (order[here] != m[2].str()) ++here;
    if (here == 2) here = 1;  // dry and cold are of one rank
    EXPECT_GE(here, rank) << line;
    rank = std::max(rank, here);
  }
  EXPECT_EQ(answers, 3);
}

TEST(ReportWords, OfEachHundredGramsAllAreAccountedFor) {
  const std::string text = std::regex_replace(in_words(season(), false), std::regex(R"(\s+)"), " ");
  std::smatch m;
  ASSERT_TRUE(std::regex_search(
      text, m,
      std::regex(
          R"(Of each 100 g of nitrogen given, by [^:]+: (\d+) taken up, (\d+) still to come, (\d+) loose in the soil, (\d+) washed below the roots, (\d+) lost to the air, (\d+) in the soil's own life)")))
      << text;
  int sum = 0;
  for (std::size_t k = 1; k <= 6; ++k) sum += std::stoi(m[k]);
  EXPECT_EQ(sum, 100);
}

// The reader refuses names with control characters; long ones and ones in other letters come through.
TEST(ReportWords, ClipLongNames) {
  SeasonResult r = season();
  r.columns[0].name = "Ölbäume und Zierbananen an der südlichen Mauer beim Gewächshaus des alten Gärtners";
  for (const bool more : {false, true}) expect_fits(in_words(r, more));
  EXPECT_NE(in_words(r, false).find("Ölbäume und Zierbananen"), std::string::npos);
}

TEST(ReportWords, MoreHasTheLedgerThatCloses) {
  const std::string text = in_words(season(), true);
  EXPECT_NE(text.find("How it was worked out"), std::string::npos);
  EXPECT_NE(text.find("not accounted for:"), std::string::npos);
  EXPECT_NE(text.find("washed below the roots (leached)"), std::string::npos);
}

TEST(ReportWords, SayWhenNothingIsFed) {
  Scenario s = testing::one_bed();
  s.feedings.clear();
  const std::string text = in_words(run_season(garden_of(std::move(s))), false);
  expect_fits(text);
  EXPECT_NE(text.find("Nothing is fed."), std::string::npos);
  EXPECT_EQ(text.find("Of each 100 g"), std::string::npos);
}

// A garden of several plantings, where "it" is nobody.
TEST(ReportWords, WhatAPlantRaisesNamesItsPlantings) {
  Scenario s = testing::empty_scenario(1);
  s.beds = {bed("Terrace", 12), bed("Corner", 8)};
  s.beds[0].plantings = {planting(s, "Yuccas", "yucca", 2), planting(s, "Agaves", "agave")};
  s.beds[1].plantings = {planting(s, "Wet one", "waterside-giant"), planting(s, "Rice-paper", "rice-paper-plant")};
  s.feedings = {broadcast("concentrated-manure-powder", {4, 15}, 1600, "Terrace"),
                broadcast("concentrated-manure-powder", {4, 15}, 60, "Corner")};
  const SeasonResult r = run_season(garden_of(std::move(s)));
  const auto said = [&](const std::string& key) {
    std::string words;
    for (const Caution& c : r.cautions)
      if (c.key == key) words += (words.empty() ? "" : " and again: ") + c.words;
    return words;
  };
  EXPECT_EQ(said("sharp-tips").find("Yuccas and Agaves: Plant away from paths"), 0u) << said("sharp-tips");
  EXPECT_EQ(said("legal-gunnera").find("Wet one: Keep what stands"), 0u) << said("legal-gunnera");
  EXPECT_EQ(said("irritant-hairs").find("Rice-paper: Wear mask"), 0u) << said("irritant-hairs");
  EXPECT_EQ(said("herbicide-sensitive").find("Rice-paper: Give no manure"), 0u) << said("herbicide-sensitive");
  EXPECT_EQ(said("herbicide-residue"), "") << "the powder carries none, and a plant is not spread";
  EXPECT_EQ(said("watercourse").find("Keep feeds 10 m"), 0u) << "the feed's own, so nobody's name: " << said("watercourse");
  EXPECT_EQ(said("yearly-limit").find("Give less to Yuccas and Agaves: this year's feeds bring up to 72 g of nitrogen"), 0u)
      << said("yearly-limit");
}

// Whatever lines it was folded to.
std::string said(const SeasonResult& r) { return std::regex_replace(in_words(r, false), std::regex(R"(\s+)"), " "); }

// A bed fed so much of something on that day, beside one that the rain alone waters.
SeasonResult fed_once(const char* material, MonthDay on, double g_m2) {
  Scenario s = testing::one_bed(3);
  s.feedings = {broadcast(material, on, g_m2, "Bed")};
  return run_season(garden_of(std::move(s)));
}

TEST(ReportWords, ThatNothingHadBeenGivenByThen) {
  const SeasonResult r = fed_once("concentrated-manure-powder", {10, 5}, 90);
  ASSERT_EQ(r.columns[0].verdict.outcome, Outcome::ran_short);
  const std::string text = said(r);
  EXPECT_NE(text.find(": nothing had been given by then"), std::string::npos) << text;
  EXPECT_EQ(text.find("used up"), std::string::npos) << text;
}

TEST(ReportWords, ThatWhatWasFedDidHarm) {
  const SeasonResult r = fed_once("straw", {4, 15}, 500);
  ASSERT_LT(r.columns[0].gain_g, 0);
  const std::string text = said(r);
  EXPECT_NE(text.find("held more nitrogen back"), std::string::npos) << text;
  EXPECT_NE(text.find("less than unfed."), std::string::npos) << text;
}

// By hand: dry matter at the date, well fed, over that of one with all the water too.
TEST(ReportWords, HowFarThirstHeldIt) {
  SeasonResult r = season();
  ColumnResult& c = r.columns[0];
  ASSERT_TRUE(c.fed);
  c.too_uncertain = false;
  c.verdict.outcome = Outcome::just_carried, c.verdict.water_frac = 0.5;
  EXPECT_NE(said(r).find("thirst held it to 50 % of its growth"), std::string::npos) << said(r);
  c.verdict.water_frac = 0.8;
  EXPECT_EQ(said(r).find("thirst"), std::string::npos);
  c.verdict.outcome = Outcome::water_limited, c.verdict.water_frac = 0.3;
  // Beside it, growth as it was over that of each twin.
  c.verdict.growth_frac = 0.9;
  EXPECT_TRUE(std::regex_search(in_words(r, true), std::regex(R"( 90 +27 )"))) << in_words(r, true);
  const std::string dry = said(r);
  EXPECT_NE(dry.find("thirst held it to 30 %"), std::string::npos) << dry;
}

TEST(ReportWords, OneMoreFeedOrNoneThatWouldDo) {
  SeasonResult r = season();
  for (ColumnResult& c : r.columns) c.second_feed.reset(), c.second_feed_tried = false;
  ColumnResult& c = r.columns[0];
  c.second_feed_tried = true, c.too_uncertain = false;
  std::string text = said(r);
  EXPECT_NE(text.find("no one feed more would be enough"), std::string::npos) << text;
  c.second_feed = SecondFeed{r.first + std::chrono::days{200}, 1, 56, "Manure", "concentrated-manure-powder", std::nullopt};
  text = said(r);
  EXPECT_NE(text.find("would be carried by a second feed of 1 handful"), std::string::npos) << text;
  for (Series& given : c.series)
    if (given.name == "given_kg_n_ha") given.values.back() += 1;  // and once more in autumn
  text = said(r);
  EXPECT_NE(text.find("would be carried by one more feed of 1 handful"), std::string::npos) << text;
}

// 90 g/m2 on 12 m2 of a powder with 3.4 % P2O5, 1.8 % K2O, 4.5 % N and C:N 8. P is 0.436421 of P2O5 and K 0.830148 of K2O by molar mass;
// the engine's own come from IUPAC's abridged masses and differ in the sixth figure.
TEST(ReportWords, WhatCameWithTheNitrogen) {
  const GivenBeside& b = season().beside;
  EXPECT_NEAR(b.phosphorus_g, 1080 * 0.034 * 0.436421, 1e-3);
  EXPECT_NEAR(b.potassium_g, 1080 * 0.018 * 0.830148, 1e-3);
  EXPECT_NEAR(b.organic_matter_g, 1080 * 0.045 * 8 / 0.58, 1e-6);
  EXPECT_NE(in_words(season(), false).find("With it came 16 g of phosphorus, 16 g of potassium and 670 g of organic"), std::string::npos);
  EXPECT_NEAR(Json::parse(in_json(season()))["given_beside_g"]["potassium"], b.potassium_g, 1e-9);
}

TEST(ReportJson, ReadsBackAndAgreesWithTheResult) {
  const Json j = Json::parse(in_json(season()));
  std::size_t plantings = 0;
  for (const auto& c : season().columns) plantings += c.bare ? 0 : 1;
  const std::string text = in_json(season());
  for (const auto& c : season().columns) EXPECT_NE(text.find(Json(c.name).dump()), std::string::npos) << c.name;
  EXPECT_EQ(plantings, 3u);
  // Every number is finite: JSON has no word for the others, and null would hide them.
  const std::function<void(const Json&)> walk = [&](const Json& x) {
    if (x.is_number()) {
      EXPECT_TRUE(std::isfinite(x.get<double>()));
    }
    if (x.is_structured())
      for (const auto& y : x) walk(y);
  };
  walk(j);
}

TEST(ReportJson, IsTheSameTwiceAndHasNoDateOfTheRun) {
  const std::string once = in_json(season());
  EXPECT_EQ(once, in_json(season()));
  EXPECT_FALSE(std::regex_search(once, std::regex(R"(20[1-9]\d-\d\d)")))
      << "seasons here are of 2003 to 2006: a later date is the machine's";
}

TEST(ReportLasts, FitsAndSaysYears) {
  const LastsResult r = how_often_it_lasts(garden_of(testing::one_bed(4)));
  const std::string text = in_words(r);
  expect_fits(text);
  expect_fits(in_words(r, true));
  EXPECT_NE(text.find("of 5"), std::string::npos) << "sureness is said in years: " << text;
  EXPECT_EQ(text.find('%'), std::string::npos);
  EXPECT_TRUE(Json::accept(in_json(r)));
  EXPECT_EQ(in_json(r), in_json(how_often_it_lasts(garden_of(testing::one_bed(4)))));
}

// Each year once, with the day of its verdict.
TEST(ReportLasts, MoreSaysWhatEachYearCameTo) {
  const LastsResult r = how_often_it_lasts(garden_of(testing::one_bed(4)));
  const std::string text = std::regex_replace(in_words(r, true), std::regex(R"(\s+)"), " ");
  EXPECT_NE(text.find("How it was worked out Short means: "), std::string::npos) << text;
  const std::string years = text.substr(text.find("How it was worked out"));
  for (const YearVerdict& y : r.plantings[0].years) {
    const std::string year = std::to_string(y.season);
    ASSERT_NE(years.find(year), std::string::npos) << years;
    EXPECT_EQ(years.find(year), years.rfind(year)) << years;
    if (y.verdict.outcome != Outcome::ran_short) continue;
    const std::string after = years.substr(years.find(year));
    EXPECT_EQ(after.find(year + " from " + to_words(month_day_of(*y.first_short))), 0u) << after;
  }
}

TEST(ReportTopUp, Fits) {
  TopUpQuestion q;
  q.materials = {"concentrated-manure-powder"};
  q.intervals_d = {28, 56}, q.doses_g_per_plant = {60, 120};
  const TopUpResult r = tune_top_ups(garden_of(testing::one_bed(2)), q);
  expect_fits(in_words(r));
  expect_fits(in_words(r, true));
  EXPECT_TRUE(Json::accept(in_json(r)));
}

TEST(ReportWords, EveryAnswerSaysThatNoStationMeasuredItsWeather) {
  SeasonResult one = season();
  EXPECT_EQ(in_words(one, false).find("no station"), std::string::npos);
  one.weather_note = "Weather made up from somewhere: no station measured it.";
  LastsResult years = how_often_it_lasts(garden_of(testing::one_bed(4)));
  years.weather_note = one.weather_note;
  TopUpQuestion q;
  q.materials = {"dried-blood"}, q.intervals_d = {42}, q.doses_g_per_plant = {20};
  TopUpResult apart = tune_top_ups(garden_of(testing::one_bed(4)), q);
  apart.weather_note = one.weather_note;
  for (const std::string& text : {in_words(one, false), in_words(years, false), in_words(apart, false)})
    EXPECT_NE(text.find(one.weather_note), std::string::npos) << text;
  for (const std::string& json : {in_json(one), in_json(years), in_json(apart)})
    EXPECT_EQ(Json::parse(json)["weather_note"], one.weather_note);
}

TEST(NineInTen, RoundsUp) {
  for (const auto& [n, k] : {std::pair{1, 1}, {2, 2}, {9, 9}, {10, 9}, {11, 10}, {14, 13}, {18, 17}, {20, 18}, {30, 27}, {100, 90}})
    EXPECT_EQ(nine_in_ten(n), k) << n;
}

}  // namespace
}  // namespace leafhunger
