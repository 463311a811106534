#include "topup_search.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "parallel.hpp"
#include "season_words.hpp"

namespace leafhunger {
namespace {

constexpr std::size_t k_lanes = 32, k_first_chunk = 16, k_chunk = 256, k_tried_at_once = 8, k_years_at_once = 2;
constexpr double k_kg_ha_per_g_m2 = 10;
// Sums of the same numbers in another order differ by this much at most, in parts of themselves.
constexpr double k_slack = 1e-11;

std::size_t day_index(Date season_start, std::size_t days, MonthDay day) {
  Feeding f;
  f.on = day;
  const auto at = feeding_days(f, season_start, days);
  return at.empty() ? days - 1 : at.front();
}

// Where a planting gets no feeding of its own.
MonthDay spring_of(const Site& site) { return site.latitude_deg < 0 ? MonthDay{10, 15} : MonthDay{4, 15}; }

}  // namespace

TopUpDates dates_of(const Garden::Plan& plan, std::span<const ColumnPlan* const> columns, const Years& years,
                    const std::vector<MonthDay>& until) {
  TopUpDates out;
  const std::size_t n = years.seasons.size();
  out.last.resize(until.size());
  for (std::size_t y = 0; y < n; ++y) {
    const std::size_t days = years.days[y].season.size();
    std::optional<std::size_t> spring;
    for (const ColumnPlan* c : columns) {
      const auto own = doses_of(plan, *c, years.first[y], days);
      if (!own.empty()) spring = std::min(spring.value_or(own.front().day), own.front().day);
    }
    out.spring.push_back(spring.value_or(day_index(years.first[y], days, spring_of(plan.scenario.site))));
    out.fed.emplace_back(days, 0);
    for (const Feeding& f : plan.scenario.feedings)
      for (const std::size_t d : feeding_days(f, years.first[y], days)) out.fed[y][d] = 1;
    // After the date asked about a top-up can no longer be what carries it there.
    for (std::size_t u = 0; u < until.size(); ++u)
      out.last[u].push_back(std::min(day_index(years.first[y], days, until[u]), years.until[y]));
  }
  return out;
}

TopUpCalendar calendar_of(const TopUpDates& dates, int interval_d, int first_after_d, std::size_t until) {
  TopUpCalendar c;
  c.interval_d = interval_d, c.until = until;
  for (std::size_t y = 0; y < dates.spring.size(); ++y) {
    std::vector<std::size_t> days;
    int trips = 0;
    for (std::size_t d = dates.spring[y] + static_cast<std::size_t>(first_after_d); d <= dates.last[until][y];
         d += static_cast<std::size_t>(interval_d))
      days.push_back(d), trips += !dates.fed[y][d];
    c.top_ups = std::max(c.top_ups, static_cast<int>(days.size())), c.trips = std::max(c.trips, trips);
    c.days.push_back(std::move(days));
  }
  return c;
}

// One material as this planting would get it.
struct TopUpSearch::Feed {
  const Material* material = nullptr;
  ColumnPlan column;  // members point into it
  std::vector<std::size_t> slots;
  double soluble_share = 0;
  bool lies = false;  // shields the soil, so that each schedule has a climate of its own
};

// One year: what its schedules share. Used by one thread at a time.
struct TopUpSearch::Season {
  DayFactors factors;
  std::map<std::pair<std::size_t, std::size_t>, Trunk> trunk;  // by feed and day
  std::map<std::size_t, double> leached_by_kg_ha;              // by day of a first top-up
  bool kept_without = false;
  double nni_without = 0;  // mean over growing days to the date
};

// A schedule while it is being run.
struct TopUpSearch::Running {
  const TopUpCandidate* candidate = nullptr;
  const TopUpCalendar* calendar = nullptr;
  std::vector<Told> told;  // [year]
  int fails = 0, fails_at_most = 0;
  double rest_kg_ha = 0;  // what may yet wash out, over all years, above what is sure to
  enum Fate { alive, short_too_often, leaches } fate = alive;
};

TopUpSearch::~TopUpSearch() = default;

TopUpSearch::TopUpSearch(const Garden::Plan& plan, const ColumnPlan& column, const Years& years, const TopUpDates& dates,
                         const TopUpQuestion& q, const std::vector<const Material*>& materials,
                         const std::vector<std::vector<double>>& doses_g, const Control& control)
    : plan_(plan), planned_(column), years_(years), dates_(dates), question_(q), control_(control) {
  std::set<std::vector<std::vector<std::size_t>>> dates_so_far;
  std::size_t most = 1, twins = 0;
  for (std::size_t f = 0; f < q.first_after_d.size(); ++f)
    for (std::size_t u = 0; u < q.until.size(); ++u)
      for (std::size_t i = 0; i < q.intervals_d.size(); ++i) {
        TopUpCalendar c = calendar_of(dates, q.intervals_d[i], q.first_after_d[f], u);
        c.interval = i, c.first = f;
        if (std::any_of(c.days.begin(), c.days.end(), [](const auto& days) { return days.empty(); })) continue;
        if (!dates_so_far.insert(c.days).second) {
          // The longest interval stands for all that come to the same.
          const auto twin = std::find_if(calendars_.begin(), calendars_.end(), [&](const TopUpCalendar& t) { return t.days == c.days; });
          if (c.interval_d > twin->interval_d) *twin = std::move(c);
          ++twins;
          continue;
        }
        most = std::max(most, static_cast<std::size_t>(c.top_ups));
        calendars_.push_back(std::move(c));
      }
  for (std::size_t m = 0; m < materials.size(); ++m) {
    auto feed = std::make_unique<Feed>();
    feed->material = materials[m], feed->column = column;
    feed->slots = slots_for(plan, feed->column, *materials[m], 0, most);
    feed->soluble_share = soluble_share(*materials[m], release_of(plan, *materials[m]));
    feed->lies = feed->column.materials[feed->slots.front()].bulky;
    same_dates_ += twins * doses_g[m].size();
    const int count = column.planting->count;
    for (std::size_t c = 0; c < calendars_.size(); ++c)
      for (std::size_t k = 0; k < doses_g[m].size(); ++k) {
        TopUpCandidate t;
        t.feed = m, t.calendar = c, t.dose = k, t.dose_g_per_plant = doses_g[m][k];
        t.dose_kg_n_ha = t.dose_g_per_plant * count / column.area_m2 * k_kg_ha_per_g_m2 * materials[m]->n_percent / 100;
        t.soluble_g_n_m2 = t.dose_kg_n_ha / k_kg_ha_per_g_m2 * feed->soluble_share;
        t.scorches = t.soluble_g_n_m2 > k_scorch_g_m2;
        t.cost = calendars_[c].top_ups * t.dose_g_per_plant * count / 1000 * materials[m]->price_per_kg;
        candidates_.push_back(t);
      }
    feeds_.push_back(std::move(feed));
  }
  run_without();
  order_years();
}

void TopUpSearch::run_without() {
  const std::size_t n = years_.seasons.size();
  climates_.resize(n), own_.resize(n), seasons_.resize(n), leached_without_kg_ha_.resize(n), thirsty_.resize(n);
  parallel_for(n, [&](std::size_t y) {
    if (control_.stopped()) return;
    own_[y] = doses_of(plan_, planned_, years_.first[y], years_.days[y].season.size());
    climates_[y] = climate_of(plan_, planned_, years_.days[y], own_[y]);
    seasons_[y] = std::make_unique<Season>();
    Season& s = *seasons_[y];
    thirsty_[y] = KeptSoFar::thirsty(climates_[y], years_.until[y]);
    std::set<std::size_t> firsts;
    for (const TopUpCalendar& c : calendars_) firsts.insert(c.days[y].front());
    std::size_t last = 0;
    for (const std::size_t day : firsts) s.leached_by_kg_ha[last = day] = trunk(y, 0, day).leached_kg_n_ha;
    const Feed& feed = *feeds_.front();
    const Member member = member_of(plan_, feed.column, climates_[y], own_[y]);
    const Brief brief = run_batch(feed.column.shape, {&member, 1}, 1)[0];
    const Verdict v = judge(brief.plant, years_.until[y]);
    s.kept_without = kept(v), s.nni_without = v.mean_nni;
    leached_without_kg_ha_[y] = brief.ledger.leached;
  });
  if (control_.stopped()) return;
  for (std::size_t y = 0; y < n; ++y) {
    kept_without_ += seasons_[y]->kept_without;
    leached_without_g_n_m2_ += leached_without_kg_ha_[y] / k_kg_ha_per_g_m2 / static_cast<double>(n);
  }
}

// The hungriest years first show what falls short; those in which most washes out after the first top-up show what does so too much.
void TopUpSearch::order_years() {
  if (control_.stopped()) return;
  for (std::size_t y = 0; y < years_.seasons.size(); ++y) hungry_first_.push_back(y);
  wet_first_ = hungry_first_;
  const auto after = [&](std::size_t y) {
    const auto& by = seasons_[y]->leached_by_kg_ha;
    return leached_without_kg_ha_[y] - (by.empty() ? 0 : by.begin()->second);
  };
  std::stable_sort(hungry_first_.begin(), hungry_first_.end(),
                   [&](auto a, auto b) { return seasons_[a]->nni_without < seasons_[b]->nni_without; });
  std::stable_sort(wet_first_.begin(), wet_first_.end(), [&](auto a, auto b) { return after(a) > after(b); });
}

double TopUpSearch::leached_by_first_kg_ha(const TopUpCandidate& c, std::size_t y) const {
  const auto& by = seasons_[y]->leached_by_kg_ha;
  const auto it = by.find(calendars_[c.calendar].days[y].front());
  return it == by.end() || feeds_[c.feed]->lies ? 0 : it->second;
}

const Trunk& TopUpSearch::trunk(std::size_t y, std::size_t feed, std::size_t day) {
  auto& all = seasons_[y]->trunk;
  const auto at = all.find({feed, day});
  if (at != all.end()) return at->second;
  static const Trunk none;
  const Trunk* from = &none;
  for (const auto& [key, t] : all)
    if (key.first == feed && key.second < day) from = &t;  // ascending: the latest stands last
  const ColumnPlan& column = feeds_[feed]->column;
  const Member member = member_of(plan_, column, climates_[y], own_[y]);
  return all[{feed, day}] = run_trunk(column.shape, member, day, years_.until[y], seasons_[y]->factors, *from);
}

std::vector<Dose> TopUpSearch::doses_for(const TopUpCandidate& c, const TopUpCalendar& calendar, std::size_t y) const {
  const Feed& feed = *feeds_[c.feed];
  std::vector<Dose> doses = own_[y];
  const auto& days = calendar.days[y];
  for (std::size_t k = 0; k < days.size(); ++k)
    doses.push_back({days[k], feed.slots[std::min(k, feed.slots.size() - 1)], c.dose_kg_n_ha, 0, 0});
  std::stable_sort(doses.begin(), doses.end(), [](const Dose& a, const Dose& b) { return a.day < b.day; });
  return doses;
}

void TopUpSearch::run_year(std::size_t y, std::vector<Running*>& all, bool to_the_end) {
  std::vector<Running*> order = all;
  const auto first = [&](const Running* r) { return r->calendar->days[y].empty() ? climates_[y].days - 1 : r->calendar->days[y].front(); };
  std::stable_sort(order.begin(), order.end(), [&](const Running* a, const Running* b) {
    return std::pair(a->candidate->feed, first(a)) < std::pair(b->candidate->feed, first(b));
  });
  for (std::size_t at = 0; at < order.size() && !control_.stopped();) {
    const std::size_t feed_at = order[at]->candidate->feed;
    const Feed& feed = *feeds_[feed_at];
    std::size_t end = at;
    while (end < order.size() && end - at < k_lanes && order[end]->candidate->feed == feed_at) ++end;
    std::vector<Member> members;
    std::vector<Wanted> wanted;
    std::vector<SoilClimate> own_climate;
    own_climate.reserve(end - at);
    for (std::size_t i = at; i < end; ++i) {
      const Running& r = *order[i];
      auto doses = doses_for(*r.candidate, *r.calendar, y);
      if (feed.lies) own_climate.push_back(climate_of(plan_, feed.column, years_.days[y], doses));
      members.push_back(member_of(plan_, feed.column, feed.lies ? own_climate.back() : climates_[y], std::move(doses)));
      Wanted w;
      w.to_the_end = to_the_end;
      w.even_short = thirsty_[y] || r.fails < r.fails_at_most;
      if (to_the_end) w.leached_at_most_kg_n_ha = r.rest_kg_ha + leached_by_first_kg_ha(*r.candidate, y);
      wanted.push_back(w);
    }
    std::vector<Told> told(members.size());
    if (feed.lies) {
      DayFactors factors;
      run_as_wanted(feed.column.shape, members, wanted, years_.until[y], factors, {}, told, k_lanes);
    } else {
      run_as_wanted(feed.column.shape, members, wanted, years_.until[y], seasons_[y]->factors, trunk(y, feed_at, first(order[at])), told,
                    k_lanes);
    }
    for (std::size_t i = at; i < end; ++i) order[i]->told[y] = told[i - at];
    at = end;
  }
}

// Runs a chunk through the years, dropping what has met its fate. `budget` is the mean leaching above which a schedule is of no use, g/m2.
// False where it was stopped.
template <class Budget>
bool TopUpSearch::run_all(std::vector<Running>& chunk, const TopUpLimits& limits, const Budget& budget, bool to_the_end,
                          TopUpSearched& searched) {
  const std::size_t n = years_.seasons.size();
  const auto thirsty = static_cast<int>(std::count(thirsty_.begin(), thirsty_.end(), 1));
  for (Running& r : chunk) {
    r.told.resize(n), r.fails = thirsty, r.fails_at_most = limits.fails;
    r.rest_kg_ha = budget(*r.candidate) * k_kg_ha_per_g_m2 * static_cast<double>(n);
    r.rest_kg_ha += k_slack * (1 + r.rest_kg_ha);
    if (to_the_end)
      for (std::size_t y = 0; y < n; ++y) r.rest_kg_ha -= leached_by_first_kg_ha(*r.candidate, y);
    if (r.fails > r.fails_at_most) r.fate = Running::short_too_often;
    if (to_the_end && r.rest_kg_ha < 0) r.fate = Running::leaches;
  }
  const std::vector<std::size_t>& order = many_fall_short_ ? hungry_first_ : wet_first_;
  std::vector<Running*> on;
  for (std::size_t at = 0; at < n;) {
    on.clear();
    for (Running& r : chunk)
      if (r.fate == Running::alive) on.push_back(&r);
    if (on.empty()) break;
    const std::size_t end = std::min(n, at + k_years_at_once);
    parallel_for(
        end - at, [&](std::size_t k) { run_year(order[at + k], on, to_the_end); }, k_years_at_once);
    if (control_.stopped()) return false;
    searched.seasons_run += on.size() * (end - at);
    for (Running* r : on)
      for (std::size_t k = at; k < end; ++k) {
        const std::size_t y = order[k];
        const Told& t = r->told[y];
        if (to_the_end) r->rest_kg_ha -= t.leached_kg_n_ha - leached_by_first_kg_ha(*r->candidate, y);
        if (t.decided && !t.kept && !thirsty_[y] && ++r->fails > r->fails_at_most && r->fate == Running::alive)
          r->fate = Running::short_too_often;
        if (to_the_end && (r->rest_kg_ha < 0 || !t.to_the_end) && r->fate == Running::alive) r->fate = Running::leaches;
      }
    at = end;
  }
  // What the next ones are likely to meet. A guess: it changes what it costs to know, not what is found.
  const auto met = [&](Running::Fate fate) {
    return std::count_if(chunk.begin(), chunk.end(), [&](const Running& r) { return r.fate == fate; });
  };
  many_fall_short_ = met(Running::short_too_often) > met(Running::leaches);
  return true;
}

TopUpCandidate TopUpSearch::outcome_of(const Running& r) const {
  const std::size_t n = years_.seasons.size();
  TopUpCandidate c = *r.candidate;
  c.kept = static_cast<int>(n) - r.fails;
  for (const Told& t : r.told) c.leached_g_n_m2 += t.leached_kg_n_ha / k_kg_ha_per_g_m2 / static_cast<double>(n);
  return c;
}

namespace {

// Indices of candidates, cheapest first.
std::vector<std::size_t> by_cost(const std::vector<TopUpCandidate>& all, const std::vector<TopUpCalendar>& calendars) {
  std::vector<std::size_t> order(all.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return std::tuple(all[a].cost, calendars[all[a].calendar].trips, a) < std::tuple(all[b].cost, calendars[all[b].calendar].trips, b);
  });
  return order;
}

}  // namespace

