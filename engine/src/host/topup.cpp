// From a question to searches, and from what they find to an answer.
#include "leafhunger/topup.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <mutex>
#include <numeric>
#include <set>

#include "leafhunger/common_names.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"
#include "lines.hpp"
#include "parallel.hpp"
#include "season_words.hpp"
#include "topup_search.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

constexpr double k_handfuls[] = {0.5, 1, 1.5, 2, 3, 4};
constexpr int k_customs_d[] = {28, 42};  // four and six weeks: common practice, no source
constexpr Aim k_aims[] = {Aim::trips, Aim::cost, Aim::leached};

// Whatever people call them, each once and by its id.
std::vector<std::string> materials_meant(const Catalogue& catalogue, const std::vector<std::string>& said) {
  std::vector<std::string> ids;
  for (const std::string& name : said) {
    std::string id = material_called(catalogue, name, "", "--material");
    if (std::find(ids.begin(), ids.end(), id) == ids.end()) ids.push_back(std::move(id));
  }
  return ids;
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

template <class T>
void drop_twice(std::vector<T>& all) {
  std::vector<T> once;
  for (const T& t : all)
    if (std::find(once.begin(), once.end(), t) == once.end()) once.push_back(t);
  all = std::move(once);
}

// Each value once, all aims in order, last days filled in.
TopUpQuestion checked(TopUpQuestion q, const Site& site) {
  const auto refuse = [](const char* place, const std::string& found, const char* allowed) {
    throw InputError({"", place, found, allowed, "give one or more such numbers"});
  };
  if (q.materials.empty())
    throw InputError({"", "--material", "nothing", "one or more materials of the catalogue", "`leafhunger list materials` lists them"});
  if (q.intervals_d.empty()) refuse("--intervals", "nothing", "1 to 365 days");
  for (const int d : q.intervals_d)
    if (d < 1 || d > 365) refuse("--intervals", std::to_string(d), "1 to 365 days");
  for (const double g : q.doses_g_per_plant)
    if (!(g > 0 && g <= 1e5)) refuse("--doses", input::plain(g), "more than 0 and at most 100000 g a plant");
  if (q.first_after_d.empty()) refuse("--first-after", "nothing", "1 to 365 days");
  for (const int d : q.first_after_d)
    if (d < 1 || d > 365) refuse("--first-after", std::to_string(d), "1 to 365 days");
  if (!(q.share.of > 0 && q.share.of <= q.share.in))
    throw InputError({"", "--years", std::to_string(q.share.of) + "/" + std::to_string(q.share.in), "a share above 0 and at most 1",
                      "such as 9/10 or 0.9"});
  if (!(q.leached_at_most_g_n_m2 >= 0))
    throw InputError({"", "--leached-at-most", input::plain(q.leached_at_most_g_n_m2), "0 or more g of nitrogen a square metre",
                      "such as 5; take it out where it does not matter"});
  for (const Aim aim : k_aims) q.prefer.push_back(aim);
  if (q.until.empty()) q.until.push_back(site.latitude_deg < 0 ? MonthDay{2, 28} : MonthDay{8, 31});
  drop_twice(q.intervals_d), drop_twice(q.doses_g_per_plant), drop_twice(q.first_after_d), drop_twice(q.until), drop_twice(q.prefer);
  return q;
}

void require_size(const TopUpQuestion& q, std::size_t doses) {
  const double grid = static_cast<double>(q.intervals_d.size()) * static_cast<double>(q.first_after_d.size()) *
                      static_cast<double>(q.until.size()) * static_cast<double>(doses);
  if (grid <= static_cast<double>(k_most_schedules)) return;
  throw InputError({"", "the grid", input::plain(grid) + " schedules for each planting",
                    "at most " + std::to_string(k_most_schedules) + " (materials x intervals x doses x first days x last days)",
                    "take wider steps first, then finer ones about the answer"});
}

int nearest_custom(int interval_d) {
  int nearest = k_customs_d[0];
  for (const int d : k_customs_d)
    if (std::abs(d - interval_d) <= std::abs(nearest - interval_d)) nearest = d;
  return nearest;
}

struct Asked {
  const Garden::Plan& plan;
  const TopUpQuestion& q;
  const Years& years;
  const std::vector<const Material*>& materials;
  const std::vector<std::vector<double>>& doses_g;
  int wanted;
  TopUpLimits limits() const { return {static_cast<int>(years.seasons.size()) - wanted, q.leached_at_most_g_n_m2, q.may_scorch}; }
  std::size_t schedules() const {
    std::size_t doses = 0;
    for (const auto& d : doses_g) doses += d.size();
    return doses * q.intervals_d.size() * q.first_after_d.size() * q.until.size();
  }
};

PlantingTopUp begun(const Asked& a, const ColumnPlan& column, const TopUpSearch& search) {
  PlantingTopUp p;
  p.name = column.name, p.count = column.planting->count, p.area_m2 = column.area_m2;
  p.kept_without = search.kept_without(), p.leached_without_g_n_m2 = search.leached_without_g_n_m2();
  p.needs_none = p.kept_without >= a.wanted && p.leached_without_g_n_m2 <= a.q.leached_at_most_g_n_m2;
  const std::size_t n = a.years.seasons.size();
  p.searched.seasons_asked = n, p.searched.seasons_run = n;
  if (p.needs_none && !a.q.every_point) return p;
  p.searched.schedules = a.schedules(), p.searched.same_dates = search.same_dates();
  p.searched.seasons_asked += n * p.searched.schedules;
  if (!search.calendars().empty()) return p;
  throw InputError({"", "--until", "no day on which to top up " + input::in_quotes(column.name),
                    "a last day that comes after the first top-up",
                    "the first is due " + std::to_string(a.q.first_after_d.front()) +
                        " days after the spring feed: give --until a later day or --first-after a smaller number"});
}

// Tells of several parts that are worked on side by side as of one whole.
class Whole {
 public:
  Whole(const Control& control, std::size_t parts) : control_(control), done_(parts) {}
  Control part(std::size_t i) {
    Control c{{}, control_.stop};
    if (control_.progress)
      c.progress = [this, i](std::size_t done, std::size_t of) {
        constexpr std::size_t k_fine = 1000;
        const std::scoped_lock lock(telling_);
        done_[i] = std::max(done_[i], done * k_fine / of);
        control_.progress(std::accumulate(done_.begin(), done_.end(), std::size_t{0}), done_.size() * k_fine);
      };
    return c;
  }

 private:
  const Control& control_;
  std::mutex telling_;
  std::vector<std::size_t> done_;
};

// What would do where nothing does.
void find_nearest(const Asked& a, TopUpSearch& search, PlantingTopUp& p) {
  TopUpSearched aside;  // the grid has been searched: what is run once more is no part of that count
  const auto try_with = [&](TopUpLimits limits, TopUpGives gives, std::vector<Aim> aims) {
    const auto front = search.front(limits, aside);
    if (front.empty()) return false;
    const auto best = std::min_element(front.begin(), front.end(), [&](const auto& x, const auto& y) { return search.before(x, y, aims); });
    p.nearest = search.point(*best, a.wanted), p.gives = gives;
    return true;
  };
  TopUpLimits washing = a.limits(), scorching = a.limits();
  washing.leached_at_most_g_n_m2 = std::numeric_limits<double>::infinity(), scorching.scorch = true;
  const bool limited = std::isfinite(a.q.leached_at_most_g_n_m2);
  const bool found = (limited && try_with(washing, TopUpGives::leached, {Aim::leached, Aim::trips, Aim::cost})) ||
                     (!a.q.may_scorch && p.searched.scorching > 0 && try_with(scorching, TopUpGives::scorch, a.q.prefer));
  if (!found) {
    p.gives = TopUpGives::years;
    if (const auto most = search.kept_most(a.limits(), aside)) p.nearest = search.point(*most, a.wanted);
  }
}

void sort_front(const TopUpSearch& search, const std::vector<Aim>& aims, std::vector<TopUpCandidate>& front) {
  std::sort(front.begin(), front.end(), [&](const auto& x, const auto& y) { return search.before(x, y, aims); });
}

// Nothing where it was stopped before.
std::optional<PlantingTopUp> alone(const Asked& a, const ColumnPlan& column, const Control& control) {
  const ColumnPlan* const columns[] = {&column};
  const TopUpDates dates = dates_of(a.plan, columns, a.years, a.q.until);
  TopUpSearch search(a.plan, column, a.years, dates, a.q, a.materials, a.doses_g, control);
  if (control.stopped()) return std::nullopt;
  PlantingTopUp p = begun(a, column, search);
  TopUpSearched aside;
  if (a.q.every_point)
    for (const TopUpCandidate& c : search.all(aside)) p.grid.push_back(search.point(c, a.wanted));
  if (control.stopped()) return std::nullopt;
  if (p.needs_none) return p;
  auto front = search.front(a.limits(), p.searched);
  if (control.stopped()) return std::nullopt;
  sort_front(search, a.q.prefer, front);
  for (const TopUpCandidate& c : front) p.front.push_back(search.point(c, a.wanted));
  if (front.empty()) {
    find_nearest(a, search, p);
    return control.stopped() ? std::nullopt : std::optional(p);
  }
  p.best = p.front.front();
  p.custom_interval_d = nearest_custom(p.best->interval_d);
  p.custom_kept = search.kept_at(front.front(), p.custom_interval_d);
  if (control.stopped()) return std::nullopt;
  return p;
}

// One calendar for all: of each planting the cheapest that keeps it on those days.
TogetherTopUp together(const Asked& a, const std::vector<const ColumnPlan*>& columns, std::vector<PlantingTopUp>& plantings,
                       const Control& control) {
  const TopUpDates dates = dates_of(a.plan, columns, a.years, a.q.until);
  TogetherTopUp out;
  Whole whole(control, columns.size());
  std::vector<std::optional<GardenTopUp>> gardens;
  double area_m2 = 0;
  for (const ColumnPlan* c : columns) area_m2 += c->area_m2;
  double leached_of_others = 0;  // that need none
  std::vector<char> nowhere(columns.size(), 1);
  for (std::size_t i = 0; i < columns.size(); ++i) {
    const Control part = whole.part(i);
    TopUpSearch search(a.plan, *columns[i], a.years, dates, a.q, a.materials, a.doses_g, part);
    if (control.stopped()) return out;
    PlantingTopUp p = begun(a, *columns[i], search);
    if (p.needs_none) leached_of_others += p.leached_without_g_n_m2 * columns[i]->area_m2 / area_m2;
    if (!p.needs_none) {
      const auto cheapest = search.cheapest(a.limits(), p.searched);
      if (control.stopped()) return out;
      gardens.resize(cheapest.size(), GardenTopUp{});  // all plantings have the same calendars
      for (std::size_t c = 0; c < cheapest.size(); ++c) {
        if (!cheapest[c]) {
          gardens[c].reset();
          continue;
        }
        nowhere[i] = 0;
        if (!gardens[c]) continue;
        GardenTopUp& g = *gardens[c];
        const TopUpPoint point = search.point(*cheapest[c], a.wanted);
        g.interval_d = point.interval_d, g.first_after_d = point.first_after_d;
        g.first = point.first, g.last = point.last, g.until = point.until, g.top_ups = point.top_ups, g.trips = point.trips;
        g.cost += point.cost, g.leached_g_n_m2 += point.leached_g_n_m2 * columns[i]->area_m2 / area_m2;
        g.points.push_back(point), g.of.push_back(i);
      }
      if (std::none_of(cheapest.begin(), cheapest.end(), [](const auto& c) { return c.has_value(); })) find_nearest(a, search, p);
    } else {
      nowhere[i] = 0;
    }
    plantings.push_back(std::move(p));
    if (part.progress && !part.stopped()) part.progress(1, 1);
  }
  out.calendars = gardens.size();
  std::vector<GardenTopUp> feasible;
  for (const auto& g : gardens)
    if (g) feasible.push_back(*g), feasible.back().leached_g_n_m2 += leached_of_others;
  const auto of = [](const GardenTopUp& g, Aim aim) { return aim == Aim::cost ? g.cost : aim == Aim::trips ? g.trips : g.leached_g_n_m2; };
  const auto beats = [&](const GardenTopUp& x, const GardenTopUp& y) {
    return std::all_of(std::begin(k_aims), std::end(k_aims), [&](Aim aim) { return of(x, aim) <= of(y, aim); }) &&
           std::any_of(std::begin(k_aims), std::end(k_aims), [&](Aim aim) { return of(x, aim) < of(y, aim); });
  };
  for (const GardenTopUp& g : feasible)
    if (std::none_of(feasible.begin(), feasible.end(), [&](const GardenTopUp& x) { return beats(x, g); })) out.front.push_back(g);
  std::stable_sort(out.front.begin(), out.front.end(), [&](const GardenTopUp& x, const GardenTopUp& y) {
    for (const Aim aim : a.q.prefer)
      if (of(x, aim) != of(y, aim)) return of(x, aim) < of(y, aim);
    return x.interval_d > y.interval_d;
  });
  if (!out.front.empty()) out.best = out.front.front();
  if (out.front.empty())
    for (std::size_t i = 0; i < columns.size(); ++i)
      if (nowhere[i]) out.blocked.push_back(i);
  return out;
}

// Where feeds and top-ups together bring more than farms may give: `season` would say "give less" of the very schedule.
void warn_of_much(const Garden::Plan& plan, const std::vector<const ColumnPlan*>& columns, const Years& years, TopUpResult& out) {
  std::vector<std::string> much;
  double most_g_m2 = 0;
  const auto weigh = [&](const ColumnPlan& column, const TopUpPoint& point) {
    const Material& m = plan.scenario.catalogue.materials.at(point.material_id);
    const double top_ups = point.top_ups * point.dose_g_per_plant * column.planting->count / column.area_m2 * m.n_percent / 100;
    const double all = year_g_n_m2(plan, column, years.first.back(), years.days.back().season.size()) + top_ups;
    if (all <= k_yearly_organic_g_m2) return;
    much.push_back(column.name), most_g_m2 = std::max(most_g_m2, all);
  };
  const auto column_of = [&](const std::string& name) {
    return std::find_if(columns.begin(), columns.end(), [&](const ColumnPlan* c) { return c->name == name; });
  };
  for (std::size_t i = 0; i < out.plantings.size(); ++i) {
    const PlantingTopUp& p = out.plantings[i];
    const auto column = column_of(p.name);
    if (column == columns.end()) continue;
    if (!out.together && p.best) weigh(**column, *p.best);
    if (out.together && out.together->best)
      for (std::size_t k = 0; k < out.together->best->points.size(); ++k)
        if (out.together->best->of[k] == i) weigh(**column, out.together->best->points[k]);
  }
  if (much.empty()) return;
  out.cautions.push_back({"yearly-limit", "With these, " + joined(much) + " would get " + (much.size() > 1 ? "up to " : "") +
                                              lines::fixed(most_g_m2, 0) + " g of nitrogen a square metre in a year, " +
                                              k_yearly_organic_words});
}

}  // namespace

