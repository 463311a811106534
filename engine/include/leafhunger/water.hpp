// Water in a column of layers, a day at a time: evaporation, transpiration, drainage in time, run-off.
// Forms from FAO-56 where it has them; the drainage law is ours (see water.cpp).
#pragma once

#include <span>
#include <vector>

#include "leafhunger/soil.hpp"

namespace leafhunger {

/// Share of the available water that a plant takes before it feels drought: p_table + 0.04 (5 - ETc), held in 0.1-0.8 (FAO-56 p162).
double depletion_frac(double p_table, double etc_mm_per_day);
/// K_s: 1 while the roots' available water is above 1 - p of the whole, then falling in line to 0 (FAO-56 eq 84 with a = 1 - Dr/TAW).
double stress_coefficient(double available_frac, double p_depletion);

/// What acts on the water of one day. Spans have one entry a layer.
struct WaterForcing {
  double rain_mm = 0;                  ///< what reaches the ground, watering by rule included
  double by_hand_mm = 0;               ///< watering by hand
  double eto_mm = 0;                   ///< reference evapotranspiration
  double transpiration_want_mm = 0;    ///< K_cb x cover x ETo, less what wet leaves give back
  double p_depletion = 0.5;            ///< already corrected for the day's ETc, 0.1-0.8
  double cover_frac = 0;               ///< ground shaded by leaves, 0-1
  double mulch_frac = 0;               ///< ground covered by organic mulch, 0-1
  std::span<const double> root_share;  ///< r_l, sums to 1; all 0, or empty, where nothing grows
};

/// What came of it. Vectors have one entry a layer.
struct WaterDay {
  std::vector<double> available_frac;  ///< a_l at 00: (S - S_w)/(S_f - S_w), held in 0-1
  std::vector<double> wfps_frac;       ///< mean of the sub-steps
  std::vector<double> theta;           ///< mean of the sub-steps, m3/m3
  std::vector<double> drained_mm;      ///< out of the bottom of each layer, net of what backs up
  double stress = 1;                   ///< K_s; 1 where nothing grows
  double transpired_mm = 0, evaporated_mm = 0, run_off_mm = 0, risen_mm = 0;
};

/// A bucket with layers. Starts at field capacity. Balance closes to 1e-9 mm a day, or SolverError (so does a forcing that is not finite).
class WaterBucket {
 public:
  explicit WaterBucket(const Soil& soil);

  /// a_l now, one entry a layer.
  void available(std::span<double> out) const;
  /// Advances a day. `out` is reused: no allocation after the first call.
  void step(const WaterForcing& forcing, WaterDay& out);

  std::span<const double> storage_mm() const { return storage_mm_; }
  /// Precondition: one entry a layer, each from 0 to saturation.
  void set_storage_mm(std::span<const double> storage_mm);

 private:
  double draining_frac_, k_sat_mm_, rise_mm_, infiltration_mm_, evaporable_mm_;
  std::vector<double> fc_mm_, wp_mm_, sat_mm_, thickness_mm_, storage_mm_;
  std::vector<double> surface_frac_, half_wp_mm_;  // for what evaporates
  std::vector<double> transpire_mm_, evaporate_mm_, wet_mm_;
};

}  // namespace leafhunger
