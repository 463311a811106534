#include "leafhunger/enough.hpp"

#include <algorithm>
#include <cmath>

#include "finished.hpp"
#include "leafhunger/error.hpp"
#include "season_words.hpp"
#include "words.hpp"
#include "years.hpp"

namespace leafhunger {
namespace {

constexpr double k_scorch_g_m2 = 5;  // soluble N in one dose; equations.md 13.16
constexpr double k_kg_ha_per_g_m2 = 10;
constexpr std::size_t k_spring = 92;  // days from the season's start to 1 February, in the south to 1 August
constexpr double k_most = 4, k_step = 0.5, k_fine = 1.0 / 16;

// Which limit held it back, when even the biggest dose does not do. Order breaks ties.
struct Limit {
  Without without;
  const char* key;
};
constexpr Limit k_limits[] = {{Without::cold, "warmth"},     {Without::drought, "water"},    {Without::distance, "distance"},
                              {Without::waiting, "waiting"}, {Without::leaching, "washing"}, {Without::gas, "air"}};

struct Halted {};  // thrown and caught in here

void check(const EnoughQuestion& q) {
  for (const double m : q.multiples)
    if (!(m > 0 && m <= 100))
      throw InputError({"", "multiples", input::plain(m), "above 0 and at most 100 times the spring dose", "such as 0.5,1,1.5,2,3"});
}

std::size_t day_of(MonthDay day, Date first, std::size_t days) {
  Feeding f;
  f.on = day;
  const auto at = feeding_days(f, first, days);
  return at.empty() ? days - 1 : at.front();
}

std::optional<std::size_t> spring_day(const std::vector<Dose>& doses) {
  for (const Dose& d : doses)
    if (d.day >= k_spring) return d.day;
  return doses.empty() ? std::nullopt : std::optional(doses.front().day);
}

struct Change {
  double multiple = 1;
  std::optional<MonthDay> on;
};

std::vector<Dose> changed(std::vector<Dose> doses, const Change& c, Date first, std::size_t days) {
  const auto spring = spring_day(doses);
  for (Dose& d : doses) {
    if (d.day != *spring) continue;
    d.kg_n_ha *= c.multiple;
    if (c.on) d.day = day_of(*c.on, first, days);
  }
  std::stable_sort(doses.begin(), doses.end(), [](const Dose& a, const Dose& b) { return a.day < b.day; });
  return doses;
}

// One planting over all years, with its spring dose changed in whatever way.
class Trial {
 public:
  Trial(const Garden::Plan& plan, const ColumnPlan& column, const Years& years, const Control& control)
      : plan_(plan), column_(column), years_(years), control_(control) {
    for (std::size_t y = 0; y < years.seasons.size(); ++y)
      doses_.push_back(doses_of(plan, column, years.first[y], years.days[y].season.size()));
    climates_ = climates_of(plan, column, years);
    for (std::size_t k = 0; k < column.materials.size(); ++k)
      lies_ = lies_ || (column.materials[k].bulky && column.shape.slots[k].forked_mm <= 0);
    for (const Dose& d : doses_.front()) watered_ = watered_ || d.watered_in_mm > 0;
  }

  const std::vector<Dose>& doses(std::size_t y) const { return doses_[y]; }
  std::size_t spring() const { return *spring_day(doses_.back()); }

  /// Verdicts of each change, and mean N washed out, kg/ha.
  struct Answer {
    std::vector<Verdict> verdict;
    double leached_kg_n_ha = 0;
    int kept() const {
      return static_cast<int>(std::count_if(verdict.begin(), verdict.end(), [](const Verdict& v) { return leafhunger::kept(v); }));
    }
  };
  std::vector<Answer> run(const std::vector<Change>& changes, Without without = Without::nothing) const {
    const std::size_t n = years_.seasons.size();
    std::vector<Answer> out;
    // A mulch shields by how much of it lies when, and watering-in wets its own day: then the climate is another one.
    for (std::size_t at = 0; at < changes.size(); ++at) {
      if (control_.stopped()) throw Halted{};
      const Change& c = changes[at];
      const bool anew = (lies_ && (c.multiple != 1 || c.on)) || (watered_ && c.on);
      std::vector<SoilClimate> own;
      std::vector<Member> members;
      if (anew) own.reserve(n);
      for (std::size_t y = 0; y < n; ++y) {
        const auto& days = years_.days[y];
        auto doses = changed(doses_[y], c, years_.first[y], days.season.size());
        if (anew) own.push_back(climate_of(plan_, column_, days, doses));
        members.push_back(member_of(plan_, column_, anew ? own.back() : climates_[y], doses));
        members.back().without = without;
        members.back().without_from = doses.front().day;
      }
      const auto briefs = run_batch(column_.shape, members);
      Answer a;
      for (std::size_t y = 0; y < n; ++y) {
        a.verdict.push_back(judge(briefs[y].plant, years_.until[y]));
        a.leached_kg_n_ha += briefs[y].ledger.leached / static_cast<double>(n);
      }
      out.push_back(std::move(a));
    }
    return out;
  }

