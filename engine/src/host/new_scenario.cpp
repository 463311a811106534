// What a person answers, read leniently: case, blanks, one or many do not matter; what is not understood is named with its nearest.
#include "leafhunger/new_scenario.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>

#include "core/month_name.hpp"
#include "leafhunger/common_names.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/label.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/soil.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

[[noreturn]] void refuse(const char* option, const std::string& text, const std::string& allowed, const std::string& hint) {
  throw InputError({"", option, text.empty() ? "nothing" : "\"" + input::shown(text) + "\"", allowed, hint});
}

std::string trimmed(const std::string& text) {
  const auto first = text.find_first_not_of(" \t\r"), last = text.find_last_not_of(" \t\r");
  return first == std::string::npos ? "" : text.substr(first, last - first + 1);
}

// Small letters, blanks and underscores as hyphens: as ids are written.
std::string as_id(const std::string& text) {
  std::string out;
  for (const char c : trimmed(text)) {
    const char hyphen = c == ' ' || c == '_' ? '-' : static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    if (hyphen != '-' || (!out.empty() && out.back() != '-')) out += hyphen;
  }
  return out;
}

// A number at the text's start; what follows it is left in `rest`.
std::optional<double> leading_number(const std::string& text, std::string& rest) {
  double value = 0;
  const auto end = std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  if (end.ec != std::errc{} || !std::isfinite(value)) return std::nullopt;
  rest = trimmed(std::string(end.ptr, text.data() + text.size()));
  return value;
}

double number_between(const char* option, const std::string& text, double low, double high, const std::string& unit,
                      std::initializer_list<const char*> units, const std::string& hint) {
  std::string rest;
  const auto value = leading_number(trimmed(text), rest);
  const bool known = rest.empty() || std::any_of(units.begin(), units.end(), [&](const char* u) { return as_id(rest) == u; });
  if (!value || !known || *value < low || *value > high)
    refuse(option, text, input::plain(low) + " to " + input::plain(high) + " " + unit, hint);
  return *value;
}

// Of a list that was shown with numbers.
std::optional<std::size_t> row_number(const std::string& text, std::size_t rows) {
  std::string rest;
  const auto value = leading_number(trimmed(text), rest);
  if (!value || !rest.empty() || *value < 1 || *value > static_cast<double>(rows) || *value != std::floor(*value)) return std::nullopt;
  return static_cast<std::size_t>(*value) - 1;
}

// Id of an entry by id, title or what else people call it, one or many; empty where there is none.
template <class Entries>
std::string id_of(const std::string& text, const Entries& entries) {
  std::string wanted = as_id(text);
  for (int pass = 0; pass < 3 && !wanted.empty(); ++pass) {
    for (const auto& [id, entry] : entries)
      if (wanted == id || wanted == as_id(entry.title)) return id;
    // the plural's "lilies" and "lily".
    if (pass == 0 && wanted.size() > 3 && wanted.ends_with("ies")) {
      wanted = wanted.substr(0, wanted.size() - 3) + "y";
    } else if (wanted.back() == 's') {
      wanted.pop_back();
    } else {
      break;
    }
  }
  return entry_named(entries, text);
}

// Ids near to a text: of one entry, or of all that share a word that is near: "bananna" is near to a part of a longer name.
template <class Entries>
std::vector<std::string> nearest_of(const std::string& text, const Entries& entries) {
  if (const std::string near = nearest_entry(entries, text); !near.empty()) return {near};
  std::map<std::string, std::vector<std::string>> parts;
  for (const auto& [id, entry] : entries)
    for (std::size_t at = 0; at <= id.size();) {
      const std::size_t hyphen = std::min(id.find('-', at), id.size());
      if (hyphen - at > 3) parts[id.substr(at, hyphen - at)].push_back(id);
      at = hyphen + 1;
    }
  std::vector<std::string> names;
  for (const auto& [part, ids] : parts) names.push_back(part);
  const auto near = parts.find(nearest_name(as_id(text), names));
  return near == parts.end() ? std::vector<std::string>{} : near->second;
}

std::string hint_of(const std::vector<std::string>& near, const char* otherwise) {
  return near.empty() ? otherwise : std::string("the nearest ") + (near.size() > 1 ? "are " : "is ") + input::one_of(near, 4, " and ");
}
std::string hint_of(const std::string& near, const char* otherwise) {
  return hint_of(near.empty() ? std::vector<std::string>{} : std::vector<std::string>{near}, otherwise);
}

