// Says that it failed.
#include "sample.hpp"

static int32_t start(const lh_day*, double*, double*, double*) { return LH_FAILED; }
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("failing-start");
  m.start = start;
  return m;
}();
SAMPLE_RELEASE(k_model)
