/* A plugin of the day on which ABI 1 was frozen, in C, built from the header of that day, which lies beside it. It uses each kind of table
 * and each function once. Never edit: a host that no longer serves it has broken its promise. */
#include "leafhunger/plugin.h"

static const lh_parameter k_parameters[] = {{"freed_per_day", "1/d", "freed each day at 10 degC", "a sample: no source", 0.05, 0, 1},
                                            {"wash_mm", "mm", "rain that carries all but 1/e in", "a sample: no source", 10, 1, 1e6},
                                            {"reference_c", "degC", "where the response is 1", "a sample: no source", 10, 0, 40},
                                            {"q10", "-", "for ten degrees", "a sample: no source", 2, 1, 5}};
static const lh_response k_responses[] = {{"warmth in soil", "q10", "flat", LH_SOIL, 2, 3}};
static const lh_pool k_pools[] = {{"grains", LH_SURFACE, LH_UNFREED, 1, 1, LH_NONE},
                                  {"crumbs", LH_SOIL, LH_MICROBES, LH_NONE, LH_NONE, LH_NONE}};
static const lh_flow k_flows[] = {{"freed on top", 0, LH_SURFACE_AMMONIUM, 0, 0, 1, {0, 0}},
                                  {"freed in soil", 1, LH_NITRATE, 1, 0, 0, {0, 0}},
                                  {"tied up", LH_MINERAL, 1, 0, 1, 0, {0, 0}}};
static const lh_named k_ages[] = {{"thermal age", "d", "age at the reference"}};

static int32_t start(const lh_day *day, double *pool, double *surface_ammonium, double *age) {
  for (int32_t i = 0; i < day->m_pad; ++i) {
    pool[i] = day->given_kg_n_ha[i];
    pool[day->m_pad + i] = 0;
    surface_ammonium[i] = 0;
    age[i] = 0;
  }
  return LH_OK;
}

static int32_t rates(const lh_day *day, const double *pool, const double *age, double *coef, double *age_rate) {
  (void)pool, (void)age;
  for (int32_t i = 0; i < day->m_pad; ++i) {
    coef[i] = day->parameter[i];
    coef[day->m_pad + i] = day->parameter[i] * day->response[i];
    coef[2 * day->m_pad + i] = 0;
    age_rate[i] = day->response[i];
  }
  return LH_OK;
}

static int32_t bend(int32_t m_pad, const double *parameter, const double *pool, const double *age, const double *given, double *out) {
  (void)parameter, (void)pool, (void)age, (void)given;
  for (int32_t i = 0; i < m_pad; ++i) {
    out[i] = 0.5;
    out[m_pad + i] = out[2 * m_pad + i] = 1;
  }
  return LH_OK;
}

static int32_t check(const double *one_set, char *text, int32_t n) {
  (void)one_set, (void)text, (void)n;
  return LH_OK;
}

static const lh_release k_grain = {.size = sizeof(lh_release),
                                   .about = {"frozen-grain", "1.0", "a grain", "MIT", "a sample: no source", 4, k_parameters, check},
                                   .n_response = 1,
                                   .n_pool = 2,
                                   .n_flow = 3,
                                   .n_age = 1,
                                   .response = k_responses,
                                   .pool = k_pools,
                                   .flow = k_flows,
                                   .age = k_ages,
                                   .start = start,
                                   .rates = rates,
                                   .bend = bend};

static const lh_parameter k_plant_parameters[] = {{"grown_t_ha_d", "t/ha/d", "grown each day", "a sample: no source", 0.1, 0, 1}};
static const lh_named k_memories[] = {{"mornings", "-", "counted"}};
static const lh_named k_factors[] = {{"light", "-", "of the day"}};

static int32_t plant_start(const lh_day *day, double *w, double *memory) {
  for (int32_t i = 0; i < day->m_pad; ++i) w[i] = 0.2, memory[i] = 0;
  return LH_OK;
}

static int32_t plant_morning(const lh_day *day, const double *w_twin, double *memory, lh_morning *out, double *factor) {
  (void)w_twin;
  for (int32_t i = 0; i < day->m_pad; ++i) {
    memory[i] += 1;
    factor[i] = 1;
    out->awake[i] = 1, out->f_t[i] = 0.5, out->cover_frac[i] = 0.5, out->k_cb[i] = 1, out->p_depletion[i] = 0.5;
    out->root_front_mm[i] = 400, out->luxury[i] = 1.2, out->fixed_frac[i] = 0, out->keep_frac[i] = 1, out->reserve_frac[i] = 0;
  }
  return LH_OK;
}

static int32_t plant_critical(int32_t m_pad, const double *parameter, const double *factor, const double *w, double *n_critical) {
  (void)parameter, (void)factor;
  for (int32_t i = 0; i < m_pad; ++i) n_critical[i] = 30 * w[i];
  return LH_OK;
}

static int32_t plant_grow(int32_t m_pad, const double *parameter, const double *factor, const double *w, const double *nni,
                          const double *water_stress, double *w_rate) {
  (void)factor;
  for (int32_t i = 0; i < m_pad; ++i) w_rate[i] = parameter[i] * water_stress[i] * (nni[i] < 1 ? nni[i] : 1) / (1 + w[i] / 40);
  return LH_OK;
}

static const lh_demand k_plant = {.size = sizeof(lh_demand),
                                  .about = {"frozen-plant", "1.0", "a plant", "MIT", "a sample: no source", 1, k_plant_parameters, 0},
                                  .n_memory = 1,
                                  .n_factor = 1,
                                  .memory = k_memories,
                                  .factor = k_factors,
                                  .start = plant_start,
                                  .morning = plant_morning,
                                  .critical = plant_critical,
                                  .grow = plant_grow};

static const lh_release *const k_release[] = {&k_grain};
static const lh_demand *const k_demand[] = {&k_plant};
static const lh_plugins k_plugins = {LH_ABI, sizeof(lh_plugins), 1, 1, k_release, k_demand};

const lh_plugins *leafhunger_plugins(uint32_t host_abi) {
  (void)host_abi;
  return &k_plugins;
}
