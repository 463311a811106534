// How sure it is, in words, as JSON, and the bands as CSV. Sureness is said in years of 10 and in days.
#include <algorithm>
#include <charconv>
#include <cmath>
#include <nlohmann/json.hpp>

#include "leafhunger/ensemble.hpp"
#include "lines.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using Json = nlohmann::ordered_json;
using lines::padded;
using lines::wrapped;

constexpr double k_high = 0.9, k_low = 0.1;  // of all draws and seasons: above or below it is sure enough

// Years of 10, whole; "under 1" and "over 9" where rounding would make a certainty of it.
std::string years_of_ten(double share) {
  const long ten = std::lround(10 * share);
  if (ten == 0 && share > 0) return "under 1";
  if (ten == 10 && share < 1) return "over 9";
  return std::to_string(ten);
}

std::string could_be(const PlantingSureness& p) {
  const long low = std::lround(10 * p.kept_share_of_draw.front()), high = std::lround(10 * p.kept_share_of_draw.back());
  return low == high ? std::to_string(low) : std::to_string(low) + " to " + std::to_string(high);
}

std::string when_short(const PlantingSureness& p) {
  const auto& day = p.first_short_day;
  if (!day[0]) return "hardly ever short.";
  std::string text = "short from " + to_words(*day[0]) + " in the worst 1 of 20";
  if (day[2]) text += ", from " + to_words(*day[2]) + " in the middling case";
  return text + "; enough in 9 years of 10 in " + years_of_ten(p.draws_that_keep) + " ways of 10.";
}

// Half of the ways keep it and half do not, and weather is not why: then "yes" or "no" would be false comfort (our own lines).
bool too_uncertain(const PlantingSureness& p) {
  return p.unknown_d >= p.weather_d && p.kept_share_of_draw.front() <= 0.3 && p.kept_share_of_draw.back() >= 0.7;
}

// What a gardener can measure of a figure that was drawn.
std::string to_measure(const std::string& figure) {
  if (figure == "humus_freed_per_year") return "what the soil frees (leave a plant unfed beside, have its organic matter tested)";
  if (figure == "radiation_use_g_mj") return "how big it grows (its width, each month)";
  if (figure == "critical_a_percent") return "how dark its newest leaf is (each fortnight)";
  if (figure == "base_c") return "when its first leaf comes";
  if (figure == "uptake_per_day" || figure == "mineral_at_start_kg_ha" || figure == "nitrify_mg_kg_d" || figure == "denitrify_mg_kg_d")
    return "the soil's nitrate (with a strip, once a month)";
  return "how fast the feed comes (a jar of it at room warmth, with strips at 2 and 6 weeks)";
}

std::string until(const PlantingSureness& p) { return p.kept_whole_season ? "autumn" : to_words(p.kept_nine_in_ten); }

std::string joined(const std::vector<std::string>& names) {
  std::string out;
  for (std::size_t i = 0; i < names.size(); ++i) out += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
  return out;
}

std::string three_digits(double x) {
  std::array<char, 40> text;
  const auto end = std::to_chars(text.data(), text.data() + text.size(), x, std::chars_format::general, 5);
  return {text.data(), end.ptr};
}

Json day_or_null(const std::optional<MonthDay>& d) { return d ? Json(to_iso(*d)) : Json(); }

}  // namespace

