#include "report_figures.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <functional>

#include "figure_svg.hpp"
#include "lines.hpp"
#include "markup.hpp"
#include "season_answers.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using lines::fixed;

constexpr double k_width = 520, k_left = 44, k_right = 62, k_size = 13;
constexpr double k_supply_top = 27, k_supply_height = 170;  // room above for the date asked about
constexpr double k_month_room = 22, k_panel_title = 27;     // below a panel, above one
constexpr double k_soil_height = 74;                        // of each of the two
constexpr double k_short = 0.90;                            // the verdict's line
constexpr const char* k_ink = "#22302a";                    // 13:1 on white
constexpr const char* k_leaf = "#1f6b45";                   // 6.4:1
constexpr const char* k_held = "#b9d3c3";                   // what is held, under k_ink and k_leaf
constexpr const char* k_clay = "#8a3f0c";                   // 7:1
constexpr const char* k_water = "#1d5a8c";                  // 7:1
constexpr const char* k_grid = "#d5dcd8";
constexpr const char* k_band = "#e4e2d6";
constexpr const char* k_serif = "Georgia, 'DejaVu Serif', serif";

std::string attribute(const char* name, double value) { return std::string(" ") + name + "=\"" + fixed(value, 1) + "\""; }

std::string text(double x, double y, const std::string& words, const char* anchor, const char* colour, double size = k_size,
                 const char* more = "") {
  return "<text" + attribute("x", x) + attribute("y", y) + " text-anchor=\"" + anchor + "\" fill=\"" + colour + "\" font-family=\"" +
         k_serif + "\" font-size=\"" + fixed(size, 0) + "\"" + more + ">" + escaped_markup(words) + "</text>";
}

std::string stroke(double x1, double y1, double x2, double y2, const char* colour, double width, const char* dash = "") {
  return "<line" + attribute("x1", x1) + attribute("y1", y1) + attribute("x2", x2) + attribute("y2", y2) + " stroke=\"" + colour +
         "\" stroke-width=\"" + fixed(width, 1) + "\"" + (*dash ? std::string(" stroke-dasharray=\"") + dash + "\"" : "") + "/>";
}

std::string opened(double height, const std::string& id, const std::string& title, const std::string& description) {
  return "<svg viewBox=\"0 0 " + fixed(k_width, 0) + " " + fixed(height, 0) + "\" role=\"img\" aria-labelledby=\"" + id + "-t " + id +
         "-d\"><title id=\"" + id + "-t\">" + escaped_markup(title) + "</title><desc id=\"" + id + "-d\">" + escaped_markup(description) +
         "</desc><defs><pattern id=\"" + id +
         "-h\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"6\" height=\"6\" "
         "fill=\"#fff\"/><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"6\" stroke=\"" +
         k_clay + "\" stroke-width=\"2.4\"/></pattern></defs>\n";
}

// One panel: days across, values up.
struct Panel {
  const SeasonResult& r;
  double top, height, low, high;
  std::size_t from = first_drawn(r);

  using Value = std::function<double(std::size_t)>;
  double bottom() const { return top + height; }
  double x(std::size_t day) const {
    return k_left + (k_width - k_left - k_right) * static_cast<double>(day - from) / static_cast<double>(r.days - 1 - from);
  }
  double y(double value) const { return top + height * (1 - (std::clamp(value, low, high) - low) / (high - low)); }

