#include "leafhunger/ensemble.hpp"

#include <algorithm>
#include <cmath>
#include <mutex>

#include "leafhunger/error.hpp"
#include "parallel.hpp"
#include "sampled_column.hpp"
#include "season_words.hpp"
#include "words.hpp"
#include "years.hpp"

namespace leafhunger {
namespace {

constexpr std::size_t k_lanes = 16;

void check(const EnsembleQuestion& q) {
  if (q.samples < 2 || q.samples > 10000)
    throw InputError({"", "samples", std::to_string(q.samples), "2 to 10000", "50 are enough for a first look"});
  if (!(q.width >= 0 && q.width <= 2))
    throw InputError({"", "width", input::plain(q.width), "0 to 2", "1 takes every spread as it stands"});
}

// The draws of one planting.
struct Draws {
  std::vector<UnknownFigure> figures;
  std::vector<std::vector<double>> values;  ///< [sample][figure]
  std::vector<SampledColumn> columns;
};

Draws draws_of(const Garden::Plan& plan, const ColumnPlan& column, const EnsembleQuestion& q) {
  Draws d;
  d.figures = unknown_figures(plan, column, q.width);
  d.values = draw(d.figures, q.seed, static_cast<std::size_t>(q.samples));
  for (const auto& values : d.values) d.columns.push_back(sampled_column(plan, column, d.figures, values));
  return d;
}

// Members of some of the draws in one season, with the climates that they point at.
struct Part {
  std::vector<SoilClimate> climates;
  std::vector<Member> members;
};
Part part_of(const Garden::Plan& plan, const Draws& draws, std::size_t from, std::size_t to, const Years& years, std::size_t y) {
  Part p;
  p.climates.reserve(to - from);
  for (std::size_t i = from; i < to; ++i) {
    const SampledColumn& s = draws.columns[i];
    auto doses = doses_of(plan, s.column, years.first[y], years.days[y].season.size());
    p.climates.push_back(climate_of(plan, s.column, years.days[y], doses));
    p.members.push_back(member_of(plan, s.column, p.climates.back(), std::move(doses)));
    p.members.back().nitrogen = &s.nitrogen;
  }
  return p;
}

// Index of nutrition and mineral N of each member, by day: [member][day].
struct Recorded {
  std::vector<std::vector<double>> nni, mineral_kg_n_ha;
};
Recorded record(const ColumnShape& shape, const std::vector<Member>& members) {
  ColumnBatch c(shape, members, k_lanes);
  const auto stepper = make_batch_stepper();
  c.start();
  Recorded r;
  r.nni.resize(members.size()), r.mineral_kg_n_ha.resize(members.size());
  std::vector<double> critical(k_lanes);
  for (std::size_t d = 0; d < c.days(); ++d) {
    c.begin_day(d);
    stepper->day(c, d);
    c.critical(critical);
    for (std::size_t i = 0; i < members.size(); ++i) {
      const double n = c.at(c.map().plant, i);
      double mineral = 0;
      for (std::size_t l = 0; l < shape.layers; ++l)
        mineral += c.at(c.map().ammonium + l, i) + c.at(c.map().nitrate_fast + l, i) + c.at(c.map().nitrate_slow + l, i);
      r.nni[i].push_back(critical[i] > 0 ? n / critical[i] : 1);
      r.mineral_kg_n_ha[i].push_back(mineral);
    }
  }
  return r;
}

Band band_of(const char* name, const char* unit, const std::vector<std::vector<double>>& of_member) {
  Band b{name, unit, {}};
  std::vector<double> today(of_member.size());
  for (std::size_t d = 0; d < of_member.front().size(); ++d) {
    for (std::size_t i = 0; i < today.size(); ++i) today[i] = of_member[i][d];
    std::sort(today.begin(), today.end());
    for (std::size_t q = 0; q < k_quantiles.size(); ++q) b.at[q].push_back(quantile_of_sorted(today, k_quantiles[q]));
  }
  return b;
}

double variance(const std::vector<double>& x) {
  if (x.size() < 2) return 0;
  double mean = 0, sum = 0;
  for (const double v : x) mean += v / static_cast<double>(x.size());
  for (const double v : x) sum += (v - mean) * (v - mean);
  return sum / static_cast<double>(x.size() - 1);
}

// Rows are draws, columns seasons: means of each, and the variance that neither explains.
struct TwoWay {
  double mean = 0;
  std::vector<double> of_draw, of_season;
  double both = 0;  ///< mean square of what is left over
};
TwoWay two_way(const std::vector<std::vector<double>>& x) {
  TwoWay t;
  const std::size_t n = x.size(), m = x.front().size();
  t.of_draw.resize(n), t.of_season.resize(m);
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t y = 0; y < m; ++y) {
      t.of_draw[i] += x[i][y] / static_cast<double>(m);
      t.of_season[y] += x[i][y] / static_cast<double>(n);
      t.mean += x[i][y] / static_cast<double>(n * m);
    }
  if (n < 2 || m < 2) return t;
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t y = 0; y < m; ++y) {
      const double e = x[i][y] - t.of_draw[i] - t.of_season[y] + t.mean;
      t.both += e * e / static_cast<double>((n - 1) * (m - 1));
    }
  return t;
}

