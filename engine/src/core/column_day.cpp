// What happens at 00, and the constants of the day that follows. equations.md 3 to 8 and 13.
#include <algorithm>
#include <cmath>
#include <string>

#include "column.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/response.hpp"
#include "plant_twin.hpp"
#include "plugin_call.hpp"

namespace leafhunger {
namespace {

constexpr double k_warm_c = 20;              // soil temperature where cold is taken away
constexpr double k_far = 3;                  // reach where distance is taken away
constexpr double k_humus_ea_kj_mol = 43.7;   // Campbell, Myers & Weier 1981
constexpr double k_most_organic_matter = 6;  // per cent that frees N; richer soils count as this (our own guess)
constexpr double k_carbon_enough = 3;        // per cent organic matter from which denitrifiers have carbon enough (our own guess)
constexpr double k_asleep_f_t = 0.02;

}  // namespace

void ColumnBatch::plugin_failed(const char* model, const char* function, const std::string& why) const {
  throw PluginError(std::string("model ") + model + ": `" + function + "` " + why + " on " +
                        to_iso(of_lane_[0]->climate->first + std::chrono::days{static_cast<long>(day_)}),
                    false);
}

void ColumnBatch::start() {
  std::fill(y_.begin(), y_.end(), 0.0);
  std::fill(next_dose_.begin(), next_dose_.end(), 0);
  for (auto* r : {&given_, &given_t_dm_, &age_days_}) std::fill(r->begin(), r->end(), 0.0);
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
  std::vector<double> pool(model.n_pool), age(model.n_age);
  double surface_ammonium = 0;
  lh_day day{};
  day.size = sizeof day, day.m = day.m_pad = 1;
  day.parameter = material.parameter.data(), day.given_kg_n_ha = &dose.kg_n_ha;
  const double t_dm = dose.kg_n_ha * material.t_dm_per_kg_n, none = 0;
  day.given_t_dm_ha = &t_dm, day.age_d = &none, day.mulch_t_dm_ha = &none;
  call_plugin([&] { return model.start(&day, pool.data(), &surface_ammonium, age.data()); },
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

  const bool forked = !on_top;
  for (std::size_t p = 0; p < pool.size(); ++p) {
    if (model.pool[p].place != LH_SURFACE) continue;
    const bool liquid = model.pool[p].wash_mm != LH_NONE && material.parameter[model.pool[p].wash_mm] <= 0;
    if (forked || liquid) move_parts(lane, rows.first_pool + p, washed_to(s, model.pool[p].wash_to, plans_[s].share), 1);
  }
  if (forked || material.surface.dissolved_wash_mm <= 0)
    move_parts(lane, rows.surface_ammonium, washed_to(s, LH_AMMONIUM, plans_[s].share), 1);
}

void ColumnBatch::begin_day(std::size_t d) {
  day_ = d;
  for (std::size_t i = 0; i < lanes_; ++i) {
    const Member& m = *of_lane_[i];
    running_[i] = d < m.climate->days;
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
  fill_soil_day(d);
  fill_plant_day(d);
  fill_feed_day(d);
  find_fastest();
  find_active();
}

// Lanes that share a climate share its factors: the search has hundreds of them side by side.
bool ColumnBatch::same_day_as_before(std::size_t lane) const {
  if (lane == 0) return false;
  const Member &a = *of_lane_[lane], &b = *of_lane_[lane - 1];
  return a.climate == b.climate && a.soil == b.soil && a.nitrogen == b.nitrogen && a.without_on(day_) == b.without_on(day_);
}

void ColumnBatch::fill_soil_day(std::size_t d) {
  static const auto nitrifier = find_temperature_response("nitrifier")->value;
  static const auto arrhenius = find_temperature_response("arrhenius")->value;
  static const auto relative_wet = find_moisture_response("relative_wet")->value;
  static const auto wet_end = find_moisture_response("wet_end")->value;
  for (std::size_t i = 0; i < lanes_; ++i) {
    if (!running_[i]) {
      // A season that is over stands still.
      for (std::size_t l = 0; l < n_; ++l) {
        for (auto* r : {&nit_top_, &den_top_, &humus_in_, &reach_}) (*r)[l * lanes_ + i] = 0;
        for (const std::size_t t : {soil_t_[l].move_ammonium, soil_t_[l].move_fast, soil_t_[l].move_slow}) coef_[t * lanes_ + i] = 0;
      }
      continue;
    }
    const bool copy = same_day_as_before(i) && running_[i - 1];
    const Member& m = *of_lane_[i];
    const Soil& soil = *m.soil;
    const SoilClimate& c = *m.climate;
    const NitrogenConstants& k = *m.nitrogen;
    const Without without = m.without_on(d);
    const double leach = without != Without::leaching, gas = without != Without::gas;
    for (std::size_t l = 0; l < n_; ++l) {
      if (copy) {
        for (auto* r : {&nit_top_, &nit_half_, &den_top_, &den_half_, &humus_in_}) (*r)[l * lanes_ + i] = (*r)[l * lanes_ + i - 1];
        for (const std::size_t t : {soil_t_[l].move_ammonium, soil_t_[l].move_fast, soil_t_[l].move_slow})
          coef_[t * lanes_ + i] = coef_[t * lanes_ + i - 1];
      } else {
        const double t = without == Without::cold ? k_warm_c : c.at(c.t_c, d, l);
        const Moisture moisture = moisture_of(m, d, l);
        const double f_w = without == Without::drought ? 1 : relative_wet(moisture);
        const double kg = soil.kg_ha_per_mg_kg(l), om = soil.organic_matter_percent[l];
        const double ph = std::clamp((soil.ph - 4) / 2, 0.1, 1.0);
        nit_top_[l * lanes_ + i] = k.nitrify_mg_kg_d * nitrifier(t, 0, 0) * f_w * ph * kg;
        nit_half_[l * lanes_ + i] = k.nitrify_half_mg_kg * kg;
        den_top_[l * lanes_ + i] = gas * std::min(1.0, om / k_carbon_enough) * k.denitrify_mg_kg_d *
                                   std::pow(k.denitrify_q10, (t - 15) / 10) * wet_end(moisture) * kg;
        den_half_[l * lanes_ + i] = k.k_half_denitrification * kg;
        const double organic_n = std::min(om, k_most_organic_matter) / 100 * 0.58 / soil.carbon_to_nitrogen * soil.bulk_density_mg_m3[l] *
                                 soil.thickness_mm[l] * 1e4;
        humus_in_[l * lanes_ + i] = organic_n * k.humus_freed_per_year / 365 * arrhenius(t, 10, k_humus_ea_kj_mol) * f_w;
        const double speed = leach * c.at(c.drained_mm, d, l) / (soil.theta_fc[l] * soil.thickness_mm[l]);
        const double held = 1 + soil.bulk_density_mg_m3[l] * soil.k_sorption_l_kg / soil.theta_fc[l];
        // What backs up is less than nothing going down; it carries no N up (no upward flow in this version).
        const double down = std::max(0.0, speed);
        coef_[soil_t_[l].move_ammonium * lanes_ + i] = down / held;
        coef_[soil_t_[l].move_fast * lanes_ + i] = k.v_fast * down;
        coef_[soil_t_[l].move_slow * lanes_ + i] = k.v_slow * down;
      }
      const auto& reach = without == Without::drought ? c.reach_wet_per_day : c.reach_per_day;
      reach_[l * lanes_ + i] = c.at(reach, d, l) * (without == Without::distance ? k_far : 1);
    }
  }
  for (std::size_t p = 0; p < places_.size(); ++p)
    for (std::size_t i = 0; i < lanes_; ++i) {
      double kg = 0;
      for (std::size_t l = 0; l < n_; ++l) kg += places_[p].covered[l] * of_lane_[i]->soil->kg_ha_per_mg_kg(l);
      half_starve_[p * lanes_ + i] = of_lane_[i]->nitrogen->starve_half_mg_kg * kg;
      take_rate_[i] = of_lane_[i]->nitrogen->fastest_take_per_day;
    }
}

Moisture ColumnBatch::moisture_of(const Member& m, std::size_t d, std::size_t l) const {
  const SoilClimate& c = *m.climate;
  const double theta = c.at(c.wfps_frac, d, l) * m.soil->theta_sat[l];
  return {theta, m.soil->theta_fc[l], m.soil->theta_wp[l], c.at(c.wfps_frac, d, l), c.at(c.available_frac, d, l)};
}

void ColumnBatch::fill_plant_day(std::size_t d) {
  for (std::size_t i = 0; i < lanes_; ++i) {
    const Member& m = *of_lane_[i];
    const SoilClimate& c = *m.climate;
    const std::size_t day = std::min(d, c.days - 1);
    day_of_year_[i] = c.day_of_year[day], t_min_[i] = c.t_min_c[day], t_max_[i] = c.t_max_c[day], radiation_[i] = c.radiation_mj_m2[day];
    day_length_[i] = c.day_length_h[day], rain_[i] = running_[i] ? c.rain_mm[day] : 0, rain3_[i] = c.rain3_mm[day];
    const std::size_t second = std::min<std::size_t>(1, n_ - 1);
    t_soil_[i] = c.at(c.t_c, day, second), wfps_[i] = c.at(c.wfps_frac, day, second), rel_water_[i] = c.at(c.available_frac, day, second);
    if (!m.plant) continue;
    const PlantHost& h = m.plant->host;
    const double f_t = running_[i] ? c.f_t[day] : 0;
    psi_[i] = h.ammonium_reach, unreachable_[i] = h.unreachable_kg_ha, reserve_rate_[i] = h.reserve_per_day, cover_[i] = m.plant->cover;
    want_rate_[i] = std::min(1.0, f_t / k_asleep_f_t) / h.catch_up_d;
    luxury_[i] = c.luxury[day], fixed_[i] = c.fixed_frac[day];
    stress_[i] = m.without_on(d) == Without::drought ? 1 : c.stress[day];
    // A lane that stands still grows nothing: its factors go with f_t, so growth is stopped by hand.
    if (!running_[i]) stress_[i] = 0;
    for (std::size_t k = 0; k < c.factors; ++k) factor_[k * lanes_ + i] = c.factor[day * c.factors + k];
  }
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
    const lh_release& model = *shape_.slots[s].model;
    for (std::size_t i = 0; i < lanes_; ++i) {
      const SlotMaterial& material = (*of_lane_[i]->materials)[s];
      if (!material.bulky) continue;
      for (std::size_t p = 0; p < static_cast<std::size_t>(model.n_pool); ++p)
        if (model.pool[p].place == LH_SURFACE) mulch_[i] += at(map_.slot[s].first_pool + p, i) * material.t_dm_per_kg_n;
    }
  }
}

double ColumnBatch::response_value(std::size_t lane, std::size_t slot, const lh_response& r, std::size_t d) const {
  const Member& m = *of_lane_[lane];
  const SlotMaterial& material = (*m.materials)[slot];
  const auto index = static_cast<std::size_t>(&r - shape_.slots[slot].model->response);
  const ResponseLaw law = law_of(r, material.parameter.data(), material.response.empty() ? nullptr : &material.response[index]);
  double sum = 0;
  for (std::size_t l = 0; l < n_; ++l) {
    const double share = r.place == LH_SURFACE ? (l == 0 ? 1.0 : 0.0) : plans_[slot].share[l];
    if (share <= 0) continue;
    const double t = m.without_on(d) == Without::cold ? k_warm_c : m.climate->at(m.climate->t_c, d, l);
    sum += share * law.warmth(t) * (m.without_on(d) == Without::drought ? 1 : law.moisture(moisture_of(m, d, l)));
  }
  return sum;
}

void ColumnBatch::fill_feed_day(std::size_t d) {
  static const auto q10 = find_temperature_response("q10")->value;
  weigh_mulch();
  for (std::size_t s = 0; s < shape_.slots.size(); ++s) {
    const lh_release& model = *shape_.slots[s].model;
    const SlotPlan& plan = plans_[s];
    for (std::size_t i = 0; i < lanes_; ++i) {
      const bool copy = same_day_as_before(i) && running_[i - 1] == running_[i] && of_lane_[i]->materials == of_lane_[i - 1]->materials;
      for (std::size_t r = 0; r < static_cast<std::size_t>(model.n_response); ++r) {
        double& f = response_slot_[s][r * lanes_ + i];
        f = copy ? response_slot_[s][r * lanes_ + i - 1] : running_[i] ? response_value(i, s, model.response[r], d) : 0;
      }
      // Where the feed lies, for plugins that want more than responses.
      const SoilClimate& c = *of_lane_[i]->climate;
      const std::size_t day = std::min(d, c.days - 1);
      double t = 0, w = 0, a = 0;
      for (std::size_t l = 0; l < n_; ++l)
        t += plan.share[l] * c.at(c.t_c, day, l), w += plan.share[l] * c.at(c.wfps_frac, day, l),
            a += plan.share[l] * c.at(c.available_frac, day, l);
      t_soil_[i] = t, wfps_[i] = w, rel_water_[i] = a;
    }
    const lh_day day = release_day(s);
    double* coef = lane_row(flow_coef_, plan.first_flow);
    call_plugin(
        [&] {
          return model.rates(&day, y_.data() + map_.slot[s].first_pool * lanes_, y_.data() + map_.slot[s].first_age * lanes_, coef,
                             age_rate_[s].data());
        },
        [&](const std::string& why) { plugin_failed(model.about.name, "rates", why); });
    for (std::size_t k = 0; k < static_cast<std::size_t>(model.n_flow) * lanes_; ++k)
      if (!(coef[k] >= 0 && std::isfinite(coef[k])))
        plugin_failed(model.about.name, "rates",
                      "returned a coefficient that is negative or not finite for flow " + std::string(model.flow[k / lanes_].name));
    for (const double a : age_rate_[s])
      if (!std::isfinite(a)) plugin_failed(model.about.name, "rates", "returned the rate of an age that is not finite");

    for (std::size_t i = 0; i < lanes_; ++i) {
      age_days_[s * lanes_ + i] += given_[s * lanes_ + i] > 0 ? 1 : 0;
      double asks = 0;
      for (std::size_t f = 0; f < static_cast<std::size_t>(model.n_flow); ++f)
        if (model.flow[f].from == LH_MINERAL) asks += coef[f * lanes_ + i];
      poor_[s * lanes_ + i] = asks > 0;
      if (!running_[i])
        for (std::size_t f = 0; f < static_cast<std::size_t>(model.n_flow); ++f) coef[f * lanes_ + i] = 0;
      if (shape_.slots[s].forked_mm > 0) continue;
      const Member& m = *of_lane_[i];
      const SurfaceConstants& k = (*m.materials)[s].surface;
      const double t = m.without_on(d) == Without::cold ? k_warm_c : m.climate->at(m.climate->t_c, std::min(d, m.climate->days - 1), 0);
      const double on = running_[i] ? 1 : 0, gas = m.without_on(d) != Without::gas ? on : 0;
      // Ammonium salts keep their ammonia in sour soil and lose it as manure does on chalk (equations.md 4.1).
      const double chalk = k.ph_factor < 1 ? (1 - k.ph_factor) * std::clamp(m.soil->ph - 7, 0.0, 1.0) : 0;
      coef_[surface_t_[s].to_air * lanes_ + i] = gas * k.volatile_per_day * (k.ph_factor + chalk) * q10(t, 15, m.nitrogen->surface_q10);
      coef_[surface_t_[s].to_soil * lanes_ + i] = on * k.fixed_per_day + (k.dissolved_wash_mm > 0 ? rain_[i] / k.dissolved_wash_mm : 0);
    }
  }
  for (const Wash& w : washes_) {
    const lh_pool& pool = shape_.slots[w.slot].model->pool[w.pool];
    for (std::size_t i = 0; i < lanes_; ++i) {
      const auto& p = (*of_lane_[i]->materials)[w.slot].parameter;
      const double by_rain = pool.wash_mm == LH_NONE || p[pool.wash_mm] <= 0 ? 0 : rain_[i] / p[pool.wash_mm];
      const double by_life = pool.mix_per_day == LH_NONE || !running_[i] ? 0 : p[pool.mix_per_day];
      coef_[w.transfer * lanes_ + i] = w.weight * (by_rain + by_life);
    }
  }
  for (const FlowTransfer& f : flow_t_)
    if (!f.starves && !f.bends)
      for (std::size_t i = 0; i < lanes_; ++i) coef_[f.transfer * lanes_ + i] = f.weight * flow_coef_[f.flow_row * lanes_ + i];
}

// Most days most transfers carry nothing: nothing starves, no rain falls. A transfer of nought changes no byte, so it may be left out.
void ColumnBatch::find_active() {
  stage_feeds_ = any_bend_ || std::any_of(poor_.begin(), poor_.end(), [](double x) { return x > 0; });
  std::vector<char> by_stage(transfers_.size(), 0);
  for (const SoilTransfers& t : soil_t_)
    for (const std::size_t k : {t.nitrify_fast, t.nitrify_slow, t.denitrify_fast, t.denitrify_slow}) by_stage[k] = 1;
  if (shape_.demand) {
    for (const SoilTransfers& t : soil_t_)
      for (const std::size_t k : {t.take_ammonium, t.take_fast, t.take_slow}) by_stage[k] = 1;
    by_stage[reserve_t_] = 1;
  }
  for (const FlowTransfer& f : flow_t_)
    if (f.starves || f.bends) {
      by_stage[f.transfer] = stage_feeds_;
      if (!stage_feeds_)  // no lane asks for mineral N, so lambda is 1
        for (std::size_t i = 0; i < lanes_; ++i) coef_[f.transfer * lanes_ + i] = f.weight * flow_coef_[f.flow_row * lanes_ + i];
    }
  for (const Take& t : takes_) {
    by_stage[t.transfer] = stage_feeds_;
    if (!stage_feeds_) std::fill_n(lane_row(coef_, t.transfer), lanes_, 0.0);
  }
  active_.clear();
  for (std::size_t t = 0; t < transfers_.size(); ++t) {
    const double* c = lane_row(coef_, t);
    if (by_stage[t] || std::any_of(c, c + lanes_, [](double x) { return x != 0; })) active_.push_back(static_cast<std::uint32_t>(t));
  }
}

// The fastest outflow of any pool, each bounded by what it can reach at any stage. The step rule rests on it.
void ColumnBatch::find_fastest() {
  std::vector<double> out(map_.nitrogen_rows);
  for (std::size_t i = 0; i < lanes_; ++i) {
    std::fill(out.begin(), out.end(), 0.0);
    const auto of = [&](std::size_t t) { return coef_[t * lanes_ + i]; };
    const auto add_day = [&](std::size_t t) { out[transfers_[t].from] += of(t); };
    for (std::size_t l = 0; l < n_; ++l) {
      const std::size_t a = map_.ammonium + l, f = map_.nitrate_fast + l, s = map_.nitrate_slow + l;
      for (const std::size_t t : {soil_t_[l].move_ammonium, soil_t_[l].move_fast, soil_t_[l].move_slow}) add_day(t);
      const double reach = reach_[l * lanes_ + i], deny = den_top_[l * lanes_ + i] / den_half_[l * lanes_ + i];
      out[a] += nit_top_[l * lanes_ + i] / nit_half_[l * lanes_ + i] + reach * psi_[i];
      out[f] += deny + reach, out[s] += deny + reach;
      bool taken = false;
      for (std::size_t p = 0; p < places_.size(); ++p)
        for (const std::size_t slot : places_[p].slots) taken = taken || (places_[p].covered[l] > 0 && poor_[slot * lanes_ + i] > 0);
      if (taken)
        for (const std::size_t row : {a, f, s}) out[row] += take_rate_[i];
    }
    for (std::size_t s = 0; s < surface_t_.size(); ++s)
      if (shape_.slots[s].forked_mm <= 0) add_day(surface_t_[s].to_air), add_day(surface_t_[s].to_soil);
    for (const Wash& w : washes_) add_day(w.transfer);
    for (const FlowTransfer& f : flow_t_)
      out[transfers_[f.transfer].from] += f.weight * flow_coef_[f.flow_row * lanes_ + i] * (f.bends ? 4 : 1);
    fastest_[i] = std::max(*std::max_element(out.begin(), out.end()), shape_.demand ? want_rate_[i] : 0.0);
  }
}

}  // namespace leafhunger
