// A good sample of the rarer paths: a flow straight to the air, one out of surface ammonium, rain that carries a pool straight into
// ammonium, and a take of mineral nitrogen that starves and bends. Its figures mean nothing.
#include "sample.hpp"

namespace {

using leafhunger::sdk::row;

enum Parameter { p_gas, p_gas_ammonium, p_take, p_free, p_wash, p_soluble, n_parameter };
constexpr lh_parameter k_parameters[n_parameter] = {
    {"gas_per_day", "1/d", "straight to the air", "a sample: no source", 0.02, 0, 1},
    {"gas_ammonium_per_day", "1/d", "surface ammonium to the air, besides the host's own", "a sample: no source", 0.03, 0, 1},
    {"take_per_day", "1/d", "mineral N wanted for each N of the chips", "a sample: no source", 0.2, 0, 2},
    {"free_per_day", "1/d", "microbes to ammonium", "a sample: no source", 0.01, 0, 1},
    {"wash_mm", "mm", "rain that carries all but 1/e in", "a sample: no source", 20, 0, 1e6},
    {"soluble_frac", "-", "share that is ammonium on the surface at once", "a sample: no source", 0.1, 0, 1},
};
enum Pool { s_chips, microbes, n_pool };
constexpr lh_pool k_pools[n_pool] = {{"chips", LH_SURFACE, LH_UNFREED, LH_AMMONIUM, p_wash, LH_NONE},
                                     {"microbes", LH_SOIL, LH_MICROBES, LH_NONE, LH_NONE, LH_NONE}};
enum Flow { f_gas, f_gas_ammonium, f_take, f_free, f_eaten, n_flow };
constexpr lh_flow k_flows[n_flow] = {{"to the air", s_chips, LH_AIR, s_chips, 0, 0, {0, 0}},
                                     {"ammonium to the air", LH_SURFACE_AMMONIUM, LH_AIR, LH_SURFACE_AMMONIUM, 0, 0, {0, 0}},
                                     {"tied up", LH_MINERAL, microbes, s_chips, 1, 1, {0, 0}},
                                     {"freed", microbes, LH_AMMONIUM, microbes, 0, 0, {0, 0}},
                                     {"eaten", s_chips, microbes, s_chips, 1, 1, {0, 0}}};

int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double*) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    surface_ammonium[i] = row(day->parameter, p_soluble, n)[i] * day->given_kg_n_ha[i];
    row(pool, s_chips, n)[i] = day->given_kg_n_ha[i] - surface_ammonium[i];
    row(pool, microbes, n)[i] = 0;
  }
  return LH_OK;
}

int32_t rates(const lh_day* day, const double*, const double*, double* coef, double*) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    const auto p = [&](int k) { return row(day->parameter, k, n)[i]; };
    row(coef, f_gas, n)[i] = p(p_gas);
    row(coef, f_gas_ammonium, n)[i] = p(p_gas_ammonium);
    row(coef, f_take, n)[i] = p(p_take);
    row(coef, f_free, n)[i] = p(p_free);
    row(coef, f_eaten, n)[i] = p(p_take) / 4;
  }
  return LH_OK;
}

// The more is eaten, the faster it goes: from 1 to 2.
int32_t bend(int32_t n, const double*, const double* pool, const double*, const double* given, double* out) {
  for (int i = 0; i < n; ++i) {
    const double left = given[i] > 0 ? leafhunger::sdk::clip(row(pool, s_chips, n)[i] / given[i], 0, 1) : 1;
    for (int f = 0; f < n_flow; ++f) row(out, f, n)[i] = f == f_take || f == f_eaten ? 2 - left : 1;
  }
  return LH_OK;
}

constexpr lh_release k_model = {
    sizeof(lh_release),
    {"sample-gassing-chips", "1.0", "chips that gas and tie nitrogen up", "MIT", "a sample: no source", n_parameter, k_parameters, nullptr},
    0,
    n_pool,
    n_flow,
    0,
    nullptr,
    k_pools,
    k_flows,
    nullptr,
    start,
    rates,
    bend};

}  // namespace

SAMPLE_RELEASE(k_model)
