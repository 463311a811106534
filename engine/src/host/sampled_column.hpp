// A column with its figures drawn: which figures of it are not well known, how far each may lie, and the column that a draw makes.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "garden_plan.hpp"
#include "leafhunger/ensemble.hpp"
#include "sampling.hpp"

namespace leafhunger {

/// One figure of a column that is not well known.
struct UnknownFigure {
  enum class Kind { release, ammonia, soil, reach, plant };
  Kind kind = Kind::soil;
  std::string key;                                ///< what its draws hang on besides the seed
  std::string of, name;                           ///< as in Unknown
  const Material* material = nullptr;             ///< of release and ammonia
  double NitrogenConstants::*constant = nullptr;  ///< of soil
  std::size_t parameter = 0;                      ///< index, of plant
  Spreading spread{};
};

/// In a fixed order. `width` multiplies every spread.
std::vector<UnknownFigure> unknown_figures(const Garden::Plan& plan, const ColumnPlan& column, double width);

/// A column as it would be if the figures were `values`, in the order of `figures`. Whoever runs it uses its `nitrogen`.
struct SampledColumn {
  ColumnPlan column;
  NitrogenConstants nitrogen;
};
/// A set that a model itself refuses is drawn towards the values in use, halfway each time, until it fits.
SampledColumn sampled_column(const Garden::Plan& plan, const ColumnPlan& column, const std::vector<UnknownFigure>& figures,
                             const std::vector<double>& values);

/// The values of each draw: [sample][figure].
std::vector<std::vector<double>> draw(const std::vector<UnknownFigure>& figures, std::uint64_t seed, std::size_t samples);

}  // namespace leafhunger
