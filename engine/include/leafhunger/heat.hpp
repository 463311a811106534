// Heat in the ground: implicit one-dimensional conduction to 10 m under a surface that balances radiation, evaporation and exchange with
// the air, through canopy, mulch and snow. Freezing included.
#pragma once

#include <span>
#include <vector>

#include "leafhunger/soil.hpp"

namespace leafhunger {

struct HeatOptions {
  double exchange_w_m2_k = 25;           ///< h while net > 0, and in the resistance to the ground (fitted at one station, others agree)
  double exchange_calm_w_m2_k = 13;      ///< h while net < 0
  double conductivity_w_m_k = 1.0;       ///< k, constant
  double capacity_mj_m3_k = 2.3;         ///< C, constant
  bool moist_properties = false;         ///< k and C by Johansen (1975) from the water given to set_water() instead of the constants
  double freezing_water_frac = 0.20;     ///< water that freezes at 0 degC, m3/m3; 0 switches freezing off
  double snow_resistance_per_mm = 0.02;  ///< m2 K/W per mm of water in the snow
  bool snow = true;
  double wall_sun_frac = 0.15;  ///< a_w of a pot's wall in sun, 0 in shade
  double wall_u_w_m2_k = 5;     ///< U_w of a pot's wall
};

/// One day at the surface.
struct SurfaceDay {
  double t_air_c = 10, radiation_mj_m2 = 0, net_longwave_mj_m2 = 0;
  double rain_mm = 0;                 ///< before interception; falls as snow when cold
  double evaporated_mm = 0;           ///< from the soil
  double transpired_mm = 0;           ///< by the leaves above
  double intercepted_mm = 0;          ///< caught by leaves and given back
  double mulch_caught_mm = 0;         ///< caught by mulch and given back
  double cover_frac = 0;              ///< 0-1
  double mulch_resistance_m2k_w = 0;  ///< share covered x thickness / conductivity
  double turf_resistance_m2k_w = 0;   ///< cover x 0.20 for standing unmown grass
  double shade = 0.7;                 ///< s_c of this canopy
};

/// Equivalent temperature of the surface, degC. Checked against three printed values in tests.
double equivalent_temperature_c(const SurfaceDay& day, const HeatOptions& options);

/// The ground's temperature. In soil the grid has 21 cells to 10.6 m whatever the column's own layers; in a pot it ends at the pot's base.
class HeatColumn {
 public:
  HeatColumn(const Soil& soil, const HeatOptions& options, double start_c);

  /// Water of each soil layer at 00, m3/m3; does nothing unless options.moist_properties. Below the column its lowest layer goes on.
  void set_water(std::span<const double> theta);
  /// Advances a day in four backward Euler steps; layer_c gets the day's mean at the middle of each soil layer.
  /// SolverError where the day's weather is not finite.
  void step(const SurfaceDay& day, std::span<double> layer_c);
  /// The day's mean at any depth (mm), after step().
  double mean_at_mm(double depth_mm) const;
  double snow_mm() const { return snow_mm_; }
  /// Water that is frozen, m3 of it per m2 of ground, in mm.
  double frozen_mm() const;
  /// Heat held by the column, above liquid water at 0 degC, MJ/m2 of ground; ice counts as heat that is lacking.
  double heat_mj_m2() const;
  /// Heat that went in through the surface and a pot's wall in the last day, MJ/m2 of ground; equals the change of heat_mj_m2().
  double entered_mj_m2() const { return entered_mj_m2_; }

 private:
  struct Boundary;  // what acts on the column in one day
  void refresh_matrix();
  void solve_plain(const Boundary& boundary);
  bool solve_with_ice(const Boundary& boundary);
  void freeze_and_thaw();
  void sub_step(const Boundary& boundary);

  Soil soil_;
  HeatOptions options_;
  std::size_t cells_ = 0;
  std::vector<double> cell_m_, centre_m_;              // thickness; depth of the middle
  std::vector<double> conductivity_, capacity_;        // W/m/K; MJ/m3/K
  std::vector<double> t_c_, mean_c_, ice_frac_;        // now; the day's mean; m3/m3
  std::vector<double> between_, storage_, wall_;       // W/m2/K: to the next cell; capacity over a sub-step; to the pot's wall
  std::vector<double> latent_;                         // W/m2 that freeze all of a cell's volume, were it water, in a sub-step
  std::vector<double> inverse_pivot_, up_;             // the matrix, eliminated from the bottom up
  std::vector<double> right_, next_c_;                 // right-hand side; temperatures being sought
  std::vector<double> icy_pivot_, icy_up_, icy_next_;  // the same where some cells are held at 0 degC; their ice
  std::vector<unsigned char> phase_;                   // thawed, mixed, frozen
  std::vector<std::size_t> layer_cell_, cell_layer_;   // cell above each layer's middle; layer of each cell
  std::vector<double> layer_weight_;                   // of the cell below it
  double top_pivot_ = 0;                               // of the surface cell, without the surface's own conductance
  double snow_mm_ = 0, entered_mj_m2_ = 0;
  bool icy_ = false;
};

}  // namespace leafhunger
