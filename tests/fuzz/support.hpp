// What the fuzz targets share: a folder in memory to hand files to the readers, bytes turned into figures, and what every sentence must be.
#pragma once

#include <fcntl.h>
#include <unistd.h>

#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "host/words.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/plugin_loader.hpp"

namespace leafhunger::fuzz {

/// Ends the run, so that libFuzzer keeps the input.
[[noreturn]] inline void fail(const std::string& why) {
  std::fprintf(stderr, "fuzz target: %s\n", why.c_str());
  std::abort();
}
inline void require(bool good, const std::string& why) {
  if (!good) fail(why);
}

/// A folder of this process, gone at its end; in memory where the machine has such a place.
class Folder {
 public:
  Folder() {
    const char* base = ::access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp";
    std::string name = std::string(base) + "/leafhunger-fuzz-XXXXXX";
    require(::mkdtemp(name.data()) != nullptr, "no folder can be made");
    path_ = name;
  }
  ~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;

  std::string at(const std::string& name) const { return path_ + '/' + name; }
  std::string write(const std::string& name, std::string_view text) const {
    const std::string path = at(name);
    const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
    require(file >= 0, "a file cannot be made");
    require(::write(file, text.data(), text.size()) == static_cast<ssize_t>(text.size()), "a file cannot be written");
    ::close(file);
    return path;
  }
  void copy(const std::string& from) const { std::filesystem::copy_file(from, at(std::filesystem::path(from).filename().string())); }

 private:
  std::string path_;
};

inline std::string_view text_of(const std::uint8_t* data, std::size_t size) { return {reinterpret_cast<const char*>(data), size}; }

/// One line of printable UTF-8 that is not endless and says what was found.
inline void require_sentence(std::string_view text) {
  require(!text.empty() && text.size() < 3000, "a sentence of " + std::to_string(text.size()) + " bytes");
  require(input::is_utf8(text), "a sentence that is no UTF-8");
  for (const char c : text) require(static_cast<unsigned char>(c) >= 0x20 && c != 0x7f, "a control character in a sentence");
}
inline void require_sentence(const InputError& e) {
  require_sentence(e.what());
  require(!e.fault().found.empty(), "a fault that does not say what was found");
}

/// An input may cost a second of the processor and no more, watched as it is. Its own time, not the clock's: other work on the machine does
/// not count.
class Watch {
 public:
  explicit Watch(double most_s = 1) : most_s_(most_s) {}
  ~Watch() {
    const double spent_s = static_cast<double>(std::clock() - begun_) / CLOCKS_PER_SEC;
    if (spent_s > most_s_) fail("an input that takes " + std::to_string(spent_s) + " s");
  }

 private:
  double most_s_;
  std::clock_t begun_ = std::clock();
};

/// Bytes as figures, in the order in which they are asked for; noughts after their end.
class Bytes {
 public:
  Bytes(const std::uint8_t* data, std::size_t size) : data_(data), size_(size) {}

  bool any() const { return at_ < size_; }
  std::uint8_t byte() { return any() ? data_[at_++] : 0; }
  int whole(int low, int high) { return low + byte() % (high - low + 1); }
  /// A share of 0 to 1, both within reach.
  double unit() { return (byte() * 256.0 + byte()) / 65535.0; }
  double between(double low, double high) { return low + (high - low) * unit(); }
  /// Any bits at all: infinities, no numbers, the smallest.
  double any_double() {
    std::uint64_t bits = 0;
    for (int i = 0; i < 8; ++i) bits = bits << 8 | byte();
    double x = 0;
    std::memcpy(&x, &bits, sizeof x);
    return x;
  }
  /// Mostly tame, sometimes at an edge or beyond.
  double number(double low, double high) {
    switch (byte() % 16) {
      case 0:
        return any_double();
      case 1:
        return low;
      case 2:
        return high;
      case 3:
        return low - unit();
      default:
        return between(low, high);
    }
  }
  std::string text(std::size_t most) {
    std::string out;
    for (std::size_t n = byte() % (most + 1); n > 0; --n) out += static_cast<char>(byte());
    return out;
  }

 private:
  const std::uint8_t* data_;
  std::size_t size_, at_ = 0;
};

/// The models that ship, loaded once.
inline std::shared_ptr<const PluginRegistry> models() {
  static const auto registry = [] {
    auto fresh = std::make_shared<PluginRegistry>();
    const LoadReport report = load_plugins(*fresh, {LEAFHUNGER_PLUGIN_DIR});
    require(!report.any_refused() && !fresh->releases().empty(), report.summary());
    return fresh;
  }();
  return registry;
}

}  // namespace leafhunger::fuzz
