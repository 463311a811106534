#include "figure_svg.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numeric>
#include <string_view>

#include "markup.hpp"
#include "words.hpp"

namespace leafhunger::figure {
namespace {

constexpr const char* k_ink = "#1d1d1b";
constexpr const char* k_soft = "#5c5c57";
constexpr const char* k_pale = "#dedcd4";
constexpr const char* k_serif = "Georgia, 'DejaVu Serif', 'Times New Roman', serif";
constexpr const char* k_sans = "Helvetica, Arial, 'DejaVu Sans', sans-serif";

// Blue to rust: blues and oranges stay apart for every kind of colour blindness, and neighbours differ in lightness.
constexpr std::array<const char*, 6> k_cold_to_warm = {"#0b2f6b", "#2a78b8", "#79b3d9", "#f0923f", "#c95408", "#7f2704"};
// Okabe & Ito's colours, the pale ones last (from memory).
constexpr std::array<const char*, 7> k_unordered = {"#0072b2", "#d55e00", "#009e73", "#1d1d1b", "#cc79a7", "#e69f00", "#56b4e9"};
constexpr std::array<const char*, 5> k_dashes = {"", "9 4", "2.5 3.5", "12 4 2.5 4", "5 2.5"};
constexpr int k_mark_shapes = 4;

constexpr double k_title_size = 19, k_subtitle_size = 13, k_panel_size = 14, k_label_size = 12.5, k_tick_size = 11.5, k_note_size = 11.5;
constexpr double k_edge = 18;            // white around everything
constexpr double k_most_label = 230;     // pixels; a longer name is broken into lines
constexpr double k_leader = 16;          // from the end of a line to its name
constexpr std::size_t k_most_bands = 3;  // lines that can carry a band without hiding each other

std::string number(double value) {
  if (!std::isfinite(value)) value = 0;
  value = std::round(value * 100) / 100;
  if (value == 0) value = 0;  // no minus before a nought
  std::array<char, 40> text;
  const auto end = std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed, 2);
  std::string out(text.data(), end.ptr);
  while (out.back() == '0') out.pop_back();
  if (out.back() == '.') out.pop_back();
  return out;
}

void add_point(std::string& list, double x, double y) {
  if (!list.empty()) list += ' ';
  list += number(x);
  list += ',';
  list += number(y);
}

// Text as XML may hold it: no markup, no control characters, valid UTF-8.
std::string escaped(const std::string& text) { return escaped_markup(input::shown(text, 400)); }

std::vector<std::string> broken(const std::string& text, double size, double room) {
  std::vector<std::string> lines;
  std::string line;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t space = std::min(text.find(' ', at), text.size());
    const std::string word = text.substr(at, space - at);
    at = space + 1;
    if (!line.empty() && text_width(line + " " + word, size) > room) {
      lines.push_back(line);
      line.clear();
    }
    line += (line.empty() ? "" : " ") + word;
    // A word longer than the room is cut between characters, never in one.
    while (text_width(line, size) > room) {
      std::size_t cut = line.size();
      while (cut > 1 && (text_width(line.substr(0, cut), size) > room || (static_cast<unsigned char>(line[cut]) & 0xC0) == 0x80)) --cut;
      if (cut <= 1) break;
      lines.push_back(line.substr(0, cut));
      line.erase(0, cut);
    }
  }
  lines.push_back(line);
  return lines;
}

class Drawing {
 public:
  void open(const char* tag, const std::string& attributes) { out_ += std::string("<") + tag + " " + attributes + ">\n"; }
  void close(const char* tag) { out_ += std::string("</") + tag + ">\n"; }
  void shape(const char* tag, const std::string& attributes) { out_ += std::string("<") + tag + " " + attributes + "/>\n"; }
  void line(double x1, double y1, double x2, double y2, const char* colour, double width) {
    shape("line", "x1=\"" + number(x1) + "\" y1=\"" + number(y1) + "\" x2=\"" + number(x2) + "\" y2=\"" + number(y2) + "\" stroke=\"" +
                      colour + "\" stroke-width=\"" + number(width) + "\"");
  }
  void text(double x, double y, const std::string& words, double size, const char* colour, const char* anchor = "start",
            const char* family = k_sans, const char* more = "") {
    out_ += "<text x=\"" + number(x) + "\" y=\"" + number(y) + "\" font-size=\"" + number(size) + "\" fill=\"" + colour +
            "\" text-anchor=\"" + anchor + "\" font-family=\"" + family + "\"" + more + ">" + escaped(words) + "</text>\n";
  }
  std::string& out() { return out_; }

