// Plugins that break their word, through the command: refused at load with status 2, caught while running with status 3, one sentence that
// names the model, nothing on standard output.
#include <gtest/gtest.h>

#include "support/command.hpp"

namespace leafhunger {
namespace {

using testing::Answer;
using testing::command;

std::string folder_of(const std::string& name) { return std::string(LEAFHUNGER_TEST_PLUGIN_DIR) + "/" + name; }

// A garden with one plant and one feed, whose models are the ones named.
std::string garden(const testing::TempFolder& folder, const std::string& release, const std::string& demand, const std::string& more = "") {
  std::filesystem::copy_file(testing::bad_folder() / "weather.csv", folder.at("weather.csv"));
  return folder.write("garden.json",
                      R"({
  "format": 1,
  "garden": {"name": "Test yard", "note": "invented", "latitude_deg": 50.3},
  "weather": {"file": "weather.csv", "wind_height_m": 10},
  "beds": [{"name": "Bed", "area_m2": 6, "soil": {"texture": "loam"}, "plantings": [{"name": "Leaves", "plant": "leaf", "count": 2}]}],
  "feedings": [{"material": "grains", "on": "04-15", "bed": "Bed", "amount": {"grams": 100, "per": "m2"}}],
  "materials": {"grains": {"title": "Grains", "model": ")" +
                          release +
                          R"(", "n_percent": 5, "form": "granule", "bulk_density_kg_m3": 800, "price_per_kg": 1, "parameters": {)" + more +
                          R"(}}},
  "plants": {"leaf": {"title": "Leaf", "botanical": "Folium", "model": ")" +
                          demand + R"(", "parameters": {}, "hunger": "greedy", "crown_m2": 1}}
}
)");
}

void expect_one_sentence(const Answer& a, int status, const std::vector<std::string>& words) {
  EXPECT_EQ(a.status, status) << a.err;
  EXPECT_EQ(a.out, "");
  EXPECT_EQ(std::count(a.err.begin(), a.err.end(), '\n'), 1) << a.err;
  EXPECT_EQ(a.err.rfind("leafhunger: ", 0), 0u) << a.err;
  for (const std::string& w : words) EXPECT_NE(a.err.find(w), std::string::npos) << w << " in: " << a.err;
}

TEST(BadPlugin, TheGardenItselfIsGood) {
  const testing::TempFolder folder;
  const Answer a = command({"--plugins", folder_of("good"), "season", garden(folder, "sample-coated-granule", "sample-steady-grower")});
  EXPECT_EQ(a.status, 0) << a.err;
  EXPECT_NE(a.out.find("Leaves"), std::string::npos);
}

class RefusedByCommand : public ::testing::TestWithParam<const char*> {};

TEST_P(RefusedByCommand, PluginsListsItAndEndsWithTwo) {
  const Answer a = command({"--plugins", folder_of(GetParam()), "plugins"});
  EXPECT_EQ(a.status, 2);
  EXPECT_NE(a.out.find("refused"), std::string::npos) << "the list is still given: " << a.out;
  EXPECT_NE(a.out.find("herbaceous"), std::string::npos) << "with what is good";
  EXPECT_NE(a.err.find(folder_of(GetParam())), std::string::npos) << a.err;
  EXPECT_EQ(std::count(a.err.begin(), a.err.end(), '\n'), 1) << a.err;
}

// Its model is then unknown, and the sentence says why.
TEST_P(RefusedByCommand, AGardenThatNeedsItEndsWithTwo) {
  const testing::TempFolder folder;
  std::string model = GetParam();
  std::replace(model.begin(), model.end(), '_', '-');
  const Answer a = command({"--plugins", folder_of(GetParam()), "season", garden(folder, model, "herbaceous")});
  expect_one_sentence(a, 2, {"garden.json", "\"" + model + "\"", "refused", folder_of(GetParam())});
}

INSTANTIATE_TEST_SUITE_P(Cases, RefusedByCommand,
                         ::testing::Values("other_abi", "wrong_size", "no_export", "not_a_library", "answers_nothing", "no_model",
                                           "missing_table", "name_twice", "missing_unit", "default_outside", "missing_function",
                                           "unknown_response", "dangling_flow", "greedy_flow", "unbent", "throwing_entry"),
                         [](const auto& one) { return std::string(one.param); });

struct AtRun {
  const char* folder;
  std::vector<std::string> says;
  bool demand = false;
};

class CaughtWhileRunning : public ::testing::TestWithParam<AtRun> {};

TEST_P(CaughtWhileRunning, EndsWithThreeAndNamesModelAndFunction) {
  const testing::TempFolder folder;
  std::string model = GetParam().folder;
  std::replace(model.begin(), model.end(), '_', '-');
  const std::string file = GetParam().demand ? garden(folder, "soluble-salt", model) : garden(folder, model, "herbaceous");
  std::vector<std::string> words = GetParam().says;
  words.push_back(model);
  expect_one_sentence(command({"--plugins", folder_of(GetParam().folder), "season", file}), 3, words);
  // The other commands meet the same plugin and say the same.
  expect_one_sentence(command({"--plugins", folder_of(GetParam().folder), "lasts", file}), 3, {model});
}

INSTANTIATE_TEST_SUITE_P(Cases, CaughtWhileRunning,
                         ::testing::Values(AtRun{"nan_coefficient", {"rates", "freed", "2004-04-1"}},
                                           AtRun{"negative_coefficient", {"rates", "negative", "freed"}},
                                           AtRun{"loses_mass", {"start", "2004-04-15"}}, AtRun{"owes_mass", {"start", "2004-04-15"}},
                                           AtRun{"bend_outside", {"bend", "0 to 4"}}, AtRun{"failing_start", {"start", "failed"}},
                                           AtRun{"throwing_rates", {"rates", "threw", "out of manure", "2003-11-01"}},
                                           AtRun{"throwing_growth", {"grow", "threw"}, true},
                                           AtRun{"throwing_number", {"start", "threw something", "2004-04-15"}},
                                           AtRun{"frees_too_much", {"start", "did not share out what was given", "2004-04-15"}},
                                           AtRun{"age_not_finite", {"rates", "age", "not finite"}},
                                           AtRun{"share_outside", {"morning", "0 to 1"}, true}, AtRun{"nan_growth", {"grow"}, true}),
                         [](const auto& one) { return std::string(one.param.folder); });

// Not only from a list: every library of the folder of bad ones is met by one of the tests of this file, so that none is forgotten.
TEST(BadPlugin, EveryOneIsTried) {
  const std::string here = testing::read_all(std::string(LEAFHUNGER_SOURCE_DIR) + "/tests/unit/bad_plugin_test.cpp");
  int tried = 0;
  for (const auto& entry : std::filesystem::directory_iterator(std::string(LEAFHUNGER_SOURCE_DIR) + "/tests/plugins/bad")) {
    std::string name = entry.path().stem().string(), model = name;
    if (name.rfind("taken_name", 0) == 0) name = "taken_name";
    std::replace(model.begin(), model.end(), '_', '-');
    EXPECT_TRUE(here.find('"' + name + '"') != std::string::npos || here.find('"' + model + '"') != std::string::npos) << name;
    ++tried;
  }
  EXPECT_GE(tried, 30);
}

TEST(BadPlugin, TheListingSaysWhereInWhichOrderAndWhatCameOfIt) {
  const testing::TempFolder folder;
  const std::string missing = folder.at("nowhere"), empty = folder.at("empty");
  std::filesystem::create_directory(empty);
  const Answer a = command({"--plugins", folder_of("nan_growth"), "--plugins", missing, "--plugins", folder_of("wrong_size"), "plugins"},
                           "LEAFHUNGER_PLUGIN_PATH=" + testing::quoted(empty));
  EXPECT_EQ(a.status, 2);
  std::size_t at = 0;
  for (const std::string& part :
       {std::string("Looked for plugins in these folders, in this order:"), "  1. " + folder_of("nan_growth"),
        std::string("loaded   nan_growth.so: nan-growth"), "  2. " + missing, std::string("(not there)"), "  3. " + folder_of("wrong_size"),
        std::string("refused  plugin"), "  4. " + empty, std::string("holds no plugin"), std::string("  5. "),
        std::string("lib/leafhunger/plugins"), std::string("herbaceous.so: herbaceous"), std::string("loaded, 1 refused.")}) {
    const std::size_t next = a.out.find(part, at);
    EXPECT_NE(next, std::string::npos) << part << " after place " << at << " of\n" << a.out;
    if (next != std::string::npos) at = next;
  }
  const Answer json = command({"--plugins", folder_of("wrong_size"), "plugins", "--json"});
  EXPECT_NE(json.out.find("\"folders\""), std::string::npos);
  EXPECT_NE(json.out.find("build it again"), std::string::npos);
}

// What only shows in the column itself is a number that is not finite in a state. The state is named; which function it came from is not.
TEST(BadPlugin, NumbersThatAreNoneInTheColumnEndWithThree) {
  for (const char* model : {"nan-critical", "hungry-nan"}) {
    const testing::TempFolder folder;
    std::string dir = model;
    std::replace(dir.begin(), dir.end(), '-', '_');
    expect_one_sentence(command({"--plugins", folder_of(dir), "season", garden(folder, "soluble-salt", model)}), 3, {"not finite"});
  }
}

TEST(BadPlugin, ParameterOutOfBoundsNamesItsPlaceInTheFile) {
  const testing::TempFolder folder;
  const Answer a = command({"season", garden(folder, "soluble-salt", "herbaceous", "\"nitrate_frac\": 1.5")});
  expect_one_sentence(a, 2, {"garden.json", "line 7", "nitrate_frac", "1.5", "0 to 1"});
}

TEST(BadPlugin, UnknownParameterOffersTheNearest) {
  const testing::TempFolder folder;
  const Answer a = command({"season", garden(folder, "soluble-salt", "herbaceous", "\"nitrate_fraction\": 0.5")});
  expect_one_sentence(a, 2, {"garden.json", "\"nitrate_fraction\"", "nitrate_frac"});
}

TEST(BadPlugin, ParametersThatItsOwnCheckRefuses) {
  const testing::TempFolder folder;
  const Answer a = command({"--plugins", folder_of("unhappy_check"), "season", garden(folder, "unhappy-check", "herbaceous")});
  expect_one_sentence(a, 2, {"\"grains\"", "these figures never fit together"});
}

TEST(BadPlugin, ANameThatIsTakenIsRefusedAndTheFirstIsUsed) {
  const testing::TempFolder folder;
  const Answer a = command({"--plugins", folder_of("taken_name"), "plugins"});
  EXPECT_EQ(a.status, 2);
  EXPECT_NE(a.err.find("taken_name_b.so"), std::string::npos) << a.err;
  EXPECT_EQ(command({"--plugins", folder_of("taken_name"), "season", garden(folder, "taken-name", "herbaceous")}).status, 0);
}

TEST(BadPlugin, NoPluginsAtAll) {
  const testing::TempFolder folder;
  const Answer a = command({"season", garden(folder, "nobodys-model", "herbaceous")});
  expect_one_sentence(a, 2, {"\"nobodys-model\"", "searched", "lib/leafhunger/plugins"});
}

}  // namespace
}  // namespace leafhunger
