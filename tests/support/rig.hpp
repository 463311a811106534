// A column under weather made by hand: warm, moist and still unless a test says otherwise. Nothing grows, nothing drains, no soil nitrogen.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "core/column.hpp"
#include "core/season.hpp"
#include "core/stepper.hpp"
#include "models.hpp"

namespace leafhunger::testing {

/// A soil without organic matter, layers of 50, 100, 150 and 300 mm.
inline Soil bare_loam() { return make_soil(*find_texture("loam"), 0); }

/// Forcings that do not change: the ground at `t_c`, at field capacity, no rain.
inline SoilClimate constant_climate(const Soil& soil, std::size_t days, double t_c) {
  SoilClimate c;
  c.first = make_date(2003, {11, 1});
  c.days = days, c.layers = soil.layers();
  const std::size_t cells = days * c.layers;
  c.t_c.assign(cells, t_c);
  for (std::size_t d = 0; d < days; ++d)
    for (std::size_t l = 0; l < c.layers; ++l) {
      c.theta.push_back(soil.theta_fc[l]);
      c.wfps_frac.push_back(soil.theta_fc[l] / soil.theta_sat[l]);
    }
  c.available_frac.assign(cells, 1);
  for (auto* rows : {&c.drained_mm, &c.reach_per_day, &c.reach_wet_per_day, &c.root_frac}) rows->assign(cells, 0);
  for (auto* rows : {&c.rain_mm, &c.rain3_mm, &c.watered_mm, &c.evaporated_mm, &c.transpired_mm, &c.run_off_mm, &c.f_t, &c.awake,
                     &c.cover_frac, &c.fixed_frac, &c.reserve_frac, &c.root_front_mm, &c.w_twin_t_ha, &c.w_free_t_ha})
    rows->assign(days, 0);
  for (auto* rows : {&c.stress, &c.keep_frac, &c.luxury}) rows->assign(days, 1);
  c.radiation_mj_m2.assign(days, 15), c.day_length_h.assign(days, 14);
  c.t_min_c.assign(days, t_c - 5), c.t_max_c.assign(days, t_c + 5);
  for (std::size_t d = 0; d < days; ++d) c.day_of_year.push_back(day_of_year(c.first + std::chrono::days{static_cast<long>(d)}));
  return c;
}

/// Nothing but what a test gives: no soil nitrogen, no nitrification, no denitrification.
inline NitrogenConstants quiet() {
  NitrogenConstants k;
  k.mineral_at_start_kg_ha = 0;
  k.nitrify_mg_kg_d = 0;
  k.denitrify_mg_kg_d = 0;
  k.humus_freed_per_year = 0;
  return k;
}

struct Rig {
  Soil soil;
  SoilClimate climate;
  NitrogenConstants nitrogen = quiet();
  ColumnShape shape;
  std::vector<SlotMaterial> materials;
  std::vector<Dose> doses;
  std::optional<PlantOnGround> plant;
  Without without = Without::nothing;

  Rig(std::size_t days, double t_c, Soil ground = bare_loam()) : soil(std::move(ground)), climate(constant_climate(soil, days, t_c)) {
    shape.layers = soil.layers();
  }
  Rig(const Rig&) = delete;
  Rig& operator=(const Rig&) = delete;

  /// A material; answers its slot.
  std::size_t add(const std::string& model, const std::map<std::string, double>& set = {}, double forked_mm = 0,
                  SurfaceConstants surface = {0, 0, 1, 5.5}) {
    const lh_release& table = testing::release(model);
    shape.slots.push_back({&table, forked_mm});
    SlotMaterial material;
    material.parameter = parameters(table.about, set);
    material.surface = surface;
    material.t_dm_per_kg_n = 0.02;
    materials.push_back(material);
    return shape.slots.size() - 1;
  }
  /// A plant of that model that sees the same light and warmth every day.
  void grow(const std::string& model, double cover = 0.8) {
    PlantOnGround p;
    p.model = &testing::demand(model);
    p.parameter = default_parameters(p.model->about);
    p.cover = cover;
    plant = p;
    shape.demand = p.model;
  }
  void feed(std::size_t day, std::size_t slot, double kg_n_ha, double watered_in_mm = 0) {
    doses.push_back({day, slot, kg_n_ha, watered_in_mm, doses.size()});
  }

  Member member() const {
    Member m;
    m.climate = &climate, m.soil = &soil, m.plant = plant ? &*plant : nullptr, m.nitrogen = &nitrogen, m.materials = &materials,
    m.doses = doses;
    m.without = without;
    return m;
  }
};

inline constexpr Tolerance k_tight{1e-12, 1e-12};

using Look = std::function<void(std::size_t day, ColumnBatch& column)>;

/// Runs a member through, looking at 24:00 of each day. Answers the evaluations of the right-hand side.
inline std::size_t run(const ColumnShape& shape, const Member& member, Stepper& stepper, const Look& look) {
  ColumnBatch column(shape, {&member, 1}, 1);
  column.start();
  for (std::size_t d = 0; d < column.days(); ++d) {
    column.begin_day(d);
    stepper.day(column, d);
    look(d, column);
  }
  return stepper.evaluations();
}
inline std::size_t run(const Rig& rig, const Look& look, Tolerance tolerance = k_tight) {
  const auto stepper = make_reference_stepper(tolerance);
  return run(rig.shape, rig.member(), *stepper, look);
}

inline double sum_of_layers(const ColumnBatch& c, std::size_t first, std::size_t lane = 0) {
  double sum = 0;
  for (std::size_t l = 0; l < c.shape().layers; ++l) sum += c.at(first + l, lane);
  return sum;
}
inline double ammonium(const ColumnBatch& c, std::size_t lane = 0) { return sum_of_layers(c, c.map().ammonium, lane); }
inline double nitrate(const ColumnBatch& c, std::size_t lane = 0) {
  return sum_of_layers(c, c.map().nitrate_fast, lane) + sum_of_layers(c, c.map().nitrate_slow, lane);
}

/// Pool of a slot by its name in the plugin's table.
inline double pool(const ColumnBatch& c, std::size_t slot, const std::string& name, std::size_t lane = 0) {
  const lh_release& model = *c.shape().slots[slot].model;
  for (int32_t p = 0; p < model.n_pool; ++p)
    if (name == model.pool[p].name) return c.at(c.map().slot[slot].first_pool + static_cast<std::size_t>(p), lane);
  throw std::runtime_error(std::string(model.about.name) + " has no pool " + name);
}

}  // namespace leafhunger::testing
