// The weather generator: its random numbers, its seasonal courses, that the same seed gives the same bytes, and that it refuses what
// contradicts itself. How well it reproduces what it was given is in tests/reference/generator_test.cpp.
#include "leafhunger/generator.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <numbers>
#include <vector>

#include "core/portable_math.hpp"
#include "core/random_numbers.hpp"
#include "core/year_curve.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/scenario.hpp"
#include "leafhunger/weather_writer.hpp"

namespace leafhunger {
namespace {

/// Invented; mild and wet in winter.
ClimateNormals invented_place() {
  ClimateNormals n;
  n.place = "Nowhere";
  n.latitude_deg = 51;
  n.source = "invented";
  for (std::size_t m = 0; m < 12; ++m) {
    const double warmth = -std::cos(2 * std::numbers::pi * (static_cast<double>(m) + 0.2) / 12);
    n.months[m].tmin_c = 7 + 5 * warmth;
    n.months[m].tmax_c = 14 + 6.5 * warmth;
    n.months[m].rain_mm = 75 - 25 * warmth;
  }
  return n;
}

std::uint64_t fnv1a(const std::string& text) {
  std::uint64_t hash = 14695981039346656037ull;
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ull;
  return hash;
}

// Known answers of the generator's authors (Salmon et al. 2011, file kat_vectors of their library): counter, key, result.
TEST(RandomNumbers, PhiloxKnownAnswers) {
  EXPECT_EQ(philox4x32_10({0, 0, 0, 0}, {0, 0}), (PhiloxWords{0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}));
  constexpr std::uint32_t ones = 0xffffffff;
  EXPECT_EQ(philox4x32_10({ones, ones, ones, ones}, {ones, ones}), (PhiloxWords{0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}));
  EXPECT_EQ(philox4x32_10({0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344}, {0xa4093822, 0x299f31d0}),
            (PhiloxWords{0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}));
}

TEST(RandomNumbers, PortableMathIsTheLibrarysToAFewUnits) {
  for (double x = 1e-300; x < 1e300; x *= 1.37) {
    EXPECT_NEAR(portable::log(x), std::log(x), 4e-16 * std::max(1.0, std::abs(std::log(x)))) << x;
  }
  for (double x = -700; x < 700; x += 0.731) EXPECT_NEAR(portable::exp(x) / std::exp(x), 1, 4e-16) << x;
  EXPECT_EQ(portable::exp(0), 1);
  EXPECT_EQ(portable::log(1), 0);
  for (double turns = -2; turns < 2; turns += 0.00731) {
    EXPECT_NEAR(portable::sin_turns(turns), std::sin(2 * std::numbers::pi * turns), 3e-15) << turns;
    EXPECT_NEAR(portable::cos_turns(turns), std::cos(2 * std::numbers::pi * turns), 3e-15) << turns;
  }
  for (double x = -0.5; x <= 0.5; x += 0.01) EXPECT_NEAR(portable::asin_half(x), std::asin(x), 1e-15) << x;
}

TEST(RandomNumbers, NormalQuantileAndShareAgainstErfc) {
  const auto exact_share = [](double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); };
  for (double x = -8; x <= 8; x += 0.03) EXPECT_NEAR(normal_share(x), exact_share(x), 1e-7) << x;
  // Acklam's bound is relative in the quantile; from 1e-15 to 1 - 1e-4, since 1 - p has no more digits than that.
  for (double p = 1e-15; p < 0.9999; p = p < 0.01 ? p * 1.9 : p + 0.0037) {
    const double x = normal_quantile(p), slope = std::exp(-0.5 * x * x) / std::sqrt(2 * std::numbers::pi);
    EXPECT_NEAR((exact_share(x) - p) / slope, 0, 3e-9 * std::max(1.0, std::abs(x))) << p;
  }
  EXPECT_EQ(normal_quantile(0.25), -normal_quantile(0.75));
}

// Mean k, variance k, skewness 2/k^1/2 of a gamma number of shape k; four standard errors of 200,000 draws.
TEST(RandomNumbers, GammaHasItsMoments) {
  for (const double shape : {0.3, 0.686, 1.0, 2.5}) {
    const double n = 200000;
    double sum = 0, square = 0, fourth = 0, cube = 0;
    for (std::uint32_t day = 0; day < n; ++day) {
      const double off = DayDraws(11, day).gamma(4, shape) - shape;
      ASSERT_GE(off, -shape);
      sum += off;
      square += off * off;
      cube += off * off * off;
      fourth += off * off * off * off;
    }
    const double variance = square / n;
    EXPECT_NEAR(sum / n, 0, 4 * std::sqrt(variance / n)) << shape;
    EXPECT_NEAR(variance, shape, 4 * std::sqrt((fourth / n - variance * variance) / n)) << shape;
    EXPECT_NEAR(cube / n / std::pow(shape, 1.5), 2 / std::sqrt(shape), 0.15 * 2 / std::sqrt(shape)) << shape;
  }
}

TEST(RandomNumbers, PurposesAndDaysAreIndependent) {
  const double n = 100000;
  double with_purpose = 0, with_day = 0, within = 0;
  for (std::uint32_t day = 0; day < n; ++day) {
    const auto a = DayDraws(3, day).normal(0);
    with_purpose += a[0] * DayDraws(3, day).normal(1)[0];
    with_day += a[0] * DayDraws(3, day + 1).normal(0)[0];
    within += a[0] * a[1];
  }
  for (const double sum : {with_purpose, with_day, within}) EXPECT_NEAR(sum / n, 0, 4 / std::sqrt(n));
}

TEST(YearCurve, AveragesAreExact) {
  const std::array<double, 12> rain = {4.1, 3.2, 0.2, 2.9, 2.4, 9.7, 1.8, 2.2, 2.9, 0.9, 5.0, 0.4};
  for (const auto& year : {smooth_year(rain), stepped_year(rain)}) {
    const auto averages = month_averages(year);
    for (std::size_t m = 0; m < 12; ++m) EXPECT_NEAR(averages[m], rain[m], 1e-12) << m;
  }
}

TEST(YearCurve, OneWaveStaysOneWaveAndAConstantAConstant) {
  std::vector<double> wave(k_year_days);
  for (std::size_t d = 0; d < k_year_days; ++d) wave[d] = 10 + 5 * std::cos(2 * std::numbers::pi * (static_cast<double>(d) - 200) / 365);
  const auto again = smooth_year(month_averages(wave));
  const auto flat = smooth_year(month_averages(std::vector<double>(k_year_days, 3.25)));
  for (std::size_t d = 0; d < k_year_days; ++d) {
    EXPECT_NEAR(again[d], wave[d], 0.02) << d;  // the smoothest curve is not quite a wave
    EXPECT_NEAR(flat[d], 3.25, 1e-12) << d;
  }
}

TEST(YearCurve, StepsWhereTheSmoothCurveWouldSinkTooLow) {
  std::array<double, 12> monsoon{};
  monsoon[6] = 10;
  const auto smooth = smooth_year(monsoon);
  EXPECT_LT(*std::min_element(smooth.begin(), smooth.end()), 0);
  EXPECT_EQ(year_above(monsoon, -0.001), stepped_year(monsoon));
}

TEST(Generator, ExpectsWhatItWasGiven) {
  ClimateNormals given = invented_place();
  for (std::size_t m = 0; m < 12; ++m) {
    given.months[m].wet_days = 8 + static_cast<double>(m % 5);
    given.months[m].tmin_sd_c = 2.5 + 0.1 * static_cast<double>(m);
    given.months[m].tmax_sd_c = 3.5 - 0.1 * static_cast<double>(m);
  }
  const WeatherGenerator generator(given);
  for (std::size_t m = 0; m < 12; ++m) {
    const auto& e = generator.expected()[m];
    EXPECT_NEAR(e.tmin_c, given.months[m].tmin_c, 1e-9);
    EXPECT_NEAR(e.tmax_c, given.months[m].tmax_c, 1e-9);
    EXPECT_NEAR(e.rain_mm, given.months[m].rain_mm, 1e-9);
    EXPECT_NEAR(e.wet_days, *given.months[m].wet_days, 1e-9);
    EXPECT_NEAR(e.tmin_sd_c, *given.months[m].tmin_sd_c, 1e-6);
    EXPECT_NEAR(e.tmax_sd_c, *given.months[m].tmax_sd_c, 1e-6);
  }
}

TEST(Generator, EveryShippedPlaceIsReproducedInExpectation) {
  const auto places = read_normals(shipped_normals(LEAFHUNGER_CATALOGUE_DIR));
  ASSERT_EQ(places.size(), 19u);
  for (const auto& place : places) {
    const WeatherGenerator generator(place);
    for (std::size_t m = 0; m < 12; ++m) {
      EXPECT_NEAR(generator.expected()[m].tmin_c, place.months[m].tmin_c, 1e-9) << place.place << m;
      EXPECT_NEAR(generator.expected()[m].tmax_c, place.months[m].tmax_c, 1e-9) << place.place << m;
      EXPECT_NEAR(generator.expected()[m].rain_mm, place.months[m].rain_mm, 1e-9) << place.place << m;
    }
  }
}

TEST(Generator, SameSeedSameBytesOtherSeedOtherBytes) {
  const auto place = invented_place();
  const auto csv = [&](std::uint64_t seed) {
    const GeneratorRequest request{2001, 3, seed};
    return weather_csv(WeatherGenerator(place).generate(request), place, request, "test");
  };
  const std::string once = csv(7);
  EXPECT_EQ(once, csv(7));
  const auto body = [](const std::string& text) { return text.substr(text.find("\ndate,")); };
  EXPECT_NE(body(once), body(csv(8)));
  EXPECT_NE(body(once), body(csv(7 + (1ull << 32))));  // the upper half of the seed counts too
}

// The bytes themselves: made once and kept, so that another compiler, library or machine must give the same. Camborne's normals are in the
// catalogue; a change of the generator or of its habits changes this on purpose.
TEST(Generator, BytesAreThoseThatWereKept) {
  const auto places = read_normals(shipped_normals(LEAFHUNGER_CATALOGUE_DIR));
  const auto& place = find_place(places, "Camborne", "");
  const GeneratorRequest request{1995, 30, 7};
  const auto weather = WeatherGenerator(place).generate(request);
  const std::string csv = weather_csv(weather, place, request, "test");
  EXPECT_NE(csv.find("\n1995-11-01,5.9,12.7,0.1\n1995-11-02,10.4,13.5,26.6\n"), std::string::npos);
  EXPECT_EQ(fnv1a(csv), 7510186283752017630u);
}

TEST(Generator, YearsDoNotDependOnHowManyAreAskedFor) {
  const WeatherGenerator generator(invented_place());
  const auto few = generator.generate({1999, 2, 5}), many = generator.generate({1999, 40, 5});
  ASSERT_LT(few.days(), many.days());
  for (std::size_t i = 0; i < few.days(); ++i) {
    ASSERT_EQ(few.tmin_c[i], many.tmin_c[i]) << i;
    ASSERT_EQ(few.tmax_c[i], many.tmax_c[i]) << i;
    ASSERT_EQ(few.rain_mm[i], many.rain_mm[i]) << i;
  }
}

TEST(Generator, SeasonsAreWholeAndLeapDaysAreThere) {
  const auto weather = WeatherGenerator(invented_place()).generate({1999, 5, 1});
  EXPECT_EQ(to_iso(weather.first), "1999-11-01");
  EXPECT_EQ(to_iso(weather.date(weather.days() - 1)), "2004-10-31");
  EXPECT_EQ(weather.days(), 5u * 365 + 2);  // 2000 and 2004
  const auto seasons = whole_seasons(weather, Site{51, 0, 10});
  ASSERT_TRUE(seasons);
  EXPECT_EQ(seasons->first, 2000);
  EXPECT_EQ(seasons->last, 2004);
}

TEST(Generator, SouthStartsInMayAndIsWarmInJanuary) {
  ClimateNormals south = invented_place();
  south.latitude_deg = -41;
  std::rotate(south.months.begin(), south.months.begin() + 6, south.months.end());
  const auto weather = WeatherGenerator(south).generate({2000, 20, 1});
  EXPECT_EQ(weather.first, season_first(Site{-41, 0, 10}, 2001));
  double january = 0, july = 0, n = 0;
  for (std::size_t i = 0; i < weather.days(); ++i) {
    const auto day = month_day_of(weather.date(i));
    if (day.month == 1) january += weather.tmax_c[i] / 620, n += 1;
    if (day.month == 7) july += weather.tmax_c[i] / 620;
  }
  ASSERT_EQ(n, 620);
  EXPECT_GT(january, july + 9);
  // The spread is greater in winter: July there.
  const WeatherGenerator generator(south);
  EXPECT_GT(generator.expected()[6].tmin_sd_c, generator.expected()[0].tmin_sd_c + 0.5);
}

TEST(Generator, EveryDayIsPossible) {
  const auto places = read_normals(shipped_normals(LEAFHUNGER_CATALOGUE_DIR));
  for (const auto& place : places) {
    const auto weather = WeatherGenerator(place).generate({1900, 60, 2});
    for (std::size_t i = 0; i < weather.days(); ++i) {
      ASSERT_LE(weather.tmin_c[i], weather.tmax_c[i]) << place.place << i;
      ASSERT_GE(weather.rain_mm[i], 0);
      ASSERT_LT(weather.rain_mm[i], 400);
      for (const double value : {weather.tmin_c[i], weather.tmax_c[i], weather.rain_mm[i]}) {
        ASSERT_EQ(value, std::round(10 * value) / 10);  // what a file with one decimal gives back
        ASSERT_FALSE(value == 0 && std::signbit(value));
      }
    }
  }
}

TEST(Generator, RainlessMonthsStayRainlessAndDrizzleAloneIsExact) {
  ClimateNormals place = invented_place();
  place.months[6].rain_mm = 0;
  place.months[7].rain_mm = 3;
  place.months[7].wet_days = 0;
  const WeatherGenerator generator(place);
  EXPECT_NEAR(generator.expected()[7].rain_mm, 3, 1e-12);
  const auto weather = generator.generate({1900, 50, 1});
  double august = 0;
  for (std::size_t i = 0; i < weather.days(); ++i) {
    const auto month = month_day_of(weather.date(i)).month;
    if (month == 7) {
      ASSERT_EQ(weather.rain_mm[i], 0);
    }
    if (month == 8) {
      ASSERT_LT(weather.rain_mm[i], 1);
      august += weather.rain_mm[i] / 50;
    }
  }
  EXPECT_NEAR(august, 3, 0.4);  // four standard errors of 1,550 days with a chance of 0.27 of 0.36 +- 0.27 mm
}

TEST(Generator, RefusesWhatContradictsItself) {
  const auto refusal = [](auto change) {
    ClimateNormals place = invented_place();
    change(place);
    try {
      const WeatherGenerator generator(place);
    } catch (const InputError& error) {
      return std::string(error.what());
    }
    return std::string("was taken");
  };
  const std::string wet = refusal([](ClimateNormals& p) { p.months[4].wet_days = 30, p.months[4].rain_mm = 20; });
  EXPECT_NE(wet.find("normals of Nowhere, May: found 30 wet days and 20 mm"), std::string::npos) << wet;
  const std::string none = refusal([](ClimateNormals& p) { p.months[4].wet_days = 0; });
  EXPECT_NE(none.find("found 0 wet days"), std::string::npos) << none;
  const auto with_sd = [&](double tmin, double tmax) {
    return refusal([=](ClimateNormals& p) {
      for (auto& m : p.months) m.tmin_sd_c = tmin, m.tmax_sd_c = tmax;
    });
  };
  EXPECT_EQ(with_sd(3, 3), "was taken");
  EXPECT_NE(with_sd(0.2, 3).find("more than the course of the seasons alone"), std::string::npos) << with_sd(0.2, 3);
  EXPECT_NE(with_sd(1, 12).find("figures that go together"), std::string::npos) << with_sd(1, 12);
}

TEST(Generator, NormalsOfARecordCountWetDaysAndSpread) {
  DailyWeather record;
  record.first = make_date(2001, {1, 1});
  for (int i = 0; i < 365; ++i) {
    record.tmin_c.push_back(i % 2 == 0 ? 2 : 6);
    record.tmax_c.push_back(10);
    record.rain_mm.push_back(i % 2 == 0 ? 0.9 : 1.0);
  }
  const auto n = normals_of(record, "test", 50, "invented");
  EXPECT_NEAR(n.months[3].tmin_c, 4, 1e-12);  // April, 30 days from an even one
  EXPECT_NEAR(*n.months[3].wet_days, 15, 1e-12);
  EXPECT_NEAR(n.months[3].rain_mm, 15 * 1.9, 1e-12);
  EXPECT_NEAR(*n.months[3].tmin_sd_c, 2, 1e-12);
  EXPECT_NEAR(*n.months[3].tmax_sd_c, 0, 1e-6);
  EXPECT_THROW(habits_of(record), InputError);  // too short
}

// What the generator was told must be found again in what it made: 400 years of invented days.
TEST(Generator, HabitsAreFoundAgainInWhatWasMade) {
  const WeatherHabits told = default_habits();
  const WeatherHabits found = habits_of(WeatherGenerator(invented_place()).generate({1600, 400, 12}));
  EXPECT_NEAR(found.wet_lag1, told.wet_lag1, 0.01);
  EXPECT_NEAR(found.spell_share, told.spell_share, 0.03);
  EXPECT_NEAR(found.spell_lag1, told.spell_lag1, 0.03);
  EXPECT_NEAR(found.spell_amount, told.spell_amount, 0.1);
  EXPECT_NEAR(found.amount_shape, told.amount_shape, 0.05);
  EXPECT_NEAR(found.drizzle_frac, told.drizzle_frac, 0.002);
  EXPECT_NEAR(found.lag1_xx, told.lag1_xx, 0.01);
  EXPECT_NEAR(found.lag1_xy, told.lag1_xy, 0.01);
  EXPECT_NEAR(found.lag1_yx, told.lag1_yx, 0.01);
  EXPECT_NEAR(found.lag1_yy, told.lag1_yy, 0.01);
  EXPECT_NEAR(found.slow_share, told.slow_share, 0.025);
  for (int step = 0; step < 12; ++step) {
    const double year = step / 12.0;
    EXPECT_NEAR(found.range_cv.at(year), told.range_cv.at(year), 0.02) << step;
    EXPECT_NEAR(found.wet_warmer_c.at(year), told.wet_warmer_c.at(year), 0.1) << step;
    EXPECT_NEAR(found.wet_narrower_frac.at(year), told.wet_narrower_frac.at(year), 0.02) << step;
    EXPECT_NEAR(found.range_correlation.at(year), told.range_correlation.at(year), 0.03) << step;
  }
}

}  // namespace
}  // namespace leafhunger
