#include "season.hpp"

#include <algorithm>
#include <cmath>
#include <list>
#include <map>

#include "leafhunger/error.hpp"

namespace leafhunger {
namespace {

constexpr std::size_t k_mixed_lanes = 16;  // side by side where weathers differ: then each adds steps and flows that the others have not

// N of the slots' pools by kind; surface ammonium counts as not yet freed to the soil.
double pools_of(const ColumnBatch& c, int kind, const std::function<double(std::size_t)>& row) {
  double sum = 0;
  for (std::size_t s = 0; s < c.shape().slots.size(); ++s) {
    const lh_release& m = *c.shape().slots[s].model;
    for (std::size_t p = 0; p < static_cast<std::size_t>(m.n_pool); ++p)
      if (m.pool[p].kind == kind) sum += row(c.map().slot[s].first_pool + p);
    if (kind == LH_UNFREED) sum += row(c.map().slot[s].surface_ammonium);
  }
  return sum;
}

// The outward half of a ledger, from any array of rows: the pools themselves or one label.
Ledger where_it_is(const ColumnBatch& c, const std::function<double(std::size_t)>& row) {
  const RowMap& m = c.map();
  Ledger l;
  l.plant = row(m.plant), l.reserve = row(m.reserve), l.litter = row(m.litter);
  for (std::size_t k = 0; k < c.shape().layers; ++k) l.mineral += row(m.ammonium + k) + row(m.nitrate_fast + k) + row(m.nitrate_slow + k);
  l.unfreed = pools_of(c, LH_UNFREED, row), l.microbes = pools_of(c, LH_MICROBES, row), l.humus = pools_of(c, LH_HUMUS, row);
  l.leached = row(m.leached), l.volatilised = row(m.volatilised), l.denitrified = row(m.denitrified), l.taken = row(m.taken);
  return l;
}

double given_until(const Member& m, std::size_t day) {
  double sum = 0;
  for (const Dose& d : m.doses)
    if (d.day <= day) sum += d.kg_n_ha;
  return sum;
}

// What the weather alone says of a plant's days.
PlantDays days_by_weather(const SoilClimate& k) {
  PlantDays p;
  p.f_t = SharedRow(k.f_t), p.stress = SharedRow(k.stress), p.awake = SharedRow(k.awake);
  p.w_twin_t_ha = SharedRow(k.w_twin_t_ha), p.w_free_t_ha = SharedRow(k.w_free_t_ha);
  return p;
}

void record_plant(const ColumnBatch& c, std::size_t lane, double critical, PlantDays& p) {
  const double n = c.at(c.map().plant, lane);
  p.plant_kg_n_ha.push_back(n);
  p.critical_kg_n_ha.push_back(critical);
  p.nni.push_back(critical > 0 ? n / critical : 1);
  p.w_t_ha.push_back(c.at(c.map().w, lane));
}

// Days for which what roots can reach would last at the mean need of the next 7 days (equations.md 7, "days in hand").
void fill_days_in_hand(ColumnSeason& s, const Member& m) {
  const SoilClimate& k = *m.climate;
  const std::size_t n = k.layers;
  s.plant.days_in_hand.assign(k.days, 0.0);
  constexpr std::size_t k_week = 7;
  constexpr double k_many = 365;
  for (std::size_t d = 0; d < k.days; ++d) {
    double there = 0, need = 0;
    for (std::size_t l = 0; l < n; ++l)
      there += k.at(k.root_frac, d, l) * (s.nitrate[d * n + l] + m.plant->host.ammonium_reach * s.ammonium[d * n + l]);
    const std::size_t last = std::min(k.days, d + 1 + k_week);
    for (std::size_t e = d + 1; e < last; ++e) need += s.need[e] / static_cast<double>(k_week);
    s.plant.days_in_hand[d] = need > there / k_many ? there / need : k_many;
  }
}

}  // namespace

Ledger ledger_of(const ColumnBatch& c, std::size_t lane) {
  const Member& m = c.members()[std::min(lane, c.members().size() - 1)];
  Ledger l = where_it_is(c, [&](std::size_t r) { return c.at(r, lane); });
  l.given = given_until(m, c.days()), l.from_soil = c.at(c.map().from_soil, lane), l.fixed = c.at(c.map().fixed, lane);
  return l;
}

void require_closed(const Ledger& ledger, const std::string& column) {
  constexpr double k_allowed = 1e-9;
  if (std::abs(ledger.relative_residual()) <= k_allowed) return;  // NaN falls through
  throw LedgerError("the nitrogen ledger of " + column + " does not close: " + std::to_string(ledger.in()) + " kg N/ha came in and " +
                    std::to_string(ledger.out()) + " is accounted for");
}

ColumnSeason run_labelled(const ColumnShape& shape, const Member& member, std::size_t sources, const std::string& name,
                          Tolerance tolerance) {
  ColumnBatch c(shape, {&member, 1}, 1);
  c.start();
  const Ledger first = ledger_of(c, 0);
  c.use_labels({sources + 4, sources, sources + 1, sources + 2, sources + 3});
  const auto stepper = make_reference_stepper(tolerance);
  ColumnSeason s;
  s.plant = days_by_weather(*member.climate);
  std::vector<double> critical(1), spare(c.map().rows);
  const std::size_t n = shape.layers;
  for (std::size_t d = 0; d < c.days(); ++d) {
    c.begin_day(d);
    stepper->day(c, d);
    c.critical(critical);
    record_plant(c, 0, critical[0], s.plant);
    c.rates(c.state(), spare.data());  // for the need at the day's end
    s.need.push_back(shape.demand ? c.need()[0] : 0);
    for (std::size_t l = 0; l < n; ++l) {
      s.ammonium.push_back(c.at(c.map().ammonium + l, 0));
      s.nitrate.push_back(c.at(c.map().nitrate_fast + l, 0) + c.at(c.map().nitrate_slow + l, 0));
    }
    const Ledger now = ledger_of(c, 0);
    for (const auto& [row, value] : {std::pair{&s.unfreed, now.unfreed},
                                     {&s.microbes, now.microbes},
                                     {&s.humus, now.humus},
                                     {&s.leached, now.leached},
                                     {&s.volatilised, now.volatilised},
                                     {&s.denitrified, now.denitrified},
                                     {&s.taken, now.taken},
                                     {&s.from_soil, now.from_soil},
                                     {&s.fixed, now.fixed},
                                     {&s.reserve, now.reserve},
                                     {&s.litter, now.litter},
                                     {&s.given, given_until(member, d)}})
      row->push_back(value);
  }
  s.ledger = ledger_of(c, 0);
  s.ledger.start_mineral = first.mineral, s.ledger.start_plant = first.plant + first.reserve;
  require_closed(s.ledger, name);
  for (std::size_t k = 0; k < c.labels(); ++k)
    s.by_source.push_back(where_it_is(c, [&](std::size_t r) { return c.label_state()[r * c.labels() + k]; }));
  if (shape.demand) fill_days_in_hand(s, member);
  s.evaluations = stepper->evaluations();
  return s;
}

namespace {

bool same_dose(const Dose& a, const Dose& b) {
  return a.day == b.day && a.slot == b.slot && a.kg_n_ha == b.kg_n_ha && a.watered_in_mm == b.watered_in_mm;
}

// The first day on which doses differ; `never` where none does.
std::size_t first_difference(const std::vector<Dose>& a, const std::vector<Dose>& b, std::size_t never) {
  const std::size_t n = std::min(a.size(), b.size());
  for (std::size_t k = 0; k < n; ++k)
    if (!same_dose(a[k], b[k])) return std::min(a[k].day, b[k].day);
  if (a.size() == b.size()) return never;
  return a.size() > n ? a[n].day : b[n].day;
}

constexpr auto k_daily = {&PlantDays::plant_kg_n_ha, &PlantDays::critical_kg_n_ha, &PlantDays::nni, &PlantDays::w_t_ha};

// Days from `first` to before `last` of a batch that stands on the morning of `first`.
void run_days(ColumnBatch& c, Stepper& stepper, std::size_t first, std::size_t last, std::span<Brief> briefs) {
  const std::size_t lanes = c.lanes();
  std::vector<double> critical(lanes);
  for (std::size_t day = first; day < last; ++day) {
    c.begin_day(day);
    stepper.day(c, day);
    c.critical(critical);
    const double *plant = c.state() + c.map().plant * lanes, *w = c.state() + c.map().w * lanes;
    for (std::size_t i = 0; i < briefs.size(); ++i) {
      if (!c.running(i)) continue;
      PlantDays& p = briefs[i].plant;
      p.plant_kg_n_ha[day] = plant[i], p.critical_kg_n_ha[day] = critical[i], p.w_t_ha[day] = w[i];
      p.nni[day] = critical[i] > 0 ? plant[i] / critical[i] : 1;
    }
  }
}

// Where members that are the same until some day may go on from.
struct Shared {
  Member member;  // of which it was taken
  std::size_t day = 0;
  ColumnBatch::Checkpoint checkpoint;
  PlantDays plant;  // of the days before

