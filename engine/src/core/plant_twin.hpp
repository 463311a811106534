// The plant's model, driven one member at a time by the soil climate.
#pragma once

#include <string>
#include <vector>

#include "leafhunger/soil_climate.hpp"

namespace leafhunger {

/// What the plant is told of a day.
struct PlantWeather {
  Date date;
  double day_of_year, t_min_c, t_max_c, radiation_mj_m2, day_length_h, rain_mm, rain3_mm, t_soil_c, wfps_frac, rel_water_frac;
};

/// What it answered.
struct PlantMorning {
  double awake = 0, f_t = 0, cover_frac = 0, k_cb = 1, p_depletion = 0.5, root_front_mm = 0, luxury = 1, fixed_frac = 0, keep_frac = 1,
         reserve_frac = 0;
};

/// Tables as a plugin sees them; they point into `tables`.
std::vector<lh_table> views_of(const std::vector<Table>& tables);

class PlantTwin {
 public:
  explicit PlantTwin(const PlantOnGround& plant);

  void start(const PlantWeather& day);
  const PlantMorning& morning(const PlantWeather& day);
  /// A day's growth, four Runge-Kutta steps, never short of N.
  void grow(double water_stress);

  double w_t_ha() const { return w_; }
  double w_free_t_ha() const { return w_free_; }
  double critical_kg_n_ha(double w_t_ha) const;  ///< of the column, that is times cover
  const std::vector<double>& factor() const { return factor_; }

 private:
  lh_day day_of(const PlantWeather& day) const;
  /// Calls the model and looks at all that it may have written. Throws PluginError.
  template <class Call>
  void ask(const char* function, Date date, const Call& call) const;
  void check_dry_matter(const char* function, Date date) const;
  [[noreturn]] void refuse(const char* function, Date date, const std::string& why) const;
  double grown(double w, double water_stress) const;

  const PlantOnGround& plant_;
  std::vector<lh_table> table_;  // views of plant_.tables
  PlantMorning morning_;
  std::vector<double> memory_, factor_;
  double w_ = 0, w_free_ = 0;
  Date date_{};
};

}  // namespace leafhunger
