#include "host/append_file.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>

#include "leafhunger/error.hpp"

namespace leafhunger {
namespace {

class Locked {  // one writer at a time
 public:
  explicit Locked(const std::string& path) : at_(::open(path.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0666)) {
    if (at_ >= 0) ::flock(at_, LOCK_EX);
  }
  ~Locked() {
    if (at_ >= 0) ::close(at_);
  }
  Locked(const Locked&) = delete;
  Locked& operator=(const Locked&) = delete;
  int get() const { return at_; }

 private:
  int at_;
};

[[noreturn]] void refuse(const std::string& path, const std::string& found, const char* hint) {
  throw InputError({path, "", found, "a text file that can be added to", hint});
}

}  // namespace

void append_line(const std::string& path, const std::string& head, const std::string& line, std::size_t most_bytes,
                 const std::function<void(const std::string&)>& check) {
  const Locked file(path);
  if (file.get() < 0)
    refuse(path, std::string("a file that cannot be opened (") + std::strerror(errno) + ")", "check the folder and its permissions");
  struct stat about {};
  if (::fstat(file.get(), &about) != 0 || !S_ISREG(about.st_mode)) refuse(path, "what is no plain file", "choose another name");
  std::string before;
  std::array<char, 1 << 14> block;
  for (off_t at = 0;;) {
    const ssize_t n = ::pread(file.get(), block.data(), block.size(), at);
    if (n < 0) refuse(path, "a file that cannot be read to its end", "check the disk");
    if (n == 0) break;
    before.append(block.data(), static_cast<std::size_t>(n)), at += n;
    if (before.size() > most_bytes)
      refuse(path, "more than " + std::to_string(most_bytes >> 10) + " KiB", "check that this is the right file");
  }
  std::string added = before.empty() ? head : before.back() == '\n' ? std::string() : std::string("\n");
  added += line + "\n";
  check(before + added);
  const ssize_t n = ::write(file.get(), added.data(), added.size());
  if (n == static_cast<ssize_t>(added.size()) && ::fsync(file.get()) == 0) return;
  const std::string why = n < 0 ? std::strerror(errno) : "the disk may be full";
  if (::ftruncate(file.get(), static_cast<off_t>(before.size())) != 0)
    refuse(path, "a file that was written in part", "delete its last line");
  refuse(path, "a file that cannot be written (" + why + ")", "check the disk");
}

}  // namespace leafhunger
