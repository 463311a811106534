// How sure, what dose, and today: in words that fit a terminal, as JSON, and what the command refuses.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>

#include "host/lines.hpp"
#include "leafhunger/enough.hpp"
#include "leafhunger/ensemble.hpp"
#include "leafhunger/today.hpp"
#include "support/command.hpp"
#include "support/garden.hpp"

namespace leafhunger {
namespace {

using testing::Answer;
using testing::command;
using Json = nlohmann::json;

Scenario strained() {
  Scenario s = testing::one_bed(3);
  s.beds[0].plantings.push_back(testing::planting(s, "Ginger lilies beside the path to the pond and round it", "ginger-lily", 3));
  s.beds.push_back(testing::bed("Gravel", 6, 1));
  s.beds[1].plantings.push_back(testing::planting(s, "Yuccas", "yucca", 2));
  return s;
}

const EnsembleResult& sure() {
  static const EnsembleResult r = [] {
    EnsembleQuestion q;
    q.samples = 12;
    return how_sure_it_is(testing::garden_of(strained()), q);
  }();
  return r;
}
const EnoughResult& enough() {
  static const EnoughResult r = [] {
    EnoughQuestion q;
    q.multiples = {0.25, 0.5, 1, 1.5, 2, 3, 4}, q.dates = {{3, 15}, {4, 15}};
    return what_would_do(testing::garden_of(strained()), q);
  }();
  return r;
}
const TodayResult& today() {
  static const TodayResult r = how_it_stands(testing::garden_of(strained()), *parse_date("2006-06-15"));
  return r;
}

void expect_fits(const std::string& text) {
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) {
    EXPECT_LE(lines::width(line), lines::k_width) << line;
    EXPECT_TRUE(line.empty() || line.back() != ' ') << "blank at the end: '" << line << "'";
  }
  EXPECT_FALSE(std::regex_search(text, std::regex(R"(\b(nan|inf)\b|%|\x1b|\t)"))) << text;
  EXPECT_EQ(text.back(), '\n');
}

TEST(SureWords, FitTheTerminal) {
  for (const bool more : {false, true}) {
    expect_fits(in_words(sure(), more));
    expect_fits(in_words(enough(), more));
    expect_fits(in_words(today(), more));
  }
}

// Neither yes nor no, and it is not the weather: then what to measure is the answer.
TEST(SureWords, TooUncertainToSayNamesWhatToMeasure) {
  EnsembleResult r = sure();
  PlantingSureness& p = r.plantings[0];
  p.kept_share = 0.5, p.kept_share_of_draw = {0, 0.2, 0.5, 0.8, 1}, p.unknown_d = 40, p.weather_d = 5;
  p.tells_most = "humus_freed_per_year";
  const auto text = [&] { return std::regex_replace(in_words(r), std::regex(R"(\s+)"), " "); };
  EXPECT_NE(text().find("Bananas: too uncertain to say. Measure this: what the soil frees (leave a plant unfed beside"), std::string::npos);
  EXPECT_TRUE(Json::parse(in_json(r))["plantings"][0]["too_uncertain"]);
  p.weather_d = 60;  // no jar and no strip foretells a summer
  EXPECT_EQ(text().find("Bananas: too uncertain"), std::string::npos);
  p.weather_d = 5, p.kept_share_of_draw = {0.8, 0.9, 1, 1, 1};
  EXPECT_EQ(text().find("Bananas: too uncertain"), std::string::npos);
  for (const PlantingSureness& of : sure().plantings) {
    const auto named = [&](const Unknown& u) { return u.name == of.tells_most; };
    EXPECT_TRUE(of.tells_most.empty() || std::any_of(of.unknowns.begin(), of.unknowns.end(), named)) << of.tells_most;
  }
}

TEST(SureWords, NoIndexAndNoFieldUnitsOnTheFirstScreen) {
  for (const std::string& text : {in_words(sure()), in_words(enough()), in_words(today())})
    for (const char* word : {"NNI", " nni", "index", "kg/ha", "_", "quantile", "variance", "sample"})
      EXPECT_EQ(text.find(word), std::string::npos) << word << " in\n" << text;
}

TEST(SureWords, EveryPlantingHasALine) {
  for (const char* name : {"Bananas", "Ginger lilies besid", "Yuccas"}) {
    EXPECT_NE(in_words(sure()).find(name), std::string::npos) << name;
    EXPECT_NE(in_words(today()).find(name), std::string::npos) << name;
  }
  EXPECT_EQ(in_words(enough()).find("Yuccas"), std::string::npos) << "fed nothing: no dose to change";
}

TEST(SureWords, ScoresAreNeverMoreCertainThanTheyAre) {
  EnsembleResult r = sure();
  r.plantings[0].kept_share = 0.999;
  EXPECT_NE(in_words(r).find("over 9"), std::string::npos);
  r.plantings[0].kept_share = 0.001;
  EXPECT_NE(in_words(r).find("under 1"), std::string::npos);
}

TEST(SureWords, SayThatNoStationMeasuredTheWeather) {
  EnsembleResult a = sure();
  EnoughResult b = enough();
  TodayResult c = today();
  a.weather_note = b.weather_note = c.weather_note = "Weather made up from somewhere: no station measured it.";
  for (const std::string& text : {in_words(a), in_words(b), in_words(c), in_json(a), in_json(b), in_json(c)})
    EXPECT_NE(text.find(a.weather_note), std::string::npos) << text.substr(0, 200);
}

TEST(SureJson, ReadsBack) {
  for (const std::string& text : {in_json(sure()), in_json(enough()), in_json(today())}) {
    ASSERT_TRUE(Json::accept(text));
    const std::function<void(const Json&)> walk = [&](const Json& x) {
      if (x.is_number()) {
        EXPECT_TRUE(std::isfinite(x.get<double>()));
      }
      if (x.is_structured())
        for (const auto& y : x) walk(y);
    };
    walk(Json::parse(text));
    EXPECT_EQ(Json::parse(text)["format"], 1);
  }
  EXPECT_EQ(Json::parse(in_json(sure()))["plantings"][0]["kept_years_by_draw"].size(), 12u);
}

TEST(SureCsv, HasARowForEachPlantingSeriesAndDay) {
  const std::string text = in_csv(sure());
  const auto rows = std::count(text.begin(), text.end(), '\n');
  EXPECT_EQ(rows, 2 + 1 + 3 * 2 * 365) << "2006 is a common year";
  EXPECT_NE(text.find("\nBananas,nni,2005-11-01,"), std::string::npos);
}

TEST(EnoughSvg, IsOnePictureWithEveryFedPlantingNamed) {
  EnoughResult r = enough();
  r.asked.dates.clear();
  const std::string svg = in_svg(r);
  EXPECT_EQ(svg.rfind("<?xml", 0), 0u);
  EXPECT_NE(svg.find("Bananas"), std::string::npos);
  EXPECT_NE(svg.find("enough: 9 years"), std::string::npos);
  EXPECT_EQ(svg, in_svg(r));
}

std::string one_bed() { return std::string(LEAFHUNGER_SOURCE_DIR) + "/scenarios/one-bed.json"; }

TEST(SureCommand, EachQuestionIsAnswered) {
  for (const std::vector<std::string>& words : {std::vector<std::string>{"lasts", one_bed(), "--sure", "4"},
                                                {"lasts", one_bed(), "--sure", "4", "--seed", "7", "--json"},
                                                {"lasts", one_bed(), "--enough"},
                                                {"lasts", one_bed(), "--doses", "0.5,2", "--dates", "04-01,05-01"},
                                                {"lasts", one_bed(), "--dates", "04-01", "--json"},
                                                {"today", one_bed(), "--on", "2020-06-01"},
                                                {"today", one_bed(), "--on", "2020-06-01", "--json"}}) {
    const Answer a = command(words);
    EXPECT_EQ(a.status, 0) << a.err;
    EXPECT_EQ(a.err, "");
    if (words.back() == "--json") {
      EXPECT_TRUE(Json::accept(a.out));
    }
  }
}

TEST(SureCommand, WritesWhatIsAskedAndOverwritesOnlyWhenTold) {
  const testing::TempFolder folder;
  const std::vector<std::string> csv{"lasts", one_bed(), "--sure", "3", "--out", folder.at("bands.csv")};
  ASSERT_EQ(command(csv).status, 0);
  EXPECT_NE(testing::read_all(folder.at("bands.csv")).find("planting,series,date,q05"), std::string::npos);
  EXPECT_EQ(command(csv).status, 2);
  auto forced = csv;
  forced.push_back("--force");
  EXPECT_EQ(command(forced).status, 0);
  ASSERT_EQ(command({"lasts", one_bed(), "--doses", "1,2", "--out", folder.at("doses.svg")}).status, 0);
  EXPECT_NE(testing::read_all(folder.at("doses.svg")).find("<svg"), std::string::npos);
}

TEST(SureCommand, TheSameBytesWhateverTheThreads) {
  for (const std::vector<std::string>& words : {std::vector<std::string>{"lasts", one_bed(), "--sure", "20", "--json"},
                                                {"lasts", one_bed(), "--enough", "--json"},
                                                {"today", one_bed(), "--on", "2020-06-01", "--json"}}) {
    const Answer one = command(words, "LEAFHUNGER_THREADS=1");
    ASSERT_EQ(one.status, 0) << one.err;
    EXPECT_EQ(command(words, "LEAFHUNGER_THREADS=3").out, one.out) << words[0] << words[2];
  }
}

TEST(SureCommand, WhatCannotBeAnsweredIsRefusedInASentence) {
  for (const std::vector<std::string>& words : {std::vector<std::string>{"lasts", one_bed(), "--sure", "1"},
                                                {"lasts", one_bed(), "--sure", "0"},
                                                {"lasts", one_bed(), "--sure", "-5"},
                                                {"lasts", one_bed(), "--sure", "100000"},
                                                {"lasts", one_bed(), "--sure", "many"},
                                                {"lasts", one_bed(), "--sure", "4", "--seed", "-1"},
                                                {"lasts", one_bed(), "--seed", "4"},
                                                {"lasts", one_bed(), "--out", "x.csv"},
                                                {"lasts", one_bed(), "--sure", "4", "--out", "x.svg"},
                                                {"lasts", one_bed(), "--sure", "4", "--enough"},
                                                {"lasts", one_bed(), "--doses", "0"},
                                                {"lasts", one_bed(), "--doses", "-1,2"},
                                                {"lasts", one_bed(), "--doses", "1,,2"},
                                                {"lasts", one_bed(), "--doses", "1;2"},
                                                {"lasts", one_bed(), "--doses", "1e9"},
                                                {"lasts", one_bed(), "--dates", "31-08"},
                                                {"lasts", one_bed(), "--dates", "02-30"},
                                                {"lasts", one_bed(), "--enough", "--out", "x.svg"},
                                                {"lasts", one_bed(), "--doses", "1,2", "--dates", "04-01", "--out", "x.svg"},
                                                {"lasts", one_bed(), "--doses", "1,2", "--out", "x.png"},
                                                {"today", one_bed(), "--on", "yesterday"},
                                                {"today", one_bed(), "--on", "2020-13-01"},
                                                {"today", one_bed(), "--on", "1950-06-01"}}) {
    const Answer a = command(words);
    std::string line;
    for (const auto& w : words) line += w + " ";
    EXPECT_EQ(a.status, 2) << line << a.err;
    EXPECT_EQ(a.out, "") << line;
    EXPECT_NE(a.err, "") << line;
  }
  EXPECT_FALSE(std::filesystem::exists("x.svg"));
}

}  // namespace
}  // namespace leafhunger
