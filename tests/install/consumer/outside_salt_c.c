/* The same in plain C: the line between host and plugin knows no C++. */
#include <leafhunger/plugin.h>

static const lh_parameter k_parameters[] = {{"wash_mm", "mm", "rain that carries all but 1/e in", "a guess", 5, 0, 1e6}};
static const lh_pool k_pools[] = {{"salt", LH_SURFACE, LH_UNFREED, LH_NITRATE, 0, LH_NONE}};

static int32_t start(const lh_day *day, double *pool, double *surface_ammonium, double *age) {
  (void)age;
  for (int32_t i = 0; i < day->m_pad; ++i) {
    pool[i] = day->given_kg_n_ha[i];
    surface_ammonium[i] = 0;
  }
  return LH_OK;
}

static int32_t rates(const lh_day *day, const double *pool, const double *age, double *coef, double *age_rate) {
  (void)day, (void)pool, (void)age, (void)coef, (void)age_rate;
  return LH_OK;
}

static const lh_release k_model = {.size = sizeof(lh_release),
                                   .about = {"outside-c-salt", "1.0", "a salt from outside, in C", "MIT", "a guess", 1, k_parameters, 0},
                                   .n_pool = 1,
                                   .pool = k_pools,
                                   .start = start,
                                   .rates = rates};
static const lh_release *const k_release[] = {&k_model};
static const lh_plugins k_plugins = {LH_ABI, sizeof(lh_plugins), 1, 0, k_release, 0};

const lh_plugins *leafhunger_plugins(uint32_t host_abi) {
  (void)host_abi;
  return &k_plugins;
}
