// A folder of its own for one test, with files written into it; gone afterwards.
#pragma once

#include <gtest/gtest.h>
#include <unistd.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <string>
#include <string_view>

namespace leafhunger::testing {

inline std::string read_all(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  EXPECT_TRUE(in) << path;
  return {std::istreambuf_iterator<char>(in), {}};
}

class TempFolder {
 public:
  TempFolder() {
    static std::atomic<int> count = 0;
    path_ = std::filesystem::temp_directory_path() / ("leafhunger-" + std::to_string(getpid()) + '-' + std::to_string(count++));
    std::filesystem::create_directories(path_);
  }
  ~TempFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  TempFolder(const TempFolder&) = delete;
  TempFolder& operator=(const TempFolder&) = delete;

  std::string write(const std::string& name, std::string_view text) const {
    std::ofstream(path_ / name, std::ios::binary) << text;
    return (path_ / name).string();
  }
  std::string at(const std::string& name) const { return (path_ / name).string(); }
  /// Names of all that lies in it.
  std::set<std::string> names() const {
    std::set<std::string> out;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(path_)) out.insert(entry.path().string());
    return out;
  }

 private:
  std::filesystem::path path_;
};

inline std::filesystem::path bad_folder() { return std::filesystem::path(LEAFHUNGER_SOURCE_DIR) / "tests" / "bad"; }

/// `text` with `from` replaced by `to`; a failure unless `from` stands there exactly once.
inline std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  EXPECT_NE(at, std::string::npos) << "not there: " << from;
  if (at == std::string::npos) return text;
  EXPECT_EQ(text.find(from, at + 1), std::string::npos) << "there more than once: " << from;
  return text.replace(at, from.size(), to);
}

}  // namespace leafhunger::testing
