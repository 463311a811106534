// Worked examples of FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes & Smith 1998), read in a full-text conversion of the 1998
// edition. Each is held to the printed figure (half a unit of its last digit, plus what the example rounded on the way) and to 0.1 % of the
// unrounded figure, which was recomputed in double precision from the printed inputs.
// Slips in the print: Ex 18 shows n/N = 9.25/16.3 although N is 16.1; Ex 17 prints gamma as 0.0674 and 0.0667 in neighbouring lines.
#include <cmath>
#include <numbers>

#include "leafhunger/atmosphere.hpp"
#include "published.hpp"

namespace {

namespace fao56 = leafhunger::fao56;
using leafhunger::EtForm;
using leafhunger::RadiationForm;
using published::expect_near;
using published::expect_print;

double radians(double degrees, double minutes) { return (degrees + std::copysign(minutes / 60, degrees)) * std::numbers::pi / 180; }

TEST(Fao56, PressureAndPsychrometricConstant) {
  const double p = fao56::pressure_kpa(1800);
  expect_print("air pressure at 1800 m, kPa", "FAO-56 Ex 2 p32", 81.8, 0.05, 81.7558, p);
  expect_print("psychrometric constant at 1800 m, kPa/degC", "FAO-56 Ex 2 p32", 0.054, 0.0005, 0.054368, fao56::psychrometric_kpa_per_c(p));
}

TEST(Fao56, SaturationPressure) {
  const double warm = fao56::saturation_pressure_kpa(24.5), cold = fao56::saturation_pressure_kpa(15);
  expect_print("saturation pressure at 24.5 degC, kPa", "FAO-56 Ex 3 p36", 3.075, 0.0006, 3.07465, warm);
  expect_print("saturation pressure at 15 degC, kPa", "FAO-56 Ex 3 p36", 1.705, 0.0006, 1.70535, cold);
  expect_print("mean saturation pressure of the day, kPa", "FAO-56 Ex 3 p36", 2.39, 0.005, 2.38999, (warm + cold) / 2);
  expect_print("saturation pressure at the mean temperature, kPa", "FAO-56 Ex 3 note", 2.30, 0.005, 2.30234,
               fao56::saturation_pressure_kpa(19.75));
}

TEST(Fao56, VapourPressureByPsychrometer) {
  const double p = fao56::pressure_kpa(1200);
  expect_print("air pressure at 1200 m, kPa", "FAO-56 Ex 4 p38", 87.9, 0.05, 87.8966, p);
  expect_print("saturation pressure at 19.5 degC, kPa", "FAO-56 Ex 4 p38", 2.267, 0.0005, 2.26688, fao56::saturation_pressure_kpa(19.5));
  expect_print("vapour pressure by psychrometer, kPa", "FAO-56 Ex 4 p38", 1.91, 0.005, 1.91194,
               fao56::vapour_pressure_psychrometer_kpa(25.6, 19.5, p));
}

TEST(Fao56, VapourPressureByHumidity) {
  const double ea = fao56::vapour_pressure_rh_max_min_kpa(18, 25, 82, 54);
  const double es = (fao56::saturation_pressure_kpa(18) + fao56::saturation_pressure_kpa(25)) / 2;
  expect_print("saturation pressure at 18 degC, kPa", "FAO-56 Ex 5 p39", 2.064, 0.0005, 2.06399, fao56::saturation_pressure_kpa(18));
  expect_print("saturation pressure at 25 degC, kPa", "FAO-56 Ex 5 p39", 3.168, 0.0005, 3.16778, fao56::saturation_pressure_kpa(25));
  expect_print("vapour pressure from greatest and least humidity, kPa", "FAO-56 Ex 5 p39", 1.70, 0.005, 1.70154, ea);
  expect_print("vapour pressure from mean humidity, kPa", "FAO-56 Ex 5 note", 1.78, 0.005, 1.77880,
               fao56::vapour_pressure_rh_mean_kpa(18, 25, 68));
  expect_print("vapour pressure deficit, kPa", "FAO-56 Ex 6 p39", 0.91, 0.005, 0.91435, es - ea);
  // Eq 18 is eq 17's first half alone: the air is as damp all day as at dawn.
  EXPECT_NEAR(fao56::vapour_pressure_rh_max_kpa(18, 82), 2.06399 * 0.82, 1e-4);
}

TEST(Fao56, SunAndDaylight) {
  expect_print("13 deg 44' N in radians", "FAO-56 Ex 7 p46", 0.240, 0.0005, 0.23969, radians(13, 44));
  expect_print("22 deg 54' S in radians", "FAO-56 Ex 7 p46", -0.400, 0.0005, -0.39968, radians(-22, 54));
  const double south = radians(-20, 0);
  const int j = 246;  // 3 September
  expect_print("inverse relative distance, 3 September", "FAO-56 Ex 8 p47", 0.985, 0.0005, 0.98483, fao56::inverse_distance(j));
  expect_print("declination, 3 September, rad", "FAO-56 Ex 8 p47", 0.120, 0.0005, 0.119655, fao56::declination(j));
  expect_print("sunset angle, 20 deg S, rad", "FAO-56 Ex 8 p47", 1.527, 0.0005, 1.527022,
               fao56::sunset_angle(south, fao56::declination(j)));
  const double ra = fao56::extraterrestrial_mj_m2(south, j);
  expect_print("radiation above the air, MJ/m2/d", "FAO-56 Ex 8 p47", 32.2, 0.05, 32.1940, ra);
  expect_print("the same as water, mm/d", "FAO-56 Ex 8 p47", 13.1, 0.05, 13.1352, 0.408 * ra);
  expect_print("hours of daylight", "FAO-56 Ex 9 p49", 11.7, 0.05, 11.6656, fao56::day_length_h(south, j));
}

TEST(Fao56, SoilHeatAndWind) {
  expect_print("monthly soil heat, Algiers April, MJ/m2/d", "FAO-56 Ex 13 p55", 0.33, 0.005, 0.329,
               fao56::soil_heat_month_mj_m2(14.1, 18.8));
  expect_print("wind factor from 10 m to 2 m", "FAO-56 Ex 14 p56", 0.75, 0.005, 0.747951, fao56::wind_at_2m_m_s(1, 10));
  expect_print("3.2 m/s at 10 m brought to 2 m", "FAO-56 Ex 14 p56", 2.4, 0.01, 2.39344, fao56::wind_at_2m_m_s(3.2, 10));
}

// Bangkok, April, a month: 13 deg 44' N, 2 m, J 105, tmax 34.8, tmin 25.6, ea 2.85 kPa, u2 2 m/s, 8.5 h of sun; March had 29.2 degC.
TEST(Fao56, MonthlyPenmanMonteith) {
  const char* const source = "FAO-56 Ex 17 p70, Bangkok April";
  const double t = (34.8 + 25.6) / 2, ea = 2.85, gamma = fao56::psychrometric_kpa_per_c(fao56::pressure_kpa(2));
  const double ra = fao56::extraterrestrial_mj_m2(radians(13, 44), 105), hours = fao56::day_length_h(radians(13, 44), 105);
  const double rs = fao56::radiation_from_sunshine_mj_m2(8.5, hours, ra), rso = fao56::clear_sky_mj_m2(2, ra);
  const double rnl = fao56::net_longwave_mj_m2(25.6, 34.8, ea, rs, rso), rn = 0.77 * rs - rnl;
  const double g = fao56::soil_heat_month_backward_mj_m2(29.2, t);
  const double es = (fao56::saturation_pressure_kpa(34.8) + fao56::saturation_pressure_kpa(25.6)) / 2;
  expect_near("slope of saturation pressure, kPa/degC", source, 0.246, fao56::saturation_slope_kpa_per_c(t), 0.0005);
  expect_near("psychrometric constant, kPa/degC", source, 0.0674, gamma, 0.0001);
  expect_near("radiation above the air, MJ/m2/d", source, 38.06, ra, 0.01);
  expect_near("hours of daylight", source, 12.31, hours, 0.006);
  expect_near("radiation from sunshine, MJ/m2/d", source, 22.65, rs, 0.01);
  expect_near("clear-sky radiation, MJ/m2/d", source, 28.54, rso, 0.01);
  expect_near("net long-wave radiation, MJ/m2/d", source, 3.11, rnl, 0.01);
  expect_near("net radiation, MJ/m2/d", source, 14.33, rn, 0.01);
  expect_near("soil heat, MJ/m2/d", source, 0.14, g, 0.005);
  expect_near("radiation's share of ETo, mm/d", source, 3.97, fao56::penman_monteith_mm(t, rn, g, 2, es, es, gamma), 0.01);
  expect_near("the air's share of ETo, mm/d", source, 1.75, fao56::penman_monteith_mm(t, g, g, 2, es, ea, gamma), 0.01);
  expect_print("reference evapotranspiration, mm/d", source, 5.72, 0.01, 5.7161, fao56::penman_monteith_mm(t, rn, g, 2, es, ea, gamma));
}

// Uccle, 6 July, a day: 50 deg 48' N, 100 m, J 187, tmax 21.5, tmin 12.3, humidity 84 and 63 %, 10 km/h at 10 m, 9.25 h of sun.
TEST(Fao56, DailyPenmanMonteith) {
  const char* const source = "FAO-56 Ex 18 p72, Uccle 6 July";
  const double t = (21.5 + 12.3) / 2, pressure = fao56::pressure_kpa(100), gamma = fao56::psychrometric_kpa_per_c(pressure);
  const double u2 = fao56::wind_at_2m_m_s(10 / 3.6, 10), ea = fao56::vapour_pressure_rh_max_min_kpa(12.3, 21.5, 84, 63);
  const double es = (fao56::saturation_pressure_kpa(21.5) + fao56::saturation_pressure_kpa(12.3)) / 2;
  const double ra = fao56::extraterrestrial_mj_m2(radians(50, 48), 187), hours = fao56::day_length_h(radians(50, 48), 187);
  const double rs = fao56::radiation_from_sunshine_mj_m2(9.25, hours, ra), rso = fao56::clear_sky_mj_m2(100, ra);
  const double rnl = fao56::net_longwave_mj_m2(12.3, 21.5, ea, rs, rso), rn = 0.77 * rs - rnl;
  expect_near("wind at 2 m, m/s", source, 2.078, u2, 0.002);  // the example rounds the wind to 2.78 m/s
  expect_near("air pressure, kPa", source, 100.1, pressure, 0.05);
  expect_near("slope of saturation pressure, kPa/degC", source, 0.122, fao56::saturation_slope_kpa_per_c(t), 0.0005);
  expect_near("psychrometric constant, kPa/degC", source, 0.0666, gamma, 0.0001);
  expect_near("saturation pressure, kPa", source, 1.997, es, 0.0006);
  expect_near("vapour pressure, kPa", source, 1.409, ea, 0.0006);
  expect_near("radiation above the air, MJ/m2/d", source, 41.09, ra, 0.01);
  expect_near("hours of daylight", source, 16.1, hours, 0.05);
  expect_near("radiation from sunshine, MJ/m2/d", source, 22.07, rs, 0.01);
  expect_near("clear-sky radiation, MJ/m2/d", source, 30.90, rso, 0.01);
  expect_near("net long-wave radiation, MJ/m2/d", source, 3.71, rnl, 0.01);
  expect_near("net radiation, MJ/m2/d", source, 13.28, rn, 0.01);
  expect_near("radiation's share of ETo, mm/d", source, 2.81, fao56::penman_monteith_mm(t, rn, 0, u2, es, es, gamma), 0.01);
  expect_near("the air's share of ETo, mm/d", source, 1.07, fao56::penman_monteith_mm(t, 0, 0, u2, es, ea, gamma), 0.01);
  expect_print("reference evapotranspiration, mm/d", source, 3.88, 0.01, 3.8803, fao56::penman_monteith_mm(t, rn, 0, u2, es, ea, gamma));
}

// The same day through the door that the engine uses.
TEST(Fao56, DailyPenmanMonteithFromWeather) {
  leafhunger::DailyWeather weather;
  weather.first = leafhunger::make_date(2015, {7, 6});
  weather.tmin_c = {12.3};
  weather.tmax_c = {21.5};
  weather.rain_mm = {0};
  weather.sun_h = {9.25};
  weather.rh_max_percent = {84};
  weather.rh_min_percent = {63};
  weather.wind_m_s = {10 / 3.6};
  const auto sky = leafhunger::make_atmosphere(weather, {50.8, 100, 10});
  expect_print("reference evapotranspiration from a weather file, mm/d", "FAO-56 Ex 18 p72, Uccle 6 July", 3.88, 0.01, 3.8803,
               sky.eto_mm[0]);
  EXPECT_EQ(sky.et_form[0], EtForm::full);
  EXPECT_EQ(sky.radiation_form[0], RadiationForm::sunshine);
  EXPECT_NEAR(sky.net_longwave_mj_m2[0], 3.71, 0.01);
}

// Lyon, July: 45 deg 43' N, J 196, tmax 26.6, tmin 14.8.
TEST(Fao56, Hargreaves) {
  const double ra = fao56::extraterrestrial_mj_m2(radians(45, 43), 196);
  expect_near("radiation above the air, MJ/m2/d", "FAO-56 Ex 20 p78, Lyon July", 40.55, ra, 0.01);
  expect_print("reference evapotranspiration by eq 52, mm/d", "FAO-56 Ex 20 p78, Lyon July", 5.0, 0.05, 5.0331,
               fao56::hargreaves_mm(14.8, 26.6, ra));
}

}  // namespace
