// What models there are, for people and as JSON.
#include <algorithm>
#include <filesystem>
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

// Where was looked, in which order, and what came of each file.
std::string search_words(const LoadReport& report) {
  std::string out = "Looked for plugins in these folders, in this order:\n";
  if (report.folders.empty()) out += "  none\n";
  long loaded = 0, refused = 0, place = 0;
  for (const std::string& folder : report.folders) {
    const bool missing = std::find(report.folders_missing.begin(), report.folders_missing.end(), folder) != report.folders_missing.end();
    const std::string number = "  " + std::to_string(++place) + ". ";
    out += wrapped(number, folder + (missing ? "  (not there)" : ""), number.size());
    bool any = false;
    for (const LoadReport::File& f : report.files) {
      if (f.folder != folder) continue;
      any = true;
      if (!f.refused.empty()) {
        ++refused;
        out += wrapped("     refused  ", f.refused, 14);
        continue;
      }
      ++loaded;
      std::string names;
      for (const auto& name : f.models) names += (names.empty() ? "" : ", ") + name;
      out += wrapped("     loaded   ", std::filesystem::path(f.path).filename().string() + ": " + names, 14);
    }
    if (!missing && !any) out += "     holds no plugin (*.so)\n";
  }
  return out + input::counted(loaded, "plugin", "plugins") + " loaded, " + std::to_string(refused) + " refused.\n";
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
  return out + search_words(report);
}

std::string in_json(const PluginRegistry& registry, const LoadReport& report, bool responses) {
  Json models = Json::array(), files = Json::array();
  for (const auto& [name, m] : registry.releases()) models.push_back(model_json("release", m.table->about, m.origin));
  for (const auto& [name, m] : registry.demands()) models.push_back(model_json("demand", m.table->about, m.origin));
  for (const auto& f : report.files) files.push_back({{"path", f.path}, {"refused", f.refused.empty() ? Json() : Json(f.refused)}});
  Json out = {{"abi", LH_ABI},
              {"models", models},
              {"folders", report.folders},
              {"searched", report.folders_searched},
              {"not_there", report.folders_missing},
              {"files", files}};
  if (responses) {
    for (const auto& r : temperature_responses())
      out["temperature_responses"].push_back({{"name", r.name}, {"formula", r.formula}, {"source", r.source}});
    for (const auto& r : moisture_responses())
      out["moisture_responses"].push_back({{"name", r.name}, {"formula", r.formula}, {"source", r.source}});
  }
  return out.dump(2) + "\n";
}

}  // namespace leafhunger
