// A plant of dry climates: evergreen, slow, poor in nitrogen, and living on water of its own when the soil is dry, so that its growth falls
// less than water in the soil does. What it wants is so little that most soils meet it: feed buys no growth.
#include "seasons.hpp"

namespace {

using namespace grower;

enum Own { p_standing = grower::n_parameter, p_frost, p_return, p_dry_power, n_all };
constexpr lh_parameter k_own[] = {
    {"standing_leaf_t_ha", "t/ha", "leaves kept over winter", "our own guess", 4, 0, 20},
    {"frost_c", "degC", "a night this cold kills the leaves of this season", "our own guess", -15, -40, 5},
    {"reserve_return", "-", "share of the N of falling old leaves that is drawn back first",
     "estimated by analogy with bamboo, 19 %: Embaye et al. 2005", 0.19, 0, 1},
    {"drought_power", "-", "growth in dry soil goes with Ks to this power: 1 as other plants, less where it stores water", "our own guess",
     0.5, 0.1, 1},
};
constexpr auto k_all = parameters(k_own, {
                                             {p_base, 8, "our own guess"},
                                             {p_optimum, 24, "our own guess"},
                                             {p_ceiling, 42, "our own guess"},
                                             {p_light, 0.15, "our own guess: a slow plant of dry ground"},
                                             {p_a, 2.4, "our own guess: low-nitrogen evergreen leaves"},
                                             {p_b, 0.15, "our own guess: low-nitrogen evergreen leaves"},
                                             {p_luxury, 1.05, "our own guess: stores little beyond its need"},
                                             {p_kcb, 0.4, "our own guess, after dry-climate plants, from memory"},
                                             {p_depletion, 0.65, "estimated by analogy with palms (FAO-56 Table 22)"},
                                             {p_root_most, 600, "our own guess: deep or wide roots"},
                                             {p_perennial_roots, 1, "habit: roots are kept"},
                                         });
static_assert(k_all.size() == n_all);

constexpr lh_named k_memory[n_memory] = {k_lag, k_awake, k_root, k_last_day};

int32_t start(const lh_day* day, double* w, double* memory) {
  for (int i = 0; i < day->m_pad; ++i) grower::start(Member(*day, memory, i), w);
  return LH_OK;
}

int32_t morning(const lh_day* day, const double* w_twin, double* memory, lh_morning* out, double* factor) {
  for (int i = 0; i < day->m_pad; ++i) {
    const Member m(*day, memory, i);
    const bool february = wake_up(m);
    Mood mood = seasons::keep_leaves(m, february, w_twin[i], m.p(p_standing), m.p(p_return));
    if (m.t_min_c() <= m.p(p_frost)) mood.keep = m.keep_start(w_twin[i]), mood.to_reserve = 0;
    speak(m, mood, w_twin, out, factor);
  }
  return LH_OK;
}

int32_t grow_dry(int32_t n, const double* parameter, const double* factor, const double* w, const double* nni, const double* stress,
                 double* w_rate) {
  for (int i = 0; i < n; ++i)
    w_rate[i] = grown(i, n, parameter, factor, w[i], fed_share(nni[i]), std::pow(stress[i], row(parameter, p_dry_power, n)[i]));
  return LH_OK;
}

constexpr lh_demand k_model = model({"frugal", "1.0", "a slow evergreen of dry ground that wants little and stores water"},
                                    "as herbaceous; the rest our own guess", k_all, k_memory, start, morning, grow_dry);

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return plugins_of<k_model>(); }
