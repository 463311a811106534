// Takes mineral nitrogen without starving where there is none.
#include "sample.hpp"

static constexpr lh_flow k_flows[] = {{"taken", LH_MINERAL, 0, 0, 0, 0, {0, 0}}};
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("greedy-flow");
  m.flow = k_flows;
  return m;
}();
SAMPLE_RELEASE(k_model)
