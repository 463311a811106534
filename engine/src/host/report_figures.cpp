#include "report_figures.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include "lines.hpp"
#include "markup.hpp"
#include "season_answers.hpp"
#include "season_words.hpp"

namespace leafhunger {
namespace {

using lines::fixed;

constexpr double k_width = 680, k_left = 46, k_right = 12;
constexpr const char* k_ink = "#22302a";    // 13:1 on white
constexpr const char* k_leaf = "#1f6b45";   // 6.4:1
constexpr const char* k_clay = "#9a4a12";   // 6.3:1
constexpr const char* k_water = "#1d5a8c";  // 7:1
constexpr const char* k_grid = "#c9d1cc";
constexpr const char* k_text = "font-family=\"Georgia, 'DejaVu Serif', serif\" font-size=\"12\"";

// From 1 March (in the south 1 September): before it nothing that gardeners feed is in leaf.
std::size_t first_drawn(const SeasonResult& r) {
  const bool north = month_day_of(r.first).month > 6;
  const Date spring = north ? make_date(year_of(r.first) + 1, {3, 1}) : make_date(year_of(r.first), {9, 1});
  return std::min<std::size_t>(r.days - 1, static_cast<std::size_t>((spring - r.first).count()));
}

struct Frame {
  const SeasonResult& r;
  double top, height, low, high;
  std::size_t from = first_drawn(r);

  double x(std::size_t day) const {
    return k_left + (k_width - k_left - k_right) * static_cast<double>(day - from) / static_cast<double>(r.days - 1 - from);
  }
  double y(double value) const { return top + height * (1 - (std::clamp(value, low, high) - low) / (high - low)); }

