// Daily weather as it was measured (or invented): plain columns, one entry a day, no gaps.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "leafhunger/date.hpp"

namespace leafhunger {

struct Site {
  double latitude_deg = 50.0;   ///< -90 to 90, north positive
  double elevation_m = 0.0;     ///< above sea level
  double wind_height_m = 10.0;  ///< height at which wind was measured
};

/// Consecutive days. The first three columns are always full; the others are either empty or as long, with NaN for days not measured.
struct DailyWeather {
  Date first;
  std::vector<double> tmin_c, tmax_c, rain_mm;
  std::vector<double> sun_h, radiation_mj_m2, rh_mean_percent, rh_max_percent, rh_min_percent, vapour_pressure_kpa, wind_m_s;
  std::string made_up;             ///< one sentence where no station measured it, for the head of every answer; else empty
  std::vector<std::string> notes;  ///< things a reader should be told once, such as columns that were ignored

  std::size_t days() const { return tmin_c.size(); }
  Date date(std::size_t day) const { return first + std::chrono::days{static_cast<long>(day)}; }
};

}  // namespace leafhunger
