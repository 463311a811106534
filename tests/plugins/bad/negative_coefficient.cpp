// A flow that would run backwards.
#include "sample.hpp"

static int32_t rates(const lh_day* day, const double*, const double*, double* coef, double*) {
  for (int i = 0; i < day->m_pad; ++i) coef[i] = -0.1;
  return LH_OK;
}
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("negative-coefficient");
  m.rates = rates;
  return m;
}();
SAMPLE_RELEASE(k_model)