// The figure whose draws correlate most with `of_draw`, by the square of Pearson's r.
std::string tells_most(const Draws& draws, const std::vector<double>& of_draw) {
  std::string name;
  double best = 0;
  std::vector<double> x(of_draw.size());
  const double spread = variance(of_draw);
  for (std::size_t f = 0; f < draws.figures.size(); ++f) {
    double mean_x = 0, mean_y = 0, both = 0;
    for (std::size_t i = 0; i < x.size(); ++i) {
      x[i] = draws.values[i][f];
      mean_x += x[i] / static_cast<double>(x.size()), mean_y += of_draw[i] / static_cast<double>(x.size());
    }
    for (std::size_t i = 0; i < x.size(); ++i) both += (x[i] - mean_x) * (of_draw[i] - mean_y) / static_cast<double>(x.size() - 1);
    const double of = variance(x) * spread, share = of > 0 ? both * both / of : 0;
    if (share > best) best = share, name = draws.figures[f].name;
  }
  return name;
}

void sum_up(PlantingSureness& p, const Site& site, const Years& years, const Draws& draws) {
  const std::size_t n = p.outcome.size(), m = years.seasons.size();
  std::vector<std::vector<double>> kept_there(n, std::vector<double>(m)), day(n, std::vector<double>(m));
  std::vector<double> of_draw;
  std::vector<std::optional<Date>> days;
  const auto seasons = static_cast<int>(m);
  for (std::size_t i = 0; i < n; ++i) {
    int kept_years = 0;
    for (std::size_t y = 0; y < m; ++y) {
      const bool k = p.outcome[i][y] == Outcome::carried || p.outcome[i][y] == Outcome::just_carried;
      kept_years += k;
      kept_there[i][y] = k;
      const auto& at = p.first_short[i][y];
      day[i][y] = at ? static_cast<double>(*at) : static_cast<double>(years.days[y].season.size());
      days.push_back(at ? std::optional(years.first[y] + std::chrono::days{static_cast<long>(*at)}) : std::nullopt);
    }
    of_draw.push_back(static_cast<double>(kept_years) / seasons);
    p.draws_that_keep += (kept_years >= nine_in_ten(seasons)) / static_cast<double>(n);
  }
  const TwoWay kept_ways = two_way(kept_there), day_ways = two_way(day);
  p.kept_share = kept_ways.mean;
  p.standard_error =
      std::sqrt(variance(kept_ways.of_draw) / static_cast<double>(n) + variance(kept_ways.of_season) / static_cast<double>(m));
  // Means over few seasons scatter by what is left over; that part is not the draw's own.
  p.unknown_d = std::sqrt(std::max(0.0, variance(day_ways.of_draw) - day_ways.both / static_cast<double>(m)));
  p.weather_d = std::sqrt(std::max(0.0, variance(day_ways.of_season) - day_ways.both / static_cast<double>(n)));
  p.both_d = std::sqrt(day_ways.both);
  p.tells_most = tells_most(draws, day_ways.of_draw);

  std::sort(of_draw.begin(), of_draw.end());
  days = by_calendar(site, std::move(days));
  for (std::size_t q = 0; q < k_quantiles.size(); ++q) {
    p.kept_share_of_draw[q] = quantile_of_sorted(of_draw, k_quantiles[q]);
    const auto& at = days[static_cast<std::size_t>(std::lround(k_quantiles[q] * static_cast<double>(days.size() - 1)))];
    if (at) p.first_short_day[q] = month_day_of(*at);
  }
  const auto until = kept_nine_in_ten(site, days);
  p.kept_whole_season = !until;
  p.kept_nine_in_ten = until.value_or(month_day_of(years.first.back() - std::chrono::days{1}));
}

