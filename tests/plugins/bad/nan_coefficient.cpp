// Coefficients that are no numbers from the second day on.
#include <limits>

#include "sample.hpp"

static int32_t rates(const lh_day* day, const double*, const double*, double* coef, double*) {
  for (int i = 0; i < day->m_pad; ++i) coef[i] = day->age_d[i] > 1 ? std::numeric_limits<double>::quiet_NaN() : 0.1;
  return LH_OK;
}
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("nan-coefficient");
  m.rates = rates;
  return m;
}();
SAMPLE_RELEASE(k_model)
