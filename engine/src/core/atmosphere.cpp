// Chooses, day by day, the form that the day's measurements allow.
#include "leafhunger/atmosphere.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

namespace leafhunger {

namespace {

// FAO-56 p63: even a calm day moves some air, so that eq 6 does not lose its second term.
constexpr double k_least_wind_m_s = 0.5;
constexpr double k_albedo_passed = 0.77;  // eq 38: grass reflects 0.23

/// A day's value of a column that may be missing altogether or on that day.
std::optional<double> on_day(const std::vector<double>& column, std::size_t day) {
  if (column.empty() || std::isnan(column[day])) return std::nullopt;
  return column[day];
}

/// Vapour pressure from what was measured, the best way first (order of FAO-56 p36-39).
std::optional<double> measured_vapour_pressure_kpa(const DailyWeather& weather, std::size_t day) {
  const double tmin_c = weather.tmin_c[day], tmax_c = weather.tmax_c[day];
  if (const auto ea = on_day(weather.vapour_pressure_kpa, day)) return ea;
  const auto most = on_day(weather.rh_max_percent, day), least = on_day(weather.rh_min_percent, day);
  if (most && least) return fao56::vapour_pressure_rh_max_min_kpa(tmin_c, tmax_c, *most, *least);
  if (most) return fao56::vapour_pressure_rh_max_kpa(tmin_c, *most);
  if (const auto mean = on_day(weather.rh_mean_percent, day)) return fao56::vapour_pressure_rh_mean_kpa(tmin_c, tmax_c, *mean);
  return std::nullopt;
}

}  // namespace

const char* name_of(EtForm form) {
  switch (form) {
    case EtForm::full:
      return "full";
    case EtForm::dew_at_tmin:
      return "dew_at_tmin";
    case EtForm::temperatures:
      return "temperatures";
    case EtForm::hargreaves:
      return "hargreaves";
  }
  return "";
}

const char* name_of(RadiationForm form) {
  switch (form) {
    case RadiationForm::measured:
      return "measured";
    case RadiationForm::sunshine:
      return "sunshine";
    case RadiationForm::temperature_range:
      return "temperature_range";
  }
  return "";
}

Atmosphere make_atmosphere(const DailyWeather& weather, const Site& site, const EtOptions& options) {
  const std::size_t days = weather.days();
  Atmosphere out;
  out.first = weather.first;
  for (auto* column : {&out.t_air_c, &out.radiation_mj_m2, &out.net_longwave_mj_m2, &out.eto_mm, &out.day_length_h}) column->resize(days);
  out.et_form.resize(days);
  out.radiation_form.resize(days);

  const double latitude_rad = site.latitude_deg * std::numbers::pi / 180;
  const double gamma = fao56::psychrometric_kpa_per_c(fao56::pressure_kpa(site.elevation_m));

  for (std::size_t d = 0; d < days; ++d) {
    const int j = day_of_year(weather.date(d));
    const double tmin_c = weather.tmin_c[d], tmax_c = weather.tmax_c[d], t_c = (tmin_c + tmax_c) / 2;
    const double ra = fao56::extraterrestrial_mj_m2(latitude_rad, j), hours = fao56::day_length_h(latitude_rad, j);

    double rs;
    if (const auto measured = on_day(weather.radiation_mj_m2, d)) {
      rs = *measured;
      out.radiation_form[d] = RadiationForm::measured;
    } else if (const auto sun_h = on_day(weather.sun_h, d)) {
      rs = fao56::radiation_from_sunshine_mj_m2(*sun_h, hours, ra);
      out.radiation_form[d] = RadiationForm::sunshine;
    } else {
      rs = fao56::radiation_from_range_mj_m2(tmin_c, tmax_c, ra, options.radiation_factor);
      out.radiation_form[d] = RadiationForm::temperature_range;
    }

    const auto measured_ea = measured_vapour_pressure_kpa(weather, d);
    // Humid nights reach the dew point, so the least temperature stands for it where humidity was not measured (FAO-56 eq 48).
    const double ea = measured_ea ? *measured_ea : fao56::saturation_pressure_kpa(tmin_c);
    // With humidity guessed, measured wind would multiply the guess's error: at a windy coast that is worse than 2 m/s for all
    // (equations.md 2.1, ratio of December 1.7 against 0.99).
    double u2 = options.wind_m_s;
    if (measured_ea) {
      if (const auto wind = on_day(weather.wind_m_s, d)) u2 = std::max(k_least_wind_m_s, fao56::wind_at_2m_m_s(*wind, site.wind_height_m));
    }

    const double rnl = fao56::net_longwave_mj_m2(tmin_c, tmax_c, ea, rs, fao56::clear_sky_mj_m2(site.elevation_m, ra));
    double eto;
    if (options.hargreaves) {
      eto = fao56::hargreaves_mm(tmin_c, tmax_c, ra);
      out.et_form[d] = EtForm::hargreaves;
    } else {
      const double es = (fao56::saturation_pressure_kpa(tmin_c) + fao56::saturation_pressure_kpa(tmax_c)) / 2;
      eto = fao56::penman_monteith_mm(t_c, k_albedo_passed * rs - rnl, 0.0, u2, es, ea, gamma);
      if (measured_ea) {
        out.et_form[d] = EtForm::full;
      } else {
        out.et_form[d] = out.radiation_form[d] == RadiationForm::temperature_range ? EtForm::temperatures : EtForm::dew_at_tmin;
      }
    }

    out.t_air_c[d] = t_c;
    out.radiation_mj_m2[d] = rs;
    out.net_longwave_mj_m2[d] = rnl;
    out.eto_mm[d] = std::max(0.0, eto) * options.factor;
    out.day_length_h[d] = hours;
  }
  return out;
}

}  // namespace leafhunger
