#include "leafhunger/spoken_amount.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>
#include <vector>

#include "host/words.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/units.hpp"

namespace leafhunger {
namespace {

using Measure = Amount::Measure;
using For = SpokenAmount::For;

constexpr const char* k_allowed =
    "an amount such as \"2 handfuls a plant\", \"55 g each\", \"half a 15 kg bag in all\" or \"3 oz per square yard\"";
constexpr double k_mug_ml = 300, k_spoon_ml = 5, k_table_spoon_ml = 15, k_bucket_l = 10, k_barrow_l = 85;  // common practice, no source

struct Unit {
  const char* word;  // singular; a plural takes an s
  Measure measure;
  double factor;
};
constexpr Unit k_units[] = {
    {"g", Measure::grams, 1},
    {"gram", Measure::grams, 1},
    {"gramme", Measure::grams, 1},
    {"kg", Measure::kilograms, 1},
    {"kilo", Measure::kilograms, 1},
    {"kilogram", Measure::kilograms, 1},
    {"oz", Measure::grams, units::k_g_per_oz},
    {"ounce", Measure::grams, units::k_g_per_oz},
    {"lb", Measure::grams, units::k_g_per_lb},
    {"pound", Measure::grams, units::k_g_per_lb},
    {"ml", Measure::millilitres, 1},
    {"millilitre", Measure::millilitres, 1},
    {"l", Measure::litres, 1},
    {"litre", Measure::litres, 1},
    {"liter", Measure::litres, 1},
    {"handful", Measure::handfuls, 1},
    {"trowel", Measure::trowels, 1},
    {"trowelful", Measure::trowels, 1},
    {"mug", Measure::millilitres, k_mug_ml},
    {"mugful", Measure::millilitres, k_mug_ml},
    {"teaspoon", Measure::millilitres, k_spoon_ml},
    {"tablespoon", Measure::millilitres, k_table_spoon_ml},
    {"bucket", Measure::litres, k_bucket_l},
    {"bucketful", Measure::litres, k_bucket_l},
    {"barrow", Measure::litres, k_barrow_l},
    {"wheelbarrow", Measure::litres, k_barrow_l},
    {"barrowload", Measure::litres, k_barrow_l},
};

// Words that mean several things, with the choices.
struct Doubtful {
  const char* word;
  const char* choices;
};
constexpr Doubtful k_doubtful[] = {
    {"gallon", "\"UK gallons\" (4.5 l) or \"US gallons\" (3.8 l)"},
    {"pint", "\"UK pints\" (568 ml) or \"US pints\" (473 ml)"},
    {"cup", "\"mugs\" (300 ml) or so many \"ml\""},
    {"can", "how much feed goes into each and how many of them, such as \"20 ml per can, 2 cans each\""},
    {"spoon", "\"teaspoons\" (5 ml) or \"tablespoons\" (15 ml)"},
    {"spoonful", "\"teaspoons\" (5 ml) or \"tablespoons\" (15 ml)"},
    {"shovel", "\"trowels\", \"buckets\" or \"litres\""},
    {"spade", "\"trowels\", \"buckets\" or \"litres\""},
    {"pinch", "\"teaspoons\" or \"grams\""},
    {"bit", "\"handfuls\" or \"grams\""},
    {"cupful", "\"mugs\" (300 ml) or so many \"ml\""},
    {"ton", "\"kg\""},
    {"tonne", "\"kg\""},
    {"dusting", "\"g per m2\", or \"handfuls\""},
    {"sprinkling", "\"g per m2\", or \"handfuls\""},
};

class Sentence {
 public:
  Sentence(std::string_view text, const SaidAt& at) : text_(text), at_(at) { split(); }

  [[noreturn]] void refuse(const std::string& found, const std::string& allowed, const std::string& hint) const {
    throw InputError({at_.file, at_.place, found, allowed, hint});
  }
  std::string all() const { return input::in_quotes(text_); }
  bool done() const { return next_ == words_.size(); }
  std::size_t where() const { return next_; }
  void back_to(std::size_t where) { next_ = where; }
  std::string peek(std::size_t ahead = 0) const { return next_ + ahead < words_.size() ? words_[next_ + ahead] : std::string(); }
  std::string take() { return words_[next_++]; }
  bool take(std::initializer_list<const char*> any) {
    for (const char* w : any)
      if (peek() == w) return ++next_, true;
    return false;
  }
  bool take_all(std::initializer_list<const char*> row) {
    std::size_t k = 0;
    for (const char* w : row)
      if (peek(k++) != w) return false;
    next_ += row.size();
    return true;
  }

