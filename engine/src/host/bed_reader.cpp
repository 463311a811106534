// Beds: ground or pot, mulch, watering, and what grows there.
#include <algorithm>
#include <map>
#include <numbers>

#include "host/catalogue_entries.hpp"
#include "host/scenario_parts.hpp"
#include "host/words.hpp"

namespace leafhunger::input {

namespace {

constexpr double k_most_soil_depth_mm = 10000;   // heat is followed to 10 m
constexpr double k_counted_organic_percent = 6;  // what lies above frees no more nitrogen in this model (equations.md 13.17, a guess)
constexpr double k_least_gap = 0.01;             // between wilting, field capacity and porosity, m3/m3: below it nothing is held
constexpr double k_room = 1e-9;                  // share by which sums of areas may differ

std::vector<std::string> texture_names() {
  std::vector<std::string> names;
  for (const auto& texture : textures()) names.emplace_back(texture.name);
  return names;
}

const Texture& read_texture(const JsonFields& f, std::string_view key, std::string_view fallback) {
  constexpr std::string_view hint = "roll a damp crumb: gritty is sandy, silky is silty, one that polishes is clay, between them is loam";
  const auto names = texture_names();
  if (!f.has(key) && !fallback.empty()) return *find_texture(fallback);
  return textures()[f.choice(key, names, hint)];
}

/// Names already given, and where, so that a second use can point at the first.
class UniqueNames {
 public:
  explicit UniqueNames(std::string kind) : kind_(std::move(kind)) {}
  void add(const JsonNode& node, const std::string& name) {
    const auto [first, fresh] = places_.emplace(name, to_words(node.value().place));
    if (!fresh) {
      node.refuse("the name " + in_quotes(name) + " a second time", "a name of its own for each " + kind_,
                  "it stands first at " + first->second + "; rename one of the two");
    }
  }

