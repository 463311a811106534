// Whether a planting was carried to a date, and what its days were like.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "leafhunger/shared_row.hpp"

namespace leafhunger {

/// What a planting's day was like.
enum class DayState : std::uint8_t { asleep, dry, fed, short_of_n };
const char* name_of(DayState state);

/// The answer for one planting.
enum class Outcome : std::uint8_t {
  carried,        ///< never short up to the date
  just_carried,   ///< never short, but down to the last week's worth
  ran_short,      ///< nitrogen nutrition index below 0.90 on 5 growing days running
  water_limited,  ///< barely grew for want of water: no verdict on feed
  never_woke,     ///< too cold to grow
};
const char* name_of(Outcome outcome);

/// Where the lines are drawn (equations.md 7, 14.4, 14.5).
struct VerdictRules {
  double short_nni = 0.90;  ///< Plenet & Lemaire 2000: two widths of the critical curve's noise
  int short_days = 5;       ///< growing days running
  double growing_f_t = 0.02, growing_w_t_ha = 0.3;
  double behind_share = 0.9;      ///< supply falls behind: dN/dt below this share of dN_crit/dt
  int behind_within_d = 30;       ///< printed only if the index sinks below 1 within so many days
  double dry_stress = 0.5;        ///< K_s below which a day is called dry (our own guess)
  double barely_grew_frac = 0.4;  ///< growth over that of a twin with water enough: below it, water is the limit (our own guess)
  double just_d = 7;              ///< days in hand below which, with no store left in the leaves, it was just carried
};

/// One planting's days, as long as the season. kg N/ha of the column; t/ha of covered ground.
struct PlantDays {
  std::vector<double> nni, w_t_ha, plant_kg_n_ha, critical_kg_n_ha, days_in_hand;
  SharedRow f_t, stress, awake, w_twin_t_ha, w_free_t_ha;  ///< by the weather alone
};

/// Days are indices into the season.
struct Verdict {
  Outcome outcome = Outcome::never_woke;
  std::optional<std::size_t> first_short;   ///< first of the five days
  std::optional<std::size_t> falls_behind;  ///< first day on which supply fell behind want, where the index later sank below 1
  std::optional<std::size_t> wakes;         ///< first growing day
  int days_short = 0;                       ///< growing days with the index below the line, up to the date
  int days_grown = 0;                       ///< growing days up to the date
  double nni_at_date = 0, lowest_nni = 0;   ///< lowest over growing days up to the date
  double mean_nni = 0;                      ///< over growing days up to the date
  double days_in_hand = 0;                  ///< at the date
  double growth_frac = 1;                   ///< dry matter over that of the twin never short of N, at the date
  double water_frac = 1;                    ///< that twin over one never short of water either
  double shortfall_kg_n_ha = 0;             ///< (N_crit - N_p)+ at its greatest, up to the date
};

/// `until`: index of the date asked about. Southern and leap seasons need nothing special: all is by index.
Verdict judge(const PlantDays& days, std::size_t until, const VerdictRules& rules = {});
std::vector<DayState> states_of(const PlantDays& days, const VerdictRules& rules = {});

}  // namespace leafhunger