  std::string months(bool named) const {
    static constexpr const char* k_names[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    std::string out;
    for (std::size_t d = from; d < r.days; ++d) {
      const MonthDay day = month_day_of(r.first + std::chrono::days{static_cast<long>(d)});
      if (day.day == 1) out += stroke(x(d), top, x(d), bottom() + (named ? 4 : 0), k_grid, 0.8);
      if (named && day.day == 15) out += text(x(d), bottom() + 16, k_names[day.month - 1], "middle", k_ink);
    }
    return out;
  }
  std::string level(double value, const std::string& label) const {
    const bool nought = value == 0;
    return stroke(k_left, y(value), k_width - k_right, y(value), nought ? k_ink : k_grid, nought ? 1 : 0.8) +
           text(k_left - 6, y(value) + 4, label, "end", k_ink);
  }
  std::string points(const Value& value, std::size_t begin, std::size_t end) const {
    std::string d;
    for (std::size_t k = begin; k < end; ++k) d += (d.empty() ? "M" : "L") + fixed(x(k), 1) + " " + fixed(y(value(k)), 1);
    return d;
  }
  std::string line(const Value& value, std::size_t begin, std::size_t end, const char* colour, double width, const char* dash = "") const {
    if (end <= begin) return "";
    return "<path d=\"" + points(value, begin, end) + "\" fill=\"none\" stroke=\"" + colour + "\" stroke-width=\"" + fixed(width, 1) +
           "\" stroke-linejoin=\"round\"" + (*dash ? std::string(" stroke-dasharray=\"") + dash + "\"" : "") + "/>";
  }
  std::string area(const Value& upper, const Value& lower, std::size_t begin, std::size_t end, const std::string& fill) const {
    if (end <= begin) return "";
    std::string d = points(upper, begin, end);
    for (std::size_t k = end; k-- > begin;) d += "L" + fixed(x(k), 1) + " " + fixed(y(lower(k)), 1);
    return "<path d=\"" + d + "Z\" fill=\"" + fill + "\" stroke=\"none\"/>\n";
  }
};

std::size_t day_index(const SeasonResult& r, Date on) { return static_cast<std::size_t>((on - r.first).count()); }

std::string answer_words(const SeasonResult& r, const ColumnResult& c) {
  switch (c.verdict.outcome) {
    case Outcome::ran_short:
      return "short from " + day_words(r, *c.verdict.first_short);
    case Outcome::water_limited:
      return "water is the limit, not feed";
    case Outcome::never_woke:
      return "never woke: too cold";
    case Outcome::just_carried:
      return "just carried to " + to_words(r.carry_to_day);
    case Outcome::carried:
      break;
  }
  return "carried to " + to_words(r.carry_to_day);
}

std::string supply_panel(const SeasonResult& r, const ColumnResult& c, const YearBand* band, const std::string& id) {
  const double each = grams_a_plant(c);
  const auto &plant = c.find("plant_kg_n_ha")->values, &critical = c.find("critical_kg_n_ha")->values, &nni = c.find("nni")->values;
  const Panel::Value has = [&](std::size_t d) { return each * plant[d]; }, wants = [&](std::size_t d) { return each * critical[d]; };
  // In another year the plant is of another size: its share of what it needed then, of what it needs now.
  const Panel::Value most = [&](std::size_t d) { return wants(d) * band->high[d]; },
                     least = [&](std::size_t d) { return wants(d) * band->low[d]; };
  double greatest = 0;
  for (std::size_t d = first_drawn(r); d < r.days; ++d) greatest = std::max({greatest, has(d), wants(d), band ? most(d) : 0});
  const double step = figure::round_step(std::max(greatest, 1e-3), 4);
  Panel f{r, k_supply_top, k_supply_height, 0, std::ceil(1.12 * greatest / step) * step};
  if (f.high <= 0) f.high = step;
  std::string out = f.months(true);
  for (double v = 0; v <= f.high + 1e-9; v += step) out += f.level(v, input::plain(std::round(v * 1000) / 1000));
  const std::size_t begin = std::max(f.from, c.verdict.wakes.value_or(f.from)), end = r.days;
  out += f.area(
      has, [](std::size_t) { return 0.0; }, begin, end, k_held);
  if (band) out += f.area(most, least, begin, end, std::string(k_band) + "\" fill-opacity=\"0.85");
  for (std::size_t d = begin; d < end;) {
    std::size_t to = d;
    while (to < end && nni[to] < k_short) ++to;
    if (to > d) out += f.area(wants, has, d, std::min(end, to + 1), "url(#" + id + "-h)");
    d = std::max(to, d + 1);
  }
  out += f.line(wants, begin, end, k_ink, 1.8, "6 3") + f.line(has, begin, end, k_leaf, 2.4);

  // The date asked about, and the days on which something was given.
  const double asked = f.x(r.carry_to);
  out += stroke(asked, f.top, asked, f.bottom(), k_ink, 0.8, "1 3") + text(asked, f.top - 8, to_words(r.carry_to_day), "middle", k_ink);
  std::vector<double> fed;
  for (const FeedDay& day : r.feed_days) {
    const std::size_t d = day_index(r, day.on);
    const bool its_own = std::any_of(c.sources.begin(), c.sources.end(), [&](const auto& s) { return s.feeding == day.feeding; });
    if (!its_own || d < f.from) continue;
    const double x = f.x(d);
    fed.push_back(x);
    out += stroke(x, f.top, x, f.bottom(), k_ink, 0.8, "1 3") + "<path d=\"M" + fixed(x - 5, 1) + " " + fixed(f.top - 4, 1) +
           "l5 8l5 -8z\" fill=\"" + k_ink + "\"/>";
  }
  // Said once, where there is room before the date asked about. Text is larger where the page is narrow.
  const std::string said = fed.size() > 1 ? "fed " + std::to_string(fed.size()) + " times" : "fed";
  const double wide = 1.3 * figure::text_width(said, k_size), beside = 0.65 * figure::text_width(to_words(r.carry_to_day), k_size) + 6;
  if (!fed.empty() && (fed[0] + wide < asked - beside || fed[0] > asked + beside)) out += text(fed[0] - 5, f.top - 8, said, "start", k_ink);
  // The answer where it happens: left of the line that rises to it.
  const std::size_t at = std::max(begin, std::min(end - 1, c.verdict.outcome == Outcome::ran_short ? *c.verdict.first_short : r.carry_to));
  const double px = f.x(at), above = std::min(f.y(wants(at)), f.y(has(at)));
  const double py = std::max(f.top + 12, above - 26);
  const double end_of_text = std::max(px - 5, k_left + 8 + 1.45 * figure::text_width(answer_words(r, c), k_size));
  const char* told = c.verdict.outcome == Outcome::carried ? k_leaf : k_clay;
  out += stroke(px, above, px, py + 3, told, 1.4) + "<circle" + attribute("cx", px) + attribute("cy", f.y(has(at))) +
         " r=\"3.4\" fill=\"#fff\" stroke=\"" + told + "\" stroke-width=\"1.8\"/>" +
         text(end_of_text, py, answer_words(r, c), "end", told, k_size, " font-weight=\"bold\"");

  std::vector<double> wanted = {f.y(wants(end - 1)), f.y(has(end - 1))};
  const bool swapped = wanted[0] > wanted[1];
  if (swapped) std::swap(wanted[0], wanted[1]);
  auto places = figure::moved_apart(wanted, 16, f.top + 6, f.bottom() - 4);
  if (swapped) std::swap(places[0], places[1]);
  const double right = k_width - k_right + 6;
  return out + text(right, places[0] + 4, "needs", "start", k_ink) + text(right, places[1] + 4, "has", "start", k_leaf) +
         text(2, f.top - 8, "g", "start", k_ink) + "\n";
}

std::string soil_panels(const SeasonResult& r, const ColumnResult& c, double top) {
  const Series &warm = *c.find("soil_c"), &water = *c.find("available_frac");
  const std::size_t layer = std::min<std::size_t>(1, warm.layers - 1);
  const Panel::Value warmth = [&](std::size_t d) { return warm.values[d * warm.layers + layer]; };
  const Panel::Value wetness = [&](std::size_t d) { return 100 * water.values[d * water.layers + layer]; };
  double hottest = 20, coldest = 0;
  for (std::size_t d = first_drawn(r); d < r.days; ++d) hottest = std::max(hottest, warmth(d)), coldest = std::min(coldest, warmth(d));
  const Panel t{r, top + k_panel_title, k_soil_height, 10 * std::floor(coldest / 10), 5 * std::ceil(hottest / 5)};
  const Panel w{r, t.bottom() + k_panel_title + 6, k_soil_height, 0, 100};
  std::string out = text(k_left, t.top - 8,
                         "How warm is the soil? \xc2\xb0"
                         "C, 5 to 15 cm down",
                         "start", k_ink) +
                    t.months(false);
  for (double v = t.low; v <= t.high; v += 10) out += t.level(v, fixed(v, 0));
  out += t.line(warmth, t.from, r.days, k_clay, 2);
  out += text(k_left, w.top - 8, "And how moist? Of the water that roots can use", "start", k_ink) + w.months(true);
  out += w.level(0, "dry") + w.level(50, "half") + w.level(100, "full");
  return out + w.line(wetness, w.from, r.days, k_water, 2, "5 2");
}

}  // namespace