 private:
  std::string out_;
};

double day_step(double span, int most) {
  for (const double step : {1.0, 2.0, 7.0, 14.0, 28.0, 56.0, 112.0, 182.0, 365.0, 730.0})
    if (span / step <= most) return step;
  return round_step(span, most);
}

struct Scale {
  double x_low = 0, x_high = 1, y_low = 0, y_high = 1;
};

Scale scale_of(const Chart& chart) {
  Scale s;
  double top = 0, bottom = 0, right = 0;
  for (const Panel& p : chart.panels)
    for (const Line& l : p.lines)
      for (std::size_t i = 0; i < l.x.size(); ++i) {
        const double wide = l.spread.empty() || !std::isfinite(l.spread[i]) ? 0 : l.spread[i];
        if (!std::isfinite(l.y[i])) continue;
        top = std::max(top, l.y[i] + wide), bottom = std::min(bottom, l.y[i] - wide), right = std::max(right, l.x[i]);
      }
  if (top - bottom <= 0) top = 1;
  const double step = round_step(top - bottom, 6);
  s.y_high = std::ceil(top / step - 1e-9) * step;
  s.y_low = -std::ceil(-bottom / step - 1e-9) * step;
  s.x_high = right > 0 ? right : 1;
  return s;
}

struct Box {
  double left, top, width, height;
};

const char* colour_of(const Chart& chart, const Panel& panel, std::size_t line) {
  if (panel.lines[line].rule) return k_soft;
  const auto lines = static_cast<std::size_t>(std::count_if(panel.lines.begin(), panel.lines.end(), [](const Line& l) { return !l.rule; }));
  if (!chart.ordered) return k_unordered[line % k_unordered.size()];
  constexpr std::size_t n = k_cold_to_warm.size();
  // Fewer lines than colours are spread over the whole range; more than that share some, and differ in dashes.
  return k_cold_to_warm[lines <= 1 ? n - 2 : (line * (n - 1) + (lines - 1) / 2) / (lines - 1)];
}

void mark(Drawing& d, int shape, double x, double y, const char* colour) {
  const std::string fill = std::string("fill=\"#ffffff\" stroke=\"") + colour + "\" stroke-width=\"1.6\"";
  const auto polygon = [&](std::initializer_list<std::pair<double, double>> points) {
    std::string list;
    for (const auto& [dx, dy] : points) add_point(list, x + dx, y + dy);
    d.shape("polygon", "points=\"" + list + "\" " + fill);
  };
  switch (shape % k_mark_shapes) {
    case 0:
      d.shape("circle", "cx=\"" + number(x) + "\" cy=\"" + number(y) + "\" r=\"3.1\" " + fill);
      break;
    case 1:
      polygon({{-2.9, -2.9}, {2.9, -2.9}, {2.9, 2.9}, {-2.9, 2.9}});
      break;
    case 2:
      polygon({{0, -3.8}, {3.6, 2.8}, {-3.6, 2.8}});
      break;
    default:
      polygon({{0, -4.1}, {4.1, 0}, {0, 4.1}, {-4.1, 0}});
  }
}

// Room to the right of a plot for spreads and names.
struct Gutter {
  double whiskers = 0, labels = 0;
  double width() const { return whiskers + k_leader + 6 + labels; }
};

// Distance between the names of two lines, so that they never touch.
double name_gap(const Panel& p) {
  std::size_t tallest = 1;
  for (const Line& l : p.lines) tallest = std::max(tallest, broken(l.label, k_label_size, k_most_label).size());
  return 1.25 * k_label_size * static_cast<double>(tallest) + (tallest > 1 ? 4 : 0);
}

bool banded(const Panel& p) { return p.lines.size() <= k_most_bands; }

