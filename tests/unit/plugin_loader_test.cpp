// Plugins from disk: every bad library is refused with one sentence, and does not keep the good ones out.
#include "leafhunger/plugin_loader.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>

#include "support/models.hpp"
#include "unit/temp_garden.hpp"

namespace leafhunger {
namespace {

namespace fs = std::filesystem;

std::string bad(const std::string& name) { return std::string(LEAFHUNGER_TEST_PLUGIN_DIR) + "/" + name; }

struct Refused {
  const char* folder;
  std::vector<const char*> says;
};

class RefusedAtLoad : public ::testing::TestWithParam<Refused> {};

TEST_P(RefusedAtLoad, SaysWhyInOneSentence) {
  PluginRegistry registry;
  const LoadReport report = load_plugins(registry, {bad(GetParam().folder)});
  ASSERT_EQ(report.files.size(), 1u) << report.summary();
  EXPECT_TRUE(report.any_refused());
  const std::string& sentence = report.files[0].refused;
  EXPECT_NE(sentence.find(report.files[0].path), std::string::npos) << "the library is named: " << sentence;
  EXPECT_EQ(sentence.find('\n'), std::string::npos);
  for (const char* words : GetParam().says) EXPECT_NE(sentence.find(words), std::string::npos) << words << " in: " << sentence;
  EXPECT_TRUE(registry.releases().empty());
  EXPECT_TRUE(registry.demands().empty());
  EXPECT_NE(report.summary().find(sentence), std::string::npos) << "the end of an error can say so too";
}

INSTANTIATE_TEST_SUITE_P(Cases, RefusedAtLoad,
                         ::testing::Values(Refused{"other_abi", {"ABI 2", "ABI 1", "build it again"}},
                                           Refused{"wrong_size", {"bytes", "build it again"}},
                                           Refused{"no_export", {"exports no leafhunger_plugins"}},
                                           Refused{"not_a_library", {"cannot be loaded"}},
                                           Refused{"answers_nothing", {"answered with nothing"}}, Refused{"no_model", {"no model"}},
                                           Refused{"missing_table", {"table"}}, Refused{"name_twice", {"name-twice", "twice"}},
                                           Refused{"missing_unit", {"missing-unit", "freed_per_day", "unit"}},
                                           Refused{"default_outside", {"default-outside", "freed_per_day", "bounds"}},
                                           Refused{"missing_function", {"missing-function", "rates"}},
                                           Refused{"unknown_response", {"unknown-response", "temperature law"}},
                                           Refused{"dangling_flow", {"dangling-flow", "freed"}},
                                           Refused{"throwing_entry", {"threw an exception", "no models today"}},
                                           Refused{"greedy_flow", {"greedy-flow", "starve"}}, Refused{"unbent", {"unbent", "bend"}}),
                         [](const auto& one) { return std::string(one.param.folder); });

TEST(PluginLoader, LoadsTheGoodSamples) {
  PluginRegistry registry;
  const LoadReport report = load_plugins(registry, {testing::good_samples()});
  EXPECT_FALSE(report.any_refused()) << report.summary();
  EXPECT_EQ(report.files.size(), 4u);
  EXPECT_NE(registry.release("sample-coated-granule"), nullptr);
  EXPECT_NE(registry.demand("sample-steady-grower"), nullptr);
  EXPECT_EQ(fs::path(registry.release("sample-coated-granule")->origin).filename(), "coated_granule.so");
}

TEST(PluginLoader, LoadsAllThatShips) {
  PluginRegistry registry;
  const LoadReport report = load_plugins(registry, {LEAFHUNGER_PLUGIN_DIR});
  EXPECT_FALSE(report.any_refused()) << report.summary();
  for (const char* name : {"organic-two-pool", "soluble-salt"}) EXPECT_NE(registry.release(name), nullptr) << name;
  EXPECT_NE(registry.demand("herbaceous"), nullptr);
}

TEST(PluginLoader, LooksAtFilesInSortedOrderAndKeepsTheFirstOfAName) {
  PluginRegistry registry;
  const LoadReport report = load_plugins(registry, {bad("taken_name")});
  ASSERT_EQ(report.files.size(), 2u);
  EXPECT_TRUE(std::is_sorted(report.files.begin(), report.files.end(), [](const auto& a, const auto& b) { return a.path < b.path; }));
  EXPECT_EQ(report.files[0].refused, "");
  EXPECT_NE(report.files[1].refused.find("taken-name"), std::string::npos) << report.files[1].refused;
  EXPECT_NE(report.files[1].refused.find("taken_name_a.so"), std::string::npos) << "by whom: " << report.files[1].refused;
}

TEST(PluginLoader, ABadOneDoesNotKeepAGoodOneOut) {
  PluginRegistry registry;
  const LoadReport report = load_plugins(registry, {bad("other_abi"), bad("not_a_library"), testing::good_samples()});
  EXPECT_TRUE(report.any_refused());
  EXPECT_NE(registry.release("sample-first-order-nitrate"), nullptr);
}

TEST(PluginLoader, SaysWhichFoldersAreNotThere) {
  PluginRegistry registry;
  const LoadReport report = load_plugins(registry, {"no/such/folder", testing::good_samples()});
  EXPECT_EQ(report.folders_missing, std::vector<std::string>{"no/such/folder"});
  EXPECT_EQ(report.folders_searched.size(), 1u);
  EXPECT_NE(report.summary().find("no/such/folder (not there)"), std::string::npos) << report.summary();
}

TEST(PluginLoader, LooksOnlyAtLibraries) {
  const testing::TempFolder folder;
  folder.write("notes.txt", "not a library, and not taken for one");
  folder.write("plugin.so.bak", "nor this");
  PluginRegistry registry;
  const LoadReport report = load_plugins(registry, {folder.at("")});
  EXPECT_TRUE(report.files.empty()) << report.summary();
}

TEST(PluginLoader, AFolderNamedLikeALibraryIsRefused) {
  const testing::TempFolder folder;
  fs::create_directory(folder.at("folder.so"));
  PluginRegistry registry;
  const LoadReport report = load_plugins(registry, {folder.at("")});
  ASSERT_EQ(report.files.size(), 1u);
  EXPECT_NE(report.files[0].refused, "");
}

class PluginFolders : public ::testing::Test {
 protected:
  void TearDown() override {
    unsetenv("LEAFHUNGER_PLUGIN_PATH");
    unsetenv("LEAFHUNGER_CATALOGUE");
  }
};

TEST_F(PluginFolders, ComeInOrder) {
  setenv("LEAFHUNGER_PLUGIN_PATH", "b1:b2", 1);
  EXPECT_EQ(plugin_folders({"a1", "a2"}, "/opt/x/bin"),
            (std::vector<std::string>{"a1", "a2", "b1", "b2", "/opt/x/lib/leafhunger/plugins"}));
  unsetenv("LEAFHUNGER_PLUGIN_PATH");
  EXPECT_EQ(plugin_folders({}, "/opt/x/bin"), (std::vector<std::string>{"/opt/x/lib/leafhunger/plugins"}));
}

TEST_F(PluginFolders, EmptyPartsAreNoFolders) {
  setenv("LEAFHUNGER_PLUGIN_PATH", ":b1::b2:", 1);
  EXPECT_EQ(plugin_folders({}, "/opt/x/bin"), (std::vector<std::string>{"b1", "b2", "/opt/x/lib/leafhunger/plugins"}));
  setenv("LEAFHUNGER_PLUGIN_PATH", "", 1);
  EXPECT_EQ(plugin_folders({}, "/opt/x/bin").size(), 1u);
}

TEST_F(PluginFolders, TheInstallationsOwnIsNotLookedAtTwice) {
  const std::string own = LEAFHUNGER_PLUGIN_DIR, beside = (fs::path(own) / ".." / ".." / ".." / "bin").lexically_normal().string();
  EXPECT_EQ(plugin_folders({own}, beside), std::vector<std::string>{own});
}

TEST_F(PluginFolders, CatalogueLiesBesideOrWhereTheUserSays) {
  EXPECT_EQ(catalogue_folder("/opt/x/bin"), "/opt/x/share/leafhunger/catalogue");
  setenv("LEAFHUNGER_CATALOGUE", "mine", 1);
  EXPECT_EQ(catalogue_folder("/opt/x/bin"), "mine");
}

}  // namespace
}  // namespace leafhunger
