// The jar of incubation.hpp for a material as the host prepared it. Private to the engine.
#pragma once

#include "column.hpp"
#include "leafhunger/incubation.hpp"

namespace leafhunger {

/// As the public incubate(), with the responses that the material's entry chose and its dry matter.
std::vector<double> incubate(const lh_release& model, const SlotMaterial& material, const JarQuestion& question);

}  // namespace leafhunger
