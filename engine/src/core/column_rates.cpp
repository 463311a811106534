// The right-hand side. Plain loops over lanes, written so that the compiler vectorises them; no branch on time, no allocation.
#include <algorithm>
#include <cmath>

#include "clones.hpp"
#include "column.hpp"
#include "leafhunger/error.hpp"
#include "plugin_call.hpp"
#include "smooth.hpp"

namespace leafhunger {

void ColumnBatch::critical(std::span<double> kg_n_ha) { critical_of(y_.data() + map_.w * lanes_, kg_n_ha.data()); }

LEAFHUNGER_CLONES static void multiply(double* row, const double* by, std::size_t n) {
#pragma GCC ivdep
  for (std::size_t i = 0; i < n; ++i) row[i] *= by[i];
}

void ColumnBatch::critical_of(const double* w, double* kg_n_ha) {
  if (!shape_.demand) {
    std::fill(kg_n_ha, kg_n_ha + lanes_, 0.0);
    return;
  }
  call_plugin([&] { return shape_.demand->critical(static_cast<int32_t>(lanes_), parameter_plant_.data(), factor_.data(), w, kg_n_ha); },
              [&](const std::string& why) { plugin_failed(shape_.demand->about.name, "critical", why); });
  multiply(kg_n_ha, cover_.data(), lanes_);
}

// lambda: what scarce mineral N can meet of all that is asked for in one place (equations.md 4.2).
void ColumnBatch::starve(const double* y) {
  for (std::size_t p = 0; p < places_.size(); ++p) {
    double* scarce = lane_row(scarce_, p);
    double* lambda = lane_row(lambda_, p);
    const double* half = lane_row(half_starve_, p);
    std::fill(scarce, scarce + lanes_, 0.0);  // first: what is asked for
    for (const Ask& a : asks_) {
      if (a.place != p) continue;
      const double *ask = lane_row(flow_coef_, a.flow_row), *driver = y + a.driver_row * lanes_;
      for (std::size_t i = 0; i < lanes_; ++i)
        scarce[i] += a.bends ? ask[i] * driver[i] * bend_[a.flow_row * lanes_ + i] : ask[i] * driver[i];
    }
    for (std::size_t i = 0; i < lanes_; ++i) {
      double there = 0;
      for (std::size_t l = 0; l < n_; ++l)
        there += places_[p].covered[l] *
                 (y[(map_.ammonium + l) * lanes_ + i] + y[(map_.nitrate_fast + l) * lanes_ + i] + y[(map_.nitrate_slow + l) * lanes_ + i]);
      there = std::max(there, 0.0);
      scarce[i] = there + half[i] + std::max(scarce[i], 0.0) / take_rate_[i];
      lambda[i] = there / scarce[i];
    }
  }
}

void ColumnBatch::bend(const double* y) {
  for (std::size_t s = 0; s < shape_.slots.size(); ++s) {
    const lh_release& model = *shape_.slots[s].model;
    if (!model.bend) continue;
    double* out = lane_row(bend_, plans_[s].first_flow);
    call_plugin(
        [&] {
          return model.bend(static_cast<int32_t>(lanes_), parameter_slot_[s].data(), y + map_.slot[s].first_pool * lanes_,
                            y + map_.slot[s].first_age * lanes_, lane_row(given_, s), out);
        },
        [&](const std::string& why) { plugin_failed(model.about.name, "bend", why); });
    for (std::size_t k = 0; k < static_cast<std::size_t>(model.n_flow) * lanes_; ++k)
      if (!(out[k] >= 0 && out[k] <= 4)) plugin_failed(model.about.name, "bend", "returned a number outside 0 to 4");
  }
}

void ColumnBatch::feed_stage(const double* y) {
  if (!stage_feeds_) return;
  if (any_bend_) bend(y);
  starve(y);
  takes_set_ = true;
  for (const FlowTransfer& f : flow_t_) {
    if (!f.starves && !f.bends) continue;
    const double *base = lane_row(flow_coef_, f.flow_row), *poor = lane_row(poor_, f.slot),
                 *lambda = lane_row(lambda_, plans_[f.slot].place);
    double* c = lane_row(coef_, f.transfer);
    for (std::size_t i = 0; i < lanes_; ++i) c[i] = f.weight * base[i] * (f.starves && poor[i] > 0 ? lambda[i] : 1);
    if (f.bends)
      for (std::size_t i = 0; i < lanes_; ++i) c[i] *= bend_[f.flow_row * lanes_ + i];
  }
  for (const Take& t : takes_) {
    const double *base = lane_row(flow_coef_, t.flow_row), *driver = y + t.driver_row * lanes_,
                 *scarce = lane_row(scarce_, plans_[t.slot].place);
    double* c = lane_row(coef_, t.transfer);
    for (std::size_t i = 0; i < lanes_; ++i) c[i] = t.weight * base[i] * std::max(driver[i], 0.0) / scarce[i];
    if (t.bends)
      for (std::size_t i = 0; i < lanes_; ++i) c[i] *= bend_[t.flow_row * lanes_ + i];
  }
}

// Rows of one array never overlap and no row is both read and written by name in one loop: the compiler may take them side by side.
#define LEAFHUNGER_LANES _Pragma("GCC ivdep") for (std::size_t i = 0; i < lanes; ++i)

void ColumnBatch::soil_stage(const double* y) {
  const std::size_t lanes = lanes_;
  const double fast_share = of_lane_[0]->nitrogen->fast;
  for (std::size_t l = 0; l < n_; ++l) {
    const double *nh = y + (map_.ammonium + l) * lanes, *nf = y + (map_.nitrate_fast + l) * lanes,
                 *ns = y + (map_.nitrate_slow + l) * lanes;
    const double *nit = lane_row(nit_top_, l), *nit_half = lane_row(nit_half_, l), *den = lane_row(den_top_, l),
                 *den_half = lane_row(den_half_, l);
    double *to_fast = lane_row(coef_, soil_t_[l].nitrify_fast), *to_slow = lane_row(coef_, soil_t_[l].nitrify_slow);
    double *gas_fast = lane_row(coef_, soil_t_[l].denitrify_fast), *gas_slow = lane_row(coef_, soil_t_[l].denitrify_slow);
    LEAFHUNGER_LANES {
      const double n = nit[i] / (nh[i] + nit_half[i]), g = den[i] / (nf[i] + ns[i] + den_half[i]);
      to_fast[i] = fast_share * n;
      to_slow[i] = (1 - fast_share) * n;
      gas_fast[i] = g;
      gas_slow[i] = g;
    }
  }
}

// Want, reserve, fixation, need, uptake and growth (equations.md 7 and 8).
void ColumnBatch::plant_stage(const double* y, double* dy) {
  const std::size_t lanes = lanes_;
  const double *w = y + map_.w * lanes, *n_plant = y + map_.plant * lanes, *reserve = y + map_.reserve * lanes;
  critical_of(w, n_crit_.data());
  double* supply = scratch_row_.data();
  std::fill(supply, supply + lanes, 0.0);
  const double *psi = psi_.data(), *unreachable = unreachable_.data();
  for (std::size_t l = 0; l < n_; ++l) {
    const double *nh = y + (map_.ammonium + l) * lanes, *nf = y + (map_.nitrate_fast + l) * lanes,
                 *ns = y + (map_.nitrate_slow + l) * lanes;
    const double* reach = lane_row(reach_, l);
    double *a = lane_row(coef_, soil_t_[l].take_ammonium), *f = lane_row(coef_, soil_t_[l].take_fast);
    LEAFHUNGER_LANES {
      const double no = positive(nf[i] + ns[i]), h = positive(nh[i]);
      f[i] = reach[i] * no / (no + unreachable[i]);
      a[i] = reach[i] * psi[i] * h / (h + unreachable[i]);
      supply[i] += f[i] * no + a[i] * h;
    }
  }
  double *back = lane_row(coef_, reserve_t_), *fixed = dy + map_.fixed * lanes, *into = dy + map_.plant * lanes;
  double *need = need_.data(), *nni = nni_.data();
  const double *n_crit = n_crit_.data(), *luxury = luxury_.data(), *want_rate = want_rate_.data(), *reserve_rate = reserve_rate_.data(),
               *fixed_frac = fixed_.data();
  LEAFHUNGER_LANES {
    const double want = ramp(luxury[i] * n_crit[i] - n_plant[i], 0.05 * n_crit[i]) * want_rate[i];
    const double from_reserve = reserve_rate[i] * positive(reserve[i]);
    const double share = smin_share(want, from_reserve);
    back[i] = reserve_rate[i] * share;
    const double unmet = want - share * from_reserve;
    const double by_air = fixed_frac[i] * unmet;
    fixed[i] = by_air;
    into[i] += by_air;
    need[i] = unmet - by_air;
    supply[i] = smin_share(need[i], supply[i]);  // now: share of the supply that is taken
    nni[i] = n_crit[i] > 0 ? positive(n_plant[i]) / n_crit[i] : 1;
  }
  for (std::size_t l = 0; l < n_; ++l) {
    double *a = lane_row(coef_, soil_t_[l].take_ammonium), *f = lane_row(coef_, soil_t_[l].take_fast),
           *s = lane_row(coef_, soil_t_[l].take_slow);
    LEAFHUNGER_LANES {
      a[i] *= supply[i];
      f[i] *= supply[i];
      s[i] = f[i];
    }
  }
  call_plugin(
      [&] {
        return shape_.demand->grow(static_cast<int32_t>(lanes), parameter_plant_.data(), factor_.data(), w, nni, stress_.data(),
                                   dy + map_.w * lanes);
      },
      [&](const std::string& why) { plugin_failed(shape_.demand->about.name, "grow", why); });
}

void ColumnBatch::rates(const double* y, double* dy) {
  const std::size_t lanes = lanes_;
  if (!active_known_) find_active();
  std::fill(dy, dy + map_.rows * lanes, 0.0);
  feed_stage(y);
  soil_stage(y);
  if (shape_.demand) plant_stage(y, dy);
  double* from_soil = dy + map_.from_soil * lanes;
  for (std::size_t l = 0; l < n_; ++l) {
    const double* in = lane_row(humus_in_, l);
    double* nh = dy + (map_.ammonium + l) * lanes;
    LEAFHUNGER_LANES {
      nh[i] += in[i];
      from_soil[i] += in[i];
    }
  }
  for (const std::uint32_t t : active_) {
    const Transfer& tr = transfers_[t];
    const double *c = coef_.data() + t * lanes, *donor = y + tr.from * lanes;
    double *out = dy + tr.from * lanes, *in = dy + tr.to * lanes;
    if (tr.count == k_none) {
      LEAFHUNGER_LANES {
        const double flow = c[i] * donor[i];
        out[i] -= flow;
        in[i] += flow;
      }
    } else {
      double* count = dy + tr.count * lanes;
      LEAFHUNGER_LANES {
        const double flow = c[i] * donor[i];
        out[i] -= flow;
        in[i] += flow;
        count[i] += flow;
      }
    }
  }
  for (std::size_t s = 0; s < shape_.slots.size(); ++s)
    std::copy(age_rate_[s].begin(), age_rate_[s].end(), dy + map_.slot[s].first_age * lanes);
  if (labels_ > 0) fixed_now_ = dy[map_.fixed];
}

#undef LEAFHUNGER_LANES

void ColumnBatch::use_labels(const Labels& labels) {
  if (lanes_ != 1) throw Error("labels need a batch of one lane");
  label_ = labels;
  labels_ = labels.count;
  label_y_.assign(map_.nitrogen_rows * labels_, 0.0);
  const auto all = [&](std::size_t row, std::size_t label) { label_y_[row * labels_ + label] = y_[row]; };
  for (std::size_t l = 0; l < n_; ++l)
    for (const std::size_t row : {map_.ammonium + l, map_.nitrate_fast + l, map_.nitrate_slow + l}) all(row, labels.start_mineral);
  all(map_.plant, labels.start_plant);
  all(map_.reserve, labels.start_plant);
}

void ColumnBatch::label_rates(const double* label_y, double* label_dy) const {
  std::fill(label_dy, label_dy + map_.nitrogen_rows * labels_, 0.0);
  for (std::size_t l = 0; l < n_; ++l) label_dy[(map_.ammonium + l) * labels_ + label_.soil] += humus_in_[l];
  label_dy[map_.plant * labels_ + label_.fixed] += fixed_now_;
  for (const std::uint32_t t : active_) {
    const Transfer& tr = transfers_[t];
    const double c = coef_[t];
    const double* donor = label_y + tr.from * labels_;
    double *out = label_dy + tr.from * labels_, *in = label_dy + tr.to * labels_;
    for (std::size_t k = 0; k < labels_; ++k) {
      const double flow = c * donor[k];
      out[k] -= flow;
      in[k] += flow;
    }
    if (tr.count != k_none) {
      double* count = label_dy + tr.count * labels_;
      for (std::size_t k = 0; k < labels_; ++k) count[k] += c * donor[k];
    }
  }
}

}  // namespace leafhunger
