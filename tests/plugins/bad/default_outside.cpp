// A default above its own upper bound.
#include "sample.hpp"

static constexpr lh_parameter k_parameters[] = {{"freed_per_day", "1/d", "freed each day", "a sample: no source", 5, 0, 1}};
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("default-outside");
  m.about.parameter = k_parameters;
  return m;
}();
SAMPLE_RELEASE(k_model)