std::vector<const ColumnResult*> drawn_of(const SeasonResult& r) {
  constexpr std::size_t k_most = 3;  // two printed pages have room for no more
  std::vector<const ColumnResult*> out;
  for (const Answer& a : answers_of(r))
    if (a.column->fed && a.column->hunger == Hunger::greedy && out.size() < k_most) out.push_back(a.column);
  return out;
}

std::size_t first_drawn(const SeasonResult& r) {
  const bool north = month_day_of(r.first).month > 6;
  const Date spring = north ? make_date(year_of(r.first) + 1, {3, 1}) : make_date(year_of(r.first), {9, 1});
  return std::min<std::size_t>(r.days - 2, day_index(r, spring));
}

double grams_a_plant(const ColumnResult& c) { return 0.1 * c.area_m2 / std::max(1, c.count); }

std::string title_of(const ColumnResult& c) {
  const bool many = c.name.size() > 2 && c.name.back() == 's' && c.name[c.name.size() - 2] != 's';
  return "Nitrogen the " + lower_first(c.name) + (many ? " have and need" : " has and needs");
}

std::string season_figure(const SeasonResult& r, const ColumnResult& c, const YearBand* band, bool soil, const std::string& id) {
  const double supply = k_supply_top + k_supply_height + k_month_room;
  const double height = soil ? supply + 2 * (k_panel_title + k_soil_height) + 10 + k_month_room : supply;
  const double each = grams_a_plant(c);
  const auto weigh = [&](const char* name) { return fixed(each * c.find(name)->values[r.carry_to], 1) + " g"; };
  std::string said = c.name + ": " + answer_words(r, c) + ". On " + to_words(r.carry_to_day) + " each holds " + weigh("plant_kg_n_ha") +
                     " of nitrogen and needs " + weigh("critical_kg_n_ha") + " to grow at full speed.";
  if (band) said += " The band holds 8 of 10 of the record's " + std::to_string(band->years) + " years, as shares of what each needs.";
  if (soil) said += " Below it warmth and water of the soil, 5 to 15 cm down, on the same days.";
  return opened(height, id, title_of(c), said) + supply_panel(r, c, band, id) + (soil ? soil_panels(r, c, supply) : "") + "</svg>";
}

