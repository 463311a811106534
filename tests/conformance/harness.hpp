// Calls plugins as the host does, with arrays that are fresh for each call, fenced on both sides and spoilt afterwards, so that what a
// plugin reads, writes or keeps beyond its due shows.
#pragma once

#include <gtest/gtest.h>

#include <cctype>
#include <cstring>
#include <limits>
#include <string>
#include <vector>

#include "core/column.hpp"
#include "leafhunger/response.hpp"
#include "support/models.hpp"
#include "support/random.hpp"

namespace leafhunger::testing {

/// Models by name, for names of test cases.
template <class Models>
std::vector<std::string> names_of(const Models& models) {
  std::vector<std::string> names;
  for (const auto& [name, model] : models) names.push_back(name);
  return names;
}
inline std::string case_name(std::string name) {
  for (char& c : name)
    if (!std::isalnum(static_cast<unsigned char>(c))) c = '_';
  return name;
}

/// `[rows][m_pad]` with a fence of 8 numbers before and after. Filled with NaN: what a plugin does not write stays visible.
class Fenced {
 public:
  Fenced(int rows, int m_pad) : rows_(rows), pad_(m_pad), all_(static_cast<std::size_t>(rows) * m_pad + 16, k_fence()) {
    std::fill(begin(), end(), std::numeric_limits<double>::quiet_NaN());
  }
  double* data() { return all_.data() + 8; }
  double* begin() { return data(); }
  double* end() { return data() + static_cast<std::ptrdiff_t>(rows_) * pad_; }
  double& at(int row, int lane) { return data()[row * pad_ + lane]; }
  int rows() const { return rows_; }
  bool fence_stands() const {
    const double f = k_fence();
    for (std::size_t i = 0; i < 8; ++i)
      if (std::memcmp(&all_[i], &f, sizeof f) != 0 || std::memcmp(&all_[all_.size() - 1 - i], &f, sizeof f) != 0) return false;
    return true;
  }
  bool all_written() {
    return std::none_of(begin(), end(), [](double x) { return std::isnan(x); });
  }
  /// What lies here after a call: whoever kept a pointer reads nonsense.
  void spoil() { std::fill(begin(), end(), -7.77e77); }

 private:
  static double k_fence() { return -1.2345e123; }
  int rows_, pad_;
  AlignedRows all_;
};

/// Sets of parameters within the bounds: the default, all at one bound, each alone at a bound, and corners by seed. Those that the model's
/// own check refuses are left out.
inline std::vector<std::vector<double>> corners(const lh_about& about, int drawn = 24, unsigned seed = 5) {
  std::vector<std::vector<double>> sets;
  const auto keep = [&](const std::vector<double>& set) {
    char text[400] = "";
    if (!about.check || about.check(set.data(), text, sizeof text) == LH_OK) sets.push_back(set);
  };
  const std::vector<double> def = default_parameters(about);
  const auto n = static_cast<std::size_t>(about.n_parameter);
  keep(def);
  std::vector<double> low(n), high(n);
  for (std::size_t p = 0; p < n; ++p) low[p] = about.parameter[p].lower, high[p] = about.parameter[p].upper;
  keep(low);
  keep(high);
  for (std::size_t p = 0; p < n; ++p)
    for (const double x : {low[p], high[p]}) {
      auto one = def;
      one[p] = x;
      keep(one);
    }
  Draw draw(seed);
  for (int k = 0; k < drawn; ++k) {
    std::vector<double> set(n);
    for (std::size_t p = 0; p < n; ++p) set[p] = draw.chance(0.5) ? low[p] : high[p];
    keep(set);
  }
  return sets;
}

/// Sets drawn between the bounds, as far as the model's check lets them.
inline std::vector<std::vector<double>> drawn_sets(const lh_about& about, int n_sets, unsigned seed) {
  std::vector<std::vector<double>> sets;
  Draw draw(seed);
  for (int tried = 0; tried < 100 * n_sets && static_cast<int>(sets.size()) < n_sets; ++tried) {
    std::vector<double> set;
    for (int32_t p = 0; p < about.n_parameter; ++p) set.push_back(draw.between(about.parameter[p].lower, about.parameter[p].upper));
    char text[400] = "";
    if (!about.check || about.check(set.data(), text, sizeof text) == LH_OK) sets.push_back(set);
  }
  return sets;
}

/// The weather of one lane on one day, from hard frost to heat and from bone dry to flooded.
struct LaneDay {
  double day_of_year, t_min, t_max, radiation, day_length, rain, rain3, t_soil, wfps, rel_water;
};
inline LaneDay lane_day(unsigned seed, int day) {
  Draw draw(seed * 7919u + static_cast<unsigned>(day));
  LaneDay w{};
  w.day_of_year = (day + 304) % 365 + 1;
  const double mean = 11 - 8 * std::cos(2 * 3.14159265358979323846 * (w.day_of_year - 20) / 365) + draw.between(-6, 6),
               range = draw.between(0, 16);
  w.t_min = mean - range / 2, w.t_max = mean + range / 2;
  w.radiation = draw.between(0.2, 32), w.day_length = draw.between(0, 24);
  w.rain = draw.chance(0.4) ? draw.between(0, 60) : 0, w.rain3 = draw.between(0, 40);
  w.t_soil = mean + draw.between(-3, 3), w.wfps = draw.unit(), w.rel_water = draw.unit();
  return w;
}

/// The rows of an lh_day that describe weather, filled for all lanes.
struct WeatherRows {
  Fenced day_of_year, t_min, t_max, radiation, day_length, rain, rain3, t_soil, wfps, rel_water;
  explicit WeatherRows(int pad)
      : day_of_year(1, pad),
        t_min(1, pad),
        t_max(1, pad),
        radiation(1, pad),
        day_length(1, pad),
        rain(1, pad),
        rain3(1, pad),
        t_soil(1, pad),
        wfps(1, pad),
        rel_water(1, pad) {}
  void set(int lane, const LaneDay& w) {
    day_of_year.at(0, lane) = w.day_of_year, t_min.at(0, lane) = w.t_min, t_max.at(0, lane) = w.t_max, radiation.at(0, lane) = w.radiation;
    day_length.at(0, lane) = w.day_length, rain.at(0, lane) = w.rain, rain3.at(0, lane) = w.rain3, t_soil.at(0, lane) = w.t_soil;
    wfps.at(0, lane) = w.wfps, rel_water.at(0, lane) = w.rel_water;
  }
  void into(lh_day& day) {
    day.day_of_year = day_of_year.data(), day.t_min_c = t_min.data(), day.t_max_c = t_max.data(), day.radiation_mj_m2 = radiation.data();
    day.day_length_h = day_length.data(), day.rain_mm = rain.data(), day.rain3_mm = rain3.data(), day.t_soil_c = t_soil.data();
    day.wfps_frac = wfps.data(), day.rel_water_frac = rel_water.data();
  }
  void spoil() {
    for (auto* r : {&day_of_year, &t_min, &t_max, &radiation, &day_length, &rain, &rain3, &t_soil, &wfps, &rel_water}) r->spoil();
  }
};

inline bool same_bytes(const std::vector<double>& a, const std::vector<double>& b) {
  return a.size() == b.size() && (a.empty() || std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0);
}

}  // namespace leafhunger::testing
