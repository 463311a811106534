// Twelve monthly normals of a place: what climate tables print, and all that the weather generator needs to be given.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "leafhunger/weather.hpp"

namespace leafhunger {

/// Long-term means of one calendar month. A wet day is one with at least 1.0 mm, as climate tables count them.
struct MonthNormals {
  double tmin_c = 0, tmax_c = 0;               ///< means of the days' lowest and highest temperature
  double rain_mm = 0;                          ///< mean total of the month
  std::optional<double> wet_days;              ///< mean number in the month; else worked out from the rain
  std::optional<double> tmin_sd_c, tmax_sd_c;  ///< standard deviation of all daily values of that calendar month; both or none
};

struct ClimateNormals {
  std::string place;
  double latitude_deg = 50;
  std::optional<double> longitude_deg, elevation_m;
  std::string source;                   ///< where the figures come from; empty where the file does not say
  std::array<MonthNormals, 12> months;  ///< January first
};

/// Mean number of days of each month, 29 February counted as the Gregorian calendar has it.
inline constexpr std::array<double, 12> k_days_of_month = {31, 28.2425, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

/// CSV with the columns place, lat_deg, month, tmin_c, tmax_c, rain_mm and, where known, lon_deg, elevation_m, source, wet_days,
/// tmin_sd_c, tmax_sd_c, in any order; lines that start with # are comments; twelve rows a place. Places in the file's order.
/// Throws InputError with file, line and column.
std::vector<ClimateNormals> read_normals(const std::string& path);

/// The place of that name; letters' case does not matter, nor what stands in brackets behind the name. `file` is named where there is none
/// (InputError with the nearest name).
const ClimateNormals& find_place(const std::vector<ClimateNormals>& normals, const std::string& name, const std::string& file);

/// Path of the shipped file in the catalogue's folder.
std::string shipped_normals(const std::string& catalogue_dir);

/// Normals of a daily record, with wet days and standard deviations, over all the days that it has (at least one of every month).
ClimateNormals normals_of(const DailyWeather& record, const std::string& place, double latitude_deg, const std::string& source);

}  // namespace leafhunger
