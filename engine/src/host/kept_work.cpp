#include "kept_work.hpp"

namespace leafhunger {

Catalogue kept_catalogue(const std::function<Catalogue()>& make) { return make(); }
DailyWeather kept_weather(const std::function<DailyWeather()>& make) { return make(); }
Atmosphere kept_atmosphere(const std::function<Atmosphere()>& make) { return make(); }

SoilClimate kept_climate(const Garden::Plan&, const ColumnPlan&, const SeasonDays&, const Ground&,
                         const std::function<SoilClimate()>& make) {
  return make();
}

}  // namespace leafhunger
