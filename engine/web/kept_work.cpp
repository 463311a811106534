#include "kept_work.hpp"

#include <algorithm>
#include <map>
#include <optional>
#include <utility>

#include "host/kept_work.hpp"

namespace leafhunger {
namespace {

struct KeptClimate {
  std::vector<double> by_hand_mm, spin_up_by_hand_mm;
  SoilClimate climate;
};
constexpr std::size_t k_most = 600;  // a season of a planting takes some 120 kB

struct Kept {
  std::string world;
  std::optional<DailyWeather> weather;
  std::optional<Atmosphere> atmosphere;
  std::map<std::pair<std::string, std::size_t>, KeptClimate> climate;  // by column and first day of the season in the weather
};
Kept g_kept;
std::optional<Catalogue> g_catalogue;

template <class T>
const T& once(std::optional<T>& kept, const std::function<T()>& make) {
  if (!kept) kept = make();
  return *kept;
}

}  // namespace

void web::keep_work_of(std::string world) {
  if (world != g_kept.world) g_kept = {std::move(world), {}, {}, {}};
}

Catalogue kept_catalogue(const std::function<Catalogue()>& make) { return once(g_catalogue, make); }
DailyWeather kept_weather(const std::function<DailyWeather()>& make) { return once(g_kept.weather, make); }
Atmosphere kept_atmosphere(const std::function<Atmosphere()>& make) { return once(g_kept.atmosphere, make); }

SoilClimate kept_climate(const Garden::Plan& plan, const ColumnPlan& column, const SeasonDays& days, const Ground& ground,
                         const std::function<SoilClimate()>& make) {
  const bool planned = std::any_of(plan.columns.begin(), plan.columns.end(), [&](const ColumnPlan& c) { return &c == &column; });
  if (!planned || !ground.mulches.empty()) return make();
  const std::pair key{column.name, days.season.front()};
  const auto found = g_kept.climate.find(key);
  if (found != g_kept.climate.end() && found->second.by_hand_mm == ground.by_hand_mm &&
      found->second.spin_up_by_hand_mm == ground.spin_up_by_hand_mm)
    return found->second.climate;
  KeptClimate kept{ground.by_hand_mm, ground.spin_up_by_hand_mm, make()};
  if (g_kept.climate.size() >= k_most) g_kept.climate.clear();
  return g_kept.climate.insert_or_assign(key, std::move(kept)).first->second.climate;
}

}  // namespace leafhunger
