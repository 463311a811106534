// A line chart as SVG that needs nothing but itself: no script, no font file, no style sheet. Same input, same bytes. Lines differ in
// colour, in dashes and in the mark at their points, and are named at their ends; names are moved apart, never cut off.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace leafhunger::figure {

struct Line {
  std::string label;
  std::vector<double> x, y;
  std::vector<double> spread;   ///< +- of y, or empty
  std::vector<double> marks_x;  ///< where a mark stands on the line; each one of `x`
  bool rule = false;            ///< one to hold the others against: thin and grey, no colour is spent on it; these come last
};

struct Panel {
  std::string title;  ///< may be empty
  std::vector<Line> lines;
};

struct Chart {
  std::string title, subtitle;  ///< broken into lines where they are long
  std::string x_label;
  std::vector<std::pair<double, std::string>> x_ticks;  ///< in place of round numbers, such as days by name
  std::vector<std::string> notes;                       ///< below the panels
  std::string below_nought;                             ///< said under the line of nought where values go below it
  std::vector<Panel> panels;                            ///< all share both axes
  bool ordered = false;                                 ///< lines go from cold to warm, so their colours do
  bool blank = false;                                   ///< the axes alone, as they are with the lines: to be drawn on
};

/// Throws nothing. Values that are not finite are left out of their line.
std::string svg(const Chart& chart);

/// Width of a text in a common sans-serif font of that size, on the generous side: room is reserved by it. Pixels.
double text_width(const std::string& text, double size);

/// Round steps (1, 2 or 5 of a power of ten) so that there are at most `most` of them in `span`.
double round_step(double span, int most);

/// Positions nearest to `wanted`, in the same order, at least `gap` apart, between `low` and `high` as far as there is room.
std::vector<double> moved_apart(const std::vector<double>& wanted, double gap, double low, double high);

}  // namespace leafhunger::figure
