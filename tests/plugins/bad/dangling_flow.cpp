// A flow into a pool that is not there.
#include "sample.hpp"

static constexpr lh_flow k_flows[] = {{"freed", 0, 99, 0, 0, 0, {0, 0}}};
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("dangling-flow");
  m.flow = k_flows;
  return m;
}();
SAMPLE_RELEASE(k_model)
