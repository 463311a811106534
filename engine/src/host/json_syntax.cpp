#include "host/json_syntax.hpp"

#include <cctype>
#include <vector>

#include "host/json_tokens.hpp"
#include "host/words.hpp"
#include "leafhunger/error.hpp"

namespace leafhunger::input {

namespace {

using Kind = JsonToken::Kind;

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// RFC 8259, section 6: -? (0 | 1-9 digits) (. digits)? (e sign? digits)?
bool is_json_number(std::string_view word) {
  std::size_t i = 0;
  const auto digits = [&] {
    const std::size_t start = i;
    while (i < word.size() && is_digit(word[i])) ++i;
    return i > start;
  };
  if (i < word.size() && word[i] == '-') ++i;
  const std::size_t first = i;
  if (!digits() || (word[first] == '0' && i > first + 1)) return false;
  if (i < word.size() && word[i] == '.') {
    ++i;
    if (!digits()) return false;
  }
  if (i < word.size() && (word[i] == 'e' || word[i] == 'E')) {
    ++i;
    if (i < word.size() && (word[i] == '+' || word[i] == '-')) ++i;
    if (!digits()) return false;
  }
  return i == word.size();
}

bool is_json_word(std::string_view word) { return word == "true" || word == "false" || word == "null" || is_json_number(word); }

std::string lower(std::string_view text) {
  std::string out;
  for (const char c : text) out += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return out;
}

/// The walk so far: the token at fault, the one before it, and what is still open.
struct Walk {
  JsonToken token, previous, before_previous;
  std::vector<JsonToken> open;

