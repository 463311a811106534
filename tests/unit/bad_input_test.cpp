// Every case of tests/bad/cases.json: one sentence that names file, place, finding and mend, and nothing written.
#include <gtest/gtest.h>

#include <cstdlib>
#include <map>
#include <nlohmann/json.hpp>

#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"
#include "temp_garden.hpp"

namespace leafhunger {
namespace {

using testing::TempFolder;
using Json = nlohmann::json;

std::string unhex(const std::string& hex) {
  std::string out;
  for (std::size_t i = 0; i + 1 < hex.size(); i += 2) out += static_cast<char>(std::stoi(hex.substr(i, 2), nullptr, 16));
  return out;
}

/// The file `key` of a case: its own text, or the base with one text replaced.
std::string text_of(const Json& bad, const std::string& key, const std::string& replace_key, const std::string& base) {
  if (bad.contains(key)) return bad[key];
  if (bad.contains(key + "_hex")) return unhex(bad[key + "_hex"]);
  const std::string text = testing::read_all(testing::bad_folder() / base);
  return bad.contains(replace_key) ? testing::replaced(text, bad[replace_key][0], bad[replace_key][1]) : text;
}

std::size_t only_position(const std::string& text, const std::string& part) {
  const auto at = text.find(part);
  EXPECT_NE(at, std::string::npos) << "not there: " << part;
  EXPECT_EQ(text.find(part, at + 1), std::string::npos) << "there more than once: " << part;
  return at;
}

/// Where the case says that the fault is, as a byte of the broken text; npos where it does not say.
std::size_t fault_offset(const Json& bad, const std::string& text) {
  if (bad.contains("at")) return only_position(text, bad["at"]);
  const std::string there = bad.value("at_text", "");
  if (bad.contains("at_after")) {
    const std::string before = bad["at_after"];
    const std::size_t offset = only_position(text, before) + before.size();
    EXPECT_TRUE(text.substr(offset).starts_with(there));
    return offset;
  }
  if (bad.contains("at_before")) {
    const std::size_t length = there.empty() ? 1 : there.size();
    const std::size_t offset = only_position(text, bad["at_before"]) - length;
    EXPECT_TRUE(text.substr(offset).starts_with(there));
    return offset;
  }
  return std::string::npos;
}

/// Counted anew, not with the reader's own code.
std::string place_in_words(const std::string& text, std::size_t offset, bool with_column) {
  std::size_t line = 1, column = 1;
  for (std::size_t i = 0; i < offset; ++i) {
    if (text[i] == '\n') {
      ++line;
      column = 1;
    } else if ((static_cast<unsigned char>(text[i]) & 0xC0) != 0x80) {
      ++column;
    }
  }
  return "line " + std::to_string(line) + (with_column ? ", column " + std::to_string(column) : "");
}

const Json& all_cases() {
  static const Json document = Json::parse(testing::read_all(testing::bad_folder() / "cases.json"));
  return document["cases"];
}

/// What the reader says of a case, with the temporary folder taken out; all demands of the case are checked on the way.
std::string sentence_of(const Json& bad) {
  SCOPED_TRACE(bad["name"].get<std::string>());
  const TempFolder folder;
  const std::string scenario = text_of(bad, "scenario", "replace", "garden.json");
  const std::string weather = text_of(bad, "weather", "weather_replace", "weather.csv");
  folder.write("garden.json", scenario);
  folder.write("weather.csv", weather);
  const auto names = folder.names();
  const std::string path = folder.at(bad.value("open", "garden.json"));
  std::string sentence;
  try {
    read_scenario(path, (testing::bad_folder() / "catalogue").string());
    ADD_FAILURE() << "was taken";
    return {};
  } catch (const InputError& fault) {
    sentence = fault.what();
  }
  EXPECT_EQ(folder.names(), names) << "something was written";

  const std::string file = bad.value("in", bad.value("open", "garden.json"));
  const std::string root = folder.at("");
  EXPECT_TRUE(sentence.starts_with(root + file)) << sentence;
  const auto must_say = [&](const std::string& part) {
    EXPECT_NE(sentence.find(part), std::string::npos) << sentence << "\nlacks: " << part;
  };
  const bool in_weather = file == "weather.csv";
  const std::size_t offset = fault_offset(bad, in_weather ? weather : scenario);
  std::string place = bad["place"];
  if (offset != std::string::npos) {
    const std::string counted = place_in_words(in_weather ? weather : scenario, offset, !in_weather);
    place = place.empty() ? counted + ": " : counted + ", " + place + ": ";
  }
  must_say(place);
  must_say("found ");
  must_say(bad["found"]);
  must_say(bad["hint"]);
  EXPECT_EQ(sentence.back(), '.') << sentence;
  EXPECT_EQ(sentence.find_first_of("\r\n\t"), std::string::npos) << sentence;
  EXPECT_LT(sentence.size(), 600u) << sentence;
  for (auto at = sentence.find(root); at != std::string::npos; at = sentence.find(root)) sentence.erase(at, root.size());
  return sentence;
}

TEST(BadInput, BaseIsGood) {
  const Scenario scenario = read_scenario((testing::bad_folder() / "garden.json").string(), (testing::bad_folder() / "catalogue").string());
  EXPECT_EQ(scenario.question.season, 2004);
}

TEST(BadInput, ManyCases) { EXPECT_GE(all_cases().size(), 150u); }

TEST(BadInput, EveryCaseIsOneClearSentence) {
  for (const auto& bad : all_cases()) sentence_of(bad);
}

std::string for_table(std::string text) {
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '|' || text[i] == '<' || text[i] == '*' || text[i] == '_') text.insert(i++, 1, '\\');
  }
  return text;
}

std::string readme() {
  std::string out =
      "# Bad input, and what is said of it\n\n"
      "Each row is a case of `cases.json`: the good `garden.json` and `weather.csv` of this folder (both invented) with one thing\n"
      "broken. The sentence is what the reader says, with exit status 2, and nothing is written. It always runs *file, place: found;\n"
      "allowed; how to mend it*. Lines and columns start at 1; after them stands the value's path inside the file.\n\n"
      "This page is written by `LEAFHUNGER_WRITE_BAD_README=1` before the test `BadInput.ReadmeIsUpToDate`, not by hand.\n";
  std::string group;
  for (const auto& bad : all_cases()) {
    if (bad["group"] != group) {
      group = bad["group"];
      out += "\n## " + group + "\n\n| case | what is said |\n|---|---|\n";
    }
    out += "| " + bad["name"].get<std::string>() + " | " + for_table(sentence_of(bad)) + " |\n";
  }
  return out;
}

TEST(BadInput, ReadmeIsUpToDate) {
  const std::string wanted = readme();
  const auto path = testing::bad_folder() / "README.md";
  if (std::getenv("LEAFHUNGER_WRITE_BAD_README") != nullptr) std::ofstream(path, std::ios::binary) << wanted;
  EXPECT_TRUE(testing::read_all(path) == wanted) << "run this test once with LEAFHUNGER_WRITE_BAD_README=1 and review the page";
}

}  // namespace
}  // namespace leafhunger