Gutter gutter_of(const Chart& chart) {
  Gutter g;
  for (const Panel& p : chart.panels)
    for (const Line& l : p.lines) {
      for (const std::string& part : broken(l.label, k_label_size, k_most_label))
        g.labels = std::max(g.labels, text_width(part, k_label_size));
      if (!banded(p) && !l.spread.empty()) g.whiskers = std::max(g.whiskers, 6.0 + 5.0 * static_cast<double>(p.lines.size()));
    }
  return g;
}

void draw_panel(Drawing& d, const Chart& chart, const Panel& panel, const Scale& s, const Box& box, const Gutter& gutter) {
  const auto to_x = [&](double x) { return box.left + (x - s.x_low) / (s.x_high - s.x_low) * box.width; };
  const auto to_y = [&](double y) { return box.top + (s.y_high - y) / (s.y_high - s.y_low) * box.height; };
  const double right = box.left + box.width, bottom = box.top + box.height;

  if (!panel.title.empty()) {
    double y = box.top - 12;
    const auto parts = broken(panel.title, k_panel_size, box.width + gutter.width());
    for (std::size_t k = parts.size(); k-- > 0; y -= 1.25 * k_panel_size)
      d.text(box.left, y, parts[k], k_panel_size, k_ink, "start", k_serif);
  }
  const double y_step = round_step(s.y_high - s.y_low, 6);
  for (double y = s.y_low; y <= s.y_high + 1e-9 * y_step; y += y_step) {
    d.line(box.left, to_y(y), right, to_y(y), k_pale, 1);
    d.text(box.left - 8, to_y(y) + 4, number(y), k_tick_size, k_soft, "end");
  }
  const auto tick = [&](double x, const std::string& words) {
    d.line(to_x(x), bottom, to_x(x), bottom + 5, k_soft, 1);
    d.text(to_x(x), bottom + 18, words, k_tick_size, k_soft, "middle");
  };
  if (chart.x_ticks.empty()) {
    const double x_step = day_step(s.x_high - s.x_low, std::max(2, static_cast<int>(box.width / 60)));
    for (double x = s.x_low; x <= s.x_high + 1e-9; x += x_step) tick(x, number(x));
  }
  // A name that would touch the one before it is left out; its mark stands.
  double room_from = -1e9;
  for (const auto& [x, words] : chart.x_ticks) {
    const double half = 0.5 * text_width(words, k_tick_size);
    const bool fits = to_x(x) - half > room_from;
    tick(x, fits ? words : std::string());
    if (fits) room_from = to_x(x) + half + 4;
  }
  d.line(box.left, to_y(0), right, to_y(0), k_ink, 1.2);
  if (s.y_low < 0) {
    d.line(box.left, bottom, right, bottom, k_soft, 1);
    // At the end of the axis that is less likely to be under a line that dips at once.
    const auto below = [](const Line& l) { return std::any_of(l.y.begin(), l.y.end(), [](double v) { return v < 0; }); };
    if (std::any_of(panel.lines.begin(), panel.lines.end(), below))
      d.text(right - 4, bottom - 6, chart.below_nought, k_tick_size, k_soft, "end", k_sans, " font-style=\"italic\"");
  }
  d.text(box.left + box.width / 2, bottom + 36, chart.x_label, k_tick_size, k_soft, "middle");
  if (chart.blank) return;

  const std::size_t n = panel.lines.size();
  for (std::size_t k = 0; banded(panel) && k < n; ++k) {
    const Line& l = panel.lines[k];
    if (l.spread.empty()) continue;
    std::string around;
    for (std::size_t i = 0; i < l.x.size(); ++i)
      if (std::isfinite(l.y[i])) add_point(around, to_x(l.x[i]), to_y(l.y[i] + l.spread[i]));
    for (std::size_t i = l.x.size(); i-- > 0;)
      if (std::isfinite(l.y[i])) add_point(around, to_x(l.x[i]), to_y(l.y[i] - l.spread[i]));
    d.shape("polygon", "points=\"" + around + "\" fill=\"" + colour_of(chart, panel, k) + "\" fill-opacity=\"0.14\"");
  }
  for (std::size_t k = 0; k < n; ++k) {
    const Line& l = panel.lines[k];
    std::string points;
    for (std::size_t i = 0; i < l.x.size(); ++i)
      if (std::isfinite(l.y[i])) add_point(points, to_x(l.x[i]), to_y(l.y[i]));
    const char* dashes = l.rule ? "" : k_dashes[k % k_dashes.size()];
    d.shape("polyline", "points=\"" + points + "\" fill=\"none\" stroke=\"" + colour_of(chart, panel, k) + "\" stroke-width=\"" +
                            (l.rule ? "1.2" : "2.2") + "\" stroke-linejoin=\"round\"" +
                            (dashes[0] ? std::string(" stroke-dasharray=\"") + dashes + "\"" : std::string()));
  }
  for (std::size_t k = 0; k < n; ++k) {
    const Line& l = panel.lines[k];
    for (const double x : l.marks_x) {
      const auto at = std::find(l.x.begin(), l.x.end(), x);
      if (at != l.x.end() && std::isfinite(l.y[static_cast<std::size_t>(at - l.x.begin())]))
        mark(d, static_cast<int>(k), to_x(x), to_y(l.y[static_cast<std::size_t>(at - l.x.begin())]), colour_of(chart, panel, k));
    }
  }

  // Names at the ends. Each takes as many lines as it needs.
  std::vector<double> ends;
  std::vector<std::vector<std::string>> names;
  for (const Line& l : panel.lines) {
    double y = 0;
    for (const double v : l.y)
      if (std::isfinite(v)) y = v;
    ends.push_back(to_y(y));
    names.push_back(broken(l.label, k_label_size, k_most_label));
  }
  const double gap = name_gap(panel);
  const auto places = moved_apart(ends, gap, box.top + 0.5 * gap - 8, bottom - 0.5 * gap + 8);
  for (std::size_t k = 0; k < n; ++k) {
    const Line& l = panel.lines[k];
    const char* colour = colour_of(chart, panel, k);
    if (!banded(panel) && !l.spread.empty()) {
      const double wide = std::abs(to_y(l.spread.back()) - to_y(0)), x = right + 5 + 5 * static_cast<double>(k);
      d.line(x, ends[k] - wide, x, ends[k] + wide, colour, 1.4);
      for (const double y : {ends[k] - wide, ends[k] + wide}) d.line(x - 2, y, x + 2, y, colour, 1.4);
    }
    const double from = right + gutter.whiskers + 2;
    d.line(from, ends[k], from + k_leader, places[k], colour, 1.4);
    double y = places[k] + 0.36 * k_label_size - 0.625 * k_label_size * static_cast<double>(names[k].size() - 1);
    for (const std::string& part : names[k]) {
      d.text(from + k_leader + 4, y, part, k_label_size, k_ink);
      y += 1.25 * k_label_size;
    }
  }
}

}  // namespace

