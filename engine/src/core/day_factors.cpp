#include "day_factors.hpp"

#include <algorithm>
#include <cmath>

namespace leafhunger {
namespace {

constexpr double k_humus_ea_kj_mol = 43.7;   // Campbell, Myers & Weier 1981
constexpr double k_most_organic_matter = 6;  // per cent that frees N; richer soils count as this (our own guess)
constexpr double k_carbon_enough = 3;        // per cent organic matter from which denitrifiers have carbon enough (our own guess)
constexpr std::size_t k_most_kept = 96;      // seasons; some 30 kB each

}  // namespace

Moisture moisture_of(const SoilClimate& c, const Soil& soil, std::size_t d, std::size_t l) {
  const double theta = c.at(c.wfps_frac, d, l) * soil.theta_sat[l];
  return {theta, soil.theta_fc[l], soil.theta_wp[l], c.at(c.wfps_frac, d, l), c.at(c.available_frac, d, l)};
}

const SoilDays& DayFactors::soil(const SoilClimate& c, const Soil& soil, Eased eased, double denitrify_q10) {
  const auto [it, fresh] = soil_.try_emplace({&c, &soil, eased, denitrify_q10});
  SoilDays& out = it->second;
  if (!fresh) return out;
  static const auto nitrifier = find_temperature_response("nitrifier")->value;
  static const auto arrhenius = find_temperature_response("arrhenius")->value;
  static const auto relative_wet = find_moisture_response("relative_wet")->value;
  static const auto wet_end = find_moisture_response("wet_end")->value;
  const std::size_t n = c.layers;
  for (auto* rows : {&out.nitrify, &out.deny, &out.humus, &out.down}) rows->resize(c.days * n);
  const double ph = std::clamp((soil.ph - 4) / 2, 0.1, 1.0);
  for (std::size_t d = 0; d < c.days; ++d)
    for (std::size_t l = 0; l < n; ++l) {
      const std::size_t at = d * n + l;
      const double t = eased.cold ? k_warm_c : c.t_c[at];
      const Moisture moisture = moisture_of(c, soil, d, l);
      const double f_w = eased.drought ? 1 : relative_wet(moisture);
      const double kg = soil.kg_ha_per_mg_kg(l), om = soil.organic_matter_percent[l];
      out.nitrify[at] = nitrifier(t, 0, 0) * f_w * ph * kg;
      const double wet = wet_end(moisture);
      out.deny[at] = wet > 0 ? std::min(1.0, om / k_carbon_enough) * std::pow(denitrify_q10, (t - 15) / 10) * wet * kg : 0;
      const double organic_n = std::min(om, k_most_organic_matter) / 100 * 0.58 / soil.carbon_to_nitrogen * soil.bulk_density_mg_m3[l] *
                               soil.thickness_mm[l] * 1e4;
      out.humus[at] = organic_n / 365 * arrhenius(t, 10, k_humus_ea_kj_mol) * f_w;
      // What backs up is less than nothing going down; it carries no N up (no upward flow in this version).
      out.down[at] = std::max(0.0, c.drained_mm[at] / (soil.theta_fc[l] * soil.thickness_mm[l]));
    }
  return out;
}

const FeedDays& DayFactors::feed(const SoilClimate& c, const Soil& soil, Eased eased, const lh_release& model,
                                 const std::vector<double>& parameter, const std::vector<ChosenResponse>& response, double forked_mm,
                                 const std::vector<double>& share, double surface_q10) {
  std::vector<ResponseLaw> laws;
  std::vector<LawKey> key;
  for (std::size_t r = 0; r < static_cast<std::size_t>(model.n_response); ++r) {
    laws.push_back(law_of(model.response[r], parameter.data(), response.empty() ? nullptr : &response[r]));
    key.emplace_back(laws[r].temperature, laws[r].moisture, laws[r].reference_c, laws[r].q);
  }
  const auto [it, fresh] = feed_.try_emplace({&c, &soil, eased, &model, forked_mm, surface_q10, std::move(key)});
  FeedDays& out = it->second;
  if (!fresh) return out;
  static const auto q10 = find_temperature_response("q10")->value;
  const auto responses = static_cast<std::size_t>(model.n_response);
  out.n = responses + 1;
  out.value.assign(c.days * out.n, 0.0);
  for (std::size_t r = 0; r < responses; ++r) {
    const ResponseLaw& law = laws[r];
    for (std::size_t d = 0; d < c.days; ++d) {
      double sum = 0;
      for (std::size_t l = 0; l < c.layers; ++l) {
        const double part = model.response[r].place == LH_SURFACE ? (l == 0 ? 1.0 : 0.0) : share[l];
        if (part <= 0) continue;
        const double t = eased.cold ? k_warm_c : c.at(c.t_c, d, l);
        sum += part * law.warmth(t) * (eased.drought ? 1 : law.moisture(moisture_of(c, soil, d, l)));
      }
      out.value[d * out.n + r] = sum;
    }
  }
  for (std::size_t d = 0; d < c.days; ++d)
    out.value[d * out.n + responses] = q10(eased.cold ? k_warm_c : c.at(c.t_c, d, 0), 15, surface_q10);
  return out;
}

void DayFactors::trim() {
  if (soil_.size() > k_most_kept) soil_.clear();
  if (feed_.size() > k_most_kept) feed_.clear();
}

}  // namespace leafhunger
