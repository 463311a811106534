// Bends to five times, where the host allows four.
#include "sample.hpp"

static constexpr lh_flow k_flows[] = {{"freed", 0, LH_SURFACE_AMMONIUM, 0, 0, 1, {0, 0}}};
static int32_t bend(int32_t m_pad, const double*, const double*, const double*, const double*, double* out) {
  for (int i = 0; i < m_pad; ++i) out[i] = 5;
  return LH_OK;
}
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("bend-outside");
  m.flow = k_flows, m.bend = bend;
  return m;
}();
SAMPLE_RELEASE(k_model)
