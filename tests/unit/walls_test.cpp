// Walls between the parts, read off the sources themselves: the engine knows no model and no material, its core touches no file, thread or
// loader, and its public headers ask for nothing but the standard library.
#include <gtest/gtest.h>

#include <cctype>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>

#include "leafhunger/label.hpp"
#include "support/models.hpp"
#include "unit/temp_garden.hpp"

namespace leafhunger {
namespace {

namespace fs = std::filesystem;

const fs::path k_engine = fs::path(LEAFHUNGER_SOURCE_DIR) / "engine";

std::vector<fs::path> sources(const fs::path& folder) {
  std::vector<fs::path> all;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    const std::string kind = entry.path().extension().string();
    if (kind == ".hpp" || kind == ".cpp" || kind == ".h" || entry.path().filename() == "CMakeLists.txt" || kind == ".in")
      all.push_back(entry.path());
  }
  std::sort(all.begin(), all.end());
  return all;
}

std::string lower(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

bool part_of_name(char c) { return std::isalnum(static_cast<unsigned char>(c)) || c == '-' || c == '_'; }

// Whether it stands there as a name of its own, hyphens and underscores taken for one another.
bool names(const std::string& text, const std::string& name) {
  for (std::size_t at = text.find(name); at != std::string::npos; at = text.find(name, at + 1)) {
    const bool before = at > 0 && part_of_name(text[at - 1]),
               after = at + name.size() < text.size() && part_of_name(text[at + name.size()]);
    if (!before && !after) return true;
  }
  return false;
}

TEST(Walls, EngineKnowsNoModelNoMaterialAndNoPlant) {
  std::vector<std::string> forbidden;
  PluginRegistry shipped;
  load_plugins(shipped, {LEAFHUNGER_PLUGIN_DIR});
  for (const auto& [name, model] : shipped.releases()) forbidden.push_back(name);
  for (const auto& [name, model] : shipped.demands()) forbidden.push_back(name);
  ASSERT_GE(forbidden.size(), 3u);
  for (const char* part : {"materials", "plants"}) {
    const auto catalogue = nlohmann::json::parse(testing::read_all(fs::path(LEAFHUNGER_CATALOGUE_DIR) / (std::string(part) + ".json")));
    for (const auto& [id, entry] : catalogue[part].items()) forbidden.push_back(id);
  }
  ASSERT_GE(forbidden.size(), 25u);
  for (const fs::path& file : sources(k_engine)) {
    const std::string text = lower(testing::read_all(file));
    for (const std::string& name : forbidden) {
      // The same words say what a material came from and how hungry a plant is.
      if (find_label_origin(name) != nullptr || name == "frugal") continue;
      if (name.find('-') == std::string::npos) {  // an everyday word: prose may use it, code may not look for it
        EXPECT_EQ(text.find('"' + name + '"'), std::string::npos) << file << " looks for \"" << name << '"';
        continue;
      }
      EXPECT_FALSE(names(text, name)) << file << " names \"" << name << '"';
      std::string underscored = name;
      std::replace(underscored.begin(), underscored.end(), '-', '_');
      EXPECT_FALSE(names(text, underscored)) << file << " names \"" << underscored << '"';
    }
  }
}

std::vector<std::string> includes_of(const fs::path& file) {
  std::vector<std::string> all;
  std::istringstream in(testing::read_all(file));
  static const std::regex k_include(R"(^\s*#\s*include\s*[<"]([^>"]+)[>"].*$)");
  for (std::string line; std::getline(in, line);) {
    std::smatch m;
    if (std::regex_match(line, m, k_include)) all.push_back(m[1]);
  }
  return all;
}

bool starts_with_any(const std::string& text, const std::vector<std::string>& starts) {
  return std::any_of(starts.begin(), starts.end(), [&](const std::string& s) { return text.rfind(s, 0) == 0; });
}

TEST(Walls, CoreTouchesNoFileThreadOrLoader) {
  const auto files = sources(k_engine / "src" / "core");
  ASSERT_GT(files.size(), 15u);
  for (const fs::path& file : files)
    for (const std::string& header : includes_of(file)) {
      EXPECT_FALSE(starts_with_any(header, {"fstream", "filesystem", "iostream", "thread", "mutex", "atomic", "future",
                                            "condition_variable", "dlfcn.h", "unistd.h", "sys/", "cstdlib", "nlohmann", "CLI"}))
          << file << " includes " << header;
      EXPECT_EQ(header.find("host"), std::string::npos) << file << " includes " << header;
    }
}

TEST(Walls, CoreIncludesNoHeaderOfTheHost) {
  // Headers that need files, plugins on disk or reports; the core must do without them.
  for (const fs::path& file : sources(k_engine / "src" / "core"))
    for (const std::string& header : includes_of(file))
      EXPECT_FALSE(
          starts_with_any(header, {"leafhunger/reader.hpp", "leafhunger/plugin_loader.hpp", "leafhunger/garden.hpp",
                                   "leafhunger/report.hpp", "leafhunger/lasts.hpp", "leafhunger/topup.hpp", "leafhunger/trace.hpp"}))
          << file << " includes " << header;
}

TEST(Walls, PublicHeadersAskForTheStandardLibraryOnly) {
  const auto files = sources(k_engine / "include");
  ASSERT_GT(files.size(), 20u);
  for (const fs::path& file : files)
    for (const std::string& header : includes_of(file))
      EXPECT_FALSE(starts_with_any(header, {"boost", "nlohmann", "CLI", "core/", "host/", "pybind11", "dlfcn"}))
          << file << " includes " << header;
}

TEST(Walls, PluginLineIsPlainC) {
  for (const std::string& header : includes_of(k_engine / "include" / "leafhunger" / "plugin.h")) EXPECT_EQ(header, "stdint.h");
}

TEST(Walls, PluginsKnowOnlyTheSdk) {
  for (const fs::path& file : sources(fs::path(LEAFHUNGER_SOURCE_DIR) / "plugins"))
    for (const std::string& header : includes_of(file))
      if (header.rfind("leafhunger/", 0) == 0) {
        EXPECT_TRUE(header == "leafhunger/plugin.h" || header == "leafhunger/plugin_sdk.hpp") << file << " includes " << header;
      }
}

// "Includes run one way": nothing that core or host offers includes the command.
TEST(Walls, NothingIncludesTheCommand) {
  for (const fs::path& folder : {k_engine / "src", k_engine / "include"})
    for (const fs::path& file : sources(folder))
      for (const std::string& header : includes_of(file)) EXPECT_EQ(header.find("commands.hpp"), std::string::npos) << file;
}

// No path of the machine that built it, in sources or in what the command says.
TEST(Walls, NoPathOfAMachineInTheSources) {
  for (const char* part : {"engine", "plugins", "scenarios"})
    for (const fs::path& file : sources(fs::path(LEAFHUNGER_SOURCE_DIR) / part)) {
      const std::string text = testing::read_all(file);
      for (const std::string& path : {std::string("/wo") + "rk/", std::string("/tm") + "p/", std::string("/ho") + "me/"})
        EXPECT_EQ(text.find(path), std::string::npos) << file << " holds " << path;
    }
}

}  // namespace
}  // namespace leafhunger
