// Today: each future is `lasts` of a record in which that weather did follow; nothing looks ahead.
#include "leafhunger/today.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "columns.hpp"
#include "host/parallel.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/lasts.hpp"

namespace leafhunger {
namespace {

Scenario four_years() {
  Scenario s = testing::one_bed(4);
  s.feedings.push_back(testing::broadcast("dried-blood", {8, 1}, 40, "Bed"));  // still to come
  return s;
}
const Date k_on = *parse_date("2006-06-20");

void put(DailyWeather& to, std::size_t at, const DailyWeather& from, std::size_t index) {
  to.tmin_c[at] = from.tmin_c[index], to.tmax_c[at] = from.tmax_c[index], to.rain_mm[at] = from.rain_mm[index];
}

TEST(Today, EachFutureIsLastsOfARecordThatWentOnSo) {
  const Scenario s = four_years();
  const TodayResult r = how_it_stands(testing::garden_of(s), k_on);
  EXPECT_EQ(r.season, 2006);
  EXPECT_EQ(r.seasons, (std::vector<int>{2003, 2004, 2005, 2007}));
  ASSERT_EQ(r.plantings.size(), 1u);
  int ran_short = 0;
  for (const Future& f : r.plantings[0].futures) {
    Scenario went = s;
    went.feedings.pop_back();
    for (Date d = k_on + std::chrono::days{1}; d <= season_last(s.site, 2006); d += std::chrono::days{1}) {
      const Date then = make_date(f.season, month_day_of(d));
      put(went.weather, static_cast<std::size_t>((d - s.weather.first).count()), s.weather,
          static_cast<std::size_t>((then - s.weather.first).count()));
    }
    const LastsResult lasts = how_often_it_lasts(testing::garden_of(std::move(went)));
    const auto& verdict = lasts.plantings[0].years[3].verdict;
    ASSERT_EQ(lasts.plantings[0].years[3].season, 2006);
    const auto until = static_cast<std::size_t>((r.carry_to - r.first).count()), today = static_cast<std::size_t>((k_on - r.first).count());
    if (verdict.first_short && *verdict.first_short <= until && *verdict.first_short >= today) {
      ++ran_short;
      EXPECT_EQ(f.first_short, verdict.first_short) << f.season;
      ASSERT_TRUE(f.due);
      EXPECT_LE(*f.due, *f.first_short);
      EXPECT_GE(*f.due, today);
    }
    if (!verdict.first_short || *verdict.first_short > until) {
      EXPECT_FALSE(f.first_short) << f.season;
    }
  }
  EXPECT_GT(ran_short, 0) << "a test that found nothing to find tests nothing";
}

TEST(Today, NothingLooksAhead) {
  Scenario s = four_years();
  const std::string before = in_json(how_it_stands(testing::garden_of(s), k_on));
  const auto today = static_cast<std::size_t>((k_on - s.weather.first).count());
  // What follows in the season at hand is used by no future: spoil it.
  for (std::size_t d = today + 1; d <= static_cast<std::size_t>((season_last(s.site, 2006) - s.weather.first).count()); ++d)
    s.weather.tmin_c[d] -= 15, s.weather.tmax_c[d] -= 15, s.weather.rain_mm[d] = 50;
  const TodayResult after = how_it_stands(testing::garden_of(s), k_on);
  // The season after it spins up on those days, so its own days are the same but nothing else may differ here.
  EXPECT_EQ(in_json(after), before);
}

TEST(Today, TheRecordMayEndToday) {
  Scenario s = four_years();
  const Date on = *parse_date("2007-06-20");
  const TodayResult whole = how_it_stands(testing::garden_of(s), on);
  const auto n = static_cast<std::size_t>((on - s.weather.first).count()) + 1;
  for (auto* row : {&s.weather.tmin_c, &s.weather.tmax_c, &s.weather.rain_mm}) row->resize(n);
  s.question.season = 2006;
  const TodayResult cut = how_it_stands(testing::garden_of(std::move(s)), on);
  ASSERT_EQ(cut.plantings.size(), whole.plantings.size());
  EXPECT_EQ(cut.seasons, whole.seasons);
  EXPECT_EQ(cut.plantings[0].nni, whole.plantings[0].nni);
  EXPECT_EQ(cut.plantings[0].due_usual, whole.plantings[0].due_usual);
}

TEST(Today, FeedGivenTodayCountsAndLaterFeedDoesNot) {
  Scenario s = four_years();
  const TodayResult r = how_it_stands(testing::garden_of(s), k_on);
  EXPECT_EQ(r.given.size(), 1u);
  EXPECT_EQ(r.to_come.size(), 1u);
  EXPECT_EQ(r.plantings[0].last_fed, parse_date("2006-04-15"));
  s.feedings[1].on = {6, 20};
  const TodayResult fed = how_it_stands(testing::garden_of(s), k_on);
  EXPECT_EQ(fed.plantings[0].last_fed, k_on);
  EXPECT_TRUE(fed.to_come.empty());
  EXPECT_LE(fed.plantings[0].short_in, r.plantings[0].short_in);
}

// The same again by the day named: lasts, of records that went on so, of a file that says so.
TEST(Today, TheSameAgainCarriesItAsLastsSays) {
  Scenario s = four_years();
  s.feedings.pop_back();
  s.feedings[0].amount.value = 200;
  const Date on = *parse_date("2006-05-20");
  const TodayResult r = how_it_stands(testing::garden_of(s), on);
  const PlantingToday& p = r.plantings[0];
  ASSERT_TRUE(p.needed);
  ASSERT_FALSE(p.again_words.empty());
  const auto until = static_cast<std::size_t>((r.carry_to - r.first).count());
  const auto carried = [&](Date fed) {
    int sum = 0;
    for (const Future& f : p.futures) {
      Scenario went = s;
      went.feedings.push_back(went.feedings[0]);
      went.feedings.back().on = month_day_of(fed);
      for (Date d = on + std::chrono::days{1}; d <= season_last(s.site, 2006); d += std::chrono::days{1})
        put(went.weather, static_cast<std::size_t>((d - s.weather.first).count()), s.weather,
            static_cast<std::size_t>((make_date(f.season, month_day_of(d)) - s.weather.first).count()));
      const auto verdict = how_often_it_lasts(testing::garden_of(std::move(went))).plantings[0].years[3].verdict;
      sum += !(verdict.first_short && *verdict.first_short <= until);
    }
    return sum;
  };
  const int wanted = nine_in_ten(static_cast<int>(p.futures.size()));
  int best = 0, at_last = 0;
  std::optional<Date> last;
  for (Date d = on; d <= r.carry_to; d += std::chrono::days{7}) {
    const int k = carried(d);
    best = std::max(best, k);
    if (k >= wanted) last = d, at_last = k;
  }
  EXPECT_EQ(p.again_by, last);
  EXPECT_EQ(p.again_kept, last ? at_last : best);
}

// What is short some days before the date can be mended by no feed: none is named, and none is said to last.
TEST(Today, TooLateIsSaid) {
  Scenario s = four_years();
  s.feedings.pop_back();
  s.feedings[0].amount.value = 20;
  const auto on = [&](const char* day) { return how_it_stands(testing::garden_of(s), *parse_date(day)); };
  for (const char* day : {"2006-08-20", "2006-08-31"}) {
    const TodayResult r = on(day);
    const PlantingToday& p = r.plantings[0];
    ASSERT_TRUE(p.needed) << day;
    EXPECT_TRUE(p.too_late) << day;
    EXPECT_FALSE(p.again_by) << day;
    const std::string text = in_words(r);
    EXPECT_NE(text.find("too late to mend that by 31 August"), std::string::npos) << text;
    EXPECT_EQ(text.find("given today it lasts"), std::string::npos) << text;
  }
  EXPECT_FALSE(on("2006-06-20").plantings[0].too_late);
}

TEST(Today, PastTheDateItSaysWhatComesNext) {
  Scenario s = four_years();
  const auto text = [&](const char* day) { return in_words(how_it_stands(testing::garden_of(s), *parse_date(day))); };
  EXPECT_NE(text("2006-09-20").find("31 August, the date asked about, is past. Better stop feeding nitrogen"), std::string::npos);
  EXPECT_EQ(text("2006-09-20").find("nough until"), std::string::npos) << "no comfort for a date that is past";
  s.question.carry_to = {7, 15};
  EXPECT_NE(text("2006-07-20").find("15 July, the date asked about, is past: to look further ahead, move"), std::string::npos);
  s.question.carry_to = {9, 30};
  s.feedings[0].amount.value = 20;
  EXPECT_NE(text("2006-09-05").find("! Better stop feeding nitrogen"), std::string::npos) << text("2006-09-05");
}

TEST(Today, TheBandIsInOrder) {
  for (const PlantingToday& p : how_it_stands(testing::example("saltmarsh-lane.json"), *parse_date("2023-06-01")).plantings) {
    SCOPED_TRACE(p.name);
    if (p.due_early && p.due_usual) {
      EXPECT_LE(*p.due_early, *p.due_usual);
    }
    if (p.due_usual && p.due_late) {
      EXPECT_LE(*p.due_usual, *p.due_late);
    }
    EXPECT_EQ(p.futures.size(), 13u);
    EXPECT_EQ(p.needed, p.short_in > 1) << "12 of 13 are 9 of 10";
  }
}

TEST(TodayThreads, TheSameBytesWhateverTheThreads) {
  const Garden garden = testing::garden_of(four_years());
  const std::string many = in_json(how_it_stands(garden, k_on));
  const OneThread alone;
  EXPECT_EQ(in_json(how_it_stands(garden, k_on)), many);
}

TEST(Today, SouthOfTheEquatorTheSeasonIsHalfAYearLater) {
  Scenario s = testing::empty_scenario(3, 1, -41);
  s.beds.push_back(testing::bed("Bed", 12));
  s.beds[0].plantings.push_back(testing::planting(s, "Bananas", "hardy-banana", 3));
  s.feedings.push_back(testing::broadcast("concentrated-manure-powder", {10, 15}, 120, "Bed"));
  s.question.carry_to = {2, 28};
  const TodayResult r = how_it_stands(testing::garden_of(std::move(s)), *parse_date("2004-12-20"));
  EXPECT_EQ(r.season, 2005);
  EXPECT_EQ(r.first, *parse_date("2004-05-01"));
  EXPECT_EQ(r.given.size(), 1u);
}

// A season that lies beyond the record is as in the other years: nothing of it is known.
TEST(Today, BeyondTheRecordEveryYearStandsForIt) {
  const TodayResult r = how_it_stands(testing::garden_of(four_years()), *parse_date("2030-06-01"));
  EXPECT_FALSE(r.any_weather);
  EXPECT_EQ(r.season, 2030);
  EXPECT_EQ(r.plantings[0].futures.size(), r.seasons.size());
  EXPECT_NE(in_words(r).find("No weather of this season is at hand"), std::string::npos);
  EXPECT_TRUE(how_it_stands(testing::garden_of(four_years()), *parse_date("2006-06-01")).any_weather);
}

TEST(Today, DaysThatCannotBeAskedAboutAreRefused) {
  const Garden garden = testing::garden_of(four_years());
  for (const char* day : {"1990-06-01", "2002-10-01"}) EXPECT_THROW(how_it_stands(garden, *parse_date(day)), InputError) << day;
  EXPECT_THROW(how_it_stands(testing::garden_of(testing::one_bed(0)), *parse_date("2003-06-01")), InputError) << "no other season";
}

}  // namespace
}  // namespace leafhunger