NewPlanting read_plant(const std::string& part, const std::map<std::string, Plant>& plants) {
  static constexpr const char* k_allowed = "a number and a plant of the catalogue, such as 3 hardy bananas";
  constexpr double k_most = 1000;
  std::string rest = part;
  double count = 1;
  if (const auto value = leading_number(part, rest)) {
    count = *value;
    if (rest.starts_with("x ")) rest = trimmed(rest.substr(2));
    if (count < 1 || count > k_most || count != std::floor(count)) refuse("--plants", part, "a whole number of plants, 1 to 1000", "");
  }
  NewPlanting out;
  out.count = static_cast<int>(count);
  if (const auto open = rest.find('('); open != std::string::npos && rest.back() == ')') {
    out.size = as_id(rest.substr(open + 1, rest.size() - open - 2));
    rest = trimmed(rest.substr(0, open));
  }
  out.plant = id_of(rest, plants);
  if (out.plant.empty())
    refuse("--plants", rest.empty() ? part : rest, k_allowed, hint_of(nearest_of(rest, plants), "a question mark lists them all"));
  const Plant& plant = plants.at(out.plant);
  if (!out.size.empty() && !plant.sizes.contains(out.size)) {
    std::vector<std::string> sizes;
    for (const auto& [size, values] : plant.sizes) sizes.push_back(size);
    refuse("--plants", part, sizes.empty() ? plant.title + " without a size" : input::one_of(sizes) + " as its size",
           "leave the brackets out");
  }
  out.name = plant.title + (out.size.empty() ? "" : ", " + out.size);
  return out;
}

}  // namespace

const std::vector<SoilFeel>& soil_feels() {
  static const std::vector<SoilFeel> feels = {{"gritty, will not hold together", "sand"},
                                              {"gritty, holds a ball that crumbles at a touch", "sandy loam"},
                                              {"a little gritty, holds a ball, not sticky", "loam"},
                                              {"silky like flour, holds a ball", "silt loam"},
                                              {"silky and sticky, rolls into a sausage that cracks", "silty clay loam"},
                                              {"sticky, rolls into a thin worm that bends to a ring", "clay"}};
  return feels;
}

std::string read_garden_name(const std::string& text) {
  const std::string name = trimmed(text);
  const bool plain = std::all_of(name.begin(), name.end(), [](char c) { return static_cast<unsigned char>(c) >= 0x20 && c != 0x7f; });
  if (name.empty() || !plain || !input::is_utf8(name) || input::characters(name) > 80)
    refuse("--name", text, "a name of 1 to 80 characters on one line", "");
  return name;
}

double read_area_m2(const std::string& text) {
  return number_between("--area", text, 0.05, 10000, "square metres", {"m2", "m\xc2\xb2", "square-metres", "square-metre", "sq-m"},
                        "length times width; a pace is a little less than a metre");
}

double read_latitude_deg(const std::string& text) {
  return number_between("--latitude", text, -89.9, 89.9, "degrees, north positive", {"n", "degrees"},
                        "read it off a map; 50 is south-west England");
}

std::string read_soil(const std::string& text) {
  if (const auto row = row_number(text, soil_feels().size())) return soil_feels()[*row].texture;
  std::string name = as_id(text);
  std::replace(name.begin(), name.end(), '-', ' ');
  if (find_texture(name)) return name;
  std::vector<std::string> names;
  for (const Texture& t : textures()) names.push_back(t.name);
  refuse("--soil", trimmed(text), "1 to " + std::to_string(soil_feels().size()) + " by feel, or " + input::one_of(names),
         hint_of(nearest_name(name, names), "rub a wet pinch of it between thumb and fingers"));
}

std::vector<NewPlanting> read_plants(const std::string& text, const std::map<std::string, Plant>& plants) {
  std::vector<NewPlanting> out;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t comma = std::min(text.find(',', at), text.size());
    const NewPlanting p = read_plant(trimmed(text.substr(at, comma - at)), plants);
    const auto same = std::find_if(out.begin(), out.end(), [&](const NewPlanting& o) { return o.name == p.name; });
    if (same == out.end()) {
      out.push_back(p);
    } else {
      same->count += p.count;
    }
    at = comma + 1;
  }
  return out;
}

std::string model_of(const NewFeed& feed, const std::map<std::string, Material>& materials) {
  std::string as_bulky;
  for (const auto& [id, m] : materials) {
    if (m.origin_word.empty() || (m.form == Form::bulky) != (feed.form == Form::bulky)) continue;
    if (m.origin_word == feed.origin) return m.model;
    if (as_bulky.empty()) as_bulky = m.model;
  }
  return as_bulky;
}

std::string read_feed(const std::string& text, const std::map<std::string, Material>& materials) {
  const std::string id = id_of(text, materials);
  if (id.empty())
    refuse("--feed", trimmed(text), "a feed of the catalogue, such as bone meal, or: own",
           hint_of(nearest_of(text, materials), "a question mark lists them all"));
  return id;
}

double read_n_percent(const std::string& text) {
  return number_between("--bag-nitrogen", text, 0.1, 46.7, "percent", {"%", "percent"}, "the first of the three figures on the bag");
}

