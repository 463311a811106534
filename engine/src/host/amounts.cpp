// Amounts as people measure them, in grams.
#include "leafhunger/scenario.hpp"

namespace leafhunger {

namespace {

double weighed_or(const std::map<std::string, double>& weighed_g, const Material& material, double otherwise_g) {
  const auto own = weighed_g.find(material.id);
  return own != weighed_g.end() ? own->second : otherwise_g;
}

}  // namespace

double grams_per_measure(const Scenario& scenario, const Material& material, Amount::Measure measure) {
  const double grams_per_ml = weighed_or(scenario.litre_g, material, material.bulk_density_kg_m3) / 1000;  // 1 kg/m3 is 1 g/l
  switch (measure) {
    case Amount::Measure::grams:
      return 1;
    case Amount::Measure::kilograms:
      return 1000;
    case Amount::Measure::millilitres:
      return grams_per_ml;
    case Amount::Measure::litres:
      return 1000 * grams_per_ml;
    case Amount::Measure::handfuls:
      return weighed_or(scenario.handful_g, material, scenario.handful_ml * grams_per_ml);
    case Amount::Measure::trowels:
      return weighed_or(scenario.trowel_g, material, scenario.trowel_ml * grams_per_ml);
  }
  return 1;
}

}  // namespace leafhunger
