// Finding things by what people call them.
#include "leafhunger/listing.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "host/lines.hpp"
#include "leafhunger/common_names.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"
#include "support/command.hpp"

namespace leafhunger {
namespace {

const Catalogue& shipped() {
  static const Catalogue c = read_catalogue(LEAFHUNGER_CATALOGUE_DIR);
  return c;
}

TEST(CommonNames, AreWhatPeopleSay) {
  for (const auto& [said, id] : {std::pair{"chicken pellets", "poultry-manure-pellets"},
                                 {"bone meal", "bone-meal-steamed"},
                                 {"Bonemeal", "bone-meal-steamed"},
                                 {"horse muck", "horse-manure"},
                                 {"Dried Blood", "dried-blood"},
                                 {"lawn clippings", "grass-cuttings"},
                                 {"tomato feed", "high-potash-liquid-feed"}})
    EXPECT_EQ(material_called(shipped(), said, "f", "p"), id) << said;
  for (const auto& [said, id] : {std::pair{"banana", "hardy-banana"},
                                 {"ginger", "ginger-lily"},
                                 {"Musa basjoo", "hardy-banana"},
                                 {"cannas", "canna"},
                                 {"elephant ears", "elephant-ear"},
                                 {"gunnera", "waterside-giant"}})
    EXPECT_EQ(plant_called(shipped(), said, "f", "p"), id) << said;
}

TEST(CommonNames, GoBeforeNamesThatLookLikeThem) {
  const auto& plants = shipped().plants;
  for (const char* said : {"banana", "Bananas", "bananna", "Musa basjoo"}) EXPECT_EQ(nearest_entry(plants, said), "hardy-banana") << said;
  EXPECT_EQ(nearest_entry(plants, "palm"), "fan-palm");
  EXPECT_EQ(nearest_entry(plants, "cnana"), "canna");
  EXPECT_EQ(nearest_entry(plants, "rhododendron of the moon"), "");
  EXPECT_EQ(entry_named(plants, "elephant ears"), "elephant-ear");
  EXPECT_EQ(entry_named(plants, "bannana"), "");
  EXPECT_EQ(nearest_entry(shipped().materials, "chicken pellets"), "poultry-manure-pellets");
  const testing::TempFolder folder;
  std::string text = testing::read_all(std::string(LEAFHUNGER_SOURCE_DIR) + "/scenarios/one-bed.json");
  const std::string right = "\"hardy-banana\"";
  ASSERT_NE(text.find(right), std::string::npos);
  text.replace(text.find(right), right.size(), "\"banana\"");
  const auto weather = text.find("\"file\": \"");
  ASSERT_NE(weather, std::string::npos);
  text.insert(weather + 9, std::string(LEAFHUNGER_SOURCE_DIR) + "/scenarios/");
  std::ofstream(folder.at("garden.json")) << text;
  const auto checked = testing::command({"check", folder.at("garden.json")});
  EXPECT_EQ(checked.status, 2);
  EXPECT_NE(checked.err.find("the nearest known plant is \"hardy-banana\""), std::string::npos) << checked.err;
}

TEST(CommonNames, EachBelongsToOneEntryAlone) {
  for (const auto& [id, m] : shipped().materials)
    for (const std::string& name : names_of_entry(m)) EXPECT_EQ(materials_called(shipped(), name).ids.at(0), id) << name;
  for (const auto& [id, p] : shipped().plants)
    for (const std::string& name : names_of_entry(p)) EXPECT_EQ(plants_called(shipped(), name).ids.at(0), id) << name;
}

TEST(CommonNames, SeveralAreListedAndAMissOffersThree) {
  const Called bananas = plants_called(shipped(), "banana");
  EXPECT_TRUE(bananas.exact);
  EXPECT_GE(bananas.ids.size(), 3u);
  EXPECT_EQ(plants_called(shipped(), "").ids.size(), shipped().plants.size());
  try {
    material_called(shipped(), "manure pellets", "d.txt", "line 2");
    FAIL();
  } catch (const InputError& e) {
    EXPECT_NE(std::string(e.what()).find("which may be any of"), std::string::npos) << e.what();
    EXPECT_NE(std::string(e.what()).find("\"cattle-manure-pellets\""), std::string::npos) << e.what();
  }
  EXPECT_EQ(nearest_three("driedblod", {{"dried-blood", "dried-blood"}, {"x", "x"}, {"straw", "straw"}}),
            std::vector<std::string>{"dried-blood"});
  EXPECT_EQ(nearest_three("banan", {{"banana", "a"}, {"bananas", "a"}, {"a-banana", "b"}, {"tall-banana", "c"}, {"banane", "d"}}).size(),
            3u);
}

TEST(List, FitsTheScreen) {
  for (const auto& words : std::vector<std::vector<std::string>>{{"list", "plants"},
                                                                 {"list", "materials"},
                                                                 {"list", "places"},
                                                                 {"list", "soils"},
                                                                 {"list", "plants", "banana"},
                                                                 {"list", "plants", "gunnera", "--more"},
                                                                 {"list", "materials", "chicken", "pellets"},
                                                                 {"list", "materials", "straw"},
                                                                 {"list", "materials", "dried-blood", "--more"}}) {
    const auto answer = testing::command(words);
    ASSERT_EQ(answer.status, 0) << answer.err;
    std::istringstream in(answer.out);
    std::size_t count = 0;
    for (std::string line; std::getline(in, line); ++count) EXPECT_LE(lines::width(line), lines::k_width) << line;
    if (words.size() > 2 && words.back() != "--more") {
      EXPECT_LE(count, 24u) << answer.out;
    }
  }
}

TEST(List, SaysWhatAnEntryIs) {
  const std::string pellets = testing::command({"list", "materials", "chicken pellets"}).out;
  for (const char* part : {"Poultry manure pellets", "% nitrogen", "A handful: about", "at 15 degC", "in 4 weeks", "! ", "Figures: "})
    EXPECT_NE(pellets.find(part), std::string::npos) << part << " in\n" << pellets;
  EXPECT_NE(testing::command({"list", "materials", "straw"}).out.find("ties up"), std::string::npos);
  const std::string banana = testing::command({"list", "plants", "banana"}).out;
  for (const char* part : {"Musa basjoo", "greedy", "Others with that word:", "red-abyssinian-banana"})
    EXPECT_NE(banana.find(part), std::string::npos) << part << " in\n" << banana;
  const std::string giant = testing::command({"list", "plants", "gunnera"}).out;
  EXPECT_NE(giant.find("restricts this plant"), std::string::npos) << giant;
  EXPECT_NE(testing::command({"list", "soils"}).out.find("loam"), std::string::npos);
  EXPECT_NE(testing::command({"list", "places", "camb"}).out.find("Camborne"), std::string::npos);
}

TEST(List, ALongPlaceKeepsABlankBehindIt) {
  const std::string out = testing::command({"list", "places"}).out;
  std::istringstream in(out);
  std::size_t places = 0;
  for (std::string line; std::getline(in, line);) {
    const auto at = line.find("latitude ");
    if (at == std::string::npos) continue;
    EXPECT_TRUE(at > 0 && line[at - 1] == ' ') << line;
    ++places;
  }
  EXPECT_GT(places, 10u) << out;
  EXPECT_NE(out.find("Seattle-Tacoma (1981-2010) latitude"), std::string::npos) << out;
}

TEST(List, JsonHasTheSameEntries) {
  const auto j = nlohmann::json::parse(testing::command({"list", "plants", "banana", "--json"}).out);
  EXPECT_EQ(j["entries"][0]["id"], "hardy-banana");
  EXPECT_EQ(j["entries"].size(), plants_called(shipped(), "banana").ids.size());
}

TEST(List, RefusesInOneSentence) {
  const auto what = testing::command({"list", "animals"});
  EXPECT_EQ(what.status, 2);
  EXPECT_NE(what.err.find("plants, materials, places or soils"), std::string::npos);
  const auto word = testing::command({"list", "plants", "bananna"});
  EXPECT_EQ(word.status, 2);
  EXPECT_NE(word.err.find("hardy-banana"), std::string::npos) << word.err;
  EXPECT_TRUE(word.out.empty());
}

}  // namespace
}  // namespace leafhunger
