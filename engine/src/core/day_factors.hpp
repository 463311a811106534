// What of a season's days depends on climate, ground and laws alone: responses of the soil's own turnover and of the feeds. Computed once
// for all members that share them, since powers and exponentials cost more than all else of a morning.
#pragma once

#include <map>
#include <memory>
#include <tuple>
#include <vector>

#include "leafhunger/plugin.h"
#include "leafhunger/response.hpp"
#include "leafhunger/soil_climate.hpp"

namespace leafhunger {

/// Limits that are taken away from responses.
struct Eased {
  bool cold = false, drought = false;
  auto operator<=>(const Eased&) const = default;
};

/// Soil temperature where cold is taken away.
inline constexpr double k_warm_c = 20;

/// Water of one layer on one day, as laws of moisture want it.
Moisture moisture_of(const SoilClimate& climate, const Soil& soil, std::size_t day, std::size_t layer);

/// By [day * layers + layer]: each has only to be multiplied by a member's own constant.
struct SoilDays {
  std::vector<double> nitrify, deny, humus;  ///< kg/ha/d for each mg/kg/d, mg/kg/d, share a year
  std::vector<double> down;                  ///< drained water over what field capacity holds, 0 where it is net upwards
};

/// By [day * n + k]: a feed's responses, then warmth of ammonia loss at the surface.
struct FeedDays {
  std::size_t n = 0;
  std::vector<double> value;
};

class DayFactors {
 public:
  const SoilDays& soil(const SoilClimate& climate, const Soil& soil, Eased eased, double denitrify_q10);
  /// `share`: of the feed by layer, as it lies when forked in to `forked_mm`.
  const FeedDays& feed(const SoilClimate& climate, const Soil& soil, Eased eased, const lh_release& model,
                       const std::vector<double>& parameter, const std::vector<ChosenResponse>& response, double forked_mm,
                       const std::vector<double>& share, double surface_q10);
  /// Forgets all if it has grown large. What was answered before is then gone.
  void trim();

 private:
  std::map<std::tuple<const SoilClimate*, const Soil*, Eased, double>, SoilDays> soil_;
  // A feed's key is what its laws are, not whose they are: members of an ensemble with figures of their own mostly share them.
  using LawKey = std::tuple<double (*)(double, double, double), double (*)(const Moisture&), double, double>;
  std::map<std::tuple<const SoilClimate*, const Soil*, Eased, const lh_release*, double, double, std::vector<LawKey>>, FeedDays> feed_;
};

}  // namespace leafhunger
