// A season in words: the answer first, then why, then where the nitrogen went, what it cost, what to beware of.
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

constexpr double k_g_m2_per_kg_ha = 0.1;
constexpr int k_moved_enough_d = 3;        // a limit that moves the date by less explains nothing
constexpr double k_nothing_to_buy = 0.05;  // gain under this share of what was given
constexpr std::size_t k_cautions_at_first = 3;

std::string day_words(const SeasonResult& r, std::size_t index) {
  return to_words(month_day_of(r.first + std::chrono::days{static_cast<long>(index)}));
}

std::string money(const std::string& currency, double amount) { return currency + fixed(amount, 2); }

struct Answer {
  std::string word, why, second;
  int rank;  // worst first
  std::size_t day;
};

std::string reason_words(const ColumnResult& c) {
  if (!c.fed) return "it was fed nothing";
  if (c.reasons.empty()) return "";
  const Reason& first = c.reasons.front();
  return first.moved_d >= k_moved_enough_d ? first.words : "all of it was used up";
}

// Answer and reason for one planting, with no index and no unit that is not on the bag.
Answer answer_of(const SeasonResult& r, const ColumnResult& c) {
  const Verdict& v = c.verdict;
  switch (v.outcome) {
    case Outcome::ran_short: {
      std::string why = "short from " + day_words(r, *v.first_short) + ": " + reason_words(c);
      if (c.fed && c.unfed.outcome == Outcome::ran_short) {
        const int gained = static_cast<int>(*v.first_short) - static_cast<int>(*c.unfed.first_short);
        why += gained > 0 ? "; unfed, " + std::to_string(gained) + " days sooner" : "; unfed, no sooner";
      }
      std::string second;
      if (v.falls_behind && *v.falls_behind < *v.first_short) second = "supply falls behind want from " + day_words(r, *v.falls_behind);
      return {"no", why, second, 0, *v.first_short};
    }
    case Outcome::water_limited:
      return {"dry", "water, not feed, is the limit: it made " + fixed(100 * v.water_frac, 0) + " % of the growth that water allows", "", 1,
              0};
    case Outcome::never_woke:
      return {"cold", "never woke: too cold to grow", "", 1, 1};
    case Outcome::just_carried:
      return {"just", "down to the last week's worth by " + to_words(r.carry_to_day), "", 2, 0};
    case Outcome::carried:
      break;
  }
  if (c.ledger.fixed > c.ledger.taken)
    return {"yes",
            std::string(c.fed ? "keep your feed: " : "fed nothing, rightly: ") +
                "greedy by custom, it makes its own nitrogen with bacteria in its stalks (Osborne et al. 1992)",
            "", 5, 0};
  if (!c.fed) return {"yes", "fed nothing, needs nothing", "", 5, 1};
  if (c.unfed.outcome == Outcome::carried || c.unfed.outcome == Outcome::just_carried)
    return {"yes", "and would without feed: keep the " + money(r.currency, c.cost), "", 4, 0};
  return {"yes", c.unfed.first_short ? "unfed, it would run short from " + day_words(r, *c.unfed.first_short) : "", "", 3, 0};
}

// Whole numbers that add up to 100: the largest remainders are rounded up.
std::vector<int> hundred(const std::vector<double>& parts) {
  double sum = 0;
  for (const double p : parts) sum += p;
  std::vector<int> whole(parts.size(), 0);
  if (sum <= 0) return whole;
  std::vector<std::pair<double, std::size_t>> rest;
  int left = 100;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const double exact = 100 * parts[i] / sum;
    whole[i] = static_cast<int>(exact);
    left -= whole[i];
    rest.emplace_back(exact - whole[i], i);
  }
  std::sort(rest.begin(), rest.end(),
            [](const auto& a, const auto& b) { return a.first != b.first ? a.first > b.first : a.second < b.second; });
  for (int k = 0; k < left; ++k) ++whole[rest[static_cast<std::size_t>(k) % rest.size()].second];
  return whole;
}

// Where what was given is at the season's end, g N of the whole garden.
Ledger feed_in_garden(const SeasonResult& r) {
  Ledger sum;
  for (const ColumnResult& c : r.columns)
    for (const auto& s : c.sources)
      if (s.name.rfind("feeding", 0) == 0) sum += s.where.scaled(c.area_m2 * k_g_m2_per_kg_ha);
  return sum;
}

// In plants, still in the feed, loose, washed, to the air, in the soil's life: whole numbers of 100.
std::vector<int> hundred_of(const Ledger& f) {
  return hundred({f.plant + f.reserve + f.litter, f.unfreed, f.mineral, f.leached, f.volatilised + f.denitrified, f.microbes + f.humus});
}

std::string where_it_went(const SeasonResult& r) {
  const auto part = hundred_of(feed_in_garden(r));
  const std::string end = day_words(r, r.days - 1);
  return "Of each 100 g of nitrogen given, by " + end + ": " + std::to_string(part[0]) + " taken up, " + std::to_string(part[1]) +
         " still to come, " + std::to_string(part[2]) + " loose in the soil, " + std::to_string(part[3]) + " washed below the roots, " +
         std::to_string(part[4]) + " lost to the air, " + std::to_string(part[5]) + " in the soil's own life.";
}

