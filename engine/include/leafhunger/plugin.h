/* leafhunger plugin line, ABI 1, frozen: a plugin built with this header is served by every later host that speaks ABI 1, and
 * tests/plugins/abi1 keeps a copy to prove it. Plain C11, also C++20.
 *
 * A plugin is a shared library with one export, `leafhunger_plugins`. It describes release models (how a material frees nitrogen) and
 * demand models (what a plant wants). It never steps time: it declares pools and the flows between them, and returns rate coefficients once
 * a day. The host multiplies each coefficient by its donor pool, so no plugin can lose mass, every gram can be labelled, and linear parts
 * can be solved exactly.
 *
 * Units: nitrogen in kg/ha of the soil column; carbon-bearing pools are held as nitrogen (carbon = nitrogen x C:N); dry matter in t/ha of
 * ground covered by the crown; water and depth in mm; temperature in deg C; time in days.
 * Arrays: `double[rows][m_pad]`, row-major, the first element 64-byte aligned, no two overlap. m members are real; lanes m..m_pad-1 repeat
 * the last. m_pad is 1 or a multiple of 8.
 * Rules: functions are pure (same input, same output), may be called from many threads at once, and keep no pointer past the call. The host
 * owns all that it passes. Structs that begin with `size` may grow at their end: look at it before you read what came later. No other
 * struct will change within an ABI number. Nothing may be thrown across the line. */
#ifndef LEAFHUNGER_PLUGIN_H
#define LEAFHUNGER_PLUGIN_H

#include <stdint.h>

#define LH_ABI 1u
#define LH_NONE (-1)

