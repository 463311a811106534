// Seasons as calendar days: equations.md 13.3.
#include <gtest/gtest.h>

#include "leafhunger/scenario.hpp"

namespace leafhunger {
namespace {

Site site_at(double latitude_deg) {
  Site site;
  site.latitude_deg = latitude_deg;
  return site;
}

DailyWeather weather_between(const char* first, const char* last) {
  DailyWeather weather;
  weather.first = *parse_date(first);
  weather.tmin_c.resize(static_cast<std::size_t>((*parse_date(last) - weather.first).count()) + 1);
  return weather;
}

TEST(SeasonDays, RunsFromNovemberToOctober) {
  const Site north = site_at(50);
  EXPECT_EQ(to_iso(season_first(north, 2004)), "2003-11-01");
  EXPECT_EQ(to_iso(season_last(north, 2004)), "2004-10-31");
}

TEST(SeasonDays, SouthIsHalfAYearLater) {
  const Site south = site_at(-37);
  EXPECT_EQ(to_iso(season_first(south, 2004)), "2003-05-01");
  EXPECT_EQ(to_iso(season_last(south, 2004)), "2004-04-30");
}

TEST(SeasonDays, OrderFollowsTheSeason) {
  const Site north = site_at(50), south = site_at(-37);
  EXPECT_LT(order_in_season(north, {11, 1}), order_in_season(north, {12, 31}));
  EXPECT_LT(order_in_season(north, {12, 31}), order_in_season(north, {1, 1}));
  EXPECT_LT(order_in_season(north, {1, 1}), order_in_season(north, {10, 31}));
  EXPECT_LT(order_in_season(south, {10, 31}), order_in_season(south, {4, 30}));
}

TEST(SeasonDays, OnlyWholeSeasonsCount) {
  const Site north = site_at(50);
  const auto range = whole_seasons(weather_between("2000-05-01", "2004-10-31"), north);
  ASSERT_TRUE(range);
  EXPECT_EQ(range->first, 2001);
  EXPECT_EQ(range->last, 2004);
  EXPECT_EQ(whole_seasons(weather_between("2000-11-01", "2004-10-30"), north)->first, 2001);
  EXPECT_EQ(whole_seasons(weather_between("2000-11-01", "2004-10-30"), north)->last, 2003);
  EXPECT_EQ(whole_seasons(weather_between("2000-11-02", "2004-12-30"), north)->first, 2002);
  EXPECT_FALSE(whole_seasons(weather_between("2000-11-02", "2001-10-31"), north));
  EXPECT_FALSE(whole_seasons(weather_between("2000-01-01", "2000-12-31"), north));
  EXPECT_FALSE(whole_seasons(DailyWeather{}, north));
  EXPECT_EQ(whole_seasons(weather_between("2000-01-01", "2002-12-31"), site_at(-37))->last, 2002);
}

}  // namespace
}  // namespace leafhunger
