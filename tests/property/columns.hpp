// Columns of a garden, ready to run: what season_run.cpp does, laid open for tests.
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "core/row_name.hpp"
#include "core/season.hpp"
#include "host/garden_plan.hpp"
#include "host/years.hpp"
#include "support/garden.hpp"

namespace leafhunger::testing {

/// One column in one season. Holds what its member points at.
struct ReadyColumn {
  const ColumnPlan* plan = nullptr;
  std::unique_ptr<SoilClimate> climate;
  Member member;
  std::string name() const { return plan->name; }
};

inline std::vector<ReadyColumn> ready_columns(const Garden& garden, int season) {
  const Garden::Plan& plan = garden.plan();
  const SeasonDays days = days_of_season(plan, season);
  std::vector<ReadyColumn> all;
  for (const ColumnPlan& c : plan.columns) {
    ReadyColumn r;
    r.plan = &c;
    const auto doses = doses_of(plan, c, season_first(plan.scenario.site, season), days.season.size());
    r.climate = std::make_unique<SoilClimate>(climate_of(plan, c, days, doses));
    r.member = member_of(plan, c, *r.climate, doses);
    all.push_back(std::move(r));
  }
  return all;
}

/// A garden as it is drawn, and its weather by seed: beds of any soil, pots, mulch, plants, feedings of every kind, watering, a cold or a
/// warm year, north or south.
inline Scenario random_scenario(Draw draw, unsigned seed = 1) {
  Scenario s = empty_scenario(1, seed, draw.chance(0.2) ? -41.0 : draw.between(42, 60));
  const double colder = draw.between(-4, 6);
  for (auto* row : {&s.weather.tmin_c, &s.weather.tmax_c})
    for (double& t : *row) t -= colder;
  const double wetter = draw.between(0.2, 2.5);
  for (double& r : s.weather.rain_mm) r *= wetter;
  std::vector<std::string> plants, materials;
  for (const auto& [id, plant] : s.catalogue.plants) plants.push_back(id);
  // Sample models too, so that ages, bends and straight gas are in.
  for (const char* model : {"sample-first-order-nitrate", "sample-coated-granule", "sample-gassing-chips"}) {
    Material m = s.catalogue.materials.at("dried-blood");
    m.id = model, m.model = model, m.n_percent = 8, m.carbon_to_nitrogen = 0, m.parameters.clear(), m.cautions.clear();
    s.catalogue.materials[model] = m;
  }
  Material straw = s.catalogue.materials.at("garden-compost");
  straw.id = "straw", straw.n_percent = 0.5, straw.carbon_to_nitrogen = 80, straw.form = Form::bulky,
  straw.parameters = {{"fast_frac", 0.8}, {"fast_per_day", 0.05}};
  s.catalogue.materials["straw"] = straw;
  for (const auto& [id, material] : s.catalogue.materials) materials.push_back(id);

  const int beds = draw.whole(1, 3);
  for (int b = 0; b < beds; ++b) {
    const Texture& texture = draw.of(textures());
    const double area_m2 = draw.log_between(1, 200), organic_matter_percent = draw.between(0, 12);
    Bed one = bed("Bed " + std::to_string(b + 1), area_m2, organic_matter_percent, texture.name);
    if (draw.chance(0.25)) {
      const double diameter = draw.between(0.2, 1.2), in_pot_percent = draw.between(0, 5), deep_mm = draw.between(150, 800);
      one.soil = make_container(texture, in_pot_percent, deep_mm, diameter);
      one.area_m2 = 0.785398 * diameter * diameter;
    }
    one.soil.ph = draw.between(4, 8.5);
    if (draw.chance(0.3)) one.mulch.depth_mm = draw.between(10, 150), one.mulch.cover_frac = draw.between(0.2, 1);
    if (draw.chance(0.3)) {
      one.watering.emplace();
      one.watering->below_frac = draw.between(0.2, 0.8), one.watering->give_mm = draw.between(5, 25);
    }
    for (int p = draw.whole(0, 3); p > 0; --p) {
      const std::string& plant = draw.of(plants);
      one.plantings.push_back(planting(s, one.name + ", plant " + std::to_string(p), plant, draw.whole(1, 5)));
    }
    s.beds.push_back(one);
  }
  for (int f = draw.whole(0, 5); f > 0; --f) {
    const Bed& where = draw.of(s.beds);
    const MonthDay on{static_cast<unsigned>(draw.whole(1, 12)), static_cast<unsigned>(draw.whole(1, 28))};
    const bool to_bed = where.plantings.empty() || draw.chance(0.5);
    const std::string& material = draw.of(materials);
    const double grams = draw.log_between(1, 800);
    Feeding feeding = to_bed ? broadcast(material, on, grams, where.name) : per_plant(material, on, grams, {draw.of(where.plantings).name});
    if (draw.chance(0.4)) feeding.watered_in_mm = draw.between(1, 30);
    if (draw.chance(0.3)) feeding.forked_in_mm = draw.between(10, 400);
    if (draw.chance(0.3)) {
      const auto last = month_day_of(make_date(2003, on) + std::chrono::days{draw.whole(1, 90)});
      if (order_in_season(s.site, last) >= order_in_season(s.site, on)) feeding.every_days = draw.whole(5, 60), feeding.until = last;
    }
    s.feedings.push_back(feeding);
  }
  return s;
}
inline Scenario random_scenario(unsigned seed) { return random_scenario(Draw(seed), seed); }

}  // namespace leafhunger::testing
