// A parameter without a unit.
#include "sample.hpp"

static constexpr lh_parameter k_parameters[] = {{"freed_per_day", nullptr, "freed each day", "a sample: no source", 0.05, 0, 1}};
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("missing-unit");
  m.about.parameter = k_parameters;
  return m;
}();
SAMPLE_RELEASE(k_model)
