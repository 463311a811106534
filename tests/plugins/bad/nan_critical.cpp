// A plant whose critical nitrogen is no number.
#include <limits>

#include "sample.hpp"

static int32_t critical(int32_t m_pad, const double*, const double*, const double*, double* n_critical) {
  for (int i = 0; i < m_pad; ++i) n_critical[i] = std::numeric_limits<double>::quiet_NaN();
  return LH_OK;
}
static constexpr lh_demand k_model = [] {
  lh_demand m = sample::demand("nan-critical");
  m.critical = critical;
  return m;
}();
SAMPLE_DEMAND(k_model)