 private:
  const Garden::Plan& plan_;
  const ColumnPlan& column_;
  const Years& years_;
  const Control& control_;
  std::vector<std::vector<Dose>> doses_;
  std::vector<SoilClimate> climates_;
  bool lies_ = false, watered_ = false;
};

PlantingEnough enough_of(const Garden::Plan& plan, const ColumnPlan& column, const Years& years, const EnoughQuestion& q,
                         const Control& control) {
  PlantingEnough p;
  p.name = column.name, p.hunger = column.plant->hunger;
  const std::size_t last = years.seasons.size() - 1;
  const auto given = doses_of(plan, column, years.first[last], years.days[last].season.size());
  p.fed = !given.empty();
  if (!p.fed) return p;
  const Trial trial(plan, column, years, control);
  const int wanted = nine_in_ten(static_cast<int>(years.seasons.size()));
  const auto day_words = [&](std::size_t d) { return month_day_of(years.first[last] + std::chrono::days{static_cast<long>(d)}); };
  p.on = day_words(trial.spring());

  double soluble_kg_ha = 0;
  std::vector<std::string> words;
  for (const Dose& d : trial.doses(last)) {
    if (d.day != trial.spring()) continue;
    const Material& m = *column.slot_material[d.slot];
    const double grams = d.kg_n_ha / (m.n_percent / 100) / k_kg_ha_per_g_m2 * column.area_m2 / column.planting->count;
    soluble_kg_ha += d.kg_n_ha * soluble_share(m, release_of(plan, m));
    p.dose_g_per_plant += grams;
    words.push_back(input::plain(std::round(grams)) + " g of " + lower_first(m.title));
  }
  for (std::size_t i = 0; i < words.size(); ++i) p.dose_words += (i == 0 ? "" : " and ") + words[i];
  p.dose_words += " a plant";

  const auto point = [&](const Change& c, const Trial::Answer& a) {
    EnoughPoint e;
    e.multiple = c.multiple, e.on = c.on.value_or(p.on), e.kept = a.kept(), e.leached_g_n_m2 = a.leached_kg_n_ha / k_kg_ha_per_g_m2;
    e.soluble_g_n_m2 = soluble_kg_ha / k_kg_ha_per_g_m2 * c.multiple, e.scorches = e.soluble_g_n_m2 > k_scorch_g_m2;
    return e;
  };
  const auto points = [&](const std::vector<Change>& changes) {
    std::vector<EnoughPoint> out;
    const auto answers = trial.run(changes);
    for (std::size_t i = 0; i < changes.size(); ++i) out.push_back(point(changes[i], answers[i]));
    return out;
  };
  const EnoughPoint as_it_is = points({{}})[0];
  p.kept = as_it_is.kept, p.enough = p.kept >= wanted;

  if (q.find && !p.enough) {
    double below = 0;
    for (double m = k_step; m <= k_most && !p.smallest; m += k_step) {
      const EnoughPoint e = m == 1 ? as_it_is : points({{m, {}}})[0];
      if (e.kept >= wanted) p.smallest = e;
      if (!p.smallest) below = m, p.most = e;
    }
    while (p.smallest && p.smallest->multiple - below > k_fine) {
      const double middle = (below + p.smallest->multiple) / 2;
      const EnoughPoint e = points({{middle, {}}})[0];
      if (e.kept >= wanted) {
        p.smallest = e;
      } else {
        below = middle;
      }
    }
    if (!p.smallest) {
      const auto at_most = trial.run({{k_most, {}}})[0];
      for (const Verdict& v : at_most.verdict)
        p.slept += v.outcome == Outcome::never_woke, p.thirsty += v.outcome == Outcome::water_limited;
      p.kept_without_limit = at_most.kept();
      for (const Limit& l : k_limits) {
        const int kept_so = trial.run({{k_most, {}}}, l.without)[0].kept();
        if (kept_so > p.kept_without_limit) p.kept_without_limit = kept_so, p.limit = l.key;
      }
    }
  }
  std::vector<Change> changes;
  for (const double m : q.multiples) changes.push_back({m, {}});
  p.by_multiple = points(changes);
  changes.clear();
  for (const MonthDay d : q.dates) changes.push_back({1, d});
  p.by_date = points(changes);
  return p;
}

}  // namespace

EnoughResult what_would_do(const Garden& garden, const EnoughQuestion& q, const Control& control) {
  check(q);
  const Garden::Plan& plan = garden.plan();
  const Years years = all_years(plan);
  const auto planted = planted_columns(plan);
  if (std::all_of(planted.begin(), planted.end(), [](const ColumnPlan* c) { return c->given.empty(); }))
    throw InputError({plan.scenario.file, "/feedings", "no feeding of any planting", "at least one, whose dose or date can be changed",
                      "write the dose that you have in mind"});
  EnoughResult out;
  out.garden = plan.scenario.garden, out.note = plan.scenario.note, out.weather_note = plan.scenario.weather.made_up;
  out.carry_to = plan.scenario.question.carry_to, out.seasons = years.seasons, out.asked = q;
  out.years_wanted = nine_in_ten(static_cast<int>(years.seasons.size()));
  out.plantings = finished<PlantingEnough>(planted.size(), control, [&](std::size_t i) -> std::optional<PlantingEnough> {
    try {
      return enough_of(plan, *planted[i], years, q, control);
    } catch (const Halted&) {
      return std::nullopt;
    }
  });
  out.stopped = out.plantings.size() < planted.size();
  out.feed_words = words_of_feedings(plan, years.first.back(), years.days.back().season.size());
  out.notes = notes_of(plan, years.days.front());
  return out;
}

}  // namespace leafhunger
