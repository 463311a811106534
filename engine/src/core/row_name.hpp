// Names of states, for errors and for checks.
#pragma once

#include <string>
#include <vector>

#include "column.hpp"

namespace leafhunger {

/// "slot 0: fast in soil", "nitrate fast, layer 2", "plant", ...
std::string row_name(const ColumnBatch& column, std::size_t row);
/// The states that a failed run should show: those not finite, else the most negative, with their values. `state` is lane 0.
std::string worst_rows(const ColumnBatch& column, const std::vector<double>& state);

}  // namespace leafhunger
