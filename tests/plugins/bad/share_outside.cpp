// A plant whose response to temperature is two.
#include "sample.hpp"

static int32_t morning(const lh_day* day, const double* w, double* memory, lh_morning* out, double* factor) {
  sample::plant_morning(day, w, memory, out, factor);
  for (int i = 0; i < day->m_pad; ++i) out->f_t[i] = 2;
  return LH_OK;
}
static constexpr lh_demand k_model = [] {
  lh_demand m = sample::demand("share-outside");
  m.morning = morning;
  return m;
}();
SAMPLE_DEMAND(k_model)
