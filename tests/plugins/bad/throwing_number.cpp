// Throws what is no exception by type.
#include "sample.hpp"

static int32_t start(const lh_day*, double*, double*, double*) { throw 42; }
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("throwing-number");
  m.start = start;
  return m;
}();
SAMPLE_RELEASE(k_model)
