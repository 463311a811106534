// Its table is shorter than the host's: built with an older header.
#include "sample.hpp"

static constexpr lh_release k_model = [] {
  lh_release m = sample::release("wrong-size");
  m.size -= 8;
  return m;
}();
SAMPLE_RELEASE(k_model)
