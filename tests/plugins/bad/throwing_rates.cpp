// Throws across the line, which no plugin may: the host must name it and live.
#include <stdexcept>

#include "sample.hpp"

static int32_t rates(const lh_day*, const double*, const double*, double*, double*) { throw std::runtime_error("out of manure"); }
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("throwing-rates");
  m.rates = rates;
  return m;
}();
SAMPLE_RELEASE(k_model)
