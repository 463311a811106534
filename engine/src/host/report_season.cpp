// A season in words: the answer first, then why, then where the nitrogen went, what it cost, what to beware of.
#include <algorithm>
#include <cmath>

#include "checks.hpp"
#include "leafhunger/report.hpp"
#include "lines.hpp"
#include "season_answers.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using lines::fixed;
using lines::padded;
using lines::right;
using lines::wrapped;

constexpr double k_g_m2_per_kg_ha = 0.1;
constexpr std::size_t k_cautions_at_first = 3;

std::string first_sentence(const std::string& text) {
  std::size_t end = text.find(". ");
  if (end != std::string::npos && end < 40) end = text.find(". ", end + 1);
  return end == std::string::npos ? text : text.substr(0, end + 1);
}

// "2. 15 April, to Fan palm": enough to tell one feeding from another.
std::string short_name(std::size_t i, const std::string& words) {
  const std::size_t colon = words.find(':'), over = words.rfind(" over "), to = words.rfind(" to ");
  const std::size_t place = over != std::string::npos ? over + 6 : to != std::string::npos ? to + 4 : words.size();
  std::string where = words.substr(std::min(place, words.size()));
  where = where.substr(0, where.find(','));
  return std::to_string(i + 1) + ". " + words.substr(0, colon) + (where.empty() ? "" : ", " + where);
}

// Where each feeding's nitrogen went, and what each planting's cost: the ledger figure by labels, money by gain.
std::string feed_tables(const SeasonResult& r) {
  std::string out;
  if (r.given_g <= 0) return out;
  out += "\n" + wrapped("  ", "Where each feeding went, of 100 g of its nitrogen, by " + day_words(r, r.days - 1), 2);
  out += "    " + padded("feeding", 26) + right("given g", 8) + right("taken", 7) + right("to come", 9) + right("loose", 7) +
         right("washed", 8) + right("air", 5) + right("life", 6) + "\n";
  for (std::size_t i = 0; i < r.by_feeding_g.size(); ++i) {
    double given = 0;
    for (const ColumnResult& c : r.columns)
      for (const auto& s : c.sources)
        if (s.feeding == i) given += s.given_kg_n_ha * c.area_m2 * k_g_m2_per_kg_ha;
    if (given <= 0) continue;
    const auto part = hundred_of(r.by_feeding_g[i]);
    out += "    " + padded(input::shown(short_name(i, r.feed_words[i]), 22), 26) + right(fixed(given, 0), 8) +
           right(std::to_string(part[0]), 7) + right(std::to_string(part[1]), 9) + right(std::to_string(part[2]), 7) +
           right(std::to_string(part[3]), 8) + right(std::to_string(part[4]), 5) + right(std::to_string(part[5]), 6) + "\n";
  }
  out +=
      "\n" + wrapped("  ",
                     "What it bought: uptake with the feed less uptake without, which is not the same as the feed's own grams above, since "
                     "feeding spares or stirs other nitrogen. Full: growing days on which the plant's store was full.",
                     2);
  out += "    " + padded("planting", 24) + right("cost", 9) + right("gain g", 8) + right("a gram", 9) + right("full", 7) + "\n";
  for (const ColumnResult& c : r.columns) {
    if (c.bare) continue;
    const bool worth = c.gain_g > k_nothing_to_buy * c.ledger.given * c.area_m2 * k_g_m2_per_kg_ha && c.cost > 0;
    out += "    " + padded(input::shown(c.name, 20), 24) + right(c.fed ? money(r.currency, c.cost) : "-", 9) +
           right(c.fed ? fixed(c.gain_g, 1) : "-", 8) + right(worth ? money(r.currency, c.cost / c.gain_g) : "-", 9) +
           right(std::to_string(c.days_full), 7) + "\n";
  }
  return out;
}

