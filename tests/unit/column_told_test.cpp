// What the host tells a release model of a day, seen by a model that writes it down.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdint>

#include "leafhunger/response.hpp"
#include "plugins/sample.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::Rig;

struct Told {
  int32_t m, m_pad;
  double age_d, given_kg, given_t, mulch_t, t_soil, wfps, rel_water, rain, t_min, t_max, day_of_year;
  std::vector<double> response, pool;
  bool aligned, table_is_null;
};
std::vector<Told>& told() {
  static std::vector<Told> all;
  return all;
}

constexpr lh_response k_responses[] = {{"on top", "q10", "flat", LH_SURFACE, 0, 1}, {"in soil", "q10", "relative_wet", LH_SOIL, 0, 1}};
constexpr lh_parameter k_parameters[] = {{"reference_c", "degC", "reference", "a sample", 15, 0, 40},
                                         {"q10", "-", "Q10", "a sample", 2, 1, 4}};
constexpr lh_pool k_pools[] = {{"mulch", LH_SURFACE, LH_UNFREED, LH_AMMONIUM, LH_NONE, LH_NONE}};
constexpr lh_flow k_flows[] = {{"freed", 0, LH_SURFACE_AMMONIUM, 0, 0, 0, {0, 0}}};

int32_t write_down(const lh_day* d, const double* pool, const double*, double* coef, double*) {
  Told t{};
  t.m = d->m, t.m_pad = d->m_pad;
  const int last = d->m_pad - 1;
  t.age_d = d->age_d[last], t.given_kg = d->given_kg_n_ha[last], t.given_t = d->given_t_dm_ha[last], t.mulch_t = d->mulch_t_dm_ha[last];
  t.t_soil = d->t_soil_c[last], t.wfps = d->wfps_frac[last], t.rel_water = d->rel_water_frac[last], t.rain = d->rain_mm[last];
  t.t_min = d->t_min_c[last], t.t_max = d->t_max_c[last], t.day_of_year = d->day_of_year[last];
  for (int r = 0; r < 2; ++r) t.response.push_back(d->response[r * d->m_pad + last]);
  t.pool.push_back(pool[last]);
  t.aligned = true;
  for (const double* rows : {d->parameter, d->response, d->day_of_year, d->age_d, d->given_kg_n_ha, d->given_t_dm_ha, d->mulch_t_dm_ha,
                             d->t_soil_c, pool, static_cast<const double*>(coef)})
    t.aligned = t.aligned && reinterpret_cast<std::uintptr_t>(rows) % 64 == 0;
  t.table_is_null = d->table == nullptr && d->n_table == 0 && d->size >= sizeof(lh_day);
  told().push_back(t);
  for (int i = 0; i < d->m_pad; ++i) coef[i] = 0.1;
  return LH_OK;
}

const lh_release& model() {
  static const lh_release m = [] {
    lh_release r = sample::release("writes-down");
    r.about.n_parameter = 2, r.about.parameter = k_parameters;
    r.n_response = 2, r.response = k_responses;
    r.pool = k_pools, r.flow = k_flows, r.rates = write_down;
    return r;
  }();
  return m;
}

std::size_t add(Rig& rig, double forked, bool bulky = false) {
  rig.shape.slots.push_back({&model(), forked});
  SlotMaterial m;
  m.parameter = default_parameters(model().about);
  m.surface = {0, 0, 1, 5.5};
  m.t_dm_per_kg_n = 0.2, m.bulky = bulky;
  rig.materials.push_back(m);
  return rig.shape.slots.size() - 1;
}

TEST(ColumnTold, AgeAndWhatWasGiven) {
  told().clear();
  Rig rig(6, 12);
  const std::size_t slot = add(rig, 0);
  rig.feed(2, slot, 30), rig.feed(4, slot, 10);
  testing::run(rig, [](std::size_t, ColumnBatch&) {});
  ASSERT_EQ(told().size(), 6u);
  const double age[] = {0, 0, 0, 1, 2, 3}, given[] = {0, 0, 30, 30, 40, 40};
  for (std::size_t d = 0; d < 6; ++d) {
    EXPECT_EQ(told()[d].age_d, age[d]) << d;
    EXPECT_EQ(told()[d].given_kg, given[d]) << d;
    EXPECT_NEAR(told()[d].given_t, 0.2 * given[d], 1e-12);
    EXPECT_TRUE(told()[d].table_is_null);
  }
}

