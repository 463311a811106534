// Plugins from disk. Files are looked at in sorted order; what happened to each is kept, so that an unknown model can say why.
#pragma once

#include <string>
#include <vector>

#include "leafhunger/plugin_registry.hpp"

namespace leafhunger {

struct LoadReport {
  struct File {
    std::string path, refused;             ///< refused: one sentence, empty where it was loaded
    std::string folder = {};               ///< that it lies in, as it was named
    std::vector<std::string> models = {};  ///< that it brought
  };
  std::vector<std::string> folders;  ///< in the order in which they were looked in, missing ones too
  std::vector<std::string> folders_searched, folders_missing;
  std::vector<File> files;

  bool any_refused() const;
  /// "Searched A, B. Refused: ...", for the end of an error.
  std::string summary() const;
};

/// Loads every `*.so` of the folders into the registry. Symbols stay local to each library. Never throws for a bad file: it goes into the
/// report. Only call with folders that the user or the installation chose, never with one that a scenario names.
LoadReport load_plugins(PluginRegistry& registry, const std::vector<std::string>& folders);

/// Folders in order: `extra`; those of $LEAFHUNGER_PLUGIN_PATH (colon between); `beside/../lib/leafhunger/plugins`, where `beside` is the
/// folder of the running program or module.
std::vector<std::string> plugin_folders(const std::vector<std::string>& extra, const std::string& beside);
/// $LEAFHUNGER_CATALOGUE, else `beside/../share/leafhunger/catalogue`.
std::string catalogue_folder(const std::string& beside);

}  // namespace leafhunger
