// Reading a JSON tree so that the code looks like the format: each call names a key, what may stand there and how to mend it.
// Every refusal is an InputError with file, "line L, column C, /json/pointer", what was found, what is allowed, and a hint.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "host/json_document.hpp"
#include "leafhunger/catalogue.hpp"
#include "leafhunger/date.hpp"

namespace leafhunger::input {

/// What a number may be. Both ends are allowed unless `above` excludes the lower one.
struct Range {
  double low = 0, high = 0;
  const char* unit = "";  ///< "m2", "percent"; empty for a plain ratio
  bool above = false;     ///< low itself is refused
  bool whole = false;     ///< only whole numbers (12.0 counts as one)
};

/// Where the bounds are somebody else's business.
constexpr Range k_any_number{-1e12, 1e12, ""};

/// "0.05 to 100000 m2"; "more than 0, at most 1000 mm".
std::string to_words(const Range& range);

class JsonFields;
struct JsonEntry;

/// A value with its place in the document.
class JsonNode {
 public:
  explicit JsonNode(const JsonDocument& document) : file_(&document.file), value_(&document.root), place_(document.root.place) {}
  JsonNode(const std::string& file, const JsonValue& value, TextPlace place, std::string pointer)
      : file_(&file), value_(&value), place_(place), pointer_(std::move(pointer)) {}

  const JsonValue& value() const { return *value_; }
  const std::string& file() const { return *file_; }
  const std::string& pointer() const { return pointer_; }
  /// "line 12, column 18, /beds/0/area_m2".
  std::string place() const;
  /// What stands there, in a few words: `"loam"`, `-3`, `a list`.
  std::string found() const;

  [[noreturn]] void refuse(const std::string& found, const std::string& allowed, const std::string& hint) const;

  double number(const Range& range, std::string_view hint) const;
  int integer(Range range, std::string_view hint) const;
  bool boolean(std::string_view hint) const;
  /// Any text of low to high characters.
  std::string text(std::size_t low, std::size_t high, std::string_view hint) const;
  /// A name that a person gave: 1 to `high` characters, no blank at either end, no control characters.
  std::string name(std::size_t high, std::string_view hint) const;
  /// Lower-case letters, digits and hyphens, at most 60.
  std::string id(std::string_view hint) const;
  /// "04-15".
  MonthDay month_day(std::string_view hint) const;
  /// Position of the text in `choices`; the nearest is named where it is none of them.
  std::size_t choice(const std::vector<std::string>& choices, std::string_view hint) const;
  /// Entries of a list of low to high entries. `what` says of what: "beds".
  std::vector<JsonNode> list(std::size_t low, std::size_t high, std::string_view what) const;
  /// A group in which only these keys (and "comment") may stand; the nearest known one is named otherwise.
  JsonFields group(std::vector<std::string> known) const;
  /// A group whose keys are names of the user's choice: all its members but "comment".
  std::vector<JsonEntry> entries() const;
  /// Refuses a name that is not among the known, and names the nearest. `kind` is "plant", "material"; `where` says where they are listed.
  void require_known(const std::string& name, const std::vector<std::string>& known, std::string_view kind, std::string_view where) const;
  /// The same of entries of the catalogue, where the one that people call so is the nearest.
  void require_entry(const std::string& name, const std::map<std::string, Material>& known) const;
  void require_entry(const std::string& name, const std::map<std::string, Plant>& known) const;

 private:
  JsonNode member(const JsonMember& member, bool place_of_key) const;
  [[noreturn]] void refuse_unknown(const std::string& name, const std::vector<std::string>& known, std::string_view kind,
                                   std::string_view where, const std::string& nearest) const;
  void require_kind(JsonValue::Kind kind, const std::string& allowed, std::string_view hint) const;
  friend class JsonFields;

  const std::string* file_;
  const JsonValue* value_;
  TextPlace place_{1, 1};
  std::string pointer_;
};

/// A member of a group whose keys are the user's own names.
struct JsonEntry {
  std::string key;
  JsonNode at_key;  ///< the same value, placed at its key
  JsonNode value;

  /// Refuses a key that is no id (see JsonNode::id).
  void require_id(std::string_view kind) const;
  /// Refuses a key that is not small letters, digits and underscores, beginning with a letter.
  void require_snake(std::string_view kind) const;
};

/// A group whose keys have been checked; values are fetched by key.
class JsonFields {
 public:
  JsonFields(JsonNode node, std::vector<std::string> known);

  const JsonNode& node() const { return node_; }
  bool has(std::string_view key) const { return node_.value().find(key) != nullptr; }
  /// Refuses the group where the key is missing.
  JsonNode require(std::string_view key, const std::string& allowed, std::string_view hint) const;
  std::optional<JsonNode> find(std::string_view key) const;

  double number(std::string_view key, const Range& range, std::string_view hint) const;
  double number_or(double fallback, std::string_view key, const Range& range, std::string_view hint) const;
  std::optional<double> maybe_number(std::string_view key, const Range& range, std::string_view hint) const;
  int integer(std::string_view key, const Range& range, std::string_view hint) const;
  int integer_or(int fallback, std::string_view key, const Range& range, std::string_view hint) const;
  bool boolean_or(bool fallback, std::string_view key, std::string_view hint) const;
  std::string name(std::string_view key, std::size_t high, std::string_view hint) const;
  std::string text_or(std::string fallback, std::string_view key, std::size_t low, std::size_t high, std::string_view hint) const;
  std::string id(std::string_view key, std::string_view hint) const;
  MonthDay month_day(std::string_view key, std::string_view hint) const;
  MonthDay month_day_or(MonthDay fallback, std::string_view key, std::string_view hint) const;
  std::size_t choice(std::string_view key, const std::vector<std::string>& choices, std::string_view hint) const;
  std::size_t choice_or(std::size_t fallback, std::string_view key, const std::vector<std::string>& choices, std::string_view hint) const;
  /// The one key of these that stands there; none or several are refused.
  std::string exactly_one(const std::vector<std::string>& keys, std::string_view hint) const;

 private:
  JsonNode node_;
};

}  // namespace leafhunger::input
