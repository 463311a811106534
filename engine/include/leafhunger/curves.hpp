// Release curves: what a feed frees of its nitrogen day by day, each jar at one warmth and one moisture all the time; as numbers, words,
// JSON, CSV and a picture.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "leafhunger/catalogue.hpp"
#include "leafhunger/plugin_loader.hpp"

namespace leafhunger {

/// A jar for each temperature and each moisture.
struct CurvesQuestion {
  std::vector<double> temperature_c = {5, 10, 15, 20, 25};        ///< -20 to 60; at most k_most_jars of them
  std::vector<std::optional<double>> wfps_frac = {std::nullopt};  ///< share of pores that hold water; none: field capacity
  std::vector<int> days = {7, 14, 28, 42, 56, 84, 112, 140};      ///< of the table, ascending, 0 to 3650; curves run to the last of them
  std::string texture = "loam";
};

/// So many materials, temperatures, and moistures at the most: more than anyone can tell apart in a picture.
inline constexpr std::size_t k_most_jars = 12;

struct Curve {
  std::size_t material = 0, moisture = 0, temperature = 0;  ///< indices into CurvesResult
  std::vector<double> freed_frac;                           ///< of the N given, at 00 of day 0, 1, ... last; below 0: tied up
  /// +- of the same, a standard deviation: each parameter with a known spread moved by its own, squares added. Empty where none is known.
  std::vector<double> spread_frac;
};

struct CurvesResult {
  struct Fed {
    std::string id, title, model, model_source;
    double n_percent = 0;
    std::vector<std::string> spread_of;  ///< parameters whose spread is known
  };
  CurvesQuestion asked;
  std::vector<Fed> materials;
  std::vector<Curve> curves;  ///< [material][moisture][temperature]

  const Curve& at(std::size_t material, std::size_t moisture, std::size_t temperature) const {
    return curves[(material * asked.wfps_frac.size() + moisture) * asked.temperature_c.size() + temperature];
  }
};

/// Throws InputError for an unknown model, a parameter or a question out of bounds; PluginError where a model fails.
CurvesResult release_curves(const std::vector<Material>& materials, const PluginRegistry& registry, const LoadReport& report,
                            const CurvesQuestion& question);

/// The materials that people call so, each once. Throws InputError where several or none may be meant.
std::vector<Material> find_materials(const Catalogue& catalogue, const std::vector<std::string>& names);
/// Days for a table that ends on `last`: wider apart the later.
std::vector<int> table_days(int last);

/// `more`: also models, parameters whose spread is known, and sources.
std::string in_words(const CurvesResult& result, bool more = false);
std::string in_json(const CurvesResult& result);
/// Every day of every curve: material,temperature_c,pores_with_water,day,freed_percent,spread_percent.
std::string in_csv(const CurvesResult& result);
/// A picture that needs nothing but itself: no script, no font, no file. The same bytes for the same result.
std::string in_svg(const CurvesResult& result);

}  // namespace leafhunger
