// Hands out half as much again as was given: it frees more than it holds.
#include "sample.hpp"

static int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double*) {
  for (int i = 0; i < day->m_pad; ++i) pool[i] = day->given_kg_n_ha[i], surface_ammonium[i] = 0.5 * day->given_kg_n_ha[i];
  return LH_OK;
}
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("frees-too-much");
  m.start = start;
  return m;
}();
SAMPLE_RELEASE(k_model)