  bool serves(const Member& m) const { return m.same_but_doses(member) && first_difference(m.doses, member.doses, day) >= day; }
};

// Runs what members have in common, several of them side by side, each to its own day.
void run_shared(const ColumnShape& shape, std::span<Shared* const> several, Stepper& stepper, DayFactors& factors) {
  std::vector<Member> members;
  std::vector<std::size_t> days;
  for (const Shared* s : several) members.push_back(s->member), days.push_back(s->day);
  std::sort(days.begin(), days.end());
  ColumnBatch c(shape, members, lanes_for(members.size(), k_mixed_lanes), &factors);
  c.start();
  std::vector<Brief> briefs(members.size());
  for (Brief& b : briefs)
    for (const auto rows : k_daily) (b.plant.*rows).resize(days.back());
  std::size_t from = 0;
  for (const std::size_t day : days) {
    run_days(c, stepper, from, day, briefs);
    from = day;
    for (std::size_t i = 0; i < several.size(); ++i)
      if (several[i]->day == day) several[i]->checkpoint = c.checkpoint(i);
  }
  for (std::size_t i = 0; i < several.size(); ++i) {
    for (const auto rows : k_daily) (briefs[i].plant.*rows).resize(several[i]->day);
    several[i]->plant = std::move(briefs[i].plant);
  }
}

// From where each member goes on; nullptr: from the season's start. What nobody has run yet is added to `shared` and to `fresh`.
std::vector<const Shared*> find_shared(std::span<const Member> part, std::list<Shared>& shared, std::vector<Shared*>& fresh) {
  std::vector<const Shared*> found;
  for (const Member& m : part) {
    const auto it = std::find_if(shared.begin(), shared.end(), [&](const Shared& s) { return s.serves(m); });
    if (it != shared.end()) {
      found.push_back(&*it);
      continue;
    }
    std::size_t others = 0, branch = m.climate->days;  // up to here they are one
    for (const Member& other : part)
      if (&other != &m && other.same_but_doses(m)) ++others, branch = std::min(branch, first_difference(other.doses, m.doses, branch));
    const bool pays = branch > 0 && others > 0;
    if (pays) fresh.push_back(&shared.emplace_back(Shared{m, branch, {}, {}}));
    found.push_back(pays ? fresh.back() : nullptr);
  }
  return found;
}

// Begins each member where it goes on from what it shares with others. Answers the first day that is still to be run.
std::size_t resume_shared(ColumnBatch& c, const std::vector<const Shared*>& from, std::vector<Brief>& briefs) {
  std::size_t day = c.days();
  for (std::size_t i = 0; i < c.lanes(); ++i) {
    const std::size_t member = std::min(i, from.size() - 1);  // lanes past them repeat the last
    const Shared* s = from[member];
    day = std::min(day, s ? s->day : 0);
    if (!s) continue;
    c.resume(i, s->checkpoint, s->day);
    if (i < from.size())
      for (const auto rows : k_daily) std::copy((s->plant.*rows).begin(), (s->plant.*rows).end(), (briefs[i].plant.*rows).begin());
  }
  return day;
}

// Members that go side by side.
struct Part {
  std::vector<std::size_t> at;  // where each stands among all
  std::vector<Member> members;
  std::vector<const Shared*> from;
};

std::vector<Brief> run_part(const ColumnShape& shape, const Part& together, std::size_t lanes, Stepper& stepper, DayFactors& factors,
                            std::map<const SoilClimate*, PlantDays>& by_weather) {
  const std::vector<Member>& part = together.members;
  ColumnBatch c(shape, part, lanes, &factors);
  c.start();
  std::vector<Brief> briefs(part.size());
  std::vector<Ledger> first;
  for (std::size_t i = 0; i < part.size(); ++i) {
    first.push_back(ledger_of(c, i));
    const SoilClimate& k = *part[i].climate;
    const auto [known, is_new] = by_weather.try_emplace(&k);
    if (is_new) known->second = days_by_weather(k);
    briefs[i].plant = known->second;
    for (const auto rows : k_daily) (briefs[i].plant.*rows).resize(k.days);
  }
  run_days(c, stepper, resume_shared(c, together.from, briefs), c.days(), briefs);
  for (std::size_t i = 0; i < part.size(); ++i) {
    briefs[i].ledger = ledger_of(c, i);
    briefs[i].ledger.start_mineral = first[i].mineral, briefs[i].ledger.start_plant = first[i].plant + first[i].reserve;
  }
  return briefs;
}

// How many of `order`, (weather, member) each, make up the part that begins at `at`: even shares of one weather, or few of several.
std::size_t next_part(const std::vector<std::pair<std::size_t, std::size_t>>& order, std::size_t at, std::size_t lanes) {
  const auto of_weather = [&](std::size_t from) {
    std::size_t end = from;
    while (end < order.size() && order[end].first == order[from].first) ++end;
    return end - from;
  };
  const std::size_t here = of_weather(at), few = std::min(lanes, k_mixed_lanes);
  if (here >= few) {
    const std::size_t parts = (here + lanes - 1) / lanes;
    return (here + parts - 1) / parts;
  }
  std::size_t n = here;
  while (at + n < order.size() && n < few && of_weather(at + n) < few) n += of_weather(at + n);
  return std::min(n, few);
}

}  // namespace

void run_each(const ColumnShape& shape, std::span<const Member> members, const std::function<void(std::size_t, Brief&&)>& use,
              std::size_t lanes) {
  DayFactors factors;
  std::list<Shared> shared;
  std::map<const SoilClimate*, PlantDays> by_weather;  // one copy for all that share it
  const auto stepper = make_batch_stepper();
  // Side by side go those that share their weather: they take the same steps, and one morning serves all. Bytes do not depend on it.
  std::map<const SoilClimate*, std::size_t> place;
  std::vector<std::pair<std::size_t, std::size_t>> order;
  for (std::size_t i = 0; i < members.size(); ++i) order.emplace_back(place.try_emplace(members[i].climate, place.size()).first->second, i);
  std::sort(order.begin(), order.end());
  for (std::size_t at = 0; at < members.size();) {
    // Some parts ahead, so that what each has in common is run side by side with that of others.
    std::vector<Part> parts;
    std::vector<Shared*> fresh;
    while (at < members.size() && parts.size() < k_mixed_lanes && fresh.size() < k_mixed_lanes) {
      Part& part = parts.emplace_back();
      for (const std::size_t end = at + next_part(order, at, lanes); at < end; ++at)
        part.at.push_back(order[at].second), part.members.push_back(members[order[at].second]);
      if (parts.size() == 1)
        shared.remove_if([&](const Shared& s) {
          return std::none_of(part.members.begin(), part.members.end(), [&](const Member& m) { return s.serves(m); });
        });
      part.from = find_shared(part.members, shared, fresh);
    }
    factors.trim();
    for (std::size_t k = 0; k < fresh.size(); k += k_mixed_lanes)
      run_shared(shape, std::span(fresh).subspan(k, std::min(k_mixed_lanes, fresh.size() - k)), *stepper, factors);
    for (const Part& part : parts) {
      factors.trim();
      std::vector<Brief> briefs = run_part(shape, part, lanes_for(part.members.size(), lanes), *stepper, factors, by_weather);
      for (std::size_t k = 0; k < briefs.size(); ++k) {
        require_closed(briefs[k].ledger, "member " + std::to_string(part.at[k]));
        use(part.at[k], std::move(briefs[k]));
      }
    }
  }
}

std::size_t lanes_for(std::size_t members, std::size_t most) { return members == 1 ? 1 : std::min(most, (members + 7) / 8 * 8); }

std::vector<Brief> run_batch(const ColumnShape& shape, std::span<const Member> members, std::size_t lanes) {
  std::vector<Brief> all(members.size());
  run_each(
      shape, members, [&](std::size_t i, Brief&& brief) { all[i] = std::move(brief); }, lanes);
  return all;
}

}  // namespace leafhunger