  bool in_group() const { return !open.empty() && open.back().kind == Kind::open_object; }
  bool after_value() const { return is_closing(previous.kind) || previous.kind == Kind::string || previous.kind == Kind::word; }
  /// The token before is a key whose colon has not come yet.
  bool after_key() const {
    return in_group() && previous.kind == Kind::string &&
           (before_previous.kind == Kind::open_object || before_previous.kind == Kind::comma);
  }
  /// A key must come next.
  bool key_is_due() const { return in_group() && (previous.kind == Kind::open_object || previous.kind == Kind::comma); }
  static bool is_closing(Kind kind) { return kind == Kind::close_object || kind == Kind::close_array; }
};

struct Explanation {
  TextPlace place;
  std::string found, allowed, hint;
};

std::string what_stands(const JsonToken& token) {
  if (token.kind == Kind::end) return "the end of the file";
  if (token.kind == Kind::string) return "the text " + shown(token.text);
  return token.kind == Kind::word ? shown(token.text) : in_quotes(token.text);
}

bool has_four_hex_digits(std::string_view text) {
  if (text.size() < 4) return false;
  for (const char c : text.substr(0, 4)) {
    if (std::isxdigit(static_cast<unsigned char>(c)) == 0) return false;
  }
  return true;
}

/// A text whose inside is wrong, or nothing where it is well written.
bool explain_string(const JsonToken& token, Explanation& out) {
  out = {token.place, "", "text between two double quotation marks on one line", ""};
  if (!token.whole) {
    out.found = "a text without its closing quotation mark, " + shown(token.text, 40);
    out.hint = "close the text with \" before the line ends";
    return true;
  }
  if (!is_utf8(token.text)) {
    out = {token.place, "a letter in the text " + shown(token.text, 40) + " that is not in UTF-8", "text in UTF-8",
           "save the file again and choose UTF-8 as its encoding"};
    return true;
  }
  for (std::size_t i = 1; i + 1 < token.text.size(); ++i) {
    const char c = token.text[i];
    if (static_cast<unsigned char>(c) < 0x20) {
      out.found = "the control character " + shown(token.text.substr(i, 1)) + " inside the text " + shown(token.text, 40);
      out.hint = "take it out or put a space in its place";
      return true;
    }
    if (c != '\\') continue;
    const char escaped = token.text[++i];
    const bool known = escaped == 'u' ? has_four_hex_digits(token.text.substr(i + 1))
                                      : std::string_view("\"\\/bfnrt").find(escaped) != std::string_view::npos;
    if (!known) {
      out.found = "the unknown pair " + shown(token.text.substr(i - 1, 2)) + " inside the text " + shown(token.text, 40);
      out.hint = "write / between folders, or \\\\ where a backslash is meant";
      return true;
    }
  }
  return false;
}

/// A bare word that JSON does not know, or nothing where it does.
bool explain_word(const Walk& walk, Explanation& out) {
  const std::string_view word = walk.token.text;
  if (is_json_word(word)) return false;
  out = {walk.token.place, shown(word), "a number, a text in double quotation marks, a list or a group", ""};
  if (walk.key_is_due()) out.allowed = "a key in double quotation marks";
  const std::string folded = lower(word);
  const bool starts_number = is_digit(word[0]) || ((word[0] == '+' || word[0] == '-' || word[0] == '.') && word.size() > 1);
  if (word.starts_with("//") || word.starts_with("/*") || word[0] == '#') {
    out.found = "a remark that starts with " + shown(word, 2);
    out.allowed = "nothing but keys and values";
    out.hint = "JSON has no remarks; write it as text under a key \"comment\"";
  } else if (word[0] == '\'' || word.starts_with("\xE2\x80\x98") || word.starts_with("\xE2\x80\x9C") || word.starts_with("\xE2\x80\x9D")) {
    out.hint = "use the straight double quotation mark \" around texts and keys";
  } else if (folded == "true" || folded == "false" || folded == "null" || folded == "none") {
    out.hint = "write true, false or null in small letters";
  } else if (folded == "nan" || folded == "inf" || folded == "-inf" || folded == "infinity" || folded == "-infinity") {
    out.hint = "write a finite number, or leave the key out where the value is not known";
  } else if (walk.previous.kind == Kind::word && is_json_number(walk.previous.text)) {
    out.found = shown(word) + " after the number " + shown(walk.previous.text);
    out.allowed = "a number alone";
    out.hint = "take the unit out; the key's name says it";
  } else if (starts_number) {
    out.hint = "write the number alone, such as 12 or 0.5, without sign +, leading noughts or unit";
  } else {
    out.hint = "put double quotation marks around it";
  }
  return true;
}

Explanation explain_order(const Walk& walk) {
  const JsonToken& token = walk.token;
  const JsonToken& previous = walk.previous;
  const std::string opened = walk.open.empty() ? "" : in_quotes(walk.open.back().text) + " of " + to_words(walk.open.back().place);
  const std::string closing = walk.in_group() ? "\"}\"" : "\"]\"";
  if (previous.kind == Kind::end && token.kind == Kind::end) {
    return {token.place, "an empty file", "one group in braces { }", "start from an example garden"};
  }
  if (walk.open.empty() && walk.after_value()) {
    return {token.place, what_stands(token) + " after the end of the first group", "one group in braces { } and nothing after it",
            "check for a bracket too many, or take out what follows"};
  }
  if (token.kind == Kind::end && !walk.open.empty()) {
    return {token.place, "the end of the file", closing + " for the " + opened, "add the missing bracket"};
  }
  if (Walk::is_closing(token.kind) && previous.kind == Kind::comma) {
    return {previous.place, "a comma with nothing after it before " + in_quotes(token.text), "a comma only between two entries",
            "take that comma out"};
  }
  if (walk.after_key() && token.kind != Kind::colon) {
    return {token.place, what_stands(token) + " after the key " + shown(previous.text), "a colon between a key and its value",
            "write " + shown(previous.text, 30) + ": and then the value"};
  }
  if (previous.kind == Kind::colon && !is_value(token.kind)) {
    return {token.place, what_stands(token) + " where a value should stand",
            "a number, a text in double quotation marks, a list or a group", "write the value after the colon, or take the key out"};
  }
  if (walk.key_is_due() && token.kind != Kind::string) {
    const bool decimal_comma = previous.kind == Kind::comma && token.kind == Kind::word && is_digit(token.text[0]) &&
                               walk.before_previous.kind == Kind::word && is_json_number(walk.before_previous.text);
    return {token.place, what_stands(token) + " where a key should stand", "a key in double quotation marks",
            decimal_comma ? "write decimals with a point: " + shown(walk.before_previous.text) + '.' + shown(token.text)
                          : "put double quotation marks around each key and a colon after it"};
  }
  if (walk.after_value() && is_value(token.kind)) {
    return {token.place, what_stands(token) + " right after another value", "a comma or " + closing + " there",
            "put a comma after the value that comes before"};
  }
  if (Walk::is_closing(token.kind) && !walk.open.empty()) {
    return {token.place, in_quotes(token.text), closing + " for the " + opened, "check which bracket was opened last"};
  }
  return {token.place, what_stands(token), "well-formed JSON",
          "check the commas, colons, quotation marks and brackets just before this place"};
}

}  // namespace

void refuse_syntax(std::string_view text, std::size_t bytes_read, const std::string& file) {
  JsonTokens tokens(text);
  Walk walk;
  Explanation why;
  bool first = true;
  for (;;) {
    walk.before_previous = walk.previous;
    walk.previous = first ? JsonToken{} : walk.token;
    first = false;
    walk.token = tokens.next();
    const JsonToken& token = walk.token;
    // A word is judged only where a value may stand; elsewhere its position is the fault.
    if (token.kind == Kind::string && explain_string(token, why)) break;
    if (token.kind == Kind::word && explain_word(walk, why)) break;
    const std::size_t end = token.offset + token.text.size();
    if (token.kind == Kind::end || end >= bytes_read) {
      if (token.kind == Kind::string && end > bytes_read) {
        why = {token.place, "a broken \\u pair in the text " + shown(token.text, 40), "whole characters",
               "write the letter itself; the file is UTF-8"};
      } else {
        why = explain_order(walk);
      }
      break;
    }
    if (token.kind == Kind::open_object || token.kind == Kind::open_array) walk.open.push_back(token);
    if (Walk::is_closing(token.kind) && !walk.open.empty()) walk.open.pop_back();
  }
  throw InputError({file, to_words(why.place), why.found, why.allowed, why.hint});
}

}  // namespace leafhunger::input
