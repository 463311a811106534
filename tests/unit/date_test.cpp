// Calendar days.
#include "leafhunger/date.hpp"

#include <gtest/gtest.h>

namespace leafhunger {
namespace {

TEST(Date, ReadsAndWritesIso) {
  for (const char* text : {"1900-01-01", "2000-02-29", "2024-04-15", "1999-12-31", "9999-12-31", "1000-01-01"}) {
    const auto date = parse_date(text);
    ASSERT_TRUE(date) << text;
    EXPECT_EQ(to_iso(*date), text);
  }
}

TEST(Date, RefusesWhatIsNoDay) {
  for (const char* text : {"",           "2024",       "2024-4-15",  "2024-04-5",  "24-04-15",   "2024-13-01",  "2024-00-01",  "2024-04-31",
                           "2024-04-00", "2023-02-29", "1900-02-29", "0999-01-01", "2024/04/15", "2024-04-15 ", " 2024-04-15", "+024-04-15",
                           "2024-04-1x", "2024-+4-15", "20240-4-15", "-024-04-15"})
    EXPECT_FALSE(parse_date(text)) << text;
}

TEST(Date, ReadsADayOfTheYear) {
  EXPECT_EQ(parse_month_day("04-15"), (MonthDay{4, 15}));
  EXPECT_EQ(parse_month_day("02-29"), (MonthDay{2, 29})) << "a day that only leap years have is still a day";
  for (const char* text : {"", "4-15", "04-31", "13-01", "00-10", "02-30", "04-15-", "0415", "04-1 "})
    EXPECT_FALSE(parse_month_day(text)) << text;
}

TEST(Date, PutsTheLeapDayOnThe28thInCommonYears) {
  EXPECT_EQ(to_iso(make_date(2024, {2, 29})), "2024-02-29");
  EXPECT_EQ(to_iso(make_date(2023, {2, 29})), "2023-02-28");
  EXPECT_EQ(to_iso(make_date(2000, {2, 29})), "2000-02-29") << "2000 was a leap year, 1900 was not";
  EXPECT_EQ(to_iso(make_date(1900, {2, 29})), "1900-02-28");
}

TEST(Date, CountsDaysOfTheYear) {
  EXPECT_EQ(day_of_year(make_date(2023, {1, 1})), 1);
  EXPECT_EQ(day_of_year(make_date(2023, {12, 31})), 365);
  EXPECT_EQ(day_of_year(make_date(2024, {12, 31})), 366);
  // FAO-56 Annex 2, Table 2.5: 3 September is day 246 of a common year, 1 July day 182.
  EXPECT_EQ(day_of_year(make_date(2023, {9, 3})), 246);
  EXPECT_EQ(day_of_year(make_date(2023, {7, 1})), 182);
}

TEST(Date, GoesThereAndBackForACentury) {
  int expected = 1;
  for (Date d = make_date(1901, {1, 1}); d < make_date(2001, {1, 1}); d += std::chrono::days{1}) {
    ASSERT_EQ(make_date(year_of(d), month_day_of(d)), d);
    ASSERT_EQ(parse_date(to_iso(d)), d);
    if (month_day_of(d) == MonthDay{1, 1}) expected = 1;
    ASSERT_EQ(day_of_year(d), expected++) << to_iso(d);
  }
}

TEST(Date, SpeaksAsAGardenerDoes) {
  EXPECT_EQ(to_words({4, 5}), "5 April");
  EXPECT_EQ(to_words({8, 31}), "31 August");
  EXPECT_EQ(to_iso(MonthDay{8, 3}), "08-03");
}

TEST(Date, OrdersDaysOfTheYear) {
  EXPECT_LT((MonthDay{2, 28}), (MonthDay{3, 1}));
  EXPECT_LT((MonthDay{3, 1}), (MonthDay{3, 2}));
}

}  // namespace
}  // namespace leafhunger
