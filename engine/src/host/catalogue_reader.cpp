// The catalogue's three files.
#include <filesystem>

#include "host/catalogue_entries.hpp"
#include "leafhunger/reader.hpp"

namespace leafhunger {

namespace {

using namespace input;

/// Reads {"format": 1, SECTION: {...}} and hands SECTION to `read`.
template <class Read>
auto read_section(const std::string& dir, const std::string& section, Read&& read) {
  const JsonDocument document = read_json((std::filesystem::path(dir) / (section + ".json")).string(), "a catalogue file (JSON)");
  const JsonFields fields = JsonNode(document).group({"format", section});
  fields.integer("format", {1, 1, ""}, "write \"format\": 1, the one that this version reads");
  return read(fields.require(section, "a group in braces { }", "write the entries by name between braces"));
}

}  // namespace

Catalogue read_catalogue(const std::string& catalogue_dir) {
  Catalogue catalogue;
  catalogue.cautions = read_section(catalogue_dir, "cautions", [](const JsonNode& node) { return read_cautions(node); });
  const auto cautions = names_of(catalogue.cautions);
  catalogue.materials = read_section(catalogue_dir, "materials", [&](const JsonNode& node) { return read_materials(node, cautions); });
  catalogue.plants = read_section(catalogue_dir, "plants", [&](const JsonNode& node) { return read_plants(node, cautions); });
  return catalogue;
}

}  // namespace leafhunger
