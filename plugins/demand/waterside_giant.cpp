// A giant-leaved perennial of wet ground: grows in cool summers, dies back to a great rhizome, loses leaf on days above its ceiling, and
// may fix all of its nitrogen (Nostoc in the stem glands of Gunnera: Osborne et al. 1992).
#include "seasons.hpp"

namespace {

using namespace grower;

enum Own { p_sleep_margin = grower::n_parameter, p_frost, p_return, p_fixed, p_scorch, n_all };
constexpr lh_parameter k_own[] = {
    seasons::k_sleep_margin,
    seasons::k_frost,
    seasons::k_return,
    {"fixed_frac", "-", "share of the want met by symbiotic fixation",
     "Osborne et al. 1992, New Phytol.: fixation can meet all vegetative need of Gunnera tinctoria; 0 for others of this habit", 1, 0, 1},
    {"scorch_per_c_day", "1/degC/d", "share of the leaves lost for each degree that a day's maximum passes ceiling_c",
     "our own guess: that heat and drought limit Gunnera is published (Gioria & Osborne 2013), no threshold is", 0.02, 0, 0.3},
};
constexpr auto k_all =
    parameters(k_own, {
                          {p_base, 5, "our own guess"},
                          {p_optimum, 17, "our own guess, from mild, wet, even summers (Gioria & Osborne 2013)"},
                          {p_ceiling, 27, "our own guess; of rhubarb: quality falls above 27 (Western Australia DPIRD)"},
                          {p_kcb, 1.15, "our own guess, tall wet-ground plants; FAO-56 Table 12 has 1.2 for wetland"},
                          {p_depletion, 0.3, "our own guess: extra water raised its growth greatly (Campbell & Osborne 1993)"},
                          {p_perennial_roots, 1, "habit: a perennial rhizome"},
                      });
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
    Mood mood = seasons::die_back(m, {m_slept, m.p(p_sleep_margin), m.p(p_frost), m.p(p_return)}, february, w_twin[i]);
    const double too_hot = m.t_max_c() - m.p(p_ceiling);
    if (m.awake() && mood.keep == 1 && too_hot > 0)
      mood.keep = std::fmax(1 - std::fmin(m.p(p_scorch) * too_hot, 1), m.keep_start(w_twin[i]));  // all of its N is litter
    mood.fixed = m.p(p_fixed);
    speak(m, mood, w_twin, out, factor);
  }
  return LH_OK;
}

constexpr lh_demand k_model =
    model({"waterside-giant", "1.0", "giant leaves on wet ground: cool-summer grower that scorches above its ceiling and may fix its N"},
          "as herbaceous; fixation: Osborne et al. 1992", k_all, k_memory, start, morning);

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return plugins_of<k_model>(); }
