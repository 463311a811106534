#include "host/json_document.hpp"

#include <nlohmann/json.hpp>
#include <stdexcept>
#include <unordered_map>

#include "host/json_syntax.hpp"
#include "host/text_file.hpp"
#include "host/words.hpp"
#include "leafhunger/error.hpp"

namespace leafhunger::input {

namespace {

/// Takes nlohmann_json's callbacks and walks the tokens beside them: the k-th event belongs to the k-th token that is neither a comma, a
/// colon nor a closing bracket.
class TreeBuilder : public nlohmann::json_sax<nlohmann::json> {
 public:
  TreeBuilder(std::string_view text, const std::string& file) : text_(text), tokens_(text), file_(file) {}

  /// After the last event. Refuses what the parser did not look at: it takes a byte 0 for the end of the text.
  JsonValue take_root() {
    for (JsonToken rest = tokens_.next(); rest.kind != JsonToken::Kind::end; rest = tokens_.next()) {
      if (is_value(rest.kind)) refuse_syntax(text_, rest.offset + rest.text.size(), file_);
    }
    return std::move(root_);
  }

  bool null() override { return add(JsonValue::Kind::null, JsonToken::Kind::word); }
  bool boolean(bool value) override { return add(JsonValue::Kind::boolean, JsonToken::Kind::word, value ? 1 : 0); }
  bool number_integer(number_integer_t value) override { return add_number(static_cast<double>(value)); }
  bool number_unsigned(number_unsigned_t value) override { return add_number(static_cast<double>(value)); }
  bool number_float(number_float_t value, const string_t&) override { return add_number(value); }
  bool string(string_t& value) override {
    add(JsonValue::Kind::text, JsonToken::Kind::string);
    last_->text = std::move(value);
    return true;
  }
  bool binary(binary_t&) override { throw std::logic_error("JSON text has no binary values"); }

  bool start_object(std::size_t) override {
    add(JsonValue::Kind::group, JsonToken::Kind::open_object);
    return open();
  }
  bool start_array(std::size_t) override {
    add(JsonValue::Kind::list, JsonToken::Kind::open_array);
    return open();
  }
  bool end_object() override { return close(); }
  bool end_array() override { return close(); }

  bool key(string_t& name) override {
    const JsonToken token = take(JsonToken::Kind::string);
    Level& level = open_.back();
    const auto [first, fresh] = level.keys.emplace(name, token.place);
    if (!fresh) {
      throw InputError({file_, to_words(token.place) + ", " + shown(pointer() + '/' + pointer_part(name), 200),
                        "the key " + in_quotes(name) + " a second time in one group", "each key once",
                        "it stands first at " + to_words(first->second) + "; keep one of the two"});
    }
    level.value->members.push_back({name, token.place, {}});
    return true;
  }

  bool parse_error(std::size_t bytes_read, const std::string&, const nlohmann::detail::exception& why) override {
    constexpr int k_number_overflow = 406;
    if (why.id == k_number_overflow) {
      const JsonToken token = take(JsonToken::Kind::word);
      throw InputError({file_, to_words(token.place), "the number " + shown(token.text), "a number of at most 308 digits",
                        "check the number's exponent"});
    }
    refuse_syntax(text_, bytes_read, file_);
  }

 private:
  struct Level {
    JsonValue* value;
    std::unordered_map<std::string, TextPlace> keys;
  };

  JsonToken take(JsonToken::Kind wanted) {
    JsonToken token = tokens_.next();
    while (!is_value(token.kind) && token.kind != JsonToken::Kind::end) token = tokens_.next();
    if (token.kind != wanted) throw std::logic_error("JSON tokens and parser disagree at " + to_words(token.place));
    return token;
  }

  bool add_number(double number) {
    const bool ok = add(JsonValue::Kind::number, JsonToken::Kind::word, number);
    last_->text = last_token_.text;
    return ok;
  }

  bool add(JsonValue::Kind kind, JsonToken::Kind token_kind, double number = 0) {
    last_token_ = take(token_kind);
    if (++count_ > k_most_json_values) {
      throw InputError({file_, to_words(last_token_.place), "more than " + std::to_string(k_most_json_values) + " values",
                        "at most " + std::to_string(k_most_json_values),
                        "check that this is the right file; a garden needs some hundreds"});
    }
    JsonValue value;
    value.kind = kind;
    value.place = last_token_.place;
    value.number = number;
    last_ = place(std::move(value));
    return true;
  }

  /// Addresses stay valid: a level's list grows only while nothing deeper is open.
  JsonValue* place(JsonValue&& value) {
    if (open_.empty()) {
      root_ = std::move(value);
      return &root_;
    }
    JsonValue& parent = *open_.back().value;
    if (parent.kind == JsonValue::Kind::list) return &parent.items.emplace_back(std::move(value));
    parent.members.back().value = std::move(value);
    return &parent.members.back().value;
  }

  bool open() {
    if (open_.size() == k_deepest_json) {
      throw InputError({file_, to_words(last_token_.place), "brackets more than " + std::to_string(k_deepest_json) + " deep",
                        "at most " + std::to_string(k_deepest_json) + " levels", "check for brackets that were never closed"});
    }
    open_.push_back({last_, {}});
    return true;
  }

  /// JSON Pointer of the innermost open list or group.
  std::string pointer() const {
    std::string out;
    for (std::size_t i = 0; i + 1 < open_.size(); ++i) {
      const JsonValue& value = *open_[i].value;
      out += '/';
      out += value.kind == JsonValue::Kind::list ? std::to_string(value.items.size() - 1) : pointer_part(value.members.back().key);
    }
    return out;
  }

  bool close() {
    open_.pop_back();
    return true;
  }

  std::string_view text_;
  JsonTokens tokens_;
  const std::string& file_;
  JsonValue root_;
  JsonToken last_token_;
  JsonValue* last_ = nullptr;
  std::vector<Level> open_;
  std::size_t count_ = 0;
};

}  // namespace

const JsonMember* JsonValue::find(std::string_view key) const {
  for (const auto& member : members) {
    if (member.key == key) return &member;
  }
  return nullptr;
}

std::string pointer_part(std::string_view key) {
  std::string out;
  for (const char c : key) {
    if (c == '~') {
      out += "~0";
    } else if (c == '/') {
      out += "~1";
    } else {
      out += c;
    }
  }
  return out;
}

JsonDocument parse_json(std::string_view text, const std::string& file) {
  TreeBuilder builder(text, file);
  nlohmann::json::sax_parse(text, &builder, nlohmann::json::input_format_t::json, true, false);
  return {file, builder.take_root()};
}

JsonDocument read_json(const std::string& path, std::string_view what) {
  return parse_json(read_text_file(path, what, k_most_json_bytes), path);
}

}  // namespace leafhunger::input
