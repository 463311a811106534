#include "host/catalogue_entries.hpp"

#include <algorithm>

#include "host/words.hpp"

namespace leafhunger::input {

std::map<std::string, double> read_parameters(const JsonNode& node, Origin& origin) {
  std::map<std::string, double> parameters;
  for (const auto& entry : node.entries()) {
    entry.require_snake("parameter");
    parameters[entry.key] = entry.value.number(k_any_number, "write the number alone, in the unit that \"leafhunger plugins\" lists");
    origin.parameter_places[entry.key] = entry.value.place();
  }
  return parameters;
}

std::vector<std::string> read_caution_keys(const JsonFields& fields, const std::vector<std::string>& known) {
  std::vector<std::string> keys;
  const auto node = fields.find("cautions");
  if (!node) return keys;
  for (const auto& item : node->list(0, 30, "keys of cautions")) {
    const std::string key = item.text(1, 60, "name a caution of the catalogue");
    item.require_known(key, known, "caution", "in the catalogue");
    if (std::find(keys.begin(), keys.end(), key) != keys.end()) {
      item.refuse("the caution " + in_quotes(key) + " a second time", "each caution once", "take one of the two out");
    }
    keys.push_back(key);
  }
  return keys;
}

std::vector<std::string> read_also(const JsonFields& fields) {
  std::vector<std::string> names;
  if (const auto node = fields.find("also"))
    for (const auto& item : node->list(0, 20, "names")) names.push_back(item.name(80, "write what else people call it"));
  return names;
}

std::map<std::string, std::string> read_sources(const JsonFields& fields) {
  std::map<std::string, std::string> sources;
  if (const auto node = fields.find("sources")) {
    for (const auto& entry : node->entries()) sources[entry.key] = entry.value.text(1, 2000, "say where the figure comes from");
  }
  return sources;
}

namespace {

constexpr const char* k_hunger[] = {"greedy", "moderate", "frugal"};  // in the order of Hunger

PlantHost read_host(const JsonFields& fields) {
  PlantHost h;
  const auto node = fields.find("host");
  if (!node) return h;
  const JsonFields f = node->group({"catch_up_d", "reserve_share", "reserve_per_day", "uptake_per_day", "ammonium_reach",
                                    "unreachable_kg_ha", "root_scale_mm", "shade"});
  constexpr std::string_view hint = "leave the key out to keep the usual value";
  h.catch_up_d = f.number_or(h.catch_up_d, "catch_up_d", {0.1, 60, "days"}, hint);
  h.reserve_share = f.number_or(h.reserve_share, "reserve_share", {0, 1, "of last season's nitrogen"}, hint);
  h.reserve_per_day = f.number_or(h.reserve_per_day, "reserve_per_day", {0, 5, "per day"}, hint);
  h.uptake_per_day = f.number_or(h.uptake_per_day, "uptake_per_day", {0, 5, "per day"}, hint);
  h.ammonium_reach = f.number_or(h.ammonium_reach, "ammonium_reach", {0, 1, ""}, hint);
  h.unreachable_kg_ha = f.number_or(h.unreachable_kg_ha, "unreachable_kg_ha", {0, 50, "kg/ha in each layer"}, hint);
  h.root_scale_mm = f.number_or(h.root_scale_mm, "root_scale_mm", {10, 5000, "mm"}, hint);
  h.shade = f.number_or(h.shade, "shade", {0, 1, ""}, hint);
  return h;
}

/// Measured curves: knots of x and y. Where x is a day of the year it may be written as "MM-DD".
std::vector<Table> read_tables(const JsonFields& fields) {
  std::vector<Table> tables;
  const auto node = fields.find("tables");
  if (!node) return tables;
  for (const auto& entry : node->entries()) {
    entry.require_snake("table");
    Table table{entry.key, {}, {}};
    for (const auto& knot : entry.value.list(2, 400, "knots of x and y")) {
      const auto pair = knot.list(2, 2, "numbers, x and y");
      const double x = pair[0].value().kind == JsonValue::Kind::text
                           ? day_of_year(make_date(2001, pair[0].month_day("write a day of the year as month and day")))
                           : pair[0].number(k_any_number, "write the number alone, or a day as \"MM-DD\"");
      if (!table.x.empty() && x <= table.x.back())
        pair[0].refuse(pair[0].found(), "more than the x of the knot before it", "put the knots in order, each x once");
      table.x.push_back(x);
      table.y.push_back(pair[1].number(k_any_number, "write the number alone"));
    }
    tables.push_back(std::move(table));
  }
  return tables;
}

std::map<std::string, PlantSize> read_sizes(const JsonFields& fields, Origin& origin) {
  std::map<std::string, PlantSize> sizes;
  const auto node = fields.find("sizes");
  if (!node) return sizes;
  for (const auto& entry : node->entries()) {
    entry.require_id("size");
    const JsonFields f = entry.value.group({"crown_m2", "parameters"});
    PlantSize size;
    size.crown_m2 =
        f.number("crown_m2", {0.005, 400, "m2"}, "write the ground that the leaves of one of this size cover, in square metres");
    if (const auto parameters = f.find("parameters")) size.parameters = read_parameters(*parameters, origin);
    sizes.emplace(entry.key, std::move(size));
  }
  return sizes;
}

Plant read_plant(const std::string& id, const JsonNode& node, const std::vector<std::string>& cautions) {
  const JsonFields f = node.group(
      {"title", "also", "botanical", "model", "parameters", "host", "hunger", "crown_m2", "tables", "sizes", "cautions", "sources"});
  Plant p;
  p.id = id;
  p.origin = {node.file(), node.place(), {}};
  p.title = f.name("title", 120, "say what a gardener calls it");
  p.also = read_also(f);
  p.botanical = f.text_or("", "botanical", 0, 200, "write the botanical name");
  p.model = f.id("model", "name a demand plugin; \"leafhunger plugins\" lists them");
  p.parameters = read_parameters(f.require("parameters", "a group in braces { }", "write { } to keep the plugin's usual values"), p.origin);
  p.host = read_host(f);
  p.hunger = static_cast<Hunger>(f.choice("hunger", {std::begin(k_hunger), std::end(k_hunger)}, "say how much feeding it asks for"));
  p.crown_m2 = f.number("crown_m2", {0.005, 400, "m2"}, "write the ground that one full-grown plant's leaves cover, in square metres");
  p.tables = read_tables(f);
  p.sizes = read_sizes(f, p.origin);
  p.cautions = read_caution_keys(f, cautions);
  p.sources = read_sources(f);
  return p;
}

}  // namespace

std::map<std::string, Plant> read_plants(const JsonNode& node, const std::vector<std::string>& cautions) {
  std::map<std::string, Plant> out;
  for (const auto& entry : node.entries()) {
    entry.require_id("plant");
    out.emplace(entry.key, read_plant(entry.key, entry.value, cautions));
  }
  return out;
}

std::map<std::string, std::string> read_cautions(const JsonNode& node) {
  std::map<std::string, std::string> out;
  for (const auto& entry : node.entries()) {
    entry.require_id("caution");
    out[entry.key] = entry.value.text(1, 2000, "write one line with what to do");
  }
  return out;
}

}  // namespace leafhunger::input

namespace leafhunger {

const char* name_of(Hunger hunger) { return input::k_hunger[static_cast<int>(hunger)]; }

}  // namespace leafhunger
