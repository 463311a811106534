#include "lines.hpp"

#include <cmath>
#include <cstdio>
#include <vector>

#include "words.hpp"

namespace leafhunger::lines {

std::size_t width(std::string_view text) { return input::characters(text); }

std::string padded(std::string_view text, std::size_t columns) {
  const std::size_t w = width(text);
  return std::string(text) + std::string(w < columns ? columns - w : 0, ' ');
}

std::string right(std::string_view text, std::size_t columns) {
  const std::size_t w = width(text);
  return std::string(w < columns ? columns - w : 0, ' ') + std::string(text);
}

std::string wrapped(std::string_view first, std::string_view text, std::size_t rest, std::size_t columns) {
  std::string out, line(first);
  bool blank = true;  // no word on this line yet
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t space = std::min(text.find(' ', at), text.size());
    const std::string_view word = text.substr(at, space - at);
    at = space + 1;
    if (word.empty()) continue;
    if (!blank && width(line) + 1 + width(word) > columns) {
      out += line + '\n';
      line = std::string(rest, ' ');
      blank = true;
    }
    if (!blank) line += ' ';
    line += word;
    blank = false;
  }
  while (line.ends_with(' ')) line.pop_back();  // a last column that is empty
  return out + line + '\n';
}

std::string fixed(double value, int digits) {
  // No minus before a nought.
  const double scale = std::pow(10, digits);
  if (std::round(std::abs(value) * scale) == 0) value = 0;
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", digits, value);
  return text;
}

std::string headed(const std::string& question, const std::string& note, const std::string& weather_note) {
  std::string out = wrapped("", question, 0);
  for (const std::string& said : {note, weather_note})
    if (!said.empty()) out += wrapped("", said, 0);
  return out + "\n";
}

}  // namespace leafhunger::lines
