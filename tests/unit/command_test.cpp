// The command: what it prints where, and how it ends. Bad plugins are in bad_plugin_test.cpp, bad files in bad_input_test.cpp.
#include "support/command.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <sstream>

#include "host/lines.hpp"

namespace leafhunger {
namespace {

using testing::Answer;
using testing::command;

std::string example(const std::string& name) { return std::string(LEAFHUNGER_SOURCE_DIR) + "/scenarios/" + name; }

TEST(Command, SeasonAnswersOnStandardOutput) {
  const Answer a = command({"season", example("one-bed.json")});
  EXPECT_EQ(a.status, 0) << a.err;
  EXPECT_EQ(a.err, "");
  EXPECT_EQ(a.out.rfind("One bed, ", 0), 0u) << a.out;
}

TEST(Command, EveryAnswerComesAsJsonToo) {
  for (const std::vector<std::string>& words :
       {std::vector<std::string>{"season", example("one-bed.json"), "--json"},
        {"lasts", example("one-bed.json"), "--json"},
        {"topup", example("one-bed.json"), "--json", "--material", "dried-blood", "--intervals", "42", "--doses", "60"},
        {"check", example("one-bed.json"), "--json"},
        {"plugins", "--json"},
        {"plugins", "--json", "--responses"}}) {
    const Answer a = command(words);
    EXPECT_EQ(a.status, 0) << words[0] << ": " << a.err;
    EXPECT_EQ(a.err, "");
    EXPECT_TRUE(nlohmann::json::accept(a.out)) << words[0];
  }
}

TEST(Command, TheSameBytesWhateverTheThreads) {
  for (const char* what : {"season", "lasts"}) {
    const Answer one = command({what, example("saltmarsh-lane.json"), "--json"}, "LEAFHUNGER_THREADS=1");
    ASSERT_EQ(one.status, 0) << one.err;
    for (const char* threads : {"2", "5"})
      EXPECT_EQ(command({what, example("saltmarsh-lane.json"), "--json"}, std::string("LEAFHUNGER_THREADS=") + threads).out, one.out)
          << what << ", " << threads;
  }
}

TEST(Command, StrictEndsWithOneWhereAHungryPlantingRunsShort) {
  const testing::TempFolder folder;
  std::filesystem::copy_file(example("saltmarsh-weather.csv"), folder.at("saltmarsh-weather.csv"));
  std::string text = testing::read_all(example("one-bed.json"));
  const std::string unfed = folder.write("unfed.json", testing::replaced(text, "\"handfuls\": 3", "\"handfuls\": 0.001"));
  const std::string fed = folder.write("fed.json", testing::replaced(text, "\"handfuls\": 3", "\"handfuls\": 30"));
  EXPECT_EQ(command({"season", unfed, "--strict"}).status, 1);
  EXPECT_EQ(command({"season", unfed}).status, 0);
  EXPECT_EQ(command({"season", fed, "--strict"}).status, 0);
  EXPECT_EQ(command({"lasts", unfed, "--strict"}).status, 1);
}

TEST(Command, BadWordsEndWithTwoAndLeaveStandardOutputEmpty) {
  for (const std::vector<std::string>& words :
       {std::vector<std::string>{},
        {"seasons"},
        {"season"},
        {"season", "no-such-file.json"},
        {"season", example("one-bed.json"), "--jsn"},
        {"season", example("one-bed.json"), "--season", "spring"},
        {"season", example("one-bed.json"), "--season", "1850"},
        {"topup", example("one-bed.json")},
        {"topup", example("one-bed.json"), "--material", "unobtainium"},
        {"topup", example("one-bed.json"), "--material", "dried-blood", "--until", "31-08"},
        {"topup", example("one-bed.json"), "--material", "dried-blood", "--plantings", "Triffids"}}) {
    const Answer a = command(words);
    std::string line;
    for (const auto& w : words) line += w + " ";
    EXPECT_EQ(a.status, 2) << line << a.err;
    EXPECT_EQ(a.out, "") << line;
    EXPECT_NE(a.err, "") << line;
  }
}

TEST(Command, OneSentenceForAFault) {
  const Answer a = command({"season", "no-such-file.json"});
  EXPECT_EQ(std::count(a.err.begin(), a.err.end(), '\n'), 1) << a.err;
  EXPECT_EQ(a.err.rfind("leafhunger: ", 0), 0u);
  EXPECT_NE(a.err.find("no-such-file.json"), std::string::npos);
}

TEST(Command, AMistypedLineGetsOneSentenceToo) {
  struct Case {
    std::vector<std::string> words;
    std::string said;
  };
  const std::string one = example("one-bed.json");
  for (const Case& c : std::vector<Case>{
           {{}, "leafhunger: found no command; allowed is season, lasts, "},
           {{"seson", "x.json"}, "leafhunger: found the unknown command \"seson\"; allowed is season, lasts, "},
           {{"seson", "x.json"}, "; the nearest is season."},
           {{"todya", one}, "; the nearest is today."},
           {{"garden.json"}, "the command comes first, such as `leafhunger season garden.json`."},
           {{"season"}, "leafhunger: season: found no FILE; allowed is a value for FILE: scenario (JSON); "},
           {{"season", one, "--sesson", "2020"}, "leafhunger: season: found the unknown option \"--sesson\"; allowed is --help, --json, "},
           {{"season", one, "--sesson", "2020"}, "; the nearest is --season."},
           {{"topup", one, "--materal=dung"}, "leafhunger: topup: found the unknown option \"--materal\"; allowed is "},
           {{"season", one, "--season", "abc"}, "leafhunger: season, --season: found \"abc\"; allowed is a whole number: the year "},
           {{"compare", one, "--times", "much"}, "leafhunger: compare, --times: found \"much\"; allowed is a number: give so many times"},
           {{"season", one, "--season"}, "leafhunger: season, --season: found nothing after it; "},
           {{"season", one, "--season", "2020", "--season", "2021"},
            "leafhunger: season, --season: found it 2 times; allowed is it once; "},
           {{"season", one, "--json=abc"}, "leafhunger: season, --json: found \"abc\"; allowed is it without a value: answer as JSON; "},
           {{"topup", one}, "leafhunger: topup: found no --material; allowed is a value for --material: what to top up with"},
           {{"fed", one, "2023-05-05"}, "leafhunger: fed: found no PLANTING; "},
           {{"lasts", one, "sure"}, "leafhunger: lasts: found \"sure\", which is one word too many; allowed is `leafhunger lasts FILE`"},
           {{"lasts", one, "sure"}, "; the nearest is --sure."},
           {{"--json", "season", one}, "leafhunger: found \"--json\" before the command; allowed is --help, --version or --plugins; "}}) {
    const Answer a = command(c.words);
    EXPECT_EQ(a.status, 2) << c.said;
    EXPECT_EQ(a.out, "") << c.said;
    EXPECT_NE(a.err.find(c.said), std::string::npos) << "wanted: " << c.said << "\nfound: " << a.err;
    EXPECT_EQ(std::count(a.err.begin(), a.err.end(), '\n'), 1) << a.err;
  }
}

TEST(Command, HelpAndVersionEndWithNought) {
  for (const char* word : {"--help", "--version"}) {
    const Answer a = command({word});
    EXPECT_EQ(a.status, 0);
    EXPECT_NE(a.out, "");
  }
  EXPECT_EQ(command({"season", "--help"}).status, 0);
}

TEST(Command, EveryHelpFitsTheScreen) {
  const auto expect_fits = [](const std::string& text) {
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) {
      EXPECT_LE(lines::width(line), lines::k_width) << line;
      EXPECT_FALSE(line.ends_with(' ')) << line;
    }
  };
  const std::string help = command({"--help"}).out;
  expect_fits(help);
  std::istringstream in(help.substr(help.find("Subcommands:")));
  std::size_t commands = 0;
  for (std::string line; std::getline(in, line);) {
    if (!line.starts_with("  ") || line[2] == ' ') continue;
    const Answer a = command({line.substr(2, line.find_first_of(" ,", 2) - 2), "--help"});
    EXPECT_EQ(a.status, 0) << line;
    expect_fits(a.out);
    ++commands;
  }
  EXPECT_GE(commands, 14u) << help;
  EXPECT_NE(command({"fed", "--help"}).out.find("\nUsage: leafhunger fed "), std::string::npos);
}

TEST(Command, PluginsListsParametersWithUnitBoundsAndSource) {
  const auto j = nlohmann::json::parse(command({"plugins", "--json", "--responses"}).out);
  EXPECT_EQ(j["abi"], 1);
  ASSERT_GE(j["models"].size(), 3u);
  for (const auto& m : j["models"]) {
    EXPECT_NE(m["source"], "");
    for (const auto& p : m["parameters"]) {
      EXPECT_NE(p["unit"], "") << p["name"];
      EXPECT_NE(p["source"], "") << p["name"];
      EXPECT_LE(p["lower"], p["default"]);
      EXPECT_LE(p["default"], p["upper"]);
    }
  }
  EXPECT_GE(j["temperature_responses"].size(), 8u);
  EXPECT_GE(j["moisture_responses"].size(), 6u);
  const std::string words = command({"plugins"}).out;
  for (const auto& m : j["models"]) EXPECT_NE(words.find(m["name"].get<std::string>()), std::string::npos);
}

TEST(Command, PluginFoldersOfTheUserComeFirst) {
  const Answer a = command({"--plugins", std::string(LEAFHUNGER_TEST_PLUGIN_DIR) + "/good", "plugins"});
  EXPECT_EQ(a.status, 0) << a.err;
  EXPECT_NE(a.out.find("sample-coated-granule"), std::string::npos);
  const Answer b = command({"plugins"}, std::string("LEAFHUNGER_PLUGIN_PATH=") + LEAFHUNGER_TEST_PLUGIN_DIR + "/good");
  EXPECT_EQ(b.status, 0);
  EXPECT_NE(b.out.find("sample-coated-granule"), std::string::npos);
}

TEST(Command, CheckSaysWhatItRead) {
  const Answer a = command({"check", example("saltmarsh-lane.json")});
  EXPECT_EQ(a.status, 0) << a.err;
  EXPECT_NE(a.out.find("good"), std::string::npos) << a.out;
  std::istringstream in(a.out.substr(a.out.find(' ')));  // behind the file's name, which may be as long as it is
  for (std::string line; std::getline(in, line);) EXPECT_LE(lines::width(line), lines::k_width) << line;
}

TEST(Command, CheckFoldsItsNotes) {
  const testing::TempFolder folder;
  std::string text = testing::read_all(example("one-bed.json"));
  const std::string file = "{\"file\": \"saltmarsh-weather.csv\"}";
  ASSERT_NE(text.find(file), std::string::npos);
  text.replace(text.find(file), file.size(), "{\"place\": \"Camborne\", \"years\": 3}");
  const Answer a = command({"check", folder.write("garden.json", text)});
  ASSERT_EQ(a.status, 0) << a.err;
  const auto note = a.out.find("\n  note: the weather is generated, ");
  ASSERT_NE(note, std::string::npos) << a.out;
  std::istringstream in(a.out.substr(note));
  std::size_t count = 0;
  for (std::string line; std::getline(in, line); ++count) EXPECT_LE(lines::width(line), lines::k_width) << line;
  EXPECT_GT(count, 2u) << a.out;
}

TEST(Command, NoLineEndsInBlanks) {
  for (const std::vector<std::string>& words : {std::vector<std::string>{"lasts", example("saltmarsh-lane.json")},
                                                {"lasts", example("one-bed.json"), "--more"},
                                                {"season", example("saltmarsh-lane.json"), "--more"},
                                                {"due", example("saltmarsh-lane.json")},
                                                {"curves", "dried-blood"}}) {
    const Answer a = command(words);
    ASSERT_EQ(a.status, 0) << a.err;
    EXPECT_EQ(a.out.find(" \n"), std::string::npos) << a.out;
  }
}

TEST(Command, WhatIsWrittenIsSaidAndWhere) {
  const testing::TempFolder folder;
  struct Case {
    std::vector<std::string> words;
    std::vector<std::string> files;  // by name in what is named with --out
  };
  const std::string one = example("one-bed.json");
  for (const Case& c : std::vector<Case>{
           {{"season", one, "--figures", "--for-client", "--out", folder.at("season")},
            {"report.html", "calendar.ics", "series.csv", "for-client.html"}},
           {{"curves", "dried-blood", "--out", folder.at("jar.svg")}, {""}},
           {{"compare", one, "--times", "2", "--out", folder.at("differs.svg")}, {""}},
           {{"lesson", one, "--out", folder.at("lesson.html")}, {""}},
           {{"visits", one, "--out", folder.at("visits.html")}, {""}},
           {{"lasts", one, "--sure", "2", "--out", folder.at("bands.csv")}, {""}},
           {{"lasts", one, "--doses", "1,2", "--out", folder.at("doses.svg")}, {""}},
           {{"topup", one, "--material", "dried-blood", "--intervals", "42", "--doses", "30", "--out", folder.at("t.csv")}, {""}}}) {
    const Answer a = command(c.words);
    ASSERT_EQ(a.status, 0) << a.err;
    const auto at = a.out.find("\n\n  Written: ");
    ASSERT_NE(at, std::string::npos) << a.out;
    for (const std::string& name : c.files) {
      const std::string path = c.words.back() + (name.empty() ? "" : "/" + name);
      EXPECT_NE(a.out.find(path, at), std::string::npos) << path << " in\n" << a.out;
      EXPECT_TRUE(std::filesystem::is_regular_file(path)) << path;
    }
    auto as_json = c.words;
    as_json.insert(as_json.end(), {"--json", "--force"});
    const Answer j = command(as_json);
    ASSERT_EQ(j.status, 0) << j.err;
    EXPECT_TRUE(nlohmann::json::accept(j.out)) << c.words[0];
  }
}

TEST(Command, WritesNothingWhereItRuns) {
  const testing::TempFolder folder;
  const auto before = folder.names();
  const std::string line = "cd " + testing::quoted(folder.at("")) + " && " + testing::quoted(LEAFHUNGER_CLI) + " season " +
                           testing::quoted(example("one-bed.json")) + " >/dev/null";
  EXPECT_EQ(std::system(line.c_str()), 0);
  EXPECT_EQ(folder.names(), before);
}

}  // namespace
}  // namespace leafhunger
