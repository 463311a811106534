// From normals and habits to the course of the year, and from there to days.
#include "leafhunger/generator.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

#include "core/month_name.hpp"
#include "core/random_numbers.hpp"
#include "core/year_curve.hpp"
#include "leafhunger/error.hpp"

namespace leafhunger {

namespace {

constexpr double k_root3 = std::numbers::sqrt3;
constexpr double k_least_wet_mm = 1.0;   // what makes a day wet
constexpr double k_most_rain_mm = 1800;  // about the greatest ever measured in a day (from memory); not met in climates with gardens
constexpr double k_most_wet_frac = 0.97, k_most_drizzle_frac = 0.9;
// Against absurd habits: an index that would push a chance below nought, and a range that a normal number would reach through nought
// often. Neither is met with figures of real places.
constexpr double k_most_spell = 0.98, k_most_range_wave = 0.2, k_most_correlation = 0.95;

/// 0.1 mm to 0.9 mm: 1 + floor(9 u^2) tenths, as the small amounts at Dublin Airport are spread (C). This is their mean.
double mean_drizzle_mm() {
  double tenths = 9;
  for (int k = 1; k < 9; ++k) tenths -= std::sqrt(k / 9.0);
  return tenths / 10;
}

std::string figure(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.4g", value);
  return text;
}

[[noreturn]] void refuse(const ClimateNormals& normals, std::size_t month, const std::string& found, const std::string& allowed,
                         const std::string& hint) {
  throw InputError({"", "normals of " + normals.place + ", " + k_month_names[month], found, allowed, hint});
}

std::array<double, 12> of_months(const ClimateNormals& normals, double (*figure_of)(const MonthNormals&)) {
  std::array<double, 12> out;
  for (std::size_t m = 0; m < 12; ++m) out[m] = figure_of(normals.months[m]);
  return out;
}

/// Variance of a seasonal course inside each calendar month.
std::array<double, 12> variance_inside_months(const std::vector<double>& year) {
  const auto averages = month_averages(year);
  auto squares = year;
  for (std::size_t d = 0; d < k_year_days; ++d) {
    const double off = year[d] - averages[month_of_year_day(d)];
    squares[d] = off * off;
  }
  return month_averages(squares);
}

/// Second moments of the day's mean and of its range.
struct Spread {
  double mean = 0, range = 0, both = 0;
};

/// Totals of a day, wet or dry.
Spread spread_of(const WeatherGenerator::Day& d) {
  const double p = d.wet_frac * (1 - d.wet_frac), q = d.range_wave;
  const double inside = 4 * q - 2 * q * q;
  Spread s;
  s.mean = d.sd_c * d.sd_c + d.wet_warmer_c * d.wet_warmer_c * p;
  s.range = inside * (d.range_c * d.range_c + d.wet_narrower_c * d.wet_narrower_c * p) + d.wet_narrower_c * d.wet_narrower_c * p;
  s.both = d.sd_c * d.range_c * 2 * std::sqrt(q * (1 - q)) * d.x_in_range - d.wet_warmer_c * d.wet_narrower_c * p;
  return s;
}

/// Lag-1 correlation of the index of spells: it is a normal number's share of all below it, stretched, so 6/pi arcsin of half the normal's.
double index_lag1(const WeatherHabits& h) { return 6 / std::numbers::pi * portable::asin_half(0.5 * h.spell_lag1); }

/// Index of the common year; 29 February is as 28 February.
std::size_t year_day_of(Date date) {
  const MonthDay day = month_day_of(date);
  const auto first = make_date(2001, {1, 1});
  return static_cast<std::size_t>((make_date(2001, day) - first).count());
}

}  // namespace

double Seasonal::at(double year) const { return mean + cosine * portable::cos_turns(year) + sine * portable::sin_turns(year); }

WeatherGenerator::WeatherGenerator(const ClimateNormals& normals, const WeatherHabits& habits)
    : habits_(habits), south_(normals.latitude_deg < 0), days_(k_year_days) {
  double coldest = 1e9, warmest = -1e9;
  for (const MonthNormals& m : normals.months) {
    coldest = std::min(coldest, 0.5 * (m.tmin_c + m.tmax_c));
    warmest = std::max(warmest, 0.5 * (m.tmin_c + m.tmax_c));
  }
  swing_beyond_c_ = warmest - coldest - habits_.yearly_swing_c;
  lay_rain(normals);
  lay_temperatures(normals);
  sum_up();
  for (std::size_t m = 0; m < 12; ++m) {
    const MonthNormals& given = normals.months[m];
    if (!given.tmin_sd_c) continue;
    if (std::abs(*given.tmin_sd_c - expected_[m].tmin_sd_c) + std::abs(*given.tmax_sd_c - expected_[m].tmax_sd_c) > 0.02) {
      refuse(
          normals, m,
          "standard deviations " + figure(*given.tmin_sd_c) + " and " + figure(*given.tmax_sd_c) + " degC with a mean range of " +
              figure(given.tmax_c - given.tmin_c) + " degC",
          "figures that go together; the nearest that do are " + figure(expected_[m].tmin_sd_c) + " and " + figure(expected_[m].tmax_sd_c),
          "check the columns, or leave both out");
    }
  }
}

void WeatherGenerator::lay_rain(const ClimateNormals& normals) {
  const WeatherHabits& h = habits_;
  std::array<double, 12> rain, wet;  // a day
  for (std::size_t m = 0; m < 12; ++m) {
    const MonthNormals& given = normals.months[m];
    rain[m] = given.rain_mm / k_days_of_month[m];
    const double most = (1 - h.drizzle_frac) * rain[m] / k_least_wet_mm;
    if (given.wet_days) {
      wet[m] = *given.wet_days / k_days_of_month[m];
      const bool drizzle_alone = wet[m] == 0 && rain[m] <= 0.5 * mean_drizzle_mm();
      if (!drizzle_alone && (wet[m] > k_most_wet_frac || wet[m] * 1.02 > most || wet[m] <= 0)) {
        refuse(normals, m, figure(*given.wet_days) + " wet days and " + figure(given.rain_mm) + " mm",
               "some wet days where it rains, each with at least 1 mm and on average more, and some dry ones",
               "count the days with at least 1.0 mm, or leave wet_days out");
      }
    } else if (rain[m] > 0) {
      const double fewer = std::clamp(1 - h.wet_fewer_per_c * swing_beyond_c_, 0.4, 1.2);
      const double share = h.wet_factor * portable::exp(h.wet_power * portable::log(rain[m])) * fewer;
      wet[m] = std::min({share, most / 1.3, 0.9});
    } else {
      wet[m] = 0;
    }
  }
  auto rain_year = smooth_year(rain), wet_year = smooth_year(wet);
  bool in_bounds = true;
  for (std::size_t d = 0; d < k_year_days; ++d) {
    in_bounds = in_bounds && wet_year[d] > 0.005 && wet_year[d] < k_most_wet_frac &&
                (1 - h.drizzle_frac) * rain_year[d] > 1.02 * k_least_wet_mm * wet_year[d];
  }
  if (!in_bounds) {
    rain_year = stepped_year(rain);
    wet_year = stepped_year(wet);
  }
  const double index_memory = index_lag1(h);
  for (std::size_t d = 0; d < k_year_days; ++d) {
    Day& day = days_[d];
    const double w = wet_year[d], dry = 1 - w;
    day.wet_frac = w;
    day.spell_frac = std::min(std::sqrt(h.spell_share * w * dry), k_most_spell * std::min(w, dry) / k_root3);
    // The chain takes of the day-to-day correlation what the index leaves of it.
    const double share = w > 0 ? day.spell_frac * day.spell_frac / (w * dry) : 0;
    day.chain_lag1 = w > 0 ? std::clamp((h.wet_lag1 - share * index_memory) / (1 - share), 0.0, 0.95) : 0;
    // Drizzle takes its share, or all where no day is wet; the amounts take the rest, so the month's total is exact.
    const double drizzle_mm = (w > 0 ? h.drizzle_frac : 1) * rain_year[d];
    day.drizzle_frac = std::min(drizzle_mm / (dry * mean_drizzle_mm()), k_most_drizzle_frac);
    const double left = rain_year[d] - day.drizzle_frac * dry * mean_drizzle_mm();
    // The mean over the index of (w + s u)(1 + e (1 + b u)), u of mean 0 and variance 1.
    day.excess_mm = w > 0 ? (left - w * k_least_wet_mm) / (w + day.spell_frac * h.spell_amount) : 0;
  }
}

void WeatherGenerator::lay_temperatures(const ClimateNormals& normals) {
  const WeatherHabits& h = habits_;
  const auto mean = smooth_year(of_months(normals, [](const MonthNormals& m) { return 0.5 * (m.tmin_c + m.tmax_c); }));
  const auto range = year_above(of_months(normals, [](const MonthNormals& m) { return m.tmax_c - m.tmin_c; }), 0.2);

  // Variances about the course, where they are given: those of the month less what the course itself brings.
  const bool given = normals.months[0].tmin_sd_c.has_value();
  std::vector<double> tmin_variance, tmax_variance;
  if (given) {
    std::vector<double> tmin(k_year_days), tmax(k_year_days);
    for (std::size_t d = 0; d < k_year_days; ++d) {
      tmin[d] = mean[d] - 0.5 * range[d];
      tmax[d] = mean[d] + 0.5 * range[d];
    }
    const auto tmin_inside = variance_inside_months(tmin), tmax_inside = variance_inside_months(tmax);
    std::array<double, 12> low, high;
    for (std::size_t m = 0; m < 12; ++m) {
      const double a = normals.months[m].tmin_sd_c.value_or(0), b = normals.months[m].tmax_sd_c.value_or(0);
      low[m] = a * a - tmin_inside[m];
      high[m] = b * b - tmax_inside[m];
      if (!(low[m] > 0.01) || !(high[m] > 0.01)) {
        refuse(normals, m, "standard deviations " + figure(a) + " and " + figure(b) + " degC",
               "more than the course of the seasons alone has in that month, " + figure(std::sqrt(tmin_inside[m])) + " and " +
                   figure(std::sqrt(tmax_inside[m])),
               "give that of all daily values of the month, or leave both columns out");
      }
    }
    tmin_variance = year_above(low, 0.01);
    tmax_variance = year_above(high, 0.01);
  }
  const double wider = std::clamp(1 + h.wider_per_c * swing_beyond_c_, 0.6, 2.5);
  for (std::size_t d = 0; d < k_year_days; ++d) {
    Day& day = days_[d];
    day.mean_c = mean[d];
    day.range_c = range[d];
    const double year = (static_cast<double>(d) + 0.5) / k_year_days + (south_ ? 0.5 : 0);
    const double cv = std::clamp(h.range_cv.at(year), 0.05, 0.8);

    Spread total;
    total.range = cv * cv * range[d] * range[d];
    if (given) {
      const double sum = tmin_variance[d] + tmax_variance[d], product = std::sqrt(tmin_variance[d] * tmax_variance[d]);
      const double correlation = std::clamp((sum - total.range) / (2 * product), -0.3, k_most_correlation);
      total.range = sum - 2 * correlation * product;
      total.mean = 0.25 * (sum + 2 * correlation * product);
      total.both = 0.5 * (tmax_variance[d] - tmin_variance[d]);
    } else {
      const double sd = std::max(0.3, h.sd_c.at(year) * wider);
      total.mean = sd * sd;
      total.both = std::clamp(h.range_correlation.at(year), -0.8, 0.8) * sd * std::sqrt(total.range);
    }
    // What lies between wet and dry days is at most half of it.
    const double p = day.wet_frac * (1 - day.wet_frac);
    const auto at_most_half = [&](double offset, double variance) {
      const double most = p > 0 ? std::sqrt(0.5 * variance / p) : 0;
      return std::clamp(offset, -most, most);
    };
    day.wet_warmer_c = at_most_half(h.wet_warmer_c.at(year), total.mean);
    day.wet_narrower_c = at_most_half(std::clamp(h.wet_narrower_frac.at(year), -0.6, 0.6) * range[d], total.range);
    day.sd_c = std::sqrt(total.mean - day.wet_warmer_c * day.wet_warmer_c * p);
    const double between = day.wet_narrower_c * day.wet_narrower_c * p;
    const double inside = (total.range - between) / (range[d] * range[d] + between);  // squared coefficient of variation, 4q - 2q^2
    day.range_wave = std::min(1 - std::sqrt(std::max(0.0, 1 - 0.5 * inside)), k_most_range_wave);
    const double q = day.range_wave;
    day.x_in_range =
        std::clamp((total.both + day.wet_warmer_c * day.wet_narrower_c * p) / (day.sd_c * range[d] * 2 * std::sqrt(q * (1 - q))),
                   -k_most_correlation, k_most_correlation);
  }
}

void WeatherGenerator::sum_up() {
  const WeatherHabits& h = habits_;
  std::vector<double> tmin(k_year_days), tmax(k_year_days), tmin_variance(k_year_days), tmax_variance(k_year_days), rain(k_year_days),
      wet(k_year_days);
  double c0_min = 0, c1_min = 0, c0_max = 0, c1_max = 0, c0_wet = 0, c1_wet = 0;
  const double index_memory = index_lag1(h);
  for (std::size_t d = 0; d < k_year_days; ++d) {
    const Day& day = days_[d];
    const double w = day.wet_frac, p = w * (1 - w);
    tmin[d] = day.mean_c - 0.5 * day.range_c;
    tmax[d] = day.mean_c + 0.5 * day.range_c;
    const Spread s = spread_of(day);
    tmin_variance[d] = s.mean + 0.25 * s.range - s.both;
    tmax_variance[d] = s.mean + 0.25 * s.range + s.both;
    wet[d] = w;
    rain[d] = w * k_least_wet_mm + day.excess_mm * (w + day.spell_frac * h.spell_amount) + day.drizzle_frac * (1 - w) * mean_drizzle_mm();

    // One day on, as if it were of the same season.
    const double q = day.range_wave, c = day.x_in_range, rest = std::sqrt(1 - c * c);
    const double wet_cov = day.chain_lag1 * (p - day.spell_frac * day.spell_frac) + day.spell_frac * day.spell_frac * index_memory;
    const double z_to_z = c * c * h.lag1_xx + c * rest * (h.lag1_xy + h.lag1_yx) + rest * rest * h.lag1_yy;
    const double x_to_z = c * h.lag1_xx + rest * h.lag1_xy, z_to_x = c * h.lag1_xx + rest * h.lag1_yx;
    Spread next;
    next.mean = day.sd_c * day.sd_c * h.lag1_xx + day.wet_warmer_c * day.wet_warmer_c * wet_cov;
    const double ranges = day.range_c * day.range_c + day.wet_narrower_c * day.wet_narrower_c * wet_cov;
    next.range = (4 * q * (1 - q) * z_to_z + 2 * q * q * z_to_z * z_to_z) * ranges + day.wet_narrower_c * day.wet_narrower_c * wet_cov;
    next.both =
        day.sd_c * day.range_c * 2 * std::sqrt(q * (1 - q)) * 0.5 * (x_to_z + z_to_x) - day.wet_warmer_c * day.wet_narrower_c * wet_cov;
    c0_min += tmin_variance[d];
    c0_max += tmax_variance[d];
    c1_min += next.mean + 0.25 * next.range - next.both;
    c1_max += next.mean + 0.25 * next.range + next.both;
    c0_wet += p;
    c1_wet += wet_cov;
  }
  lag1_ = {c1_min / c0_min, c1_max / c0_max, c0_wet > 0 ? c1_wet / c0_wet : 0};
  const auto tmin_month = month_averages(tmin), tmax_month = month_averages(tmax), rain_month = month_averages(rain),
             wet_month = month_averages(wet), tmin_about = month_averages(tmin_variance), tmax_about = month_averages(tmax_variance),
             tmin_inside = variance_inside_months(tmin), tmax_inside = variance_inside_months(tmax);
  for (std::size_t m = 0; m < 12; ++m) {
    expected_[m] = {tmin_month[m],
                    tmax_month[m],
                    rain_month[m] * k_days_of_month[m],
                    wet_month[m] * k_days_of_month[m],
                    std::sqrt(tmin_about[m] + tmin_inside[m]),
                    std::sqrt(tmax_about[m] + tmax_inside[m])};
  }
}

DailyWeather WeatherGenerator::generate(const GeneratorRequest& request) const {
  const WeatherHabits& h = habits_;
  enum Purpose : std::uint32_t { k_rain, k_small, k_swings, k_hidden, k_amount };  // k_amount takes two

  const MonthDay start = south_ ? MonthDay{5, 1} : MonthDay{11, 1};
  DailyWeather out;
  out.first = make_date(request.start_year, start);
  const auto count = static_cast<std::size_t>((make_date(request.start_year + request.years, start) - out.first).count());
  out.tmin_c.reserve(count);
  out.tmax_c.reserve(count);
  out.rain_mm.reserve(count);

  // x = fast and slow swing; (fast, y) is a first-order autoregression of two, with unit variances and no correlation on the same day.
  const double fast_share = std::sqrt(1 - h.slow_share), slow_share = std::sqrt(h.slow_share);
  const double ff = (h.lag1_xx - h.slow_share * h.slow_lag1) / (1 - h.slow_share), fy = h.lag1_xy / fast_share, yf = h.lag1_yx / fast_share,
               yy = h.lag1_yy;
  const double new_ff = std::sqrt(std::max(1e-6, 1 - ff * ff - yf * yf));
  const double new_fy = -(ff * fy + yf * yy) / new_ff;
  const double new_yy = std::sqrt(std::max(1e-6, 1 - fy * fy - yy * yy - new_fy * new_fy));
  const double new_slow = std::sqrt(1 - h.slow_lag1 * h.slow_lag1), new_spell = std::sqrt(1 - h.spell_lag1 * h.spell_lag1);

  double fast = 0, y = 0, slow = 0, spell = 0, chance_before = 0;
  bool wet = false;
  for (std::size_t i = 0; i < count; ++i) {
    const Day& day = days_[year_day_of(out.first + std::chrono::days{static_cast<long>(i)})];
    const DayDraws draws(request.seed, static_cast<std::uint32_t>(i));
    const auto swing = draws.normal(k_swings), hidden = draws.normal(k_hidden);
    if (i == 0) {
      fast = swing[0];
      y = swing[1];
      slow = hidden[0];
      spell = hidden[1];
    } else {
      const double fast_before = fast;
      fast = ff * fast + yf * y + new_ff * swing[0];
      y = fy * fast_before + yy * y + new_fy * swing[0] + new_yy * swing[1];
      slow = h.slow_lag1 * slow + new_slow * hidden[0];
      spell = h.spell_lag1 * spell + new_spell * hidden[1];
    }

    // Rain. The chain keeps the day's own chance exactly: averaged over yesterday, (1 - r c') + r c' ... = chance.
    const double index = k_root3 * (2 * normal_share(spell) - 1);  // even over -sqrt 3 to sqrt 3: mean 0, variance 1
    const double chance = day.wet_frac + day.spell_frac * index;
    const auto u = draws.uniform(k_rain), v = draws.uniform(k_small);
    double today = chance;
    if (i > 0) {
      double lag1 = day.chain_lag1;
      if (chance_before > 0) lag1 = std::min(lag1, chance / chance_before);
      if (chance_before < 1) lag1 = std::min(lag1, (1 - chance) / (1 - chance_before));
      today = chance + lag1 * ((wet ? 1 : 0) - chance_before);
    }
    chance_before = chance;
    wet = u[0] < today;
    double rain_tenths = 0;
    if (wet) {
      const double mean = day.excess_mm * (1 + h.spell_amount * index);
      const double excess = mean / h.amount_shape * draws.gamma(k_amount, h.amount_shape);
      rain_tenths = 10 * k_least_wet_mm + std::floor(10 * excess + v[0]);  // rounded by lot, so that the mean stays
      rain_tenths = std::min(rain_tenths, 10 * k_most_rain_mm);
    } else if (u[1] < day.drizzle_frac) {
      rain_tenths = 1 + std::floor(9 * v[0] * v[0]);
    }

    // Temperature.
    const double off = (wet ? 1 : 0) - day.wet_frac;
    const double x = fast_share * fast + slow_share * slow;
    const double z = day.x_in_range * x + std::sqrt(1 - day.x_in_range * day.x_in_range) * y;
    const double mean_c = day.mean_c + day.wet_warmer_c * off + day.sd_c * x;
    const double root = std::sqrt(1 - day.range_wave) + std::sqrt(day.range_wave) * z;
    const double range_c = (day.range_c - day.wet_narrower_c * off) * root * root;
    const auto to_tenth = [](double c) { return std::floor(10 * std::clamp(c, -70.0, 60.0) + 0.5) / 10; };
    out.tmin_c.push_back(to_tenth(mean_c - 0.5 * range_c));
    out.tmax_c.push_back(to_tenth(mean_c + 0.5 * range_c));
    out.rain_mm.push_back(rain_tenths / 10);
  }
  return out;
}

}  // namespace leafhunger