const char* name_of(Aim aim) {
  static constexpr const char* k_names[] = {"cost", "trips", "leached"};
  return k_names[static_cast<int>(aim)];
}

std::optional<Aim> aim_of(const std::string& name) {
  for (const Aim aim : k_aims)
    if (name == name_of(aim)) return aim;
  return std::nullopt;
}

const char* name_of(TopUpGives gives) {
  static constexpr const char* k_names[] = {"nothing", "leached", "scorch", "years"};
  return k_names[static_cast<int>(gives)];
}

std::optional<YearsShare> parse_years_share(const std::string& text) {
  const auto whole = [](const std::string& part) -> std::optional<int> {
    int value = 0;
    const auto end = std::from_chars(part.data(), part.data() + part.size(), value);
    if (part.empty() || part.size() > 6 || end.ec != std::errc{} || end.ptr != part.data() + part.size() || value < 0) return std::nullopt;
    return value;
  };
  YearsShare s;
  if (const std::size_t stroke = text.find('/'); stroke != std::string::npos) {
    const auto of = whole(text.substr(0, stroke)), in = whole(text.substr(stroke + 1));
    if (!of || !in) return std::nullopt;
    s = {*of, *in};
  } else {
    const std::size_t point = text.find('.');
    const std::string after = point == std::string::npos ? "" : text.substr(point + 1);
    const auto before = whole(text.substr(0, point)), part = after.empty() ? std::optional(0) : whole(after);
    if (!before || !part || *before > 1) return std::nullopt;
    int scale = 1;
    for (std::size_t k = 0; k < after.size(); ++k) scale *= 10;
    s = {*before * scale + *part, scale};
  }
  if (!(s.of > 0 && s.of <= s.in)) return std::nullopt;
  const int common = std::gcd(s.of, s.in);
  return YearsShare{s.of / common, s.in / common};
}

