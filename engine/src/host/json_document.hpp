// A JSON text as a tree in which every value and every key keeps its line and column. What the text means is nlohmann_json's word; where it
// stands is ours (its callbacks give no positions, and it takes a key given twice without a word).
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "host/json_tokens.hpp"

namespace leafhunger::input {

struct JsonMember;

struct JsonValue {
  enum class Kind : std::uint8_t { null, boolean, number, text, list, group };
  Kind kind = Kind::null;
  TextPlace place;
  double number = 0;                ///< of a number, always finite; 1 or 0 of a boolean
  std::string text;                 ///< of a text; a number as written
  std::vector<JsonValue> items;     ///< of a list
  std::vector<JsonMember> members;  ///< of a group, in the order written

  /// Null where there is no such key.
  const JsonMember* find(std::string_view key) const;
};

struct JsonMember {
  std::string key;
  TextPlace key_place;
  JsonValue value;
};

struct JsonDocument {
  std::string file;
  JsonValue root;
};

/// A key as a part of a JSON Pointer (RFC 6901): ~ and / are escaped.
std::string pointer_part(std::string_view key);

/// Bounds that keep a hostile file from eating the machine.
constexpr std::uint64_t k_most_json_bytes = 16ull << 20;
constexpr std::size_t k_deepest_json = 64;
constexpr std::size_t k_most_json_values = 500'000;

/// Throws InputError (line and column) for broken syntax, a key given twice in one group, numbers beyond 1.8e308, more than 64 levels and
/// more than half a million values. `file` is only named, not read.
JsonDocument parse_json(std::string_view text, const std::string& file);

/// The same from a file of at most 16 MiB; a byte order mark is skipped. `what` as in require_file().
JsonDocument read_json(const std::string& path, std::string_view what);

}  // namespace leafhunger::input
