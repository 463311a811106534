// The report's figures: SVG with months along the bottom and the answer written where it happens. What matters differs in shape as well as
// in colour: lines in their dashes, the shortfall and what is lost by hatching.
#pragma once

#include <string>
#include <vector>

#include "leafhunger/report_folder.hpp"

namespace leafhunger {

/// The plantings that the report draws: fed ones of greedy plants, worst first, at most three.
std::vector<const ColumnResult*> drawn_of(const SeasonResult& result);
/// What a planting holds against what it wants, g N a plant, with the band of other years, the shortfall hatched, feeding days marked; with
/// `soil` warmth and water of the soil below it, on the same days. `id` is in the names of its parts: unique on a page.
std::string season_figure(const SeasonResult& result, const ColumnResult& column, const YearBand* band, bool soil, const std::string& id);
/// Where each 100 g given went, a bar each.
std::string where_figure(const SeasonResult& result, const std::string& id);
/// A figure as a file of its own, with its title on it.
std::string as_file(const std::string& svg, const std::string& title);

/// "Nitrogen the bananas have and need".
std::string title_of(const ColumnResult& column);
/// First day that figures show: 1 March, in the south 1 September; before it nothing that gardeners feed is in leaf.
std::size_t first_drawn(const SeasonResult& result);
/// Factor from kg/ha of a column's ground to g a plant.
double grams_a_plant(const ColumnResult& column);

}  // namespace leafhunger