std::vector<TopUpCandidate> TopUpSearch::front(const TopUpLimits& limits, TopUpSearched& searched) {
  std::vector<TopUpCandidate> found;
  const auto trips = [&](const TopUpCandidate& c) { return calendars_[c.calendar].trips; };
  const auto beats = [&](const TopUpCandidate& a, const TopUpCandidate& b) {
    const bool no_worse = a.cost <= b.cost && trips(a) <= trips(b) && a.leached_g_n_m2 <= b.leached_g_n_m2;
    return no_worse && (a.cost < b.cost || trips(a) < trips(b) || a.leached_g_n_m2 < b.leached_g_n_m2);
  };
  // What found ones that cost no more and take no more trips leach at least.
  const auto rival = [&](const TopUpCandidate& c) {
    double least = std::numeric_limits<double>::infinity();
    for (const TopUpCandidate& f : found)
      if (f.cost <= c.cost && trips(f) <= trips(c)) least = std::min(least, f.leached_g_n_m2);
    return least;
  };
  const auto budget = [&](const TopUpCandidate& c) { return std::min(limits.leached_at_most_g_n_m2, rival(c)); };
  std::vector<Running> chunk;
  const auto order = by_cost(candidates_, calendars_);
  for (std::size_t at = 0, size = k_first_chunk; at < order.size(); size = std::min(k_chunk, 2 * size)) {
    chunk.clear();
    for (; at < order.size() && chunk.size() < size; ++at) {
      const TopUpCandidate& c = candidates_[order[at]];
      if (scorches_out(c, limits)) {
        ++searched.scorching;
        continue;
      }
      chunk.emplace_back().candidate = &c, chunk.back().calendar = &calendars_[c.calendar];
    }
    if (!run_all(chunk, limits, budget, true, searched)) return {};
    std::vector<TopUpCandidate> feasible;
    for (const Running& r : chunk) {
      if (r.fate == Running::short_too_often) ++searched.short_too_often;
      if (r.fate == Running::leaches) ++(limits.leached_at_most_g_n_m2 <= rival(*r.candidate) ? searched.washing : searched.beaten);
      if (r.fate != Running::alive) continue;
      const TopUpCandidate c = outcome_of(r);
      if (c.leached_g_n_m2 > limits.leached_at_most_g_n_m2) {
        ++searched.washing;
      } else {
        feasible.push_back(c);
      }
    }
    for (const TopUpCandidate& c : feasible) {
      const bool beaten = std::any_of(found.begin(), found.end(), [&](const TopUpCandidate& f) { return beats(f, c); });
      searched.beaten += beaten;
      if (beaten) continue;
      searched.beaten += std::erase_if(found, [&](const TopUpCandidate& f) { return beats(c, f); });
      found.push_back(c);
    }
    if (control_.progress) control_.progress(at, order.size());
  }
  searched.left += found.size();
  return found;
}

