// Named response functions of temperature and moisture. They multiply. Each carries its source; data choose them by name.
#pragma once

#include <string_view>
#include <vector>

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

}  // namespace leafhunger
