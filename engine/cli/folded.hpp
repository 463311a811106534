// Text for a terminal of 80 columns.
#pragma once

#include <algorithm>
#include <string>

namespace leafhunger::cli {

inline constexpr std::size_t k_width = 80;

/// Columns that a UTF-8 text takes: every byte but those that go on a character.
inline std::size_t columns_of(const std::string& text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

/// Words broken at blanks, later lines set in by `inset`; ends with a newline.
inline std::string folded(const std::string& text, std::size_t inset) {
  std::string out, line;
  const auto flush = [&] {
    out += line + '\n';
    line.assign(inset, ' ');
  };
  std::size_t i = 0;
  bool first = true;
  while (i < text.size()) {
    const std::size_t end = std::min(text.find(' ', i), text.size());
    const std::string word = text.substr(i, end - i);
    if (!first && columns_of(line) + 1 + columns_of(word) > k_width) {
      flush();
      first = true;
    }
    line += (first ? "" : " ") + word;
    first = false;
    i = end + 1;
  }
  flush();
  return out;
}

}  // namespace leafhunger::cli
