// The report's figures: SVG inside the page, months along the bottom, the answer written where it happens.
#pragma once

#include <string>

#include "leafhunger/report_folder.hpp"

namespace leafhunger {

/// What a planting has of what it wants, with the band of other years, the shortfall hatched, feeding days marked.
std::string supply_figure(const SeasonResult& result, const ColumnResult& column, const YearBand* band);
/// Warmth and water of the soil under it, on the same days.
std::string soil_figure(const SeasonResult& result, const ColumnResult& column);
/// Where each 100 g given went, as a bar of patterns.
std::string where_figure(const SeasonResult& result);

}  // namespace leafhunger
