// Is a planting kept to a date? Told day by day, so that a season need not be run further than the answer wants.
#pragma once

#include <cstddef>

#include "leafhunger/soil_climate.hpp"
#include "leafhunger/verdict.hpp"

namespace leafhunger {

/// Says what judge() would: kept is carried or just carried. One lane; `until` is the index of the date asked about.
class KeptSoFar {
 public:
  /// The end of day `d`, days in order from the season's first.
  void day(std::size_t d, double nni, double f_t, double w_t_ha, std::size_t until, const VerdictRules& rules = {}) {
    past_ = d >= until;
    if (short_ || !(f_t > rules.growing_f_t && w_t_ha > rules.growing_w_t_ha)) return;
    if (d <= until) ++grown_;
    if (!(nni < rules.short_nni)) {
      run_ = 0;
      return;
    }
    if (run_ == 0) in_time_ = d <= until;
    // Only a run that begins in time counts.
    if (++run_ == rules.short_days && in_time_) short_ = true;
  }
  /// Whether days to come cannot change the answer.
  bool decided() const { return short_ || (past_ && !(run_ > 0 && in_time_)); }
  /// To be asked when decided, or after the season's last day.
  bool kept(const SoilClimate& climate, std::size_t until, const VerdictRules& rules = {}) const {
    return !short_ && grown_ >= rules.short_days && !thirsty(climate, until, rules);
  }
  /// Water is the limit, whatever is fed.
  static bool thirsty(const SoilClimate& k, std::size_t until, const VerdictRules& rules = {}) {
    return k.w_free_t_ha[until] > 0 && k.w_twin_t_ha[until] / k.w_free_t_ha[until] < rules.barely_grew_frac;
  }

 private:
  int run_ = 0, grown_ = 0;
  bool in_time_ = false, short_ = false, past_ = false;
};

}  // namespace leafhunger
