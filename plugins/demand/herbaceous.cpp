// A grower by thermal time and light that dies back and sprouts again. With dies_back 0 it keeps its leaves and only rests in the cold;
// `evergreen` does that with flushes.
#include "seasons.hpp"

namespace {

using namespace grower;

enum Own { p_standing = grower::n_parameter, p_fixed, p_dies_back, p_sleep_margin, p_frost, p_return, n_all };
constexpr lh_parameter k_own[] = {
    {"standing_leaf_t_ha", "t/ha", "leaves kept over winter", "our own guess", 0, 0, 20},
    {"fixed_frac", "-", "share of the want met by symbiotic fixation", "0; giant waterside perennial 1: Osborne et al. 1992", 0, 0, 1},
    {"dies_back", "-", "1: dies back in autumn; 0: evergreen", "habit of the plant", 1, 0, 1},
    seasons::k_sleep_margin,
    seasons::k_frost,
    seasons::k_return,
};
constexpr auto k_all = parameters(k_own);
static_assert(k_all.size() == n_all);

enum OwnMemory { m_slept = grower::n_memory, n_all_memory };
constexpr lh_named k_memory[n_all_memory] = {k_lag, k_awake, k_root, k_last_day, seasons::k_slept};

int32_t start(const lh_day* day, double* w, double* memory) {
  for (int i = 0; i < day->m_pad; ++i) {
    const Member m(*day, memory, i);
    grower::start(m, w);
    m.memory(m_slept) = 1;
  }
  return LH_OK;
}

int32_t morning(const lh_day* day, const double* w_twin, double* memory, lh_morning* out, double* factor) {
  for (int i = 0; i < day->m_pad; ++i) {
    const Member m(*day, memory, i);
    const bool february = wake_up(m);
    Mood mood;
    if (m.p(p_dies_back) < 0.5) {
      mood = seasons::keep_leaves(m, february, w_twin[i], m.p(p_standing));
    } else {
      mood = seasons::die_back(m, {m_slept, m.p(p_sleep_margin), m.p(p_frost), m.p(p_return)}, february, w_twin[i]);
      mood.standing = m.p(p_standing);
    }
    mood.fixed = m.p(p_fixed);
    speak(m, mood, w_twin, out, factor);
  }
  return LH_OK;
}

constexpr lh_demand k_model = model(
    {"herbaceous", "1.1", "grows by warmth and light, wants the N of a critical dilution curve; dies back or keeps its leaves"},
    "Goudriaan & Monteith 1990 (expolinear, in name); Lemaire & Gastal 1997 (dilution, from memory)", k_all, k_memory, start, morning);

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return plugins_of<k_model>(); }
