// A program outside the tree: lists the models that it finds and runs a garden. Usage: ask PLUGIN_FOLDER SCENARIO
#include <cmath>
#include <iostream>
#include <leafhunger/garden.hpp>
#include <leafhunger/plugin_loader.hpp>
#include <leafhunger/reader.hpp>

int main(int argc, char** argv) {
  using namespace leafhunger;
  if (argc != 3) return 2;
  auto registry = std::make_shared<PluginRegistry>();
  const LoadReport report = load_plugins(*registry, {argv[1], PLUGINS});
  if (report.any_refused()) {
    std::cerr << report.summary() << '\n';
    return 2;
  }
  for (const auto& [name, model] : registry->releases()) std::cout << name << " from " << model.origin << '\n';
  for (const auto& [name, model] : registry->demands()) std::cout << name << " from " << model.origin << '\n';

  Scenario scenario = read_scenario(argv[2], CATALOGUE);
  for (auto& [id, material] : scenario.catalogue.materials)
    if (id == scenario.feedings.at(0).material) {
      material.model = "outside-salt";
      material.parameters = {{"wash_mm", 3}};
    }
  const SeasonResult result = run_season(Garden(std::move(scenario), registry, report));
  for (const ColumnResult& column : result.columns) std::cout << column.name << ": " << name_of(column.verdict.outcome) << '\n';
  if (std::abs(result.total_g.relative_residual()) > 1e-9) return 3;
  std::cout << "ledger closes\n";
  return 0;
}
