#include "leafhunger/lesson.hpp"

#include <algorithm>

#include "garden_plan.hpp"
#include "leafhunger/error.hpp"
#include "season_words.hpp"

namespace leafhunger {
namespace {

constexpr int k_drawn_before_d = 14, k_drawn_after_d = 140, k_look_after_d = 42;  // our own choice: a fortnight, a summer, six weeks

// Mean of the three months that make a spring of that season.
double spring_air_c(const Scenario& s, int season) {
  const bool south = s.site.latitude_deg < 0;
  const Date from = make_date(south ? season - 1 : season, {south ? 9u : 3u, 1}),
             to = make_date(south ? season - 1 : season, {south ? 12u : 6u, 1});
  double sum = 0;
  for (Date d = from; d < to; d += std::chrono::days{1}) {
    const auto i = static_cast<std::size_t>((d - s.weather.first).count());
    sum += 0.5 * (s.weather.tmin_c[i] + s.weather.tmax_c[i]);
  }
  return sum / static_cast<double>((to - from).count());
}

struct Drawn {
  std::size_t from, fed, looked, to;  ///< days of the season
};

Spring spring_of(const Garden& garden, const std::string& planting, int season, double air_c, const Drawn& at, LessonResult& out) {
  SeasonOptions options;
  options.season = season, options.reasons = false;
  const SeasonResult r = run_season(garden, options);
  out.feed_words = r.feed_words.front();
  const ColumnResult& c = *std::find_if(r.columns.begin(), r.columns.end(), [&](const ColumnResult& x) { return x.name == planting; });
  const auto of = [&](const char* name) -> const std::vector<double>& { return c.find(name)->values; };
  const auto &given = of("given_kg_n_ha"), &unfreed = of("unfreed_kg_n_ha"), &microbes = of("microbes_kg_n_ha"),
             &humus = of("humus_kg_n_ha");
  const Series& soil = *c.find("soil_c");
  const std::size_t layer = std::min<std::size_t>(1, soil.layers - 1);
  const auto& taken = of("taken_kg_n_ha");
  const double g_a_plant = 0.1 * c.area_m2 / std::max(1, c.count);
  Spring s;
  s.season = season, s.air_c = air_c;
  for (std::size_t d = at.from; d < at.to; ++d) {
    s.freed_by_day_g.push_back(given[d] > 0 ? 100 * (given[d] - unfreed[d] - microbes[d] - humus[d]) / given[d] : 0);
    s.taken_by_day_g.push_back(g_a_plant * taken[d]);
  }
  for (std::size_t d = at.fed; d < at.looked; ++d)
    s.soil_c += soil.values[d * soil.layers + layer] / static_cast<double>(at.looked - at.fed);
  s.freed_g = s.freed_by_day_g[at.looked - at.from], s.taken_g = s.taken_by_day_g[at.looked - at.from];
  return s;
}

}  // namespace

Scenario one_handful(Scenario s, std::string& planting) {
  const auto first_fed = [&](bool greedy) -> std::string {
    for (const Bed& b : s.beds)
      for (const Planting& p : b.plantings) {
        if (greedy && s.catalogue.plants.at(p.plant).hunger != Hunger::greedy) continue;
        for (const Feeding& f : s.feedings)
          if (fed_by(f, s.beds).count(p.name) > 0) return p.name;
      }
    return "";
  };
  planting = first_fed(true);
  if (planting.empty()) planting = first_fed(false);
  if (planting.empty())
    throw InputError(
        {s.file, "/feedings", "nothing fed to a planting", "a feed to at least one", "add a feeding, or take another scenario"});
  const Feeding* first = nullptr;
  for (const Feeding& f : s.feedings)
    if (fed_by(f, s.beds).count(planting) > 0 && (!first || order_in_season(s.site, f.on) < order_in_season(s.site, first->on))) first = &f;
  Feeding once = *first;
  once.every_days.reset(), once.until.reset();
  s.feedings = {once};
  return s;
}

LessonResult make_lesson(const Garden& garden, const std::string& planting, const LessonPresets& p, const PluginRegistry& registry,
                         const LoadReport& report) {
  const Scenario& s = garden.scenario();
  LessonResult out;
  out.presets = p;
  const auto jars = [&](const std::vector<std::string>& ids, std::vector<double> warmth, std::vector<std::optional<double>> wet, int day) {
    CurvesQuestion q;
    q.temperature_c = std::move(warmth), q.wfps_frac = std::move(wet);
    q.days = table_days(p.last_day);
    if (std::find(q.days.begin(), q.days.end(), day) == q.days.end())
      q.days.insert(std::upper_bound(q.days.begin(), q.days.end(), day), day);
    return release_curves(find_materials(s.catalogue, ids), registry, report, q);
  };
  std::vector<double> warmth;
  std::vector<std::optional<double>> wet;
  for (const auto& jar : p.warmth) warmth.push_back(jar.value);
  for (const auto& jar : p.moisture) wet.emplace_back(jar.value);
  out.warmth = jars({p.warmth_material}, warmth, {std::nullopt}, p.warmth_day);
  out.moisture = jars({p.moisture_material}, {p.moisture_c}, wet, p.moisture_day);
  out.feeds = jars(p.feeds, {p.feeds_c}, {std::nullopt}, p.feeds_day);
  for (const std::string& id : p.feeds) out.carbon_to_nitrogen.push_back(s.catalogue.materials.at(id).carbon_to_nitrogen);

  const auto seasons = garden.seasons();
  if (seasons.size() < 2)
    throw InputError(
        {s.weather_file, "", "weather of " + std::to_string(seasons.size()) + " whole season" + (seasons.size() == 1 ? "" : "s"),
         "two seasons or more, to have a cold spring and a warm one", "take a longer weather file, or one made by `leafhunger weather`"});
  std::vector<std::pair<double, int>> by_warmth;
  for (const int season : seasons) by_warmth.emplace_back(spring_air_c(s, season), season);
  const auto [coldest, warmest] = std::minmax_element(by_warmth.begin(), by_warmth.end());
  const Feeding& f = s.feedings.front();
  const auto drawn_in = [&](int season) {
    const Date first = season_first(s.site, season);
    const auto days = static_cast<std::size_t>((season_last(s.site, season) - first).count()) + 1;
    const std::size_t fed = feeding_days(f, first, days).front();
    const std::size_t from = fed > k_drawn_before_d ? fed - k_drawn_before_d : 0;
    return Drawn{from, fed, std::min(days - 1, fed + k_look_after_d), std::min(days, fed + k_drawn_after_d + 1)};
  };
  out.garden = s.garden, out.note = s.note, out.weather_note = s.weather.made_up, out.planting = planting;
  const Drawn at = drawn_in(coldest->second);
  const Date first = season_first(s.site, coldest->second);
  out.drawn_from = first + std::chrono::days{static_cast<long>(at.from)}, out.fed_on = first + std::chrono::days{static_cast<long>(at.fed)};
  out.looked_on = first + std::chrono::days{static_cast<long>(at.looked)};
  out.cold = spring_of(garden, planting, coldest->second, coldest->first, at, out);
  out.warm = spring_of(garden, planting, warmest->second, warmest->first, drawn_in(warmest->second), out);
  const auto behind = [&](const std::vector<double>& cold, double warm) -> std::optional<int> {
    const auto reached =
        std::find_if(cold.begin() + static_cast<std::ptrdiff_t>(at.fed - at.from), cold.end(), [&](double g) { return g >= warm; });
    if (reached == cold.end()) return std::nullopt;
    return static_cast<int>(reached - cold.begin()) - static_cast<int>(at.looked - at.from);
  };
  out.feed_behind_d = behind(out.cold.freed_by_day_g, out.warm.freed_g);
  out.plants_behind_d = behind(out.cold.taken_by_day_g, out.warm.taken_g);
  return out;
}

}  // namespace leafhunger
