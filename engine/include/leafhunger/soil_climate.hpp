// Soil climate of one column over one season: temperature, water, drainage, roots, and a twin of the plant that is never short of nitrogen.
// Computed before any nitrogen moves, since nothing in it depends on nitrogen. A day's order is fixed in soil_climate.cpp.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "leafhunger/atmosphere.hpp"
#include "leafhunger/catalogue.hpp"
#include "leafhunger/heat.hpp"
#include "leafhunger/plugin.h"
#include "leafhunger/response.hpp"
#include "leafhunger/soil.hpp"
#include "leafhunger/weather.hpp"

namespace leafhunger {

/// A plant on its column. `cover` is c: crowns over ground, may pass 1.
struct PlantOnGround {
  const lh_demand* model = nullptr;
  std::vector<double> parameter;  ///< one set, in the model's order
  std::vector<Table> tables;      ///< the same for all members of a batch
  PlantHost host;
  double cover = 0.8;
};

/// A bulky material that lies on top: it shields the soil by what is left of it (equations.md 4.3).
struct MulchMaterial {
  const lh_release* model = nullptr;     ///< one without ages
  std::vector<double> parameter;         ///< one set, in the model's order
  std::vector<ChosenResponse> response;  ///< one for each of the model's, or none at all
  double t_dm_per_kg_n = 0;              ///< dry matter that goes with its N
  double mm_per_kg_n_ha = 0;             ///< thickness that goes with it
  double conductivity_w_m_k = 0.2;       ///< of heat
};
/// Some of it, spread at 00 of a day of the season.
struct MulchGiven {
  std::size_t day, material;  ///< index into Ground::mulches
  double kg_n_ha;
};

/// The ground of one column and what is done to its water.
struct Ground {
  Soil soil;
  double mulch_frac = 0;                   ///< share of the ground that mulch covers
  double mulch_resistance_m2k_w = 0;       ///< share covered x thickness / conductivity
  std::vector<MulchMaterial> mulches;      ///< mulches that are feeds, on top of the constant one above
  std::vector<MulchGiven> mulch_given;     ///< by day
  std::optional<double> water_below_frac;  ///< watering by rule, while the plant grows
  double water_give_mm = 0;
  double water_depth_mm = 0;               ///< the rule reads the mean of the ground above it; 0: the water at the roots
  std::vector<double> by_hand_mm;          ///< one entry a day of the season, or empty
  std::vector<double> spin_up_by_hand_mm;  ///< one entry a day of the spin-up, or empty
  bool south = false;                      ///< calendar rules are shifted by half a year
  HeatOptions heat;
};

/// Which days of the weather to use: indices into it. `spin_up` runs before `season` and is thrown away.
struct SeasonDays {
  std::vector<std::size_t> spin_up, season;
  bool spun_on_own_year = false;  ///< the record starts too late, so the season's own year was used twice
};

/// Rows of days. Arrays named per layer are [day * layers + layer].
struct SoilClimate {
  Date first;
  std::size_t days = 0, layers = 0, factors = 0;
  std::vector<double> t_c, wfps_frac, theta, available_frac, drained_mm;  ///< per layer; available_frac at 00
  std::vector<double> reach_per_day, reach_wet_per_day;                   ///< per layer; k_up x roots x cold x dry, and without dry
  std::vector<double> root_frac;                                          ///< per layer; x_l, share of the layer that roots can draw on
  std::vector<double> stress, f_t, awake, cover_frac, luxury, fixed_frac, keep_frac, reserve_frac, root_front_mm;
  std::vector<double> rain_mm;     ///< net of leaves and mulch, watering by rule included: what washes in
  std::vector<double> rain3_mm;    ///< mean of three days
  std::vector<double> by_hand_mm;  ///< watering by hand; not in rain_mm
  std::vector<double> risen_mm;    ///< from below into the lowest layer, net of what drained out of it that day; drained_mm likewise
  std::vector<double> mulch_mm;    ///< thickness that is left of mulches that are feeds, in the morning
  std::vector<double> watered_mm, evaporated_mm, transpired_mm, run_off_mm, radiation_mj_m2, day_length_h, t_min_c, t_max_c, day_of_year;
  std::vector<double> w_twin_t_ha;                 ///< at the end of the day, never short of N
  std::vector<double> w_free_t_ha;                 ///< never short of N nor water
  std::vector<double> factor;                      ///< [day * factors + i], the plant's constants of the day
  double w_reference_t_ha = 0;                     ///< greatest dry matter of the twin in the spin-up season
  double stored_first_mm = 0, stored_last_mm = 0;  ///< water in the column when the season begins and when it ends

  double at(const std::vector<double>& rows, std::size_t day, std::size_t layer) const { return rows[day * layers + layer]; }
};

/// `plant` may be null: bare ground. Throws PluginError where the plant's model fails or returns a number that is not finite.
SoilClimate make_soil_climate(const DailyWeather& weather, const Atmosphere& atmosphere, const SeasonDays& days, const Ground& ground,
                              const PlantOnGround* plant);

/// Indices of `first` to `last`, with the 365 days before. Where the record starts too late for those, the season's own first 365 days are
/// run twice and `spun_on_own_year` says so. Nothing where the weather does not cover first to last.
std::optional<SeasonDays> season_days(const DailyWeather& weather, Date first, Date last);

}  // namespace leafhunger
