#include "host/text_file.hpp"

#include <filesystem>
#include <fstream>
#include <vector>

#include "host/words.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"

namespace leafhunger::input {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t k_most_neighbours = 1000;  // a folder with more is not listed to the end
constexpr std::string_view k_utf8_mark = "\xEF\xBB\xBF", k_utf16_little = "\xFF\xFE", k_utf16_big = "\xFE\xFF";

std::string size_in_words(std::uint64_t bytes) { return std::to_string(bytes >> 20) + " MiB"; }

}  // namespace

std::string nearest_file_beside(const std::string& path) {
  std::error_code failed;
  const fs::path wanted(path);
  const fs::path folder = wanted.has_parent_path() ? wanted.parent_path() : fs::path(".");
  std::vector<std::string> names;
  fs::directory_iterator entry(folder, failed);
  for (; !failed && entry != fs::directory_iterator{} && names.size() < k_most_neighbours; entry.increment(failed)) {
    std::error_code unknown;
    if (entry->is_regular_file(unknown)) names.push_back(entry->path().filename().string());
  }
  return nearest_name(wanted.filename().string(), names);
}

void require_file(const std::string& path, std::string_view what) {
  std::error_code failed;
  const fs::file_status status = fs::status(path, failed);
  if (status.type() == fs::file_type::not_found || path.empty()) {
    const std::string nearest = nearest_file_beside(path);
    throw InputError({path, "", "no file of that name", std::string(what),
                      nearest.empty() ? "check the name and the folder" : "the nearest name in that folder is " + in_quotes(nearest)});
  }
  if (status.type() == fs::file_type::directory) {
    throw InputError({path, "", "a folder", std::string(what), "name the file inside the folder"});
  }
  if (!std::ifstream(path, std::ios::binary)) {
    throw InputError({path, "", "a file that may not be read", std::string(what), "check the file's permissions"});
  }
}

void drop_byte_order_mark(std::string& text, const std::string& path) {
  if (text.starts_with(k_utf8_mark)) {
    text.erase(0, k_utf8_mark.size());
  } else if (text.starts_with(k_utf16_little) || text.starts_with(k_utf16_big)) {
    throw InputError({path, "line 1", "text in UTF-16", "text in UTF-8", "save the file again and choose UTF-8 as its encoding"});
  }
}

std::string read_text_file(const std::string& path, std::string_view what, std::uint64_t most_bytes) {
  require_file(path, what);
  std::ifstream in(path, std::ios::binary);
  std::string text;
  std::vector<char> block(1 << 16);
  while (in.read(block.data(), static_cast<std::streamsize>(block.size())) || in.gcount() > 0) {
    text.append(block.data(), static_cast<std::size_t>(in.gcount()));
    if (text.size() > most_bytes) {
      throw InputError({path, "", "more than " + size_in_words(most_bytes), "at most " + size_in_words(most_bytes),
                        "check that this is the right file; a garden needs a few pages"});
    }
  }
  if (in.bad()) throw InputError({path, "", "a file that cannot be read to its end", std::string(what), "check the disk"});
  drop_byte_order_mark(text, path);
  return text;
}

}  // namespace leafhunger::input
