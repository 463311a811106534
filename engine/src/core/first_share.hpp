// A dose as its model shares it out on being given.
#pragma once

#include <vector>

#include "plugin_call.hpp"

namespace leafhunger {

struct FirstShare {
  std::vector<double> pool, age;  ///< kg/ha by pool; ages at the start
  double surface_ammonium = 0;    ///< kg/ha
};

/// Calls `start` of a release model for one member. `parameter`: one set. `refuse(why)` throws. What comes back is not looked at.
template <class Refuse>
FirstShare first_share(const lh_release& model, const std::vector<double>& parameter, double kg_n_ha, double t_dm_ha,
                       const Refuse& refuse) {
  FirstShare out;
  out.pool.resize(static_cast<std::size_t>(model.n_pool)), out.age.resize(static_cast<std::size_t>(model.n_age));
  const double none = 0;
  lh_day day{};
  day.size = sizeof day, day.m = day.m_pad = 1;
  day.parameter = parameter.data(), day.given_kg_n_ha = &kg_n_ha, day.given_t_dm_ha = &t_dm_ha, day.age_d = day.mulch_t_dm_ha = &none;
  call_plugin([&] { return model.start(&day, out.pool.data(), &out.surface_ammonium, out.age.data()); }, refuse);
  return out;
}

}  // namespace leafhunger
