// The JSON tree: values are nlohmann_json's, places are counted here a second time by a plain search in the text.
#include "host/json_document.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <random>

#include "host/words.hpp"
#include "leafhunger/error.hpp"
#include "temp_garden.hpp"

namespace leafhunger::input {
namespace {

InputFault fault_of(const std::string& text) {
  try {
    parse_json(text, "f.json");
  } catch (const InputError& error) {
    return error.fault();
  }
  ADD_FAILURE() << "was taken: " << text;
  return {};
}

/// The same tree without places, to compare with nlohmann_json's own.
nlohmann::json without_places(const JsonValue& value) {
  switch (value.kind) {
    case JsonValue::Kind::null:
      return nullptr;
    case JsonValue::Kind::boolean:
      return value.number != 0;
    case JsonValue::Kind::number:
      return value.number;
    case JsonValue::Kind::text:
      return value.text;
    case JsonValue::Kind::list: {
      auto out = nlohmann::json::array();
      for (const auto& item : value.items) out.push_back(without_places(item));
      return out;
    }
    case JsonValue::Kind::group: {
      auto out = nlohmann::json::object();
      for (const auto& member : value.members) out[member.key] = without_places(member.value);
      return out;
    }
  }
  return {};
}

/// A random value whose leaves are all different, and its text with random blanks.
class RandomJson {
 public:
  explicit RandomJson(unsigned seed) : random_(seed) {}

  std::string value(int depth) {
    const unsigned kind = pick(depth > 0 ? 6 : 4);
    switch (kind) {
      case 0:
        return std::to_string(++serial_) + (pick(2) != 0 ? ".25e1" : "");
      case 1:
        return "\"" + text() + "\"";
      case 2:
        return pick(2) != 0 ? "true" : "false";
      case 3:
        return "null";
      case 4: {
        std::string out = "[" + blank();
        for (unsigned i = 0, n = pick(5); i < n; ++i) out += (i > 0 ? "," + blank() : "") + value(depth - 1) + blank();
        return out + "]";
      }
      default: {
        std::string out = "{" + blank();
        for (unsigned i = 0, n = pick(5); i < n; ++i) {
          out += (i > 0 ? "," + blank() : "") + "\"" + text() + "\"" + blank() + ":" + blank() + value(depth - 1) + blank();
        }
        return out + "}";
      }
    }
  }
  unsigned pick(unsigned below) { return static_cast<unsigned>(random_() % below); }

 private:
  std::string text() {
    static const char* const k_parts[] = {"a", "é", "\\\"", "\\\\", "{", "}", "[,]", ":", "\\u00e9", "\\n", "漢", "//"};
    std::string out = std::string(1, 't').append(std::to_string(++serial_));
    for (unsigned i = 0, n = pick(4); i < n; ++i) out += k_parts[pick(std::size(k_parts))];
    return out;
  }
  std::string blank() {
    static const char* const k_blanks[] = {"", "", " ", "\n", "\r\n", "\t", "  \n  "};
    return k_blanks[pick(std::size(k_blanks))];
  }