 private:
  // Small letters; "55g" apart, "m2" together; a stroke between words is "per", between figures a fraction; hyphens and commas are blanks.
  void split() {
    std::string s;
    const auto put = [&](std::string_view w) { s += w; };
    for (std::size_t i = 0; i < text_.size();) {
      const auto starts = [&](std::string_view w) { return text_.compare(i, w.size(), w) == 0; };
      const auto digit = [&](std::size_t k) { return k < text_.size() && text_[k] >= '0' && text_[k] <= '9'; };
      if (starts("½"))
        put(" 1/2 "), i += 2;
      else if (starts("¼"))
        put(" 1/4 "), i += 2;
      else if (starts("¾"))
        put(" 3/4 "), i += 2;
      else if (starts("²"))
        put("2"), i += 2;
      else if (starts("–"))
        put(digit(i + 3) ? " to " : " "), i += 3;
      else if (text_[i] == '-')
        put(i > 0 && digit(i - 1) && digit(i + 1) ? " to " : digit(i + 1) && (i == 0 || text_[i - 1] == ' ') ? "-" : " "), ++i;
      else if (text_[i] == '/')
        put(i > 0 && digit(i - 1) && digit(i + 1) ? "/" : " per "), ++i;
      else if (text_[i] == ',')
        put(digit(i + 1) && i > 0 && digit(i - 1) ? "," : " "), ++i;
      else if (static_cast<unsigned char>(text_[i]) <= ' ' || text_[i] == '(' || text_[i] == ')')
        put(" "), ++i;
      else {
        const char c = text_[i] >= 'A' && text_[i] <= 'Z' ? static_cast<char>(text_[i] + 32) : text_[i];
        if (c >= 'a' && c <= 'z' && i > 0 && digit(i - 1)) put(" ");
        s += c, ++i;
      }
    }
    for (std::size_t i = 0; i < s.size();) {
      const std::size_t end = std::min(s.find(' ', i), s.size());
      std::string word = s.substr(i, end - i);
      if (word.size() > 1 && word.back() == '.') word.pop_back();  // "oz."
      if (!word.empty()) words_.push_back(std::move(word));
      i = end + 1;
    }
  }

