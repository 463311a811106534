// The models that plugins brought, checked once when they are added. The engine knows a model only through here.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "leafhunger/plugin.h"

namespace leafhunger {

template <class Table>
struct Model {
  const Table* table = nullptr;
  std::string origin;  ///< library path, or "linked in"
};
using ReleaseModel = Model<lh_release>;
using DemandModel = Model<lh_demand>;

/// Not a global: each caller makes its own. Reading from many threads is safe once loading is over.
class PluginRegistry {
 public:
  /// Takes over all models of one plugin, or none. `keep_open` lives as long as the registry.
  /// Throws PluginError naming `origin` where the ABI differs, a table is malformed, or a name is taken.
  void add(const lh_plugins* plugins, const std::string& origin, std::shared_ptr<void> keep_open = nullptr);

  /// Null where there is none.
  const ReleaseModel* release(std::string_view name) const;
  const DemandModel* demand(std::string_view name) const;

  const std::map<std::string, ReleaseModel, std::less<>>& releases() const { return releases_; }
  const std::map<std::string, DemandModel, std::less<>>& demands() const { return demands_; }

 private:
  // Declared first so that libraries close after everything that points into them is gone.
  std::vector<std::shared_ptr<void>> open_;
  std::map<std::string, ReleaseModel, std::less<>> releases_;
  std::map<std::string, DemandModel, std::less<>> demands_;
};

/// Index of a parameter, or -1.
int parameter_index(const lh_about& about, std::string_view name);
/// The model's defaults, in order.
std::vector<double> default_parameters(const lh_about& about);

}  // namespace leafhunger