  std::string months(double bottom) const {
    static constexpr const char* k_names[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    std::string out;
    for (std::size_t d = from; d < r.days; ++d) {
      const MonthDay day = month_day_of(r.first + std::chrono::days{static_cast<long>(d)});
      if (day.day == 1)
        out += "<line x1=\"" + fixed(x(d), 1) + "\" y1=\"" + fixed(top, 1) + "\" x2=\"" + fixed(x(d), 1) + "\" y2=\"" + fixed(bottom, 1) +
               "\" stroke=\"" + k_grid + "\" stroke-width=\"0.6\"/>";
      if (day.day == 15) out += text(x(d), bottom + 15, k_names[day.month - 1], "middle", k_ink);
    }
    return out;
  }
  std::string level(double value, const std::string& label, const char* dash) const {
    return "<line x1=\"" + fixed(k_left, 1) + "\" y1=\"" + fixed(y(value), 1) + "\" x2=\"" + fixed(k_width - k_right, 1) + "\" y2=\"" +
           fixed(y(value), 1) + "\" stroke=\"" + k_ink + "\" stroke-width=\"0.8\"" +
           (*dash ? std::string(" stroke-dasharray=\"") + dash + "\"" : "") + "/>" + text(k_left - 6, y(value) + 4, label, "end", k_ink);
  }
  static std::string text(double px, double py, const std::string& words, const char* anchor, const char* colour) {
    return "<text x=\"" + fixed(px, 1) + "\" y=\"" + fixed(py, 1) + "\" text-anchor=\"" + anchor + "\" fill=\"" + colour + "\" " + k_text +
           ">" + escaped_markup(words) + "</text>";
  }
  using Value = std::function<double(std::size_t)>;
  std::string path(const Value& value, std::size_t begin, std::size_t end) const {
    std::string d;
    for (std::size_t k = begin; k < end; ++k) d += (d.empty() ? "M" : "L") + fixed(x(k), 1) + " " + fixed(y(value(k)), 1);
    return d;
  }
  std::string line(const Value& value, std::size_t begin, std::size_t end, const char* colour, const char* dash = "") const {
    if (end <= begin) return "";
    return "<path d=\"" + path(value, begin, end) + "\" fill=\"none\" stroke=\"" + colour + "\" stroke-width=\"1.8\"" +
           (*dash ? std::string(" stroke-dasharray=\"") + dash + "\"" : "") + "/>";
  }
  std::string area(const Value& upper, const Value& lower, std::size_t begin, std::size_t end, const std::string& fill) const {
    if (end <= begin) return "";
    std::string d = path(upper, begin, end);
    for (std::size_t k = end; k-- > begin;) d += "L" + fixed(x(k), 1) + " " + fixed(y(lower(k)), 1);
    return "<path d=\"" + d + "Z\" fill=\"" + fill + "\" stroke=\"none\"/>";
  }
};

std::string opened(double height, const std::string& title, const std::string& description) {
  return "<svg viewBox=\"0 0 " + fixed(k_width, 0) + " " + fixed(height, 0) + "\" role=\"img\" aria-label=\"" +
         escaped_markup(title + ". " + description) +
         "\"><defs><pattern id=\"hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">"
         "<rect width=\"6\" height=\"6\" fill=\"#fbe9dc\"/><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"6\" stroke=\"" +
         k_clay + "\" stroke-width=\"2\"/></pattern></defs>";
}

}  // namespace

std::string supply_figure(const SeasonResult& r, const ColumnResult& c, const YearBand* band) {
  const Frame f{r, 14, 170, 0, 140};
  const auto& nni = c.find("nni")->values;
  const auto& warmth = c.find("growth_temperature_response")->values;
  const std::size_t begin = std::max(f.from, c.verdict.wakes.value_or(f.from));
  std::size_t end = r.days;
  while (end > begin + 1 && warmth[end - 1] <= 0.02) --end;
  const Frame::Value has = [&](std::size_t d) { return 100 * nni[d]; };
  const std::string title = "What " + c.name + " has of what it wants";
  std::string answer =
      c.verdict.first_short ? "Short from " + day_words(r, *c.verdict.first_short) : "Carried to " + to_words(r.carry_to_day);
  std::string out = opened(220, title, answer);
  out += f.months(184);
  if (band)
    out += f.area([&](std::size_t d) { return 100 * band->high[d]; }, [&](std::size_t d) { return 100 * band->low[d]; }, begin, end,
                  "#dbe6df");
  // The shortfall, hatched between the line and 90 %.
  for (std::size_t d = begin; d < end;) {
    std::size_t to = d;
    while (to < end && nni[to] < 0.9) ++to;
    if (to > d) out += f.area([](std::size_t) { return 90.0; }, has, d, std::min(end, to + 1), "url(#hatch)");
    d = std::max(to, d + 1);
  }
  out += f.level(100, "100 %", "") + f.level(90, "90 %", "4 3") + f.level(0, "0", "");
  out += f.line(has, begin, end, k_leaf);
  for (const FeedDay& day : r.feed_days) {
    const auto d = static_cast<std::size_t>((day.on - r.first).count());
    const bool its_own = std::any_of(c.sources.begin(), c.sources.end(), [&](const auto& s) { return s.feeding == day.feeding; });
    if (!its_own || d < f.from) continue;
    out += "<path d=\"M" + fixed(f.x(d) - 5, 1) + " 184l5 -10l5 10z\" fill=\"" + k_ink + "\"/>" +
           Frame::text(f.x(d) + 7, 182, "fed", "start", k_ink);
  }
  if (c.verdict.first_short && *c.verdict.first_short >= begin) {
    const double px = f.x(*c.verdict.first_short), py = f.y(90);
    const bool left = px > k_width / 2;
    out += "<line x1=\"" + fixed(px, 1) + "\" y1=\"" + fixed(py, 1) + "\" x2=\"" + fixed(px, 1) + "\" y2=\"" + fixed(py + 44, 1) +
           "\" stroke=\"" + k_clay + "\" stroke-width=\"1.2\"/>" +
           Frame::text(px + (left ? -6 : 6), py + 44, answer, left ? "end" : "start", k_clay);
  } else {
    out += Frame::text(k_width - k_right, f.y(8), answer, "end", k_leaf);
  }
  if (band) out += Frame::text(k_width - k_right, 12, "band: 8 years of 10 of the record", "end", k_ink);
  return out + "</svg>";
}

std::string soil_figure(const SeasonResult& r, const ColumnResult& c) {
  const Series &warm = *c.find("soil_c"), &water = *c.find("available_frac");
  const std::size_t layer = std::min<std::size_t>(1, warm.layers - 1);
  double hottest = 20;
  for (std::size_t d = 0; d < r.days; ++d) hottest = std::max(hottest, warm.values[d * warm.layers + layer]);
  const Frame t{r, 14, 80, 0, std::ceil(hottest / 5) * 5}, w{r, 112, 60, 0, 100};
  std::string out =
      opened(206, "Warmth and water of the soil under " + c.name, "Soil temperature and the share of available water, 5 to 15 cm down");
  out += t.months(172);
  out += t.level(0, "0 C", "") + t.level(10, "10 C", "1 4") + t.level(20, "20 C", "1 4");
  out += t.line([&](std::size_t d) { return warm.values[d * warm.layers + layer]; }, t.from, r.days, k_clay);
  out += Frame::text(k_left + 6, 24, "warmth, 5 to 15 cm down", "start", k_clay);
  out += w.level(0, "dry", "") + w.level(100, "full", "");
  out += w.line([&](std::size_t d) { return 100 * water.values[d * water.layers + layer]; }, w.from, r.days, k_water, "6 3");
  out += Frame::text(k_left + 6, 166, "water that roots can use, of what the soil holds of it", "start", k_water);
  return out + "</svg>";
}

std::string where_figure(const SeasonResult& r) {
  const auto part = hundred_of(feed_of(r));
  static constexpr const char* k_words[] = {"taken up",        "still to come",     "loose in the soil", "washed below the roots",
                                            "lost to the air", "in the soil's life"};
  static constexpr const char* k_fill[] = {"#1f6b45", "#8fb59f", "#dbe6df", "#1d5a8c", "#9a4a12", "#c8b48a"};
  std::string said;
  for (std::size_t i = 0; i < part.size(); ++i) said += (i ? ", " : "") + std::to_string(part[i]) + " " + k_words[i];
  std::string out = opened(92, "Where each 100 g of nitrogen given went", said);
  double at = 0;
  const double scale = k_width / 100;
  for (std::size_t i = 0; i < part.size(); ++i) {
    out += "<rect x=\"" + fixed(at * scale, 1) + "\" y=\"4\" width=\"" + fixed(part[i] * scale, 1) + "\" height=\"26\" fill=\"" +
           k_fill[i] + "\" stroke=\"#ffffff\" stroke-width=\"1.5\"/>";
    at += part[i];
  }
  // Names in two rows below, each with its own swatch: a thin part has no room for its name.
  for (std::size_t i = 0; i < part.size(); ++i) {
    const double px = 4 + static_cast<double>(i % 3) * 226, py = 54 + static_cast<double>(i / 3) * 24;
    out += "<rect x=\"" + fixed(px, 0) + "\" y=\"" + fixed(py - 11, 0) + "\" width=\"14\" height=\"14\" fill=\"" + k_fill[i] +
           "\" stroke=\"" + k_ink + "\" stroke-width=\"0.6\"/>" +
           Frame::text(px + 20, py + 1, std::to_string(part[i]) + " g " + k_words[i], "start", k_ink);
  }
  return out + "</svg>";
}

}  // namespace leafhunger
