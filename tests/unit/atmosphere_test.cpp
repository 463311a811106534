#include "leafhunger/atmosphere.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <string>
#include <vector>

namespace {

using namespace leafhunger;

constexpr double k_none = std::numeric_limits<double>::quiet_NaN();

DailyWeather mild_days(std::size_t days, Date first = make_date(2003, {6, 1})) {
  DailyWeather weather;
  weather.first = first;
  weather.tmin_c.assign(days, 9);
  weather.tmax_c.assign(days, 18);
  weather.rain_mm.assign(days, 0);
  return weather;
}

TEST(Atmosphere, FormsAreChosenDayByDay) {
  DailyWeather weather = mild_days(7);
  weather.radiation_mj_m2 = {20, k_none, k_none, 20, k_none, k_none, 20};
  weather.sun_h = {8, 8, k_none, k_none, k_none, 8, 8};
  weather.rh_mean_percent = {k_none, k_none, k_none, 75, 75, k_none, k_none};
  weather.rh_max_percent = {k_none, k_none, k_none, k_none, k_none, 95, k_none};
  const Atmosphere sky = make_atmosphere(weather, {});
  const std::vector<EtForm> et = {EtForm::dew_at_tmin, EtForm::dew_at_tmin, EtForm::temperatures, EtForm::full,
                                  EtForm::full,        EtForm::full,        EtForm::dew_at_tmin};
  using R = RadiationForm;
  const std::vector<R> sun = {R::measured, R::sunshine, R::temperature_range, R::measured, R::temperature_range, R::sunshine, R::measured};
  EXPECT_EQ(sky.et_form, et);
  EXPECT_EQ(sky.radiation_form, sun);
  EXPECT_EQ(sky.radiation_mj_m2[0], 20);
  EXPECT_EQ(sky.t_air_c[0], 13.5);
}

TEST(Atmosphere, HargreavesOnlyWhenAskedFor) {
  DailyWeather weather = mild_days(3);
  weather.vapour_pressure_kpa = {1.1, 1.1, 1.1};
  EtOptions options;
  options.hargreaves = true;
  const Atmosphere asked = make_atmosphere(weather, {}, options), plain = make_atmosphere(weather, {});
  for (std::size_t d = 0; d < 3; ++d) {
    EXPECT_EQ(asked.et_form[d], EtForm::hargreaves);
    EXPECT_EQ(plain.et_form[d], EtForm::full);
    EXPECT_NE(asked.eto_mm[d], plain.eto_mm[d]);
  }
}

TEST(Atmosphere, HumidityInTheBooksOrder) {
  // Each better form added wins over the ones before it.
  DailyWeather weather = mild_days(1);
  weather.rh_mean_percent = {60};
  const double by_mean = make_atmosphere(weather, {}).eto_mm[0];
  weather.rh_max_percent = {90};
  const double by_max = make_atmosphere(weather, {}).eto_mm[0];
  weather.rh_min_percent = {40};
  const double by_both = make_atmosphere(weather, {}).eto_mm[0];
  weather.vapour_pressure_kpa = {1.4};
  const double by_pressure = make_atmosphere(weather, {}).eto_mm[0];
  const auto alone = [](auto set) {
    DailyWeather one = mild_days(1);
    set(one);
    return make_atmosphere(one, {}).eto_mm[0];
  };
  EXPECT_EQ(by_mean, alone([](DailyWeather& w) { w.rh_mean_percent = {60}; }));
  EXPECT_EQ(by_max, alone([](DailyWeather& w) { w.rh_max_percent = {90}; }));
  EXPECT_EQ(by_both, alone([](DailyWeather& w) { w.rh_max_percent = {90}, w.rh_min_percent = {40}; }));
  EXPECT_EQ(by_pressure, alone([](DailyWeather& w) { w.vapour_pressure_kpa = {1.4}; }));
  // The least humidity alone says nothing by the book.
  DailyWeather least = mild_days(1);
  least.rh_min_percent = {40};
  EXPECT_EQ(make_atmosphere(least, {}).et_form[0], EtForm::temperatures);
}

TEST(Atmosphere, WindCountsOnlyWithHumidity) {
  DailyWeather calm = mild_days(1), windy = mild_days(1);
  calm.wind_m_s = {0.0};
  windy.wind_m_s = {12};
  EXPECT_EQ(make_atmosphere(calm, {}).eto_mm[0], make_atmosphere(windy, {}).eto_mm[0]);
  calm.vapour_pressure_kpa = windy.vapour_pressure_kpa = {1.0};
  EXPECT_LT(make_atmosphere(calm, {}).eto_mm[0], make_atmosphere(windy, {}).eto_mm[0]);
  // Even a calm day moves air: 0 counts as 0.5 m/s at 2 m (FAO-56 p63); an unmeasured day as 2 m/s.
  DailyWeather slow = calm, unknown = calm, two = calm;
  slow.wind_m_s = {0.5};
  unknown.wind_m_s = {k_none};
  two.wind_m_s = {2.0};
  const Site at_two_metres{50, 0, 2};
  const double rounding = 1e-3;  // the height factor of eq 47 is 0.99996 at 2 m
  EXPECT_NEAR(make_atmosphere(calm, at_two_metres).eto_mm[0], make_atmosphere(slow, at_two_metres).eto_mm[0], rounding);
  EXPECT_NEAR(make_atmosphere(unknown, at_two_metres).eto_mm[0], make_atmosphere(two, at_two_metres).eto_mm[0], rounding);
}

TEST(Atmosphere, UserFactorScales) {
  EtOptions options;
  options.factor = 0.91;
  const DailyWeather weather = mild_days(2);
  EXPECT_NEAR(make_atmosphere(weather, {}, options).eto_mm[1], 0.91 * make_atmosphere(weather, {}).eto_mm[1], 1e-12);
}

TEST(Atmosphere, FiniteFromPoleToPoleOnEveryDay) {
  for (const double latitude : {90.0, 89.9, 78.0, 66.56, 50.0, 0.0, -23.44, -66.56, -80.0, -90.0}) {
    for (const bool measured : {false, true}) {
      DailyWeather weather = mild_days(366, make_date(2004, {1, 1}));  // a leap year
      for (std::size_t d = 0; d < 366; ++d) weather.tmin_c[d] = -40, weather.tmax_c[d] = d % 2 == 0 ? -40 : 30;
      if (measured) weather.sun_h.assign(366, 24);
      if (measured) weather.radiation_mj_m2.assign(366, 0.4), weather.radiation_mj_m2[200] = k_none;
      for (const bool hargreaves : {false, true}) {
        EtOptions options;
        options.hargreaves = hargreaves;
        const Atmosphere sky = make_atmosphere(weather, {latitude, 3000, 10}, options);
        for (std::size_t d = 0; d < 366; ++d) {
          ASSERT_TRUE(std::isfinite(sky.radiation_mj_m2[d]) && std::isfinite(sky.net_longwave_mj_m2[d]) && std::isfinite(sky.eto_mm[d]));
          ASSERT_GE(sky.radiation_mj_m2[d], 0);
          ASSERT_GE(sky.eto_mm[d], 0);
          ASSERT_GE(sky.day_length_h[d], 0);
          ASSERT_LE(sky.day_length_h[d], 24);
        }
        if (latitude == 90) {
          EXPECT_EQ(sky.day_length_h[0], 0);
          EXPECT_NEAR(sky.day_length_h[172], 24, 1e-12);
        }
      }
    }
  }
}

TEST(Atmosphere, NamesOfForms) {
  EXPECT_STREQ(name_of(EtForm::full), "full");
  EXPECT_STREQ(name_of(EtForm::dew_at_tmin), "dew_at_tmin");
  EXPECT_STREQ(name_of(EtForm::temperatures), "temperatures");
  EXPECT_STREQ(name_of(EtForm::hargreaves), "hargreaves");
  EXPECT_STREQ(name_of(RadiationForm::measured), "measured");
  EXPECT_STREQ(name_of(RadiationForm::sunshine), "sunshine");
  EXPECT_STREQ(name_of(RadiationForm::temperature_range), "temperature_range");
}

}  // namespace