std::vector<std::optional<TopUpCandidate>> TopUpSearch::cheapest(const TopUpLimits& limits, TopUpSearched& searched) {
  std::vector<std::optional<TopUpCandidate>> best(calendars_.size());
  std::vector<std::vector<std::size_t>> left(calendars_.size());  // dearest first
  std::size_t fit = 0;
  for (const std::size_t i : by_cost(candidates_, calendars_)) {
    if (scorches_out(candidates_[i], limits)) {
      ++searched.scorching;
    } else {
      left[candidates_[i].calendar].push_back(i), ++fit;
    }
  }
  const std::size_t short_before = searched.short_too_often, washing_before = searched.washing;
  for (auto& l : left) std::reverse(l.begin(), l.end());
  const auto budget = [&](const TopUpCandidate&) { return limits.leached_at_most_g_n_m2; };
  for (;;) {
    std::vector<Running> chunk;
    for (std::size_t c = 0; c < left.size() && chunk.size() < 2 * k_chunk; ++c)
      for (std::size_t k = 0; k < k_tried_at_once && !left[c].empty(); ++k) {
        const TopUpCandidate& next = candidates_[left[c].back()];
        if (best[c] && next.cost > best[c]->cost) break;
        left[c].pop_back();
        chunk.emplace_back().candidate = &next, chunk.back().calendar = &calendars_[c];
      }
    if (chunk.empty()) break;
    if (!run_all(chunk, limits, budget, true, searched)) return {};
    for (const Running& r : chunk) {
      searched.short_too_often += r.fate == Running::short_too_often;
      searched.washing += r.fate == Running::leaches;
      if (r.fate != Running::alive) continue;
      const TopUpCandidate c = outcome_of(r);
      if (c.leached_g_n_m2 > limits.leached_at_most_g_n_m2) {
        ++searched.washing;
        continue;
      }
      auto& b = best[c.calendar];
      if (!b || std::tuple(c.cost, c.leached_g_n_m2) < std::tuple(b->cost, b->leached_g_n_m2)) b = c;
    }
  }
  const auto have = static_cast<std::size_t>(std::count_if(best.begin(), best.end(), [](const auto& b) { return b.has_value(); }));
  searched.left += have;
  searched.beaten += fit - (searched.short_too_often - short_before) - (searched.washing - washing_before) - have;
  return best;
}

