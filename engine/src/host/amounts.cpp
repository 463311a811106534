// Amounts as people measure them, in grams.
#include "leafhunger/scenario.hpp"

namespace leafhunger {

double grams_per_measure(const Scenario& scenario, const Material& material, Amount::Measure measure) {
  const double grams_per_ml = material.bulk_density_kg_m3 / 1000;  // 1 kg/m3 is 1 g/l
  switch (measure) {
    case Amount::Measure::grams:
      return 1;
    case Amount::Measure::kilograms:
      return 1000;
    case Amount::Measure::millilitres:
      return grams_per_ml;
    case Amount::Measure::litres:
      return 1000 * grams_per_ml;
    case Amount::Measure::handfuls: {
      const auto weighed = scenario.handful_g.find(material.id);
      return weighed != scenario.handful_g.end() ? weighed->second : scenario.handful_ml * grams_per_ml;
    }
    case Amount::Measure::trowels:
      return scenario.trowel_ml * grams_per_ml;
  }
  return 1;
}

}  // namespace leafhunger
