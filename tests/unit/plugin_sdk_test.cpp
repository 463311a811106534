// What the header for authors of plugins makes of names and loops is what the host takes.
#include "leafhunger/plugin_sdk.hpp"

#include <gtest/gtest.h>

#include <stdexcept>
#include <vector>

#include "leafhunger/plugin_registry.hpp"

namespace leafhunger {
namespace {

using namespace sdk;

constexpr lh_parameter k_parameters[] = {{"speed", "1/d", "speed", "a test", 0.1, 0, 1}, {"wash", "mm", "rain", "a test", 5, 0, 9}};
constexpr lh_response k_responses[] = {{"in soil", "flat", "flat", LH_SOIL, LH_NONE, LH_NONE}};
constexpr lh_pool k_pools[] = {{"top", LH_SURFACE, LH_UNFREED, 1, 1, LH_NONE}, {"soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE}};
constexpr lh_flow k_flows[] = {flow("freed", 1, LH_AMMONIUM)};
constexpr lh_named k_ages[] = {{"age", "d", "age"}};

int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double* age) {
  return each_member(day, [&](Lane m) {
    m.in(pool, 0) = m.given() / 4, m.in(pool, 1) = m.given() / 2, m.in(surface_ammonium) = m.given() / 4, m.in(age) = m.index();
  });
}
int32_t rates(const lh_day* day, const double* pool, const double*, double* coef, double* age_rate) {
  return each_member(day, [&](Lane m) {
    if (m.of(pool, 1) < 0) throw std::runtime_error("a pool below nought");
    m.in(coef) = m.parameter(0) * m.response(0), m.in(age_rate) = 1;
  });
}
int32_t check(const double* set, char*, int32_t) { return set[0] > 0.9 ? LH_BAD_PARAMETER : LH_OK; }

constexpr lh_release k_model = release({.name = "by-names",
                                        .version = "2.0",
                                        .summary = "a test",
                                        .licence = "MIT",
                                        .source = "a test",
                                        .parameters = k_parameters,
                                        .responses = k_responses,
                                        .pools = k_pools,
                                        .flows = k_flows,
                                        .ages = k_ages,
                                        .start = start,
                                        .rates = rates,
                                        .check = check});
constexpr lh_release k_bare =
    release({.name = "bare", .summary = "s", .licence = "l", .source = "s", .pools = k_pools, .start = start, .rates = rates});

TEST(PluginSdk, TheHostTakesWhatItMakes) {
  const lh_plugins* both = plugins_of<k_model, k_bare>();
  EXPECT_EQ(both->abi, LH_ABI);
  EXPECT_EQ(both->size, sizeof(lh_plugins));
  EXPECT_EQ(both->n_release, 2);
  EXPECT_EQ(both->n_demand, 0);
  EXPECT_EQ(plugins_of<k_bare>()->release[0], &k_bare);
}

TEST(PluginSdk, EveryPartStandsWhereItBelongs) {
  EXPECT_EQ(k_model.size, sizeof(lh_release));
  EXPECT_STREQ(k_model.about.version, "2.0");
  EXPECT_EQ(k_model.about.n_parameter, 2);
  EXPECT_EQ(k_model.about.parameter, k_parameters);
  EXPECT_EQ(k_model.about.check, check);
  EXPECT_EQ(k_model.n_response, 1);
  EXPECT_EQ(k_model.response, k_responses);
  EXPECT_EQ(k_model.n_pool, 2);
  EXPECT_EQ(k_model.pool, k_pools);
  EXPECT_EQ(k_model.n_flow, 1);
  EXPECT_EQ(k_model.flow, k_flows);
  EXPECT_EQ(k_model.n_age, 1);
  EXPECT_EQ(k_model.age, k_ages);
  EXPECT_EQ(k_model.start, start);
  EXPECT_EQ(k_model.rates, rates);
  EXPECT_EQ(k_model.bend, nullptr);
  EXPECT_EQ(k_bare.n_flow, 0);
  EXPECT_EQ(k_bare.about.check, nullptr);
  EXPECT_STREQ(k_bare.about.version, "1.0");
  EXPECT_EQ(k_flows[0].driver, 1);
  PluginRegistry registry;
  registry.add(plugins_of<k_model>(), "a test");
  EXPECT_NE(registry.release("by-names"), nullptr);
}

TEST(PluginSdk, EachMemberReadsAndWritesItsOwnLane) {
  constexpr int n = 8;
  std::vector<double> given(n), parameter(2 * n), response(n, 0.5), pool(2 * n, -1), ammonium(n, -1), age(n, -1), coef(n), age_rate(n);
  for (int i = 0; i < n; ++i) given[i] = 4 * i, parameter[i] = 0.1 * i, parameter[n + i] = 5;
  lh_day day{};
  day.size = sizeof day, day.m = 5, day.m_pad = n, day.given_kg_n_ha = given.data(), day.parameter = parameter.data(),
  day.response = response.data();
  ASSERT_EQ(start(&day, pool.data(), ammonium.data(), age.data()), LH_OK);
  ASSERT_EQ(rates(&day, pool.data(), age.data(), coef.data(), age_rate.data()), LH_OK);
  for (int i = 0; i < n; ++i) {
    EXPECT_EQ(pool[i], i);
    EXPECT_EQ(pool[n + i], 2 * i);
    EXPECT_EQ(ammonium[i], i);
    EXPECT_EQ(age[i], i);
    EXPECT_DOUBLE_EQ(coef[i], 0.05 * i);
    EXPECT_EQ(age_rate[i], 1);
  }
  pool[n + 3] = -1;
  EXPECT_EQ(rates(&day, pool.data(), age.data(), coef.data(), age_rate.data()), LH_FAILED) << "thrown, and not across the line";
}

}  // namespace
}  // namespace leafhunger
