// lesson.json: the jars that a class looks at.
#include <algorithm>
#include <filesystem>

#include "host/json_fields.hpp"
#include "leafhunger/lesson.hpp"

namespace leafhunger {
namespace {

using namespace input;

constexpr Range k_warmth{-20, 60, "degrees Celsius"};

std::vector<LessonPresets::Jar> read_jars(const JsonFields& from, const char* key, const Range& range, double factor) {
  std::vector<LessonPresets::Jar> jars;
  for (const JsonNode& node : from.require("jars", "a list of jars", "write two to five jars").list(2, 5, "jars")) {
    const JsonFields f = node.group({key, "called"});
    jars.push_back({f.number(key, range, "write a number") * factor, f.name("called", 60, "say how a class would call it")});
    if (jars.size() > 1 && jars.back().value <= jars[jars.size() - 2].value)
      node.refuse("a jar that is no higher than the one before", "jars in ascending order, each once", "put them in order");
  }
  return jars;
}

std::string material(const JsonNode& node, const Catalogue& catalogue) {
  std::vector<std::string> known;
  for (const auto& [id, entry] : catalogue.materials) known.push_back(id);
  const std::string id = node.id("write the id of a material");
  node.require_known(id, known, "material", "in materials.json");
  return id;
}

}  // namespace

LessonPresets read_lesson(const std::string& catalogue_dir, const Catalogue& catalogue) {
  const JsonDocument document = read_json((std::filesystem::path(catalogue_dir) / "lesson.json").string(), "a catalogue file (JSON)");
  const JsonFields file = JsonNode(document).group({"format", "lesson"});
  file.integer("format", {1, 1, ""}, "write \"format\": 1, the one that this version reads");
  const JsonFields lesson = file.require("lesson", "a group in braces { }", "write the presets between braces")
                                .group({"last_day", "warmth", "moisture", "feeds"});
  LessonPresets p;
  p.last_day = lesson.integer("last_day", {28, 365, "days"}, "write how long the jars stand");
  const auto part = [&](const char* key, std::vector<std::string> known) {
    return lesson.require(key, "a group in braces { }", "write the jars between braces").group(std::move(known));
  };
  const auto day = [&](const JsonFields& f) {
    return f.integer("look_on_day", {1, static_cast<double>(p.last_day), "days"}, "write the day on which to look");
  };
  const auto one = [&](const JsonFields& f) {
    return material(f.require("material", "the id of a material", "such as one of materials.json"), catalogue);
  };
  const JsonFields warmth = part("warmth", {"material", "look_on_day", "jars"});
  p.warmth_material = one(warmth), p.warmth_day = day(warmth);
  p.warmth = read_jars(warmth, "temperature_c", k_warmth, 1);
  const JsonFields moisture = part("moisture", {"material", "look_on_day", "temperature_c", "jars"});
  p.moisture_material = one(moisture), p.moisture_day = day(moisture);
  p.moisture_c = moisture.number("temperature_c", k_warmth, "write a warmth");
  p.moisture = read_jars(moisture, "pores_with_water_percent", {1, 100, "percent"}, 0.01);
  const JsonFields feeds = part("feeds", {"materials", "look_on_day", "temperature_c"});
  p.feeds_day = day(feeds), p.feeds_c = feeds.number("temperature_c", k_warmth, "write a warmth");
  for (const JsonNode& node : feeds.require("materials", "a list of ids", "write two to six materials").list(2, 6, "materials")) {
    p.feeds.push_back(material(node, catalogue));
    if (std::count(p.feeds.begin(), p.feeds.end(), p.feeds.back()) > 1)
      node.refuse(node.found() + " a second time", "each once", "take one out");
  }
  return p;
}

}  // namespace leafhunger
