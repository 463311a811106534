// What the ground is: layers and their water, by texture.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace leafhunger {

/// One row a texture. Field capacity, wilting point and readily evaporable water lie inside their rows of FAO-56 Table 19.
struct Texture {
  const char* name;                      ///< "loam"
  double theta_fc, theta_wp, theta_sat;  ///< m3/m3 at field capacity, at wilting, all pores
  double rew_mm;                         ///< readily evaporable water
  double drain_time_d;                   ///< tau_d: time in which the excess over field capacity falls to 1/e (our own guess)
  double infiltration_mm_per_day;        ///< most rain that enters in a day (our own guess)
  double bulk_density_mg_m3;             ///< from memory
  double k_sorption_l_kg;                ///< ammonium; Clothier et al. 1988 for silt loam 5 and fine sand 2.6, between them a guess
  double conductivity_w_m_k = 1.0;       ///< of heat, where constant properties are used
  double capacity_mj_m3_k = 2.3;         ///< of heat, likewise
};

/// All textures of natural soil, coarse to fine.
const std::vector<Texture>& textures();
/// Null where there is none of that name.
const Texture* find_texture(std::string_view name);
/// What pots may be filled with: all textures, then mixes that are no soil ("potting mix"). Origin of the figures in soil.cpp.
const std::vector<Texture>& mixes();

/// A pot's wall, for heat.
struct PotWall {
  const char* name;  ///< "plastic", "clay", "wood", "insulated"
  double thickness_mm, conductivity_w_m_k;
  double u_w_m2_k() const;  ///< U_w, wall and the film of air along it (equations.md 2.4)
};
const std::vector<PotWall>& pot_walls();

/// A column of layers, top first. All vectors are as long as thickness_mm.
struct Soil {
  std::vector<double> thickness_mm, theta_fc, theta_wp, theta_sat, bulk_density_mg_m3, organic_matter_percent;
  double rew_mm = 9, drain_time_d = 0.7, infiltration_mm_per_day = 250, k_sorption_l_kg = 4, carbon_to_nitrogen = 11.6;
  double ph = 6.5;
  double k_sat_mm_per_day = 0;      ///< most that drains out of a layer in a day; 0: no such limit
  double rise_mm_per_day = 0;       ///< water that rises into the lowest layer from below each day, at most what fits
  bool container = false;           ///< its own depth, free bottom
  double container_diameter_m = 0;  ///< of the pot, for heat through its wall

  std::size_t layers() const { return thickness_mm.size(); }
  double top_mm(std::size_t layer) const;  ///< depth of the layer's upper face
  double middle_mm(std::size_t layer) const;
  double depth_mm() const;  ///< of the whole column
  /// kg/ha in a layer that holds 1 mg/kg.
  double kg_ha_per_mg_kg(std::size_t layer) const { return thickness_mm[layer] * bulk_density_mg_m3[layer] / 100; }
};

/// Layers 0-50-150-300-600 mm. Organic matter is that of 0-300 mm; deeper soil holds a sixth of it, and a layer that straddles 300 mm has
/// the mean by thickness, so that the column's organic matter does not hang on the choice of layers.
Soil make_soil(const Texture& texture, double organic_matter_percent);
/// Layers of the user's own choice. InputError where one is below 10 mm or there is none.
Soil make_soil(const Texture& texture, double organic_matter_percent, std::vector<double> thickness_mm);
/// A pot: layers 50 mm, 100 mm, then equal ones of at most 150 mm down to depth_mm (at least 100, or InputError). What would be left as a
/// sliver thinner than 25 mm joins the second layer. One mix throughout: organic matter does not fall with depth.
Soil make_container(const Texture& texture, double organic_matter_percent, double depth_mm, double diameter_m);

/// Total available water of the column down to depth_mm, field capacity less wilting, mm (FAO-56 eq 82).
double total_available_mm(const Soil& soil, double depth_mm);

}  // namespace leafhunger