 private:
  std::string kind_;
  std::map<std::string, std::string> places_;
};

std::vector<double> read_layers(const JsonNode& node) {
  std::vector<double> layers_mm;
  double depth_mm = 0;
  for (const auto& layer : node.list(1, 20, "layers")) {
    layers_mm.push_back(layer.number({10, 2000, "mm"}, "make each layer at least 10 mm thick; leave the key out for the usual four"));
    depth_mm += layers_mm.back();
  }
  if (depth_mm > k_most_soil_depth_mm) {
    node.refuse("layers of " + plain(depth_mm) + " mm in all", "at most " + plain(k_most_soil_depth_mm) + " mm in all",
                "leave deep layers out; no root goes there");
  }
  return layers_mm;
}

/// The user's own water figures over the texture's. They must leave room between wilting, field capacity and porosity.
void override_water(const JsonFields& f, const Texture& texture, Soil& soil) {
  constexpr std::string_view hint = "write the share of the soil's volume, such as 0.27; leave the key out to keep the texture's own";
  const double wp = f.number_or(texture.theta_wp, "wilting_point", {0.01, 0.6, "of the volume"}, hint);
  const double fc = f.number_or(texture.theta_fc, "field_capacity", {0.02, 0.9, "of the volume"}, hint);
  const double sat = f.number_or(texture.theta_sat, "porosity", {0.1, 0.98, "of the volume"}, hint);
  if (!(fc - wp >= k_least_gap && sat - fc >= k_least_gap)) {
    const char* key = f.has("field_capacity") ? "field_capacity" : f.has("wilting_point") ? "wilting_point" : "porosity";
    f.require(key, "", "")
        .refuse("wilting point " + plain(wp) + ", field capacity " + plain(fc) + " and porosity " + plain(sat),
                "each of the three at least " + plain(k_least_gap) + " above the one before",
                "check the three against each other; those left out are the texture's own");
  }
  soil.theta_wp.assign(soil.layers(), wp);
  soil.theta_fc.assign(soil.layers(), fc);
  soil.theta_sat.assign(soil.layers(), sat);
  // Readily evaporable water keeps its share of what can evaporate at all (FAO-56 eq 73: field capacity less half of wilting), or it could
  // exceed it. Our own guess.
  soil.rew_mm = texture.rew_mm * (fc - 0.5 * wp) / (texture.theta_fc - 0.5 * texture.theta_wp);
}

double read_organic(const JsonFields& f, double fallback, const std::string& bed, Scenario& scenario) {
  const double percent = f.number_or(fallback, "organic_matter_percent", {0, 60, "percent of the dry weight"},
                                     "take it from a soil test; garden loam has about 3");
  if (percent > k_counted_organic_percent) {
    scenario.notes.push_back(bed + ": organic matter above 6 % counts as 6 % for the nitrogen that it frees");
  }
  return percent;
}

void read_soil(const JsonNode& node, Bed& bed, Scenario& scenario) {
  const JsonFields f = node.group({"texture", "organic_matter_percent", "layers_mm", "ph", "field_capacity", "wilting_point", "porosity"});
  const Texture& texture = read_texture(f, "texture", "");
  const double organic = read_organic(f, 3, bed.name, scenario);
  const auto layers = f.find("layers_mm");
  bed.texture = texture.name;
  bed.soil = layers ? make_soil(texture, organic, read_layers(*layers)) : make_soil(texture, organic);
  bed.soil.ph = f.number_or(bed.soil.ph, "ph", {3, 9.5, ""}, "take it from a soil test");
  override_water(f, texture, bed.soil);
}

void read_container(const JsonNode& node, Bed& bed, Scenario& scenario) {
  const JsonFields f = node.group({"depth_mm", "diameter_mm", "mix", "organic_matter_percent"});
  const double depth_mm = f.number("depth_mm", {100, 1500, "mm"}, "measure the mix from its top to the pot's base, in millimetres");
  const double diameter_m = f.number("diameter_mm", {100, 3000, "mm"}, "measure across the top of the mix, in millimetres") / 1000;
  const Texture& texture = read_texture(f, "mix", "loam");
  bed.texture = texture.name;
  bed.soil = make_container(texture, read_organic(f, 0, bed.name, scenario), depth_mm, diameter_m);
  bed.area_m2 = std::numbers::pi * diameter_m * diameter_m / 4;
}

Mulch read_mulch(const JsonNode& node) {
  constexpr double k_conductivity[] = {0.15, 0.2, 0.3};  // W/m/K, guesses (equations.md 2.4)
  const JsonFields f = node.group({"depth_mm", "cover_percent", "kind"});
  Mulch mulch;
  mulch.depth_mm = f.number("depth_mm", {0, 300, "mm"}, "measure how thick it lies, in millimetres");
  mulch.cover_frac =
      f.number_or(100, "cover_percent", {0, 100, "percent of the ground"}, "judge by eye how much of the ground it covers") / 100;
  mulch.conductivity_w_m_k = k_conductivity[f.choice_or(2, "kind", {"straw", "chips", "rotted"}, "say what it is made of")];
  return mulch;
}

WateringRule read_watering(const JsonNode& node) {
  const JsonFields f = node.group({"when_below_percent", "give_mm"});
  WateringRule rule;
  rule.below_frac = f.number("when_below_percent", {1, 100, "percent of the water that roots can use"},
                             "say how dry the soil may become before it is watered; 50 is usual") /
                    100;
  rule.give_mm = f.number("give_mm", {0.1, 100, "mm"}, "say how much is given each time; 1 mm is 1 litre on a square metre");
  return rule;
}

Planting read_planting(const JsonNode& node, const Scenario& scenario, UniqueNames& names) {
  const JsonFields f = node.group({"name", "plant", "count", "crown_m2", "ground_m2"});
  Planting p;
  p.name = f.name("name", 80, "give the planting the name that you use for it");
  names.add(f.require("name", "", ""), p.name);
  const JsonNode plant = f.require("plant", "the name of a plant in the catalogue", "say what grows there");
  p.plant = plant.text(1, 60, "name a plant of the catalogue");
  plant.require_known(p.plant, names_of(scenario.catalogue.plants), "plant", "in the catalogue");
  p.count = f.integer_or(1, "count", {1, 10000, "plants"}, "count the plants");
  p.crown_m2 = f.number_or(scenario.catalogue.plants.at(p.plant).crown_m2, "crown_m2", {0.005, 400, "m2"},
                           "write the ground that one full-grown plant's leaves cover, in square metres");
  p.ground_m2 = f.maybe_number("ground_m2", {0.005, 100000, "m2"}, "write the ground that they all feed from together, in square metres");
  return p;
}

/// Ground that the gardener gave to plantings must fit into the bed and leave some for the others.
void check_ground(const JsonFields& f, const Bed& bed) {
  double given_m2 = 0;
  bool others = false;
  for (const auto& p : bed.plantings) {
    given_m2 += p.ground_m2.value_or(0);
    others = others || !p.ground_m2;
  }
  const double most_m2 = bed.area_m2 * (others ? 1 - k_room : 1 + k_room);
  if (given_m2 == 0 || given_m2 <= most_m2) return;
  f.require("plantings", "", "")
      .refuse("ground_m2 of " + plain(given_m2) + " m2 in all",
              (others ? "less than " : "at most ") + plain(bed.area_m2) + " m2, the area of " + in_quotes(bed.name),
              others ? "leave ground for the plantings that name none" : "check the ground against the bed's area");
}

Bed read_bed(const JsonNode& node, Scenario& scenario, UniqueNames& bed_names, UniqueNames& planting_names) {
  const JsonFields f = node.group({"name", "area_m2", "soil", "container", "mulch", "watering", "plantings"});
  Bed bed;
  bed.name = f.name("name", 80, "give the bed the name that you use for it");
  bed_names.add(f.require("name", "", ""), bed.name);
  const std::string ground = f.exactly_one({"soil", "container"}, "a bed is open ground (\"soil\") or a pot (\"container\")");
  if (ground == "soil") {
    bed.area_m2 = f.number("area_m2", {0.05, 100000, "m2"}, "measure the bed and write its area in square metres");
    read_soil(*f.find("soil"), bed, scenario);
  } else {
    if (const auto area = f.find("area_m2")) {
      area->refuse("an area beside a container", "no area_m2 there", "take it out; the pot's area follows from its diameter");
    }
    read_container(*f.find("container"), bed, scenario);
  }
  if (const auto mulch = f.find("mulch")) bed.mulch = read_mulch(*mulch);
  if (const auto watering = f.find("watering")) bed.watering = read_watering(*watering);
  const JsonNode plantings = f.require("plantings", "a list of 0 to 50 plantings", "write [ ] where nothing grows");
  for (const auto& planting : plantings.list(0, 50, "plantings")) {
    bed.plantings.push_back(read_planting(planting, scenario, planting_names));
  }
  check_ground(f, bed);
  return bed;
}

}  // namespace

std::vector<Bed> read_beds(const JsonNode& node, Scenario& scenario) {
  std::vector<Bed> beds;
  UniqueNames bed_names("bed"), planting_names("planting in the whole garden");
  for (const auto& bed : node.list(1, 50, "beds")) beds.push_back(read_bed(bed, scenario, bed_names, planting_names));
  return beds;
}

}  // namespace leafhunger::input
