// The rate of its age is endless.
#include <limits>

#include "sample.hpp"

static constexpr lh_named k_ages[] = {{"thermal age", "d", "age at 25 degC"}};
static int32_t rates(const lh_day* day, const double*, const double*, double* coef, double* age_rate) {
  for (int i = 0; i < day->m_pad; ++i) coef[i] = 0.1, age_rate[i] = std::numeric_limits<double>::infinity();
  return LH_OK;
}
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("age-not-finite");
  m.n_age = 1, m.age = k_ages, m.rates = rates;
  return m;
}();
SAMPLE_RELEASE(k_model)
