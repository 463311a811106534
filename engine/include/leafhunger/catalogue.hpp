// Materials and plants as data. The engine knows none by name: each names its plugin's model and sets that model's parameters.
#pragma once

#include <map>
#include <string>
#include <vector>

namespace leafhunger {

/// How a material lies and washes in (equations.md 4.1).
enum class Form { powder, pellet, granule, liquid, bulky };

/// Constants of what happens to ammonium on the surface, per day at 15 degC.
struct SurfaceConstants {
  double volatile_per_day = 0.085;  ///< k_v, lost to the air
  double fixed_per_day = 0.065;     ///< k_c, taken in by the soil
  double ph_factor = 1;             ///< v_pH on k_v
  double dissolved_wash_mm = -1;    ///< w_dis: rain that carries it in; below 0 by the material's form
  double lost_at_once_frac = 0;     ///< of the ammonium that it brings, lost to the air as it is spread on top (wet fresh manure)
};

/// Laws of warmth and moisture that an entry chooses in place of those of its release model (names of response.hpp).
struct ResponseChoice {
  std::string temperature, moisture;  ///< empty: the model's own
  double reference_c = 25;            ///< temperature at which the law is 1, where it takes one
  double q = 2;                       ///< Q10, activation energy in kJ/mol or base temperature, as the law says
};

/// Where an entry stands, so that a fault found later (by a plugin, say) can still name file, line and column.
struct Origin {
  std::string file;                                     ///< as in InputFault::file
  std::string place;                                    ///< as in InputFault::place
  std::map<std::string, std::string> parameter_places;  ///< the place of each parameter
};

struct Material {
  Origin origin;
  std::string id, title;
  std::vector<std::string> also;  ///< what else people call it
  std::string model;              ///< release model of a plugin
  std::map<std::string, double> parameters;
  double n_percent = 0, p2o5_percent = 0, k2o_percent = 0;  ///< of the material as bought
  double carbon_to_nitrogen = 0;                            ///< total; 0 where it holds no carbon
  double ammonium_frac = 0;                                 ///< share of the N that is ammonium as bought
  double dry_matter_percent = 90;
  Form form = Form::powder;
  double bulk_density_kg_m3 = 650;
  double bag_kg = 0;        ///< what it is sold in; 0: loose
  double price_per_kg = 0;  ///< invented default unless the user gave his own
  SurfaceConstants surface;
  double conductivity_w_m_k = 0.2;                  ///< of heat, where it lies as a mulch (bulky only)
  std::string origin_word;                          ///< what it came from, in one word; empty where not said (label.hpp)
  std::map<std::string, double> estimated;          ///< parameters that follow from label and origin; those above win
  std::map<std::string, double> spread;             ///< +- of a parameter: how far the truth may lie, as a standard deviation
  std::map<std::string, ResponseChoice> responses;  ///< by the group of the model's response: its name less " on top" or " in soil"
  std::vector<std::string> cautions;                ///< keys of the caution texts
  std::map<std::string, std::string> sources;       ///< where each figure comes from
};

/// A curve as knots: x ascending, between them in line, beyond them as at the last. What x and y are, the model that reads it says.
struct Table {
  std::string name;
  std::vector<double> x, y;
};

/// Constants of a plant that the host uses (equations.md 7 and 8).
struct PlantHost {
  double catch_up_d = 2;          ///< tau_N
  double reserve_share = 0.20;    ///< R0: share of last season's N
  double reserve_per_day = 0.05;  ///< k_R
  double uptake_per_day = 0.10;   ///< k_up
  double ammonium_reach = 0.2;    ///< psi
  double unreachable_kg_ha = 1;   ///< N_r, per layer
  double root_scale_mm = 220;     ///< z_r
  double shade = 0.7;             ///< s_c of the canopy in the soil's heat balance
};

/// A plant at another age than its entry means: its crown, and the parameters that differ.
struct PlantSize {
  double crown_m2 = 1;
  std::map<std::string, double> parameters;
};

enum class Hunger { greedy, moderate, frugal };
/// As a catalogue entry writes it.
const char* name_of(Hunger hunger);

struct Plant {
  Origin origin;
  std::string id, title, botanical;
  std::vector<std::string> also;  ///< what else people call it
  std::string model;              ///< demand model of a plugin
  std::map<std::string, double> parameters;
  std::vector<Table> tables;  ///< measured curves, by name, for models that read them
  PlantHost host;
  Hunger hunger = Hunger::moderate;
  double crown_m2 = 1;                     ///< default ground under one plant's leaves
  std::map<std::string, PlantSize> sizes;  ///< by name, such as "first-year" or "old-clump"
  std::vector<std::string> cautions;
  std::map<std::string, std::string> sources;
};

struct Catalogue {
  std::map<std::string, Material> materials;
  std::map<std::string, Plant> plants;
  std::map<std::string, std::string> cautions;  ///< key to one line with what to do
};

}  // namespace leafhunger
