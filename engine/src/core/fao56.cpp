// The steps of FAO-56 (Allen et al. 1998), each with the book's equation number in atmosphere.hpp. Constants are the book's own, even where
// better ones are known (0 degC is 273.16 K in eq 39 and 273 K in eq 6), so that its worked examples come out.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "leafhunger/atmosphere.hpp"

namespace leafhunger::fao56 {

namespace {

constexpr double k_solar_mj_m2_min = 0.0820;
constexpr double k_stefan_mj_k4_m2_d = 4.903e-9;
constexpr double k_mm_per_mj_m2 = 0.408;  // 1 / 2.45 MJ/kg, eq 20
// Share of clear-sky radiation where there is none to compare with (polar night): middle of the 0.4-0.6 that the book gives for the night
// hours of humid climates. From memory.
constexpr double k_clearness_dark = 0.5;

double year_angle(int day_of_year) { return 2 * std::numbers::pi / 365 * day_of_year; }

}  // namespace

double saturation_pressure_kpa(double t_c) { return 0.6108 * std::exp(17.27 * t_c / (t_c + 237.3)); }

double saturation_slope_kpa_per_c(double t_c) { return 4098 * saturation_pressure_kpa(t_c) / ((t_c + 237.3) * (t_c + 237.3)); }

double pressure_kpa(double elevation_m) { return 101.3 * std::pow((293 - 0.0065 * elevation_m) / 293, 5.26); }

double psychrometric_kpa_per_c(double pressure) { return 0.665e-3 * pressure; }

double vapour_pressure_psychrometer_kpa(double dry_c, double wet_c, double pressure, double a_psy) {
  return saturation_pressure_kpa(wet_c) - a_psy * pressure * (dry_c - wet_c);
}

double vapour_pressure_rh_max_min_kpa(double tmin_c, double tmax_c, double rh_max_percent, double rh_min_percent) {
  return (saturation_pressure_kpa(tmin_c) * rh_max_percent + saturation_pressure_kpa(tmax_c) * rh_min_percent) / 200;
}

double vapour_pressure_rh_max_kpa(double tmin_c, double rh_max_percent) { return saturation_pressure_kpa(tmin_c) * rh_max_percent / 100; }

double vapour_pressure_rh_mean_kpa(double tmin_c, double tmax_c, double rh_mean_percent) {
  return rh_mean_percent / 100 * (saturation_pressure_kpa(tmin_c) + saturation_pressure_kpa(tmax_c)) / 2;
}

double inverse_distance(int day_of_year) { return 1 + 0.033 * std::cos(year_angle(day_of_year)); }

double declination(int day_of_year) { return 0.409 * std::sin(year_angle(day_of_year) - 1.39); }

double sunset_angle(double latitude_rad, double declination_rad) {
  return std::acos(std::clamp(-std::tan(latitude_rad) * std::tan(declination_rad), -1.0, 1.0));
}

double extraterrestrial_mj_m2(double latitude_rad, int day_of_year) {
  const double delta = declination(day_of_year);
  const double sunset = sunset_angle(latitude_rad, delta);
  const double sun = sunset * std::sin(latitude_rad) * std::sin(delta) + std::cos(latitude_rad) * std::cos(delta) * std::sin(sunset);
  return std::max(0.0, 24 * 60 / std::numbers::pi * k_solar_mj_m2_min * inverse_distance(day_of_year) * sun);
}

double day_length_h(double latitude_rad, int day_of_year) {
  return 24 / std::numbers::pi * sunset_angle(latitude_rad, declination(day_of_year));
}

double radiation_from_sunshine_mj_m2(double sun_h, double day_length, double ra_mj_m2) {
  const double share = day_length > 0 ? std::min(1.0, sun_h / day_length) : 0.0;
  return (0.25 + 0.50 * share) * ra_mj_m2;
}

double radiation_from_range_mj_m2(double tmin_c, double tmax_c, double ra_mj_m2, double k_rs) {
  // 0.76: what passes a clear sky near sea level; a wide range after a change of air is no proof of more.
  return std::min(k_rs * std::sqrt(std::max(0.0, tmax_c - tmin_c)), 0.76) * ra_mj_m2;
}

double clear_sky_mj_m2(double elevation_m, double ra_mj_m2) { return (0.75 + 2e-5 * elevation_m) * ra_mj_m2; }

double net_longwave_mj_m2(double tmin_c, double tmax_c, double ea_kpa, double rs_mj_m2, double rso_mj_m2) {
  const double clearness = rso_mj_m2 > 0 ? std::clamp(rs_mj_m2 / rso_mj_m2, 0.25, 1.0) : k_clearness_dark;
  const double warm = std::pow(tmax_c + 273.16, 4), cold = std::pow(tmin_c + 273.16, 4);
  return k_stefan_mj_k4_m2_d * (warm + cold) / 2 * (0.34 - 0.14 * std::sqrt(ea_kpa)) * (1.35 * clearness - 0.35);
}

double wind_at_2m_m_s(double wind_m_s, double height_m) { return wind_m_s * 4.87 / std::log(67.8 * height_m - 5.42); }

double soil_heat_month_mj_m2(double t_previous_c, double t_next_c) { return 0.07 * (t_next_c - t_previous_c); }

double soil_heat_month_backward_mj_m2(double t_previous_c, double t_c) { return 0.14 * (t_c - t_previous_c); }

double penman_monteith_mm(double t_c, double rn_mj_m2, double g_mj_m2, double u2_m_s, double es_kpa, double ea_kpa,
                          double gamma_kpa_per_c) {
  const double slope = saturation_slope_kpa_per_c(t_c);
  const double energy = k_mm_per_mj_m2 * slope * (rn_mj_m2 - g_mj_m2);
  const double air = gamma_kpa_per_c * 900 / (t_c + 273) * u2_m_s * (es_kpa - ea_kpa);
  return (energy + air) / (slope + gamma_kpa_per_c * (1 + 0.34 * u2_m_s));
}

double hargreaves_mm(double tmin_c, double tmax_c, double ra_mj_m2) {
  const double mean_c = (tmin_c + tmax_c) / 2;
  return 0.0023 * (mean_c + 17.8) * std::sqrt(std::max(0.0, tmax_c - tmin_c)) * k_mm_per_mj_m2 * ra_mj_m2;
}

}  // namespace leafhunger::fao56
