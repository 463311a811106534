// An evergreen that grows in flushes, as warmth adds up and with no look at the calendar. Its year's leaves join the standing ones on 1
// February and as many of the oldest fall, giving back part of their nitrogen first. A night below its frost browns all leaves.
#include "seasons.hpp"

namespace {

using namespace grower;

enum Own { p_standing = grower::n_parameter, p_frost, p_return, p_flush, p_flush_period, n_all };
constexpr lh_parameter k_own[] = {
    {"standing_leaf_t_ha", "t/ha", "leaves kept over winter, at most", "our own guess", 4, 0, 20},
    {"frost_c", "degC", "a night this cold browns all leaves", "our own guess", -15, -40, 5},
    {"reserve_return", "-", "share of the N of falling old leaves that is drawn back first",
     "Embaye et al. 2005: 19 % resorbed from litter of highland bamboo", 0.19, 0, 1},
    {"flush_frac", "-", "growth swings by this share above and below its mean, 0 none", "our own guess", 0.7, 0, 1},
    {"flush_period_c_day", "degC d", "warmth above base_c from one flush to the next", "our own guess", 400, 50, 3000},
};
constexpr auto k_all = parameters(k_own, {
                                             {p_base, 8, "our own guess"},
                                             {p_optimum, 22, "our own guess"},
                                             {p_light, 0.3, "our own guess: leathery leaves that last for years are made slowly"},
                                             {p_a, 2.4, "our own guess: low-nitrogen evergreen leaves"},
                                             {p_b, 0.15, "our own guess: low-nitrogen evergreen leaves"},
                                             {p_kcb, 0.95, "our own guess; FAO-56 Table 12 has 0.95 for palms"},
                                             {p_depletion, 0.5, "our own guess; FAO-56 Table 22 has 0.65 for palms"},
                                             {p_perennial_roots, 1, "habit: roots are kept"},
                                         });
static_assert(k_all.size() == n_all);

enum OwnMemory { m_standing = grower::n_memory, m_warmth, n_all_memory };
constexpr lh_named k_memory[n_all_memory] = {k_lag,
                                             k_awake,
                                             k_root,
                                             k_last_day,
                                             {"standing leaf", "t/ha", "leaves of years before"},
                                             {"warmth", "degC d", "warmth above base_c since the start"}};

int32_t start(const lh_day* day, double* w, double* memory) {
  for (int i = 0; i < day->m_pad; ++i) {
    const Member m(*day, memory, i);
    grower::start(m, w);
    m.memory(m_standing) = m.p(p_standing);
    m.memory(m_warmth) = 0;
  }
  return LH_OK;
}

int32_t morning(const lh_day* day, const double* w_twin, double* memory, lh_morning* out, double* factor) {
  constexpr double k_pi = 3.14159265358979323846;
  for (int i = 0; i < day->m_pad; ++i) {
    const Member m(*day, memory, i);
    const bool february = wake_up(m);
    double &standing = m.memory(m_standing), &warmth = m.memory(m_warmth);
    const double w = w_twin[i];
    // Last season's leaves count as standing from now on, up to what the plant can carry.
    if (february) standing = std::fmin(standing + w * (1 - m.keep_start(w)), m.p(p_standing));
    Mood mood = seasons::keep_leaves(m, february, w, standing, m.p(p_return));
    if (m.t_min_c() <= m.p(p_frost)) {
      standing = mood.standing = 0;
      mood.keep = m.keep_start(w), mood.to_reserve = 0;
    }
    if (m.awake()) warmth += std::fmax(m.mean_c() - m.p(p_base), 0);
    const double swing = std::sin(k_pi * warmth / m.p(p_flush_period));
    mood.pace = 1 + m.p(p_flush) * (2 * swing * swing - 1);
    speak(m, mood, w_twin, out, factor);
  }
  return LH_OK;
}

constexpr lh_demand k_model = model({"evergreen", "1.0", "keeps its leaves for years and makes new ones in flushes as warmth adds up"},
                                    "as herbaceous; flushes: our own guess", k_all, k_memory, start, morning);

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return plugins_of<k_model>(); }
