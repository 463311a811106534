// One day of water in a column of layers.
//
// Drainage law (ours): of what a layer holds above field capacity the share 1 - exp(-dt/tau) leaves in a sub-step, bottom layer first so
// that room is known, no more than the next layer has room for below saturation. What a layer cannot hold then passes on at once, a full
// column backs up from below, and only what the top layer still cannot hold runs off. Without the passing-on, 15 of 20 mm ran off a dry
// clay whose subsoil was at wilting, and the answer hung on the thickness of the top layer. Evaporation, transpiration and stress: FAO-56,
// eq 73, 74, 84 and chapter 10 for mulch; the ceiling of eq 71 is left out.
#include "leafhunger/water.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>
#include <string>

#include "leafhunger/error.hpp"

namespace leafhunger {

namespace {

constexpr int k_sub_steps = 8;
constexpr double k_evaporating_mm = 100;     // Z_e, FAO-56 p144
constexpr double k_evaporation_most = 1.15;  // of ETo, from a wet bare surface (equations.md 2.2)
constexpr double k_mulch_saves = 0.5;        // of evaporation under full cover of organic mulch: 5 % per 10 %, FAO-56 p196
constexpr double k_balance_mm = 1e-9;

double sum(const std::vector<double>& values) { return std::accumulate(values.begin(), values.end(), 0.0); }

}  // namespace

double depletion_frac(double p_table, double etc_mm_per_day) { return std::clamp(p_table + 0.04 * (5 - etc_mm_per_day), 0.1, 0.8); }

double stress_coefficient(double available_frac, double p_depletion) { return std::clamp(available_frac / (1 - p_depletion), 0.0, 1.0); }

WaterBucket::WaterBucket(const Soil& soil)
    : draining_frac_(1 - std::exp(-1.0 / k_sub_steps / soil.drain_time_d)),
      k_sat_mm_(soil.k_sat_mm_per_day / k_sub_steps),
      rise_mm_(soil.rise_mm_per_day / k_sub_steps),
      infiltration_mm_(soil.infiltration_mm_per_day),
      thickness_mm_(soil.thickness_mm) {
  double evaporable_mm = 0, top_mm = 0;
  for (std::size_t l = 0; l < soil.layers(); ++l) {
    const double mm = soil.thickness_mm[l];
    fc_mm_.push_back(soil.theta_fc[l] * mm);
    wp_mm_.push_back(soil.theta_wp[l] * mm);
    sat_mm_.push_back(soil.theta_sat[l] * mm);
    half_wp_mm_.push_back(wp_mm_[l] / 2);
    surface_frac_.push_back(std::clamp((k_evaporating_mm - top_mm) / mm, 0.0, 1.0));
    evaporable_mm += surface_frac_[l] * (fc_mm_[l] - half_wp_mm_[l]);  // TEW, eq 73
    top_mm += mm;
  }
  // TEW - REW: the water over which evaporation falls from its full rate to nothing. A mix that holds less than REW has none to fall over.
  evaporable_mm_ = std::max(evaporable_mm - soil.rew_mm, 1e-6);
  storage_mm_ = fc_mm_;
  transpire_mm_.assign(soil.layers(), 0.0);
  evaporate_mm_.assign(soil.layers(), 0.0);
  wet_mm_.assign(soil.layers(), 0.0);
}

void WaterBucket::available(std::span<double> out) const {
  assert(out.size() == storage_mm_.size());
  for (std::size_t l = 0; l < storage_mm_.size(); ++l) {
    out[l] = std::clamp((storage_mm_[l] - wp_mm_[l]) / (fc_mm_[l] - wp_mm_[l]), 0.0, 1.0);
  }
}

void WaterBucket::set_storage_mm(std::span<const double> storage_mm) {
  assert(storage_mm.size() == storage_mm_.size());
  std::copy(storage_mm.begin(), storage_mm.end(), storage_mm_.begin());
}

void WaterBucket::step(const WaterForcing& forcing, WaterDay& out) {
  const std::size_t n = storage_mm_.size();
  assert(forcing.root_share.empty() || forcing.root_share.size() == n);
  for (auto* column : {&out.available_frac, &out.wfps_frac, &out.theta, &out.drained_mm}) column->resize(n);
  double* const store = storage_mm_.data();
  const double before_mm = sum(storage_mm_);

  // Demands, from the water at 00.
  available(out.available_frac);
  double rooted = 0, reachable = 0;
  for (std::size_t l = 0; l < forcing.root_share.size(); ++l) {
    rooted += forcing.root_share[l];
    transpire_mm_[l] = forcing.root_share[l] * out.available_frac[l];
    reachable += transpire_mm_[l];
  }
  out.stress = rooted > 0 ? stress_coefficient(reachable, forcing.p_depletion) : 1.0;
  const double per_share_mm = reachable > 0 ? forcing.transpiration_want_mm * out.stress / reachable / k_sub_steps : 0.0;
  for (std::size_t l = 0; l < n; ++l) transpire_mm_[l] = forcing.root_share.empty() ? 0.0 : transpire_mm_[l] * per_share_mm;

  double left_mm = 0;
  std::size_t surface_layers = 0;  // layers of which some part lies above 100 mm
  for (; surface_layers < n && surface_frac_[surface_layers] > 0; ++surface_layers) {
    left_mm += surface_frac_[surface_layers] * std::max(store[surface_layers] - half_wp_mm_[surface_layers], 0.0);
  }
  const double reduction = std::min(1.0, left_mm / evaporable_mm_);
  const double bare_frac = (1 - forcing.cover_frac) * (1 - k_mulch_saves * forcing.mulch_frac);
  const double evaporate_mm = std::min(k_evaporation_most * reduction * bare_frac * forcing.eto_mm, left_mm) / k_sub_steps;

  const double offered_mm = forcing.rain_mm + forcing.by_hand_mm;
  const double enters_mm = std::min(offered_mm, infiltration_mm_) / k_sub_steps;
  double run_off_mm = offered_mm - enters_mm * k_sub_steps, transpired_mm = 0, evaporated_mm = 0, risen_mm = 0;
  double* const drained = out.drained_mm.data();
  std::fill_n(drained, n, 0.0);
  std::fill(wet_mm_.begin(), wet_mm_.end(), 0.0);

  for (int part = 0; part < k_sub_steps; ++part) {
    store[0] += enters_mm;

    // Roots stop at wilting, whatever the day's share was: rain may have been less than the wish in a thin layer.
    for (std::size_t l = 0; l < n; ++l) {
      const double taken_mm = std::min(transpire_mm_[l], std::max(store[l] - wp_mm_[l], 0.0));
      store[l] -= taken_mm;
      transpired_mm += taken_mm;
    }

    double holds_mm = 0;
    for (std::size_t l = 0; l < surface_layers; ++l) {
      evaporate_mm_[l] = surface_frac_[l] * std::max(store[l] - half_wp_mm_[l], 0.0);
      holds_mm += evaporate_mm_[l];
    }
    if (holds_mm > 0) {
      const double share = std::min(1.0, evaporate_mm / holds_mm);
      for (std::size_t l = 0; l < surface_layers; ++l) {
        store[l] -= share * evaporate_mm_[l];
        evaporated_mm += share * evaporate_mm_[l];
      }
    }

    const std::size_t bottom = n - 1;
    for (std::size_t l = n; l-- > 0;) {
      double flow_mm = std::max(store[l] - fc_mm_[l], 0.0) * draining_frac_;
      if (k_sat_mm_ > 0) flow_mm = std::min(flow_mm, k_sat_mm_);
      if (l < bottom) {
        flow_mm = std::min(flow_mm, std::max(sat_mm_[l + 1] - store[l + 1], 0.0));
        store[l + 1] += flow_mm;
      }
      store[l] -= flow_mm;
      drained[l] += flow_mm;
    }
    if (rise_mm_ > 0) {
      const double fits_mm = std::min(rise_mm_, std::max(sat_mm_[bottom] - store[bottom], 0.0));
      store[bottom] += fits_mm;
      risen_mm += fits_mm;
    }
    for (std::size_t l = 0; l < bottom; ++l) {  // what a layer cannot hold passes on
      const double over_mm = std::max(store[l] - sat_mm_[l], 0.0);
      store[l] -= over_mm;
      store[l + 1] += over_mm;
      drained[l] += over_mm;
    }
    for (std::size_t l = bottom; l > 0; --l) {  // and backs up where the column is full
      const double over_mm = std::max(store[l] - sat_mm_[l], 0.0);
      store[l] -= over_mm;
      store[l - 1] += over_mm;
      drained[l - 1] -= over_mm;
    }
    const double over_mm = std::max(store[0] - sat_mm_[0], 0.0);
    store[0] -= over_mm;
    run_off_mm += over_mm;

    for (std::size_t l = 0; l < n; ++l) wet_mm_[l] += store[l];
  }

  for (std::size_t l = 0; l < n; ++l) {
    const double mean_mm = wet_mm_[l] / k_sub_steps;
    out.theta[l] = mean_mm / thickness_mm_[l];
    out.wfps_frac[l] = mean_mm / sat_mm_[l];
    drained[l] = std::max(drained[l], 0.0);  // passing on and backing up may leave -1e-17
  }
  out.transpired_mm = transpired_mm;
  out.evaporated_mm = evaporated_mm;
  out.run_off_mm = std::max(run_off_mm, 0.0);
  out.risen_mm = risen_mm;

  const double astray_mm =
      before_mm + offered_mm + risen_mm - transpired_mm - evaporated_mm - run_off_mm - drained[n - 1] - sum(storage_mm_);
  if (!(std::abs(astray_mm) < k_balance_mm)) {  // so written that NaN fails too
    throw SolverError("the water balance of a day does not close: " + std::to_string(astray_mm) + " mm went astray");
  }
}

}  // namespace leafhunger
