// The columns that a weather file may have: name, unit, bounds, and where the figures go.
#pragma once

#include <string>
#include <vector>

#include "leafhunger/weather.hpp"

namespace leafhunger::input {

struct WeatherColumn {
  const char* name;
  bool required;
  double low, high;  ///< both allowed; wide enough for any place on earth, narrow enough to catch another unit
  const char* unit;
  const char* hint;
  std::vector<double> DailyWeather::*into;
};

/// All of them but "date".
const std::vector<WeatherColumn>& weather_columns();
/// "date" and the names of weather_columns().
std::vector<std::string> weather_column_names(bool required_only);

}  // namespace leafhunger::input
