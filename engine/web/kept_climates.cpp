#include "kept_climates.hpp"

#include <algorithm>
#include <map>
#include <utility>

#include "host/kept_climates.hpp"

namespace leafhunger {
namespace {

struct Kept {
  std::vector<double> by_hand_mm, spin_up_by_hand_mm;
  SoilClimate climate;
};
constexpr std::size_t k_most = 600;  // a season of a planting takes some 120 kB

std::string g_world;
std::map<std::pair<std::string, std::size_t>, Kept> g_kept;  // by column and first day of the season in the weather

}  // namespace

void web::keep_climates_of(std::string world) {
  if (world == g_world) return;
  g_world = std::move(world);
  g_kept.clear();
}

SoilClimate kept_climate(const Garden::Plan& plan, const ColumnPlan& column, const SeasonDays& days, const Ground& ground,
                         const std::function<SoilClimate()>& make) {
  const bool planned = std::any_of(plan.columns.begin(), plan.columns.end(), [&](const ColumnPlan& c) { return &c == &column; });
  if (!planned || !ground.mulches.empty()) return make();
  const std::pair key{column.name, days.season.front()};
  const auto found = g_kept.find(key);
  if (found != g_kept.end() && found->second.by_hand_mm == ground.by_hand_mm &&
      found->second.spin_up_by_hand_mm == ground.spin_up_by_hand_mm)
    return found->second.climate;
  Kept kept{ground.by_hand_mm, ground.spin_up_by_hand_mm, make()};
  if (g_kept.size() >= k_most) g_kept.clear();
  return g_kept.insert_or_assign(key, std::move(kept)).first->second.climate;
}

}  // namespace leafhunger
