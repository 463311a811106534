// The models that tests may use: those that ship and the good sample ones of tests/plugins/good, loaded once for each test program.
#pragma once

#include <gtest/gtest.h>

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "leafhunger/plugin_loader.hpp"
#include "leafhunger/plugin_registry.hpp"

namespace leafhunger::testing {

inline std::string good_samples() { return std::string(LEAFHUNGER_TEST_PLUGIN_DIR) + "/good"; }

inline LoadReport& load_report() {
  static LoadReport report;
  return report;
}

inline std::shared_ptr<const PluginRegistry> registry() {
  static const std::shared_ptr<const PluginRegistry> loaded = [] {
    auto fresh = std::make_shared<PluginRegistry>();
    load_report() = load_plugins(*fresh, {LEAFHUNGER_PLUGIN_DIR, good_samples()});
    return fresh;
  }();
  return loaded;
}

inline const lh_release& release(const std::string& name) {
  const ReleaseModel* model = registry()->release(name);
  if (model == nullptr) throw std::runtime_error("no release model " + name + ": " + load_report().summary());
  return *model->table;
}

inline const lh_demand& demand(const std::string& name) {
  const DemandModel* model = registry()->demand(name);
  if (model == nullptr) throw std::runtime_error("no demand model " + name + ": " + load_report().summary());
  return *model->table;
}

/// Defaults with some of them set.
inline std::vector<double> parameters(const lh_about& about, const std::map<std::string, double>& set = {}) {
  std::vector<double> all = default_parameters(about);
  for (const auto& [name, value] : set) {
    const int at = parameter_index(about, name);
    if (at < 0) throw std::runtime_error(std::string(about.name) + " has no parameter " + name);
    all[static_cast<std::size_t>(at)] = value;
  }
  return all;
}

}  // namespace leafhunger::testing