// What a second feed would do, plantings with the same answer together.
std::string second_feed_words(const SeasonResult& r) {
  std::string out;
  std::vector<const ColumnResult*> left;
  for (const ColumnResult& c : r.columns)
    if (c.second_feed) left.push_back(&c);
  while (!left.empty()) {
    const SecondFeed& f = *left.front()->second_feed;
    std::vector<std::string> names;
    std::vector<const ColumnResult*> others;
    for (const ColumnResult* c : left) {
      const SecondFeed& g = *c->second_feed;
      const bool same = g.on == f.on && g.handfuls == f.handfuls && g.material_title == f.material_title;
      if (same) {
        names.push_back(c->name);
      } else {
        others.push_back(c);
      }
    }
    const std::string count = f.handfuls == 0.5   ? "half a handful"
                              : f.handfuls == 1   ? "1 handful"
                              : f.handfuls == 1.5 ? "1 and a half handfuls"
                                                  : input::plain(f.handfuls) + " handfuls";
    out += wrapped("  ",
                   joined(names) + " would be carried by a second feed of " + count + " (" + fixed(f.grams_per_plant, 0) +
                       " g) a plant on " + to_words(month_day_of(f.on)) + ": pick a wet day.",
                   2);
    left = others;
  }
  return out;
}

std::string weight(double grams) { return grams >= 1000 ? fixed(grams / 1000, 1) + " kg" : fixed(grams, 0) + " g"; }

std::string cost_words(const SeasonResult& r) {
  double kg = 0;
  std::string buy;
  for (const Carried& c : r.carried) {
    kg += c.kg;
    if (c.bags > 0)
      buy += (buy.empty() ? " (to buy: " : ", ") + input::counted(c.bags, "bag", "bags") + " of " + input::plain(c.bag_kg) + " kg" +
             (r.carried.size() > 1 ? " " + lower_first(c.title) : "");
  }
  std::string text = "It cost " + money(r.currency, r.cost) + " and " + input::counted(r.trips, "trip", "trips") + " with " +
                     weight(1000 * kg) + " to carry" + (buy.empty() ? "" : buy + ")") + ". ";
  if (r.gain_g < k_nothing_to_buy * r.given_g)
    return text + "The plants took up hardly more than they would have unfed: nothing to buy here.";
  return text + "The plants took up " + fixed(r.gain_g, 0) + " g of nitrogen more than unfed, of " + fixed(r.given_g, 0) +
         " g given: " + money(r.currency, r.cost / r.gain_g) + " a gram gained.";
}

std::string beside_words(const GivenBeside& b) {
  return "With it came " + weight(b.phosphorus_g) + " of phosphorus, " + weight(b.potassium_g) + " of potassium and " +
         weight(b.organic_matter_g) + " of organic matter.";
}

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
                 "Short means: the nitrogen in the plant sank below 0.90 of the critical nitrogen for its size (nitrogen nutrition index) "
                 "on 5 growing "
                 "days running. g/m2 are of the ground that a planting feeds from.",
                 2);
  out += "\n  " + padded("planting", 24) + right("ground", 8) + right("index", 7) + right("lowest", 8) + right("short", 7) +
         right("growth", 8) + right("taken", 8) + right("washed", 8) + "\n";
  out += "  " + padded("", 24) + right("m2", 8) + right("then", 7) + right("", 8) + right("days", 7) + right("%", 8) + right("g/m2", 8) +
         right("g/m2", 8) + "\n";
  for (const ColumnResult& c : r.columns) {
    out += "  " + padded(input::shown(c.name, 21), 24) + right(fixed(c.area_m2, 1), 8);
    out += c.bare ? right("", 30)
                  : right(fixed(c.verdict.nni_at_date, 2), 7) + right(fixed(c.verdict.lowest_nni, 2), 8) +
                        right(std::to_string(c.verdict.days_short), 7) + right(fixed(100 * c.verdict.growth_frac, 0), 8);
    out += right(fixed(c.ledger.taken * k_g_m2_per_kg_ha, 1), 8) + right(fixed(c.ledger.leached * k_g_m2_per_kg_ha, 1), 8) + "\n";
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
  std::string out =
      wrapped("", r.garden + ", " + std::to_string(r.season) + ". Does the feed last until " + to_words(r.carry_to_day) + "?", 0);
  for (const std::string& said : {r.note, r.weather_note})
    if (!said.empty()) out += wrapped("", said, 0);
  out += "\n";
  for (const std::string& f : r.feed_words) out += wrapped("  ", f, 4);
  if (r.feed_words.empty()) out += "  Nothing is fed.\n";
  out += "\n";

  std::vector<std::pair<Answer, const ColumnResult*>> answers;
  std::size_t name_width = 8;
  for (const ColumnResult& c : r.columns) {
    if (c.bare) continue;
    answers.emplace_back(answer_of(r, c), &c);
    name_width = std::max(name_width, std::min<std::size_t>(24, lines::width(c.name)));
  }
  std::stable_sort(answers.begin(), answers.end(), [](const auto& a, const auto& b) {
    return a.first.rank != b.first.rank ? a.first.rank < b.first.rank : a.first.day < b.first.day;
  });
  for (const auto& [a, c] : answers) {
    const std::string head = "  " + padded(input::shown(c->name, 24), name_width) + "  " + padded(a.word, 5);
    out += wrapped(head, a.why, lines::width(head));
    if (!a.second.empty()) out += wrapped(std::string(lines::width(head), ' '), a.second, lines::width(head));
  }
  out += "\n" + second_feed_words(r);
  if (r.given_g > 0) {
    out += wrapped("  ", where_it_went(r), 2);
    out += wrapped("  ", beside_words(r.beside), 2);
    out += wrapped("  ", cost_words(r), 2);
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
