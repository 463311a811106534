// When a grower is in leaf and what it drops: dying back in autumn, or keeping leaves. Dates are days of the year, by the northern
// calendar: the host shifts them in the south.
#pragma once

#include "grower.hpp"

namespace seasons {

using grower::Member;
using grower::Mood;

inline constexpr double k_sleep_from = 213;    // 1 August
inline constexpr double k_tender_until = 182;  // 1 July: a frost before it cuts back, after it nothing does until August
inline constexpr double k_harden_from = 227;   // 15 August

/// Parameters of what dies back; a model puts them after those of grower.hpp.
inline constexpr lh_parameter k_sleep_margin{
    "sleep_margin_c", "degC", "sleeps when the lagged air is this far below base", "our own guess", 2, 0, 10};
inline constexpr lh_parameter k_frost{"frost_c", "degC", "a night this cold kills the leaves", "our own guess", -2, -30, 5};
inline constexpr lh_parameter k_return{
    "reserve_return", "-", "share of leaf N drawn back at the end of the season", "Himken et al. 1997", 0.46, 0, 1};

struct DyingBack {
  int slept;  ///< memory: 1 from the end of a season to 1 February
  double sleep_margin_c, frost_c, reserve_return;
};

inline constexpr lh_named k_slept{"slept", "-", "1 from the end of a season to 1 February"};

/// Wakes from February on when the lagged air passes base. From August on, a lagged air well below base or a frost ends the season: part of
/// the shoots' N goes to the reserve. A frost before July cuts it back to its shoots, for nothing. Hardens from mid August.
inline Mood die_back(const Member& m, const DyingBack& rule, bool february, double w) {
  Mood mood;
  double &awake = m.memory(grower::m_awake), &slept = m.memory(rule.slept);
  const double lag = m.memory(grower::m_lag), today = m.day_of_year(), base = m.p(grower::p_base);
  const bool frost = m.t_min_c() <= rule.frost_c;
  if (february) slept = 0;
  if (!m.awake()) {
    awake = slept < 0.5 && today >= grower::k_february && today < k_sleep_from && lag > base ? 1 : 0;
  } else if (today >= k_sleep_from || today < grower::k_february) {
    if (lag < base - rule.sleep_margin_c || frost) {
      awake = 0, slept = 1, mood.keep = m.keep_start(w), mood.to_reserve = rule.reserve_return;
    }
  } else if (frost && today < k_tender_until) {
    mood.keep = m.keep_start(w);
  }
  if (february && m.p(grower::p_perennial_roots) < 0.5) m.memory(grower::m_root) = m.p(grower::p_root_start);
  if (slept < 0.5) grower::grow_roots(m);
  mood.leaves = m.awake();
  mood.pace = today >= k_harden_from ? leafhunger::sdk::clip((lag - base + 2) / 4, 0, 1) : 1;
  return mood;
}

/// Rests below base whatever the date. On 1 February this season's leaves count as standing ones, and as many of the oldest fall; they give
/// back `reserve_return` of their N first. Roots grow all year.
inline Mood keep_leaves(const Member& m, bool february, double w, double standing_t_ha, double reserve_return = 0) {
  Mood mood;
  m.memory(grower::m_awake) = m.memory(grower::m_lag) > m.p(grower::p_base) ? 1 : 0;
  if (february) mood.keep = m.keep_start(w), mood.to_reserve = reserve_return;
  grower::grow_roots(m);
  mood.leaves = true;
  mood.standing = standing_t_ha;
  return mood;
}

}  // namespace seasons