std::optional<TopUpCandidate> TopUpSearch::kept_most(const TopUpLimits& limits, TopUpSearched& searched) {
  const auto n = static_cast<int>(years_.seasons.size());
  const auto no_budget = [](const TopUpCandidate&) { return std::numeric_limits<double>::infinity(); };
  std::optional<TopUpCandidate> best;
  int fails = n + 1;  // of the best so far; one that comes later has to have fewer
  const auto order = by_cost(candidates_, calendars_);
  for (std::size_t at = 0, size = k_first_chunk; at < order.size() && fails > 0; size = std::min(k_chunk, 2 * size)) {
    std::vector<Running> chunk;
    for (; at < order.size() && chunk.size() < size; ++at) {
      const TopUpCandidate& c = candidates_[order[at]];
      if (scorches_out(c, limits)) continue;
      chunk.emplace_back().candidate = &c, chunk.back().calendar = &calendars_[c.calendar];
    }
    TopUpLimits fewer = limits;
    fewer.fails = fails - 1;
    if (!run_all(chunk, fewer, no_budget, false, searched)) return std::nullopt;
    for (const Running& r : chunk)
      if (r.fate == Running::alive && r.fails < fails) fails = r.fails, best = *r.candidate;
  }
  if (!best) return best;
  std::vector<Running> one(1);
  one[0].candidate = &*best, one[0].calendar = &calendars_[best->calendar];
  TopUpLimits none;
  none.fails = n;
  if (!run_all(one, none, no_budget, true, searched)) return std::nullopt;
  return outcome_of(one[0]);
}

