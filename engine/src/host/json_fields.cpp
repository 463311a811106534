#include "host/json_fields.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "host/words.hpp"
#include "leafhunger/common_names.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"

namespace leafhunger::input {

namespace {

constexpr std::size_t k_longest_pointer = 200;

constexpr std::size_t k_longest_id = 60;

bool is_small(char c) { return c >= 'a' && c <= 'z'; }
bool is_digit(char c) { return c >= '0' && c <= '9'; }

bool is_id(const std::string& id) {
  return !id.empty() && id.size() <= k_longest_id && id[0] != '-' &&
         std::all_of(id.begin(), id.end(), [](char c) { return is_small(c) || is_digit(c) || c == '-'; });
}

bool is_snake(const std::string& name) {
  return !name.empty() && name.size() <= k_longest_id && is_small(name[0]) &&
         std::all_of(name.begin(), name.end(), [](char c) { return is_small(c) || is_digit(c) || c == '_'; });
}

std::string id_in_words() { return "a name of small letters, digits and hyphens, at most " + std::to_string(k_longest_id) + " long"; }

bool is_control(char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; }

/// Characters that steer a terminal or turn the order of what stands around them, so that a text reads as what it is not: control
/// characters but tab and line end, U+0080 to U+009F, and the bidirectional overrides U+202A to U+202E and U+2066 to U+2069.
bool has_steering(std::string_view text) {
  const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u; };
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (is_control(text[i]) && text[i] != '\t' && text[i] != '\n' && text[i] != '\r') return true;
    if (byte(i) == 0xC2 && byte(i + 1) < 0xA0) return true;
    if (byte(i) != 0xE2) continue;
    const unsigned last = byte(i + 2);
    if (byte(i + 1) == 0x80 && last >= 0xAA && last <= 0xAE) return true;
    if (byte(i + 1) == 0x81 && last >= 0xA6 && last <= 0xA9) return true;
  }
  return false;
}

/// The number that a text begins with: "12 m2" and "12" both give it.
std::optional<std::string> number_inside(std::string_view text) {
  double value = 0;
  const auto end = std::from_chars(text.data(), text.data() + text.size(), value);
  if (end.ec != std::errc{} || !std::isfinite(value)) return std::nullopt;
  return std::string(text.data(), end.ptr);
}

std::string hint_of(const std::string& nearest, std::string_view kind, std::string otherwise) {
  return nearest.empty() ? std::move(otherwise) : "the nearest " + std::string(kind) + " is " + in_quotes(nearest);
}

std::string nearest_hint(const std::string& name, const std::vector<std::string>& known, std::string_view kind, std::string otherwise) {
  return hint_of(nearest_name(name, known), kind, std::move(otherwise));
}

template <class Entry>
std::vector<std::string> ids_of(const std::map<std::string, Entry>& entries) {
  std::vector<std::string> ids;
  for (const auto& [id, entry] : entries) ids.push_back(id);
  return ids;
}

}  // namespace

std::string to_words(const Range& range) {
  if (range.low == range.high) return plain(range.low);
  if (range.low == k_any_number.low && range.high == k_any_number.high) return "any number up to 1e12";
  std::string out = range.whole ? "a whole number, " : "";
  out +=
      range.above ? "more than " + plain(range.low) + " and at most " + plain(range.high) : plain(range.low) + " to " + plain(range.high);
  if (range.unit[0] != '\0') out += ' ' + std::string(range.unit);
  return out;
}

std::string JsonNode::place() const {
  std::string out = to_words(place_);
  if (!pointer_.empty()) out += ", " + shown(pointer_, k_longest_pointer);
  return out;
}

std::string JsonNode::found() const {
  switch (value_->kind) {
    case JsonValue::Kind::null:
      return "null";
    case JsonValue::Kind::boolean:
      return value_->number != 0 ? "true" : "false";
    case JsonValue::Kind::number:
      return shown(value_->text);
    case JsonValue::Kind::text:
      return value_->text.empty() ? "an empty text" : "the text " + in_quotes(value_->text);
    case JsonValue::Kind::list:
      return "a list of " + counted(static_cast<long>(value_->items.size()), "entry", "entries");
    case JsonValue::Kind::group:
      return "a group in braces { }";
  }
  return {};
}

