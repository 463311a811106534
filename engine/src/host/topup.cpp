#include "leafhunger/topup.hpp"

#include <algorithm>

#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"
#include "parallel.hpp"
#include "season_words.hpp"
#include "words.hpp"
#include "years.hpp"

namespace leafhunger {
namespace {

constexpr MonthDay k_spring{4, 15};  // where a planting gets no feeding of its own
constexpr std::size_t k_lanes = 16;
constexpr double k_handfuls[] = {0.5, 1, 1.5, 2, 3, 4};

const Material& material_of(const Garden::Plan& plan, const TopUpQuestion& q) {
  const auto& all = plan.scenario.catalogue.materials;
  const auto it = all.find(q.material);
  if (it != all.end()) return it->second;
  std::vector<std::string> known;
  for (const auto& [id, m] : all) known.push_back(id);
  const std::string near = nearest_name(q.material, known);
  throw InputError({"", "--material", input::in_quotes(q.material), input::one_of(known, 20),
                    near.empty() ? "" : "did you mean " + input::in_quotes(near) + "?"});
}

std::vector<const ColumnPlan*> columns_of(const Garden::Plan& plan, const TopUpQuestion& q) {
  std::vector<const ColumnPlan*> out;
  std::vector<std::string> names;
  for (const ColumnPlan& c : plan.columns) {
    if (!c.planting) continue;
    names.push_back(c.name);
    const bool named = std::find(q.plantings.begin(), q.plantings.end(), c.name) != q.plantings.end();
    if (q.plantings.empty() ? c.plant->hunger == Hunger::greedy : named) out.push_back(&c);
  }
  for (const std::string& wanted : q.plantings) {
    if (std::find(names.begin(), names.end(), wanted) != names.end()) continue;
    const std::string near = nearest_name(wanted, names);
    throw InputError({plan.scenario.file, "--plantings", input::in_quotes(wanted), input::one_of(names),
                      near.empty() ? "" : "did you mean " + input::in_quotes(near) + "?"});
  }
  if (out.empty())
    throw InputError(
        {plan.scenario.file, "--plantings", "no planting of a greedy plant", input::one_of(names), "name the plantings to top up"});
  return out;
}

void check_grid(const TopUpQuestion& q) {
  const auto refuse = [](const char* place, const std::string& found, const char* allowed) {
    throw InputError({"", place, found, allowed, "give one or more such numbers"});
  };
  if (q.intervals_d.empty()) refuse("--intervals", "nothing", "1 to 365 days");
  for (const int d : q.intervals_d)
    if (d < 1 || d > 365) refuse("--intervals", std::to_string(d), "1 to 365 days");
  for (const double g : q.doses_g_per_plant)
    if (!(g > 0 && g <= 1e5)) refuse("--doses", input::plain(g), "more than 0 and at most 100000 g a plant");
}

// Day indices of the top-ups of one season.
std::vector<std::size_t> top_up_days(std::size_t first, int interval_d, std::size_t last) {
  std::vector<std::size_t> days;
  for (std::size_t d = first; d <= last; d += static_cast<std::size_t>(interval_d)) days.push_back(d);
  return days;
}

std::size_t day_index(Date season_start, std::size_t days, MonthDay day) {
  Feeding f;
  f.on = day;
  const auto at = feeding_days(f, season_start, days);
  return at.empty() ? days - 1 : at.front();
}

// One planting's grid: each point of it in each year, and the scenario's own feeding in each year.
struct Search {
  ColumnPlan column;
  PlantingTopUp out;
  std::vector<SoilClimate> climates;
  std::vector<Member> members;  // [year][own feeding, then the grid's points]: neighbours share their weather
  std::vector<char> kept;       // as members
  std::vector<double> leached_kg_ha;
  std::size_t blocks() const { return 1 + out.grid.size(); }
};

// In place, since members point into the column.
void prepare(Search& s, const Garden::Plan& plan, const ColumnPlan& planned, const Years& years, const TopUpQuestion& q,
             const Material& material, const std::vector<double>& doses_g) {
  s.column = planned;
  const ColumnPlan& column = s.column;
  s.climates = climates_of(plan, column, years);
  const double soluble = soluble_share(material, release_of(plan, material));
  PlantingTopUp& out = s.out;
  out.name = column.name, out.count = column.planting->count, out.area_m2 = column.area_m2;

  const std::size_t n = s.climates.size();
  std::vector<std::vector<Dose>> own;
  std::vector<std::size_t> first(n), last(n);
  for (std::size_t y = 0; y < n; ++y) {
    own.push_back(doses_of(plan, column, years.first[y], s.climates[y].days));
    const std::size_t spring = own[y].empty() ? day_index(years.first[y], s.climates[y].days, k_spring) : own[y].front().day;
    first[y] = spring + static_cast<std::size_t>(q.first_after_d);
    last[y] = day_index(years.first[y], s.climates[y].days, q.until);
  }
  const int closest_d = *std::min_element(q.intervals_d.begin(), q.intervals_d.end());
  std::size_t most = 1;
  for (std::size_t y = 0; y < n; ++y) most = std::max(most, top_up_days(first[y], closest_d, last[y]).size());
  const auto slots = slots_for(plan, s.column, material, 0, most);
  out.first = month_day_of(years.first.back() + std::chrono::days{static_cast<long>(first.back())});
  for (const int interval : q.intervals_d)
    for (const double dose_g : doses_g) {
      TopUpPoint p{interval, dose_g};
      const double n_kg_ha = dose_g * out.count / out.area_m2 * 10 * material.n_percent / 100;
      p.soluble_g_n_m2 = n_kg_ha / 10 * soluble;
      p.scorches = p.soluble_g_n_m2 > k_scorch_g_m2;
      p.top_ups = static_cast<int>(top_up_days(first.back(), interval, last.back()).size());
      p.cost = p.top_ups * dose_g * out.count / 1000 * material.price_per_kg;
      out.grid.push_back(p);
    }
  for (std::size_t y = 0; y < n; ++y) {
    s.members.push_back(member_of(plan, column, s.climates[y], own[y]));
    for (const TopUpPoint& p : out.grid) {
      const auto days = top_up_days(first[y], p.interval_d, last[y]);
      const double n_kg_ha = p.dose_g_per_plant * out.count / out.area_m2 * 10 * material.n_percent / 100;
      auto doses = own[y];
      for (std::size_t k = 0; k < days.size(); ++k) doses.push_back({days[k], slots[std::min(k, slots.size() - 1)], n_kg_ha, 0, 0});
      std::stable_sort(doses.begin(), doses.end(), [](const Dose& a, const Dose& b) { return a.day < b.day; });
      s.members.push_back(member_of(plan, column, s.climates[y], std::move(doses)));
    }
  }
  s.kept.resize(s.members.size()), s.leached_kg_ha.resize(s.members.size());
}

// All schedules of one year. Verdicts alone are kept, so that memory does not grow with the grid.
void run_year(Search& s, std::size_t y, std::size_t until) {
  const std::size_t first = y * s.blocks();
  run_each(s.column.shape, std::span<const Member>(s.members).subspan(first, s.blocks()), k_lanes, [&](std::size_t i, Brief&& brief) {
    s.kept[first + i] = kept(judge(brief.plant, until));
    s.leached_kg_ha[first + i] = brief.ledger.leached;
  });
}

PlantingTopUp answer_of(Search& s) {
  PlantingTopUp& out = s.out;
  const std::size_t n = s.climates.size();
  const int wanted = nine_in_ten(static_cast<int>(n));
  const auto kept_in = [&](std::size_t block) {
    int k = 0;
    for (std::size_t y = 0; y < n; ++y) k += s.kept[y * s.blocks() + block];
    return k;
  };
  out.kept_without = kept_in(0);
  for (std::size_t i = 0; i < out.grid.size(); ++i) {
    TopUpPoint& p = out.grid[i];
    p.kept = kept_in(i + 1);
    p.keeps = p.kept >= wanted;
    for (std::size_t y = 0; y < n; ++y) p.leached_g_n_m2 += s.leached_kg_ha[y * s.blocks() + i + 1] / 10 / static_cast<double>(n);
    if (!p.keeps || p.scorches) continue;
    const auto better = [&](const TopUpPoint& a, const TopUpPoint& b) {
      return a.interval_d != b.interval_d ? a.interval_d > b.interval_d : a.dose_g_per_plant < b.dose_g_per_plant;
    };
    if (!out.best || better(p, out.grid[*out.best])) out.best = i;
  }
  return std::move(out);
}

}  // namespace

TopUpResult tune_top_ups(const Garden& garden, const TopUpQuestion& q) {
  const Garden::Plan& plan = garden.plan();
  const Scenario& s = plan.scenario;
  check_grid(q);
  const Material& material = material_of(plan, q);
  const auto columns = columns_of(plan, q);
  const Years years = all_years(plan);
  TopUpResult out;
  out.handful_g = grams_per_measure(s, material, Amount::Measure::handfuls);
  std::vector<double> doses = q.doses_g_per_plant;
  if (doses.empty())
    for (const double h : k_handfuls) doses.push_back(h * out.handful_g);
  out.garden = s.garden, out.note = s.note, out.weather_note = s.weather.made_up, out.currency = s.currency, out.material_id = material.id,
  out.material_title = material.title;
  out.carry_to = s.question.carry_to, out.until = q.until, out.seasons = years.seasons;
  out.years_wanted = nine_in_ten(static_cast<int>(years.seasons.size()));
  std::vector<Search> searches(columns.size());
  parallel_for(columns.size(), [&](std::size_t i) { prepare(searches[i], plan, *columns[i], years, q, material, doses); });
  const std::size_t n = years.seasons.size();
  parallel_for(columns.size() * n, [&](std::size_t k) { run_year(searches[k / n], k % n, years.until[k % n]); });
  for (Search& search : searches) out.plantings.push_back(answer_of(search));
  out.seasons_run = columns.size() * years.seasons.size() * (1 + q.intervals_d.size() * doses.size());
  out.feed_words = words_of_feedings(plan, years.first.back(), years.days.back().season.size());
  for (const std::string& key : material.cautions) {
    const auto it = s.catalogue.cautions.find(key);
    if (it != s.catalogue.cautions.end()) out.cautions.push_back({key, it->second});
  }
  out.notes = notes_of(plan, years.days.front());
  return out;
}

}  // namespace leafhunger
