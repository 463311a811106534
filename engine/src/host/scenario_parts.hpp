// The larger parts of a scenario, each read by its own file.
#pragma once

#include <vector>

#include "host/json_fields.hpp"
#include "leafhunger/scenario.hpp"

namespace leafhunger::input {

/// Repeats within a season.
struct Again {
  int every_days;
  MonthDay until;
};
/// Reads "again" of something that is first done on `on`; `what` says what: "feeding".
Again read_again(const JsonNode& node, const Site& site, MonthDay on, const std::string& what);

/// Reads the "beds" list. Needs scenario.catalogue and .site; adds notes.
std::vector<Bed> read_beds(const JsonNode& node, Scenario& scenario);
/// Reads the "feedings" list. Needs scenario.catalogue, .beds and .site.
std::vector<Feeding> read_feedings(const JsonNode& node, const Scenario& scenario);

}  // namespace leafhunger::input
