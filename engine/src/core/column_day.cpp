// What happens at 00, and the constants of the day that follows. equations.md 3 to 8 and 13.
#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

#include "clones.hpp"
#include "column.hpp"
#include "first_share.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/response.hpp"
#include "plant_twin.hpp"
#include "plugin_call.hpp"
#include "stepper_fast.hpp"

namespace leafhunger {
namespace {

constexpr double k_far = 3;  // reach where distance is taken away
constexpr double k_asleep_f_t = 0.02;

// Loops over whole rows of lanes. Rows of one call never overlap.
#define LEAFHUNGER_LANES _Pragma("GCC ivdep") for (std::size_t i = 0; i < lanes; ++i)

// The first lane of each row to all its lanes, 1 or a multiple of 8.
LEAFHUNGER_CLONES void spread_rows(double* rows, std::size_t size, std::size_t lanes) {
  constexpr std::size_t k_few = 8;
  if (lanes < k_few) return;
  for (double* row = rows; row != rows + size; row += lanes) {
    const double first = *row;
    for (std::size_t i = 0; i < lanes; i += k_few)
      for (std::size_t k = 0; k < k_few; ++k) row[i + k] = first;
  }
}

LEAFHUNGER_CLONES void multiply_rows(double* rows, const double* by, std::size_t n, std::size_t lanes) {
  for (std::size_t k = 0; k < n; ++k) {
    double* row = rows + k * lanes;
    LEAFHUNGER_LANES row[i] *= by[i];
  }
}

LEAFHUNGER_CLONES void add_row(const double* row, double* to, std::size_t lanes) { LEAFHUNGER_LANES to[i] += row[i]; }

LEAFHUNGER_CLONES void weigh_row(double weight, const double* row, double* to, std::size_t lanes) {
  LEAFHUNGER_LANES to[i] = weight * row[i];
}

// Share of a pool that rain carries in, where it has `mm` to wait for, and soil life. Either may be null.
LEAFHUNGER_CLONES void wash_row(double weight, const double* rain, const double* mm, const double* mix, const double* given, double* to,
                                std::size_t lanes) {
  if (mm)
    LEAFHUNGER_LANES to[i] = mm[i] > 0 ? rain[i] / (mm[i] > 0 ? mm[i] : 1) : 0;
  else
    LEAFHUNGER_LANES to[i] = 0;
  if (mix) LEAFHUNGER_LANES to[i] += mix[i];
  LEAFHUNGER_LANES to[i] = given[i] > 0 ? weight * to[i] : 0;
}

}  // namespace

void ColumnBatch::plugin_failed(const char* model, const char* function, const std::string& why) const {
  throw PluginError(std::string("model ") + model + ": `" + function + "` " + why + " on " +
                        to_iso(of_lane_[0]->climate->first + std::chrono::days{static_cast<long>(day_)}),
                    false);
}

void ColumnBatch::start() {
  std::fill(y_.begin(), y_.end(), 0.0);
  for (auto* r : {&next_dose_, &first_day_}) std::fill(r->begin(), r->end(), 0);
  for (auto* r : {&given_, &given_t_dm_, &age_days_}) std::fill(r->begin(), r->end(), 0.0);
  for (auto* r : {&coef_, &flow_coef_, &poor_}) std::fill(r->begin(), r->end(), 0.0);
  for (AlignedRows& r : age_rate_) std::fill(r.begin(), r.end(), 0.0);
  day_ = 0;
  for (std::size_t i = 0; i < lanes_; ++i) {
    const Member& m = *of_lane_[i];
    const NitrogenConstants& c = *m.nitrogen;
    for (std::size_t l = 0; l < n_; ++l) {
      const double n = c.mineral_at_start_kg_ha * m.soil->thickness_mm[l] / m.soil->depth_mm(),
                   nitrate = n * (1 - c.ammonium_share_at_start);
      y_[(map_.ammonium + l) * lanes_ + i] = n - nitrate;
      y_[(map_.nitrate_fast + l) * lanes_ + i] = nitrate * c.fast;
      y_[(map_.nitrate_slow + l) * lanes_ + i] = nitrate * (1 - c.fast);
    }
  }
  if (!shape_.demand) return;

  // Plant N and reserve: a shoot at its luxury ceiling, and a share of what last season's well-fed twin held.
  fill_plant_day(0);
  std::vector<double> memory(shape_.demand->n_memory * lanes_);
  lh_day day{};
  const auto tables = views_of(of_lane_[0]->plant->tables);
  day.size = sizeof day, day.m = static_cast<int32_t>(members_.size()), day.m_pad = static_cast<int32_t>(lanes_);
  day.n_table = static_cast<int32_t>(tables.size()), day.table = tables.data();
  day.parameter = parameter_plant_.data(), day.day_of_year = day_of_year_.data(), day.t_min_c = t_min_.data(), day.t_max_c = t_max_.data();
  day.radiation_mj_m2 = radiation_.data(), day.day_length_h = day_length_.data(), day.rain_mm = rain_.data(), day.rain3_mm = rain3_.data();
  day.t_soil_c = t_soil_.data(), day.wfps_frac = wfps_.data(), day.rel_water_frac = rel_water_.data();
  double* w = y_.data() + map_.w * lanes_;
  call_plugin([&] { return shape_.demand->start(&day, w, memory.data()); },
              [&](const std::string& why) { plugin_failed(shape_.demand->about.name, "start", why); });
  std::vector<double> w_start(w, w + lanes_), n_start(lanes_), n_last(lanes_);
  critical(n_start);
  for (std::size_t i = 0; i < lanes_; ++i) w[i] = of_lane_[i]->climate->w_reference_t_ha;
  critical(n_last);
  for (std::size_t i = 0; i < lanes_; ++i) {
    w[i] = w_start[i];
    y_[map_.plant * lanes_ + i] = luxury_[i] * n_start[i];
    y_[map_.reserve * lanes_ + i] = of_lane_[i]->plant->host.reserve_share * n_last[i];
  }
}

ColumnBatch::Checkpoint ColumnBatch::checkpoint(std::size_t lane) const {
  Checkpoint c;
  const auto take = [&](const AlignedRows& from, std::vector<double>& to) {
    for (std::size_t at = lane; at < from.size(); at += lanes_) to.push_back(from[at]);
  };
  take(y_, c.state), take(given_, c.given), take(given_t_dm_, c.given_t_dm), take(age_days_, c.age_d);
  c.next_dose = next_dose_[lane];
  return c;
}

void ColumnBatch::resume(const Checkpoint& from) {
  for (std::size_t i = 0; i < lanes_; ++i) resume(i, from, 0);
}

void ColumnBatch::resume(std::size_t lane, const Checkpoint& c, std::size_t day) {
  const auto put = [&](const std::vector<double>& from, AlignedRows& to) {
    for (std::size_t r = 0; r < from.size(); ++r) to[r * lanes_ + lane] = from[r];
  };
  put(c.state, y_), put(c.given, given_), put(c.given_t_dm, given_t_dm_), put(c.age_d, age_days_);
  next_dose_[lane] = c.next_dose, first_day_[lane] = day;
}

void ColumnBatch::move(std::size_t lane, std::size_t from, std::size_t to, double share) {
  double& donor = y_[from * lanes_ + lane];
  const double moved = donor * share;
  donor -= moved;
  y_[to * lanes_ + lane] += moved;
  for (std::size_t k = 0; k < labels_; ++k) {
    const double part = label_y_[from * labels_ + k] * share;
    label_y_[from * labels_ + k] -= part;
    label_y_[to * labels_ + k] += part;
  }
}

void ColumnBatch::move_parts(std::size_t lane, std::size_t from, const Parts& to, double share) {
  double left = 1;  // each part is taken from what the parts before it left
  for (const auto& [row, weight] : to) {
    move(lane, from, row, std::min(1.0, share * weight / left));
    left -= share * weight;
    if (left <= 0) break;
  }
}

void ColumnBatch::water_in(std::size_t lane, double mm) {
  for (std::size_t s = 0; s < shape_.slots.size(); ++s) {
    if (shape_.slots[s].forked_mm > 0) continue;
    const lh_release& model = *shape_.slots[s].model;
    const SlotMaterial& material = (*of_lane_[lane]->materials)[s];
    const auto into = [](double depth_mm, double water_mm) { return depth_mm > 0 ? 1 - std::exp(-water_mm / depth_mm) : 1.0; };
    for (std::size_t p = 0; p < static_cast<std::size_t>(model.n_pool); ++p) {
      const lh_pool& pool = model.pool[p];
      if (pool.place != LH_SURFACE || pool.wash_mm == LH_NONE) continue;
      move_parts(lane, map_.slot[s].first_pool + p, washed_to(s, pool.wash_to, plans_[s].share),
                 into(material.parameter[pool.wash_mm], mm));
    }
    move(lane, map_.slot[s].surface_ammonium, map_.ammonium, into(material.surface.dissolved_wash_mm, mm));
  }
}

// One dose: the plugin shares it over its pools; what is forked in, or has no particles to wait for (wash 0 mm), goes under at once.
void ColumnBatch::give(std::size_t lane, const Dose& dose) {
  const std::size_t s = dose.slot;
  const lh_release& model = *shape_.slots[s].model;
  const Member& m = *of_lane_[lane];
  const SlotMaterial& material = (*m.materials)[s];
  const RowMap::OfSlot& rows = map_.slot[s];
  const auto put = [&](std::size_t row, double kg) {
    y_[row * lanes_ + lane] += kg;
    if (labels_ > 0) label_y_[row * labels_ + dose.source] += kg;
  };
  given_[s * lanes_ + lane] += dose.kg_n_ha;
  given_t_dm_[s * lanes_ + lane] += dose.kg_n_ha * material.t_dm_per_kg_n;

  if (m.without_on(dose.day) == Without::waiting) {
    for (const auto& [row, weight] : washed_to(s, LH_AMMONIUM, plans_[s].share)) put(row, dose.kg_n_ha * weight);
    return;
  }
  const auto& [pool, age, surface_ammonium] = first_share(model, material.parameter, dose.kg_n_ha, dose.kg_n_ha * material.t_dm_per_kg_n,
                                                          [&](const std::string& why) { plugin_failed(model.about.name, "start", why); });
  double sum = surface_ammonium;
  for (const double p : pool) sum += p;
  const bool whole = std::abs(sum - dose.kg_n_ha) <= 1e-12 * dose.kg_n_ha;  // false for NaN too
  const bool positive = surface_ammonium >= 0 && std::all_of(pool.begin(), pool.end(), [](double p) { return p >= 0; });
  if (!whole || !positive) plugin_failed(model.about.name, "start", "did not share out what was given");
  for (std::size_t p = 0; p < pool.size(); ++p) put(rows.first_pool + p, pool[p]);
  const bool on_top = shape_.slots[s].forked_mm <= 0;
  const double lost = on_top && m.without_on(dose.day) != Without::gas ? surface_ammonium * material.surface.lost_at_once_frac : 0;
  put(rows.surface_ammonium, surface_ammonium - lost);
  if (lost > 0) put(map_.volatilised, lost);
  for (std::size_t a = 0; a < age.size(); ++a) y_[(rows.first_age + a) * lanes_ + lane] = age[a];

  for (std::size_t p = 0; p < pool.size(); ++p) {
    if (model.pool[p].place != LH_SURFACE) continue;
    const bool liquid = model.pool[p].wash_mm != LH_NONE && material.parameter[model.pool[p].wash_mm] <= 0;
    if (!on_top || liquid) move_parts(lane, rows.first_pool + p, washed_to(s, model.pool[p].wash_to, plans_[s].share), 1);
  }
  if (!on_top || material.surface.dissolved_wash_mm <= 0)
    move_parts(lane, rows.surface_ammonium, washed_to(s, LH_AMMONIUM, plans_[s].share), 1);
}

void ColumnBatch::begin_day(std::size_t d) {
  day_ = d;
  for (std::size_t i = 0; i < lanes_; ++i) {
    const Member& m = *of_lane_[i];
    const bool over = d >= m.climate->days;
    if (!over && (soil_days_[i] == nullptr || d == 0 || d == m.without_from)) choose_factors(i, d);
    running_[i] = !over && d >= first_day_[i];
    if (!running_[i]) continue;
    if (shape_.demand && m.climate->keep_frac[d] < 1) {
      const double gone = 1 - m.climate->keep_frac[d], to_reserve = m.climate->reserve_frac[d];
      y_[map_.w * lanes_ + i] *= m.climate->keep_frac[d];
      move(i, map_.plant, map_.reserve, gone * to_reserve);
      const double left = 1 - gone * to_reserve;
      if (left > 0) move(i, map_.plant, map_.litter, std::min(1.0, gone * (1 - to_reserve) / left));
    }
    double watered_mm = 0;
    for (std::size_t& k = next_dose_[i]; k < m.doses.size() && m.doses[k].day <= d; ++k) {
      give(i, m.doses[k]);
      watered_mm += m.doses[k].watered_in_mm;
    }
    // Watering by date falls on what lies on top just as watering-in does; the climate's row holds both.
    if (!m.climate->by_hand_mm.empty()) watered_mm = std::max(watered_mm, m.climate->by_hand_mm[d]);
    if (watered_mm > 0) water_in(i, watered_mm);
  }
  one_morning_ = alike_ && std::all_of(running_.begin(), running_.end(), [&](char r) { return r == running_[0]; });
  fill_soil_day(d);
  fill_plant_day(d);
  fill_feed_day(d);
  find_soil_fastest(lanes_to_fill());
  spread({&soil_fastest_});
  fastest_known_ = active_known_ = false;
}

void ColumnBatch::choose_factors(std::size_t i, std::size_t d) {
  const Member& m = *of_lane_[i];
  DayFactors& from = factors_ ? *factors_ : own_factors_;
  const Eased eased{m.without_on(d) == Without::cold, m.without_on(d) == Without::drought};
  soil_days_[i] = &from.soil(*m.climate, *m.soil, eased, m.nitrogen->denitrify_q10);
  for (std::size_t s = 0; s < shape_.slots.size(); ++s) {
    const SlotMaterial& material = (*m.materials)[s];
    feed_days_[s * lanes_ + i] = &from.feed(*m.climate, *m.soil, eased, *shape_.slots[s].model, material.parameter, material.response,
                                            shape_.slots[s].forked_mm, plans_[s].share, m.nitrogen->surface_q10);
  }
}

void ColumnBatch::spread(std::initializer_list<AlignedRows*> rows) const {
  if (!one_morning_) return;
  for (AlignedRows* r : rows) spread_rows(r->data(), r->size(), lanes_);
}

void ColumnBatch::fill_soil_day(std::size_t d) {
  for (std::size_t l = 0; l < n_; ++l) {
    double *nit = lane_row(nit_top_, l), *den = lane_row(den_top_, l), *humus = lane_row(humus_in_, l), *reach = lane_row(reach_, l),
           *down = lane_row(coef_, soil_t_[l].move_ammonium);
    for (std::size_t i = 0; i < lanes_to_fill(); ++i) {
      if (!running_[i]) {
        // A season that is over stands still.
        nit[i] = den[i] = humus[i] = reach[i] = down[i] = 0;
        continue;
      }
      const Member& m = *of_lane_[i];
      const SoilDays& days = *soil_days_[i];
      const std::size_t at = d * n_ + l;
      const Without without = m.without_on(d);
      nit[i] = days.nitrify[at], den[i] = without == Without::gas ? 0 : days.deny[at], humus[i] = days.humus[at];
      down[i] = without == Without::leaching ? 0 : days.down[at];
      reach[i] = (without == Without::drought ? m.climate->reach_wet_per_day : m.climate->reach_per_day)[at] *
                 (without == Without::distance ? k_far : 1);
    }
    double *fast = lane_row(coef_, soil_t_[l].move_fast), *slow = lane_row(coef_, soil_t_[l].move_slow);
    const double* held = lane_row(held_, l);
    for (std::size_t i = 0; i < lanes_to_fill(); ++i) {
      nit[i] *= nitrify_at_most_[i], den[i] *= deny_at_most_[i], humus[i] *= humus_a_year_[i];
      fast[i] = v_fast_[i] * down[i], slow[i] = v_slow_[i] * down[i];
      down[i] /= held[i];
    }
    if (one_morning_)
      for (double* row : {nit, den, humus, reach, down, fast, slow}) spread_rows(row, lanes_, lanes_);
  }
}

void ColumnBatch::fill_plant_day(std::size_t d) {
  for (std::size_t i = 0; i < lanes_to_fill(); ++i) {
    const Member& m = *of_lane_[i];
    const SoilClimate& c = *m.climate;
    const std::size_t day = std::min(d, c.days - 1);
    day_of_year_[i] = c.day_of_year[day], t_min_[i] = c.t_min_c[day], t_max_[i] = c.t_max_c[day], radiation_[i] = c.radiation_mj_m2[day];
    day_length_[i] = c.day_length_h[day], rain_[i] = running_[i] ? c.rain_mm[day] : 0, rain3_[i] = c.rain3_mm[day];
    const std::size_t second = std::min<std::size_t>(1, n_ - 1);
    t_soil_[i] = c.at(c.t_c, day, second), wfps_[i] = c.at(c.wfps_frac, day, second), rel_water_[i] = c.at(c.available_frac, day, second);
    if (!m.plant) continue;
    const double f_t = running_[i] ? c.f_t[day] : 0;
    want_rate_[i] = std::min(1.0, f_t / k_asleep_f_t) / m.plant->host.catch_up_d;
    luxury_[i] = c.luxury[day], fixed_[i] = c.fixed_frac[day];
    stress_[i] = m.without_on(d) == Without::drought ? 1 : c.stress[day];
    // A lane that stands still grows nothing: its factors go with f_t, so growth is stopped by hand.
    if (!running_[i]) stress_[i] = 0;
    for (std::size_t k = 0; k < c.factors; ++k) factor_[k * lanes_ + i] = c.factor[day * c.factors + k];
  }
  spread({&day_of_year_, &t_min_, &t_max_, &radiation_, &day_length_, &rain_, &rain3_, &t_soil_, &wfps_, &rel_water_, &want_rate_, &luxury_,
          &fixed_, &stress_, &factor_});
}

lh_day ColumnBatch::release_day(std::size_t slot) {
  lh_day day{};
  day.size = sizeof day, day.m = static_cast<int32_t>(members_.size()), day.m_pad = static_cast<int32_t>(lanes_);
  day.parameter = parameter_slot_[slot].data(), day.response = response_slot_[slot].data();
  day.day_of_year = day_of_year_.data(), day.t_min_c = t_min_.data(), day.t_max_c = t_max_.data(), day.radiation_mj_m2 = radiation_.data();
  day.day_length_h = day_length_.data(), day.rain_mm = rain_.data(), day.rain3_mm = rain3_.data();
  day.t_soil_c = t_soil_.data(), day.wfps_frac = wfps_.data(), day.rel_water_frac = rel_water_.data();
  day.age_d = lane_row(age_days_, slot), day.given_kg_n_ha = lane_row(given_, slot), day.given_t_dm_ha = lane_row(given_t_dm_, slot);
  day.mulch_t_dm_ha = mulch_.data();
  return day;
}

// All bulky material still on the surface, t DM/ha: in proportion to the N that is still there.
void ColumnBatch::weigh_mulch() {
  std::fill(mulch_.begin(), mulch_.end(), 0.0);
  for (std::size_t s = 0; s < shape_.slots.size(); ++s) {
    if (!bulky_[s]) continue;
    const lh_release& model = *shape_.slots[s].model;
    for (std::size_t i = 0; i < lanes_; ++i) {
      const SlotMaterial& material = (*of_lane_[i]->materials)[s];
      if (!material.bulky) continue;
      for (std::size_t p = 0; p < static_cast<std::size_t>(model.n_pool); ++p)
        if (model.pool[p].place == LH_SURFACE) mulch_[i] += at(map_.slot[s].first_pool + p, i) * material.t_dm_per_kg_n;
    }
  }
}

void ColumnBatch::fill_feed_day(std::size_t d) {
  weigh_mulch();
  const bool all_run = std::all_of(running_.begin(), running_.end(), [](char r) { return r != 0; });
  for (std::size_t s = 0; s < shape_.slots.size(); ++s) fill_slot_day(s, d);
  for (const Wash& w : washes_) {
    const lh_pool& pool = shape_.slots[w.slot].model->pool[w.pool];
    double* c = lane_row(coef_, w.transfer);
    const double* given = lane_row(given_, w.slot);
    const AlignedRows& parameter = parameter_slot_[w.slot];
    const double* mm = pool.wash_mm == LH_NONE ? nullptr : lane_row(parameter, static_cast<std::size_t>(pool.wash_mm));
    const double* mix = nullptr;
    if (pool.mix_per_day != LH_NONE && all_run) {
      mix = lane_row(parameter, static_cast<std::size_t>(pool.mix_per_day));
    } else if (pool.mix_per_day != LH_NONE) {
      double* now = scratch_row_.data();
      std::copy_n(lane_row(parameter, static_cast<std::size_t>(pool.mix_per_day)), lanes_, now);
      for (std::size_t i = 0; i < lanes_; ++i)
        if (!running_[i]) now[i] = 0;
      mix = now;
    }
    wash_row(w.weight, rain_.data(), mm, mix, given, c, lanes_);
  }
  // Where a lane asks for no mineral N, lambda is 1; where one does, or a flow bends, each stage sets these anew.
  for (const FlowTransfer& f : flow_t_) {
    weigh_row(f.weight, lane_row(flow_coef_, f.flow_row), lane_row(coef_, f.transfer), lanes_);
  }
  if (!std::exchange(takes_set_, false)) return;
  for (const Take& t : takes_) std::fill_n(lane_row(coef_, t.transfer), lanes_, 0.0);
}

void ColumnBatch::check_rates(std::size_t s) const {
  const lh_release& model = *shape_.slots[s].model;
  const double* coef = lane_row(flow_coef_, plans_[s].first_flow);
  const std::size_t size = static_cast<std::size_t>(model.n_flow) * lanes_;
  if (!FastDay::all_at_least(coef, size, 0))
    for (std::size_t k = 0; k < size; ++k)
      if (!(coef[k] >= 0 && std::isfinite(coef[k])))
        plugin_failed(model.about.name, "rates",
                      "returned a coefficient that is negative or not finite for flow " + std::string(model.flow[k / lanes_].name));
  for (const double a : age_rate_[s])
    if (!std::isfinite(a)) plugin_failed(model.about.name, "rates", "returned the rate of an age that is not finite");
}

// The morning of one slot. Where nothing has been given yet all stays nought: what is not there sets no step.
void ColumnBatch::fill_slot_day(std::size_t s, std::size_t d) {
  const lh_release& model = *shape_.slots[s].model;
  const SlotPlan& plan = plans_[s];
  const auto responses = static_cast<std::size_t>(model.n_response), flows = static_cast<std::size_t>(model.n_flow);
  double* given = lane_row(given_, s);
  for (std::size_t i = 0; i < lanes_to_fill(); ++i) {
    const SoilClimate& c = *of_lane_[i]->climate;
    const std::size_t day = std::min(d, c.days - 1);
    const double* value = feed_days_[s * lanes_ + i]->value.data() + day * (responses + 1);
    for (std::size_t r = 0; r < responses; ++r) response_slot_[s][r * lanes_ + i] = running_[i] ? value[r] : 0;
    // Where the feed lies, for plugins that want more than responses.
    double t = 0, w = 0, a = 0;
    for (std::size_t l = 0; l < n_; ++l) {
      if (plan.share[l] <= 0) continue;
      t += plan.share[l] * c.at(c.t_c, day, l), w += plan.share[l] * c.at(c.wfps_frac, day, l),
          a += plan.share[l] * c.at(c.available_frac, day, l);
    }
    t_soil_[i] = t, wfps_[i] = w, rel_water_[i] = a;
  }
  spread({&response_slot_[s], &t_soil_, &wfps_, &rel_water_});
  const lh_day day = release_day(s);
  double* coef = lane_row(flow_coef_, plan.first_flow);
  call_plugin(
      [&] {
        return model.rates(&day, y_.data() + map_.slot[s].first_pool * lanes_, y_.data() + map_.slot[s].first_age * lanes_, coef,
                           age_rate_[s].data());
      },
      [&](const std::string& why) { plugin_failed(model.about.name, "rates", why); });
  check_rates(s);

  double *asks = scratch_row_.data(), *poor = lane_row(poor_, s), *goes = goes_.data();
  std::fill_n(asks, lanes_, 0.0);
  for (std::size_t i = 0; i < lanes_; ++i) goes[i] = running_[i] && given[i] > 0;
  multiply_rows(coef, goes, flows, lanes_);
  for (std::size_t f = 0; f < flows; ++f)
    if (model.flow[f].from == LH_MINERAL) add_row(coef + f * lanes_, asks, lanes_);
  multiply_rows(age_rate_[s].data(), goes, static_cast<std::size_t>(model.n_age), lanes_);
  for (std::size_t i = 0; i < lanes_; ++i) {
    poor[i] = asks[i] > 0;
    age_days_[s * lanes_ + i] += running_[i] && given[i] > 0 ? 1 : 0;
  }
  if (shape_.slots[s].forked_mm > 0) return;
  double *to_air = lane_row(coef_, surface_t_[s].to_air), *to_soil = lane_row(coef_, surface_t_[s].to_soil);
  for (std::size_t i = 0; i < lanes_to_fill(); ++i) {
    const Member& m = *of_lane_[i];
    const SurfaceConstants& k = (*m.materials)[s].surface;
    const double on = running_[i] ? 1 : 0, gas = m.without_on(d) != Without::gas ? on : 0;
    const double warmth = feed_days_[s * lanes_ + i]->value[std::min(d, m.climate->days - 1) * (responses + 1) + responses];
    // Ammonium salts keep their ammonia in sour soil and lose it as manure does on chalk (equations.md 4.1).
    const double chalk = k.ph_factor < 1 ? (1 - k.ph_factor) * std::clamp(m.soil->ph - 7, 0.0, 1.0) : 0;
    to_air[i] = gas * k.volatile_per_day * (k.ph_factor + chalk) * warmth;
    to_soil[i] = on * (k.fixed_per_day + (k.dissolved_wash_mm > 0 ? rain_[i] / k.dissolved_wash_mm : 0));
  }
  if (one_morning_)
    for (double* row : {to_air, to_soil}) spread_rows(row, lanes_, lanes_);
  double* there = scratch_row_.data();
  for (std::size_t i = 0; i < lanes_; ++i) there[i] = given[i] > 0 ? 1 : 0;
  for (double* row : {to_air, to_soil}) multiply_rows(row, there, 1, lanes_);
}

// Most days most transfers carry nothing: nothing starves, no rain falls. A transfer of nought changes no byte, so it may be left out.
void ColumnBatch::find_active() {
  active_known_ = true;
  stage_feeds_ = any_bend_ || std::any_of(poor_.begin(), poor_.end(), [](double x) { return x > 0; });
  std::vector<char> by_stage(transfers_.size(), 0);
  for (const SoilTransfers& t : soil_t_)
    for (const std::size_t k : {t.nitrify_fast, t.nitrify_slow, t.denitrify_fast, t.denitrify_slow}) by_stage[k] = 1;
  if (shape_.demand) {
    for (const SoilTransfers& t : soil_t_)
      for (const std::size_t k : {t.take_ammonium, t.take_fast, t.take_slow}) by_stage[k] = 1;
    by_stage[reserve_t_] = 1;
  }
  if (stage_feeds_) {
    for (const FlowTransfer& f : flow_t_)
      if (f.starves || f.bends) by_stage[f.transfer] = 1;
    for (const Take& t : takes_) by_stage[t.transfer] = 1;
  }
  active_.clear();
  for (std::size_t t = 0; t < transfers_.size(); ++t) {
    const double* c = lane_row(coef_, t);
    if (by_stage[t] || std::any_of(c, c + lanes_, [](double x) { return x != 0; })) active_.push_back(static_cast<std::uint32_t>(t));
  }
}

// The fastest outflow of mineral N, bounded by what it can reach at any stage; starvation apart.
void ColumnBatch::find_soil_fastest(std::size_t lanes) {
  double* most = soil_fastest_.data();
  std::fill_n(most, lanes, 0.0);
  for (std::size_t l = 0; l < n_; ++l) {
    const double *reach = lane_row(reach_, l), *nit = lane_row(nit_top_, l), *nit_half = lane_row(nit_half_, l),
                 *den = lane_row(den_top_, l), *den_half = lane_row(den_half_, l), *psi = psi_.data(),
                 *go_h = lane_row(coef_, soil_t_[l].move_ammonium), *go_f = lane_row(coef_, soil_t_[l].move_fast),
                 *go_s = lane_row(coef_, soil_t_[l].move_slow);
    double *a = lane_row(fastest_out_, map_.ammonium + l), *f = lane_row(fastest_out_, map_.nitrate_fast + l),
           *s = lane_row(fastest_out_, map_.nitrate_slow + l);
    for (std::size_t i = 0; i < lanes; ++i) {
      const double deny = den[i] / den_half[i] + reach[i];
      a[i] = go_h[i] + nit[i] / nit_half[i] + reach[i] * psi[i];
      f[i] = go_f[i] + deny, s[i] = go_s[i] + deny;
      const double nitrate = f[i] > s[i] ? f[i] : s[i], here = a[i] > nitrate ? a[i] : nitrate;
      most[i] = most[i] > here ? most[i] : here;
    }
  }
}

// The fastest outflow of any pool, each bounded by what it can reach at any stage. The long way's step rule rests on it.
void ColumnBatch::find_fastest() {
  fastest_known_ = true;
  find_soil_fastest(lanes_);
  const auto out = [&](std::size_t row) { return lane_row(fastest_out_, row); };
  for (std::size_t row = 0; row < map_.nitrogen_rows; ++row)
    if (row < map_.ammonium || row >= map_.ammonium + 3 * n_) std::fill_n(out(row), lanes_, 0.0);
  for (std::size_t l = 0; l < n_; ++l)
    for (const Place& p : places_) {
      if (p.covered[l] <= 0) continue;
      for (std::size_t i = 0; i < lanes_; ++i) {
        const bool taken = std::any_of(p.slots.begin(), p.slots.end(), [&](std::size_t slot) { return poor_[slot * lanes_ + i] > 0; });
        if (taken)
          for (const std::size_t row : {map_.ammonium + l, map_.nitrate_fast + l, map_.nitrate_slow + l}) out(row)[i] += take_rate_[i];
      }
    }
  const auto add_day = [&](std::size_t t) {
    double* o = out(transfers_[t].from);
    const double* rate = lane_row(coef_, t);
    for (std::size_t i = 0; i < lanes_; ++i) o[i] += rate[i];
  };
  for (std::size_t s = 0; s < surface_t_.size(); ++s)
    if (shape_.slots[s].forked_mm <= 0) add_day(surface_t_[s].to_air), add_day(surface_t_[s].to_soil);
  for (const Wash& w : washes_) add_day(w.transfer);
  for (const FlowTransfer& f : flow_t_) {
    const double *rate = lane_row(flow_coef_, f.flow_row), weight = f.weight * (f.bends ? 4 : 1);
    double* o = out(transfers_[f.transfer].from);
    for (std::size_t i = 0; i < lanes_; ++i) o[i] += weight * rate[i];
  }
  for (std::size_t i = 0; i < lanes_; ++i) fastest_[i] = shape_.demand ? want_rate_[i] : 0.0;
  for (std::size_t row = 0; row < map_.nitrogen_rows; ++row) {
    const double* o = out(row);
    for (std::size_t i = 0; i < lanes_; ++i) fastest_[i] = std::max(fastest_[i], o[i]);
  }
}

#undef LEAFHUNGER_LANES

}  // namespace leafhunger
