// Radiation and reference evapotranspiration of each day, from whatever the weather file has.
// Source: Allen, Pereira, Raes & Smith 1998, FAO Irrigation and Drainage Paper 56 (equation numbers beside each function).
#pragma once

#include <cstdint>
#include <vector>

#include "leafhunger/weather.hpp"

namespace leafhunger {

/// Which form gave a day's reference evapotranspiration.
enum class EtForm : std::uint8_t {
  full,          ///< eq 6 with measured humidity, and wind where measured
  dew_at_tmin,   ///< eq 6, dew point taken as tmin and wind as 2 m/s (a strong wind would multiply the error in humidity)
  temperatures,  ///< the same with radiation from the temperature range
  hargreaves,    ///< eq 52, only when asked for
};
/// Where a day's radiation came from.
enum class RadiationForm : std::uint8_t { measured, sunshine, temperature_range };

const char* name_of(EtForm form);
const char* name_of(RadiationForm form);

struct EtOptions {
  bool hargreaves = false;         ///< use eq 52 on every day
  double radiation_factor = 0.16;  ///< k_Rs, degC^-1/2, eq 50
  double wind_m_s = 2.0;           ///< u2 where it is unknown or not used
  double factor = 1.0;             ///< c_ET on the result, for a user who knows the local bias
};

/// One entry a day, as long as the weather.
struct Atmosphere {
  Date first;
  std::vector<double> t_air_c;             ///< (tmin + tmax)/2
  std::vector<double> radiation_mj_m2;     ///< global radiation, measured or estimated
  std::vector<double> net_longwave_mj_m2;  ///< outgoing, eq 39
  std::vector<double> eto_mm;              ///< reference evapotranspiration, mm/d, >= 0
  std::vector<double> day_length_h;        ///< eq 34
  std::vector<EtForm> et_form;
  std::vector<RadiationForm> radiation_form;
};

/// Form by day, first that applies: hargreaves where asked for; full where humidity is known in any form (in this order: vapour pressure,
/// greatest and least relative humidity, greatest alone, mean); temperatures where neither radiation nor sunshine was measured;
/// dew_at_tmin. Finite in polar day and polar night. Throws nothing: the weather has been checked by its reader.
Atmosphere make_atmosphere(const DailyWeather& weather, const Site& site, const EtOptions& options = {});

/// The book's own steps, public so that its worked examples can be tests. Angles in radians unless named.
namespace fao56 {
double saturation_pressure_kpa(double t_c);                                                                         ///< eq 11
double saturation_slope_kpa_per_c(double t_c);                                                                      ///< eq 13
double pressure_kpa(double elevation_m);                                                                            ///< eq 7
double psychrometric_kpa_per_c(double pressure_kpa);                                                                ///< eq 8
double vapour_pressure_psychrometer_kpa(double dry_c, double wet_c, double pressure_kpa, double a_psy = 0.000662);  ///< eq 15
double vapour_pressure_rh_max_min_kpa(double tmin_c, double tmax_c, double rh_max_percent, double rh_min_percent);  ///< eq 17
double vapour_pressure_rh_max_kpa(double tmin_c, double rh_max_percent);                                            ///< eq 18
double vapour_pressure_rh_mean_kpa(double tmin_c, double tmax_c, double rh_mean_percent);                           ///< eq 19
double inverse_distance(int day_of_year);                                                                           ///< d_r, eq 23
double declination(int day_of_year);                                                                                ///< eq 24
double sunset_angle(double latitude_rad, double declination_rad);                          ///< eq 25, 0 in polar night, pi in polar day
double extraterrestrial_mj_m2(double latitude_rad, int day_of_year);                       ///< Ra, eq 21
double day_length_h(double latitude_rad, int day_of_year);                                 ///< eq 34
double radiation_from_sunshine_mj_m2(double sun_h, double day_length_h, double ra_mj_m2);  ///< eq 35
double radiation_from_range_mj_m2(double tmin_c, double tmax_c, double ra_mj_m2, double k_rs);  ///< eq 50, at most 0.76 Ra
double clear_sky_mj_m2(double elevation_m, double ra_mj_m2);                                    ///< Rso, eq 37
double net_longwave_mj_m2(double tmin_c, double tmax_c, double ea_kpa, double rs_mj_m2,
                          double rso_mj_m2);                             ///< eq 39, Rs/Rso held in 0.25-1; 0.5 in polar night
double wind_at_2m_m_s(double wind_m_s, double height_m);                 ///< eq 47; height above 0.1 m
double soil_heat_month_mj_m2(double t_previous_c, double t_next_c);      ///< eq 43
double soil_heat_month_backward_mj_m2(double t_previous_c, double t_c);  ///< eq 44, where the next month is not known
/// eq 6, not floored. rn: net radiation, g: soil heat flux, MJ/m2/d; es, ea: kPa; result mm/d.
double penman_monteith_mm(double t_c, double rn_mj_m2, double g_mj_m2, double u2_m_s, double es_kpa, double ea_kpa, double gamma_kpa_per_c);
double hargreaves_mm(double tmin_c, double tmax_c, double ra_mj_m2);  ///< eq 52
}  // namespace fao56

}  // namespace leafhunger
