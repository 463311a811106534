// Beds: ground or pot, mulch, watering, and what grows there.
#include <algorithm>
#include <cmath>
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
constexpr double k_least_water_mm = 0.1, k_most_water_mm = 200;  // of one watering

template <class Named>
std::vector<std::string> table_names(const std::vector<Named>& table) {
  std::vector<std::string> names;
  for (const auto& row : table) names.emplace_back(row.name);
  return names;
}

const Texture& read_texture(const JsonFields& f) {
  constexpr std::string_view hint = "roll a damp crumb: gritty is sandy, silky is silty, one that polishes is clay, between them is loam";
  return textures()[f.choice("texture", table_names(textures()), hint)];
}

const Texture& read_mix(const JsonFields& f) {
  if (!f.has("mix")) return *find_texture("loam");
  return mixes()[f.choice("mix", table_names(mixes()), "say what the pot is filled with; bought compost is \"potting mix\"")];
}

const PotWall& read_wall(const JsonFields& f) {
  return pot_walls()[f.choice_or(0, "wall", table_names(pot_walls()), "say what the pot is made of")];
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
  constexpr std::string_view hint = "write the share of the volume, such as 0.27; leave the key out to keep the texture's own";
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
  const JsonFields f = node.group({"texture", "organic_matter_percent", "layers_mm", "ph", "field_capacity", "wilting_point", "porosity",
                                   "rise_mm_per_day", "saturated_conductivity_mm_per_day", "heat"});
  const Texture& texture = read_texture(f);
  const double organic = read_organic(f, 3, bed.name, scenario);
  const auto layers = f.find("layers_mm");
  bed.texture = texture.name;
  bed.soil = layers ? make_soil(texture, organic, read_layers(*layers)) : make_soil(texture, organic);
  bed.soil.ph = f.number_or(bed.soil.ph, "ph", {3, 9.5, ""}, "take it from a soil test");
  override_water(f, texture, bed.soil);
  bed.soil.rise_mm_per_day =
      f.number_or(0, "rise_mm_per_day", {0, 5, "mm a day"}, "leave the key out unless ground water stands near; 1 is much");
  bed.soil.k_sat_mm_per_day = f.number_or(0, "saturated_conductivity_mm_per_day", {1, 10000, "mm a day"},
                                          "leave the key out where a hole full of water empties overnight");
  bed.heat.moist_properties = f.choice_or(0, "heat", {"constant", "with-water"}, "leave the key out for the usual, constant") == 1;
  bed.heat.conductivity_w_m_k = texture.conductivity_w_m_k;
  bed.heat.capacity_mj_m3_k = texture.capacity_mj_m3_k;
}

struct PotSize {
  double depth_mm = 0, diameter_m = 0;
};

// As measured, or by what the trade sells it as: "a 35-litre pot". A volume alone is as deep as it is wide, which is about so of pots that
// taper (our own guess: one of 35 litres is sold as 34 cm high and 40 across its rim).
PotSize read_pot_size(const JsonFields& f) {
  constexpr Range k_depth{100, 1500, "mm"}, k_diameter{100, 3000, "mm"};
  if (!f.has("litres"))
    return {f.number("depth_mm", k_depth, "measure the mix from its top to the pot's base, in millimetres; or give its \"litres\""),
            f.number("diameter_mm", k_diameter, "measure across the top of the mix, in millimetres; or give its \"litres\"") / 1000};
  constexpr std::string_view hint = "the size it is sold by, such as 35; or measure its depth_mm and diameter_mm";
  const double mm3 = f.number("litres", {1, 10000, "litres"}, hint) * 1e6;
  const auto depth = f.maybe_number("depth_mm", k_depth, "measure the mix from its top to the pot's base, in millimetres");
  const auto across = f.maybe_number("diameter_mm", k_diameter, "measure across the top of the mix, in millimetres");
  const JsonNode at = f.require("litres", "", "");
  if (depth && across) at.refuse("a volume beside depth_mm and diameter_mm", "two of the three at most", "take \"litres\" out");
  const double diameter_mm = across  ? *across
                             : depth ? std::sqrt(4 * mm3 / (std::numbers::pi * *depth))
                                     : std::cbrt(4 * mm3 / std::numbers::pi);
  const double depth_mm = depth ? *depth : across ? 4 * mm3 / (std::numbers::pi * *across * *across) : diameter_mm;
  if (depth_mm < k_depth.low || depth_mm > k_depth.high || diameter_mm < k_diameter.low || diameter_mm > k_diameter.high)
    at.refuse("a pot of " + plain(std::round(depth_mm)) + " mm depth and " + plain(std::round(diameter_mm)) + " mm across",
              to_words(k_depth) + " deep, " + to_words(k_diameter) + " across", "check the litres against what was measured");
  return {depth_mm, diameter_mm / 1000};
}

