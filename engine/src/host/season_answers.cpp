#include "season_answers.hpp"

#include <algorithm>
#include <cmath>

#include "dose_words.hpp"
#include "feed_window.hpp"
#include "leafhunger/lasts.hpp"
#include "lines.hpp"
#include "perturbed.hpp"
#include "season_words.hpp"
#include "words.hpp"
#include "years.hpp"

namespace leafhunger {
namespace {

using lines::fixed;

constexpr int k_moved_enough_d = 3;      // a limit that moves the date by less explains nothing
constexpr double k_thirst_shows = 0.75;  // of the growth of a watered one: below it thirst is worth a word (our own guess)

bool given_by(const ColumnResult& c, std::size_t day) {
  const Series* given = c.find("given_kg_n_ha");
  return !given || given->values[day] > 0;
}

// Days on which it was given anything.
int times_given(const ColumnResult& c) {
  const Series* given = c.find("given_kg_n_ha");
  int times = 0;
  double before = 0;
  if (given)
    for (const double so_far : given->values) times += so_far > before, before = so_far;
  return times;
}

// What came of it is less than would have come of nothing.
bool held_back(const ColumnResult& c) { return c.fed && c.gain_g < -k_nothing_to_buy * c.ledger.given * c.area_m2 / 10; }

std::string reason_words(const ColumnResult& c) {
  if (!c.fed) return "it was fed nothing";
  if (!given_by(c, *c.verdict.first_short)) return "nothing had been given by then";
  if (held_back(c)) return "what it was fed held more nitrogen back than it gave";
  if (c.reasons.empty()) return "";
  const Reason& first = c.reasons.front();
  return first.moved_d >= k_moved_enough_d ? first.words : "all of it was used up";
}

// What would settle "water, not feed, is the limit".
std::string settled_by_water(const SeasonResult& r, const ColumnResult& c) {
  const auto dry = std::count(c.states.begin(), c.states.begin() + static_cast<std::ptrdiff_t>(r.carry_to + 1), DayState::dry);
  return "dry on " + input::counted(dry, "day", "days") + ": soak one plant every week for a month; if it grows away, water it was";
}

// What would settle "never woke: too cold".
std::string settled_by_warmth(const ColumnResult& c) {
  if (!c.wakes_above_c) return "a thermometer among its leaves, or a first new leaf, settles it";
  return "its warmest week came to " + fixed(c.warmest_week_c, 1) + " degrees, it wakes above " + fixed(*c.wakes_above_c, 0) +
         ": a thermometer beside it, or a first new leaf, settles it";
}

Answer open_answer(const SeasonResult& r, const ColumnResult& c) {
  const Perturbed& p = deciding(c.perturbed);
  std::size_t early = r.days;
  for (const Verdict* v : {&p.low, &p.high, &c.verdict}) early = std::min(early, v->first_short.value_or(r.days));
  const std::string reckoned = c.verdict.outcome == Outcome::ran_short ? "short from " + day_words(r, *c.verdict.first_short) : "it lasts";
  return {"open", "too uncertain to say: short from " + day_words(r, early) + " or not at all; as reckoned, " + reckoned,
          "measure first " + to_measure(p.what), 0, early};
}

// When it would have run short unfed, beside a run that did.
std::string unfed_words(const ColumnResult& c) {
  if (kept(c.unfed)) return "; unfed, not at all";
  if (c.unfed.outcome != Outcome::ran_short) return "";
  const int gained = static_cast<int>(*c.verdict.first_short) - static_cast<int>(*c.unfed.first_short);
  if (gained == 0) return "; unfed, no sooner";
  return "; unfed, " + input::counted(std::abs(gained), "day", "days") + (gained > 0 ? " sooner" : " later");
}

// Feed does not show it, and a plant that water held small wants less: said wherever feed is what the answer is about.
std::string thirst_words(const ColumnResult& c) {
  const Verdict& v = c.verdict;
  const bool about_feed = v.outcome == Outcome::ran_short || v.outcome == Outcome::just_carried || v.outcome == Outcome::carried;
  if (!c.fed || c.too_uncertain || !about_feed || v.water_frac >= k_thirst_shows) return "";
  return "thirst held it to " + fixed(100 * v.water_frac, 0) + " % of its growth";
}

Answer answer_of(const SeasonResult& r, const ColumnResult& c) {
  const Verdict& v = c.verdict;
  if (c.too_uncertain) return open_answer(r, c);
  switch (v.outcome) {
    case Outcome::ran_short: {
      std::string why = "short from " + day_words(r, *v.first_short) + ": " + reason_words(c);
      if (c.fed && given_by(c, *v.first_short)) why += unfed_words(c);
      std::string second;
      if (v.falls_behind && *v.falls_behind < *v.first_short) second = "supply falls behind want from " + day_words(r, *v.falls_behind);
      return {"no", why, second, 0, *v.first_short};
    }
    case Outcome::water_limited:
      return {"dry", "water, not feed, is the limit: thirst held it to " + fixed(100 * v.water_frac, 0) + " % of its growth",
              settled_by_water(r, c), 1, 0};
    case Outcome::never_woke:
      return {"cold", "never woke: too cold to grow", settled_by_warmth(c), 1, 1};
    case Outcome::just_carried:
      return {"just", "down to the last week's worth by " + to_words(r.carry_to_day), "", 2, 0};
    case Outcome::carried:
      break;
  }
  if (c.ledger.fixed > c.ledger.taken)
    return {"yes",
            std::string(c.fed ? "keep your feed: " : "fed nothing, rightly: ") +
                "greedy by custom, it makes its own nitrogen with bacteria in its stalks (Osborne et al. 1992)",
            "",
            5,
            0,
            nullptr,
            true,
            c.fed ? c.cost : 0};
  if (!c.fed) return {"yes", "fed nothing, needs nothing", "", 5, 1, nullptr, true};
  if (kept(c.unfed) && c.unfed_kept_years >= nine_in_ten(c.years))
    return {"yes", "would do without feed: keep the " + money(r.currency, c.cost), "", 4, 0, nullptr, true, c.cost};
  if (kept(c.unfed))
    return {"yes",
            "would do without feed this year, but not in " + std::to_string(c.years - c.unfed_kept_years) + " years of " +
                std::to_string(c.years),
            "", 3, 0};
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

}  // namespace

std::string day_words(const SeasonResult& r, std::size_t index) {
  return to_words(month_day_of(r.first + std::chrono::days{static_cast<long>(index)}));
}

std::string money(const std::string& currency, double amount) { return currency + fixed(amount, 2); }

std::string weight(double grams) { return grams >= 1000 ? fixed(grams / 1000, 1) + " kg" : fixed(grams, 0) + " g"; }

std::string words_of_dose(const FeedDay& day, double grams) { return in_scale_and_hand(grams, day.handful_g, day.trowel_g); }

std::vector<Answer> answers_of(const SeasonResult& r) {
  std::vector<Answer> answers;
  for (const ColumnResult& c : r.columns) {
    if (c.bare) continue;
    Answer a = answer_of(r, c);
    a.column = &c;
    if (const std::string thirst = thirst_words(c); !thirst.empty() && !a.leave_alone) a.second += (a.second.empty() ? "" : "; ") + thirst;
    answers.push_back(std::move(a));
  }
  std::stable_sort(answers.begin(), answers.end(),
                   [](const Answer& a, const Answer& b) { return a.rank != b.rank ? a.rank < b.rank : a.day < b.day; });
  return answers;
}

Ledger feed_of(const SeasonResult& r) {
  Ledger sum;
  for (const Ledger& l : r.by_feeding_g) sum += l;
  return sum;
}

std::vector<int> hundred_of(const Ledger& f) {
  return hundred({f.plant + f.reserve + f.litter, f.unfreed, f.mineral, f.leached, f.volatilised + f.denitrified, f.microbes + f.humus});
}

std::string where_it_went(const SeasonResult& r) {
  const auto part = hundred_of(feed_of(r));
  const std::string end = day_words(r, r.days - 1);
  return "Of each 100 g of nitrogen given, by " + end + ": " + std::to_string(part[0]) + " taken up, " + std::to_string(part[1]) +
         " still to come, " + std::to_string(part[2]) + " loose in the soil, " + std::to_string(part[3]) + " washed below the roots, " +
         std::to_string(part[4]) + " lost to the air, " + std::to_string(part[5]) + " in the soil's own life.";
}

std::string leave_alone_words(const SeasonResult& r) {
  double saves = 0;
  for (const Answer& a : answers_of(r)) saves += a.saves;
  return "Leave these alone" + (saves > 0 ? ", and keep " + money(r.currency, saves) : std::string()) + ":";
}

std::string window_days(const FeedWindow& w) {
  const MonthDay from = month_day_of(w.opens), to = month_day_of(w.closes);
  return (from.month == to.month ? std::to_string(from.day) : to_words(from)) + " to " + to_words(to);
}

std::string window_words(const FeedWindow& w, bool litres) {
  static constexpr const char* k_cans[] = {"no can", "a can", "two cans", "three cans", "four cans"};
  const auto cans = static_cast<std::size_t>(w.cans_m2);
  return "the first wet day (" + input::plain(w.wet_day_mm) + " mm or more) of " + window_days(w) + ", else on the last of them with " +
         (cans < std::size(k_cans) ? k_cans[cans] : std::to_string(cans) + " cans") +
         (litres ? " of " + input::plain(k_can_l) + " litres" : "") + " a square metre";
}

std::string window_chance(const FeedWindow& w) {
  const std::string of = " of " + std::to_string(w.years);
  const auto years = [](int k) { return k == 0 ? std::string("no year") : k == 1 ? "1 year" : std::to_string(k) + " years"; };
  return "Rain washes it in by then in " + years(w.washed_in) + of + "; it is washed out in " + years(w.washed_out) + of + ".";
}

std::string window_sentence(const FeedWindow& w, bool litres) {
  return "Reckoned as given on " + to_words(month_day_of(w.planned)) + ": go out on " + window_words(w, litres) + ". " + window_chance(w);
}

std::vector<std::string> window_sentences(const SeasonResult& r) {
  std::vector<std::string> out;
  for (std::size_t i = 0; i < r.windows.size(); ++i) {
    if (std::none_of(r.feed_days.begin(), r.feed_days.end(), [&](const FeedDay& d) { return d.window == i; })) continue;
    out.push_back(window_sentence(r.windows[i], out.empty()));
  }
  return out;
}

std::vector<std::string> mulch_words(const SeasonResult& r) {
  std::vector<std::string> out, beds;
  for (const ColumnResult& first : r.columns) {
    if (!first.mulch || std::find(beds.begin(), beds.end(), first.bed) != beds.end()) continue;
    beds.push_back(first.bed);
    // Columns of a bed hold back at times of their own: the one that held most speaks for it.
    const ColumnResult* most = &first;
    double ground = 0, given = 0, freed = 0;
    std::vector<std::string> what;
    for (const ColumnResult& c : r.columns) {
      if (!c.mulch || c.bed != first.bed) continue;
      if (c.mulch->held_g_m2 > most->mulch->held_g_m2) most = &c;
      ground += c.area_m2, given += c.mulch->given_g_m2 * c.area_m2, freed += c.mulch->freed_g_m2 * c.area_m2;
      for (const FeedDay& d : r.feed_days)
        if (std::find(c.mulch->feedings.begin(), c.mulch->feedings.end(), d.feeding) != c.mulch->feedings.end() &&
            std::find(what.begin(), what.end(), d.what) == what.end())
          what.push_back(d.what);
    }
    const MulchAccount& m = *most->mulch;
    std::string text = "The mulch on " + first.bed + " (" + joined(what) + "): ";
    if (m.held_g_m2 <= 0)
      text += "it held nothing back; ";
    else
      text += "it held back up to " + fixed(m.held_g_m2, 1) + " g of nitrogen a square metre, most on " + day_words(r, m.held_most) +
              (m.given_back ? ", until " + day_words(r, *m.given_back) + "; " : ", and has not given all of it back; ");
    out.push_back(text + "by " + day_words(r, r.days - 1) + " it had given " + fixed(std::max(0.0, freed / ground), 1) + " of its " +
                  fixed(given / ground, 1) + " g a square metre.");
  }
  return out;
}

std::string in_words(const Check& c) { return c.look + " " + c.if_less + " " + c.if_more; }

std::vector<std::string> second_feed_words(const SeasonResult& r) {
  std::vector<std::string> out;
  std::vector<const ColumnResult*> left;
  std::vector<std::string> past_help;
  for (const ColumnResult& c : r.columns) {
    if (c.second_feed) left.push_back(&c);
    if (c.second_feed_tried && !c.second_feed && !c.too_uncertain) past_help.push_back(c.name);
  }
  bool litres = window_sentences(r).empty();  // else those have said it
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
    const std::string count = words_of_count(f.handfuls, "handful", "handfuls");
    const bool fed_often = std::any_of(r.columns.begin(), r.columns.end(), [&](const ColumnResult& c) {
      return times_given(c) > 1 && std::find(names.begin(), names.end(), c.name) != names.end();
    });
    out.push_back(joined(names) + " would be carried by " + (fed_often ? "one more" : "a second") + " feed of " + count + " (" +
                  fixed(f.grams_per_plant, 0) + " g) a plant on " +
                  (f.window ? window_words(r.windows[*f.window], litres) : to_words(month_day_of(f.on))) + ".");
    litres = litres && !f.window;
    left = others;
  }
  if (!past_help.empty()) out.push_back("For " + joined(past_help) + " no one feed more would be enough that is not too much.");
  return out;
}

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
    text += "The plants took up hardly more than they would have unfed: nothing to buy here.";
  else
    text += "The plants took up " + fixed(r.gain_g, 0) + " g of nitrogen more than unfed, of " + fixed(r.given_g, 0) +
            " g given: " + money(r.currency, r.cost / r.gain_g) + " a gram gained.";
  for (const ColumnResult& c : r.columns)  // a sum would hide it
    if (!c.bare && held_back(c)) text += " " + c.name + " took up " + fixed(-c.gain_g, 0) + " g less than unfed.";
  return text;
}

std::string beside_words(const GivenBeside& b) {
  return "With it came " + weight(b.phosphorus_g) + " of phosphorus, " + weight(b.potassium_g) + " of potassium and " +
         weight(b.organic_matter_g) + " of organic matter.";
}

}  // namespace leafhunger
