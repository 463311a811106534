#include "checks.hpp"

#include <algorithm>
#include <cmath>

#include "leafhunger/units.hpp"
#include "lines.hpp"
#include "perturbed.hpp"
#include "season_answers.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using What = Perturbed::What;
using lines::fixed;

constexpr std::size_t k_most = 3, k_fortnight_d = 14;
constexpr int k_moved_enough_d = 7;
constexpr long k_feed_tells_d = 28;       // our own guess: sooner than four weeks after it a fed plant looks like an unfed one
constexpr double k_close_m2 = 0.5;        // our own guess: ground of one plant below which an unfed one shares its neighbours'
constexpr double k_least_of_many_m2 = 3;  // no more than a third is left unfed
// 100 g of moist soil in 100 ml of water: with a fifth of its dry weight as water it is 83.3 g in 116.7 ml (our own figure for a bed in
// June).
constexpr double k_strip_mg_l_per_mg_kg = units::nitrate_from_n(83.3 / 116.7);
constexpr double k_strip_tells_mg_l = 10;  // the first step of a usual strip: common practice, no source

// What to do on `day` where that is the answer.
std::string then(const SeasonResult& r, const Verdict& v, std::size_t day) {
  if (v.outcome != Outcome::ran_short) return "it lasts until " + to_words(r.carry_to_day) + ", so spare the top-up";
  if (*v.first_short <= day) return "it is short by now, so top up at once";
  return "short from " + day_words(r, *v.first_short) + ", so top up before";
}

// Whether it matters on `day` which of the two it is: who would do the same in either case need not look.
bool tells(const SeasonResult& r, const Verdict& one, const Verdict& other, std::size_t day) {
  return then(r, one, day) != then(r, other, day);
}

std::string head(const SeasonResult& r, std::size_t day, const ColumnResult& c) { return day_words(r, day) + ", " + c.name + ": "; }

std::optional<Check> nitrate(const SeasonResult& r, const ColumnResult& c, const Perturbed& p) {
  const double low = p.nitrate_low_mg_kg * k_strip_mg_l_per_mg_kg, high = p.nitrate_high_mg_kg * k_strip_mg_l_per_mg_kg;
  if (high < k_strip_tells_mg_l || high < 1.2 * low) return std::nullopt;
  const std::size_t day = p.nitrate_day;
  if (!tells(r, p.low, p.high, day)) return std::nullopt;
  const double between = std::max(5.0, 5 * std::round(std::sqrt(std::max(low, 1.0) * high) / 5));
  Check out{"nitrate", c.name, r.first + std::chrono::days{static_cast<long>(day)}, p.moves_d, "", "", "", ""};
  out.look = head(r, day, c) + "shake 100 g of soil from the top 30 cm in 100 ml of water, let it settle, dip a nitrate strip.";
  out.if_less = "Under " + fixed(between, 0) + " mg a litre: " + then(r, p.low, day) + ".";
  out.if_more = "Over: " + then(r, p.high, day) + ".";
  return out;
}

std::optional<Check> thermometer(const SeasonResult& r, const ColumnResult& c, const Perturbed& p) {
  const Series* soil = c.find("soil_c");
  if (!c.verdict.wakes || !soil) return std::nullopt;
  std::size_t fed = r.carry_to;
  for (const FeedDay& d : r.feed_days)
    if (reaches(d, c)) fed = std::min(fed, static_cast<std::size_t>((d.on - r.first).count()));
  const std::size_t from = std::max(fed, *c.verdict.wakes), day = from + k_fortnight_d;
  if (day > r.carry_to || !tells(r, p.low, p.high, day)) return std::nullopt;
  double mean = 0;
  for (std::size_t d = from; d < day; ++d)
    mean += soil->values[d * soil->layers + std::min<std::size_t>(1, soil->layers - 1)] / static_cast<double>(k_fortnight_d);
  Check out{"thermometer", c.name, r.first + std::chrono::days{static_cast<long>(from)}, p.moves_d, "", "", "", ""};
  out.look =
      head(r, from, c) + "a thermometer 10 cm deep for a fortnight, morning and evening; reckoned are " + fixed(mean, 0) + " degrees.";
  out.if_less = "Below " + fixed(mean - k_warmth_off_c, 0) + ": " + then(r, p.low, day) + ".";
  out.if_more = "Above " + fixed(mean + k_warmth_off_c, 0) + ": " + then(r, p.high, day) + ".";
  return out;
}

