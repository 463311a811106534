// Materials and plants as entries of a catalogue or of a scenario.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "host/json_fields.hpp"
#include "leafhunger/catalogue.hpp"

namespace leafhunger::input {

/// A group of materials, each under its id. `cautions` are the keys that they may name.
std::map<std::string, Material> read_materials(const JsonNode& node, const std::vector<std::string>& cautions);
/// A group of plants, each under its id.
std::map<std::string, Plant> read_plants(const JsonNode& node, const std::vector<std::string>& cautions);
/// A group of caution texts, each under its key.
std::map<std::string, std::string> read_cautions(const JsonNode& node);

/// What materials and plants share: numbers by the plugin's names (any number, since bounds are the plugin's business; places go to
/// `origin`), keys of known cautions, and where each figure comes from.
std::map<std::string, double> read_parameters(const JsonNode& node, Origin& origin);
std::vector<std::string> read_caution_keys(const JsonFields& fields, const std::vector<std::string>& known);
std::map<std::string, std::string> read_sources(const JsonFields& fields);
/// "also": what else people call it.
std::vector<std::string> read_also(const JsonFields& fields);

template <class T>
std::vector<std::string> names_of(const std::map<std::string, T>& entries) {
  std::vector<std::string> names;
  for (const auto& [name, entry] : entries) names.push_back(name);
  return names;
}

}  // namespace leafhunger::input
