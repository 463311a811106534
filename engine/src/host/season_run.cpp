// One season of a garden: every column with labels, without its feed, and, where it ran short, with one limit after another taken away.
#include <algorithm>
#include <cmath>
#include <set>

#include "checks.hpp"
#include "core/season.hpp"
#include "feed_window.hpp"
#include "garden_plan.hpp"
#include "leafhunger/diary.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/units.hpp"
#include "parallel.hpp"
#include "perturbed.hpp"
#include "season_words.hpp"
#include "words.hpp"
#include "years.hpp"

namespace leafhunger {
namespace {

constexpr double k_g_per_kg_ha_m2 = 0.1;             // 1 kg/ha on 1 m2 is 0.1 g
constexpr double k_full = 0.98;                      // of the luxury ceiling, which uptake only approaches
constexpr double k_carbon_in_organic_matter = 0.58;  // van Bemmelen's factor, from memory

struct Limit {
  Without without;
  const char *key, *words;
};
// What a run without it says about a planting that ran short. Order breaks ties.
constexpr Limit k_limits[] = {
    {Without::cold, "cold", "soil too cold to free it in time"}, {Without::drought, "dry", "soil too dry to free it and let roots have it"},
    {Without::leaching, "washed", "washed below the roots"},     {Without::gas, "gas", "lost to the air"},
    {Without::waiting, "slow", "the feed frees it too slowly"},  {Without::distance, "far", "roots could not reach it"},
};

std::vector<Reason> reasons_of(const ColumnPlan& column, const Member& member, const Verdict& as_it_was, std::size_t until) {
  std::vector<Member> members;
  // From the first feeding on: what the winter did to the soil's own nitrogen is no answer to "why did the feed not last".
  const std::size_t from = member.doses.empty() ? as_it_was.wakes.value_or(0) : member.doses.front().day;
  for (const Limit& l : k_limits) {
    members.push_back(member);
    members.back().without = l.without;
    members.back().without_from = from;
  }
  const auto briefs = run_batch(column.shape, members, 8);
  std::vector<Reason> reasons;
  const auto day_of = [&](const Verdict& v) { return static_cast<int>(v.first_short.value_or(member.climate->days)); };
  for (std::size_t i = 0; i < briefs.size(); ++i) {
    Reason r{k_limits[i].key, k_limits[i].words, judge(briefs[i].plant, until), 0};
    r.moved_d = day_of(r.verdict) - day_of(as_it_was);
    reasons.push_back(r);
  }
  std::stable_sort(reasons.begin(), reasons.end(), [](const Reason& a, const Reason& b) {
    if (a.moved_d != b.moved_d) return a.moved_d > b.moved_d;
    return a.verdict.mean_nni > b.verdict.mean_nni;
  });
  return reasons;
}

// A month after its first feeding, as custom has it (common practice, no source), by the handful.
constexpr std::size_t k_second_after_d = 30;
constexpr double k_second_handfuls[] = {0.5, 1, 1.5, 2, 3, 4};

bool may_have_a_second(const ColumnPlan& column, const Member& member, std::size_t until) {
  return !member.doses.empty() && column.plant->hunger == Hunger::greedy && member.doses.front().day + k_second_after_d < until;
}

std::optional<SecondFeed> second_feed_of(const Garden::Plan& plan, ColumnPlan column, const Member& member, std::size_t until) {
  const std::size_t day = member.doses.front().day + k_second_after_d;
  const Material& material = *column.slot_material[member.doses.front().slot];
  const double handful_g = grams_per_measure(plan.scenario, material, Amount::Measure::handfuls);
  const double soluble = soluble_share(material, release_of(plan, material));
  const std::size_t slot = slots_for(plan, column, material, 0, 1).front();
  std::vector<Member> members;
  std::vector<double> handfuls;
  double year_kg_ha = 0;
  for (const Dose& d : member.doses) year_kg_ha += d.kg_n_ha;
  for (const double h : k_second_handfuls) {
    const double n_kg_ha = h * handful_g * column.planting->count / column.area_m2 / k_g_per_kg_ha_m2 * material.n_percent / 100;
    if (n_kg_ha * k_g_per_kg_ha_m2 * soluble > k_scorch_g_m2) break;
    if ((year_kg_ha + n_kg_ha) * k_g_per_kg_ha_m2 > k_yearly_organic_g_m2) break;  // "give less" would be said of it
    members.push_back(member);
    Member& m = members.back();
    m.materials = &column.materials;
    m.doses.push_back({day, slot, n_kg_ha, 0, 0});
    std::stable_sort(m.doses.begin(), m.doses.end(), [](const Dose& a, const Dose& b) { return a.day < b.day; });
    handfuls.push_back(h);
  }
  if (members.empty()) return std::nullopt;
  const auto briefs = run_batch(column.shape, members, 8);
  for (std::size_t i = 0; i < briefs.size(); ++i)
    if (kept(judge(briefs[i].plant, until)))
      return SecondFeed{member.climate->first + std::chrono::days{static_cast<long>(day)},
                        handfuls[i],
                        handfuls[i] * handful_g,
                        material.title,
                        material.id,
                        std::nullopt};
  return std::nullopt;
}

std::vector<Series> series_of(const ColumnSeason& s, const SoilClimate& c) {
  std::vector<Series> out;
  const auto add = [&](const char* name, const char* unit, const char* meaning, const std::vector<double>& values, std::size_t layers = 1) {
    out.push_back({name, unit, meaning, layers, values});
  };
  add("nni", "-", "nitrogen nutrition index: plant N over critical N", s.plant.nni);
  add("plant_kg_n_ha", "kg/ha", "N in the plant", s.plant.plant_kg_n_ha);
  add("critical_kg_n_ha", "kg/ha", "N below which growth slows", s.plant.critical_kg_n_ha);
  add("dry_matter_t_ha", "t/ha", "dry matter grown, of covered ground", s.plant.w_t_ha);
  add("well_fed_dry_matter_t_ha", "t/ha", "the same, never short of N", s.plant.w_twin_t_ha);
  add("well_fed_and_watered_dry_matter_t_ha", "t/ha", "the same, never short of N nor water", s.plant.w_free_t_ha);
  add("need_kg_n_ha_per_day", "kg/ha/d", "what it would take from the soil", s.need);
  add("days_in_hand", "d", "days for which what roots can reach would last", s.plant.days_in_hand);
  add("reserve_kg_n_ha", "kg/ha", "N in corm, rhizome or stem", s.reserve);
  add("taken_kg_n_ha", "kg/ha", "taken up from the soil, cumulative", s.taken);
  add("given_kg_n_ha", "kg/ha", "given, cumulative", s.given);
  add("unfreed_kg_n_ha", "kg/ha", "still in the feed", s.unfreed);
  add("microbes_kg_n_ha", "kg/ha", "in microbes that live on the feed", s.microbes);
  add("humus_kg_n_ha", "kg/ha", "turned to humus", s.humus);
  add("from_soil_kg_n_ha", "kg/ha", "freed by the soil's own organic matter, cumulative", s.from_soil);
  add("fixed_kg_n_ha", "kg/ha", "fixed from the air, cumulative", s.fixed);
  add("leached_kg_n_ha", "kg/ha", "washed below the roots, cumulative", s.leached);
  add("volatilised_kg_n_ha", "kg/ha", "lost as ammonia, cumulative", s.volatilised);
  add("denitrified_kg_n_ha", "kg/ha", "lost by denitrification, cumulative", s.denitrified);
  add("litter_kg_n_ha", "kg/ha", "fallen leaves, cumulative", s.litter);
  add("ammonium_kg_n_ha", "kg/ha", "by layer", s.ammonium, c.layers);
  add("nitrate_kg_n_ha", "kg/ha", "by layer", s.nitrate, c.layers);
  add("soil_c", "degC", "mean of the day, by layer", c.t_c, c.layers);
  add("wfps_frac", "-", "water-filled pore space, by layer", c.wfps_frac, c.layers);
  add("theta", "m3/m3", "water, by layer", c.theta, c.layers);
  add("available_frac", "-", "available water over available water capacity at 00, by layer", c.available_frac, c.layers);
  add("drained_mm", "mm", "down out of each layer", c.drained_mm, c.layers);
  add("rain_mm", "mm", "rain and watering by rule that reach the ground", c.rain_mm);
  add("watered_mm", "mm", "watering by rule", c.watered_mm);
  add("by_hand_mm", "mm", "watering by date and with feedings", c.by_hand_mm);
  add("risen_mm", "mm", "from below into the lowest layer", c.risen_mm);
  add("mulch_mm", "mm", "thickness left of mulches that are feeds", c.mulch_mm);
  add("evaporated_mm", "mm", "from the soil", c.evaporated_mm);
  add("transpired_mm", "mm", "by the plant", c.transpired_mm);
  add("water_stress", "-", "Ks, 1 without stress", c.stress);
  add("growth_temperature_response", "-", "response of growth to temperature", c.f_t);
  add("cover_frac", "-", "ground shaded by leaves", c.cover_frac);
  add("root_front_mm", "mm", "depth that roots have reached", c.root_front_mm);
  return out;
}

std::vector<DrainageMonth> drainage_of(const SoilClimate& c, const std::vector<double>& leached) {
  std::vector<DrainageMonth> months;
  for (std::size_t d = 0; d < c.days; ++d) {
    const Date date = c.first + std::chrono::days{static_cast<long>(d)};
    if (months.empty() || month_day_of(date).day == 1) months.push_back({date});
    months.back().drained_mm += c.at(c.drained_mm, d, c.layers - 1);
    months.back().leached_kg_n_ha += leached[d] - (d > 0 ? leached[d - 1] : 0);
  }
  return months;
}

// Grams of material that one feeding brings to a column in the whole season.
double grams_of(const Garden::Plan& plan, const ColumnPlan& column, const ColumnPlan::Given& given, Date first, std::size_t days) {
  const auto times = static_cast<double>(feeding_days(plan.scenario.feedings[given.feeding], first, days).size());
  return times * given.kg_material_ha * column.area_m2 * k_g_per_kg_ha_m2;
}

double warmest_week_c(const SoilClimate& c, std::size_t until) {
  constexpr std::size_t k_week = 7;
  double sum = 0, most = -100;
  for (std::size_t d = 0; d <= until; ++d) {
    sum += (c.t_min_c[d] + c.t_max_c[d]) / 2;
    if (d >= k_week) sum -= (c.t_min_c[d - k_week] + c.t_max_c[d - k_week]) / 2;
    if (d + 1 >= k_week) most = std::max(most, sum / k_week);
  }
  return most;
}

// Loose N with the mulches less that without them, day by day: what of the mulch's N is neither in it nor in the soil's life any more. Both
// seasons have the soil climate that the mulch makes.
std::optional<MulchAccount> mulch_account(const Garden::Plan& plan, const ColumnPlan& column, const Member& member,
                                          const ColumnSeason& with, const std::string& name) {
  MulchAccount out;
  Member bare = member;
  const auto lies = [&](const Dose& d) { return column.materials[d.slot].bulky && column.shape.slots[d.slot].forked_mm <= 0; };
  std::vector<double> given(member.climate->days, 0.0);
  for (const Dose& d : member.doses)
    if (lies(d)) {
      given[d.day] += d.kg_n_ha;
      if (std::find(out.feedings.begin(), out.feedings.end(), d.source) == out.feedings.end()) out.feedings.push_back(d.source);
    }
  if (out.feedings.empty()) return std::nullopt;
  std::erase_if(bare.doses, lies);
  const ColumnSeason without = run_labelled(column.shape, bare, plan.scenario.feedings.size(), name);
  double so_far = 0, lowest = 0;
  constexpr double k_nothing_kg_ha = 0.5;  // 0.05 g/m2: less than anybody would weigh
  for (std::size_t d = 0; d < given.size(); ++d) {
    so_far += given[d];
    const auto kept_in = [&](const ColumnSeason& s) { return s.unfreed[d] + s.microbes[d] + s.humus[d]; };
    const double freed = so_far - (kept_in(with) - kept_in(without));
    if (freed < lowest) lowest = freed, out.held_most = d, out.given_back.reset();
    if (freed >= 0 && !out.given_back) out.given_back = d;
    if (freed < -k_nothing_kg_ha) out.given_back.reset();
    out.freed_g_m2 = freed * k_g_per_kg_ha_m2;
  }
  out.given_g_m2 = so_far * k_g_per_kg_ha_m2;
  out.held_g_m2 = lowest < -k_nothing_kg_ha ? -lowest * k_g_per_kg_ha_m2 : 0;
  return out;
}

ColumnResult run_column(const Garden::Plan& plan, const ColumnPlan& column, const SeasonDays& days, Date first, std::size_t until,
                        const SeasonOptions& options) {
  const Scenario& s = plan.scenario;
  const auto doses = doses_of(plan, column, first, days.season.size());
  const SoilClimate climate = climate_of(plan, column, days, doses);
  const Member member = member_of(plan, column, climate, doses);

  ColumnResult r;
  r.name = column.name, r.bed = s.beds[column.bed].name, r.bare = column.planting == nullptr, r.area_m2 = column.area_m2;
  r.fed = !doses.empty();
  const auto season =
      run_labelled(column.shape, member, s.feedings.size(), r.name, {options.absolute_tolerance_kg_ha, options.relative_tolerance});
  r.ledger = season.ledger;
  r.series = series_of(season, climate);
  r.drainage = drainage_of(climate, season.leached);

  const std::size_t feeds = s.feedings.size();
  for (std::size_t i = 0; i < season.by_source.size(); ++i) {
    double given = 0;
    for (const Dose& d : doses)
      if (d.source == i && i < feeds) given += d.kg_n_ha;
    static constexpr const char* k_names[] = {"soil organic matter", "mineral N at the start", "plant at the start", "from the air"};
    const double from[] = {season.ledger.from_soil, season.ledger.start_mineral, season.ledger.start_plant, season.ledger.fixed};
    if (i < feeds && given == 0) continue;
    r.sources.push_back({i < feeds ? "feeding " + std::to_string(i + 1) : k_names[i - feeds], i < feeds ? given : from[i - feeds],
                         season.by_source[i], i < feeds ? std::optional(i) : std::nullopt});
  }
  for (const auto& g : column.given)
    r.cost += grams_of(plan, column, g, first, days.season.size()) / 1000 * column.slot_material[g.slots[0]]->price_per_kg;
  r.mulch = mulch_account(plan, column, member, season, r.name);
  if (r.bare) return r;

  r.plant_id = column.plant->id, r.plant_title = column.plant->title, r.hunger = column.plant->hunger, r.count = column.planting->count;
  r.cover = column.on_ground.cover;
  r.verdict = judge(season.plant, until);
  r.states = states_of(season.plant);
  const VerdictRules rules;
  for (std::size_t d = 0; d < climate.days; ++d)
    r.days_full += season.plant.f_t[d] > rules.growing_f_t && season.plant.w_t_ha[d] > rules.growing_w_t_ha &&
                   season.plant.nni[d] >= k_full * climate.luxury[d];
  Member unfed = member;
  unfed.doses.clear();
  const auto without_feed = run_batch(column.shape, {&unfed, 1}, 1);
  r.unfed = judge(without_feed[0].plant, until);
  r.taken_unfed_kg_n_ha = without_feed[0].ledger.taken;
  r.gain_g = r.fed ? (r.ledger.taken - r.taken_unfed_kg_n_ha) * column.area_m2 * k_g_per_kg_ha_m2 : 0;
  r.warmest_week_c = warmest_week_c(climate, until);
  if (const int at = parameter_index(column.on_ground.model->about, "base_c"); at >= 0)
    r.wakes_above_c = column.on_ground.parameter[static_cast<std::size_t>(at)];
  if (options.reasons && r.fed && r.hunger == Hunger::greedy && r.verdict.outcome != Outcome::never_woke) {
    r.perturbed = perturbed_cases(plan, column, days, member, until);
    r.too_uncertain = too_uncertain(r.verdict, r.perturbed, until);
  }
  if (options.reasons && r.verdict.outcome == Outcome::ran_short) {
    r.reasons = reasons_of(column, member, r.verdict, until);
    r.second_feed_tried = may_have_a_second(column, member, until);
    if (r.second_feed_tried) r.second_feed = second_feed_of(plan, column, member, until);
  }
  return r;
}

// One kind year is no reason to stop feeding: what would be kept unfed, and is not frugal anyway, is run unfed over the whole record.
void count_unfed_years(const Garden::Plan& plan, SeasonResult& r) {
  std::vector<std::size_t> asked;
  for (std::size_t c = 0; c < r.columns.size(); ++c)
    if (r.columns[c].fed && !r.columns[c].bare && r.columns[c].hunger != Hunger::frugal && kept(r.columns[c].unfed)) asked.push_back(c);
  if (asked.empty()) return;
  const Years years = all_years(plan);
  const std::size_t n = years.seasons.size();
  std::vector<SoilClimate> climates(asked.size() * n);
  parallel_for(climates.size(), [&](std::size_t i) { climates[i] = climate_of(plan, plan.columns[asked[i / n]], years.days[i % n], {}); });
  parallel_for(asked.size(), [&](std::size_t k) {
    const ColumnPlan& column = plan.columns[asked[k]];
    std::vector<Member> members;
    for (std::size_t y = 0; y < n; ++y) members.push_back(member_of(plan, column, climates[k * n + y], {}));
    const auto briefs = run_batch(column.shape, members);
    r.columns[asked[k]].years = static_cast<int>(n);
    for (std::size_t y = 0; y < n; ++y) r.columns[asked[k]].unfed_kept_years += kept(judge(briefs[y].plant, years.until[y]));
  });
}

std::vector<Carried> carried_of(const Garden::Plan& plan, Date first, std::size_t days) {
  std::vector<Carried> out;
  for (const Feeding& f : plan.scenario.feedings) {
    const Material& m = plan.scenario.catalogue.materials.at(f.material);
    if (std::none_of(out.begin(), out.end(), [&](const Carried& c) { return c.material_id == m.id; }))
      out.push_back({m.id, m.title, 0, 0, 0, m.bag_kg});
  }
  for (const ColumnPlan& column : plan.columns)
    for (const auto& g : column.given) {
      const Material& m = *column.slot_material[g.slots[0]];
      for (Carried& c : out)
        if (c.material_id == m.id) c.kg += grams_of(plan, column, g, first, days) / 1000;
    }
  for (Carried& c : out) {
    c.cost = c.kg * plan.scenario.catalogue.materials.at(c.material_id).price_per_kg;
    c.bags = whole_bags(c.kg, c.bag_kg);
  }
  return out;
}

std::vector<Ledger> by_feeding(const SeasonResult& r, std::size_t feedings) {
  std::vector<Ledger> out(feedings);
  for (const ColumnResult& c : r.columns)
    for (const auto& s : c.sources)
      if (s.feeding) out[*s.feeding] += s.where.scaled(c.area_m2 * k_g_per_kg_ha_m2);
  return out;
}

GivenBeside beside_of(const Garden::Plan& plan, Date first, std::size_t days) {
  GivenBeside sum;
  for (const ColumnPlan& column : plan.columns)
    for (const auto& g : column.given) {
      const Material& m = *column.slot_material[g.slots[0]];
      const double grams = grams_of(plan, column, g, first, days);
      sum.phosphorus_g += grams * units::p_from_p2o5(m.p2o5_percent) / 100;
      sum.potassium_g += grams * units::k_from_k2o(m.k2o_percent) / 100;
      sum.organic_matter_g += grams * m.n_percent / 100 * m.carbon_to_nitrogen / k_carbon_in_organic_matter;
    }
  return sum;
}

// What waits for rain, planned and advised. What a diary says was given waits no longer.
std::vector<FeedWindow> feed_windows_of(const Garden::Plan& plan, const SeasonResult& r) {
  const Scenario& s = plan.scenario;
  std::vector<RainAsk> asks;
  const auto date = [&](std::size_t d) { return r.first + std::chrono::days{static_cast<long>(d)}; };
  for (std::size_t c = 0; c < plan.columns.size(); ++c) {
    const ColumnPlan& column = plan.columns[c];
    for (const auto& g : column.given) {
      const Feeding& f = s.feedings[g.feeding];
      const Material& m = *column.slot_material[g.slots[0]];
      if (f.diary_line > 0 || !waits_for_rain(m, f.watered_in_mm, f.forked_in_mm)) continue;
      for (const std::size_t d : feeding_days(f, r.first, r.days))
        asks.push_back({date(d), c, &m, g.kg_material_ha * m.n_percent / 100, g.feeding, f.every_days});
    }
    if (const auto& second = r.columns[c].second_feed) {
      const Material& m = s.catalogue.materials.at(second->material_id);
      if (!waits_for_rain(m, 0, 0)) continue;
      const double g_m2 = second->grams_per_plant * column.planting->count / column.area_m2;
      asks.push_back({second->on, c, &m, g_m2 / k_g_per_kg_ha_m2 * m.n_percent / 100, std::nullopt, std::nullopt});
    }
  }
  return windows_of(plan, asks);
}

// How the advice was found.
std::vector<std::string> notes_of_advice(const SeasonResult& r) {
  std::vector<std::string> out;
  if (!r.windows.empty())
    out.push_back(
        "Days to wait for rain, over the " + input::counted(r.windows[0].years, "year", "years") +
        " of the record: a wet day carries in half of what dissolves; washed out is a feed of whose nitrogen more than a tenth is "
        "below the roots by the season's end, reckoned on " +
        r.windows[0].planting + ".");
  if (!r.checks.empty())
    out.push_back(
        "What to look at: the season once more with one thing that is not well known at its likely least and most; what moved the answer "
        "most is named.");
  return out;
}

std::optional<std::size_t> window_on(const SeasonResult& r, Date on) {
  for (std::size_t i = 0; i < r.windows.size(); ++i)
    if (r.windows[i].planned == on) return i;
  return std::nullopt;
}

}  // namespace

std::vector<FeedDay> feed_days_of(const Garden::Plan& plan, const SeasonResult& r) {
  const Scenario& s = plan.scenario;
  std::vector<FeedDay> out;
  for (std::size_t i = 0; i < s.feedings.size(); ++i) {
    const Feeding& f = s.feedings[i];
    const Material& m = s.catalogue.materials.at(f.material);
    const FeedingParts parts = parts_of_feeding(s, f);
    FeedDay day;
    day.feeding = i, day.cautions = m.cautions, day.done = f.diary_line > 0;
    day.words = r.feed_words[i].substr(r.feed_words[i].find(": ") + 2);
    day.what = parts.what, day.where = parts.where, day.each = parts.each;
    day.each_g = f.amount.value * grams_per_measure(s, m, f.amount.measure);
    day.handful_g = grams_per_measure(s, m, Amount::Measure::handfuls), day.trowel_g = grams_per_measure(s, m, Amount::Measure::trowels);
    for (const ColumnPlan& column : plan.columns)
      for (const auto& g : column.given)
        if (g.feeding == i) day.all_g += g.kg_material_ha * column.area_m2 * k_g_per_kg_ha_m2;
    for (const std::size_t d : feeding_days(f, r.first, r.days)) {
      day.on = r.first + std::chrono::days{static_cast<long>(d)};
      day.window = f.diary_line == 0 && waits_for_rain(m, f.watered_in_mm, f.forked_in_mm) ? window_on(r, day.on) : std::nullopt;
      out.push_back(day);
    }
  }
  return out;
}

int whole_bags(double kg, double bag_kg) {
  // A gram over a full bag is rounding, not another bag.
  return bag_kg > 0 ? static_cast<int>(std::ceil(kg / bag_kg - 1e-3)) : 0;
}

const Series* ColumnResult::find(const std::string& wanted) const {
  for (const Series& s : series)
    if (s.name == wanted) return &s;
  return nullptr;
}

SeasonResult run_season(const Garden& garden, const SeasonOptions& options) {
  const Garden::Plan& plan = garden.plan();
  const Scenario& s = plan.scenario;
  SeasonResult out;
  out.season = options.season.value_or(s.question.season);
  const SeasonDays days = days_of_season(plan, out.season);
  out.first = season_first(s.site, out.season);
  out.days = days.season.size();
  out.carry_to_day = s.question.carry_to;
  out.carry_to = carry_to_index(plan, out.first, out.days);
  out.garden = s.garden, out.note = s.note, out.weather_note = s.weather.made_up, out.currency = s.currency;

  out.columns.resize(plan.columns.size());
  parallel_for(plan.columns.size(),
               [&](std::size_t i) { out.columns[i] = run_column(plan, plan.columns[i], days, out.first, out.carry_to, options); });

  std::set<std::size_t> trips;
  for (const Feeding& f : s.feedings)
    for (const std::size_t d : feeding_days(f, out.first, out.days)) trips.insert(d);
  out.trips = static_cast<int>(trips.size());
  double ground_m2 = 0;
  for (const ColumnResult& c : out.columns) ground_m2 += c.area_m2;
  for (const ColumnResult& c : out.columns) {
    out.total_g += c.ledger.scaled(c.area_m2 * k_g_per_kg_ha_m2);
    out.cost += c.cost, out.gain_g += c.gain_g;
    out.drainage.resize(c.drainage.size());
    for (std::size_t m = 0; m < c.drainage.size(); ++m) {
      out.drainage[m].first = c.drainage[m].first;
      out.drainage[m].drained_mm += c.drainage[m].drained_mm * c.area_m2 / ground_m2;
      out.drainage[m].leached_kg_n_ha += c.drainage[m].leached_kg_n_ha * c.area_m2 / ground_m2;
    }
  }
  out.given_g = out.total_g.given;
  out.beside = beside_of(plan, out.first, out.days);
  out.carried = carried_of(plan, out.first, out.days);
  out.by_feeding_g = by_feeding(out, s.feedings.size());
  out.feed_words = words_of_feedings(plan, out.first, out.days);
  if (options.reasons) count_unfed_years(plan, out);
  if (options.reasons) out.windows = feed_windows_of(plan, out);
  for (ColumnResult& c : out.columns)
    if (c.second_feed && waits_for_rain(s.catalogue.materials.at(c.second_feed->material_id), 0, 0))
      c.second_feed->window = window_on(out, c.second_feed->on);
  out.feed_days = feed_days_of(plan, out);
  out.against_plan = plan_against_done(s, out.season);
  std::stable_sort(out.feed_days.begin(), out.feed_days.end(), [](const FeedDay& a, const FeedDay& b) { return a.on < b.on; });
  out.checks = checks_of(out);
  out.cautions = cautions_of(plan, out);
  out.notes = notes_of(plan, days);
  for (const std::string& note : notes_of_advice(out)) out.notes.push_back(note);
  return out;
}

}  // namespace leafhunger