std::string how_it_was_worked_out(const SeasonResult& r) {
  std::string out = "\nHow it was worked out\n\n";
  out += wrapped("  ",
                 std::string(k_short_means) +
                     " Growth is of a plant with all the nitrogen it wants (% fed), and of one with all the water too "
                     "(% wet). g/m2 are of the ground that a planting feeds from.",
                 2);
  out += "\n  " + padded("planting", 22) + right("ground", 7) + right("index", 7) + right("lowest", 7) + right("short", 6) +
         right("growth", 7) + right("growth", 7) + right("taken", 7) + right("washed", 8) + "\n";
  out += "  " + padded("", 22) + right("m2", 7) + right("then", 7) + right("", 7) + right("days", 6) + right("% fed", 7) +
         right("% wet", 7) + right("g/m2", 7) + right("g/m2", 8) + "\n";
  for (const ColumnResult& c : r.columns) {
    const Verdict& v = c.verdict;
    out += "  " + padded(input::shown(c.name, 19), 22) + right(fixed(c.area_m2, 1), 7);
    out += c.bare ? right("", 34)
                  : right(fixed(v.nni_at_date, 2), 7) + right(fixed(v.lowest_nni, 2), 7) + right(std::to_string(v.days_short), 6) +
                        right(fixed(100 * v.growth_frac, 0), 7) + right(fixed(100 * v.growth_frac * v.water_frac, 0), 7);
    out += right(fixed(c.ledger.taken * k_g_m2_per_kg_ha, 1), 7) + right(fixed(c.ledger.leached * k_g_m2_per_kg_ha, 1), 8) + "\n";
  }
  out += feed_tables(r);
  for (const ColumnResult& c : r.columns) {
    if (c.reasons.empty()) continue;
    out += "\n" + wrapped("  ", c.name + ": with one limit taken away, short from", 2);
    for (const Reason& reason : c.reasons) {
      const auto& s = reason.verdict.first_short;
      out += "    " + padded(reason.words, 50) + (s ? day_words(r, *s) : "never") + "\n";
    }
  }
  const Ledger& l = r.total_g;
  out += "\n  Nitrogen of the whole garden, g, from " + day_words(r, 0) + " to " + day_words(r, r.days - 1) + "\n";
  const std::pair<const char*, double> in[] = {{"given", l.given},
                                               {"freed by the soil's own organic matter (mineralised)", l.from_soil},
                                               {"in the soil at the start", l.start_mineral},
                                               {"in the plants at the start", l.start_plant},
                                               {"fixed from the air", l.fixed}};
  const std::pair<const char*, double> there[] = {{"in the plants", l.plant},
                                                  {"in their reserves", l.reserve},
                                                  {"in fallen leaves", l.litter},
                                                  {"loose in the soil (nitrate, ammonium)", l.mineral},
                                                  {"still in the feed", l.unfreed},
                                                  {"in microbes (immobilised)", l.microbes},
                                                  {"in humus", l.humus},
                                                  {"washed below the roots (leached)", l.leached},
                                                  {"lost as ammonia (volatilised)", l.volatilised},
                                                  {"lost as other gas (denitrified)", l.denitrified}};
  for (const auto& [words, g] : in) out += "    in   " + padded(words, 54) + right(fixed(g, 2), 10) + "\n";
  for (const auto& [words, g] : there) out += "    out  " + padded(words, 54) + right(fixed(g, 2), 10) + "\n";
  char residual[32];
  std::snprintf(residual, sizeof residual, "%.0e", std::abs(l.in() - l.out()) / l.in());
  out += "    not accounted for: " + std::string(l.in() == l.out() ? "nothing" : residual + std::string(" of what came in")) + "\n";
  out += "\n  Drained below the roots, mean of the garden\n";
  out += "    " + padded("month", 12) + right("mm", 8) + right("g N/m2", 10) + right("mg N/L", 10) + right("mg NO3/L", 10) + "\n";
  for (const DrainageMonth& m : r.drainage)
    out += "    " + padded(to_iso(m.first).substr(0, 7), 12) + right(fixed(m.drained_mm, 0), 8) +
           right(fixed(m.leached_kg_n_ha * k_g_m2_per_kg_ha, 2), 10) + right(m.drained_mm > 0 ? fixed(m.mg_n_per_l(), 1) : "-", 10) +
           right(m.drained_mm > 0 ? fixed(m.mg_no3_per_l(), 0) : "-", 10) + "\n";
  out += "\n";
  for (const std::string& note : r.notes) out += wrapped("  - ", note, 4);
  return out;
}

}  // namespace

std::string in_words(const SeasonResult& r, bool more) {
  std::string out = lines::headed(
      r.garden + ", " + std::to_string(r.season) + ". Does the feed last until " + to_words(r.carry_to_day) + "?", r.note, r.weather_note);
  for (const std::string& f : r.feed_words) out += wrapped("  ", f, 4);
  if (r.feed_words.empty()) out += "  Nothing is fed.\n";
  if (!r.against_plan.empty()) out += "  So the diary says, and for the days after it the plan:\n";
  for (const std::string& line : r.against_plan) out += wrapped("    ", line, 6);
  for (const auto& said : {window_sentences(r), preparations(r)})
    for (const std::string& line : said) out += wrapped("  ", line, 2);
  out += "\n";

  const auto answers = answers_of(r);
  std::size_t name_width = 8;
  for (const Answer& a : answers) name_width = std::max(name_width, std::min<std::size_t>(24, lines::width(a.column->name)));
  bool alone = false;
  for (const Answer& a : answers) {
    if (a.leave_alone && !alone) out += (&a == &answers.front() ? "  " : "\n  ") + leave_alone_words(r) + "\n", alone = true;
    const std::string head = "  " + padded(input::shown(a.column->name, 24), name_width) + "  " + padded(a.word, 5);
    out += wrapped(head, a.why, lines::width(head));
    if (!a.second.empty()) out += wrapped(std::string(lines::width(head), ' '), a.second, lines::width(head));
  }
  out += "\n";
  for (const std::string& advice : second_feed_words(r)) out += wrapped("  ", advice, 2);
  for (const std::string& line : mulch_words(r)) out += wrapped("  ", line, 2);
  if (r.given_g > 0) {
    out += wrapped("  ", where_it_went(r), 2);
    out += wrapped("  ", beside_words(r.beside), 2);
    out += wrapped("  ", cost_words(r), 2);
  }
  if (!r.checks.empty()) {
    out += "\n  What to look at:\n";
    for (const Check& c : r.checks) out += wrapped("  ? ", in_words(c), 4);
  }
  if (!r.cautions.empty()) {
    out += "\n";
    for (std::size_t i = 0; i < r.cautions.size(); ++i) {
      if (!more && i == k_cautions_at_first) {
        out +=
            wrapped("  ", "And " + input::counted(static_cast<long>(r.cautions.size() - i), "caution", "cautions") + " more: --more.", 2);
        break;
      }
      out += wrapped("  ! ", more ? r.cautions[i].words : first_sentence(r.cautions[i].words), 4);
    }
  }
  out += more ? how_it_was_worked_out(r) : "\n  How this was worked out: --more\n";
  return out;
}

}  // namespace leafhunger