void JsonNode::refuse(const std::string& found, const std::string& allowed, const std::string& hint) const {
  throw InputError({*file_, place(), found, allowed, hint});
}

void JsonNode::require_kind(JsonValue::Kind kind, const std::string& allowed, std::string_view hint) const {
  if (value_->kind == kind) return;
  std::string mend(hint);
  if (value_->kind == JsonValue::Kind::null) {
    mend = "leave the key out where there is nothing to say";
  } else if (kind == JsonValue::Kind::number && value_->kind == JsonValue::Kind::text) {
    const bool percent_taken_for_share = value_->text.find('%') != std::string::npos && allowed.find("percent") == std::string::npos;
    if (const auto inside = number_inside(value_->text); inside && !percent_taken_for_share) {
      mend = "write the number alone, without quotation marks or unit: " + shown(*inside);
    }
  } else if (kind == JsonValue::Kind::list) {
    mend = "put square brackets [ ] around the entries";
  } else if (kind == JsonValue::Kind::text && value_->kind == JsonValue::Kind::number) {
    mend = "put double quotation marks around it";
  }
  refuse(found(), allowed, mend);
}

double JsonNode::number(const Range& range, std::string_view hint) const {
  require_kind(JsonValue::Kind::number, to_words(range), hint);
  const double value = value_->number;
  const bool inside = (range.above ? value > range.low : value >= range.low) && value <= range.high;
  if (!inside || (range.whole && value != std::floor(value))) refuse(found(), to_words(range), std::string(hint));
  return value;
}

int JsonNode::integer(Range range, std::string_view hint) const {
  range.whole = true;
  return static_cast<int>(number(range, hint));
}

bool JsonNode::boolean(std::string_view hint) const {
  require_kind(JsonValue::Kind::boolean, "true or false", hint);
  return value_->number != 0;
}

std::string JsonNode::text(std::size_t low, std::size_t high, std::string_view hint) const {
  const std::string allowed = "a text of " + std::to_string(low) + " to " + std::to_string(high) + " characters";
  require_kind(JsonValue::Kind::text, allowed, hint);
  const std::size_t length = characters(value_->text);
  if (length < low || length > high) {
    refuse(length == 0 ? "an empty text" : "a text of " + counted(static_cast<long>(length), "character", "characters"), allowed,
           std::string(hint));
  }
  if (has_steering(value_->text)) {
    refuse("a text with a character that cannot be seen and steers what is shown", "letters, signs, blanks and line ends",
           "write the text anew with plain letters");
  }
  return value_->text;
}

std::string JsonNode::name(std::size_t high, std::string_view hint) const {
  const std::string name = text(1, high, hint);
  if (name.front() == ' ' || name.back() == ' ') {
    refuse(found(), "a name without a blank at its start or end", "take the blank out");
  }
  if (std::any_of(name.begin(), name.end(), is_control)) {
    refuse(found(), "a name on one line, without tabs", "write the name with plain letters and blanks");
  }
  return name;
}

std::string JsonNode::id(std::string_view hint) const {
  const std::string allowed = id_in_words();
  require_kind(JsonValue::Kind::text, allowed, hint);
  if (!is_id(value_->text)) refuse(found(), allowed, std::string(hint));
  return value_->text;
}

MonthDay JsonNode::month_day(std::string_view hint) const {
  const std::string allowed = "a day of the year as month and day, such as \"04-15\" for 15 April";
  if (value_->kind == JsonValue::Kind::number) refuse(found(), allowed, "write the day as text between double quotation marks");
  require_kind(JsonValue::Kind::text, allowed, hint);
  const auto day = parse_month_day(value_->text);
  if (!day) {
    std::string mend(hint);
    if (parse_date(value_->text)) mend = "leave the year out: \"" + value_->text.substr(5) + "\"";
    const std::string& text = value_->text;
    if (text.size() == 5 && text[2] == '-') {
      if (parse_month_day(text.substr(3) + '-' + text.substr(0, 2))) {
        mend = "the month comes first: \"" + text.substr(3) + '-' + text.substr(0, 2) + '"';
      } else {
        mend = "no year has such a day; check month and day";
      }
    }
    refuse(found(), allowed, mend);
  }
  return *day;
}

