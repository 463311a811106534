// How a garden is cut into columns. Private to the engine.
#pragma once

#include <algorithm>
#include <memory>
#include <string>
#include <vector>

#include "core/column.hpp"
#include "leafhunger/garden.hpp"

namespace leafhunger {

/// One column: the ground that one planting feeds from, or the ground of a bed that nothing grows on.
struct ColumnPlan {
  std::string name;
  std::size_t bed = 0;
  const Planting* planting = nullptr;  ///< null: bare
  const Plant* plant = nullptr;
  double area_m2 = 0;
  Ground ground;
  PlantOnGround on_ground;  ///< meaningless where bare
  /// What is given to it. `feeding` is the index in the scenario.
  struct Given {
    std::size_t feeding;
    std::vector<std::size_t> slots;  ///< one, or one a date where the model ages
    double kg_material_ha;
    std::size_t slot_of(std::size_t date) const { return slots[std::min(date, slots.size() - 1)]; }
  };
  std::vector<Given> given;
  ColumnShape shape;
  std::vector<SlotMaterial> materials;  ///< one a slot
  std::vector<const Material*> slot_material;

  const PlantOnGround* plant_or_null() const { return planting ? &on_ground : nullptr; }
};

struct Garden::Plan {
  Scenario scenario;
  std::shared_ptr<const PluginRegistry> registry;
  std::string search_summary;
  Atmosphere atmosphere;
  NitrogenConstants nitrogen;
  std::vector<ColumnPlan> columns;
};

/// A material as its release model needs it: parameters from the entry, the label and the form. Throws InputError.
SlotMaterial slot_material(const Material& material, const lh_release& model);
/// The release model of a material. Throws InputError naming what was searched.
const lh_release& release_of(const Garden::Plan& plan, const Material& material);
/// Slots for this material and depth, given `dates` times in a season. What ages (coats, inhibitors) needs new ones, one a date, since a
/// second dose must not grow old with the first; all else shares one, made where there is none.
std::vector<std::size_t> slots_for(const Garden::Plan& plan, ColumnPlan& column, const Material& material, double forked_mm,
                                   std::size_t dates);

/// Columns on which something is planted, in the scenario's order.
std::vector<const ColumnPlan*> planted_columns(const Garden::Plan& plan);

/// Dates of a feeding within the season that starts on `first`, as day indices, ascending.
std::vector<std::size_t> feeding_days(const Feeding& feeding, Date first, std::size_t days);
/// All doses of the scenario on a column in that season; `source` is the feeding's index.
std::vector<Dose> doses_of(const Garden::Plan& plan, const ColumnPlan& column, Date first, std::size_t days);
/// Climate of a column in a season.
SoilClimate climate_of(const Garden::Plan& plan, const ColumnPlan& column, const SeasonDays& days, const std::vector<Dose>& doses);
/// Throws InputError where the weather does not cover the season.
SeasonDays days_of_season(const Garden::Plan& plan, int season);
/// Index of the question's date in a season that starts on `first`.
std::size_t carry_to_index(const Garden::Plan& plan, Date first, std::size_t days);
/// Share of a material's N that is soluble at once (nitrate, ammonium, urea and other ready N).
double soluble_share(const Material& material, const lh_release& model);

}  // namespace leafhunger
