// No `rates`.
#include "sample.hpp"

static constexpr lh_release k_model = [] {
  lh_release m = sample::release("missing-function");
  m.rates = nullptr;
  return m;
}();
SAMPLE_RELEASE(k_model)
