// Materials as entries of a catalogue or of a scenario.
#include <algorithm>
#include <cmath>
#include <limits>

#include "host/catalogue_entries.hpp"
#include "host/words.hpp"
#include "leafhunger/label.hpp"
#include "leafhunger/response.hpp"
#include "leafhunger/units.hpp"

namespace leafhunger::input {

namespace {

constexpr std::string_view k_from_label = "copy it from the bag's label";
constexpr std::string_view k_usual = "leave the key out to keep the usual value";

/// Phosphorus and potassium stand on the bag as oxide or as element: either, not both. Kept as oxide.
double read_oxide(const JsonFields& f, const char* oxide, const char* element, const Range& of_element, double (*oxide_from)(double)) {
  if (!f.has(element)) return f.number_or(0, oxide, {0, 100, "percent of the weight"}, k_from_label);
  if (f.has(oxide)) {
    f.require(element, "", "")
        .refuse("both " + in_quotes(oxide) + " and " + in_quotes(element), "one of the two",
                "keep the one that the bag prints; the other follows from it");
  }
  return oxide_from(f.number(element, of_element, k_from_label));
}

SurfaceConstants read_surface(const JsonFields& fields) {
  SurfaceConstants surface;
  const auto node = fields.find("surface");
  if (!node) return surface;
  const JsonFields f = node->group({"volatile_per_day", "fixed_per_day", "ph_factor", "dissolved_wash_mm", "lost_at_once_frac"});
  surface.volatile_per_day = f.number_or(surface.volatile_per_day, "volatile_per_day", {0, 10, "per day"}, k_usual);
  surface.fixed_per_day = f.number_or(surface.fixed_per_day, "fixed_per_day", {0, 10, "per day"}, k_usual);
  surface.ph_factor = f.number_or(surface.ph_factor, "ph_factor", {0, 10, ""}, k_usual);
  surface.dissolved_wash_mm =
      f.number_or(surface.dissolved_wash_mm, "dissolved_wash_mm", {0.1, 1000, "mm of rain"}, k_usual);  // else by form
  surface.lost_at_once_frac =
      f.number_or(surface.lost_at_once_frac, "lost_at_once_frac", {0, 1, "of the ammonium"},
                  "write the share of its ammonium that is lost as it is spread; 0.2 is usual for wet fresh manure");
  return surface;
}

std::string read_origin(const JsonFields& f) {
  if (!f.has("origin")) return {};
  std::vector<std::string> words;
  for (const auto& origin : label_origins()) words.emplace_back(origin.word);
  return words[f.choice("origin", words, "say in one of these words what it came from, or leave the key out")];
}

std::map<std::string, double> read_spread(const JsonFields& fields) {
  std::map<std::string, double> spread;
  const auto node = fields.find("spread");
  if (!node) return spread;
  for (const auto& entry : node->entries()) {
    entry.require_snake("parameter");
    spread[entry.key] = entry.value.number({0, 1e12, ""}, "write the figure after the sign ±, in the parameter's own unit");
  }
  return spread;
}

/// The law of that name; the nearest is named where there is none.
template <class Law>
std::string read_law(const JsonFields& f, const char* key, const std::vector<Law>& laws) {
  if (!f.has(key)) return {};
  std::vector<std::string> names;
  for (const Law& law : laws) names.emplace_back(law.name);
  return names[f.choice(key, names, "\"leafhunger plugins --responses\" lists them with their formulas")];
}

/// A law of warmth that hangs on `q` must be given one that makes sense: Q10 is a ratio, Ea some tens of kJ/mol.
void check_q(const JsonFields& f, const ResponseChoice& choice) {
  const TemperatureResponse* law = find_temperature_response(choice.temperature);
  if (!law) return;
  const std::string name = in_quotes(law->name);
  constexpr double k_nan = std::numeric_limits<double>::quiet_NaN();
  if (std::isnan(law->value(choice.reference_c + 1, choice.reference_c, k_nan)) && !f.has("q")) {
    f.node().refuse("no key \"q\", though the law " + name + " needs it", "a number for q in " + std::string(law->formula),
                    "add what its formula calls Q, Ea or Tb");
  }
  if (choice.temperature == "q10")
    f.number_or(choice.q, "q", {1, 10, "for Q10"}, "Q10 is a ratio, mostly 1.5 to 3; an energy belongs to \"arrhenius\"");
  if (!std::isfinite(law->value(choice.reference_c, choice.reference_c, choice.q))) {
    f.require("q", "", "")
        .refuse(plain(choice.q), "a base temperature below reference_c for the law " + name, "write the temperature at which it stops");
  }
}

ResponseChoice read_response(const JsonNode& node) {
  const JsonFields f = node.group({"temperature", "moisture", "reference_c", "q"});
  ResponseChoice choice;
  choice.temperature = read_law(f, "temperature", temperature_responses());
  choice.moisture = read_law(f, "moisture", moisture_responses());
  choice.reference_c = f.number_or(choice.reference_c, "reference_c", {-20, 60, "degC"}, "write the warmth at which the rate is stated");
  choice.q = f.number_or(choice.q, "q", {-20, 200, ""}, "write what the law's formula calls Q, Ea or Tb");
  check_q(f, choice);
  if (choice.temperature.empty() && choice.moisture.empty()) {
    node.refuse("a choice of no law", "\"temperature\", \"moisture\" or both", "name a law, or take the group out");
  }
  return choice;
}

/// Which groups there are is the model's business and checked once it is loaded.
std::map<std::string, ResponseChoice> read_responses(const JsonFields& fields) {
  std::map<std::string, ResponseChoice> responses;
  const auto node = fields.find("responses");
  if (!node) return responses;
  for (const auto& entry : node->entries()) {
    const bool plain_words = !entry.key.empty() && entry.key.size() <= 60 && std::all_of(entry.key.begin(), entry.key.end(), [](char c) {
      return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == ' ' || c == '-';
    });
    if (!plain_words) {
      entry.at_key.refuse("the group " + in_quotes(entry.key), "what of the model hangs on warmth and moisture, such as \"decay\"",
                          "write it as its plugin lists it, in small letters");
    }
    responses[entry.key] = read_response(entry.value);
  }
  return responses;
}

double read_conductivity(const JsonFields& f, const Material& m) {
  const auto node = f.find("conductivity_w_m_k");
  if (!node) return m.conductivity_w_m_k;
  const double value = node->number({0.02, 2, "W/m/K"}, "dry straw 0.15, chips 0.2, rotted matter 0.3");
  if (m.form != Form::bulky) {
    node->refuse("how a mulch conducts heat, for what is no mulch", "the key only beside \"form\": \"bulky\"",
                 "take the key out, or call it bulky");
  }
  return value;
}

/// Carbon cannot weigh more than the dry matter that holds it.
void check_carbon(const JsonFields& f, const Material& m) {
  const double carbon_percent = m.n_percent * m.carbon_to_nitrogen;
  if (carbon_percent <= m.dry_matter_percent) return;
  f.require("carbon_to_nitrogen", "", "")
      .refuse("a carbon to nitrogen ratio of " + plain(m.carbon_to_nitrogen) + ", which makes " + plain(carbon_percent) + " % carbon",
              "at most " + plain(m.dry_matter_percent) + " % carbon, the dry matter",
              "check nitrogen, the ratio and dry matter against each other");
}

Material read_material(const std::string& id, const JsonNode& node, const std::vector<std::string>& cautions) {
  const JsonFields f = node.group({"title",
                                   "also",
                                   "model",
                                   "n_percent",
                                   "ammonium_frac",
                                   "p2o5_percent",
                                   "p_percent",
                                   "k2o_percent",
                                   "k_percent",
                                   "carbon_to_nitrogen",
                                   "dry_matter_percent",
                                   "form",
                                   "bulk_density_kg_m3",
                                   "conductivity_w_m_k",
                                   "price_per_kg",
                                   "bag_kg",
                                   "origin",
                                   "parameters",
                                   "spread",
                                   "responses",
                                   "surface",
                                   "cautions",
                                   "sources"});
  Material m;
  m.id = id;
  m.origin = {node.file(), node.place(), {}};
  m.title = f.name("title", 120, "say what it is, as on its bag");
  m.also = read_also(f);
  m.model = f.id("model", "name a release plugin; \"leafhunger plugins\" lists them");
  m.n_percent =
      f.number("n_percent", {0, 100, "percent of the weight", true}, "copy the N figure from the bag; leave out what holds no nitrogen");
  m.ammonium_frac = f.number_or(0, "ammonium_frac", {0, 1, "of the nitrogen"},
                                "divide the bag's ammonium nitrogen by its total nitrogen; leave the key out where it says none");
  m.p2o5_percent =
      read_oxide(f, "p2o5_percent", "p_percent", {0, 43.6, "percent of the weight"}, [](double p) { return units::p2o5_from_p(p); });
  m.k2o_percent =
      read_oxide(f, "k2o_percent", "k_percent", {0, 83, "percent of the weight"}, [](double k) { return units::k2o_from_k(k); });
  m.carbon_to_nitrogen = f.number_or(0, "carbon_to_nitrogen", {0, 1000, ""}, "write kilograms of carbon for each kilogram of nitrogen");
  m.dry_matter_percent =
      f.number_or(m.dry_matter_percent, "dry_matter_percent", {0, 100, "percent of the weight", true}, "write what is left after drying");
  m.form = static_cast<Form>(f.choice("form", {"powder", "pellet", "granule", "liquid", "bulky"}, "say how it lies on the ground"));
  m.bulk_density_kg_m3 = f.number("bulk_density_kg_m3", {10, 5000, "kg/m3"}, "weigh a full litre: its grams are the figure");
  m.conductivity_w_m_k = read_conductivity(f, m);
  m.bag_kg = f.number_or(0, "bag_kg", {0.05, 2000, "kg"}, "write what a full bag weighs; leave it out for what is sold loose");
  m.price_per_kg = f.number("price_per_kg", {0, 10000, "per kg"}, "write the price of a bag divided by its weight; 0 where it was free");
  m.origin_word = read_origin(f);
  if (f.has("parameters") || m.origin_word.empty()) {
    m.parameters = read_parameters(f.require("parameters", "a group in braces { }, or \"origin\" in its place",
                                             "write { } to keep the plugin's usual values, or say what it came from"),
                                   m.origin);
  }
  m.spread = read_spread(f);
  m.responses = read_responses(f);
  m.surface = read_surface(f);
  m.cautions = read_caution_keys(f, cautions);
  m.sources = read_sources(f);
  check_carbon(f, m);
  estimate_from_label(m);
  return m;
}

}  // namespace

std::map<std::string, Material> read_materials(const JsonNode& node, const std::vector<std::string>& cautions) {
  std::map<std::string, Material> out;
  for (const auto& entry : node.entries()) {
    entry.require_id("material");
    out.emplace(entry.key, read_material(entry.key, entry.value, cautions));
  }
  return out;
}

}  // namespace leafhunger::input
