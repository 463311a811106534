#include "leafhunger/plugin_loader.hpp"

#include <dlfcn.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>

#include "leafhunger/error.hpp"

namespace leafhunger {
namespace fs = std::filesystem;
namespace {

std::string loader_error() {
  const char* text = dlerror();
  return text ? text : "no reason given";
}

// Empty on success, else the sentence.
std::string load_one(PluginRegistry& registry, const std::string& path) {
  void* raw = dlopen(path.c_str(), RTLD_NOW | RTLD_LOCAL);
  if (raw == nullptr) return "plugin " + path + ": cannot be loaded (" + loader_error() + ")";
  std::shared_ptr<void> library(raw, [](void* handle) { dlclose(handle); });
  using Entry = const lh_plugins* (*)(uint32_t);
  const auto entry = reinterpret_cast<Entry>(dlsym(raw, "leafhunger_plugins"));
  if (entry == nullptr) return "plugin " + path + ": is a library but exports no leafhunger_plugins, so it is no plugin; move it elsewhere";
  // What it throws may live in the library itself, which must stay open until the sentence is written.
  const lh_plugins* answer = nullptr;
  try {
    answer = entry(LH_ABI);
  } catch (const std::exception& e) {
    return "plugin " + path + ": threw an exception when asked for its models, which no plugin may: " + e.what();
  } catch (...) {
    return "plugin " + path + ": threw something when asked for its models, which no plugin may";
  }
  try {
    registry.add(answer, path, std::move(library));
  } catch (const PluginError& e) {
    return e.what();
  }
  return "";
}

std::vector<std::string> models_from(const PluginRegistry& registry, const std::string& path) {
  std::vector<std::string> names;
  for (const auto& [name, model] : registry.releases())
    if (model.origin == path) names.push_back(name);
  for (const auto& [name, model] : registry.demands())
    if (model.origin == path) names.push_back(name);
  return names;
}

}  // namespace

bool LoadReport::any_refused() const {
  return std::any_of(files.begin(), files.end(), [](const File& f) { return !f.refused.empty(); });
}

std::string LoadReport::summary() const {
  std::string text = "searched";
  for (const auto& f : folders_searched) text += " " + f;
  if (folders_searched.empty()) text += " no folder";
  for (const auto& f : folders_missing) text += ", " + f + " (not there)";
  for (const auto& f : files)
    if (!f.refused.empty()) text += "; refused: " + f.refused;
  return text;
}

LoadReport load_plugins(PluginRegistry& registry, const std::vector<std::string>& folders) {
  LoadReport report;
  for (const std::string& folder : folders) {
    std::error_code ec;
    report.folders.push_back(folder);
    if (!fs::is_directory(folder, ec)) {
      report.folders_missing.push_back(folder);
      continue;
    }
    report.folders_searched.push_back(folder);
    std::vector<std::string> paths;
    for (const auto& entry : fs::directory_iterator(folder, ec))
      if (entry.path().extension() == ".so") paths.push_back(entry.path().string());
    std::sort(paths.begin(), paths.end());
    for (const auto& path : paths) {
      std::string refused = load_one(registry, path);
      auto models = refused.empty() ? models_from(registry, path) : std::vector<std::string>{};
      report.files.push_back({path, std::move(refused), folder, std::move(models)});
    }
  }
  return report;
}

std::vector<std::string> plugin_folders(const std::vector<std::string>& extra, const std::string& beside) {
  std::vector<std::string> folders = extra;
  if (const char* path = std::getenv("LEAFHUNGER_PLUGIN_PATH")) {
    std::string rest = path;
    while (!rest.empty()) {
      const auto colon = rest.find(':');
      if (colon != 0) folders.push_back(rest.substr(0, colon));
      rest = colon == std::string::npos ? "" : rest.substr(colon + 1);
    }
  }
  const std::string own = (fs::path(beside) / ".." / "lib" / "leafhunger" / "plugins").lexically_normal().string();
  // The installation's own folder comes last and once: the same library twice would be a name taken twice.
  std::error_code ec;
  const bool there = std::any_of(folders.begin(), folders.end(), [&](const std::string& f) { return fs::equivalent(f, own, ec) && !ec; });
  if (!there) folders.push_back(own);
  return folders;
}

std::string catalogue_folder(const std::string& beside) {
  if (const char* path = std::getenv("LEAFHUNGER_CATALOGUE")) return path;
  return (fs::path(beside) / ".." / "share" / "leafhunger" / "catalogue").lexically_normal().string();
}

}  // namespace leafhunger
