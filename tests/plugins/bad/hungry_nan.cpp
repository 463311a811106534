// A plant whose growth is no number only while it is short: its well-fed twin never shows it.
#include <limits>

#include "sample.hpp"

static int32_t grow(int32_t m_pad, const double* parameter, const double* factor, const double* w, const double* nni, const double* stress,
                    double* w_rate) {
  sample::plant_grow(m_pad, parameter, factor, w, nni, stress, w_rate);
  for (int i = 0; i < m_pad; ++i)
    if (nni[i] < LH_WELL_FED) w_rate[i] = std::numeric_limits<double>::quiet_NaN();
  return LH_OK;
}
static constexpr lh_demand k_model = [] {
  lh_demand m = sample::demand("hungry-nan");
  m.grow = grow;
  return m;
}();
SAMPLE_DEMAND(k_model)
