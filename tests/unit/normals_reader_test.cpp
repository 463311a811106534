// Monthly normals that are taken and refused, places by name, and generated weather to a file and back.
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <filesystem>

#include "leafhunger/error.hpp"
#include "leafhunger/normals.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/weather_writer.hpp"
#include "temp_garden.hpp"

namespace leafhunger {
namespace {

using testing::TempFolder;

const std::string k_header = "place,lat_deg,lon_deg,elevation_m,month,tmin_c,tmax_c,rain_mm,source\n";

/// Invented normals of one place.
std::string rows(const std::string& place, const std::string& after = "") {
  std::string out;
  for (int m = 1; m <= 12; ++m) {
    const int warmth = m < 8 ? m : 14 - m;
    out += place + ",50.5,-4.1,20," + std::to_string(m) + ',' + std::to_string(warmth) + ".5," + std::to_string(warmth + 7) + ".25," +
           std::to_string(90 - 3 * m) + ",invented" + after + '\n';
  }
  return out;
}

std::vector<ClimateNormals> read(const std::string& text) {
  const TempFolder folder;
  return read_normals(folder.write("n.csv", text));
}

TEST(NormalsReader, ReadsPlacesInOrder) {
  const auto n = read("# remark\n" + k_header + rows("Near") + "\n" + rows("\"Far, and away\""));
  ASSERT_EQ(n.size(), 2u);
  EXPECT_EQ(n[0].place, "Near");
  EXPECT_EQ(n[1].place, "Far, and away");
  EXPECT_EQ(n[0].latitude_deg, 50.5);
  EXPECT_EQ(n[0].longitude_deg, -4.1);
  EXPECT_EQ(n[0].elevation_m, 20);
  EXPECT_EQ(n[0].source, "invented");
  EXPECT_EQ(n[0].months[0].tmin_c, 1.5);
  EXPECT_EQ(n[0].months[0].tmax_c, 8.25);
  EXPECT_EQ(n[0].months[11].rain_mm, 54);
  EXPECT_FALSE(n[0].months[0].wet_days || n[0].months[0].tmin_sd_c || n[0].months[0].tmax_sd_c);
}

TEST(NormalsReader, ColumnsInAnyOrderAndOnlyTheNeededOnes) {
  std::string text = "\xEF\xBB\xBFrain_mm,month,tmax_c,tmin_c,lat_deg,place\r\n";
  for (int m = 12; m >= 1; --m) text += "60," + std::to_string(m) + ",15,6,-41,Mine\r\n";
  const auto n = read(text);
  ASSERT_EQ(n.size(), 1u);
  EXPECT_EQ(n[0].latitude_deg, -41);
  EXPECT_FALSE(n[0].elevation_m || n[0].longitude_deg);
  EXPECT_EQ(n[0].source, "");
  EXPECT_EQ(n[0].months[5].tmax_c, 15);
}

TEST(NormalsReader, OptionalColumns) {
  const std::string wider = k_header.substr(0, k_header.size() - 1) + ",wet_days,tmin_sd_c,tmax_sd_c\n";
  const auto n = read(wider + rows("Near", ",11.5,3,2.5"));
  EXPECT_EQ(n[0].months[3].wet_days, 11.5);
  EXPECT_EQ(n[0].months[3].tmin_sd_c, 3);
  EXPECT_EQ(n[0].months[3].tmax_sd_c, 2.5);
  const auto empty = read(wider + rows("Near", ",,,"));
  EXPECT_FALSE(empty[0].months[3].wet_days || empty[0].months[3].tmin_sd_c);
}

TEST(NormalsReader, ShippedPlacesHaveSourcesAndTheirYearlyRain) {
  const auto n = read_normals(shipped_normals(LEAFHUNGER_CATALOGUE_DIR));
  ASSERT_EQ(n.size(), 19u);
  for (const auto& place : n) EXPECT_GT(place.source.size(), 20u) << place.place;
  // Yearly totals of the same tables as noted when they were gathered; nearest millimetre.
  const auto yearly = [&](const char* name) {
    double sum = 0;
    for (const auto& m : find_place(n, name, "").months) sum += m.rain_mm;
    return sum;
  };
  EXPECT_NEAR(yearly("Camborne"), 1076, 0.6);
  EXPECT_NEAR(yearly("Eskdalemuir"), 1829, 0.6);
  EXPECT_NEAR(yearly("Dublin Airport"), 772, 0.6);
  EXPECT_NEAR(yearly("Heathrow"), 616, 0.6);
}

TEST(NormalsReader, PlacesByNameCaseAndWithoutBrackets) {
  const auto n = read_normals(shipped_normals(LEAFHUNGER_CATALOGUE_DIR));
  EXPECT_EQ(find_place(n, "Camborne", "").place, "Camborne");
  EXPECT_EQ(find_place(n, "dublin airport", "").place, "Dublin Airport");
  EXPECT_EQ(find_place(n, "rothamsted", "").place, "Rothamsted (1891-1990)");
  try {
    find_place(n, "Cambourne", "normals.csv");
    FAIL();
  } catch (const InputError& error) {
    const std::string sentence = error.what();
    EXPECT_TRUE(sentence.starts_with("normals.csv: found no place \"Cambourne\"; allowed is \"Camborne\"")) << sentence;
    EXPECT_NE(sentence.find("the nearest name is \"Camborne\"."), std::string::npos) << sentence;
  }
}

struct Bad {
  const char* name;
  std::string text;
  const char* place;
  const char* found;
  const char* hint;
};

std::vector<Bad> bad_files() {
  const std::string good = k_header + rows("Near");
  const auto changed = [&](const std::string& from, const std::string& to) { return testing::replaced(good, from, to); };
  const auto line = [&](int number) {  // of the good file, 1 the header
    std::size_t start = 0;
    for (int i = 1; i < number; ++i) start = good.find('\n', start) + 1;
    return good.substr(start, good.find('\n', start) + 1 - start);
  };
  const std::string wet = k_header.substr(0, k_header.size() - 1) + ",wet_days\n";
  const std::string sd = k_header.substr(0, k_header.size() - 1) + ",tmin_sd_c,tmax_sd_c\n";
  return {
      {"empty", "", "", "an empty file", "right file"},
      {"only remarks", "# nothing\n", "", "an empty file", "right file"},
      {"no rows", k_header, "line 1", "column names and no row", "add January"},
      {"semicolons", "place;lat_deg;month\n", "line 1", "not parted by commas", "as CSV"},
      {"unknown column", changed("rain_mm", "rain"), "line 1", "the column \"rain\"", "\"rain_mm\""},
      {"column twice", changed("lon_deg", "lat_deg"), "line 1", "\"lat_deg\" a second time", "remove one"},
      {"column missing", testing::replaced(k_header, ",tmax_c", ""), "line 1", "no column \"tmax_c\"", "add the column"},
      {"one sd column", "place,lat_deg,month,tmin_c,tmax_c,rain_mm,tmin_sd_c\n", "line 1", "only one of", "add the other"},
      {"cells missing", changed(",12,2.5,9.25,54,invented", ",12,2.5,9.25,54"), "line 13", "8 cells", "leave unknown cells empty"},
      {"comma in a text", changed(",12,2.5,9.25,54,invented", ",12,2.5,9.25,54,made, up"), "line 13", "10 cells",
       "between double quotation marks"},
      {"quotation mark open", changed(",12,2.5,9.25,54,invented", ",12,2.5,9.25,54,\"invented"), "line 13", "not closed", "close it"},
      {"place empty", changed("Near,50.5,-4.1,20,12", ",50.5,-4.1,20,12"), "line 13, column place", "an empty cell", "name the place"},
      {"month 13", changed(",20,12,", ",20,13,"), "line 13, column month", "13", "write 1 for January"},
      {"month by name", changed(",20,12,", ",20,Dec,"), "line 13, column month", "Dec", "write 1 for January"},
      {"month and a half", changed(",20,12,", ",20,11.5,"), "line 13, column month", "11.5", "write 1 for January"},
      {"month twice", changed(",20,12,", ",20,11,"), "line 13, column month", "November of \"Near\" a second time", "keep one"},
      {"month missing", changed(line(13), ""), "line 12", "\"Near\" without December", "add the missing"},
      {"two months missing", changed(line(12) + line(13), ""), "line 11", "without November and December", "add the missing"},
      {"one row", k_header + line(2), "line 2", "without February, March", "add the missing"},
      {"latitude above 90", changed("Near,50.5,-4.1,20,1,", "Near,95,-4.1,20,1,"), "line 2, column lat_deg", "95", "off a map"},
      {"another latitude", changed("Near,50.5,-4.1,20,2,", "Near,50.6,-4.1,20,2,"), "line 3, column lat_deg", "\"50.6\"",
       "the same in all twelve rows"},
      {"another source", changed(",12,2.5,9.25,54,invented", ",12,2.5,9.25,54,measured"), "line 13, column source", "\"measured\"",
       "the same in all"},
      {"fahrenheit", changed(",12,2.5,9.25,54", ",12,41.5,50.25,54"), "line 13, column tmin_c", "41.5", "degrees Celsius"},
      {"not a number", changed(",12,2.5,9.25,54", ",12,2.5x,9.25,54"), "line 13, column tmin_c", "2.5x", "degrees Celsius"},
      {"not finite", changed(",12,2.5,9.25,54", ",12,nan,9.25,54"), "line 13, column tmin_c", "nan", "degrees Celsius"},
      {"empty figure", changed(",12,2.5,9.25,54", ",12,2.5,9.25,"), "line 13, column rain_mm", "an empty cell", "mean total"},
      {"exchanged", changed(",12,2.5,9.25,54", ",12,9.25,2.5,54"), "line 13, column tmax_c", "2.5 with tmin_c 9.25", "exchanged"},
      {"no range", changed(",12,2.5,9.25,54", ",12,9,9.25,54"), "line 13, column tmax_c", "9.25 with tmin_c 9", "means of the days'"},
      {"negative rain", changed(",12,2.5,9.25,54", ",12,2.5,9.25,-5"), "line 13, column rain_mm", "-5", "mean total"},
      {"not UTF-8", changed(",12,2.5,9.25,54,invented", ",12,2.5,9.25,54,inv\xE9nted"), "line 13", "not in UTF-8", "UTF-8"},
      {"more wet days than rain", wet + rows("Near", ",29"), "line 3, column wet_days", "29", "at least 1.0 mm"},
      {"no wet day in the rain", wet + rows("Near", ",0"), "line 2, column wet_days", "0 with 87 mm", "at least 1.0 mm"},
      {"too much a wet day", wet + rows("Near", ",1"), "line 2, column wet_days", "1 with 87 mm", "at least 1.0 mm"},
      {"one sd empty", sd + rows("Near", ",3,"), "line 2, column tmax_sd_c", "an empty cell", "empty both"},
      {"sd of nought", sd + rows("Near", ",0,3"), "line 2, column tmin_sd_c", "0", "standard deviation of all daily values"},
      {"sd in some months", sd + testing::replaced(rows("Near", ",3,3"), "84,invented,3,3", "84,invented,,"), "line 3", "in some months",
       "empty both columns"},
  };
}

TEST(NormalsReader, EveryFaultIsOneClearSentence) {
  for (const Bad& bad : bad_files()) {
    SCOPED_TRACE(bad.name);
    const TempFolder folder;
    const std::string path = folder.write("n.csv", bad.text);
    try {
      read_normals(path);
      ADD_FAILURE() << "was taken";
    } catch (const InputError& error) {
      const std::string sentence = error.what();
      EXPECT_TRUE(sentence.starts_with(path + (*bad.place ? std::string(", ") + bad.place : std::string()) + ": found ")) << sentence;
      EXPECT_NE(error.fault().found.find(bad.found), std::string::npos) << sentence;
      EXPECT_NE(error.fault().hint.find(bad.hint), std::string::npos) << sentence;
      EXPECT_EQ(sentence.back(), '.');
      EXPECT_EQ(sentence.find_first_of("\r\n\t"), std::string::npos);
      EXPECT_LT(sentence.size(), 600u) << sentence;
    }
  }
}

TEST(NormalsReader, MissingFileNamesTheNearest) {
  const TempFolder folder;
  folder.write("normals.csv", "x");
  try {
    read_normals(folder.at("normal.csv"));
    FAIL();
  } catch (const InputError& error) {
    EXPECT_NE(std::string(error.what()).find("\"normals.csv\""), std::string::npos) << error.what();
  }
}

TEST(WeatherWriter, ReadsBackTheSame) {
  const TempFolder folder;
  const auto places = read_normals(shipped_normals(LEAFHUNGER_CATALOGUE_DIR));
  for (const char* name : {"Camborne", "Lerwick", "Wellington NZ"}) {  // Lerwick has many days about nought
    const auto& place = find_place(places, name, "");
    const GeneratorRequest request{1998, 8, 3};
    const auto made = WeatherGenerator(place).generate(request);
    const std::string path = folder.at(std::string(name) + ".csv");
    write_whole_file(path, weather_csv(made, place, request, "1.2.3"), false);
    const auto read = read_weather(path);
    EXPECT_EQ(read.first, made.first);
    EXPECT_EQ(read.tmin_c, made.tmin_c);
    EXPECT_EQ(read.tmax_c, made.tmax_c);
    EXPECT_EQ(read.rain_mm, made.rain_mm);
    EXPECT_TRUE(read.notes.empty());
  }
}

TEST(WeatherWriter, SaysWhatItIs) {
  const auto places = read_normals(shipped_normals(LEAFHUNGER_CATALOGUE_DIR));
  const auto& place = find_place(places, "Camborne", "");
  const GeneratorRequest request{1998, 1, 42};
  const std::string csv = weather_csv(WeatherGenerator(place).generate(request), place, request, "1.2.3");
  EXPECT_TRUE(csv.starts_with("# GENERATED weather: no station measured it. Made by leafhunger 1.2.3, seed 42, 1 year from 1998-11-01.\n"));
  EXPECT_NE(csv.find("# Monthly normals of Camborne: " + place.source), std::string::npos);
  EXPECT_EQ(csv.find("-0.0"), std::string::npos);
  EXPECT_EQ(csv.find('\r'), std::string::npos);
  EXPECT_NE(generated_note(place, request).find("1 year, seed 42, from the normals of Camborne (" + place.source), std::string::npos);
}

/// What write_whole_file says of a name; empty where it wrote.
std::string refusal(const std::string& path, bool force) {
  try {
    write_whole_file(path, "new", force);
  } catch (const InputError& error) {
    return error.what();
  }
  return {};
}

TEST(WeatherWriter, KeepsWhatIsThereUnlessForced) {
  const TempFolder folder;
  const std::string path = folder.write("w.csv", "old");
  EXPECT_NE(refusal(path, false).find("overwrite it with --force"), std::string::npos);
  EXPECT_EQ(testing::read_all(path), "old");
  EXPECT_EQ(refusal(path, true), "");
  EXPECT_EQ(testing::read_all(path), "new");
  EXPECT_EQ(folder.names(), (std::set<std::string>{path}));
}

TEST(WeatherWriter, LeavesNothingWhereItCannotWrite) {
  const TempFolder folder;
  EXPECT_NE(refusal(folder.at("no/such/w.csv"), false).find("no folder"), std::string::npos);
  EXPECT_NE(refusal(folder.at("."), true).find("a folder"), std::string::npos);
  EXPECT_NE(refusal("", true).find("an empty name"), std::string::npos);
  EXPECT_NE(refusal(folder.at(std::string(300, 'x')), true).find("may not be written"), std::string::npos);  // too long a name
  EXPECT_TRUE(folder.names().empty());
  const std::string pipe = folder.at("pipe");
  ASSERT_EQ(::mkfifo(pipe.c_str(), 0600), 0);
  EXPECT_NE(refusal(pipe, true).find("no plain file"), std::string::npos);
  EXPECT_EQ(folder.names(), (std::set<std::string>{pipe}));
}

}  // namespace
}  // namespace leafhunger