std::size_t JsonNode::choice(const std::vector<std::string>& choices, std::string_view hint) const {
  require_kind(JsonValue::Kind::text, one_of(choices), hint);
  const auto it = std::find(choices.begin(), choices.end(), value_->text);
  if (it == choices.end()) refuse(found(), one_of(choices), nearest_hint(value_->text, choices, "known word", std::string(hint)));
  return static_cast<std::size_t>(it - choices.begin());
}

std::vector<JsonNode> JsonNode::list(std::size_t low, std::size_t high, std::string_view what) const {
  const std::string many = low == high ? std::to_string(low) : std::to_string(low) + " to " + std::to_string(high);
  const std::string allowed = "a list of " + many + ' ' + std::string(what);
  require_kind(JsonValue::Kind::list, allowed, "");
  const std::size_t count = value_->items.size();
  if (count < low || count > high) {
    refuse(count == 0 ? "an empty list" : found(), allowed,
           count < low ? "add at least " + counted(static_cast<long>(low), "entry", "entries")
                       : "use fewer, or split the garden over several files");
  }
  std::vector<JsonNode> out;
  out.reserve(count);
  for (std::size_t i = 0; i < count; ++i) {
    out.emplace_back(*file_, value_->items[i], value_->items[i].place, pointer_ + '/' + std::to_string(i));
  }
  return out;
}

JsonFields JsonNode::group(std::vector<std::string> known) const { return {*this, std::move(known)}; }

JsonNode JsonNode::member(const JsonMember& member, bool place_of_key) const {
  return {*file_, member.value, place_of_key ? member.key_place : member.value.place, pointer_ + '/' + pointer_part(member.key)};
}

std::vector<JsonEntry> JsonNode::entries() const {
  require_kind(JsonValue::Kind::group, "a group in braces { }", "write \"name\": value between braces");
  std::vector<JsonEntry> out;
  for (const auto& m : value_->members) {
    if (m.key == "comment") {
      member(m, false).require_kind(JsonValue::Kind::text, "a text", "put double quotation marks around the comment");
    } else {
      out.push_back({m.key, member(m, true), member(m, false)});
    }
  }
  return out;
}

void JsonNode::require_known(const std::string& name, const std::vector<std::string>& known, std::string_view kind,
                             std::string_view where) const {
  if (std::find(known.begin(), known.end(), name) == known.end()) refuse_unknown(name, known, kind, where, nearest_name(name, known));
}

void JsonNode::require_entry(const std::string& name, const std::map<std::string, Material>& known) const {
  if (!known.contains(name)) refuse_unknown(name, ids_of(known), "material", "in the catalogue", nearest_entry(known, name));
}

void JsonNode::require_entry(const std::string& name, const std::map<std::string, Plant>& known) const {
  if (!known.contains(name)) refuse_unknown(name, ids_of(known), "plant", "in the catalogue", nearest_entry(known, name));
}

void JsonNode::refuse_unknown(const std::string& name, const std::vector<std::string>& known, std::string_view kind, std::string_view where,
                              const std::string& nearest) const {
  const std::string the_kind(kind);
  refuse("the unknown " + the_kind + ' ' + in_quotes(name),
         known.empty() ? "nothing, for there is no " + the_kind + ' ' + std::string(where) : one_of(known, 12),
         hint_of(nearest, "known " + the_kind, "check the " + the_kind + "'s name " + std::string(where)));
}

void JsonEntry::require_id(std::string_view kind) const {
  if (is_id(key)) return;
  at_key.refuse("the " + std::string(kind) + " name " + in_quotes(key), id_in_words(), "rename it, such as \"my-compost-2\"");
}

void JsonEntry::require_snake(std::string_view kind) const {
  if (is_snake(key)) return;
  at_key.refuse("the " + std::string(kind) + " name " + in_quotes(key),
                "a name of small letters, digits and underscores that begins with a letter", "write it as its plugin lists it");
}

