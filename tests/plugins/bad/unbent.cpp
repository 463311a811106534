// A flow that bends, but no `bend`.
#include "sample.hpp"

static constexpr lh_flow k_flows[] = {{"freed", 0, LH_SURFACE_AMMONIUM, 0, 0, 1, {0, 0}}};
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("unbent");
  m.flow = k_flows;
  return m;
}();
SAMPLE_RELEASE(k_model)