std::vector<TopUpCandidate> TopUpSearch::all(TopUpSearched& searched) {
  TopUpLimits none;
  none.fails = static_cast<int>(years_.seasons.size());
  std::vector<TopUpCandidate> out;
  for (std::size_t at = 0; at < candidates_.size();) {
    std::vector<Running> chunk;
    for (; at < candidates_.size() && chunk.size() < k_chunk; ++at)
      chunk.emplace_back().candidate = &candidates_[at], chunk.back().calendar = &calendars_[candidates_[at].calendar];
    if (!run_all(
            chunk, none, [](const TopUpCandidate&) { return std::numeric_limits<double>::infinity(); }, true, searched))
      return {};
    for (const Running& r : chunk) out.push_back(outcome_of(r));
    if (control_.progress) control_.progress(at, candidates_.size());
  }
  return out;
}

int TopUpSearch::kept_at(const TopUpCandidate& c, int interval_d) {
  const TopUpCalendar& own = calendars_[c.calendar];
  const TopUpCalendar other = calendar_of(dates_, interval_d, question_.first_after_d[own.first], own.until);
  if (other.days == own.days) return c.kept;
  std::vector<Running> one(1);
  one[0].candidate = &c, one[0].calendar = &other;
  TopUpLimits none;
  none.fails = static_cast<int>(years_.seasons.size());
  TopUpSearched aside;  // custom need be no part of the grid
  run_all(
      one, none, [](const TopUpCandidate&) { return std::numeric_limits<double>::infinity(); }, false, aside);
  return static_cast<int>(years_.seasons.size()) - one[0].fails;
}

