#include "host/weather_columns.hpp"

namespace leafhunger::input {

const std::vector<WeatherColumn>& weather_columns() {
  using W = DailyWeather;
  static const char* const k_share = "write relative humidity in percent, not as a share";
  static const char* const k_degrees = "write degrees Celsius, and nothing such as -999 for a missing value";
  // Records of the air near the ground lie between -90 and 57 degC, one day's rain at 1,825 mm (from memory); -70 is what the issue asks
  // for.
  static const std::vector<WeatherColumn> table = {
      {"tmin_c", true, -70, 60, "degC", k_degrees, &W::tmin_c},
      {"tmax_c", true, -70, 60, "degC", k_degrees, &W::tmax_c},
      {"rain_mm", true, 0, 2000, "mm", "write millimetres, 0 for a dry day or a trace", &W::rain_mm},
      {"sun_h", false, 0, 24, "hours", "write hours of sunshine, not minutes", &W::sun_h},
      {"radiation_mj_m2", false, 0, 60, "MJ/m2 a day", "a mean in W/m2 times 0.0864 gives MJ/m2 a day", &W::radiation_mj_m2},
      {"rh_mean_percent", false, 0, 100, "percent", k_share, &W::rh_mean_percent},
      {"rh_max_percent", false, 0, 100, "percent", k_share, &W::rh_max_percent},
      {"rh_min_percent", false, 0, 100, "percent", k_share, &W::rh_min_percent},
      {"vapour_pressure_kpa", false, 0, 10, "kPa", "a figure in hPa divided by 10 gives kPa", &W::vapour_pressure_kpa},
      {"wind_m_s", false, 0, 80, "m/s", "km/h divided by 3.6 and knots times 0.514 give m/s", &W::wind_m_s},
  };
  return table;
}

std::vector<std::string> weather_column_names(bool required_only) {
  std::vector<std::string> names = {"date"};
  for (const auto& column : weather_columns()) {
    if (column.required || !required_only) names.emplace_back(column.name);
  }
  return names;
}

}  // namespace leafhunger::input
