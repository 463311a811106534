// Daily weather made up from monthly normals: any number of years, the same for the same seed on every machine.
//
// The generator is of the kind that Richardson (1981, Water Resources Research 17:182-190) describes: a two-state Markov chain says whether
// a day is wet, a gamma distribution how much falls, and the day's temperatures swing about means that differ between wet and dry days,
// with first-order memory. Three things differ, each for a reason:
//   1. Temperatures are the day's mean and its range, the range as the square of a normal number, so that tmax never falls below tmin.
//   2. A hidden index of wet and dry spells leans on the chain and on the amounts, and a slow swing of some weeks lies under the
//   temperatures.
//      Without them whole months differ too little from year to year, a known fault (Katz & Parlange 1998, Journal of Climate 11:591-601),
//      and "in how many years of ten" would sound too sure.
//   3. Seasonal courses are the smoothest sums of harmonics whose averages over each calendar month are the normals, so that what comes out
//      has in expectation exactly what was put in.
// What normals do not tell (persistence, spread, spells) is taken from WeatherHabits: by default those of one maritime station.
//
// Sunshine and radiation are left out on purpose: normals of them are seldom at hand, and the engine works radiation out of the temperature
// range, which the generator narrows on wet days as the record does.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "leafhunger/normals.hpp"
#include "leafhunger/weather.hpp"

namespace leafhunger {

/// A figure that changes with the seasons: a mean and one yearly wave. `year` runs from 0 to 1 from New Year in the north, from midwinter's
/// like in the south (half a year later).
struct Seasonal {
  double mean = 0, cosine = 0, sine = 0;
  double at(double year) const;
};

/// What twelve normals do not tell of a place's days.
struct WeatherHabits {
  // Rain
  double wet_lag1 = 0;      ///< lag-1 autocorrelation of wet (1) and dry (0)
  double spell_share = 0;   ///< share of the variance of wet and dry that the hidden index of spells has
  double spell_lag1 = 0;    ///< memory of that index from one day to the next
  double spell_amount = 0;  ///< by how much of itself a wet day's amount above 1 mm grows for one standard deviation of the index
  double amount_shape = 1;  ///< gamma shape of a wet day's amount above 1 mm, given the index
  double drizzle_frac = 0;  ///< share of the rain that falls on days of less than 1 mm
  double wet_factor = 0;    ///< share of wet days = wet_factor (mean mm a day)^wet_power, where wet days are not given
  double wet_power = 1;
  double wet_fewer_per_c = 0;  ///< by how much that share falls for each degC of yearly swing beyond `yearly_swing_c`
  // Temperature; x is the day's mean about its course, y the part of its range that x does not explain, both to unit variance
  Seasonal sd_c;               ///< standard deviation of the day's mean temperature, where none are given
  Seasonal range_cv;           ///< standard deviation of the range over its mean
  Seasonal range_correlation;  ///< between the day's mean and its range, where no standard deviations are given
  Seasonal wet_warmer_c;       ///< by how much the mean of a wet day lies above that of a dry one
  Seasonal wet_narrower_frac;  ///< by how much of the mean range a wet day's range lies below that of a dry one
  double lag1_xx = 0, lag1_xy = 0, lag1_yx = 0, lag1_yy = 0;  ///< correlation of the first today with the second tomorrow
  double slow_share = 0;                                      ///< share of the variance of x in the slow swing
  double slow_lag1 = 0;                                       ///< memory of the slow swing
  double yearly_swing_c = 0;                                  ///< warmest less coldest monthly mean at the place of these habits
  double wider_per_c = 0;  ///< by how much of itself sd_c grows for each degC of yearly swing beyond that
};

/// Habits of Dublin Airport, 1991-2010 (habits_of() on the daily record, rounded), and for continental places two slopes through a record
/// from Kansas. A cool maritime climate: elsewhere give wet days and standard deviations with the normals.
WeatherHabits default_habits();

/// Habits of a daily record; at least five years, the longer the better. The two slopes for continental places are those of
/// default_habits().
WeatherHabits habits_of(const DailyWeather& record);

/// What the days of one calendar month have in expectation.
struct MonthExpectation {
  double tmin_c = 0, tmax_c = 0, rain_mm = 0, wet_days = 0, tmin_sd_c = 0, tmax_sd_c = 0;
};

/// What the whole year has: lag-1 autocorrelation of the temperatures about their courses, and of wet and dry.
struct LagExpectation {
  double tmin = 0, tmax = 0, wet = 0;
};

struct GeneratorRequest {
  int start_year = 2000;  ///< the first day is 1 November of this year, 1 May in the south, so that seasons are whole
  int years = 30;
  std::uint64_t seed = 1;
};

/// Years in which a request may start, so that with the most years no date needs more than four digits.
inline constexpr int k_first_start_year = 1000, k_last_start_year = 8999;
inline constexpr int k_most_years = 1000;

class WeatherGenerator {
 public:
  /// Throws InputError where the normals contradict themselves, such as more wet days than the rain can have.
  explicit WeatherGenerator(const ClimateNormals& normals, const WeatherHabits& habits = default_habits());

  /// tmin, tmax and rain to 0.1; no gaps. The first k years do not depend on how many are asked for. The request must be in bounds.
  DailyWeather generate(const GeneratorRequest& request) const;

  const std::array<MonthExpectation, 12>& expected() const { return expected_; }
  LagExpectation expected_lag1() const { return lag1_; }

  /// One calendar day of the seasonal course.
  struct Day {
    double mean_c = 0, range_c = 0;  ///< means over wet and dry days
    double wet_frac = 0;             ///< chance of a wet day
    double spell_frac = 0;           ///< by how much one standard deviation of the index of spells changes that chance
    double excess_mm = 0;            ///< mean amount above 1 mm of a wet day where the index is nought
    double chain_lag1 = 0;           ///< memory of wet and dry from the day before, given the index
    double drizzle_frac = 0;         ///< chance of 0.1-0.9 mm on a dry day
    double wet_warmer_c = 0, wet_narrower_c = 0;
    double sd_c = 0;        ///< of the day's mean, wet or dry given
    double range_wave = 0;  ///< q: the range is its mean times ((1-q)^1/2 + q^1/2 z)^2
    double x_in_range = 0;  ///< correlation of z with x
  };
  /// 365 of them, 1 January first; 29 February is as 28 February.
  const std::vector<Day>& days() const { return days_; }

 private:
  void lay_rain(const ClimateNormals& normals);
  void lay_temperatures(const ClimateNormals& normals);
  void sum_up();

  WeatherHabits habits_;
  bool south_ = false;
  double swing_beyond_c_ = 0;
  std::vector<Day> days_;
  std::array<MonthExpectation, 12> expected_{};
  LagExpectation lag1_;
};

}  // namespace leafhunger