std::string in_words(const EnsembleResult& r, bool more) {
  std::string out =
      lines::headed(r.garden + ". How sure is it that the feed lasts until " + to_words(r.carry_to) + "?", r.note, r.weather_note);
  if (more) {
    for (const std::string& f : r.feed_words) out += wrapped("  ", f, 4);
    out += '\n';
  }
  using lines::right;
  out += "  " + padded("", 25) + padded("years of 10", 20) + padded("9 times of 10", 15) + "days either way by\n";
  out += "  " + padded("", 25) + padded("likely", 9) + padded("could be", 11) + padded("until", 14) + right("weather", 8) +
         right("unknown", 9) + '\n';
  std::vector<const PlantingSureness*> sorted;
  for (const auto& p : r.plantings) sorted.push_back(&p);
  std::stable_sort(sorted.begin(), sorted.end(), [](const auto* a, const auto* b) { return a->kept_share < b->kept_share; });
  std::vector<std::string> measure, year;
  std::vector<const PlantingSureness*> open;
  for (const auto* p : sorted) {
    out += "  " + padded(input::shown(p->name, 21), 25) + padded(years_of_ten(p->kept_share), 9) + padded(could_be(*p), 11) +
           padded(until(*p), 14) + right(std::to_string(std::lround(p->weather_d)), 8) +
           right(std::to_string(std::lround(p->unknown_d)), 9) + '\n';
    if (too_uncertain(*p)) open.push_back(p);
    if (p->kept_share >= k_high || p->kept_share <= k_low) continue;
    if (p->unknown_d >= 2 * p->weather_d) measure.push_back(p->name);
    if (p->weather_d >= 2 * p->unknown_d) year.push_back(p->name);
  }
  out += '\n';
  if (more) {
    for (const auto* p : sorted) out += wrapped("  " + p->name + ": ", when_short(*p), 4);
    out += '\n';
  }
  for (const auto* p : open) out += wrapped("  ", p->name + ": too uncertain to say. Measure this: " + to_measure(p->tells_most) + ".", 4);
  if (!measure.empty())
    out += wrapped("  ",
                   "Measuring would tell more than waiting for another year for " + joined(measure) +
                       ": how big they grow, what the soil frees, how fast the feed comes.",
                   2);
  if (!year.empty()) out += wrapped("  ", "It is the year that decides, whatever is measured, for " + joined(year) + ".", 2);
  out += wrapped("  ",
                 "Likely: over " + std::to_string(r.samples) + " ways that feed, soil and plant may truly be, each in the " +
                     input::counted(static_cast<long>(r.seasons.size()), "season", "seasons") + " " + std::to_string(r.seasons.front()) +
                     " to " + std::to_string(r.seasons.back()) + ". Could be: what 9 of 10 of these ways say" +
                     (more ? "." : ". What was varied: --more."),
                 2);
  if (!more) return out;
  out += "\n  What was varied: the value in use, and between what 9 of 10 draws lay.\n";
  std::vector<std::string> said;
  for (const auto& p : r.plantings)
    for (const Unknown& u : p.unknowns) {
      const std::string line =
          u.of + ", " + u.name + ": " + three_digits(u.value) + " (" + three_digits(u.low) + " to " + three_digits(u.high) + ")";
      if (std::find(said.begin(), said.end(), line) == said.end()) said.push_back(line);
    }
  for (const std::string& line : said) out += wrapped("    ", line, 6);
  out += '\n' + wrapped("  ", "Seed " + std::to_string(r.seed) + ": the same draws again with --seed " + std::to_string(r.seed) + ".", 2);
  return out;
}

std::string in_json(const EnsembleResult& r) {
  Json plantings = Json::array();
  for (const PlantingSureness& p : r.plantings) {
    Json unknowns = Json::array(), days = Json::array(), draws = Json::array();
    for (const Unknown& u : p.unknowns)
      unknowns.push_back({{"of", u.of}, {"name", u.name}, {"value", u.value}, {"low", u.low}, {"high", u.high}});
    for (const auto& d : p.first_short_day) days.push_back(day_or_null(d));
    for (std::size_t i = 0; i < p.outcome.size(); ++i) {
      int kept = 0;
      for (const Outcome o : p.outcome[i]) kept += o == Outcome::carried || o == Outcome::just_carried;
      draws.push_back(kept);
    }
    plantings.push_back({{"name", p.name},
                         {"hunger", name_of(p.hunger)},
                         {"fed", p.fed},
                         {"kept_share", p.kept_share},
                         {"standard_error", p.standard_error},
                         {"kept_share_of_draw", p.kept_share_of_draw},
                         {"draws_that_keep_share", p.draws_that_keep},
                         {"first_short", days},
                         {"kept_nine_in_ten_until", p.kept_whole_season ? Json("season") : Json(to_iso(p.kept_nine_in_ten))},
                         {"moved_by_days", {{"weather", p.weather_d}, {"unknown", p.unknown_d}, {"both_together", p.both_d}}},
                         {"too_uncertain", too_uncertain(p)},
                         {"tells_most", p.tells_most.empty() ? Json() : Json(p.tells_most)},
                         {"kept_years_by_draw", draws},
                         {"unknowns", unknowns}});
  }
  return Json{{"format", 1},
              {"garden", r.garden},
              {"note", r.note},
              {"weather_note", r.weather_note},
              {"carry_to", to_iso(r.carry_to)},
              {"seasons", r.seasons},
              {"samples", r.samples},
              {"seed", r.seed},
              {"quantiles", k_quantiles},
              {"feedings", r.feed_words},
              {"plantings", plantings},
              {"notes", r.notes}}
             .dump(2) +
         "\n";
}

std::string in_csv(const EnsembleResult& r) {
  std::string out = "# Bands of the season " + std::to_string(r.band_season) + ": quantiles by day over " + std::to_string(r.samples) +
                    " ways that feed, soil and plant may be.\n# nni: plant nitrogen over critical nitrogen. mineral_kg_n_ha: in the soil, "
                    "ammonium and nitrate.\nplanting,series,date,q05,q25,q50,q75,q95\n";
  for (const PlantingSureness& p : r.plantings) {
    const std::string name = input::csv_cell(p.name);
    for (const Band& b : p.bands)
      for (std::size_t d = 0; d < b.at[0].size(); ++d) {
        out += name + ',' + b.name + ',' + to_iso(r.band_first + std::chrono::days{static_cast<long>(d)});
        for (const auto& q : b.at) out += ',' + three_digits(q[d]);
        out += '\n';
      }
  }
  return out;
}

}  // namespace leafhunger
