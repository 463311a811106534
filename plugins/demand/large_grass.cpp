// A tall grass: fast in warmth, deep roots that it keeps, poor in nitrogen once tall. Ripens as days shorten, so that its shoots are
// heaviest in September, and draws nitrogen back into its rhizome when it dies back (Himken et al. 1997). Evergreen ones keep leaves and
// grow on.
#include "seasons.hpp"

namespace {

using namespace grower;

enum Own { p_sleep_margin = grower::n_parameter, p_frost, p_return, p_standing, p_dies_back, p_ripe, n_all };
constexpr lh_parameter k_own[] = {
    seasons::k_sleep_margin,
    seasons::k_frost,
    {"reserve_return", "-", "share of shoot N drawn back into the rhizome in autumn", "Himken et al. 1997: 46 % (Miscanthus)", 0.46, 0, 1},
    {"standing_leaf_t_ha", "t/ha", "leaves kept over winter", "habit: none where it dies back", 0, 0, 20},
    {"dies_back", "-", "1: dies back in autumn; 0: evergreen", "habit of the plant", 1, 0, 1},
    {"ripe_day_length_h", "h", "after midsummer, growth fades over the last hour and a half before days are this short",
     "our own guess, so that shoots peak in September (Himken et al. 1997)", 12, 0, 16},
};
constexpr auto k_all =
    parameters(k_own, {
                          {p_base, 4.3, "zero of the leaf extension curve of Miscanthus, Clifton-Brown & Jones 1997"},
                          {p_optimum, 26, "fitted to the leaf extension curve of Miscanthus, Clifton-Brown & Jones 1997"},
                          {p_ceiling, 38, "our own guess"},
                          {p_light, 1.3, "our own guess; Miscanthus makes 25-30 t/ha in W Europe, Himken et al. 1997"},
                          {p_a, 3.6, "C4 reference 3.6, Lemaire & Gastal 1997 (from memory)"},
                          {p_b, 0.34, "C4 reference 0.34, Lemaire & Gastal 1997 (from memory)"},
                          {p_kcb, 1.15, "our own guess; FAO-56 Table 12 has 1.2 for sugar cane and reed swamp"},
                          {p_depletion, 0.55, "our own guess; FAO-56 Table 22 has 0.55 for grasses grown for hay and 0.65 for sugar cane"},
                          {p_root_start, 300, "our own guess"},
                          {p_root_most, 1200, "1.0 m and more: working figure for large grasses, our own guess"},
                          {p_perennial_roots, 1, "habit: roots are kept"},
                      });
static_assert(k_all.size() == n_all);

constexpr double k_midsummer = 172;
constexpr double k_fade_h = 1.5;

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
      mood = seasons::keep_leaves(m, february, w_twin[i], m.p(p_standing), m.p(p_return));
    } else {
      mood = seasons::die_back(m, {m_slept, m.p(p_sleep_margin), m.p(p_frost), m.p(p_return)}, february, w_twin[i]);
      mood.standing = m.p(p_standing);
      if (m.day_of_year() > k_midsummer) mood.pace *= clip((m.day().day_length_h[i] - m.p(p_ripe)) / k_fade_h, 0, 1);
    }
    speak(m, mood, w_twin, out, factor);
  }
  return LH_OK;
}

constexpr lh_demand k_model = model({"large-grass", "1.0", "a tall grass with deep roots that ripens as days shorten; dies back or not"},
                                    "as herbaceous; Himken et al. 1997; Clifton-Brown & Jones 1997", k_all, k_memory, start, morning);

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return plugins_of<k_model>(); }
