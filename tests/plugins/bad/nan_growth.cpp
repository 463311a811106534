// A plant whose growth is no number.
#include <limits>

#include "sample.hpp"

static int32_t grow(int32_t m_pad, const double*, const double*, const double*, const double*, const double*, double* w_rate) {
  for (int i = 0; i < m_pad; ++i) w_rate[i] = std::numeric_limits<double>::quiet_NaN();
  return LH_OK;
}
static constexpr lh_demand k_model = [] {
  lh_demand m = sample::demand("nan-growth");
  m.grow = grow;
  return m;
}();
SAMPLE_DEMAND(k_model)