double round_step(double span, int most) {
  double step = std::pow(10.0, std::floor(std::log10(span / most)));
  for (const double factor : {1.0, 2.0, 5.0, 10.0})
    if (span / (factor * step) <= most) return factor * step;
  return 10 * step;
}

double text_width(const std::string& text, double size) {
  // Shares of the size; between Arial's and the wider DejaVu Sans's widths, nearer to the latter.
  double em = 0;
  for (const char c : text) {
    const auto u = static_cast<unsigned char>(c);
    if ((u & 0xC0) == 0x80) continue;  // one width a character, not a byte
    if (u >= 0x80) {
      em += 0.95;  // may be a wide script
    } else if (std::string_view("il|.,:;'!jI").find(c) != std::string_view::npos) {
      em += 0.34;
    } else if (std::string_view(" ftr()[]-/").find(c) != std::string_view::npos) {
      em += 0.42;
    } else if (std::string_view("mMW@%w").find(c) != std::string_view::npos) {
      em += 1.0;
    } else if (c >= 'A' && c <= 'Z') {
      em += 0.76;
    } else {
      em += 0.64;
    }
  }
  return em * size;
}

std::vector<double> moved_apart(const std::vector<double>& wanted, double gap, double low, double high) {
  const std::size_t n = wanted.size();
  if (n == 0) return {};
  std::vector<std::size_t> order(n);
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return wanted[a] < wanted[b]; });
  // Neighbours that would touch form a heap about the mean of where they wanted to be; heaps that touch are merged.
  struct Heap {
    double middle;
    std::size_t count;
  };
  const auto half = [&](const Heap& h) { return 0.5 * gap * static_cast<double>(h.count - 1); };
  const auto inside = [&](Heap h) {  // where there is too little room, the first ones stick out
    h.middle = std::min(std::max(h.middle, low + half(h)), high - half(h));
    return h;
  };
  std::vector<Heap> heaps;
  for (const std::size_t i : order) {
    heaps.push_back(inside({wanted[i], 1}));
    while (heaps.size() > 1) {
      const Heap b = heaps.back(), a = heaps[heaps.size() - 2];
      if (a.middle + half(a) + gap <= b.middle - half(b)) break;
      const double na = static_cast<double>(a.count), nb = static_cast<double>(b.count);
      heaps.resize(heaps.size() - 2);
      heaps.push_back(inside({(na * a.middle + nb * b.middle) / (na + nb), a.count + b.count}));
    }
  }
  std::vector<double> at;
  for (const Heap& h : heaps)
    for (std::size_t k = 0; k < h.count; ++k) at.push_back(h.middle - half(h) + gap * static_cast<double>(k));
  std::vector<double> out(n);
  for (std::size_t k = 0; k < n; ++k) out[order[k]] = at[k];
  return out;
}

