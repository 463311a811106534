#include "host/words.hpp"

#include <array>
#include <charconv>

#include "core/utf8.hpp"

namespace leafhunger::input {

namespace {

std::string escaped_byte(unsigned char byte) {
  constexpr char k_digits[] = "0123456789abcdef";
  switch (byte) {
    case '\n':
      return "\\n";
    case '\r':
      return "\\r";
    case '\t':
      return "\\t";
    default:
      return {'\\', 'x', k_digits[byte >> 4], k_digits[byte & 15]};
  }
}

}  // namespace

std::string shown(std::string_view text, std::size_t most) {
  std::string out;
  std::size_t count = 0;
  while (!text.empty()) {
    if (count++ == most) return out + "...";
    const std::size_t length = utf8_length(text);
    const auto lead = static_cast<unsigned char>(text[0]);
    // C1 control characters (U+0080 to U+009F) drive some terminals as well.
    const bool control = lead < 0x20 || lead == 0x7F || (length == 2 && lead == 0xC2 && static_cast<unsigned char>(text[1]) < 0xA0);
    if (length == 0 || control) {
      for (std::size_t i = 0; i < (length == 0 ? 1 : length); ++i) out += escaped_byte(static_cast<unsigned char>(text[i]));
    } else {
      out += text.substr(0, length);
    }
    text.remove_prefix(length == 0 ? 1 : length);
  }
  return out;
}

std::string in_quotes(std::string_view text) { return '"' + shown(text) + '"'; }

std::string plain(double value) {
  std::array<char, 400> buffer;  // the longest finite double has 309 digits before the point
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value, std::chars_format::fixed);
  if (end.ec != std::errc{} || end.ptr - buffer.data() > 20) {
    const auto brief = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value, std::chars_format::general, 6);
    return {buffer.data(), brief.ptr};
  }
  return {buffer.data(), end.ptr};
}

std::string one_of(const std::vector<std::string>& names, std::size_t most, const char* conjunction) {
  std::string out;
  const std::size_t listed = names.size() > most ? most : names.size();
  for (std::size_t i = 0; i < listed; ++i) {
    if (i > 0) out += i + 1 == names.size() ? conjunction : ", ";
    out += in_quotes(names[i]);
  }
  if (listed < names.size()) out += conjunction + std::to_string(names.size() - listed) + " more";
  return out;
}

std::string counted(long count, const char* one, const char* many) { return std::to_string(count) + ' ' + (count == 1 ? one : many); }

bool is_utf8(std::string_view text) { return leafhunger::is_utf8(text); }

std::size_t characters(std::string_view text) {
  std::size_t count = 0;
  for (const char c : text) count += (static_cast<unsigned char>(c) & 0xC0) != 0x80;
  return count;
}

std::string csv_cell(const std::string& text) {
  const bool formula = !text.empty() && std::string_view("=+-@\t").find(text[0]) != std::string_view::npos;
  const std::string cell = formula ? '\'' + text : text;
  if (cell.find_first_of(",\"\r\n") == std::string::npos) return cell;
  std::string out = "\"";
  for (const char c : cell) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + '"';
}

}  // namespace leafhunger::input
