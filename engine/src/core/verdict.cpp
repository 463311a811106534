#include "leafhunger/verdict.hpp"

#include <algorithm>
#include <cmath>

namespace leafhunger {

const char* name_of(DayState state) {
  static constexpr const char* k_names[] = {"asleep", "dry", "fed", "short"};
  return k_names[static_cast<int>(state)];
}

const char* name_of(Outcome outcome) {
  static constexpr const char* k_names[] = {"carried", "just-carried", "short", "water-limited", "never-woke"};
  return k_names[static_cast<int>(outcome)];
}

namespace {

bool growing(const PlantDays& p, std::size_t d, const VerdictRules& r) {
  return p.f_t[d] > r.growing_f_t && p.w_t_ha[d] > r.growing_w_t_ha;
}

// First of `run` growing days running on which `bad` holds; days that do not grow neither count nor break the run.
template <class Bad>
std::optional<std::size_t> first_run(const PlantDays& p, const VerdictRules& r, const Bad& bad) {
  int run = 0;
  std::size_t began = 0;
  for (std::size_t d = 0; d < p.nni.size(); ++d) {
    if (!growing(p, d, r)) continue;
    if (!bad(d)) {
      run = 0;
      continue;
    }
    if (run == 0) began = d;
    if (++run == r.short_days) return began;
  }
  return std::nullopt;
}

}  // namespace

Verdict judge(const PlantDays& p, std::size_t until, const VerdictRules& r) {
  Verdict v;
  v.first_short = first_run(p, r, [&](std::size_t d) { return p.nni[d] < r.short_nni; });
  const auto behind = first_run(p, r, [&](std::size_t d) {
    if (d == 0) return false;
    const double more_wanted = p.critical_kg_n_ha[d] - p.critical_kg_n_ha[d - 1], had = p.plant_kg_n_ha[d] - p.plant_kg_n_ha[d - 1];
    return more_wanted > 0 && had < r.behind_share * more_wanted;
  });
  if (behind)
    for (std::size_t d = *behind; d < std::min(p.nni.size(), *behind + static_cast<std::size_t>(r.behind_within_d)); ++d)
      if (growing(p, d, r) && p.nni[d] < 1) v.falls_behind = behind;

  v.lowest_nni = 1e9;
  double sum = 0;
  for (std::size_t d = 0; d <= until; ++d) {
    if (!growing(p, d, r)) continue;
    if (!v.wakes) v.wakes = d;
    ++v.days_grown;
    sum += p.nni[d];
    v.lowest_nni = std::min(v.lowest_nni, p.nni[d]);
    if (p.nni[d] < r.short_nni) ++v.days_short;
    v.shortfall_kg_n_ha = std::max(v.shortfall_kg_n_ha, p.critical_kg_n_ha[d] - p.plant_kg_n_ha[d]);
  }
  if (v.days_grown > 0) v.mean_nni = sum / v.days_grown;
  if (v.days_grown == 0) v.lowest_nni = 0;
  v.nni_at_date = p.nni[until];
  v.days_in_hand = p.days_in_hand.empty() ? 0 : p.days_in_hand[until];
  v.growth_frac = p.w_twin_t_ha[until] > 0 ? p.w_t_ha[until] / p.w_twin_t_ha[until] : 1;
  v.water_frac = p.w_free_t_ha[until] > 0 ? p.w_twin_t_ha[until] / p.w_free_t_ha[until] : 1;

  const bool short_by_date = v.first_short && *v.first_short <= until;
  if (v.days_grown < r.short_days) {
    v.outcome = Outcome::never_woke;
  } else if (short_by_date) {
    v.outcome = Outcome::ran_short;
  } else if (v.water_frac < r.barely_grew_frac) {
    v.outcome = Outcome::water_limited;
  } else {
    v.outcome = !p.days_in_hand.empty() && v.days_in_hand < r.just_d && v.nni_at_date < 1 && growing(p, until, r) ? Outcome::just_carried
                                                                                                                  : Outcome::carried;
  }
  return v;
}

std::vector<DayState> states_of(const PlantDays& p, const VerdictRules& r) {
  std::vector<DayState> states;
  for (std::size_t d = 0; d < p.nni.size(); ++d) {
    if (p.awake[d] < 0.5 || p.f_t[d] <= r.growing_f_t) {
      states.push_back(DayState::asleep);
    } else if (p.stress[d] < r.dry_stress) {
      states.push_back(DayState::dry);
    } else {
      states.push_back(growing(p, d, r) && p.nni[d] < r.short_nni ? DayState::short_of_n : DayState::fed);
    }
  }
  return states;
}

}  // namespace leafhunger