std::string svg(const Chart& chart) {
  const Scale scale = scale_of(chart);
  const Gutter gutter = gutter_of(chart);
  const std::size_t columns = chart.panels.size() > 2 ? 2 : 1, rows = (chart.panels.size() + columns - 1) / columns;
  const double plot_width = columns == 1 ? 520 : 380;
  constexpr double k_axis = 46;
  const double cell = k_axis + plot_width + gutter.width(), between = 26,
               width = 2 * k_edge + cell * static_cast<double>(columns) + between * static_cast<double>(columns - 1);
  double names_height = 0;
  std::size_t panel_title = 0;
  for (const Panel& p : chart.panels) {
    names_height = std::max(names_height, name_gap(p) * static_cast<double>(p.lines.size()));
    if (!p.title.empty()) panel_title = std::max(panel_title, broken(p.title, k_panel_size, cell - k_axis).size());
  }
  // High enough for every name at a height of its own.
  const double plot_height = std::max(chart.panels.size() == 1 ? 330.0 : 230.0, names_height);

  Drawing d;
  double y = k_edge + k_title_size;
  for (const std::string& part : broken(chart.title, k_title_size, width - 2 * k_edge)) {
    d.text(k_edge, y, part, k_title_size, k_ink, "start", k_serif);
    y += 1.3 * k_title_size;
  }
  for (const std::string& part : broken(chart.subtitle, k_subtitle_size, width - 2 * k_edge)) {
    d.text(k_edge, y, part, k_subtitle_size, k_soft);
    y += 1.4 * k_subtitle_size;
  }
  y += 14 + 1.25 * k_panel_size * static_cast<double>(panel_title);
  const double row_height = plot_height + 52 + 1.25 * k_panel_size * static_cast<double>(panel_title) + (rows > 1 ? 16 : 0);
  for (std::size_t p = 0; p < chart.panels.size(); ++p) {
    const Box box{k_edge + k_axis + static_cast<double>(p % columns) * (cell + between), y + row_height * static_cast<double>(p / columns),
                  plot_width, plot_height};
    draw_panel(d, chart, chart.panels[p], scale, box, gutter);
  }
  y += row_height * static_cast<double>(rows) - 1.25 * k_panel_size * static_cast<double>(panel_title) + 6;
  for (const std::string& note : chart.notes)
    for (const std::string& part : broken(note, k_note_size, width - 2 * k_edge)) {
      d.text(k_edge, y, part, k_note_size, k_soft);
      y += 1.4 * k_note_size;
    }
  const double height = y - k_note_size + k_edge;
  std::string out = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"" +
                    number(std::ceil(width)) + "\" height=\"" + number(std::ceil(height)) + "\" viewBox=\"0 0 " + number(std::ceil(width)) +
                    " " + number(std::ceil(height)) + "\">\n<title>" + escaped(chart.title) + "</title>\n<desc>" + escaped(chart.subtitle) +
                    "</desc>\n<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n";
  return out + d.out() + "</svg>\n";
}

}  // namespace leafhunger::figure
