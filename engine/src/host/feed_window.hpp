// When to go out with a feed: among which days its rain is waited for, by the chance of wash-in against that of wash-out.
#pragma once

#include <optional>
#include <vector>

#include "garden_plan.hpp"

namespace leafhunger {

/// What a can holds, litres: common practice, no source.
inline constexpr double k_can_l = 10;

/// A feed on top of one column that waits for rain.
struct RainAsk {
  Date on;                 ///< of the season at hand: as planned
  std::size_t column = 0;  ///< index in the plan
  const Material* material = nullptr;
  double kg_n_ha = 0;
  std::optional<std::size_t> feeding;  ///< of the scenario; none for a second feed that is only advised
  std::optional<int> every_days;
};

/// Whether a feeding lies and waits for rain: not what is watered or forked in, is liquid, or lies as a mulch.
bool waits_for_rain(const Material& material, double watered_in_mm, double forked_in_mm);

/// One window for each date asked about, by date: one walk round the garden. Reckoned on the column whose feed weighs most, or on one that
/// serves an earlier date. Of all windows that open within a week of the day and last 5 to 14 days, the shortest and nearest to the day in
/// which 8 years of 10 of the record have a wet day without washing the feed out; where none does, the one with most such years
/// (equations.md 13.23).
std::vector<FeedWindow> windows_of(const Garden::Plan& plan, const std::vector<RainAsk>& asks);

}  // namespace leafhunger
