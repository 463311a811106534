// Generated weather to a file.
#include "leafhunger/weather_writer.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cmath>
#include <cstring>
#include <filesystem>
#include <utility>

#include "host/words.hpp"
#include "leafhunger/error.hpp"

namespace leafhunger {

namespace {

namespace fs = std::filesystem;

/// A value that is a whole number of tenths, without the help of any locale.
void append_tenths(std::string& out, double value) {
  const long tenths = std::lround(10 * value);
  const long size = std::labs(tenths);
  if (tenths < 0) out += '-';
  out += std::to_string(size / 10);
  out += '.';
  out += static_cast<char>('0' + size % 10);
}

/// Closed at the end, whatever happens.
class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() {
    if (number_ >= 0) ::close(number_);
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  int number() const { return number_; }
  bool close() {
    const int number = number_;
    number_ = -1;
    return ::close(number) == 0;
  }

 private:
  int number_;
};

bool write_all(Descriptor& file, const std::string& text) {
  std::size_t done = 0;
  while (done < text.size()) {
    const auto step = ::write(file.number(), text.data() + done, text.size() - done);
    if (step < 0 && errno == EINTR) continue;
    if (step <= 0) return false;
    done += static_cast<std::size_t>(step);
  }
  return ::fsync(file.number()) == 0 && file.close();
}

}  // namespace

std::string generated_note(const ClimateNormals& normals, const GeneratorRequest& request) {
  std::string note = "the weather is generated, no station measured it: " + input::counted(request.years, "year", "years") + ", seed " +
                     std::to_string(request.seed) + ", from the normals of " + normals.place;
  if (!normals.source.empty()) note += " (" + normals.source + ")";
  return note;
}

std::string weather_csv(const DailyWeather& weather, const ClimateNormals& normals, const GeneratorRequest& request,
                        const std::string& version) {
  const bool spread = normals.months[0].tmin_sd_c.has_value();
  std::size_t counted = 0;
  for (const auto& month : normals.months) counted += month.wet_days ? 1 : 0;
  std::string out;
  out.reserve(weather.days() * 28 + 1024);
  out += "# GENERATED weather: no station measured it. Made by leafhunger " + version + ", seed " + std::to_string(request.seed) + ", " +
         input::counted(request.years, "year", "years") + " from " + to_iso(weather.first) + ".\n";
  out += "# Monthly normals of " + normals.place + ": " + (normals.source.empty() ? "source not given" : normals.source) + ".\n";
  out += std::string("# Numbers of wet days: ") +
         (counted == 12  ? "given with the normals"
          : counted == 0 ? "not given, worked out from the rain"
                         : "given for some months, else worked out from the rain") +
         ". Day-to-day spread: " + (spread ? "given with the normals" : "not given, that of a maritime station") + ".\n";
  out +=
      "# What follows what, day by day, is as at Dublin Airport, 1991-2010. Sunshine is left out: it is worked out from tmin and tmax.\n";
  out += "date,tmin_c,tmax_c,rain_mm\n";
  for (std::size_t i = 0; i < weather.days(); ++i) {
    out += to_iso(weather.date(i));
    for (const double value : {weather.tmin_c[i], weather.tmax_c[i], weather.rain_mm[i]}) {
      out += ',';
      append_tenths(out, value);
    }
    out += '\n';
  }
  return out;
}

namespace {

constexpr const char* k_allowed = "the name of a file to write";

/// A file under its temporary name, whole and on the disk; gone again unless it is moved into place.
class Staged {
 public:
  Staged(const std::string& path, const std::string& text, bool force) : path_(path), force_(force) {
    check_name();
    // A process that was killed may have left one of that name.
    int number = -1;
    for (int k = 0; number < 0 && k < 100 && (k == 0 || errno == EEXIST); ++k) {
      temporary_ = path + ".part-" + std::to_string(::getpid()) + (k == 0 ? "" : '-' + std::to_string(k));
      number = ::open(temporary_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    }
    Descriptor file(number);
    if (file.number() < 0) {
      const std::string reason = std::strerror(errno);
      temporary_.clear();
      refuse("a folder that may not be written (" + reason + ")", "check the folder's permissions");
    }
    if (!write_all(file, text)) give_up("a file that cannot be written to its end");
  }
  ~Staged() { drop(); }
  Staged(Staged&& other) noexcept : path_(std::move(other.path_)), temporary_(std::exchange(other.temporary_, {})), force_(other.force_) {}
  Staged& operator=(Staged&&) = delete;

  void move_into_place() {
    // Without --force a file that appeared meanwhile is kept: a link never replaces one.
    if (!force_ && ::link(temporary_.c_str(), path_.c_str()) == 0) return drop();
    if (!force_ && errno == EEXIST) give_up("a file of that name");
    if (::rename(temporary_.c_str(), path_.c_str()) != 0) give_up("a file that cannot be moved into place");
    temporary_.clear();
  }

 private:
  [[noreturn]] void refuse(const std::string& found, const std::string& hint, const std::string& allowed = k_allowed) const {
    throw InputError({path_, "", found, allowed, hint});
  }
  [[noreturn]] void give_up(const char* what) {
    const std::string reason = std::strerror(errno);
    drop();
    refuse(std::string(what) + " (" + reason + ")", "check the folder's permissions and the room on the disk");
  }
  void drop() {
    if (!temporary_.empty()) ::unlink(temporary_.c_str());
    temporary_.clear();
  }
  void check_name() const {
    if (path_.empty()) refuse("an empty name", "name a file, such as weather.csv");
    std::error_code failed;
    const fs::file_status there = fs::status(path_, failed);
    if (there.type() == fs::file_type::directory) refuse("a folder", "name a file inside it");
    if (fs::exists(there) && there.type() != fs::file_type::regular)
      refuse("something that is no plain file", "leave the option out to write to the terminal");
    if (fs::exists(there) && !force_)
      refuse("a file of that name", "take another name, or overwrite it with --force", std::string(k_allowed) + " that is not there yet");
    const fs::path folder = fs::path(path_).has_parent_path() ? fs::path(path_).parent_path() : fs::path(".");
    if (!fs::is_directory(folder, failed)) refuse("no folder " + input::in_quotes(folder.string()), "make the folder first");
  }

  std::string path_, temporary_;
  bool force_;
};

}  // namespace

void write_whole_file(const std::string& path, const std::string& text, bool force) { Staged(path, text, force).move_into_place(); }

void write_whole_files(const std::vector<NewFile>& files, bool force) {
  std::vector<Staged> staged;
  for (const NewFile& file : files) staged.emplace_back(file.path, file.text, force);
  for (Staged& file : staged) file.move_into_place();
}

}  // namespace leafhunger
