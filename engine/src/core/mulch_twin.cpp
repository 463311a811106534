#include "mulch_twin.hpp"

#include <cmath>
#include <string>

#include "first_share.hpp"
#include "leafhunger/error.hpp"
#include "plugin_call.hpp"

namespace leafhunger {
namespace {

constexpr double k_hides_mm = 10;

auto refusal(const lh_release& model, const char* function, Date date) {
  return [&model, function, date](const std::string& why) {
    throw PluginError(std::string("model ") + model.about.name + ": `" + function + "` " + why + " on " + to_iso(date), false);
  };
}

}  // namespace

MulchTwin::MulchTwin(const std::vector<MulchMaterial>& materials) {
  for (const MulchMaterial& m : materials) heaps_.push_back({&m, std::vector<double>(static_cast<std::size_t>(m.model->n_pool), 0.0)});
}

double MulchTwin::Heap::on_top_kg_n_ha() const {
  double sum = 0;
  for (std::size_t p = 0; p < pool.size(); ++p)
    if (material->model->pool[p].place == LH_SURFACE) sum += pool[p];
  return sum;
}

void MulchTwin::give(std::size_t index, double kg_n_ha, Date date) {
  Heap& heap = heaps_[index];
  const lh_release& model = *heap.material->model;
  const double t_dm = kg_n_ha * heap.material->t_dm_per_kg_n;
  const auto pool = first_share(model, heap.material->parameter, kg_n_ha, t_dm, refusal(model, "start", date)).pool;
  for (std::size_t p = 0; p < pool.size(); ++p) heap.pool[p] += pool[p];
  heap.given_kg_n_ha += kg_n_ha, heap.given_t_dm_ha += t_dm;
}

void MulchTwin::decay(double t_c, const Moisture& moisture, double rain_mm, double rain3_mm, Date date) {
  double mulch_t_dm_ha = 0;
  for (const Heap& h : heaps_) mulch_t_dm_ha += h.on_top_kg_n_ha() * h.material->t_dm_per_kg_n;
  for (Heap& h : heaps_) {
    if (h.given_kg_n_ha <= 0) continue;
    const MulchMaterial& m = *h.material;
    const lh_release& model = *m.model;
    std::vector<double> response, coef(static_cast<std::size_t>(model.n_flow), 0.0);
    for (std::size_t r = 0; r < static_cast<std::size_t>(model.n_response); ++r) {
      const ResponseLaw law = law_of(model.response[r], m.parameter.data(), m.response.empty() ? nullptr : &m.response[r]);
      response.push_back(law.warmth(t_c) * law.moisture(moisture));
    }
    lh_day day{};
    day.size = sizeof day, day.m = day.m_pad = 1;
    day.parameter = m.parameter.data(), day.response = response.data(), day.rain_mm = &rain_mm, day.rain3_mm = &rain3_mm;
    day.t_soil_c = &t_c, day.wfps_frac = &moisture.wfps_frac, day.rel_water_frac = &moisture.available_frac;
    day.age_d = &h.age_d, day.given_kg_n_ha = &h.given_kg_n_ha, day.given_t_dm_ha = &h.given_t_dm_ha, day.mulch_t_dm_ha = &mulch_t_dm_ha;
    double age = 0, age_rate = 0;
    call_plugin([&] { return model.rates(&day, h.pool.data(), &age, coef.data(), &age_rate); }, refusal(model, "rates", date));
    for (std::size_t p = 0; p < h.pool.size(); ++p) {
      const lh_pool& pool = model.pool[p];
      if (pool.place != LH_SURFACE) continue;
      double out = pool.mix_per_day == LH_NONE ? 0 : m.parameter[static_cast<std::size_t>(pool.mix_per_day)];
      if (pool.wash_mm != LH_NONE && m.parameter[static_cast<std::size_t>(pool.wash_mm)] > 0)
        out += rain_mm / m.parameter[static_cast<std::size_t>(pool.wash_mm)];
      for (std::size_t f = 0; f < coef.size(); ++f)
        if (model.flow[f].from == static_cast<int32_t>(p)) out += coef[f];
      if (!(out >= 0)) refusal(model, "rates", date)("returned a coefficient that is negative or not finite");
      h.pool[p] *= std::exp(-out);
    }
    h.age_d += 1;
  }
}

double MulchTwin::depth_mm() const {
  double mm = 0;
  for (const Heap& h : heaps_) mm += h.on_top_kg_n_ha() * h.material->mm_per_kg_n_ha;
  return mm;
}

double MulchTwin::cover_frac() const { return 1 - std::exp(-depth_mm() / k_hides_mm); }

double MulchTwin::resistance_m2k_w() const {
  double sum = 0;
  for (const Heap& h : heaps_) sum += h.on_top_kg_n_ha() * h.material->mm_per_kg_n_ha / 1000 / h.material->conductivity_w_m_k;
  return sum;
}

}  // namespace leafhunger
