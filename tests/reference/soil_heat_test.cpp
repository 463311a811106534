// Heat in the ground against closed solutions and printed values.
#include <array>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "leafhunger/heat.hpp"
#include "leafhunger/soil.hpp"
#include "published.hpp"

namespace {

using namespace leafhunger;
using published::expect_near;

/// The surface follows the air: no exchange to resist, no radiation.
HeatOptions bound_to_air() {
  HeatOptions options;
  options.exchange_w_m2_k = options.exchange_calm_w_m2_k = 1e9;
  options.snow = false;
  options.freezing_water_frac = 0;
  return options;
}

// equations.md 2.3, check values of a bare surface, computed by hand from the formula: printed to 0.01 degC.
TEST(Surface, EquivalentTemperature) {
  const auto bare = [](double t_air, double rs, double rnl, double evaporated) {
    SurfaceDay day;
    day.t_air_c = t_air;
    day.radiation_mj_m2 = rs;
    day.net_longwave_mj_m2 = rnl;
    day.evaporated_mm = evaporated;
    return equivalent_temperature_c(day, HeatOptions{});
  };
  const char* const source = "equations.md 2.3, by hand";
  expect_near("equivalent temperature, mild day, degC", source, 16.08, bare(15, 20, 4.5, 3.5), 0.005);
  expect_near("equivalent temperature, winter day, degC", source, 1.83, bare(4, 2, 3, 0.4), 0.005);
  expect_near("equivalent temperature, desert day, degC", source, 36.74, bare(30, 28, 7, 0), 0.005);
  // Leaves: (1 - 0.7)(0.77 x 20 - 4.5) - 2.45 (1 + 0.3 (2 + 0.5)) = 3.27 - 4.2875 = -1.0175 -> 15 - 11.574 x 1.0175/13 = 14.094.
  SurfaceDay leafy;
  leafy.t_air_c = 15;
  leafy.radiation_mj_m2 = 20;
  leafy.net_longwave_mj_m2 = 4.5;
  leafy.evaporated_mm = 0.6;
  leafy.mulch_caught_mm = 0.4;
  leafy.transpired_mm = 2;
  leafy.intercepted_mm = 0.5;
  leafy.cover_frac = 1;
  expect_near("equivalent temperature under full leaves, degC", source, 14.094, equivalent_temperature_c(leafy, HeatOptions{}), 0.0005);
}

// Damped wave, van Wijk & de Vries 1963: T = Tm + A0 exp(-z/d) sin(wt - z/d), d = sqrt(2D/w). D 0.5e-6 m2/s (k 1.0 W/m/K, C 2.0 MJ/m3/K), a
// year of 365 days, h -> infinity, 10.6 m of ground. Ratios at 5 to 50 cm are those of the reference table; 100 cm by the formula. Within 1
// % of the amplitude and half a day.
TEST(DampedWave, YearAtFiveDepths) {
  HeatOptions options = bound_to_air();
  options.capacity_mj_m3_k = 2.0;
  const double w = 2 * std::numbers::pi / 365, d_m = std::sqrt(2 * 0.5e-6 / (w / 86400));
  published::expect_near("annual damping depth, m", "reference table 3.1", 2.240, d_m, 0.001 * 2.240);
  constexpr std::array<double, 5> depths_mm = {50, 100, 200, 500, 1000};
  constexpr std::array<double, 4> table_ratio = {0.9779, 0.9563, 0.9146, 0.8000}, table_lag_d = {1.30, 2.59, 5.19, 12.96};
  HeatColumn column(make_soil(*find_texture("loam"), 3), options, 10);
  std::vector<double> layer_c(4);
  std::array<double, 5> sines{}, cosines{};
  constexpr int k_years = 12;  // of spin-up, until the deepest cell swings as it will
  for (int t = 0; t < 365 * (k_years + 1); ++t) {
    SurfaceDay day;
    day.t_air_c = 10 + 7 * std::sin(w * t);
    column.step(day, layer_c);
    if (t < 365 * k_years) continue;
    for (std::size_t i = 0; i < depths_mm.size(); ++i) {
      const double c = column.mean_at_mm(depths_mm[i]) - 10;
      sines[i] += c * std::sin(w * t) * 2 / 365;
      cosines[i] += c * std::cos(w * t) * 2 / 365;
    }
  }
  for (std::size_t i = 0; i < depths_mm.size(); ++i) {
    const double z_over_d = depths_mm[i] / 1000 / d_m, ratio = std::exp(-z_over_d), lag_d = z_over_d / w;
    if (i < table_ratio.size()) {
      ASSERT_NEAR(ratio, table_ratio[i], 0.0001);
      ASSERT_NEAR(lag_d, table_lag_d[i], 0.01);
    }
    const std::string where = ", " + std::to_string(static_cast<int>(depths_mm[i] / 10)) + " cm";
    expect_near("annual amplitude ratio" + where, "van Wijk & de Vries 1963", ratio, std::hypot(sines[i], cosines[i]) / 7, 0.01 * ratio);
    expect_near("annual lag, d" + where, "van Wijk & de Vries 1963", lag_d, std::atan2(-cosines[i], sines[i]) / w, 0.5);
  }
}

// Moist properties, Johansen 1975 as written in equations.md 2.3: 1.06 W/m/K for the default loam at field capacity, seen through the
// damping of a wave (k 1.0549 and C 2.0 x 0.52 + 4.18 x 0.27 = 2.1686 from the formula, so D is 0.4865e-6 m2/s).
TEST(DampedWave, MoistProperties) {
  HeatOptions moist = bound_to_air(), constant = bound_to_air();
  moist.moist_properties = true;
  constant.conductivity_w_m_k = 1.0549;
  constant.capacity_mj_m3_k = 2.1686;
  const Soil soil = make_soil(*find_texture("loam"), 3);
  HeatColumn a(soil, moist, 10), b(soil, constant, 10);
  std::vector<double> layer_a(4), layer_b(4);
  double worst = 0;
  for (int t = 0; t < 730; ++t) {
    SurfaceDay day;
    day.t_air_c = 10 + 7 * std::sin(2 * std::numbers::pi / 365 * t) + 3 * std::sin(t);
    a.set_water(soil.theta_fc);
    a.step(day, layer_a);
    b.step(day, layer_b);
    for (std::size_t l = 0; l < 4; ++l) worst = std::max(worst, std::abs(layer_a[l] - layer_b[l]));
  }
  expect_near("moist loam at field capacity against its constants, degC", "Johansen 1975 (equations.md 2.3)", 0, worst, 0.002);
}

// Freezing front: Neumann's solution of the Stefan problem for a half space at T0 > 0 whose surface falls to Ts < 0, the same k and C on
// both sides (Carslaw & Jaeger 1959, 11.2, from memory; derived afresh here): depth x = 2 m sqrt(D t) with
//   exp(-m2)/erf(m) - (T0/|Ts|) exp(-m2)/erfc(m) = m sqrt(pi) L/(C |Ts|).
// 0.20 m3/m3 of water at 334 MJ/m3. The front is taken from the ice in the ground; cells of 2 to 30 cm hold it: within 3 %.
TEST(Freezing, NeumannFront) {
  struct Case {
    double start_c, surface_c;
  };
  for (const Case& c : {Case{0, -5}, Case{3, -5}, Case{2, -15}}) {
    HeatOptions options = bound_to_air();
    options.freezing_water_frac = 0.20;
    const double k = options.conductivity_w_m_k, cap = options.capacity_mj_m3_k, latent = 334 * 0.20, pi = std::numbers::pi;
    double low = 1e-6, high = 3;
    for (int i = 0; i < 100; ++i) {
      const double m = (low + high) / 2;
      const double left = std::exp(-m * m) / std::erf(m) - c.start_c / -c.surface_c * std::exp(-m * m) / std::erfc(m);
      (left > m * std::sqrt(pi) * latent / (cap * -c.surface_c) ? low : high) = m;
    }
    HeatColumn column(make_soil(*find_texture("loam"), 3), options, c.start_c);
    std::vector<double> layer_c(4);
    SurfaceDay day;
    day.t_air_c = c.surface_c;
    for (int t = 1; t <= 120; ++t) {
      column.step(day, layer_c);
      if (t != 10 && t != 30 && t != 60 && t != 120) continue;
      const double depth_m = 2 * low * std::sqrt(k / (cap * 1e6) * t * 86400);
      expect_near("frost front after " + std::to_string(t) + " d, from " + published::digits(c.start_c) + " with " +
                      published::digits(c.surface_c) + " degC on top, m",
                  "Neumann's solution of the Stefan problem", depth_m, column.frozen_mm() / 1000 / 0.20, 0.03 * depth_m);
    }
  }
}

}  // namespace
