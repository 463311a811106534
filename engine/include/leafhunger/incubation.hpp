// A jar on a shelf: what a material frees at constant warmth and moisture, with no plant, no leaching and no loss to the air, in soil with
// mineral nitrogen in plenty. The same column as in a garden, with everything else switched off: no second formula.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "leafhunger/plugin.h"

namespace leafhunger {

/// One jar for each temperature, looked at on each of the days.
struct JarQuestion {
  std::vector<double> temperature_c;  ///< -20 to 60
  std::vector<int> days;              ///< 0 (just mixed in) to 3650, in any order
  std::optional<double> wfps_frac;    ///< share of pores that hold water, above 0 and at most 1; none: field capacity
  std::string texture = "loam";       ///< of the soil in the jar, a name of textures()
};

/// Share of the N given that is mineral (ammonium and nitrate), [temperature][day]. Below 0 where microbes hold more than the material
/// brought: tied up. `parameter`: one set of the model's parameters, in its order. Throws InputError for a question outside its bounds,
/// PluginError where the model fails.
std::vector<double> incubate(const lh_release& model, const std::vector<double>& parameter, const JarQuestion& question);

}  // namespace leafhunger
