// What a gardener calls a thing, against what the catalogue calls it: "banana", "chicken pellets", "horse muck".
#pragma once

#include <map>
#include <string>
#include <vector>

#include "leafhunger/catalogue.hpp"

namespace leafhunger {

/// Names that an entry answers to: id first, then title, botanical name and what else people say.
std::vector<std::string> names_of_entry(const Material& material);
std::vector<std::string> names_of_entry(const Plant& plant);

/// Entries that may be meant.
struct Called {
  std::vector<std::string> ids;  ///< one whose name it is, whole, stands first; then the catalogue's order
  bool exact = false;            ///< the first is such a one
};
/// Those in whose names each word said begins a word; case, hyphens and a plural s do not matter. An empty text means all.
Called materials_called(const Catalogue& catalogue, const std::string& said);
Called plants_called(const Catalogue& catalogue, const std::string& said);
/// Id of the entry whose name that is, whole ("bananas" is "banana"); empty where it is no entry's.
std::string entry_named(const std::map<std::string, Material>& materials, const std::string& said);
std::string entry_named(const std::map<std::string, Plant>& plants, const std::string& said);
/// Id of the entry that was meant where no id reads so: the one with that name, else the one with the nearest; empty where none is near.
std::string nearest_entry(const std::map<std::string, Material>& materials, const std::string& said);
std::string nearest_entry(const std::map<std::string, Plant>& plants, const std::string& said);
/// Ids of the three entries nearest to what nothing is called; `known` has the id that each name belongs to.
std::vector<std::string> nearest_three(const std::string& said, std::map<std::string, std::string> known);
/// Every name of every entry, for it.
std::map<std::string, std::string> every_name(const std::map<std::string, Material>& materials);
std::map<std::string, std::string> every_name(const std::map<std::string, Plant>& plants);

/// The one material or plant that is meant. Throws InputError at `file`, `place` where several are (they are listed) or none is (the three
/// nearest are).
std::string material_called(const Catalogue& catalogue, const std::string& said, const std::string& file, const std::string& place);
std::string plant_called(const Catalogue& catalogue, const std::string& said, const std::string& file, const std::string& place);

}  // namespace leafhunger