std::string where_figure(const SeasonResult& r, const std::string& id) {
  const auto part = hundred_of(feed_of(r));
  static constexpr const char* k_words[] = {"taken up",        "still to come",     "loose in the soil", "washed below the roots",
                                            "lost to the air", "in the soil's life"};
  const std::string lost = "url(#" + id + "-h)";
  const std::string fill[] = {k_leaf, k_held, k_held, lost, lost, k_held};
  constexpr double k_row = 21, k_names = 226, k_bar = 14;
  const double scale = (k_width - k_names - 64) / std::max(50, *std::max_element(part.begin(), part.end()));
  std::string said;
  for (std::size_t i = 0; i < part.size(); ++i) said += (i ? ", " : "") + std::to_string(part[i]) + " " + k_words[i];
  std::string out = opened(static_cast<double>(part.size()) * k_row + 6, id, "Where each 100 g of nitrogen given went", said + ".");
  for (std::size_t i = 0; i < part.size(); ++i) {
    const double y = 4 + static_cast<double>(i) * k_row;
    out += text(k_names - 8, y + 12, k_words[i], "end", k_ink) + "<rect" + attribute("x", k_names) + attribute("y", y) +
           attribute("width", std::max(0.5, part[i] * scale)) + attribute("height", k_bar) + " fill=\"" + fill[i] + "\" stroke=\"" + k_ink +
           "\" stroke-width=\"0.8\"/>" + text(k_names + part[i] * scale + 6, y + 12, std::to_string(part[i]) + " g", "start", k_ink) + "\n";
  }
  return out + "</svg>";
}

std::string as_file(const std::string& svg, const std::string& title) {
  // The title stands above what the page has as its own heading.
  constexpr double k_room = 30;
  const std::size_t box = svg.find("viewBox=\"0 0 "), close = svg.find('"', box + 9), tall = svg.rfind(' ', close);
  const double height = std::stod(svg.substr(tall + 1, close - tall - 1)) + k_room + 8;
  const std::size_t body = svg.find("</defs>") + 7;
  return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"-8 -" + fixed(k_room, 0) + " " +
         fixed(k_width + 16, 0) + " " + fixed(height, 0) + svg.substr(close, body - close) + "<rect x=\"-8\" y=\"-" + fixed(k_room, 0) +
         "\" width=\"" + fixed(k_width + 16, 0) + "\" height=\"" + fixed(height, 0) + "\" fill=\"#fff\"/>" +
         text(2, -10, title, "start", k_ink, 16) + svg.substr(body) + "\n";
}

}  // namespace leafhunger
