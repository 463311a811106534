// Many seasons in words: how often it lasts. Sureness is said in years.
#include <algorithm>
#include <cmath>

#include "leafhunger/report.hpp"
#include "lines.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using lines::padded;
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

// "short in 2011 from 30 June and 2012 from 2 July; kept in 2013": what each year came to.
std::string year_by_year(const PlantingYears& p) {
  std::vector<std::string> ran_short, kept, cold, dry;
  for (const YearVerdict& y : p.years) {
    const std::string year = std::to_string(y.season);
    switch (y.verdict.outcome) {
      case Outcome::ran_short:
        ran_short.push_back(year + " from " + to_words(month_day_of(*y.first_short)));
        break;
      case Outcome::never_woke:
        cold.push_back(year);
        break;
      case Outcome::water_limited:
        dry.push_back(year);
        break;
      case Outcome::carried:
      case Outcome::just_carried:
        kept.push_back(year);
    }
  }
  std::string text;
  const auto say = [&](const char* what, const std::vector<std::string>& years) {
    if (years.empty()) return;
    text += (text.empty() ? "" : "; ") + std::string(what);
    text += years.size() == p.years.size() && &years != &ran_short ? " in every year" : " in " + joined(years);
  };
  say("short", ran_short), say("kept", kept), say("too cold to wake", cold), say("held back by thirst, not feed,", dry);
  return text;
}

std::string how_it_was_worked_out(const LastsResult& r, const std::vector<PlantingYears>& sorted) {
  std::string out = "\nHow it was worked out\n\n" + wrapped("  ", k_short_means, 2) + "\n";
  for (const PlantingYears& p : sorted)
    if (p.fed) out += wrapped("  ", p.name + ": " + year_by_year(p) + ".", 4);
  out += '\n';
  for (const std::string& note : r.notes) out += wrapped("  - ", note, 4);
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
  out += "  " + padded("", 24) + padded("fed", 10) + "unfed\n";
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
  for (const PlantingYears& p : sorted) {
    if (2 * p.slept > static_cast<int>(n))
      out += wrapped(
          "  ",
          p.name + ": never woke in " + years_words(p.slept, n) + ", too cold; a thermometer beside it, or a first new leaf, settles it.",
          4);
    if (2 * p.thirsty > static_cast<int>(n))
      out += wrapped("  ",
                     p.name + ": water, not feed, is the limit in " + years_words(p.thirsty, n) +
                         "; soak one plant every week for a month: if it grows away, water it was.",
                     4);
  }
  out += wrapped("  ", "Seasons " + span(r.seasons) + ", each on its own.", 2);
  return more ? out + how_it_was_worked_out(r, sorted) : out;
}

}  // namespace leafhunger
