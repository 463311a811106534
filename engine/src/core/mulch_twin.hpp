// Mulches that are feeds, as the soil climate sees them: how much still lies there. equations.md 4.3.
#pragma once

#include <vector>

#include "leafhunger/date.hpp"
#include "leafhunger/soil_climate.hpp"

namespace leafhunger {

/// A twin of what lies on top that never starves for mineral N, as the plant's twin is never short of it: so nothing in the soil climate
/// depends on nitrogen. It calls the model itself and knows no parameter by name.
class MulchTwin {
 public:
  explicit MulchTwin(const std::vector<MulchMaterial>& materials);

  /// Spreads some. PluginError where the model fails.
  void give(std::size_t material, double kg_n_ha, Date date);
  /// A day's decay and washing in, under layer 1's means of that day.
  void decay(double t_c, const Moisture& moisture, double rain_mm, double rain3_mm, Date date);

  double depth_mm() const;
  /// Share of the ground that it hides: 1 - exp(-depth / 10 mm) (our own guess).
  double cover_frac() const;
  double resistance_m2k_w() const;

 private:
  struct Heap {
    const MulchMaterial* material;
    std::vector<double> pool;
    double given_kg_n_ha = 0, given_t_dm_ha = 0, age_d = 0;
    double on_top_kg_n_ha() const;
  };
  std::vector<Heap> heaps_;
};

}  // namespace leafhunger
