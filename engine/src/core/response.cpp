#include "leafhunger/response.hpp"

#include <algorithm>
#include <cmath>

namespace leafhunger {
namespace {

constexpr double k_gas_kj_per_mol_k = 8.314e-3;
constexpr double k_zero_c_in_k = 273.15;

double flat(double, double, double) { return 1; }

double lloyd_taylor(double t, double, double) { return std::exp(308.56 * (1 / 71.02 - 1 / (std::clamp(t, -20.0, 35.0) + 46.02))); }

double q10(double t, double t_ref, double q) { return std::pow(q, (t - t_ref) / 10); }

double arrhenius(double t, double t_ref, double activation_kj_mol) {
  return std::exp(activation_kj_mol / k_gas_kj_per_mol_k * (1 / (t_ref + k_zero_c_in_k) - 1 / (t + k_zero_c_in_k)));
}

double kirschbaum_raw(double t) { return std::exp(-3.764 + 0.204 * t * (1 - t / 73.8)); }
double kirschbaum(double t, double t_ref, double) { return kirschbaum_raw(t) / kirschbaum_raw(t_ref); }

double linear_degree_day(double t, double t_ref, double t_base) { return std::max(0.0, t - t_base) / (t_ref - t_base); }

double nitrifier(double t, double, double) { return std::pow(std::clamp(t, 0.0, 35.0) / 35, 1.4) * std::clamp((50 - t) / 15, 0.0, 1.0); }

double cold_root(double t, double, double) { return std::min(1.0, std::pow(3.0, (t - 13) / 10)); }

double moist_flat(const Moisture&) { return 1; }

// Dry limb by water between air-dry (half wilting) and field capacity, wet limb by pores above 60 %.
double relative_wet(const Moisture& m) {
  const double dry = 0.5 * m.theta_wp;
  const double a = std::clamp((m.theta - dry) / (m.theta_fc - dry), 0.0, 1.0);
  return a * (3 - a) / 2 * std::pow(std::clamp((1 - m.wfps_frac) / 0.4, 0.0, 1.0), 0.75);
}

double wfps_beta(const Moisture& m) {
  constexpr double w0 = 0.6, a = 2;
  const double w = std::clamp(m.wfps_frac, 0.0, 1.0);
  return std::pow(w / w0, a) * std::pow((1 - w) / (1 - w0), a * (1 - w0) / w0);
}

double two_limb(const Moisture& m) {
  constexpr double w0 = 0.6, e = 0.05;
  // Smooth minimum of the substrate and the air limb, over its value where they meet.
  const auto smin = [](double a, double b) {
    const double total = a + b + std::sqrt((a - b) * (a - b) + 4 * e * e * a * b);
    return total > 0 ? 2 * (1 - e * e) * a * b / total : 0.0;
  };
  const auto raw = [&](double w) { return smin(w / w0, std::pow((1 - w) / (1 - w0), 0.75)); };
  return raw(std::clamp(m.wfps_frac, 0.0, 1.0)) / raw(w0);
}

double relative_water(const Moisture& m) { return m.available_frac; }

double urease_wet(const Moisture& m) { return std::min(1.0, 2 * m.available_frac + 0.1); }

double wet_end(const Moisture& m) {
  const double x = std::clamp((m.wfps_frac - 0.6) / 0.4, 0.0, 1.0);
  return x * x;
}

}  // namespace

const std::vector<TemperatureResponse>& temperature_responses() {
  static const std::vector<TemperatureResponse> k_all = {
      {"flat", "1", "Lunt & Oertli 1962 for coated granules", flat},
      {"lloyd_taylor", "exp(308.56 (1/71.02 - 1/(T + 46.02))), T held in -20..35; 1 at 25 degC", "Lloyd & Taylor 1994, eq. 11",
       lloyd_taylor},
      {"q10", "Q^((T - Tref)/10)", "Kaetterer et al. 1998 (review)", q10},
      {"arrhenius", "exp(Ea/R (1/Tref - 1/T)), T in K, Ea in kJ/mol", "Arrhenius form; Campbell, Myers & Weier 1981 for soil organic N",
       arrhenius},
      {"kirschbaum", "exp(-3.764 + 0.204 T (1 - T/73.8)) over its value at Tref",
       "Kirschbaum 1995 (constants from memory, checked against its abstract)", kirschbaum},
      {"linear_degree_day", "max(0, T - Tb)/(Tref - Tb), q is Tb", "from memory", linear_degree_day},
      {"nitrifier", "(clip(T, 0, 35)/35)^1.4, falling to 0 at 50 degC", "fitted to Frederick 1956", nitrifier},
      {"cold_root", "min(1, 3^((T - 13)/10))", "Macduff, Hopper & Wild 1987", cold_root},
  };
  return k_all;
}

const std::vector<MoistureResponse>& moisture_responses() {
  static const std::vector<MoistureResponse> k_all = {
      {"flat", "1", "Lunt & Oertli 1962 for coated granules", moist_flat},
      {"relative_wet", "a(3 - a)/2 x min(1, (1 - w)/0.4)^0.75, a from half wilting to field capacity",
       "form our own; dry limb after Qiu et al. 2023, wet limb after Linn & Doran 1984", relative_wet},
      {"wfps_beta", "beta curve of water-filled pores with its peak at 0.6", "peak after Linn & Doran 1984; form our own", wfps_beta},
      {"two_limb", "smooth minimum of w/0.6 and ((1 - w)/0.4)^0.75, over its peak", "after Skopp, Jawson & Doran 1990 (from memory)",
       two_limb},
      {"relative_water", "available water over available water capacity, 0..1", "Paul et al. 2003 as cited by Qiu et al. 2023",
       relative_water},
      {"urease_wet", "min(1, 2 a + 0.1), a available water over available water capacity",
       "shape after Yadav et al. 1987: as fast at 80 % of field capacity as at all of it", urease_wet},
      {"wet_end", "(clip((w - 0.6)/0.4, 0, 1))^2", "threshold after Linn & Doran 1984; power our own guess", wet_end},
  };
  return k_all;
}

const TemperatureResponse* find_temperature_response(std::string_view name) {
  for (const auto& r : temperature_responses())
    if (name == r.name) return &r;
  return nullptr;
}

const MoistureResponse* find_moisture_response(std::string_view name) {
  for (const auto& r : moisture_responses())
    if (name == r.name) return &r;
  return nullptr;
}

ResponseLaw law_of(const lh_response& r, const double* parameter, const ChosenResponse* chosen) {
  ResponseLaw law{find_temperature_response(r.temperature)->value, find_moisture_response(r.moisture)->value,
                  r.t_ref_c == LH_NONE ? 0 : parameter[r.t_ref_c], r.q == LH_NONE ? 0 : parameter[r.q]};
  if (!chosen) return law;
  if (chosen->temperature) law.temperature = chosen->temperature->value, law.reference_c = chosen->reference_c, law.q = chosen->q;
  if (chosen->moisture) law.moisture = chosen->moisture->value;
  return law;
}

}  // namespace leafhunger