void read_container(const JsonNode& node, Bed& bed, Scenario& scenario) {
  const JsonFields f = node.group({"litres", "depth_mm", "diameter_mm", "mix", "organic_matter_percent", "field_capacity", "wilting_point",
                                   "porosity", "wall", "in_shade"});
  const auto [depth_mm, diameter_m] = read_pot_size(f);
  const Texture& texture = read_mix(f);
  bed.texture = texture.name;
  bed.soil = make_container(texture, read_organic(f, 0, bed.name, scenario), depth_mm, diameter_m);
  override_water(f, texture, bed.soil);
  bed.heat.conductivity_w_m_k = texture.conductivity_w_m_k;
  bed.heat.capacity_mj_m3_k = texture.capacity_mj_m3_k;
  bed.heat.wall_u_w_m2_k = read_wall(f).u_w_m2_k();
  if (f.boolean_or(false, "in_shade", "true where the sun does not reach the pot's side, else false")) bed.heat.wall_sun_frac = 0;
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

WateringRule read_watering(const JsonNode& node, const Bed& bed) {
  const JsonFields f = node.group({"when_below_percent", "give_mm", "depth_mm"});
  WateringRule rule;
  rule.below_frac = f.number("when_below_percent", {1, 100, "percent of the water that roots can use"},
                             "say how dry the soil may become before it is watered; 50 is usual") /
                    100;
  rule.give_mm = f.number("give_mm", {0.1, 100, "mm"}, "say how much is given each time; 1 mm is 1 litre on a square metre");
  rule.depth_mm = f.maybe_number("depth_mm", {10, 10000, "mm"}, "say how deep you feel for dampness; leave the key out to go by the roots");
  if (rule.depth_mm && *rule.depth_mm > bed.soil.depth_mm()) {
    f.require("depth_mm", "", "")
        .refuse(plain(*rule.depth_mm) + " mm", "10 to " + plain(bed.soil.depth_mm()) + " mm, the depth of " + in_quotes(bed.name),
                "feel less deep, or leave the key out to go by the roots");
  }
  return rule;
}

/// What a hose or a sprinkler brings in its minutes, mm of the bed's ground. What comes out must be a watering.
double read_rate(const JsonNode& node, const char* key, const Range& rate, const char* hint, double mm_per_unit) {
  const JsonFields f = node.group({"minutes", key});
  const double minutes = f.number("minutes", {0, 1440, "minutes", true}, "say how long it runs each time");
  const double mm = minutes * f.number(key, rate, hint) * mm_per_unit;
  if (!(mm >= k_least_water_mm && mm <= k_most_water_mm)) {
    node.refuse(plain(minutes) + " minutes, which bring " + plain(std::round(mm * 1000) / 1000) + " mm",
                plain(k_least_water_mm) + " to " + plain(k_most_water_mm) + " mm",
                "check the minutes, the rate and the bed's area; 1 mm is 1 litre on a square metre");
  }
  return mm;
}

Watering read_dated_watering(const JsonNode& node, const Bed& bed, const Site& site) {
  constexpr double k_hours_per_minute = 1.0 / 60;
  const JsonFields f = node.group({"on", "again", "give_mm", "hose", "sprinkler"});
  Watering watering;
  watering.on = f.month_day("on", "write month and day, in that order");
  if (const auto repeat = f.find("again")) {
    const Again again = read_again(*repeat, site, watering.on, "watering");
    watering.every_days = again.every_days;
    watering.until = again.until;
  }
  const std::string way = f.exactly_one({"give_mm", "hose", "sprinkler"}, "say how much water it is in one way, such as \"give_mm\": 15");
  const JsonNode amount = *f.find(way);
  if (way == "give_mm") {
    watering.give_mm =
        amount.number({k_least_water_mm, k_most_water_mm, "mm"}, "say how much is given each time; 1 mm is 1 litre on a square metre");
  } else if (way == "hose") {
    watering.give_mm = read_rate(amount, "litres_per_minute", {0, 200, "litres a minute", true},
                                 "time how long the hose takes to fill a can", 1 / bed.area_m2);
  } else {
    watering.give_mm = read_rate(amount, "mm_per_hour", {0, 200, "mm an hour", true},
                                 "stand a straight-sided jar under it for an hour and measure the water", k_hours_per_minute);
  }
  return watering;
}

Planting read_planting(const JsonNode& node, const Scenario& scenario, UniqueNames& names) {
  const JsonFields f = node.group({"name", "plant", "size", "count", "crown_m2", "ground_m2"});
  Planting p;
  p.name = f.name("name", 80, "give the planting the name that you use for it");
  names.add(f.require("name", "", ""), p.name);
  const JsonNode plant = f.require("plant", "the name of a plant in the catalogue", "say what grows there");
  p.plant = plant.text(1, 60, "name a plant of the catalogue");
  plant.require_entry(p.plant, scenario.catalogue.plants);
  const Plant& entry = scenario.catalogue.plants.at(p.plant);
  double crown_m2 = entry.crown_m2;
  if (const auto size = f.find("size")) {
    p.size = size->text(1, 60, "name one of the plant's sizes");
    if (entry.sizes.empty())
      size->refuse(in_quotes(p.size), "no size here: " + p.plant + " has one only", "take it out, or write crown_m2");
    size->require_known(p.size, names_of(entry.sizes), "size", "of " + p.plant);
    crown_m2 = entry.sizes.at(p.size).crown_m2;
  }
  p.count = f.integer_or(1, "count", {1, 10000, "plants"}, "count the plants");
  p.crown_m2 =
      f.number_or(crown_m2, "crown_m2", {0.005, 400, "m2"}, "write the ground that one full-grown plant's leaves cover, in square metres");
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
  const JsonFields f = node.group({"name", "area_m2", "soil", "container", "mulch", "watering", "waterings", "plantings"});
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
  if (const auto watering = f.find("watering")) bed.watering = read_watering(*watering, bed);
  if (const auto waterings = f.find("waterings")) {
    for (const auto& watering : waterings->list(1, 50, "waterings")) {
      bed.waterings.push_back(read_dated_watering(watering, bed, scenario.site));
    }
  }
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
