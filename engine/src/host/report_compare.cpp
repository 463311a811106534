// Two ways side by side, in words, as JSON and as a picture.
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "leafhunger/compare.hpp"
#include "lines.hpp"
#include "markup.hpp"
#include "season_answers.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using Json = nlohmann::ordered_json;
using lines::padded;
using lines::wrapped;

std::string until(const std::optional<ComparedPlanting::Years>& y) {
  if (!y) return "not there";
  return std::to_string(y->kept) + " of " + std::to_string(y->of) + ", " + (y->whole_season ? "all season" : to_words(y->nine_in_ten));
}

std::string row(const std::string& name, const std::string& a, const std::string& b) {
  return "  " + padded(input::shown(name, 26), 28) + padded(a, 24) + b + "\n";
}

// One sentence: who is carried oftener, and for what money and loss.
std::string answer(const CompareResult& r) {
  std::vector<std::string> better, worse;
  for (const ComparedPlanting& p : r.plantings) {
    if (!p.a || !p.b || p.a->of == 0 || p.b->of == 0) continue;
    const int d = p.b->kept * p.a->of - p.a->kept * p.b->of;
    if (d > 0) better.push_back(p.name);
    if (d < 0) worse.push_back(p.name);
  }
  std::string text;
  if (!better.empty()) text += "B carries " + joined(better) + " oftener";
  if (!worse.empty()) text += (text.empty() ? "B carries " : ", and ") + joined(worse) + " less often";
  if (text.empty()) text = "B carries every planting as often as A";
  const double money_more = r.b.cost - r.a.cost, washed = r.b.washed_g - r.a.washed_g;
  constexpr double k_cent = 0.005, k_half_gram = 0.5;
  if (std::abs(money_more) >= k_cent)
    text += "; it costs " + money(r.currency, std::abs(money_more)) + (money_more > 0 ? " more" : " less");
  if (std::abs(washed) >= k_half_gram)
    text += (std::abs(money_more) >= k_cent ? " and washes out " : "; it washes out ") + weight(std::abs(washed)) +
            (washed > 0 ? " more" : " less");
  return text + ".";
}

}  // namespace

std::string in_words(const CompareResult& r) {
  std::string out = lines::headed("What differs?", "", r.weather_note);
  out += wrapped("  A: ", r.a.title, 5) + wrapped("  B: ", r.b.title, 5) + "\n";
  out += wrapped("  ", answer(r), 2) + "\n";
  out += row("", "A", "B");
  std::vector<std::string> same;
  bool any = false;
  for (const ComparedPlanting& p : r.plantings) {
    if (!p.differs()) {
      same.push_back(p.name);
      continue;
    }
    out += row(p.name, until(p.a), until(p.b)), any = true;
  }
  if (any) out += wrapped("  ", "Years carried to " + to_words(r.carry_to) + ", and until when in 9 years of 10.", 2) + "\n";
  std::string equal;
  const auto figure = [&](const char* name, const std::string& a, const std::string& b) {
    if (a != b)
      out += row(name, a, b);
    else
      equal += (equal.empty() ? "" : ", ") + std::string(name) + " (" + a + ")";
  };
  figure("nitrogen given", weight(r.a.given_g), weight(r.b.given_g));
  figure("taken up", weight(r.a.taken_g), weight(r.b.taken_g));
  figure("gained by feeding", weight(r.a.gain_g), weight(r.b.gain_g));
  figure("washed below the roots", weight(r.a.washed_g), weight(r.b.washed_g));
  figure("lost to the air", weight(r.a.air_g), weight(r.b.air_g));
  figure("cost", money(r.currency, r.a.cost), money(r.currency, r.b.cost));
  figure("trips", std::to_string(r.a.trips), std::to_string(r.b.trips));
  figure("to carry", weight(1000 * r.a.carried_kg), weight(1000 * r.b.carried_kg));
  out += wrapped("  ",
                 "Grams and money are of season " + std::to_string(r.season_a) +
                     (r.season_a == r.season_b ? std::string() : " (A) and " + std::to_string(r.season_b) + " (B)") + ", the whole garden.",
                 2);
  if (!same.empty()) out += "\n" + wrapped("  The same in both: ", joined(same) + ".", 4);
  if (!equal.empty()) out += wrapped(same.empty() ? "  The same in both: " : "  And ", equal + ".", 4);
  for (const std::string& n : r.notes) out += wrapped("  - ", n, 4);
  return out;
}

std::string in_json(const CompareResult& r) {
  const auto side = [](const Side& s) {
    return Json{{"title", s.title}, {"given_g", s.given_g}, {"taken_g", s.taken_g},       {"gain_g", s.gain_g}, {"washed_g", s.washed_g},
                {"air_g", s.air_g}, {"cost", s.cost},       {"carried_kg", s.carried_kg}, {"trips", s.trips}};
  };
  const auto years = [](const std::optional<ComparedPlanting::Years>& y) {
    return y ? Json{{"kept", y->kept}, {"of", y->of}, {"nine_in_ten", y->whole_season ? Json() : Json(to_iso(y->nine_in_ten))}} : Json();
  };
  Json plantings = Json::array();
  for (const ComparedPlanting& p : r.plantings)
    plantings.push_back({{"name", p.name}, {"a", years(p.a)}, {"b", years(p.b)}, {"differs", p.differs()}});
  return Json{{"format", 1},
              {"carry_to", to_iso(r.carry_to)},
              {"season_a", r.season_a},
              {"season_b", r.season_b},
              {"currency", r.currency},
              {"weather_note", r.weather_note},
              {"a", side(r.a)},
              {"b", side(r.b)},
              {"plantings", plantings},
              {"notes", r.notes}}
             .dump(2) +
         "\n";
}

