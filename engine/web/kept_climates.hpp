// Soil climates hang on weather, ground and plants and not on what is fed (but for mulches and water that come with it): a page keeps them
// while the reader tries other doses, days and feeds.
#pragma once

#include <string>

namespace leafhunger::web {

/// `world` is all that climates hang on beside what kept_climate() compares itself. Another world than before: what was kept is dropped.
void keep_climates_of(std::string world);

}  // namespace leafhunger::web
