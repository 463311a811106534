// Weather files that are taken, and the limits; the faults are in tests/bad/cases.json.
#include <gtest/gtest.h>

#include <cmath>

#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"
#include "temp_garden.hpp"

namespace leafhunger {
namespace {

DailyWeather read(const std::string& text, int fill_days = 0) {
  const testing::TempFolder folder;
  return read_weather(folder.write("w.csv", text), fill_days);
}

std::string refusal(const std::string& text, int fill_days = 0) {
  try {
    read(text, fill_days);
  } catch (const InputError& error) {
    return error.what();
  }
  ADD_FAILURE() << "was taken";
  return {};
}

TEST(WeatherReader, ColumnsInAnyOrder) {
  const DailyWeather w = read("rain_mm,tmax_c,date,tmin_c\n1.5,9,2004-02-28,-2\n0,10.25,2004-02-29,+3\n");
  EXPECT_EQ(to_iso(w.first), "2004-02-28");
  EXPECT_EQ(w.tmin_c, (std::vector<double>{-2, 3}));
  EXPECT_EQ(w.tmax_c, (std::vector<double>{9, 10.25}));
  EXPECT_EQ(w.rain_mm, (std::vector<double>{1.5, 0}));
  EXPECT_TRUE(w.sun_h.empty() && w.radiation_mj_m2.empty() && w.wind_m_s.empty());
  EXPECT_TRUE(w.notes.empty());
}

TEST(WeatherReader, EveryOptionalColumn) {
  const DailyWeather w = read(
      "date,tmin_c,tmax_c,rain_mm,sun_h,radiation_mj_m2,rh_mean_percent,rh_max_percent,rh_min_percent,vapour_pressure_kpa,wind_m_s\n"
      "2004-02-29,1,2,3,4,5,60,70,50,0.9,10\n");
  EXPECT_EQ(w.sun_h[0], 4);
  EXPECT_EQ(w.radiation_mj_m2[0], 5);
  EXPECT_EQ(w.rh_mean_percent[0], 60);
  EXPECT_EQ(w.rh_max_percent[0], 70);
  EXPECT_EQ(w.rh_min_percent[0], 50);
  EXPECT_EQ(w.vapour_pressure_kpa[0], 0.9);
  EXPECT_EQ(w.wind_m_s[0], 10);
}

TEST(WeatherReader, CommentsBlankLinesBlanksQuotesAndWindowsEnds) {
  const DailyWeather w = read(
      "\xEF\xBB\xBF# a remark\r\n\r\n \"date\" , tmin_c,tmax_c,rain_mm\r\n  # another, with commas, in it\r\n"
      "\"2003-12-31\",\" 1\" , 2 ,3\r\n\r\n2004-01-01,4,5,6");
  EXPECT_EQ(w.days(), 2u);
  EXPECT_EQ(w.tmin_c, (std::vector<double>{1, 4}));
  EXPECT_EQ(w.rain_mm[1], 6);
}

TEST(WeatherReader, EmptyOptionalCellsAreNotMeasured) {
  const DailyWeather w = read("date,tmin_c,tmax_c,rain_mm,sun_h,wind_m_s\n2003-12-31,1,2,3,,\n2004-01-01,1,2,3,4.5,\n");
  ASSERT_EQ(w.sun_h.size(), 2u);
  EXPECT_TRUE(std::isnan(w.sun_h[0]));
  EXPECT_EQ(w.sun_h[1], 4.5);
  EXPECT_TRUE(w.wind_m_s.empty());  // never measured: as good as no column
}

TEST(WeatherReader, FurtherColumnsAreNamedOnce) {
  const DailyWeather w =
      read("date,tmin_c,tmax_c,rain_mm,snow_cm,wind_ms,\n2003-12-31,1,2,3,lots,4,\n2004-01-01,1,2,3,\"a \"\"b\"\", c\",4,\n");
  ASSERT_EQ(w.notes.size(), 1u);
  EXPECT_NE(w.notes[0].find("\"snow_cm\", \"wind_ms\" (is it \"wind_m_s\"?)"), std::string::npos) << w.notes[0];
}

TEST(WeatherReader, EdgesOfTheRangesAreTaken) {
  const DailyWeather w = read("date,tmin_c,tmax_c,rain_mm,sun_h\n2003-12-31,-70,60,2000,24\n2004-01-01,5,5,0,0\n");
  EXPECT_EQ(w.days(), 2u);
}

TEST(WeatherReader, GapsOverLeapDaysAndYears) {
  const std::string head = "date,tmin_c,tmax_c,rain_mm\n";
  EXPECT_NO_THROW(read(head + "2004-02-28,1,2,3\n2004-02-29,1,2,3\n2004-03-01,1,2,3\n"));
  EXPECT_NO_THROW(read(head + "1900-02-28,1,2,3\n1900-03-01,1,2,3\n"));
  EXPECT_NE(refusal(head + "2004-02-28,1,2,3\n2004-03-01,1,2,3\n").find("1 day is missing from 2004-02-29"), std::string::npos);
  EXPECT_NE(refusal(head + "2003-12-30,1,2,3\n2004-01-02,1,2,3\n").find("2 days are missing from 2003-12-31"), std::string::npos);
}

// 27 February 2 and 10 degC, 2 March 8 and 16: the leap day counts in 2004 and not in 2003.
TEST(WeatherReader, GapsInAStraightLineOverTheLeapDay) {
  const std::string head = "date,tmin_c,tmax_c,rain_mm,sun_h,radiation_mj_m2,rh_mean_percent,wind_m_s\n";
  const DailyWeather leap = read(head + "2004-02-27,2,10,5,4,6,80,3\n2004-03-02,8,16,7,5,8,90,4\n", 3);
  ASSERT_EQ(leap.days(), 5u);
  const std::vector<double> low = {2, 3.5, 5, 6.5, 8}, high = {10, 11.5, 13, 14.5, 16};
  for (std::size_t d = 0; d < 5; ++d) {
    EXPECT_DOUBLE_EQ(leap.tmin_c[d], low[d]);
    EXPECT_DOUBLE_EQ(leap.tmax_c[d], high[d]);
  }
  EXPECT_EQ(leap.rain_mm, (std::vector<double>{5, 0, 0, 0, 7}));
  for (const auto* column : {&leap.sun_h, &leap.radiation_mj_m2, &leap.rh_mean_percent, &leap.wind_m_s}) {
    ASSERT_EQ(column->size(), 5u);
    EXPECT_FALSE(std::isnan(column->front()) || std::isnan(column->back()));
    for (std::size_t d = 1; d < 4; ++d) EXPECT_TRUE(std::isnan((*column)[d]));
  }
  ASSERT_EQ(leap.notes.size(), 1u);
  EXPECT_NE(leap.notes[0].find("what is missing on 2004-02-28 to 2004-03-01 is filled"), std::string::npos) << leap.notes[0];

  const DailyWeather common = read(head + "2003-02-27,2,10,5,4,6,80,3\n2003-03-02,8,16,7,5,8,90,4\n", 3);
  ASSERT_EQ(common.days(), 4u);
  EXPECT_DOUBLE_EQ(common.tmin_c[1], 4);
  EXPECT_EQ(to_iso(common.date(3)), "2003-03-02");
}

TEST(WeatherReader, EveryFilledStretchIsNamedOnce) {
  const std::string head = "date,tmin_c,tmax_c,rain_mm\n";
  const DailyWeather w = read(head + "2003-12-30,1,5,2\n2004-01-02,4,8,2\n2004-01-03,4,8,\n2004-01-04,4,8,1\n2004-01-06,4,8,1\n", 2);
  ASSERT_EQ(w.days(), 8u);
  ASSERT_EQ(w.notes.size(), 1u);
  EXPECT_NE(w.notes[0].find("2003-12-31 to 2004-01-01, 2004-01-03, 2004-01-05 is filled"), std::string::npos) << w.notes[0];
  EXPECT_EQ(w.rain_mm, (std::vector<double>{2, 0, 0, 2, 0, 1, 0, 1}));
  EXPECT_DOUBLE_EQ(w.tmin_c[1], 2);
  EXPECT_TRUE(read(head + "2003-12-30,1,5,2\n2003-12-31,4,8,2\n", 2).notes.empty());
}

// A figure that was measured stays, and tmin stays below tmax.
TEST(WeatherReader, OnlyWhatIsMissingIsFilled) {
  const std::string head = "date,tmin_c,tmax_c,rain_mm\n";
  const DailyWeather w = read(head + "2004-05-01,5,10,1\n2004-05-02,14,,3\n2004-05-03,,4,\n2004-05-04,,,6\n2004-05-05,7,18,2\n", 3);
  EXPECT_EQ(w.tmin_c[1], 14);
  EXPECT_EQ(w.tmax_c[1], 14);  // 7 on the line from 10 to 4: below what was measured
  EXPECT_EQ(w.tmax_c[2], 4);
  EXPECT_EQ(w.tmin_c[2], 4);  // 11.667 on the line from 14 to 7: above what was measured
  EXPECT_NEAR(w.tmin_c[3], 14 - 7.0 * 2 / 3, 1e-12);
  EXPECT_DOUBLE_EQ(w.tmax_c[3], 11);
  EXPECT_EQ(w.rain_mm, (std::vector<double>{1, 3, 0, 6, 2}));
}

TEST(WeatherReader, LongGapsAreRefusedEvenWhereGapsAreFilled) {
  const std::string head = "date,tmin_c,tmax_c,rain_mm\n";
  const std::string four = head + "2004-02-26,1,5,2\n2004-03-02,4,8,2\n";
  EXPECT_EQ(read(four, 4).days(), 6u);
  EXPECT_NE(refusal(four, 3).find("line 3, column date: found a gap of 4 days, 2004-02-27 to 2004-03-01"), std::string::npos);
  // Lines left out and blank cells side by side are one gap.
  const std::string mixed = head + "2004-02-26,1,5,2\n2004-02-27,,,\n2004-03-01,,,1\n2004-03-02,4,8,2\n";
  EXPECT_EQ(read(mixed, 4).days(), 6u);
  EXPECT_NE(refusal(mixed, 3).find("line 3: found a gap of 4 days, 2004-02-27 to 2004-03-01"), std::string::npos) << refusal(mixed, 3);
  // Not even a gap of thousands of years takes memory.
  EXPECT_NE(refusal(head + "1004-02-26,1,5,2\n9004-03-02,4,8,2\n", 10).find("a gap of 2921"), std::string::npos);
}

TEST(WeatherReader, NothingIsFilledAtTheEnds) {
  const std::string head = "date,tmin_c,tmax_c,rain_mm\n";
  EXPECT_NE(
      refusal(head + "2004-05-01,5,,1\n2004-05-02,5,10,1\n", 5).find("line 2: found no full figures for 2004-05-01 and no day before"),
      std::string::npos);
  EXPECT_NE(refusal(head + "2004-05-01,5,10,1\n2004-05-02,5,,1\n", 5).find("line 3: found no full figures for 2004-05-02 and no day after"),
            std::string::npos);
  EXPECT_THROW(read(head + "2004-05-01,,,\n", 5), InputError);
}

TEST(WeatherReader, NearestColumnIsNamed) {
  EXPECT_NE(refusal("Date,tmin_c,tmax_c,rain_mm\n").find("rename the column \"Date\""), std::string::npos);
  EXPECT_NE(refusal("date,min_temp,max_temp,rain_mm\n").find("no column \"tmin_c\""), std::string::npos);
}

TEST(WeatherReader, EndlessLineIsRefused) {
  const std::string sentence = refusal("date,tmin_c,tmax_c,rain_mm\n" + std::string(1 << 20, '1'));
  EXPECT_NE(sentence.find("line 2: found a line of more than 65536 bytes"), std::string::npos) << sentence;
}

TEST(WeatherReader, HugeFileIsRefused) {
  const testing::TempFolder folder;
  const std::string path = folder.write("w.csv", "date,tmin_c,tmax_c,rain_mm\n");
  std::filesystem::resize_file(path, (256ull << 20) + 1);  // a hole: takes no room on the disk
  try {
    read_weather(path);
    ADD_FAILURE() << "was taken";
  } catch (const InputError& error) {
    EXPECT_NE(std::string(error.what()).find("more than 256 MiB"), std::string::npos) << error.what();
  }
}

TEST(WeatherReader, FolderAndMissingFile) {
  const testing::TempFolder folder;
  EXPECT_THROW(read_weather(folder.at("")), InputError);
  EXPECT_THROW(read_weather(folder.at("none.csv")), InputError);
}

}  // namespace
}  // namespace leafhunger
