// Files in: scenario, catalogue, weather. Every fault is an InputError that names file, place, what was found, what is allowed and the
// mend.
#pragma once

#include <string>

#include "leafhunger/catalogue.hpp"
#include "leafhunger/scenario.hpp"
#include "leafhunger/weather.hpp"

namespace leafhunger {

/// Reads a scenario and all that it names. `catalogue_dir` holds materials.json, plants.json and cautions.json.
/// Checks everything that needs no plugin: shape, units, ranges, names (the nearest known one is offered), dates, weather.
Scenario read_scenario(const std::string& path, const std::string& catalogue_dir);

/// The shipped catalogue.
Catalogue read_catalogue(const std::string& catalogue_dir);

/// Daily CSV:
/// `date,tmin_c,tmax_c,rain_mm[,sun_h,radiation_mj_m2,rh_mean_percent,rh_max_percent,rh_min_percent,vapour_pressure_kpa,wind_m_s]`, columns
/// in any order, lines that start with # are comments, further columns are ignored and named once in notes.
/// A day without a line, or without one of the first three figures, is refused unless `fill_days` is above 0. Then up to so many such days
/// on end are filled (temperatures in a straight line between the days on either side, no rain, the rest left blank) and named in notes.
DailyWeather read_weather(const std::string& path, int fill_days = 0);

/// Of `known`, the name nearest to `name` by edit distance; empty where none is near.
std::string nearest_name(const std::string& name, const std::vector<std::string>& known);

}  // namespace leafhunger