JsonFields::JsonFields(JsonNode node, std::vector<std::string> known) : node_(std::move(node)) {
  node_.require_kind(JsonValue::Kind::group, "a group in braces { } with " + one_of(known), "write its parts as keys between braces");
  for (const auto& m : node_.value().members) {
    if (m.key == "comment") {
      node_.member(m, false).require_kind(JsonValue::Kind::text, "a text", "put double quotation marks around the comment");
    } else if (std::find(known.begin(), known.end(), m.key) == known.end()) {
      node_.member(m, true).refuse("the unknown key " + in_quotes(m.key), one_of(known, 24),
                                   nearest_hint(m.key, known, "known key", "take the key out, or put it in a \"comment\""));
    }
  }
}

JsonNode JsonFields::require(std::string_view key, const std::string& allowed, std::string_view hint) const {
  if (const auto node = find(key)) return *node;
  node_.refuse("no key " + in_quotes(key), allowed, std::string(hint));
}

std::optional<JsonNode> JsonFields::find(std::string_view key) const {
  const JsonMember* member = node_.value().find(key);
  return member == nullptr ? std::nullopt : std::optional(node_.member(*member, false));
}

double JsonFields::number(std::string_view key, const Range& range, std::string_view hint) const {
  return require(key, to_words(range), hint).number(range, hint);
}

double JsonFields::number_or(double fallback, std::string_view key, const Range& range, std::string_view hint) const {
  return maybe_number(key, range, hint).value_or(fallback);
}

std::optional<double> JsonFields::maybe_number(std::string_view key, const Range& range, std::string_view hint) const {
  const auto node = find(key);
  return node ? std::optional(node->number(range, hint)) : std::nullopt;
}

int JsonFields::integer(std::string_view key, const Range& range, std::string_view hint) const {
  return require(key, to_words(range), hint).integer(range, hint);
}

int JsonFields::integer_or(int fallback, std::string_view key, const Range& range, std::string_view hint) const {
  const auto node = find(key);
  return node ? node->integer(range, hint) : fallback;
}

bool JsonFields::boolean_or(bool fallback, std::string_view key, std::string_view hint) const {
  const auto node = find(key);
  return node ? node->boolean(hint) : fallback;
}

std::string JsonFields::name(std::string_view key, std::size_t high, std::string_view hint) const {
  return require(key, "a name of 1 to " + std::to_string(high) + " characters", hint).name(high, hint);
}

std::string JsonFields::text_or(std::string fallback, std::string_view key, std::size_t low, std::size_t high,
                                std::string_view hint) const {
  const auto node = find(key);
  return node ? node->text(low, high, hint) : std::move(fallback);
}

std::string JsonFields::id(std::string_view key, std::string_view hint) const { return require(key, id_in_words(), hint).id(hint); }

MonthDay JsonFields::month_day(std::string_view key, std::string_view hint) const {
  return require(key, "a day of the year as month and day, such as \"04-15\"", hint).month_day(hint);
}

MonthDay JsonFields::month_day_or(MonthDay fallback, std::string_view key, std::string_view hint) const {
  const auto node = find(key);
  return node ? node->month_day(hint) : fallback;
}

std::size_t JsonFields::choice(std::string_view key, const std::vector<std::string>& choices, std::string_view hint) const {
  return require(key, one_of(choices), hint).choice(choices, hint);
}

std::size_t JsonFields::choice_or(std::size_t fallback, std::string_view key, const std::vector<std::string>& choices,
                                  std::string_view hint) const {
  const auto node = find(key);
  return node ? node->choice(choices, hint) : fallback;
}

std::string JsonFields::exactly_one(const std::vector<std::string>& keys, std::string_view hint) const {
  std::vector<std::string> there;
  for (const auto& key : keys) {
    if (has(key)) there.push_back(key);
  }
  if (there.size() == 1) return there[0];
  std::string found = there.empty() ? "none of " + one_of(keys) : "both " + in_quotes(there.size() > 1 ? there[0] : "");
  if (there.size() > 1) found += " and " + in_quotes(there[1]);
  node_.refuse(found, "exactly one of " + one_of(keys), std::string(hint));
}

}  // namespace leafhunger::input
