// Heat in the ground: finite volumes, backward Euler, four sub-steps a day. One sub-step alone costs 0.27 degC RMS against many.
//
// The matrix is tridiagonal and eliminated from the bottom up, so that the surface, which alone changes from day to day (mulch, snow),
// touches the last pivot only; with constant properties a sub-step is then two sweeps without a division.
#include "leafhunger/heat.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

#include "leafhunger/error.hpp"

namespace leafhunger {

namespace {

constexpr int k_sub_steps = 4;
constexpr double k_sub_step_s = 86400.0 / k_sub_steps;
constexpr double k_w_m2_per_mj_m2_d = 11.574;  // 1e6 / 86400
constexpr double k_latent_mj_kg = 2.45;        // of evaporation, FAO-56 p31
constexpr double k_albedo_passed = 0.77;
constexpr double k_fusion_mj_m3 = 334;     // of water that freezes, per m3 of it
constexpr double k_air_film_w_m2_k = 8;    // along a pot's wall (equations.md 2.4, a guess)
constexpr double k_snow_melts_mm_c_d = 3;  // degree-day factor (equations.md 2.3)
constexpr double k_snow_covers_mm = 5;     // water in the snow above which the surface is snow
constexpr double k_thinnest_cell_m = 0.01;

// Thin where the day is felt, thick where only the year is. 14 cells to 5 m are 1.5 % and 0.74 d off the yearly wave at 1 m.
constexpr std::array<double, 21> k_cells_m = {0.02, 0.03, 0.05, 0.05, 0.05, 0.10, 0.10, 0.10, 0.15, 0.15, 0.20,
                                              0.30, 0.40, 0.50, 0.60, 0.80, 1.00, 1.20, 1.40, 1.60, 1.80};

std::vector<double> grid_m(const Soil& soil) {
  if (!soil.container) return {k_cells_m.begin(), k_cells_m.end()};
  std::vector<double> cells;
  double left_m = soil.depth_mm() / 1000;
  for (const double cell : k_cells_m) {
    if (left_m <= 0) break;
    if (left_m - cell < k_thinnest_cell_m) {  // the last one takes the rest, so that the pot ends where it ends
      cells.push_back(left_m);
      left_m = 0;
    } else {
      cells.push_back(cell);
      left_m -= cell;
    }
  }
  return cells;
}

/// Conductivity by Johansen (1975, from memory), W/m/K; degree of saturation below 0.1 counts as dry.
double moist_conductivity(double porosity, double bulk_density_mg_m3, double theta) {
  const double rho = bulk_density_mg_m3 * 1000;
  const double dry = (0.135 * rho + 64.7) / (2700 - 0.947 * rho);
  const double saturated = std::pow(3.0, 1 - porosity) * std::pow(0.57, porosity);
  const double wet_frac = std::min(theta / porosity, 1.0);
  return wet_frac > 0.1 ? dry + (saturated - dry) * (1 + std::log10(wet_frac)) : dry;
}

/// Net energy that the surface has to pass on to air and ground, MJ/m2/d.
double net_energy_mj_m2(const SurfaceDay& day) {
  const double in_sun = 1 - day.shade * day.cover_frac;
  const double cooled = day.evaporated_mm + day.mulch_caught_mm + (1 - day.shade) * (day.transpired_mm + day.intercepted_mm);
  return in_sun * (k_albedo_passed * day.radiation_mj_m2 - day.net_longwave_mj_m2) - k_latent_mj_kg * cooled;
}

}  // namespace

double equivalent_temperature_c(const SurfaceDay& day, const HeatOptions& options) {
  const double net = net_energy_mj_m2(day);
  return day.t_air_c + k_w_m2_per_mj_m2_d * net / (net > 0 ? options.exchange_w_m2_k : options.exchange_calm_w_m2_k);
}

HeatColumn::HeatColumn(const Soil& soil, const HeatOptions& options, double start_c)
    : soil_(soil), options_(options), cell_m_(grid_m(soil)) {
  cells_ = cell_m_.size();
  double depth_m = 0;
  for (const double cell : cell_m_) {
    centre_m_.push_back(depth_m + cell / 2);
    depth_m += cell;
  }
  for (auto* column :
       {&between_, &storage_, &latent_, &wall_, &inverse_pivot_, &up_, &right_, &next_c_, &ice_frac_, &icy_pivot_, &icy_up_, &icy_next_}) {
    column->assign(cells_, 0.0);
  }
  phase_.assign(cells_, 0);
  conductivity_.assign(cells_, options.conductivity_w_m_k);
  capacity_.assign(cells_, options.capacity_mj_m3_k);
  t_c_.assign(cells_, start_c);
  mean_c_ = t_c_;

  if (soil.container && soil.container_diameter_m > 0) {
    for (std::size_t i = 0; i < cells_; ++i) wall_[i] = 4 / soil.container_diameter_m * options.wall_u_w_m2_k * cell_m_[i];
  }
  for (std::size_t i = 0; i < cells_; ++i) {
    std::size_t layer = 0;
    while (layer + 1 < soil.layers() && soil.top_mm(layer + 1) <= centre_m_[i] * 1000) ++layer;
    cell_layer_.push_back(layer);
  }
  for (std::size_t l = 0; l < soil.layers(); ++l) {
    const double middle_m = soil.middle_mm(l) / 1000;
    std::size_t above = 0;
    while (above + 2 < cells_ && centre_m_[above + 1] <= middle_m) ++above;
    layer_cell_.push_back(above);
    layer_weight_.push_back(cells_ > 1 ? std::clamp((middle_m - centre_m_[above]) / (centre_m_[above + 1] - centre_m_[above]), 0.0, 1.0)
                                       : 0.0);
  }
  refresh_matrix();
}

void HeatColumn::refresh_matrix() {
  for (std::size_t i = 0; i < cells_; ++i) {
    storage_[i] = capacity_[i] * 1e6 * cell_m_[i] / k_sub_step_s;
    latent_[i] = k_fusion_mj_m3 * 1e6 * cell_m_[i] / k_sub_step_s;
    if (i + 1 < cells_) between_[i] = 1 / (cell_m_[i] / (2 * conductivity_[i]) + cell_m_[i + 1] / (2 * conductivity_[i + 1]));
  }
  // Row i: pivot_i T_i - between_(i-1) T_(i-1) = right_i, once what lies below is eliminated.
  double pivot = 0;
  for (std::size_t i = cells_; i-- > 0;) {
    double diagonal = storage_[i] + wall_[i] + (i > 0 ? between_[i - 1] : 0.0);
    if (i + 1 < cells_) {
      up_[i] = between_[i] / pivot;
      diagonal += between_[i] - between_[i] * up_[i];
    }
    pivot = diagonal;
    inverse_pivot_[i] = 1 / pivot;
  }
  top_pivot_ = pivot;
}

void HeatColumn::set_water(std::span<const double> theta) {
  if (!options_.moist_properties) return;
  assert(theta.size() == soil_.layers());
  for (std::size_t i = 0; i < cells_; ++i) {
    const std::size_t l = cell_layer_[i];
    if (i > 0 && cell_layer_[i - 1] == l) {
      conductivity_[i] = conductivity_[i - 1];
      capacity_[i] = capacity_[i - 1];
    } else {
      conductivity_[i] = moist_conductivity(soil_.theta_sat[l], soil_.bulk_density_mg_m3[l], theta[l]);
      capacity_[i] = 2.0 * (1 - soil_.theta_sat[l]) + 4.18 * theta[l];
    }
  }
  refresh_matrix();
}

struct HeatColumn::Boundary {
  double surface_w_m2_k, surface_c;  // conductance from the equivalent temperature to the top cell's middle
  double wall_c;
  double inverse_top;  // 1 / pivot of the top cell
};

/// One sub-step with the ice left as it is: two sweeps over the matrix that refresh_matrix() eliminated.
void HeatColumn::solve_plain(const Boundary& boundary) {
  const std::size_t n = cells_;
  for (std::size_t i = 0; i < n; ++i) right_[i] = storage_[i] * t_c_[i] + wall_[i] * boundary.wall_c;
  right_[0] += boundary.surface_w_m2_k * boundary.surface_c;
  for (std::size_t i = n - 1; i-- > 0;) right_[i] += up_[i] * right_[i + 1];
  next_c_[0] = right_[0] * boundary.inverse_top;
  for (std::size_t i = 1; i < n; ++i) next_c_[i] = right_[i] * inverse_pivot_[i] + up_[i - 1] * next_c_[i - 1];
}

/// One sub-step in which water freezes or ice melts, heat content implicit: a cell is thawed (no ice, T >= 0), frozen (all ice, T <= 0) or
/// mixed (T = 0, ice from the balance). Which, is found by trial: solve, move the cells that contradict their state, again until none does.
/// Moving heat into ice after an ordinary sub-step instead is 5-13 % short of Neumann's front with four sub-steps a day; this is within 3
/// %. False where the trial does not settle.
bool HeatColumn::solve_with_ice(const Boundary& boundary) {
  enum : unsigned char { thawed, mixed, frozen };
  constexpr int k_most_rounds = 30;  // one or two are the rule
  const std::size_t n = cells_;
  const double full = options_.freezing_water_frac;
  for (std::size_t i = 0; i < n; ++i) {
    if (ice_frac_[i] <= 0) {
      phase_[i] = t_c_[i] >= 0 ? thawed : mixed;
    } else {
      phase_[i] = ice_frac_[i] >= full && t_c_[i] <= 0 ? frozen : mixed;
    }
  }
  for (int round = 0; round < k_most_rounds; ++round) {
    for (std::size_t i = n; i-- > 0;) {
      icy_next_[i] = phase_[i] == frozen ? full : 0.0;
      right_[i] = storage_[i] * t_c_[i] + wall_[i] * boundary.wall_c;
      double pivot = storage_[i] + wall_[i] + (i > 0 ? between_[i - 1] : boundary.surface_w_m2_k);
      if (i == 0) right_[i] += boundary.surface_w_m2_k * boundary.surface_c;
      if (i + 1 < n) {
        pivot += between_[i];
        icy_up_[i] = phase_[i + 1] == mixed ? 0.0 : between_[i] * icy_pivot_[i + 1];
        pivot -= between_[i] * icy_up_[i];
        right_[i] += icy_up_[i] * right_[i + 1];
      }
      right_[i] += latent_[i] * (icy_next_[i] - ice_frac_[i]);  // not used where mixed
      icy_pivot_[i] = 1 / pivot;
    }
    for (std::size_t i = 0; i < n; ++i) {
      next_c_[i] = phase_[i] == mixed ? 0.0 : (right_[i] + (i > 0 ? between_[i - 1] * next_c_[i - 1] : 0.0)) * icy_pivot_[i];
    }
    bool settled = true;
    for (std::size_t i = 0; i < n; ++i) {
      if (phase_[i] == thawed && next_c_[i] < 0) {
        phase_[i] = mixed;
        settled = false;
      } else if (phase_[i] == frozen && next_c_[i] > 0) {
        phase_[i] = mixed;
        settled = false;
      } else if (phase_[i] == mixed) {
        double gained = wall_[i] * boundary.wall_c;
        gained += i > 0 ? between_[i - 1] * next_c_[i - 1] : boundary.surface_w_m2_k * boundary.surface_c;
        if (i + 1 < n) gained += between_[i] * next_c_[i + 1];
        icy_next_[i] = ice_frac_[i] - (storage_[i] * t_c_[i] + gained) / latent_[i];
        if (icy_next_[i] < 0 || icy_next_[i] > full) {
          phase_[i] = icy_next_[i] < 0 ? thawed : frozen;
          settled = false;
        }
      }
    }
    if (settled) {
      ice_frac_.swap(icy_next_);
      icy_ = std::any_of(ice_frac_.begin(), ice_frac_.end(), [](double ice) { return ice > 0; });
      return true;
    }
  }
  return false;
}

/// Moves heat between the cells' warmth and their ice until neither contradicts the other. Loses no heat, but is late (see above).
void HeatColumn::freeze_and_thaw() {
  icy_ = false;
  for (std::size_t i = 0; i < cells_; ++i) {
    const double lacks = -next_c_[i] * capacity_[i] / k_fusion_mj_m3;
    const double change = std::clamp(lacks, -ice_frac_[i], options_.freezing_water_frac - ice_frac_[i]);
    ice_frac_[i] += change;
    next_c_[i] += change * k_fusion_mj_m3 / capacity_[i];
    icy_ = icy_ || ice_frac_[i] > 0;
  }
}

void HeatColumn::sub_step(const Boundary& boundary) {
  bool fallen_back = false;
  const bool freezes = options_.freezing_water_frac > 0;
  if (!(freezes && icy_)) solve_plain(boundary);
  if (freezes && (icy_ || *std::min_element(next_c_.begin(), next_c_.end()) < 0) && !solve_with_ice(boundary)) {
    solve_plain(boundary);
    fallen_back = true;
  }
  // Booked before freeze_and_thaw() moves warmth: the flows were those of the solution.
  entered_mj_m2_ += boundary.surface_w_m2_k * (boundary.surface_c - next_c_[0]);
  if (soil_.container) {
    for (std::size_t i = 0; i < cells_; ++i) entered_mj_m2_ += wall_[i] * (boundary.wall_c - next_c_[i]);
  }
  if (fallen_back) freeze_and_thaw();
  t_c_.swap(next_c_);
}

void HeatColumn::step(const SurfaceDay& day, std::span<double> layer_c) {
  assert(layer_c.size() == soil_.layers());
  double surface_c = equivalent_temperature_c(day, options_);
  double resistance = 1 / options_.exchange_w_m2_k + day.mulch_resistance_m2k_w + day.turf_resistance_m2k_w;
  if (options_.snow) {
    snow_mm_ += day.rain_mm * std::clamp((2 - day.t_air_c) / 2, 0.0, 1.0);
    snow_mm_ -= std::min(snow_mm_, k_snow_melts_mm_c_d * std::max(day.t_air_c, 0.0));
    resistance += options_.snow_resistance_per_mm * snow_mm_;
    if (snow_mm_ > k_snow_covers_mm) surface_c = std::min(day.t_air_c, 0.0);
  }
  const double surface = 1 / (resistance + cell_m_[0] / (2 * conductivity_[0]));
  const double wall_c = day.t_air_c + options_.wall_sun_frac * day.radiation_mj_m2 * k_w_m2_per_mj_m2_d / k_air_film_w_m2_k;
  const Boundary boundary{surface, surface_c, wall_c, 1 / (top_pivot_ + surface)};

  std::fill(mean_c_.begin(), mean_c_.end(), 0.0);
  entered_mj_m2_ = 0;  // W/m2 until the end of the day
  for (int part = 0; part < k_sub_steps; ++part) {
    sub_step(boundary);
    for (std::size_t i = 0; i < cells_; ++i) mean_c_[i] += t_c_[i] / k_sub_steps;
  }
  entered_mj_m2_ *= k_sub_step_s / 1e6;
  if (!std::isfinite(entered_mj_m2_))
    throw SolverError("the temperature of the ground is not finite: the weather of the day cannot be right");

  for (std::size_t l = 0; l < layer_c.size(); ++l) {
    const std::size_t above = layer_cell_[l], below = std::min(above + 1, cells_ - 1);
    layer_c[l] = mean_c_[above] + layer_weight_[l] * (mean_c_[below] - mean_c_[above]);
  }
}

double HeatColumn::mean_at_mm(double depth_mm) const {
  const double depth_m = depth_mm / 1000;
  if (depth_m <= centre_m_.front()) return mean_c_.front();
  if (depth_m >= centre_m_.back()) return mean_c_.back();
  const auto below = static_cast<std::size_t>(std::upper_bound(centre_m_.begin(), centre_m_.end(), depth_m) - centre_m_.begin());
  const double weight = (depth_m - centre_m_[below - 1]) / (centre_m_[below] - centre_m_[below - 1]);
  return mean_c_[below - 1] + weight * (mean_c_[below] - mean_c_[below - 1]);
}

double HeatColumn::frozen_mm() const {
  double mm = 0;
  for (std::size_t i = 0; i < cells_; ++i) mm += ice_frac_[i] * cell_m_[i] * 1000;
  return mm;
}

double HeatColumn::heat_mj_m2() const {
  double mj = 0;
  for (std::size_t i = 0; i < cells_; ++i) mj += cell_m_[i] * (capacity_[i] * t_c_[i] - k_fusion_mj_m3 * ice_frac_[i]);
  return mj;
}

}  // namespace leafhunger
