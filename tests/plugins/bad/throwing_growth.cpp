// Throws what is no exception, from a plant.
#include "sample.hpp"

static int32_t grow(int32_t, const double*, const double*, const double*, const double*, const double*, double*) { throw 42; }
static constexpr lh_demand k_model = [] {
  lh_demand m = sample::demand("throwing-growth");
  m.grow = grow;
  return m;
}();
SAMPLE_DEMAND(k_model)