std::string read_origin(const std::string& text) {
  const auto& origins = label_origins();
  if (const auto row = row_number(text, origins.size())) return origins[*row].word;
  const std::string word = as_id(text);
  if (find_label_origin(word)) return word;
  std::vector<std::string> words;
  for (const LabelOrigin& o : origins) words.push_back(o.word);
  refuse("--bag-origin", trimmed(text), "1 to " + std::to_string(origins.size()) + " or " + input::one_of(words),
         hint_of(nearest_name(word, words), "take the one that comes nearest"));
}

Form read_form(const std::string& text) {
  std::string word = as_id(text);
  if (word.size() > 1 && word.back() == 's') word.pop_back();
  if (word == "powder") return Form::powder;
  if (word == "pellet") return Form::pellet;
  if (word == "granule") return Form::granule;
  if (word == "bulky") return Form::bulky;
  refuse("--bag-form", trimmed(text), "powder, pellets, granules or bulky", "bulky is what you fork on by the barrow");
}

std::string usual_amount(double n_percent) {
  // What 150 g of a manure powder hold; less of what is likely to dissolve at once, since 5 g soluble may scorch. Our own guesses.
  constexpr double k_g_n_m2 = 6.75, k_strong_g_n_m2 = 4.5, k_strong_percent = 10;
  const double exact = (n_percent > k_strong_percent ? k_strong_g_n_m2 : k_g_n_m2) / (n_percent / 100);
  const double step = exact < 100 ? 5 : exact < 1000 ? 10 : 100, grams = std::max(step, std::floor(exact / step) * step);
  return (grams < 1000 ? input::plain(grams) + " g" : input::plain(grams / 1000) + " kg") + " a square metre";
}

Amount read_amount(const std::string& text) {
  static constexpr const char* k_allowed = "an amount and what it is for, such as 3 handfuls a plant, 150 g a square metre or 2 kg in all";
  struct Word {
    const char* word;
    Amount::Measure measure;
  };
  static constexpr Word k_measures[] = {{"g", Amount::Measure::grams},
                                        {"gram", Amount::Measure::grams},
                                        {"grams", Amount::Measure::grams},
                                        {"kg", Amount::Measure::kilograms},
                                        {"kilograms", Amount::Measure::kilograms},
                                        {"kilogram", Amount::Measure::kilograms},
                                        {"ml", Amount::Measure::millilitres},
                                        {"l", Amount::Measure::litres},
                                        {"litre", Amount::Measure::litres},
                                        {"litres", Amount::Measure::litres},
                                        {"handful", Amount::Measure::handfuls},
                                        {"handfuls", Amount::Measure::handfuls},
                                        {"trowel", Amount::Measure::trowels},
                                        {"trowels", Amount::Measure::trowels}};
  struct For {
    const char* words;
    Amount::Per per;
  };
  static constexpr For k_for[] = {{"a-plant", Amount::Per::plant},
                                  {"per-plant", Amount::Per::plant},
                                  {"each", Amount::Per::plant},
                                  {"a-square-metre", Amount::Per::m2},
                                  {"per-square-metre", Amount::Per::m2},
                                  {"/m2", Amount::Per::m2},
                                  {"a-m2", Amount::Per::m2},
                                  {"per-m2", Amount::Per::m2},
                                  {"in-all", Amount::Per::bed},
                                  {"for-the-bed", Amount::Per::bed},
                                  {"a-bed", Amount::Per::bed}};
  std::string rest;
  const auto value = leading_number(trimmed(text), rest);
  if (!value || *value <= 0 || *value > 100000) refuse("--amount", trimmed(text), k_allowed, "begin with a number above 0");
  const std::size_t end = std::min(rest.find_first_of(" /"), rest.size());
  const std::string unit = as_id(rest.substr(0, end)), per = as_id(rest.substr(end));
  const auto measure = std::find_if(std::begin(k_measures), std::end(k_measures), [&](const Word& w) { return unit == w.word; });
  if (measure == std::end(k_measures)) refuse("--amount", trimmed(text), k_allowed, "say g, kg, ml, litres, handfuls or trowels");
  const auto what = std::find_if(std::begin(k_for), std::end(k_for), [&](const For& f) { return per == f.words; });
  if (what == std::end(k_for)) refuse("--amount", trimmed(text), k_allowed, "say what it is for: a plant, a square metre, or in all");
  return {*value, measure->measure, what->per};
}

MonthDay read_day(const std::string& text) {
  const std::string day = trimmed(text);
  if (const auto iso = parse_month_day(day)) return *iso;
  std::string month;
  if (const auto number = leading_number(day, month); number && month.size() >= 3) {
    month = as_id(month);
    for (std::size_t m = 0; m < k_month_names.size(); ++m)
      if (as_id(k_month_names[m]).starts_with(month)) {
        char iso[16];
        std::snprintf(iso, sizeof iso, "%02u-%02.0f", static_cast<unsigned>(m + 1), *number);
        if (const auto read = parse_month_day(iso)) return *read;
      }
  }
  refuse("--on", day, "a day such as 15 April or 04-15", "write the number, then the month's name");
}

}  // namespace leafhunger