std::optional<Check> leaf(const SeasonResult& r, const ColumnResult& c, const Perturbed& p) {
  // The day on which the hungrier plant would show it, after its run of short days.
  if (!p.high.first_short || *p.high.first_short > r.carry_to) return std::nullopt;
  const std::size_t day = std::min(*p.high.first_short + static_cast<std::size_t>(VerdictRules{}.short_days), r.carry_to);
  if (!tells(r, p.low, p.high, day)) return std::nullopt;
  Check out{"leaf", c.name, r.first + std::chrono::days{static_cast<long>(day)}, p.moves_d, "", "", "", ""};
  out.look = head(r, day, c) + "hold the newest full leaf beside an older one.";
  out.if_less = "Paler or smaller: it wants more than reckoned, so top up now.";
  out.if_more = "As dark and bigger: " + then(r, p.low, day) + ".";
  return out;
}

// The first feed that reaches it this season.
const FeedDay* first_feed(const SeasonResult& r, const ColumnResult& c) {
  for (const FeedDay& d : r.feed_days)
    if (reaches(d, c)) return &d;
  return nullptr;
}

std::optional<Check> unfed_plant(const SeasonResult& r, const ColumnResult& c, const Perturbed& p) {
  // When the unfed one shows it, after its run of short days; by then the others must have had the good of their feed.
  const std::size_t day =
      std::min(c.unfed.first_short.value_or(r.carry_to) + static_cast<std::size_t>(VerdictRules{}.short_days), r.carry_to);
  const FeedDay* fed = first_feed(r, c);
  const Date on = r.first + std::chrono::days{static_cast<long>(day)};
  const bool slept = c.verdict.outcome == Outcome::water_limited || c.verdict.outcome == Outcome::never_woke;
  if (slept || !fed || fed->on + std::chrono::days{k_feed_tells_d} > on || !tells(r, c.verdict, p.high, day)) return std::nullopt;
  Check out{"unfed-plant", c.name, on, p.moves_d, "", "", "", ""};
  // Where plants stand close, one alone drinks from its neighbours' ground.
  const bool close = c.area_m2 < k_close_m2 * c.count && c.area_m2 >= k_least_of_many_m2;
  const std::string one = close ? "a square metre" : "one of the " + std::to_string(c.count);
  if (c.count == 1) {
    out.look = head(r, day, c) + "if one like it was left unfed, look at them side by side.";
  } else if (fed->done) {
    out.look = head(r, day, c) + "if you left " + one + " unfed, look at it beside the rest.";
  } else {
    out.look = head(r, day, c) + "look at " + (close ? "the square metre" : "the one") + " that you left unfed, beside the rest.";
    out.prepare = c.name + ": leave " + one + " unfed until " + day_words(r, day) + ", to look at beside the rest.";
  }
  out.if_less = "Paler or smaller: the soil gives no more than reckoned, " + then(r, c.verdict, day) + ".";
  out.if_more = "As dark and big: the soil gives more, " + then(r, p.high, day) + ".";
  return out;
}

}  // namespace

bool reaches(const FeedDay& day, const ColumnResult& column) {
  return std::any_of(column.sources.begin(), column.sources.end(), [&](const auto& s) { return s.feeding == day.feeding; });
}

std::vector<std::string> preparations(const SeasonResult& r) {
  std::vector<std::string> out;
  for (const Check& c : r.checks)
    if (!c.prepare.empty()) out.push_back(c.prepare);
  return out;
}

std::vector<std::string> preparations(const SeasonResult& r, const FeedDay& day) {
  std::vector<std::string> out;
  for (const Check& c : r.checks)
    for (const ColumnResult& column : r.columns)
      if (!c.prepare.empty() && column.name == c.planting && reaches(day, column) && day.on < c.on) out.push_back(c.prepare);
  return out;
}

std::vector<Check> checks_of(const SeasonResult& r) {
  std::vector<Check> out;
  for (const What what : {What::feed, What::warmth, What::want, What::soil}) {
    std::optional<Check> best;
    for (const ColumnResult& c : r.columns)
      for (const Perturbed& p : c.perturbed) {
        if (p.what != what || p.moves_d < k_moved_enough_d || (best && p.moves_d <= best->moves_d)) continue;
        std::optional<Check> check = what == What::feed     ? nitrate(r, c, p)
                                     : what == What::warmth ? thermometer(r, c, p)
                                     : what == What::want   ? leaf(r, c, p)
                                                            : unfed_plant(r, c, p);
        if (check) best = std::move(check);
      }
    if (best) out.push_back(*best);
  }
  std::stable_sort(out.begin(), out.end(), [](const Check& a, const Check& b) { return a.moves_d > b.moves_d; });
  if (out.size() > k_most) out.resize(k_most);
  return out;
}

}  // namespace leafhunger