  std::mt19937 random_;
  int serial_ = 100000;  // all as long as each other, so that none stands inside another
};

/// Line and column of a byte, counted from the start.
TextPlace place_at(const std::string& text, std::size_t offset) {
  TextPlace place{1, 1};
  for (std::size_t i = 0; i < offset; ++i) {
    if (text[i] == '\n') {
      place = {place.line + 1, 1};
    } else if ((static_cast<unsigned char>(text[i]) & 0xC0) != 0x80) {
      ++place.column;
    }
  }
  return place;
}

void expect_place(const std::string& text, TextPlace place, const std::string& written) {
  const auto at = text.find(written);
  ASSERT_NE(at, std::string::npos);
  const TextPlace wanted = place_at(text, at);
  EXPECT_EQ(place.line, wanted.line) << written;
  EXPECT_EQ(place.column, wanted.column) << written;
}

/// The start of a text of RandomJson as it stands in the file: its letter and serial number.
std::string start_of(const std::string& text) {
  std::size_t digits = 1;
  while (digits < text.size() && std::isdigit(static_cast<unsigned char>(text[digits])) != 0) ++digits;
  return '"' + text.substr(0, digits);
}

/// Numbers, texts and keys of RandomJson stand once in the text, so a search finds them.
void expect_places(const std::string& text, const JsonValue& value) {
  if (value.kind == JsonValue::Kind::number) expect_place(text, value.place, value.text);
  if (value.kind == JsonValue::Kind::text) expect_place(text, value.place, start_of(value.text));
  for (const auto& item : value.items) expect_places(text, item);
  for (const auto& member : value.members) {
    expect_place(text, member.key_place, start_of(member.key));
    expect_places(text, member.value);
  }
}

TEST(JsonDocument, KeepsValuesAndPlaces) {
  const std::string text = "{\n  \"é\": [1, -2.5e1,\n \"x\"],\r\n\"b\":{\"c\" : true , \"d\":null}}\n";
  const JsonDocument document = parse_json(text, "f.json");
  EXPECT_EQ(document.file, "f.json");
  const JsonValue& list = document.root.find("é")->value;
  EXPECT_EQ(to_words(document.root.find("é")->key_place), "line 2, column 3");
  EXPECT_EQ(to_words(list.place), "line 2, column 8");
  EXPECT_EQ(list.items[1].number, -25);
  EXPECT_EQ(list.items[1].text, "-2.5e1");
  EXPECT_EQ(to_words(list.items[1].place), "line 2, column 12");
  EXPECT_EQ(to_words(list.items[2].place), "line 3, column 2");
  const JsonValue& group = document.root.find("b")->value;
  EXPECT_EQ(to_words(group.place), "line 4, column 5");
  EXPECT_EQ(to_words(group.find("c")->value.place), "line 4, column 12");
  EXPECT_EQ(group.find("d")->value.kind, JsonValue::Kind::null);
  EXPECT_EQ(group.find("x"), nullptr);
}

TEST(JsonDocument, AgreesWithTheParserOnRandomTexts) {
  for (unsigned seed = 0; seed < 400; ++seed) {
    RandomJson random(seed);
    const std::string text = random.value(5);
    SCOPED_TRACE(text);
    const JsonDocument document = parse_json(text, "f.json");
    EXPECT_EQ(without_places(document.root), nlohmann::json::parse(text));
    expect_places(text, document.root);
    if (HasFailure()) return;
  }
}

TEST(JsonDocument, BrokenTextsAreRefusedWithAPlaceInsideTheText) {
  std::size_t refused = 0;
  for (unsigned seed = 0; seed < 4000; ++seed) {
    RandomJson random(seed);
    std::string text = random.value(4);
    for (unsigned i = 0, n = 1 + random.pick(3); i < n; ++i) {
      const std::size_t at = random.pick(static_cast<unsigned>(text.size()));
      switch (random.pick(3)) {
        case 0:
          text.erase(at, 1);
          break;
        case 1:
          text.insert(at, 1, static_cast<char>(random.pick(256)));
          break;
        default:
          text[at] = "{}[]:,\"'\\ 0a\n"[random.pick(13)];
      }
      if (text.empty()) text.push_back(' ');
    }
    SCOPED_TRACE(text);
    const bool good = nlohmann::json::accept(text);
    try {
      parse_json(text, "f.json");
      EXPECT_TRUE(good || text.find('\0') != std::string::npos);
    } catch (const InputError& error) {
      ++refused;
      const InputFault& fault = error.fault();
      const bool twice = fault.found.find("a second time") != std::string::npos;
      // A byte 0 ends the text for nlohmann_json, not for us.
      EXPECT_TRUE(!good || twice || text.find('\0') != std::string::npos) << error.what();
      unsigned line = 0, column = 0;
      ASSERT_EQ(std::sscanf(fault.place.c_str(), "line %u, column %u", &line, &column), 2) << error.what();
      const TextPlace end = place_at(text, text.size());
      EXPECT_TRUE(line < end.line || (line == end.line && column <= end.column)) << error.what();
      EXPECT_FALSE(fault.hint.empty());
      EXPECT_TRUE(is_utf8(error.what())) << error.what();
    }
    if (HasFailure()) return;
  }
  EXPECT_GT(refused, 2000u);
}

TEST(JsonDocument, ByteZeroIsNotTheEnd) {
  const std::string text("{\"a\": 1}\0 7", 11);
  EXPECT_EQ(fault_of(text).place, "line 1, column 9");
}

TEST(JsonDocument, DuplicateKeysNameBothPlaces) {
  const InputFault fault = fault_of("{\"a\": [0, {\"x~/\": 1,\n \"x~/\": 2}]}");
  EXPECT_EQ(fault.place, "line 2, column 2, /a/1/x~0~1");
  EXPECT_NE(fault.hint.find("line 1, column 12"), std::string::npos) << fault.hint;
}

TEST(JsonDocument, SameKeyInTwoGroupsIsFine) { EXPECT_NO_THROW(parse_json("{\"a\": {\"x\": 1}, \"b\": {\"x\": 2}, \"x\": 3}", "f.json")); }

TEST(JsonDocument, DepthIsLimited) {
  const std::string deep = std::string(64, '[') + std::string(64, ']');
  EXPECT_NO_THROW(parse_json(deep, "f.json"));
  EXPECT_EQ(fault_of('[' + deep + ']').place, "line 1, column 65");
  EXPECT_NE(fault_of(std::string(1 << 20, '[')).found.find("64"), std::string::npos);
}

TEST(JsonDocument, NumberOfValuesIsLimited) {
  std::string many = "[0";
  for (std::size_t i = 0; i < k_most_json_values; ++i) many += ",0";
  EXPECT_NE(fault_of(many + "]").found.find("500000"), std::string::npos);
}

TEST(JsonDocument, ManyKeysAreReadInLinearTime) {
  std::string text = "{\"k\": 0";
  for (int i = 0; i < 200000; ++i) text += ",\"k" + std::to_string(i) + "\":0";
  EXPECT_EQ(parse_json(text + "}", "f.json").root.members.size(), 200001u);
}

TEST(JsonDocument, HugeAndTinyNumbers) {
  EXPECT_NE(fault_of("[1, -1e999]").found.find("-1e999"), std::string::npos);
  EXPECT_EQ(fault_of("[1, -1e999]").place, "line 1, column 5");
  EXPECT_EQ(parse_json("[1e-999]", "f.json").root.items[0].number, 0);
  EXPECT_EQ(parse_json("[18446744073709551616]", "f.json").root.items[0].number, 18446744073709551616.0);
  for (const char* word : {"NaN", "Infinity", "-Infinity", "nan"}) EXPECT_NE(fault_of(word).hint.find("finite"), std::string::npos);
}

TEST(JsonDocument, ByteOrderMarkIsSkipped) {
  const testing::TempFolder folder;
  const JsonDocument document = read_json(folder.write("a.json", "\xEF\xBB\xBF{\"a\": 1}"), "a file");
  EXPECT_EQ(to_words(document.root.find("a")->key_place), "line 1, column 2");
}

TEST(JsonDocument, FileSizeIsLimited) {
  const testing::TempFolder folder;
  const std::string path = folder.write("a.json", std::string((16 << 20) + 1, ' '));
  try {
    read_json(path, "a file");
    ADD_FAILURE() << "was taken";
  } catch (const InputError& error) {
    EXPECT_NE(std::string(error.what()).find("16 MiB"), std::string::npos) << error.what();
  }
}

TEST(Words, ShowsOnlyWhatIsPrintable) {
  EXPECT_EQ(shown("a\x1B[31m\tb"), "a\\x1b[31m\\tb");
  EXPECT_EQ(shown("caf\xE9"), "caf\\xe9");
  EXPECT_EQ(shown("\xC2\x9B"), "\\xc2\\x9b");           // a C1 control character
  EXPECT_EQ(shown("\xC0\xAF"), "\\xc0\\xaf");           // overlong
  EXPECT_EQ(shown("\xED\xA0\x80"), "\\xed\\xa0\\x80");  // a surrogate
  EXPECT_EQ(shown("日本語", 2), "日本...");
}

TEST(Words, PlainNumbers) {
  EXPECT_EQ(plain(100000), "100000");
  EXPECT_EQ(plain(0.05), "0.05");
  EXPECT_EQ(plain(-3), "-3");
  EXPECT_EQ(plain(1e300), "1e+300");
}

TEST(Words, ListsNames) {
  EXPECT_EQ(one_of({"a"}), "\"a\"");
  EXPECT_EQ(one_of({"a", "b", "c"}), "\"a\", \"b\" or \"c\"");
  EXPECT_EQ(one_of({"a", "b", "c", "d"}, 2), "\"a\", \"b\" or 2 more");
}

}  // namespace
}  // namespace leafhunger::input
