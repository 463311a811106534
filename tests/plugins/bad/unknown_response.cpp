// A temperature law that the host does not know.
#include "sample.hpp"

static constexpr lh_response k_responses[] = {{"decay", "hotter_is_better", "flat", LH_SOIL, LH_NONE, LH_NONE}};
static constexpr lh_release k_model = [] {
  lh_release m = sample::release("unknown-response");
  m.n_response = 1, m.response = k_responses;
  return m;
}();
SAMPLE_RELEASE(k_model)