std::vector<Unknown> unknowns_of(const std::vector<UnknownFigure>& figures) {
  std::vector<Unknown> out;
  for (const UnknownFigure& f : figures) {
    if (f.spread.minus <= 0 && f.spread.plus <= 0) continue;
    out.push_back({f.of, f.name, f.spread.value, quantile_of(f.spread, 0.05), quantile_of(f.spread, 0.95)});
  }
  return out;
}

}  // namespace

EnsembleResult how_sure_it_is(const Garden& garden, const EnsembleQuestion& q, const Control& control) {
  check(q);
  const Garden::Plan& plan = garden.plan();
  const Years years = all_years(plan);
  const auto planted = planted_columns(plan);
  EnsembleResult out;
  out.garden = plan.scenario.garden, out.note = plan.scenario.note, out.weather_note = plan.scenario.weather.made_up,
  out.carry_to = plan.scenario.question.carry_to, out.seasons = years.seasons, out.samples = q.samples, out.seed = q.seed;
  out.band_season = q.season.value_or(plan.scenario.question.season);
  const auto in_years = std::find(years.seasons.begin(), years.seasons.end(), out.band_season);
  if (in_years == years.seasons.end()) days_of_season(plan, out.band_season);  // throws the sentence
  const auto band_year = static_cast<std::size_t>(in_years - years.seasons.begin());
  out.band_first = years.first[band_year];

  const auto n = static_cast<std::size_t>(q.samples), m = years.seasons.size();
  std::vector<Draws> draws(planted.size());
  parallel_for(planted.size(), [&](std::size_t p) { draws[p] = draws_of(plan, *planted[p], q); });
  out.plantings.resize(planted.size());
  for (std::size_t p = 0; p < planted.size(); ++p) {
    PlantingSureness& s = out.plantings[p];
    s.name = planted[p]->name, s.hunger = planted[p]->plant->hunger, s.fed = !planted[p]->given.empty();
    s.unknowns = unknowns_of(draws[p].figures);
    s.outcome.assign(n, std::vector<Outcome>(m)), s.first_short.assign(n, std::vector<std::optional<std::size_t>>(m));
  }
  std::mutex telling;
  std::size_t done = 0;
  std::vector<std::size_t> seasons_done(planted.size());
  parallel_for(planted.size() * m, [&](std::size_t task) {
    const std::size_t p = task / m, y = task % m;
    PlantingSureness& s = out.plantings[p];
    Recorded season;
    for (std::size_t from = 0; from < n; from += k_lanes) {
      if (control.stopped()) return;
      const std::size_t to = std::min(n, from + k_lanes);
      const Part part = part_of(plan, draws[p], from, to, years, y);
      const auto briefs = run_batch(planted[p]->shape, part.members, k_lanes);
      for (std::size_t i = from; i < to; ++i) {
        const Verdict v = judge(briefs[i - from].plant, years.until[y]);
        s.outcome[i][y] = v.outcome, s.first_short[i][y] = v.first_short;
      }
      if (!q.bands || y != band_year) continue;
      Recorded more = record(planted[p]->shape, part.members);
      std::move(more.nni.begin(), more.nni.end(), std::back_inserter(season.nni));
      std::move(more.mineral_kg_n_ha.begin(), more.mineral_kg_n_ha.end(), std::back_inserter(season.mineral_kg_n_ha));
    }
    if (q.bands && y == band_year) s.bands = {band_of("nni", "-", season.nni), band_of("mineral_kg_n_ha", "kg/ha", season.mineral_kg_n_ha)};
    const std::scoped_lock lock(telling);
    ++seasons_done[p], ++done;
    if (control.progress) control.progress(done, planted.size() * m);
  });
  std::vector<PlantingSureness> answered;
  for (std::size_t p = 0; p < planted.size(); ++p) {
    if (seasons_done[p] < m) continue;
    sum_up(out.plantings[p], plan.scenario.site, years, draws[p]);
    answered.push_back(std::move(out.plantings[p]));
  }
  out.plantings = std::move(answered), out.stopped = out.plantings.size() < planted.size();
  out.feed_words = words_of_feedings(plan, years.first.back(), years.days.back().season.size());
  out.notes = notes_of(plan, years.days.front());
  return out;
}

}  // namespace leafhunger
