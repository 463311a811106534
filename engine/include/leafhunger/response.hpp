// Named response functions of temperature and moisture. They multiply. Each carries its source; data choose them by name.
#pragma once

#include <string_view>
#include <vector>

#include "leafhunger/plugin.h"

namespace leafhunger {

/// A temperature law: factor of (T degC, reference degC, q). What q is depends on the law.
struct TemperatureResponse {
  const char* name;
  const char* formula;
  const char* source;
  double (*value)(double t_c, double t_ref_c, double q);
};

/// What a moisture law may look at.
struct Moisture {
  double theta, theta_fc, theta_wp;  ///< m3/m3
  double wfps_frac;                  ///< share of pores that hold water
  double available_frac;             ///< a_l, 0-1
};

struct MoistureResponse {
  const char* name;
  const char* formula;
  const char* source;
  double (*value)(const Moisture& m);
};

const std::vector<TemperatureResponse>& temperature_responses();
const std::vector<MoistureResponse>& moisture_responses();
/// Null where there is none of that name.
const TemperatureResponse* find_temperature_response(std::string_view name);
const MoistureResponse* find_moisture_response(std::string_view name);

/// A law of warmth and one of moisture in place of those that a model names.
struct ChosenResponse {
  const TemperatureResponse* temperature = nullptr;  ///< null: the model's own
  const MoistureResponse* moisture = nullptr;
  double reference_c = 25, q = 2;
};

/// A model's response made ready: its own laws with its parameters, or those chosen.
struct ResponseLaw {
  double (*temperature)(double t_c, double t_ref_c, double q);
  double (*moisture)(const Moisture& m);
  double reference_c, q;

  double warmth(double t_c) const { return temperature(t_c, reference_c, q); }
};
/// `parameter`: one set of the model's. `chosen` may be null.
ResponseLaw law_of(const lh_response& response, const double* parameter, const ChosenResponse* chosen);

}  // namespace leafhunger
