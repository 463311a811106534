// Text for a terminal of 80 columns.
#pragma once

#include <algorithm>
#include <string>

namespace leafhunger::cli {

inline constexpr std::size_t k_width = 80;

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
    if (!first && line.size() + 1 + word.size() > k_width) {
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