TEST(ColumnTold, MulchIsAllBulkyMatterStillOnTop) {
  told().clear();
  Rig rig(5, 12);
  const std::size_t a = add(rig, 0, true), b = add(rig, 0, true), powder = add(rig, 0, false);
  rig.feed(0, a, 30), rig.feed(0, b, 10), rig.feed(0, powder, 99);
  testing::run(rig, [](std::size_t, ColumnBatch&) {});
  ASSERT_EQ(told().size(), 15u) << "three slots, five days";
  // A tenth goes each day, so exp(-0.1 d) is left.
  for (std::size_t d = 0; d < 5; ++d)
    for (std::size_t s = 0; s < 3; ++s)
      EXPECT_NEAR(told()[3 * d + s].mulch_t, 0.2 * 40 * std::exp(-0.1 * static_cast<double>(d)), 1e-6)
          << "both mulches, whoever asks; no powder";
}

TEST(ColumnTold, WeatherOfTheDay) {
  told().clear();
  Rig rig(3, 12);
  rig.climate.rain_mm = {0, 7, 0};
  add(rig, 0);
  testing::run(rig, [](std::size_t, ColumnBatch&) {});
  EXPECT_EQ(told()[1].rain, 7);
  EXPECT_EQ(told()[1].t_min, 7);
  EXPECT_EQ(told()[1].t_max, 17);
  EXPECT_EQ(told()[0].day_of_year, 305) << "1 November";
}

// decisions 2.7: the mean, by where it lies, of the product of the responses, not the product of means.
TEST(ColumnTold, ResponsesAreMeansOfTheProductOverWhereItLies) {
  told().clear();
  Rig rig(1, 12);
  const double t[] = {20, 10, 30, 0}, w[] = {0.2, 0.5, 0.9, 0.5};
  for (std::size_t l = 0; l < 4; ++l) rig.climate.t_c[l] = t[l], rig.climate.wfps_frac[l] = w[l], rig.climate.available_frac[l] = w[l] / 2;
  add(rig, 0), add(rig, 120);
  testing::run(rig, [](std::size_t, ColumnBatch&) {});
  ASSERT_EQ(told().size(), 2u);
  const auto q10 = [](double x) { return std::pow(2, (x - 15) / 10); };
  const auto wet = [&](std::size_t l) {
    return find_moisture_response("relative_wet")
        ->value({w[l] * rig.soil.theta_sat[l], rig.soil.theta_fc[l], rig.soil.theta_wp[l], w[l], w[l] / 2});
  };
  EXPECT_NEAR(told()[0].response[0], q10(20), 1e-14);
  EXPECT_NEAR(told()[0].response[1], q10(20) * wet(0), 1e-14) << "left on top: the first layer";
  const double first = 50.0 / 120, second = 70.0 / 120;
  EXPECT_NEAR(told()[1].response[1], first * q10(20) * wet(0) + second * q10(10) * wet(1), 1e-14);
  EXPECT_NEAR(told()[1].response[0], q10(20), 1e-14) << "the surface is the first layer, wherever it was forked";
  EXPECT_NEAR(told()[1].t_soil, first * 20 + second * 10, 1e-12);
  EXPECT_NEAR(told()[1].wfps, first * 0.2 + second * 0.5, 1e-12);
  EXPECT_NEAR(told()[1].rel_water, first * 0.1 + second * 0.25, 1e-12);
}

TEST(ColumnTold, PoolsAreThoseOfTheMorning) {
  told().clear();
  Rig rig(3, 12);
  rig.feed(0, add(rig, 0), 50);
  testing::run(rig, [](std::size_t, ColumnBatch&) {});
  EXPECT_EQ(told()[0].pool[0], 50) << "fed before it is asked";
  EXPECT_NEAR(told()[2].pool[0], 50 * std::exp(-0.2), 1e-9);
}

TEST(ColumnTold, LanesPastTheMembersRepeatTheLastAndRowsAreAligned) {
  told().clear();
  Rig rig(1, 12);
  add(rig, 0), add(rig, 100);
  rig.feed(0, 0, 10);
  Member one = rig.member(), two = rig.member();
  two.doses[0].kg_n_ha = 77;
  const Member members[] = {one, one, two};
  ColumnBatch c(rig.shape, members, 8);
  c.start();
  c.begin_day(0);
  EXPECT_EQ(told()[0].m, 3);
  EXPECT_EQ(told()[0].m_pad, 8);
  EXPECT_EQ(told()[0].given_kg, 77) << "the eighth lane is the third member";
  for (const Told& t : told()) EXPECT_TRUE(t.aligned) << "64 bytes";
}

}  // namespace
}  // namespace leafhunger
