// A good sample of a plant without memory and without factors.
#include "sample.hpp"

static constexpr lh_demand k_model = sample::demand("sample-steady-grower");
SAMPLE_DEMAND(k_model)