TopUpSearched& TopUpSearched::operator+=(const TopUpSearched& m) {
  schedules += m.schedules, same_dates += m.same_dates, scorching += m.scorching, short_too_often += m.short_too_often,
      washing += m.washing, beaten += m.beaten, left += m.left, seasons_asked += m.seasons_asked, seasons_run += m.seasons_run;
  return *this;
}

const TopUpResult::Feed& TopUpResult::feed(const std::string& id) const {
  return *std::find_if(feeds.begin(), feeds.end(), [&](const Feed& f) { return f.id == id; });
}

TopUpResult tune_top_ups(const Garden& garden, const TopUpQuestion& question, const Control& control) {
  const Garden::Plan& plan = garden.plan();
  const Scenario& s = plan.scenario;
  TopUpResult out;
  out.asked = checked(question, s.site);
  out.asked.materials = materials_meant(s.catalogue, out.asked.materials);
  const TopUpQuestion& q = out.asked;
  std::vector<const Material*> materials;
  std::vector<std::vector<double>> doses_g;
  std::size_t doses = 0;
  for (const std::string& id : q.materials) {
    const Material& m = s.catalogue.materials.at(id);
    materials.push_back(&m);
    TopUpResult::Feed feed{m.id, m.title, grams_per_measure(s, m, Amount::Measure::handfuls), q.doses_g_per_plant};
    if (feed.doses_g_per_plant.empty())
      for (const double h : k_handfuls) feed.doses_g_per_plant.push_back(h * feed.handful_g);
    doses_g.push_back(feed.doses_g_per_plant);
    doses += feed.doses_g_per_plant.size();
    out.feeds.push_back(std::move(feed));
  }
  require_size(q, doses);
  const auto columns = columns_of(plan, q);
  const Years years = all_years(plan);
  out.garden = s.garden, out.note = s.note, out.weather_note = s.weather.made_up, out.currency = s.currency;
  out.carry_to = s.question.carry_to, out.seasons = years.seasons, out.plantings_asked = columns.size();
  out.years_wanted = q.share.years(static_cast<int>(years.seasons.size()));
  const Asked asked{plan, q, years, materials, doses_g, out.years_wanted};

  if (q.together) {
    out.together = together(asked, columns, out.plantings, control);
    if (control.stopped()) out.plantings.clear(), out.together.reset();
  } else {
    Whole whole(control, columns.size());
    std::vector<std::optional<PlantingTopUp>> answered(columns.size());
    // A search keeps two threads busy.
    parallel_for(
        columns.size(),
        [&](std::size_t i) {
          const Control part = whole.part(i);
          if (!control.stopped()) answered[i] = alone(asked, *columns[i], part);
          if (part.progress && !part.stopped()) part.progress(1, 1);
        },
        (default_threads() + 1) / 2);
    for (auto& p : answered)
      if (p) out.plantings.push_back(std::move(*p));
  }
  out.stopped = control.stopped() && (q.together ? !out.together : out.plantings.size() < columns.size());
  for (const PlantingTopUp& p : out.plantings) out.searched += p.searched;
  out.feed_words = words_of_feedings(plan, years.first.back(), years.days.back().season.size());
  std::set<std::string> told;
  const auto caution = [&](const std::string& key) {
    const auto it = s.catalogue.cautions.find(key);
    if (it != s.catalogue.cautions.end() && told.insert(key).second) out.cautions.push_back({key, it->second});
  };
  const auto late = [&](MonthDay last) { return late_for_nitrogen(s.site, last); };
  for (const PlantingTopUp& p : out.plantings)
    if ((p.best && late(p.best->last)) || (p.nearest && late(p.nearest->last))) caution("late-nitrogen");
  if (out.together && out.together->best && late(out.together->best->last)) caution("late-nitrogen");
  warn_of_much(plan, columns, years, out);
  for (const Material* m : materials)
    for (const std::string& key : m->cautions) caution(key);
  out.notes = notes_of(plan, years.days.front());
  return out;
}

}  // namespace leafhunger
