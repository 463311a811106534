// The picture of release curves before it is drawn, for pages that draw it in their own way.
#pragma once

#include "figure_svg.hpp"
#include "leafhunger/curves.hpp"

namespace leafhunger {

figure::Chart chart_of(const CurvesResult& result);

}  // namespace leafhunger
