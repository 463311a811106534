#include "season_answers.hpp"

#include <algorithm>
#include <cmath>

#include "lines.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using lines::fixed;

constexpr int k_moved_enough_d = 3;  // a limit that moves the date by less explains nothing

std::string reason_words(const ColumnResult& c) {
  if (!c.fed) return "it was fed nothing";
  if (c.reasons.empty()) return "";
  const Reason& first = c.reasons.front();
  return first.moved_d >= k_moved_enough_d ? first.words : "all of it was used up";
}

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

}  // namespace

std::string day_words(const SeasonResult& r, std::size_t index) {
  return to_words(month_day_of(r.first + std::chrono::days{static_cast<long>(index)}));
}

std::string money(const std::string& currency, double amount) { return currency + fixed(amount, 2); }

std::string weight(double grams) { return grams >= 1000 ? fixed(grams / 1000, 1) + " kg" : fixed(grams, 0) + " g"; }

std::string words_of_dose(const FeedDay& day, double grams) {
  return weight(grams) + " (" + words_of_scoops(grams, day.handful_g, day.trowel_g) + ")";
}

std::vector<Answer> answers_of(const SeasonResult& r) {
  std::vector<Answer> answers;
  for (const ColumnResult& c : r.columns) {
    if (c.bare) continue;
    answers.push_back(answer_of(r, c));
    answers.back().column = &c;
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

std::vector<std::string> second_feed_words(const SeasonResult& r) {
  std::vector<std::string> out;
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
    const std::string count = words_of_count(f.handfuls, "handful", "handfuls");
    out.push_back(joined(names) + " would be carried by a second feed of " + count + " (" + fixed(f.grams_per_plant, 0) +
                  " g) a plant on " + to_words(month_day_of(f.on)) + ": pick a wet day.");
    left = others;
  }
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
    return text + "The plants took up hardly more than they would have unfed: nothing to buy here.";
  return text + "The plants took up " + fixed(r.gain_g, 0) + " g of nitrogen more than unfed, of " + fixed(r.given_g, 0) +
         " g given: " + money(r.currency, r.cost / r.gain_g) + " a gram gained.";
}

std::string beside_words(const GivenBeside& b) {
  return "With it came " + weight(b.phosphorus_g) + " of phosphorus, " + weight(b.potassium_g) + " of potassium and " +
         weight(b.organic_matter_g) + " of organic matter.";
}

}  // namespace leafhunger
