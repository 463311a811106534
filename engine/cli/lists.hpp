// Options that hold several values with commas between.
#pragma once

#include <algorithm>
#include <charconv>
#include <string>
#include <vector>

#include "leafhunger/error.hpp"

namespace leafhunger::cli {

/// As an error shows it: clipped, nothing that could upset a terminal.
inline std::string in_quotes(const std::string& text) {
  std::string safe;
  for (const char c : text.substr(0, 60)) safe += static_cast<unsigned char>(c) < 0x20 || c == 0x7f ? '?' : c;
  return '"' + safe + '"';
}

/// "5,10,15" in parts, each once; none may be empty. Throws InputError naming the option.
inline std::vector<std::string> parts_of(const std::string& text, const char* option, const char* allowed, const char* hint) {
  std::vector<std::string> parts;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t comma = std::min(text.find(',', at), text.size());
    std::string part = text.substr(at, comma - at);
    part.erase(0, part.find_first_not_of(' '));
    part.erase(part.find_last_not_of(' ') + 1);
    if (part.empty()) throw InputError({"", option, text.empty() ? "nothing" : in_quotes(text), allowed, hint});
    if (std::find(parts.begin(), parts.end(), part) == parts.end()) parts.push_back(part);
    at = comma + 1;
  }
  return parts;
}

/// A whole text as a number.
template <class Number>
Number number(const std::string& part, const char* option, const char* allowed, const char* hint) {
  Number value{};
  const char* first = part.data() + (part[0] == '+' ? 1 : 0);
  const auto end = std::from_chars(first, part.data() + part.size(), value);
  if (end.ec != std::errc{} || end.ptr != part.data() + part.size()) throw InputError({"", option, in_quotes(part), allowed, hint});
  return value;
}

}  // namespace leafhunger::cli