// A row a planting: a bar to the day that A lasts, a hatched one below it to the day that B lasts; both end in the day's name.
std::string in_svg(const CompareResult& r) {
  constexpr double k_left = 190, k_width = 560, k_row = 46, k_top = 70, k_day_px = k_width / 365;
  std::vector<const ComparedPlanting*> rows;
  for (const ComparedPlanting& p : r.plantings)
    if (p.differs()) rows.push_back(&p);
  const Date start = make_date(2002, r.season_start);
  const auto x_of = [&](MonthDay d) {
    Date at = make_date(2002, d);
    if (at < start) at = make_date(2003, d);
    return k_left + k_day_px * static_cast<double>((at - start).count());
  };
  const double height = k_top + k_row * static_cast<double>(std::max<std::size_t>(rows.size(), 1)) + 70;
  std::string s = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"880\" height=\"" + lines::fixed(height, 0) + "\" viewBox=\"0 0 880 " +
                  lines::fixed(height, 0) + "\" role=\"img\" font-family=\"Georgia, serif\" font-size=\"14\">";
  const std::string title = "Until when it lasts in 9 years of 10";
  s += "<title>" + title + "</title><desc>" + escaped_markup(answer(r)) + "</desc>";
  s += "<defs><pattern id=\"hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect "
       "width=\"6\" "
       "height=\"6\" fill=\"#fff\"/><rect width=\"3\" height=\"6\" fill=\"#8a4b12\"/></pattern></defs>";
  s += "<rect width=\"880\" height=\"" + lines::fixed(height, 0) + "\" fill=\"#fff\"/>";
  const auto text = [&](double x, double y, const std::string& words, const char* more) {
    s += "<text x=\"" + lines::fixed(x, 1) + "\" y=\"" + lines::fixed(y, 1) + "\" fill=\"#1d1d1b\"" + more + ">" + escaped_markup(words) +
         "</text>";
  };
  text(12, 26, title, " font-size=\"18\"");
  const double base = k_top + k_row * static_cast<double>(rows.size());
  for (unsigned m = 0; m < 12; ++m) {
    const MonthDay first{(r.season_start.month - 1 + m) % 12 + 1, 1};
    const double x = x_of(first);
    s += "<line x1=\"" + lines::fixed(x, 1) + "\" x2=\"" + lines::fixed(x, 1) + "\" y1=\"" + lines::fixed(k_top - 12, 1) + "\" y2=\"" +
         lines::fixed(base, 1) + "\" stroke=\"#ddd\"/>";
    text(x + 2, k_top - 18, to_words(first).substr(2, 3), " font-size=\"12\"");
  }
  const double asked = x_of(r.carry_to);
  s += "<line x1=\"" + lines::fixed(asked, 1) + "\" x2=\"" + lines::fixed(asked, 1) + "\" y1=\"" + lines::fixed(k_top - 12, 1) +
       "\" y2=\"" + lines::fixed(base, 1) + "\" stroke=\"#1d1d1b\" stroke-dasharray=\"4 3\"/>";
  text(asked, base + 14, "asked about: " + to_words(r.carry_to), " font-size=\"12\" text-anchor=\"middle\"");
  for (std::size_t k = 0; k < rows.size(); ++k) {
    const double y = k_top + k_row * static_cast<double>(k);
    text(12, y + 22, input::shown(rows[k]->name, 24), "");
    const auto bar = [&](const std::optional<ComparedPlanting::Years>& years, double top, const char* fill, const char* side) {
      if (!years) return text(k_left + 4, top + 13, std::string(side) + " has none", " font-size=\"12\"");
      const double end = years->whole_season ? k_left + k_width : x_of(years->nine_in_ten);
      s += "<rect x=\"" + lines::fixed(k_left, 1) + "\" y=\"" + lines::fixed(top, 1) + "\" width=\"" + lines::fixed(end - k_left, 1) +
           "\" height=\"15\" fill=\"" + fill + "\" stroke=\"#1d1d1b\" stroke-width=\"0.6\"/>";
      text(end + 5, top + 12, std::string(side) + ": " + (years->whole_season ? "all season" : to_words(years->nine_in_ten)),
           " font-size=\"12\"");
    };
    bar(rows[k]->a, y + 4, "#2f5d50", "A");
    bar(rows[k]->b, y + 22, "url(#hatch)", "B");
  }
  if (rows.empty()) text(k_left, k_top + 20, "No planting is carried otherwise.", "");
  text(12, base + 28, "A: " + r.a.title, " font-size=\"12\"");
  text(12, base + 46, "B: " + r.b.title, " font-size=\"12\"");
  return s + "</svg>\n";
}

}  // namespace leafhunger
