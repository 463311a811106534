// What models there are, for people and as JSON.
#include <nlohmann/json.hpp>

#include "leafhunger/report.hpp"
#include "leafhunger/response.hpp"
#include "lines.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using lines::padded;
using lines::wrapped;
using Json = nlohmann::ordered_json;

std::string model_words(const char* kind, const lh_about& a, const std::string& origin) {
  std::string out = std::string(a.name) + "  (" + kind + ", version " + a.version + ", " + a.licence + ")\n";
  out += wrapped("  ", a.summary, 2) + wrapped("  source: ", a.source, 4) + wrapped("  from: ", origin, 4);
  for (int32_t i = 0; i < a.n_parameter; ++i) {
    const lh_parameter& p = a.parameter[i];
    out += wrapped("    " + padded(p.name, 26),
                   input::plain(p.def) + " " + p.unit + "  (" + input::plain(p.lower) + " to " + input::plain(p.upper) + ")", 30);
    out += wrapped("      ", std::string(p.meaning) + " [" + p.source + "]", 6);
  }
  return out + "\n";
}

Json model_json(const char* kind, const lh_about& a, const std::string& origin) {
  Json parameters = Json::array();
  for (int32_t i = 0; i < a.n_parameter; ++i) {
    const lh_parameter& p = a.parameter[i];
    parameters.push_back({{"name", p.name},
                          {"unit", p.unit},
                          {"default", p.def},
                          {"lower", p.lower},
                          {"upper", p.upper},
                          {"meaning", p.meaning},
                          {"source", p.source}});
  }
  return {{"name", a.name},       {"kind", kind},       {"version", a.version}, {"licence", a.licence},
          {"summary", a.summary}, {"source", a.source}, {"from", origin},       {"parameters", parameters}};
}

}  // namespace

std::string in_words(const PluginRegistry& registry, const LoadReport& report, bool responses) {
  std::string out;
  for (const auto& [name, m] : registry.releases()) out += model_words("release", m.table->about, m.origin);
  for (const auto& [name, m] : registry.demands()) out += model_words("demand", m.table->about, m.origin);
  if (responses) {
    out += "Temperature responses\n";
    for (const auto& r : temperature_responses())
      out += wrapped("  " + padded(r.name, 20), std::string(r.formula) + " [" + r.source + "]", 22);
    out += "\nMoisture responses\n";
    for (const auto& r : moisture_responses())
      out += wrapped("  " + padded(r.name, 20), std::string(r.formula) + " [" + r.source + "]", 22);
    out += "\n";
  }
  for (const auto& f : report.folders_searched) out += "searched  " + f + "\n";
  for (const auto& f : report.folders_missing) out += "not there " + f + "\n";
  for (const auto& f : report.files) out += f.refused.empty() ? "loaded    " + f.path + "\n" : wrapped("refused   ", f.refused, 10);
  return out;
}

std::string in_json(const PluginRegistry& registry, const LoadReport& report, bool responses) {
  Json models = Json::array(), files = Json::array();
  for (const auto& [name, m] : registry.releases()) models.push_back(model_json("release", m.table->about, m.origin));
  for (const auto& [name, m] : registry.demands()) models.push_back(model_json("demand", m.table->about, m.origin));
  for (const auto& f : report.files) files.push_back({{"path", f.path}, {"refused", f.refused.empty() ? Json() : Json(f.refused)}});
  Json out = {
      {"abi", LH_ABI}, {"models", models}, {"searched", report.folders_searched}, {"not_there", report.folders_missing}, {"files", files}};
  if (responses) {
    for (const auto& r : temperature_responses())
      out["temperature_responses"].push_back({{"name", r.name}, {"formula", r.formula}, {"source", r.source}});
    for (const auto& r : moisture_responses())
      out["moisture_responses"].push_back({{"name", r.name}, {"formula", r.formula}, {"source", r.source}});
  }
  return out.dump(2) + "\n";
}

}  // namespace leafhunger
