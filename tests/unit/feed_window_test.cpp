// When to go out with a feed: rain laid by hand, so that each chance is known beforehand.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "leafhunger/report.hpp"
#include "leafhunger/report_folder.hpp"
#include "support/garden.hpp"

namespace leafhunger {
namespace {

constexpr int k_years = 10;  // seasons 2004 to 2013, with that of 2003 before them

// Dry from March to May of every year but for `mm` on day `of(year)` of that spring; the rest of the year as invented.
template <class Day>
Scenario with_rain(Scenario s, double mm, const Day& of) {
  for (std::size_t i = 0; i < s.weather.rain_mm.size(); ++i) {
    const Date date = s.weather.date(i);
    const MonthDay d = month_day_of(date);
    if (d.month >= 3 && d.month <= 5) s.weather.rain_mm[i] = d == of(year_of(date)) ? mm : 0;
  }
  return s;
}

const FeedWindow& only(const SeasonResult& r) {
  std::size_t planned = 0, which = 0;
  for (std::size_t i = 0; i < r.windows.size(); ++i)
    if (month_day_of(r.windows[i].planned) == MonthDay{4, 15}) ++planned, which = i;
  EXPECT_EQ(planned, 1u);
  return r.windows.at(which);
}

long days_of(const FeedWindow& w) { return (w.closes - w.opens).count() + 1; }
Date april(const SeasonResult& r, unsigned day) { return make_date(r.season, {4, day}); }

TEST(FeedWindow, HoldsTheDayOnWhichItRains) {
  const auto r = run_season(testing::garden_of(with_rain(testing::one_bed(k_years), 10, [](int) { return MonthDay{4, 18}; })));
  const FeedWindow& w = only(r);
  EXPECT_LE(w.opens, april(r, 18));
  EXPECT_GE(w.closes, april(r, 18));
  EXPECT_EQ(days_of(w), 5) << "no longer than need be";
  EXPECT_EQ(w.opens, april(r, 15)) << "of all such, that nearest the day planned";
  EXPECT_EQ(w.years, k_years + 1);
  EXPECT_EQ(w.washed_in, w.years);
  EXPECT_EQ(w.planting, "Bananas");
}

// Half of what dissolves goes in with w ln 2 mm, nine tenths with w ln 10; w is 5.5 mm for a powder (derived from Black, Sherlock & Smith
// 1987, equations.md 4.1): 3.8 and 12.7 mm, in whole millimetres and cans of 10.
TEST(FeedWindow, SaysHowMuchIsWet) {
  const auto rain = [](double mm) {
    return only(run_season(testing::garden_of(with_rain(testing::one_bed(k_years), mm, [](int) { return MonthDay{4, 16}; }))));
  };
  const FeedWindow none = rain(3.9), just = rain(4.0);
  EXPECT_EQ(none.wet_day_mm, 4);
  EXPECT_EQ(none.cans_m2, 2);
  EXPECT_EQ(none.washed_in, 0);
  EXPECT_EQ(just.washed_in, just.years);
}

TEST(FeedWindow, IsAsLongAsTheYearsNeed) {
  // It rains on the 13th in odd years and on the 24th in even ones: 8 of 10 years take both, 12 days at the least.
  const auto r = run_season(testing::garden_of(with_rain(testing::one_bed(k_years), 10, [](int y) {
    return MonthDay{4, y % 2 ? 13u : 24u};
  })));
  const FeedWindow& w = only(r);
  EXPECT_EQ(days_of(w), 12);
  EXPECT_EQ(w.opens, april(r, 13));
  EXPECT_EQ(w.washed_in, w.years);
  // Where 1 year of 11 rains later, the others are enough.
  const auto most = run_season(testing::garden_of(with_rain(testing::one_bed(k_years), 10, [](int y) {
    return MonthDay{4, y == 2007 ? 24u : 13u};
  })));
  EXPECT_EQ(days_of(only(most)), 5);
  EXPECT_EQ(only(most).washed_in, k_years);
}

// A nitrate on bare sand before a flood is lost; after it there is a shower. Convection carries a nitrate past 600 mm of sand with some
// 100 mm of water, far less than falls here.
TEST(FeedWindow, KeepsClearOfTheFlood) {
  Scenario s = testing::empty_scenario(k_years);
  s.beds = {testing::bed("Sand", 12, 1, "sand")};
  s.beds[0].plantings = {testing::planting(s, "Bananas", "hardy-banana", 1)};
  s.feedings = {testing::broadcast("calcium-nitrate", {4, 15}, 30, "Sand")};
  for (std::size_t i = 0; i < s.weather.rain_mm.size(); ++i) {
    const MonthDay d = month_day_of(s.weather.date(i));
    if (d.month < 4 || d.month > 10) continue;
    s.weather.rain_mm[i] = d.month == 4 && d.day >= 10 && d.day <= 17 ? 60 : d.month == 4 && d.day >= 20 && d.day <= 24 ? 5 : 0;
  }
  const auto r = run_season(testing::garden_of(s));
  const FeedWindow& w = only(r);
  EXPECT_GT(w.opens, april(r, 17)) << to_iso(w.opens);
  EXPECT_EQ(w.washed_in, w.years);
  EXPECT_EQ(w.washed_out, 0);
  // The season itself agrees: given in the flood most is washed out, given on the window's first wet day little is.
  const auto washed = [&](unsigned day) {
    Scenario moved = s;
    moved.feedings[0].on = {4, day};
    const SeasonResult one = run_season(testing::garden_of(std::move(moved)));
    return one.by_feeding_g[0].leached / one.given_g;
  };
  EXPECT_GT(washed(12), 0.5);
  EXPECT_LT(washed(22), 0.1);
}

TEST(FeedWindow, IsForWhatWaitsForRain) {
  Scenario s = testing::one_bed(2);
  s.feedings.push_back(testing::broadcast("garden-compost", {4, 1}, 2000, "Bed"));
  s.feedings.push_back(testing::broadcast("soluble-feed", {6, 1}, 5, "Bed"));
  s.feedings.push_back(testing::broadcast("dried-blood", {6, 10}, 5, "Bed"));
  s.feedings.back().watered_in_mm = 10;
  s.feedings.push_back(testing::broadcast("dried-blood", {6, 20}, 5, "Bed"));
  s.feedings.back().forked_in_mm = 50;
  const SeasonResult r = run_season(testing::garden_of(std::move(s)));
  std::size_t waits = 0;
  for (const FeedDay& d : r.feed_days) {
    waits += d.window.has_value();
    EXPECT_EQ(d.window.has_value(), d.feeding == 0) << d.words;
  }
  EXPECT_EQ(waits, 1u);
}

TEST(FeedWindow, ARhythmsWindowsKeepApart) {
  Scenario s = testing::one_bed(3);
  s.feedings = {testing::broadcast("dried-blood", {4, 15}, 20, "Bed")};
  s.feedings[0].every_days = 21, s.feedings[0].until = MonthDay{7, 31};
  const SeasonResult r = run_season(testing::garden_of(std::move(s)));
  std::vector<FeedWindow> of_rhythm;
  for (const FeedDay& d : r.feed_days) of_rhythm.push_back(r.windows.at(d.window.value()));
  ASSERT_GE(of_rhythm.size(), 4u);
  for (std::size_t i = 1; i < of_rhythm.size(); ++i) EXPECT_LT(of_rhythm[i - 1].closes, of_rhythm[i].opens + std::chrono::days{5});
}

TEST(FeedWindow, IsSaidEverywhere) {
  const SeasonResult r = run_season(testing::garden_of(testing::one_bed(4)));
  const std::string words = "the first wet day (4 mm or more) of ";
  // Which day is the reckoning's and which the gardener's; what a can holds, once.
  std::string said = in_words(r, false);
  for (std::size_t at; (at = said.find("\n  ")) != std::string::npos;) said.replace(at, 3, " ");
  EXPECT_NE(said.find("Reckoned as given on 15 April: go out on the first wet day"), std::string::npos) << said;
  EXPECT_NE(said.find(", else on the last of them with two cans of 10 litres a square metre."), std::string::npos) << said;
  EXPECT_EQ(said.find("of 10 litres"), said.rfind("of 10 litres"));
  std::string ics = in_calendar(r);
  for (std::size_t at; (at = ics.find("\r\n ")) != std::string::npos;) ics.erase(at, 3);
  EXPECT_NE(ics.find("Reckoned as given on 15 April: go out on the first wet day"), std::string::npos) << ics;
  EXPECT_NE(in_html(r, {}).find(words), std::string::npos);
  const auto json = nlohmann::json::parse(in_json(r));
  ASSERT_GE(json["windows"].size(), 1u);
  EXPECT_EQ(json["windows"][0]["words"].get<std::string>().substr(0, words.size()), words);
  // Who does not ask why is spared the years.
  SeasonOptions plain;
  plain.reasons = false;
  EXPECT_TRUE(run_season(testing::garden_of(testing::one_bed(4)), plain).windows.empty());
}

}  // namespace
}  // namespace leafhunger
