// Which state stands where, and every transfer between them. Done once a batch.
#include <algorithm>
#include <cmath>

#include "column.hpp"
#include "leafhunger/error.hpp"
#include "stepper_fast.hpp"

namespace leafhunger {

ColumnBatch::ColumnBatch(const ColumnShape& shape, std::span<const Member> members, std::size_t lanes, DayFactors* factors)
    : shape_(shape), members_(members), lanes_(lanes), n_(shape.layers), factors_(factors) {
  for (std::size_t i = 0; i < lanes; ++i) of_lane_.push_back(&members[std::min(i, members.size() - 1)]);
  for (const Member& m : members) {
    days_ = std::max(days_, m.climate->days);
    // Where things flow is laid out once for all: what shapes that must be the same in each.
    if (m.nitrogen->fast != members[0].nitrogen->fast || m.nitrogen->wash_fast != members[0].nitrogen->wash_fast ||
        m.soil->thickness_mm != members[0].soil->thickness_mm)
      throw SolverError("members of one batch must have the same layers and the same shares of fast water");
  }
  running_.assign(lanes, true);
  fastest_.assign(lanes, 0);
  soil_fastest_.assign(lanes, 0);
  next_dose_.assign(lanes, 0);
  first_day_.assign(lanes, 0);
  lay_out_rows();
  plan_slots();
  plan_soil();
  for (std::size_t s = 0; s < shape_.slots.size(); ++s)
    for (std::size_t f = 0; f < static_cast<std::size_t>(shape_.slots[s].model->n_flow); ++f) plan_flow(s, f);

  const auto rows = [&](AlignedRows& r, std::size_t n) { r.assign(n * lanes, 0.0); };
  soil_days_.assign(lanes, nullptr), feed_days_.assign(lanes * shape_.slots.size(), nullptr);
  for (auto* r : {&nitrify_at_most_, &deny_at_most_, &humus_a_year_, &v_fast_, &v_slow_}) rows(*r, 1);
  rows(held_, n_), rows(fastest_out_, map_.nitrogen_rows);
  const std::size_t slots = shape_.slots.size();
  rows(y_, map_.rows), rows(coef_, transfers_.size()), rows(flow_coef_, flows_), rows(bend_, flows_);
  rows(poor_, slots), rows(scarce_, places_.size()), rows(lambda_, places_.size());
  for (auto* r : {&nit_top_, &nit_half_, &den_top_, &den_half_, &humus_in_, &reach_}) rows(*r, n_);
  rows(half_starve_, places_.size());
  for (auto* r : {&psi_,         &unreachable_, &want_rate_, &reserve_rate_, &luxury_,    &fixed_,      &stress_, &cover_, &take_rate_,
                  &scratch_row_, &day_of_year_, &t_min_,     &t_max_,        &radiation_, &day_length_, &rain_,   &rain3_, &t_soil_,
                  &wfps_,        &rel_water_,   &mulch_,     &n_crit_,       &nni_,       &need_,       &goes_})
    rows(*r, 1);
  rows(given_, slots), rows(given_t_dm_, slots), rows(age_days_, slots);
  parameter_slot_.resize(slots), response_slot_.resize(slots), age_rate_.resize(slots);
  for (std::size_t s = 0; s < slots; ++s) {
    const lh_release& m = *shape_.slots[s].model;
    rows(parameter_slot_[s], m.about.n_parameter), rows(response_slot_[s], m.n_response), rows(age_rate_[s], m.n_age);
    for (std::size_t i = 0; i < lanes_; ++i) {
      const auto& p = (*of_lane_[i]->materials)[s].parameter;
      for (std::size_t k = 0; k < p.size(); ++k) parameter_slot_[s][k * lanes_ + i] = p[k];
    }
  }
  if (shape_.demand) {
    rows(parameter_plant_, shape_.demand->about.n_parameter), rows(factor_, shape_.demand->n_factor);
    for (std::size_t i = 0; i < lanes_; ++i) {
      const auto& p = of_lane_[i]->plant->parameter;
      for (std::size_t k = 0; k < p.size(); ++k) parameter_plant_[k * lanes_ + i] = p[k];
    }
  }
  fill_constants();
}

// What of a member does not change from day to day.
void ColumnBatch::fill_constants() {
  const Member& first = *of_lane_[0];
  alike_ = lanes_ > 1 && std::all_of(of_lane_.begin(), of_lane_.end(), [&](const Member* m) { return m->same_but_doses(first); });
  for (std::size_t i = 0; i < lanes_; ++i) {
    const Member& m = *of_lane_[i];
    const NitrogenConstants& k = *m.nitrogen;
    const Soil& soil = *m.soil;
    nitrify_at_most_[i] = k.nitrify_mg_kg_d, deny_at_most_[i] = k.denitrify_mg_kg_d, humus_a_year_[i] = k.humus_freed_per_year;
    v_fast_[i] = k.v_fast, v_slow_[i] = k.v_slow, take_rate_[i] = k.fastest_take_per_day;
    for (std::size_t l = 0; l < n_; ++l) {
      const double kg = soil.kg_ha_per_mg_kg(l);
      nit_half_[l * lanes_ + i] = k.nitrify_half_mg_kg * kg, den_half_[l * lanes_ + i] = k.k_half_denitrification * kg;
      held_[l * lanes_ + i] = 1 + soil.bulk_density_mg_m3[l] * soil.k_sorption_l_kg / soil.theta_fc[l];
    }
    for (std::size_t p = 0; p < places_.size(); ++p) {
      double kg = 0;
      for (std::size_t l = 0; l < n_; ++l) kg += places_[p].covered[l] * soil.kg_ha_per_mg_kg(l);
      half_starve_[p * lanes_ + i] = k.starve_half_mg_kg * kg;
    }
    if (!m.plant) continue;
    const PlantHost& h = m.plant->host;
    psi_[i] = h.ammonium_reach, unreachable_[i] = h.unreachable_kg_ha, reserve_rate_[i] = h.reserve_per_day, cover_[i] = m.plant->cover;
  }
  for (std::size_t s = 0; s < shape_.slots.size(); ++s)
    bulky_.push_back(std::any_of(of_lane_.begin(), of_lane_.end(), [&](const Member* m) { return (*m->materials)[s].bulky; }));
}

ColumnBatch::OwnFastDay::OwnFastDay() = default;
ColumnBatch::OwnFastDay::OwnFastDay(const OwnFastDay&) {}
ColumnBatch::OwnFastDay::~OwnFastDay() = default;

FastDay& ColumnBatch::fast_day() {
  if (!fast_.day) fast_.day = std::make_unique<FastDay>(*this);
  return *fast_.day;
}

void ColumnBatch::lay_out_rows() {
  std::size_t next = 0;
  const auto take = [&](std::size_t n) { return std::exchange(next, next + n); };
  for (const Slot& s : shape_.slots) map_.slot.push_back({take(s.model->n_pool), take(1), 0});
  map_.ammonium = take(n_), map_.nitrate_fast = take(n_), map_.nitrate_slow = take(n_);
  map_.plant = take(1), map_.reserve = take(1), map_.litter = take(1);
  map_.leached = take(1), map_.volatilised = take(1), map_.denitrified = take(1), map_.taken = take(1);
  map_.nitrogen_rows = next;
  map_.from_soil = take(1), map_.fixed = take(1), map_.w = take(1);
  for (std::size_t s = 0; s < shape_.slots.size(); ++s) map_.slot[s].first_age = take(shape_.slots[s].model->n_age);
  map_.rows = next;
}

void ColumnBatch::plan_slots() {
  const Soil& soil = *of_lane_[0]->soil;
  for (std::size_t s = 0; s < shape_.slots.size(); ++s) {
    const double depth = std::min(shape_.slots[s].forked_mm, soil.depth_mm());
    SlotPlan plan;
    plan.first_flow = std::exchange(flows_, flows_ + shape_.slots[s].model->n_flow);
    plan.share.assign(n_, 0), plan.covered.assign(n_, 0);
    for (std::size_t l = 0; l < n_; ++l) {
      const double reached =
          depth > 0 ? std::clamp(depth - soil.top_mm(l), 0.0, soil.thickness_mm[l]) : (l == 0 ? soil.thickness_mm[0] : 0);
      plan.share[l] = reached / (depth > 0 ? depth : soil.thickness_mm[0]);
      plan.covered[l] = reached / soil.thickness_mm[l];
    }
    const auto same = [&](const Place& p) { return p.covered == plan.covered; };
    const auto it = std::find_if(places_.begin(), places_.end(), same);
    plan.place = static_cast<std::size_t>(it - places_.begin());
    if (it == places_.end()) places_.push_back({plan.covered, {}});
    places_[plan.place].slots.push_back(s);
    plans_.push_back(plan);
  }
}

std::size_t ColumnBatch::add(std::size_t from, std::size_t to, std::size_t count) {
  transfers_.push_back({static_cast<std::uint32_t>(from), static_cast<std::uint32_t>(to), static_cast<std::uint32_t>(count)});
  return transfers_.size() - 1;
}

void ColumnBatch::plan_soil() {
  const RowMap& m = map_;
  for (std::size_t l = 0; l < n_; ++l) {
    const std::size_t a = m.ammonium + l, f = m.nitrate_fast + l, s = m.nitrate_slow + l;
    const auto below = [&](std::size_t row) { return l + 1 < n_ ? row + 1 : m.leached; };
    SoilTransfers t;
    t.nitrify_fast = add(a, f), t.nitrify_slow = add(a, s);
    t.denitrify_fast = add(f, m.denitrified), t.denitrify_slow = add(s, m.denitrified);
    t.move_ammonium = add(a, below(a)), t.move_fast = add(f, below(f)), t.move_slow = add(s, below(s));
    t.take_ammonium = add(a, m.plant, m.taken), t.take_fast = add(f, m.plant, m.taken), t.take_slow = add(s, m.plant, m.taken);
    soil_t_.push_back(t);
  }
  reserve_t_ = add(m.reserve, m.plant);
  for (std::size_t s = 0; s < shape_.slots.size(); ++s) {
    const lh_release& model = *shape_.slots[s].model;
    const auto& plan = plans_[s];
    // What was forked in has nothing on the surface.
    if (shape_.slots[s].forked_mm > 0) {
      surface_t_.push_back({});
      continue;
    }
    const std::size_t top = m.slot[s].surface_ammonium;
    surface_t_.push_back({add(top, m.volatilised), add(top, m.ammonium)});
    for (std::size_t p = 0; p < static_cast<std::size_t>(model.n_pool); ++p) {
      if (model.pool[p].place != LH_SURFACE) continue;
      for (const auto& [row, weight] : washed_to(s, model.pool[p].wash_to, plan.share))
        washes_.push_back({s, p, add(m.slot[s].first_pool + p, row), weight});
    }
  }
}

ColumnBatch::Parts ColumnBatch::washed_to(std::size_t slot, int32_t end, const std::vector<double>& share) const {
  Parts rows;
  const NitrogenConstants& c = *of_lane_[0]->nitrogen;
  if (end >= 0) return {{map_.slot[slot].first_pool + end, 1.0}};
  for (std::size_t l = 0; l < n_; ++l) {
    if (share[l] <= 0) continue;
    if (end == LH_AMMONIUM) rows.emplace_back(map_.ammonium + l, share[l]);
    if (end == LH_NITRATE) {
      rows.emplace_back(map_.nitrate_fast + l, share[l] * c.wash_fast);
      rows.emplace_back(map_.nitrate_slow + l, share[l] * (1 - c.wash_fast));
    }
  }
  return rows;
}

void ColumnBatch::plan_flow(std::size_t slot, std::size_t flow) {
  const lh_flow& f = shape_.slots[slot].model->flow[flow];
  const SlotPlan& plan = plans_[slot];
  const NitrogenConstants& c = *of_lane_[0]->nitrogen;
  const RowMap::OfSlot& rows = map_.slot[slot];
  Parts to;
  switch (f.to) {
    case LH_SURFACE_AMMONIUM:
      // Under the ground there is no surface: what a forked material would free on top goes to the layers it lies in.
      if (shape_.slots[slot].forked_mm > 0) {
        to = washed_to(slot, LH_AMMONIUM, plan.share);
      } else {
        to = {{rows.surface_ammonium, 1.0}};
      }
      break;
    case LH_AIR:
      to = {{map_.volatilised, 1.0}};
      break;
    case LH_NITRATE:
      for (std::size_t l = 0; l < n_; ++l)
        if (plan.share[l] > 0) {
          to.emplace_back(map_.nitrate_fast + l, plan.share[l] * c.fast);
          to.emplace_back(map_.nitrate_slow + l, plan.share[l] * (1 - c.fast));
        }
      break;
    default:
      to = washed_to(slot, f.to, plan.share);
  }
  const std::size_t row = plan.first_flow + flow;
  any_bend_ = any_bend_ || f.bends != 0;
  if (f.from == LH_MINERAL) asks_.push_back({plan.place, row, rows.first_pool + f.driver, f.bends != 0});
  for (const auto& [target, weight] : to) {
    if (f.from == LH_MINERAL) {
      for (std::size_t l = 0; l < n_; ++l)
        if (plan.covered[l] > 0)
          for (const std::size_t donor : {map_.ammonium + l, map_.nitrate_fast + l, map_.nitrate_slow + l})
            takes_.push_back({slot, row, rows.first_pool + f.driver, add(donor, target), plan.covered[l] * weight, f.bends != 0});
    } else {
      const std::size_t donor = f.from == LH_SURFACE_AMMONIUM ? rows.surface_ammonium : rows.first_pool + f.from;
      flow_t_.push_back({slot, row, add(donor, target), weight, f.starves != 0, f.bends != 0});
    }
  }
}

}  // namespace leafhunger
