// A dose by hand and by scale: handfuls only where that many weigh nearly as much, and one weight for one dose.
#include "host/dose_words.hpp"

#include <gtest/gtest.h>

#include <regex>

#include "host/season_answers.hpp"
#include "leafhunger/report.hpp"
#include "leafhunger/report_folder.hpp"
#include "support/garden.hpp"

namespace leafhunger {
namespace {

TEST(DoseWords, HandfulsOnlyWhereTheyWeighNearlyAsMuch) {
  constexpr double k_handful_g = 56, k_trowel_g = 210;
  const auto said = [&](double grams) { return in_scale_and_hand(grams, k_handful_g, k_trowel_g); };
  EXPECT_EQ(said(28), "28 g (half a handful)");
  EXPECT_EQ(said(56), "56 g (1 handful)");
  EXPECT_EQ(said(84), "84 g (1 and a half handfuls)");
  EXPECT_EQ(said(150), "150 g (2 and a half handfuls)");
  EXPECT_EQ(said(40), "40 g") << "0.71 of a handful is neither half of one nor one";
  EXPECT_EQ(said(20), "20 g");
  EXPECT_EQ(said(75), "75 g");
  EXPECT_EQ(said(7.5), "7.5 g");
  EXPECT_EQ(said(720), "720 g (3 and a half trowels)");
  EXPECT_EQ(said(2100), "2.1 kg (10 trowels)");
  EXPECT_EQ(said(140000), "140.0 kg") << "nobody counts 666 trowels";
  EXPECT_EQ(in_hand_and_scale(168, k_handful_g, k_trowel_g), "3 handfuls (168 g)");
  EXPECT_EQ(in_hand_and_scale(40, k_handful_g, k_trowel_g), "40 g");
  EXPECT_EQ(in_hand_and_scale(840, k_handful_g, 0), "840 g") << "15 handfuls, and no trowel known";
  for (double grams = 1; grams < 3000; grams += 0.5) {
    const std::string scoops = words_of_scoops(grams, k_handful_g, k_trowel_g);
    std::smatch m;
    if (scoops.empty() || !std::regex_match(scoops, m, std::regex(R"((half a|\d+)( and a half)? (handful|trowel)s?)"))) continue;
    const double count = (m[1] == "half a" ? 0.5 : std::stod(m[1])) + (m[2].matched ? 0.5 : 0);
    const double weighed = count * (m[3] == "handful" ? k_handful_g : k_trowel_g);
    EXPECT_NEAR(weighed, grams, 0.1 * weighed + 1e-9) << scoops;
  }
}

// 168 g were 170 in one answer and 168 in the next.
TEST(DoseWords, OneDoseHasOneWeightEverywhere) {
  Scenario s = testing::empty_scenario(1);
  s.beds = {testing::bed("Bed", 12)};
  s.beds[0].plantings = {testing::planting(s, "Bananas", "hardy-banana", 2)};
  Feeding f = testing::per_plant("concentrated-manure-powder", {4, 15}, 0, {"Bananas"});
  f.amount = {3, Amount::Measure::handfuls, Amount::Per::plant};
  s.feedings = {f};
  const SeasonResult r = run_season(testing::garden_of(std::move(s)));
  EXPECT_NE(in_words(r, false).find("15 April: 3 handfuls (168 g) a plant"), std::string::npos) << in_words(r, false);
  EXPECT_EQ(words_of_dose(r.feed_days.at(0), r.feed_days.at(0).each_g), "168 g (3 handfuls)");
  std::string ics = in_calendar(r);
  for (std::size_t at; (at = ics.find("\r\n ")) != std::string::npos;) ics.erase(at, 3);
  EXPECT_NE(ics.find("3 handfuls (168 g) a plant of"), std::string::npos) << ics;
  EXPECT_NE(ics.find("To each: 168 g (3 handfuls) a plant."), std::string::npos) << ics;
}

}  // namespace
}  // namespace leafhunger
