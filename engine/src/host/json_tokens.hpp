// The tokens of a JSON text with their places. A parser says what a text means; this says where each piece of it stands.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace leafhunger::input {

/// Line and column, from 1; columns count characters, not bytes.
struct TextPlace {
  std::uint32_t line = 0, column = 0;
};

/// "line 12, column 18".
std::string to_words(TextPlace place);

struct JsonToken {
  enum class Kind : std::uint8_t {
    open_object,
    close_object,
    open_array,
    close_array,
    colon,
    comma,
    string,  ///< with its quotation marks; `whole` is false where the closing one is missing on its line
    word,    ///< a number, true, false, null, or whatever else stands without quotation marks
    end,     ///< of the text
  };
  Kind kind = Kind::end;
  bool whole = true;
  TextPlace place;
  std::size_t offset = 0;  ///< of its first byte
  std::string_view text;   ///< as written
};

/// True for what starts or is a value.
bool is_value(JsonToken::Kind kind);

/// Walks a text token by token. Never fails: whatever is no JSON becomes a word.
class JsonTokens {
 public:
  /// `text` must outlive the walk.
  explicit JsonTokens(std::string_view text) : text_(text) {}
  /// The next token; at the end of the text, `end` for ever.
  JsonToken next();

 private:
  void step();

  std::string_view text_;
  std::size_t offset_ = 0;
  TextPlace place_{1, 1};
};

}  // namespace leafhunger::input
