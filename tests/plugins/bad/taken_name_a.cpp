// One of two libraries that bring the same name.
#include "sample.hpp"

static constexpr lh_release k_model = sample::release("taken-name");
SAMPLE_RELEASE(k_model)