#ifdef __cplusplus
extern "C" {
#endif

enum lh_status { LH_OK = 0, LH_BAD_PARAMETER = 1, LH_FAILED = 2 };

/* Ends of a flow that are not pools of the plugin. LH_MINERAL is ammonium and nitrate in proportion to amount, as a donor only. */
enum lh_end { LH_AMMONIUM = -2, LH_NITRATE = -3, LH_MINERAL = -4, LH_SURFACE_AMMONIUM = -5, LH_AIR = -6 };

enum lh_place { LH_SURFACE = 0, LH_SOIL = 1 };

/* What the nitrogen of a pool is called in a ledger: still in the feed, in microbes, in humus. */
enum lh_kind { LH_UNFREED = 0, LH_MICROBES = 1, LH_HUMUS = 2 };

/* The index that `grow` gets for a twin that is never short. */
#define LH_WELL_FED 1e30

/* A number that a catalogue entry may set. `def` lies in [lower, upper]. */
typedef struct {
  const char *name, *unit, *meaning, *source;
  double def, lower, upper;
} lh_parameter;

typedef struct {
  const char *name, *unit, *meaning;
} lh_named;

/* A factor the host computes each day: temperature law x moisture law, both by name (see `leafhunger plugins --responses`).
 * t_ref_c and q are parameter indices, or LH_NONE where the law takes none. q is a Q10, or an activation energy in kJ/mol. */
typedef struct {
  const char *name, *temperature, *moisture;
  int32_t place, t_ref_c, q;
} lh_response;

/* A pool. A surface pool is carried by rain into wash_to (a pool index or an lh_end) at rain/wash_mm + mix_per_day; both are parameter
 * indices; LH_NONE for wash_mm means rain does not carry it, a value of 0 mm that it goes in at once. A soil pool has wash_to LH_NONE. */
typedef struct {
  const char *name;
  int32_t place, kind, wash_to, wash_mm, mix_per_day;
} lh_pool;

/* A flow of coef x N[driver]. The driver is the donor, but for a flow from LH_MINERAL it is the pool that asks. `starves`: x lambda, the
 * share of what is asked that scarce mineral N can meet, 1 in each lane where this feeding asks for none. `bends`: x bend of that flow. */
typedef struct {
  const char *name;
  int32_t from, to, driver;
  uint8_t starves, bends, unused[2];
} lh_flow;

typedef struct {
  const char *name;
  int32_t n;
  const double *x, *y;
} lh_table;

/* What a plugin may know of a day. Rows are [m_pad] unless said; those that do not apply are null. */
typedef struct {
  uint32_t size;
  int32_t m, m_pad, n_table;
  const lh_table *table;
  const double *parameter;   /* [n_parameter][m_pad] */
  const double *response;    /* [n_response][m_pad]; release only */
  const double *day_of_year; /* shifted by half a year south of the equator */
  const double *t_min_c, *t_max_c, *radiation_mj_m2, *day_length_h, *rain_mm, *rain3_mm;
  const double *t_soil_c, *wfps_frac, *rel_water_frac;                 /* release: over where it lies; demand: layer 2, the day before */
  const double *age_d, *given_kg_n_ha, *given_t_dm_ha, *mulch_t_dm_ha; /* release only */
} lh_day;

typedef struct {
  const char *name, *version, *summary, *licence, *source;
  int32_t n_parameter;
  const lh_parameter *parameter;
  /* May be null. One set of parameters; on LH_BAD_PARAMETER writes a sentence of at most n bytes with the closing 0. */
  int32_t (*check)(const double *one_set, char *text, int32_t n);
} lh_about;

typedef struct {
  uint32_t size;
  lh_about about;
  int32_t n_response, n_pool, n_flow, n_age;
  const lh_response *response;
  const lh_pool *pool;
  const lh_flow *flow;
  const lh_named *age;
  /* How day->given_kg_n_ha is shared over [n_pool] and surface ammonium [1]; everything starts on the surface, the host forks it in. Sums
   * to what was given within 1e-12 of it. */
  int32_t (*start)(const lh_day *day, double *pool, double *surface_ammonium, double *age);
  /* Coefficients of the day, per day, [n_flow]; and rates of the ages, [n_age]. */
  int32_t (*rates)(const lh_day *day, const double *pool, const double *age, double *coef, double *age_rate);
  /* May be null. At each stage of the integration: [n_flow], in 0..4, 1 where none. */
  int32_t (*bend)(int32_t m_pad, const double *parameter, const double *pool, const double *age, const double *given, double *bend);
} lh_release;

/* What a plant says each morning, rows of [m_pad]. */
typedef struct {
  uint32_t size;
  double *awake;         /* 0 or 1 */
  double *f_t;           /* growth's response to temperature, 0..1 */
  double *cover_frac;    /* share of the crown's ground that leaves shade, 0..1 */
  double *k_cb;          /* basal crop coefficient at full cover */
  double *p_depletion;   /* share of available water that may go before stress, at 5 mm/d */
  double *root_front_mm; /* depth that roots have reached */
  double *luxury;        /* ceiling of plant N over critical N */
  double *fixed_frac;    /* share of the soil's part of the want that is fixed from the air */
  double *keep_frac;     /* dry matter kept this morning; 1 on most days */
  double *reserve_frac;  /* share of the N of what is not kept that goes to the reserve; the rest is litter */
} lh_morning;

typedef struct {
  uint32_t size;
  lh_about about;
  int32_t n_memory, n_factor;
  const lh_named *memory; /* daily rows that the plugin alone writes, shared by a plant and its well-fed twin */
  const lh_named *factor; /* constants of the day for `critical` and `grow` */
  /* w: dry matter, t/ha of covered ground. Called at the start of a season. */
  int32_t (*start)(const lh_day *day, double *w, double *memory);
  int32_t (*morning)(const lh_day *day, const double *w_twin, double *memory, lh_morning *out, double *factor);
  /* Critical N, kg per ha of covered ground. */
  int32_t (*critical)(int32_t m_pad, const double *parameter, const double *factor, const double *w, double *n_critical_kg_ha);
  /* Growth, t/ha of covered ground a day. nni: nitrogen nutrition index, or LH_WELL_FED and above; water_stress: FAO-56 Ks, 1 without. */
  int32_t (*grow)(int32_t m_pad, const double *parameter, const double *factor, const double *w, const double *nni,
                  const double *water_stress, double *w_rate);
} lh_demand;

typedef struct {
  uint32_t abi, size;
  int32_t n_release, n_demand;
  const lh_release *const *release;
  const lh_demand *const *demand;
} lh_plugins;

/* The one export. A plugin that cannot serve host_abi still answers, with the ABI that it was built for. */
const lh_plugins *leafhunger_plugins(uint32_t host_abi);

#ifdef __cplusplus
}
#endif
#endif
