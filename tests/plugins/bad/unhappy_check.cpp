// Refuses every set of parameters, with a sentence.
#include <cstring>

#include "sample.hpp"

static int32_t check(const double*, char* text, int32_t n) {
  std::strncpy(text, "these figures never fit together", static_cast<std::size_t>(n - 1));
  text[n - 1] = '\0';
  return LH_BAD_PARAMETER;
}
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("unhappy-check");
  m.about.check = check;
  return m;
}();
SAMPLE_RELEASE(k_model)
