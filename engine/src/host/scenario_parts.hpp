// The larger parts of a scenario, each read by its own file.
#pragma once

#include <vector>

#include "host/json_fields.hpp"
#include "leafhunger/scenario.hpp"

namespace leafhunger::input {

/// Reads the "beds" list. Needs scenario.catalogue; adds notes.
std::vector<Bed> read_beds(const JsonNode& node, Scenario& scenario);
/// Reads the "feedings" list. Needs scenario.catalogue, .beds and .site.
std::vector<Feeding> read_feedings(const JsonNode& node, const Scenario& scenario);

}  // namespace leafhunger::input
