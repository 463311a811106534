// Textures and columns. Water contents: values of our own choice inside the rows of FAO-56 Table 19 (p144), a test holds them there.
#include "leafhunger/soil.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <numeric>
#include <utility>

#include "leafhunger/error.hpp"

namespace leafhunger {

namespace {

constexpr double k_least_layer_mm = 10;
constexpr double k_topsoil_mm = 300;
constexpr double k_subsoil_share = 1.0 / 6;  // of the topsoil's organic matter: 3 % above and 0.5 % below (equations.md 11, a guess)
constexpr double k_least_pot_mm = 100;       // evaporation reads the first 100 mm
constexpr double k_pot_film_w_m2_k = 8;      // of air along a pot's wall (equations.md 2.4, a guess)

std::string number(double value) {
  char text[32];
  const auto end = std::to_chars(text, text + sizeof text, value).ptr;
  return {text, end};
}

Soil column_of(const Texture& texture, std::vector<double> thickness_mm) {
  if (thickness_mm.empty()) throw InputError({"", "layers", "no layer at all", "at least one layer", ""});
  for (const double mm : thickness_mm) {
    if (!(mm >= k_least_layer_mm) || !std::isfinite(mm)) {
      throw InputError({"", "layers", "a layer of " + number(mm) + " mm", "10 mm or more in each layer", ""});
    }
  }
  Soil soil;
  const std::size_t n = thickness_mm.size();
  soil.thickness_mm = std::move(thickness_mm);
  soil.theta_fc.assign(n, texture.theta_fc);
  soil.theta_wp.assign(n, texture.theta_wp);
  soil.theta_sat.assign(n, texture.theta_sat);
  soil.bulk_density_mg_m3.assign(n, texture.bulk_density_mg_m3);
  soil.organic_matter_percent.assign(n, 0.0);
  soil.rew_mm = texture.rew_mm;
  soil.drain_time_d = texture.drain_time_d;
  soil.infiltration_mm_per_day = texture.infiltration_mm_per_day;
  soil.k_sorption_l_kg = texture.k_sorption_l_kg;
  return soil;
}

}  // namespace

const std::vector<Texture>& textures() {
  // theta_sat, drainage time, greatest infiltration and most sorption are guesses that run evenly from sand to clay; bulk density is from
  // memory. Sorption: 2.6 for fine sand and 5 for silt loam are Clothier et al. 1988.
  static const std::vector<Texture> table = {
      // name              fc     wp     sat   rew  drain i_max  rho   kd
      {"sand", 0.12, 0.045, 0.43, 4.5, 0.25, 1000, 1.50, 2.6},
      {"loamy sand", 0.15, 0.065, 0.44, 6, 0.35, 700, 1.45, 3},
      {"sandy loam", 0.23, 0.11, 0.46, 8, 0.5, 400, 1.40, 3.5},
      {"loam", 0.27, 0.12, 0.48, 9, 0.7, 250, 1.30, 4},
      {"silt loam", 0.29, 0.14, 0.49, 9.5, 0.9, 200, 1.30, 5},
      {"silt", 0.32, 0.15, 0.49, 9.5, 1.1, 150, 1.30, 5},
      {"silty clay loam", 0.34, 0.19, 0.50, 9.5, 1.5, 110, 1.25, 5.5},
      {"silty clay", 0.36, 0.21, 0.51, 10, 2.0, 80, 1.25, 6},
      {"clay", 0.36, 0.22, 0.52, 10, 2.5, 60, 1.20, 6},
  };
  return table;
}

const Texture* find_texture(std::string_view name) {
  const auto& table = textures();
  const auto found = std::find_if(table.begin(), table.end(), [&](const Texture& t) { return name == t.name; });
  return found == table.end() ? nullptr : &*found;
}

const std::vector<Texture>& mixes() {
  // Potting mix: bought, of peat, bark or coir. Pores 70-80 % of the volume (solids 20 to 30 %: growers' article by Fisher, Yafuso &
  // Bohorquez), of which water fills 43 % of the volume in a nursery pot and 59 % in a small cell once drained (J. Environ. Hort. 5(4):180,
  // abstract): 0.46 for a pot deeper than theirs. Wilting point between 0.05 (11 % of what is held in propagation mixes, growers' training
  // page) and 0.2-0.3 (nursery advice, from memory): our own guess. Bulk density a little above peat mixes' 0.09-0.16 (greenhouse course,
  // University of Arkansas). Heat: de Vries 1963 for peat at 0.45 of water, 0.13e-6 m2/s and 2.13 MJ/m3/K. The rest is our own guess.
  static const std::vector<Texture> table = [] {
    std::vector<Texture> all = textures();
    //              name           fc    wp    sat  rew  drain i_max  rho   kd    k   C
    all.push_back({"potting mix", 0.46, 0.12, 0.75, 10, 0.25, 1000, 0.2, 10, 0.28, 2.13});
    return all;
  }();
  return table;
}

double PotWall::u_w_m2_k() const { return 1 / (1 / k_pot_film_w_m2_k + thickness_mm / 1000 / conductivity_w_m_k); }

const std::vector<PotWall>& pot_walls() {
  // Conductivities: polypropylene 0.22 and softwood 0.13 from EN ISO 10077-2 and 10456, seen quoted; foam 0.04 inside the 0.028-0.054 of
  // CIBSE Guide A, seen quoted; roof tiles of clay 1.0, EN ISO 10456 from memory. Thicknesses are our own guess. The air's film rules all
  // but wood and foam. What a clay wall breathes out, and so cools, is not in it.
  static const std::vector<PotWall> table = {{"plastic", 2, 0.22}, {"clay", 12, 1.0}, {"wood", 25, 0.13}, {"insulated", 20, 0.04}};
  return table;
}

double Soil::top_mm(std::size_t layer) const {
  return std::accumulate(thickness_mm.begin(), thickness_mm.begin() + static_cast<std::ptrdiff_t>(layer), 0.0);
}

double Soil::middle_mm(std::size_t layer) const { return top_mm(layer) + thickness_mm[layer] / 2; }

double Soil::depth_mm() const { return top_mm(layers()); }

Soil make_soil(const Texture& texture, double organic_matter_percent) {
  return make_soil(texture, organic_matter_percent, {50, 100, 150, 300});
}

Soil make_soil(const Texture& texture, double organic_matter_percent, std::vector<double> thickness_mm) {
  Soil soil = column_of(texture, std::move(thickness_mm));
  for (std::size_t l = 0; l < soil.layers(); ++l) {
    const double above_frac = std::clamp((k_topsoil_mm - soil.top_mm(l)) / soil.thickness_mm[l], 0.0, 1.0);
    soil.organic_matter_percent[l] = organic_matter_percent * (above_frac + k_subsoil_share * (1 - above_frac));
  }
  return soil;
}

Soil make_container(const Texture& texture, double organic_matter_percent, double depth_mm, double diameter_m) {
  if (!(depth_mm >= k_least_pot_mm) || !std::isfinite(depth_mm)) {
    throw InputError({"", "container depth", number(depth_mm) + " mm", "100 mm or more", ""});
  }
  if (!(diameter_m > 0) || !std::isfinite(diameter_m)) {
    throw InputError({"", "container diameter", number(diameter_m) + " m", "more than 0", ""});
  }
  constexpr double k_top_mm = 50, k_second_mm = 100, k_most_mm = 150, k_sliver_mm = 25;
  std::vector<double> thickness_mm;
  const double rest_mm = depth_mm - k_top_mm - k_second_mm;
  if (rest_mm < k_sliver_mm) {
    thickness_mm = {k_top_mm, depth_mm - k_top_mm};
  } else {
    const auto count = static_cast<std::size_t>(std::ceil(rest_mm / k_most_mm));
    thickness_mm = {k_top_mm, k_second_mm};
    thickness_mm.insert(thickness_mm.end(), count, rest_mm / static_cast<double>(count));
  }
  Soil soil = column_of(texture, std::move(thickness_mm));
  soil.organic_matter_percent.assign(soil.layers(), organic_matter_percent);
  soil.container = true;
  soil.container_diameter_m = diameter_m;
  return soil;
}

double total_available_mm(const Soil& soil, double depth_mm) {
  double total_mm = 0, top_mm = 0;
  for (std::size_t l = 0; l < soil.layers(); ++l) {
    const double within_mm = std::clamp(depth_mm - top_mm, 0.0, soil.thickness_mm[l]);
    total_mm += (soil.theta_fc[l] - soil.theta_wp[l]) * within_mm;
    top_mm += soil.thickness_mm[l];
  }
  return total_mm;
}

}  // namespace leafhunger
