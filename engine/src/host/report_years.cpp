// Many seasons in words: how often it lasts, how far apart top-ups may be. Sureness is said in years.
#include <algorithm>
#include <cmath>

#include "leafhunger/report.hpp"
#include "lines.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using lines::fixed;
using lines::padded;
using lines::right;
using lines::wrapped;

std::string years_words(int k, std::size_t n) { return std::to_string(k) + " of " + std::to_string(n); }

std::string span(const std::vector<int>& seasons) { return std::to_string(seasons.front()) + " to " + std::to_string(seasons.back()); }

std::string why_not(const PlantingYears& p, std::size_t n) {
  std::string text;
  if (p.usual_first_short) text = "else usually short from " + to_words(*p.usual_first_short);
  if (p.thirsty > 0) text += (text.empty() ? "" : "; ") + std::string("water was the limit in ") + std::to_string(p.thirsty);
  if (p.slept > 0) text += (text.empty() ? "" : "; ") + std::string("too cold to wake in ") + std::to_string(p.slept);
  if (!p.fed) text += (text.empty() ? "" : "; ") + std::string("fed nothing");
  if (p.fed && p.kept_unfed == static_cast<int>(n)) text += (text.empty() ? "" : "; ") + std::string("and would without feed");
  return text;
}

std::string in_handfuls(double grams, double handful_g) {
  const double h = grams / handful_g, near = std::round(h * 2) / 2;
  if (near <= 0 || std::abs(h - near) > 0.02 * near) return fixed(grams, 0) + " g";
  const int whole = static_cast<int>(near);
  const std::string half = near == whole ? "" : whole == 0 ? "half a" : " and a half";
  const std::string count =
      whole == 0 ? half + " handful" : std::to_string(whole) + half + (whole == 1 && half.empty() ? " handful" : " handfuls");
  return count + " (" + fixed(grams, 0) + " g)";
}

// The grid of one planting: intervals down, doses across, years kept inside.
std::string grid_words(const PlantingTopUp& p) {
  std::vector<double> doses;
  std::vector<int> intervals;
  for (const TopUpPoint& point : p.grid) {
    if (std::find(doses.begin(), doses.end(), point.dose_g_per_plant) == doses.end()) doses.push_back(point.dose_g_per_plant);
    if (std::find(intervals.begin(), intervals.end(), point.interval_d) == intervals.end()) intervals.push_back(point.interval_d);
  }
  std::string out = "      " + padded("every", 10);
  for (const double d : doses) out += right(fixed(d, 0) + " g", 8);
  out += "\n";
  for (const int interval : intervals) {
    out += "      " + padded(std::to_string(interval) + " days", 10);
    for (const double d : doses)
      for (const TopUpPoint& point : p.grid)
        if (point.interval_d == interval && point.dose_g_per_plant == d)
          out += right(std::to_string(point.kept) + (point.scorches ? "!" : point.keeps ? "*" : " "), 8);
    out += "\n";
  }
  return out;
}

}  // namespace

std::string in_words(const LastsResult& r, bool more) {
  std::string out =
      lines::headed(r.garden + ". In how many years does the feed last until " + to_words(r.carry_to) + "?", r.note, r.weather_note);
  const std::size_t n = r.seasons.size();
  if (more) {
    for (const std::string& f : r.feed_words) out += wrapped("  ", f, 4);
    out += "\n";
  }
  out += "  " + padded("", 24) + padded("fed", 10) + padded("unfed", 10) + "\n";
  auto sorted = r.plantings;
  std::stable_sort(sorted.begin(), sorted.end(), [](const PlantingYears& a, const PlantingYears& b) { return a.kept < b.kept; });
  for (const PlantingYears& p : sorted) {
    const std::string head = "  " + padded(input::shown(p.name, 23), 24) + padded(p.fed ? years_words(p.kept, n) : "-", 10) +
                             padded(years_words(p.kept_unfed, n), 10);
    out += wrapped(head, why_not(p, n), lines::width(head));
  }
  out += "\n";
  for (const PlantingYears& p : sorted) {
    if (!p.fed || p.kept >= nine_in_ten(static_cast<int>(n))) continue;
    out += wrapped("  ", p.name + ": in 9 years of 10 it lasts until " + to_words(p.kept_nine_in_ten) + ".", 4);
  }
  out += wrapped("  ", "Seasons " + span(r.seasons) + ", each on its own.", 2);
  return out;
}

std::string in_words(const TopUpResult& r, bool more) {
  std::string out = lines::headed(r.garden + ". How far apart may top-ups of " + lower_first(r.material_title) +
                                      " be, to carry the hungry ones to " + to_words(r.carry_to) + " in 9 years of 10?",
                                  r.note, r.weather_note);
  const std::size_t n = r.seasons.size();
  if (more) {
    for (const std::string& f : r.feed_words) out += wrapped("  as it is, ", f, 4);
    out += "\n";
  }
  for (const PlantingTopUp& p : r.plantings) {
    std::string text;
    if (p.kept_without >= r.years_wanted) {
      text = "needs no top-up: the feed it has keeps it in " + years_words(p.kept_without, n) + " years.";
    } else if (p.best) {
      const TopUpPoint& b = p.grid[*p.best];
      text = std::string("every ") + std::to_string(b.interval_d) + " days from " + to_words(p.first) + ", " +
             in_handfuls(b.dose_g_per_plant, r.handful_g) + " a plant: " + input::counted(b.top_ups, "top-up", "top-ups") + ", " +
             r.currency + fixed(b.cost, 2) + " a season. Keeps it in " + years_words(b.kept, n) + " years, against " +
             years_words(p.kept_without, n) + " without.";
    } else {
      const auto most = std::max_element(p.grid.begin(), p.grid.end(), [](const TopUpPoint& a, const TopUpPoint& b) {
        return (a.scorches ? -1 : a.kept) < (b.scorches ? -1 : b.kept);
      });
      text = most->scorches
                 ? "every dose tried would scorch: try smaller ones with --doses."
                 : "nothing tried keeps it in " + years_words(r.years_wanted, n) + " years; the best, " +
                       in_handfuls(most->dose_g_per_plant, r.handful_g) + " a plant every " + std::to_string(most->interval_d) +
                       " days, in " + std::to_string(most->kept) + ". Water or warmth may be the limit: `leafhunger season` says.";
    }
    out += wrapped("  " + p.name + ": ", text, 4);
    if (more && p.kept_without < r.years_wanted) out += '\n' + grid_words(p) + '\n';
  }
  out += '\n';
  out += wrapped("  ",
                 "Each planting by itself, on top of the feeding in the file, no top-up after " + to_words(r.until) + "; " +
                     std::to_string(r.seasons_run) + " seasons run over the weather of " + span(r.seasons) + ".",
                 2);
  if (!more) out += "  What else was tried: --more\n";
  if (more)
    out += wrapped("  ",
                   "Figures: years kept of " + std::to_string(n) +
                       ". * enough, ! more than 5 g of soluble nitrogen a square metre at once, which can scorch.",
                   2);
  if (!r.cautions.empty()) out += '\n';
  for (const Caution& c : r.cautions) {
    const std::size_t end = c.words.find(". ");
    out += wrapped("  ! ", end == std::string::npos ? c.words : c.words.substr(0, end + 1), 4);
  }
  return out;
}

}  // namespace leafhunger