  std::string text_;
  SaidAt at_;
  std::vector<std::string> words_;
  std::size_t next_ = 0;
};

std::optional<double> decimal(const std::string& word) {
  double value = 0;
  const auto end = std::from_chars(word.data(), word.data() + word.size(), value, std::chars_format::fixed);
  if (end.ec != std::errc{} || end.ptr != word.data() + word.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

// "1/2".
std::optional<double> fraction(const std::string& word) {
  const std::size_t stroke = word.find('/');
  if (stroke == std::string::npos) return std::nullopt;
  const auto above = decimal(word.substr(0, stroke)), below = decimal(word.substr(stroke + 1));
  if (!above || !below || *below <= 0) return std::nullopt;
  return *above / *below;
}

std::optional<double> in_letters(const std::string& word) {
  constexpr const char* k_words[] = {"one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"};
  for (std::size_t k = 0; k < std::size(k_words); ++k)
    if (word == k_words[k]) return static_cast<double>(k + 1);
  if (word == "dozen") return 12;
  return std::nullopt;
}

std::optional<double> part(const std::string& word) {
  if (word == "half") return 0.5;
  if (word == "quarter") return 0.25;
  if (word == "third") return 1.0 / 3;
  return std::nullopt;
}

// "2", "2.5", "1 1/2", "two", "a", "half a", "a quarter of a", "one and a half".
std::optional<double> quantity(Sentence& s) {
  const std::size_t begin = s.where();
  std::optional<double> value;
  const auto of_a = [&] {
    s.take({"of"});
    s.take({"a", "an", "one"});
  };
  if (const auto p = part(s.peek())) {
    s.take(), of_a();
    value = p;
  } else if (s.take({"a", "an"})) {
    if (const auto q = part(s.peek())) {
      s.take(), of_a();
      value = q;
    } else {
      value = in_letters(s.peek());  // a dozen
      if (value)
        s.take();
      else
        value = 1;
    }
  } else if (const auto n = decimal(s.peek())) {
    s.take();
    value = n;
    if (const auto f = fraction(s.peek())) s.take(), *value += *f;
  } else if (const auto f = fraction(s.peek())) {
    s.take();
    value = f;
  } else if (const auto w = in_letters(s.peek())) {
    s.take();
    value = w;
  }
  if (!value) return s.back_to(begin), std::nullopt;
  if (s.peek() == "and") {
    const std::size_t and_at = s.where();
    s.take(), s.take({"a"});
    if (const auto p = part(s.peek()))
      s.take(), *value += *p;
    else
      s.back_to(and_at);
  }
  if ((s.peek() == "to" || s.peek() == "or") && (decimal(s.peek(1)) || in_letters(s.peek(1))))
    s.refuse(s.all(), "one number", "decide on one, such as the middle of the two");
  return value;
}

std::string singular(const std::string& word) {
  if (word == "lbs") return "lb";
  if (word == "handsful") return "handful";
  return word.size() > 2 && word.back() == 's' ? word.substr(0, word.size() - 1) : word;
}

struct Said {
  Measure measure;
  double factor;
};

// A unit by weight or volume, or a household measure; nothing where the word is none.
std::optional<Said> unit(Sentence& s) {
  const bool uk = s.peek() == "uk" || s.peek() == "imperial", us = s.peek() == "us";
  if (uk || us) {
    const std::string word = singular(s.peek(1));
    // Exact by definition (NIST SP 811, appendix B): 4.54609 l and 3.785411784 l, each eight pints.
    const double gallon_l = uk ? 4.54609 : 3.785411784;
    if (word == "gallon") return s.take(), s.take(), Said{Measure::litres, gallon_l};
    if (word == "pint") return s.take(), s.take(), Said{Measure::litres, gallon_l / 8};
    return std::nullopt;
  }
  const std::string word = singular(s.peek());
  for (const Unit& u : k_units)
    if (word == u.word) return s.take(), Said{u.measure, u.factor};
  return std::nullopt;
}

bool container(const std::string& word) {
  const std::string one = singular(word);
  return one == "bag" || one == "sack" || one == "tub" || one == "bottle" || one == "box" || one == "boxe" || one == "packet";
}

[[noreturn]] void refuse_measure(const Sentence& s) {
  const std::string word = singular(s.peek());
  for (const Doubtful& d : k_doubtful)
    if (word == d.word)
      s.refuse("the measure " + input::in_quotes(s.peek()) + ", which may be several things", d.choices, "write which you mean");
  constexpr const char* k_heaped[] = {"heaped", "good", "big", "small", "level", "scant", "large", "generous"};
  for (const char* h : k_heaped)
    if (word == h)
      s.refuse("the word " + input::in_quotes(s.peek()) + ", which nobody can weigh", "a number, such as \"1.5 handfuls\"",
               "weigh one and give grams, or count it as so many plain ones");
  s.refuse(s.done() ? "an amount without a measure in " + s.all() : "the measure " + input::in_quotes(s.peek()) + ", which is not known",
           "grams, kg, oz, lb, ml, litres, handfuls, trowels, mugs, teaspoons, tablespoons, buckets, barrows or bags of so many kg",
           "weigh it once and give grams");
}

// The measure after `value` of them, as one factor: "kg", "15 kg bags", "bag", "ml per can, 2 cans".
Said measure(Sentence& s, double& value, double bag_kg) {
  if (container(s.peek())) {
    if (bag_kg <= 0)
      s.refuse("a " + singular(s.peek()) + " without its size in " + s.all(), "such as \"half a 15 kg bag\"", "read the size off the bag");
    s.take();
    return {Measure::kilograms, bag_kg};
  }
  const std::size_t begin = s.where();
  if (const auto size = quantity(s)) {
    const auto u = unit(s);
    if (u && container(s.peek())) {
      s.take();
      return {u->measure, *size * u->factor};
    }
    if (u && singular(s.peek()) == "pot")
      s.refuse("a pot's size in " + s.all(), "what goes into it, such as \"20 g a pot\" or \"half a mug each\"",
               "the pot's own size stands in the scenario, such as \"container\": {\"litres\": 35}");
    s.back_to(begin);
  }
  const auto u = unit(s);
  if (!u) refuse_measure(s);
  const std::size_t after = s.where();
  s.take({"to", "in"});
  if (s.take({"per", "a", "each", "every", "the"}) && singular(s.peek()) == "can") {
    s.take();
    s.take({"and", "then", "with", "of"});
    const auto cans = quantity(s);
    if (!cans || singular(s.peek()) != "can")
      s.refuse(s.all() + ", which does not say how many cans", "such as \"20 ml per can, 2 cans each\"", "say how many cans are given");
    s.take();
    value *= *cans;
    return *u;
  }
  s.back_to(after);
  return *u;
}

bool square(Sentence& s) { return s.take({"square", "sq"}); }

// "a plant", "each", "per m2", "per sq yd", "per 100 ft2", "in all"; divides `value` by so many square metres.
For per(Sentence& s, double& value) {
  if (s.take_all({"in", "all"}) || s.take_all({"in", "total"}) || s.take({"altogether", "total", "together"})) return For::all;
  if (s.take({"each", "apiece"})) {
    s.take({"plant"});
    return For::plant;
  }
  const std::size_t begin = s.where();
  const bool lead = s.take({"a", "per", "an", "to", "over", "for", "on", "every", "round", "around"});
  s.take({"the", "each", "every", "a", "whole"});
  if (s.take({"plant", "clump", "crown", "pot", "tree", "stem"})) return For::plant;
  if (s.take({"bed", "lot"})) return For::all;
  const auto many = quantity(s);
  const double areas = many.value_or(1);
  const bool sq = square(s);
  const auto is = [&](std::initializer_list<const char*> squared, std::initializer_list<const char*> plain) {
    return s.take(squared) || (sq && s.take(plain));
  };
  double m2 = 0;
  if (is({"m2"}, {"m", "metre", "meter", "metres", "meters"}))
    m2 = 1;
  else if (is({"yd2"}, {"yd", "yard", "yards", "yds"}))
    m2 = units::k_m2_per_yd2;
  else if (is({"ft2"}, {"ft", "foot", "feet"}))
    m2 = units::k_m2_per_ft2;
  if (m2 > 0 && areas > 0) return value /= areas * m2, For::m2;
  if (!sq && lead && (s.peek() == "metre" || s.peek() == "m" || s.peek() == "yard" || s.peek() == "yd" || s.peek() == "foot"))
    s.refuse("\"per " + s.peek() + "\", which may be a length or an area", "\"per square " + s.peek() + "\"", "beds are fed by area");
  s.back_to(begin);
  return For::unsaid;
}

}  // namespace

SpokenAmount parse_amount(std::string_view text, double bag_kg, const SaidAt& at) {
  Sentence s(text.substr(0, 200), at);
  if (s.done()) s.refuse(text.empty() ? "nothing" : s.all(), k_allowed, "say how much is given");
  const auto said = quantity(s);
  if (!said) {
    for (const char* vague : {"some", "few", "several", "little", "plenty", "lots"})
      if (s.peek() == vague) s.refuse(s.all(), "a number and a measure", "count or weigh it once");
    s.refuse(s.all(), k_allowed, "begin with a number, or with \"a\" or \"half a\"");
  }
  SpokenAmount out;
  double value = *said;
  const Said m = measure(s, value, bag_kg);
  value *= m.factor;
  out.measure = m.measure;
  if (s.take({"of"}))  // "of dried blood": what it is stands elsewhere
    while (!s.done()) {
      const std::size_t begin = s.where();
      double spare = 1;
      if (per(s, spare) != For::unsaid) {
        s.back_to(begin);
        break;
      }
      s.take();
    }
  out.per = per(s, value);
  for (const char* rhythm : {"weekly", "daily", "monthly", "fortnightly", "every"})
    if (s.peek() == rhythm)
      s.refuse("how often, in " + s.all(), "the amount of one time", "a feeding's \"again\" repeats it; a diary has a line for each time");
  if (!s.done()) s.refuse("the words from " + input::in_quotes(s.peek()) + " on in " + s.all(), k_allowed, "leave them out");
  out.value = value;
  if (!(out.value > 0 && out.value <= 1e6)) s.refuse(s.all(), "more than nothing, at most a million of its measure", "check the number");
  return out;
}

}  // namespace leafhunger
