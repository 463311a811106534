// The diary: what was truly given, in place of what was planned.
#include "leafhunger/diary.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"
#include "support/command.hpp"
#include "unit/temp_garden.hpp"

namespace leafhunger {
namespace {

using testing::TempFolder;

// The demo garden has weather of 2010 to 2024, three bananas, eight cannas, and a planned feed of 15 April.
const Scenario& demo() {
  static const Scenario s = read_scenario(LEAFHUNGER_SOURCE_DIR "/scenarios/saltmarsh-lane.json", LEAFHUNGER_CATALOGUE_DIR);
  return s;
}

Diary read(const TempFolder& folder, const std::string& text) { return *read_diary(folder.write("d.diary.txt", text), demo()); }

std::string refused(const std::string& text) {
  const TempFolder folder;
  const std::string path = folder.write("d.diary.txt", text);
  try {
    read_diary(path, demo());
  } catch (const InputError& e) {
    const std::string why = e.what();
    EXPECT_EQ(why.find(path), 0u) << why;
    return why.substr(path.size() + 2);
  }
  return "not refused: " + text;
}

TEST(Diary, LiesBesideItsScenario) {
  EXPECT_EQ(diary_path("gardens/lane.json"), "gardens/lane.diary.txt");
  EXPECT_EQ(diary_path("lane"), "lane.diary.txt");
  EXPECT_FALSE(read_diary("/nowhere/at-all.diary.txt", demo()));
}

TEST(Diary, ReadsLinesAsPeopleWriteThem) {
  const TempFolder folder;
  const Diary d = read(folder,
                       "# a remark\n\n2023-05-16; Bananas; dried blood; 2 handfuls each; watered\n"
                       "2023-05-20;Hungry bed;chicken pellets;2 oz per square yard # in rain\r\n"
                       "2023-06-01; Red banana in the pot; tomato feed; 20 ml per can, 2 cans; watered 5 mm\n"
                       "2023-06-02; Cannas; blood meal; 400 g in all");
  ASSERT_EQ(d.lines.size(), 4u);
  EXPECT_TRUE(d.notes.empty());
  const Feeding& a = d.lines[0].feeding;
  EXPECT_EQ(d.lines[0].line, 3u);
  EXPECT_EQ(a.material, "dried-blood");
  EXPECT_EQ(a.plantings, std::vector<std::string>{"Bananas"});
  EXPECT_EQ(a.amount.measure, Amount::Measure::handfuls);
  EXPECT_EQ(a.amount.per, Amount::Per::plant);
  EXPECT_EQ(a.watered_in_mm, 10);
  const Feeding& b = d.lines[1].feeding;
  EXPECT_EQ(b.bed, "Hungry bed");
  EXPECT_EQ(b.material, "poultry-manure-pellets");
  EXPECT_NEAR(b.amount.value, 2 * 28.349523125 / 0.83612736, 1e-9);  // NIST SP 811, appendix B
  EXPECT_EQ(d.lines[2].feeding.amount.value, 40);
  EXPECT_EQ(d.lines[2].feeding.watered_in_mm, 5);
  EXPECT_EQ(d.lines[3].feeding.amount.value, 50) << "400 g among 8 cannas";
}

TEST(Diary, OutOfOrderIsReadByDateAndSaid) {
  const TempFolder folder;
  const Diary d = read(folder, "2023-06-16; Bananas; dried-blood; 55 g each\n2023-05-16; Bananas; dried-blood; 55 g each\n");
  ASSERT_EQ(d.lines.size(), 2u);
  EXPECT_EQ(to_iso(d.lines[0].on), "2023-05-16");
  ASSERT_EQ(d.notes.size(), 1u);
  EXPECT_NE(d.notes[0].find("line 2: 2023-05-16 stands after 2023-06-16"), std::string::npos) << d.notes[0];
}

TEST(Diary, OneSentenceForAFault) {
  const std::string good = "2023-05-16; Bananas; dried-blood; 55 g each\n";
  EXPECT_EQ(
      refused(good + "2023-05-16;Bananas; blood meal;55g a plant"),
      "line 2: found what line 1 says already; allowed is each feeding once; delete one of the two; where it was given twice that day, "
      "write the sum in one line.");
  EXPECT_NE(
      refused("2023-05-16; Banana grove; dried-blood; 55 g each").find("line 1: found \"Banana grove\", which the garden does not have"),
      std::string::npos);
  EXPECT_NE(refused("1999-05-16; Bananas; dried-blood; 55 g each").find("line 1: found 1999-05-16, a day before the weather"),
            std::string::npos);
  EXPECT_NE(refused("2203-05-16; Bananas; dried-blood; 55 g each").find("line 1: found 2203-05-16, a day too far ahead"),
            std::string::npos);
  EXPECT_NE(refused("\n\n16 May; Bananas; dried-blood; 55 g each").find("line 3: found \"16 May\""), std::string::npos);
  EXPECT_NE(refused("2023-05-16; Bananas; dried-blood; a heaped shovel").find("nobody can weigh"), std::string::npos);
  EXPECT_NE(refused("2023-05-16; Bananas; dried-blood; 55 g").find("whether each of the 3 plants"), std::string::npos);
  EXPECT_NE(refused("2023-05-16; Hungry bed; dried-blood; 2 handfuls each").find("for a bed"), std::string::npos);
  EXPECT_NE(refused("2023-05-16; Bananas; manure; 55 g each").find("which may be any of"), std::string::npos);
  EXPECT_NE(refused("2023-05-16; Bananas; dried blod; 55 g each").find("the nearest is \"dried-blood\""), std::string::npos);
  EXPECT_NE(refused("2023-05-16, Bananas, dried-blood, 55 g each").find("semicolons"), std::string::npos);
  EXPECT_NE(refused("2023-05-16; Bananas; dried-blood; 55 g each; sprayed").find("\"watered\""), std::string::npos);
  EXPECT_NE(refused("2023-05-16; Bananas; dried-blood; 55 g each; watered 500 mm").find("at most 100"), std::string::npos);
  EXPECT_NE(refused("2023-05-16; Ban\xff; dried-blood; 55 g each").find("UTF-8"), std::string::npos);
}

// What is given this year is written down before its weather is.
TEST(Diary, TakesADayAfterTheWeather) {
  const TempFolder folder;
  const Scenario s = demo();
  const Date after = s.weather.date(s.weather.days() - 1) + std::chrono::days{200};
  const Diary d = read(folder, to_iso(after) + "; Bananas; dried-blood; 55 g each\n");
  ASSERT_EQ(d.lines.size(), 1u);
  const int season = season_of(s.site, after);
  EXPECT_EQ(with_diary(s, d, season).followed->season, season);
  EXPECT_FALSE(with_diary(s, d, season - 1).followed) << "no season that the weather covers knows of it";
}

TEST(Diary, GrowsOnlyAtItsEndAndOnlyByWhatCanBeRead) {
  const TempFolder folder;
  const std::string path = folder.at("d.diary.txt");
  EXPECT_EQ(add_to_diary(path, demo(), {"2023-05-16", "Bananas", "blood meal", "2 handfuls each", true}),
            "2023-05-16; Bananas; dried-blood; 2 handfuls each; watered");
  const std::string first = testing::read_all(path);
  EXPECT_EQ(first[0], '#');
  add_to_diary(path, demo(), {"2023-06-16", "Cannas", "dried-blood", "1 handful each", false});
  const std::string both = testing::read_all(path);
  EXPECT_EQ(both.substr(0, first.size()), first);
  for (const Fed& bad :
       {Fed{"2023-06-16", "Cannas", "dried-blood", "1 handful each", false}, Fed{"2023-13-16", "Cannas", "dried-blood", "1 g each", false},
        Fed{"2023-06-16", "Cannas; x", "dried-blood", "1 g each", false}, Fed{"2023-06-17", "Cannas", "dried-blood", "much", false}}) {
    EXPECT_THROW(add_to_diary(path, demo(), bad), InputError);
    EXPECT_EQ(testing::read_all(path), both);
  }
  // A last line without its end is ended first; what a person wrote stays.
  folder.write("e.diary.txt", "2023-05-16; Bananas; dried-blood; 55 g each");
  add_to_diary(folder.at("e.diary.txt"), demo(), {"2023-05-17", "Bananas", "dried-blood", "55 g each", false});
  EXPECT_EQ(testing::read_all(folder.at("e.diary.txt")),
            "2023-05-16; Bananas; dried-blood; 55 g each\n2023-05-17; Bananas; dried-blood; 55 g each\n");
  EXPECT_EQ(read_diary(path, demo())->lines.size(), 2u);
}

TEST(Diary, TakesThePlaceOfThePlanUpToItsLastDay) {
  const TempFolder folder;
  const Diary d = read(folder, "2023-04-20; Bananas; dried-blood; 55 g each\n2022-05-01; Bananas; dried-blood; 55 g each\n");
  const Scenario done = with_diary(demo(), d, 2023);
  ASSERT_TRUE(done.followed);
  EXPECT_EQ(to_iso(done.followed->until), "2023-04-20");
  EXPECT_EQ(done.followed->planned.size(), demo().feedings.size());
  ASSERT_EQ(done.feedings.size(), 1u) << "every planned feed is of 15 April";
  EXPECT_EQ(done.feedings[0].diary_line, 1u);
  EXPECT_FALSE(with_diary(demo(), d, 2021).followed) << "nothing is written down of that season";

  Scenario monthly = demo();
  monthly.feedings.resize(1);
  monthly.feedings[0].every_days = 30, monthly.feedings[0].until = MonthDay{8, 31};  // 15 April, 15 May, 14 June ...
  const Scenario rest = with_diary(monthly, d, 2023);
  ASSERT_EQ(rest.feedings.size(), 2u);
  EXPECT_EQ(to_iso(rest.feedings[1].on), "05-15");
  EXPECT_EQ(rest.feedings[1].every_days, 30);
  EXPECT_EQ(to_iso(with_diary(monthly, d, 2023, parse_date("2023-06-20")).feedings[1].on), "07-14")
      << "what was not written down was not given";
}

// The same feeds by plan and by diary are the same season; the command follows the diary beside the file, and --as-planned does not.
TEST(Diary, IsWhatSeasonLastsAndDueReckonWith) {
  const TempFolder folder;
  const std::string demo_path = LEAFHUNGER_SOURCE_DIR "/scenarios/saltmarsh-lane.json";
  std::string text =
      testing::replaced(testing::read_all(demo_path), "saltmarsh-weather.csv", LEAFHUNGER_SOURCE_DIR "/scenarios/saltmarsh-weather.csv");
  const std::string garden = folder.write("garden.json", text);
  const auto season = [&](std::vector<std::string> words) {
    words.insert(words.begin(), {"season", garden, "--json"});
    return testing::command(words).out;
  };
  const std::string planned = season({});
  for (const char* line : {"Hungry bed; 150 g per m2", "Elephant ears; 1 handful each", "Fan palm; 2 handfuls each",
                           "Bamboo; 2 handfuls each", "Red banana in the pot; 40 g each", "Canna in the pot; 20 g each"}) {
    const std::string said = line, target = said.substr(0, said.find(';')), amount = said.substr(said.find(';') + 2);
    const auto answer = testing::command({"fed", garden, "2023-04-15", target, "concentrated manure powder", amount});
    ASSERT_EQ(answer.status, 0) << answer.err;
  }
  const std::string done = season({});
  EXPECT_NE(done, planned) << "it says that it follows the diary";
  EXPECT_EQ(season({"--as-planned"}), planned);
  const auto verdicts = [](const std::string& json) {
    std::string out;
    for (std::size_t at = json.find("\"first_short\""); at != std::string::npos; at = json.find("\"first_short\"", at + 1))
      out += json.substr(at, 30);
    return out;
  };
  EXPECT_EQ(verdicts(done), verdicts(planned));
  EXPECT_NE(done.find("; given"), std::string::npos);
  EXPECT_EQ(testing::command({"due", garden, "--on", "2023-06-01"}).status, 0);
}

TEST(Diary, AFeedOfYesterdayIsGivenItsTime) {
  const TempFolder folder;
  const std::string text = testing::replaced(testing::read_all(LEAFHUNGER_SOURCE_DIR "/scenarios/one-bed.json"), "saltmarsh-weather.csv",
                                             LEAFHUNGER_SOURCE_DIR "/scenarios/saltmarsh-weather.csv");
  const std::string garden = folder.write("garden.json", text);
  ASSERT_EQ(testing::command({"fed", garden, "2024-06-19", "Bananas", "dried blood", "2 handfuls each"}).status, 0);
  const auto on = [&](const char* date) { return testing::command({"due", garden, "--on", date}).out; };
  // Nothing in spring, so it is hungry; but nobody feeds twice in two days.
  EXPECT_NE(on("2024-06-20").find("has hardly begun"), std::string::npos);
  EXPECT_NE(on("2024-06-20").find("again on 26 June"), std::string::npos);
  EXPECT_EQ(on("2024-06-20").find("feed now"), std::string::npos);
  EXPECT_EQ(on("2024-06-20").find("\n\n\n"), std::string::npos);
  EXPECT_EQ(on("2024-06-26").find("has hardly begun"), std::string::npos);
}

}  // namespace
}  // namespace leafhunger
