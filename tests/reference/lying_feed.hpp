// A feed that lies in or on ground of one warmth and one wetness: what is left of it, for checks against published figures.
#pragma once

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "support/rig.hpp"

namespace leafhunger::testing {

/// The ground it lies in. Moist: at field capacity.
struct Lying {
  double t_c = 20;
  double forked_mm = 100;  ///< 0: on top
  double theta = -1;       ///< water of all layers, m3/m3; below 0: field capacity
  const char* texture = "loam";
};

inline void set_water(Rig& rig, double theta) {
  const Soil& soil = rig.soil;
  for (std::size_t d = 0; d < rig.climate.days; ++d)
    for (std::size_t l = 0; l < soil.layers(); ++l) {
      const std::size_t at = d * soil.layers() + l;
      rig.climate.theta[at] = theta;
      rig.climate.wfps_frac[at] = theta / soil.theta_sat[l];
      rig.climate.available_frac[at] = std::clamp((theta - soil.theta_wp[l]) / (soil.theta_fc[l] - soil.theta_wp[l]), 0.0, 1.0);
    }
}

/// Share that no longer lies in any of the named pools ("urea", "granules": on top and in soil together), at 00 of each day.
inline std::vector<double> gone_by_day(const std::string& model, const std::vector<std::string>& pools,
                                       const std::map<std::string, double>& set, std::size_t days, const Lying& lying) {
  Rig rig(days, lying.t_c, make_soil(*find_texture(lying.texture), 0));
  if (lying.theta >= 0) set_water(rig, lying.theta);
  const std::size_t slot = rig.add(model, set, lying.forked_mm);
  rig.feed(0, slot, 100);
  std::vector<double> gone{0};
  run(rig, [&](std::size_t, ColumnBatch& c) {
    double left = 0;
    for (const std::string& p : pools) left += pool(c, slot, p + " on top") + pool(c, slot, p + " in soil");
    gone.push_back(1 - left / 100);
  });
  return gone;
}

/// First-order rate per day over the days asked for.
inline double per_day(const std::vector<double>& gone, std::size_t days) { return -std::log(1 - gone[days]) / static_cast<double>(days); }

/// kJ/mol from two rates.
inline double activation(double k_cold, double cold_c, double k_warm, double warm_c) {
  return 8.314e-3 * std::log(k_warm / k_cold) / (1 / (cold_c + 273.15) - 1 / (warm_c + 273.15));
}

inline std::size_t first_day_with(const std::vector<double>& gone, double share) {
  return static_cast<std::size_t>(std::find_if(gone.begin(), gone.end(), [&](double g) { return g >= share; }) - gone.begin());
}

}  // namespace leafhunger::testing
