#include "host/json_tokens.hpp"

namespace leafhunger::input {

namespace {

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }
bool ends_word(char c) { return is_blank(c) || std::string_view("{}[]:,\"").find(c) != std::string_view::npos; }

}  // namespace

std::string to_words(TextPlace place) { return "line " + std::to_string(place.line) + ", column " + std::to_string(place.column); }

bool is_value(JsonToken::Kind kind) {
  using enum JsonToken::Kind;
  return kind == open_object || kind == open_array || kind == string || kind == word;
}

void JsonTokens::step() {
  const auto byte = static_cast<unsigned char>(text_[offset_++]);
  if (byte == '\n') {
    ++place_.line;
    place_.column = 1;
  } else if (offset_ >= text_.size() || (static_cast<unsigned char>(text_[offset_]) & 0xC0) != 0x80) {
    ++place_.column;  // counted at a character's last byte
  }
}

JsonToken JsonTokens::next() {
  using enum JsonToken::Kind;
  while (offset_ < text_.size() && is_blank(text_[offset_])) step();
  JsonToken token;
  token.place = place_;
  token.offset = offset_;
  if (offset_ == text_.size()) return token;
  switch (text_[offset_]) {
    case '{':
      token.kind = open_object;
      step();
      break;
    case '}':
      token.kind = close_object;
      step();
      break;
    case '[':
      token.kind = open_array;
      step();
      break;
    case ']':
      token.kind = close_array;
      step();
      break;
    case ':':
      token.kind = colon;
      step();
      break;
    case ',':
      token.kind = comma;
      step();
      break;
    case '"':
      token.kind = string;
      token.whole = false;
      step();
      while (offset_ < text_.size() && text_[offset_] != '\n') {
        const char c = text_[offset_];
        step();
        if (c == '"') {
          token.whole = true;
          break;
        }
        if (c == '\\' && offset_ < text_.size() && text_[offset_] != '\n') step();
      }
      break;
    default:
      token.kind = word;
      while (offset_ < text_.size() && !ends_word(text_[offset_])) step();
  }
  token.text = text_.substr(token.offset, offset_ - token.offset);
  return token;
}

}  // namespace leafhunger::input