bool TopUpSearch::before(const TopUpCandidate& a, const TopUpCandidate& b, const std::vector<Aim>& aims) const {
  const TopUpCalendar &dates_a = calendars_[a.calendar], &dates_b = calendars_[b.calendar];
  for (const Aim aim : aims) {
    const auto of = [&](const TopUpCandidate& c, const TopUpCalendar& dates) {
      return aim == Aim::cost ? c.cost : aim == Aim::trips ? dates.trips : c.leached_g_n_m2;
    };
    const double x = of(a, dates_a), y = of(b, dates_b);
    if (x != y) return x < y;
  }
  const auto rest = [](const TopUpCandidate& c, const TopUpCalendar& dates) {
    return std::tuple(-dates.interval_d, c.dose_g_per_plant, c.feed, dates.first, dates.until, dates.interval, c.dose);
  };
  return rest(a, dates_a) < rest(b, dates_b);
}

TopUpPoint TopUpSearch::point(const TopUpCandidate& c, int years_wanted) const {
  const TopUpCalendar& dates = calendars_[c.calendar];
  const auto day = [&](std::size_t d) { return month_day_of(years_.first.back() + std::chrono::days{static_cast<long>(d)}); };
  TopUpPoint p;
  p.material_id = feeds_[c.feed]->material->id;
  p.interval_d = dates.interval_d, p.dose_g_per_plant = c.dose_g_per_plant, p.first_after_d = question_.first_after_d[dates.first];
  p.first = day(dates.days.back().front()), p.last = day(dates.days.back().back()), p.until = question_.until[dates.until];
  p.top_ups = dates.top_ups, p.trips = dates.trips, p.kept = c.kept, p.leached_g_n_m2 = c.leached_g_n_m2;
  p.soluble_g_n_m2 = c.soluble_g_n_m2, p.cost = c.cost, p.scorches = c.scorches, p.keeps = c.kept >= years_wanted;
  return p;
}

}  // namespace leafhunger
