// Both ways through a day: what they land on, what they do when it goes wrong.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "core/stepper_fast.hpp"
#include "leafhunger/error.hpp"
#include "plugins/sample.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::Rig;

std::vector<double> end_of(const Rig& rig, Stepper& stepper) {
  std::vector<double> y;
  testing::run(rig.shape, rig.member(), stepper, [&](std::size_t, ColumnBatch& c) { y.assign(c.state(), c.state() + c.map().rows); });
  return y;
}

Rig& busy() {
  static Rig rig(30, 16, make_soil(*find_texture("loam"), 3));
  if (rig.materials.empty()) {
    rig.nitrogen = NitrogenConstants{};
    for (std::size_t d = 0; d < 30; ++d) {
      rig.climate.rain_mm[d] = d % 5 == 0 ? 14 : 0;
      for (std::size_t l = 0; l < 4; ++l) rig.climate.drained_mm[d * 4 + l] = d % 5 == 0 ? 8 : 0;
    }
    rig.feed(2, rig.add("organic-two-pool", {{"ready_frac", 0.3}}, 0, {0.085, 0.065, 1, 5.5}), 80);
    rig.feed(4, rig.add("organic-two-pool", {{"carbon_to_nitrogen", 80}}, 100), 20);
  }
  return rig;
}

TEST(Stepper, ReferenceKeepsItsTolerance) {
  const auto tight = end_of(busy(), *make_reference_stepper({1e-11, 1e-11})), usual = end_of(busy(), *make_reference_stepper());
  for (std::size_t r = 0; r < tight.size(); ++r) EXPECT_NEAR(usual[r], tight[r], 5e-5) << r;
}

// A first look; property/steppers_agree_test.cpp holds it to its promise on whole seasons.
TEST(Stepper, ProductionIsNearTheReference) {
  const auto tight = end_of(busy(), *make_reference_stepper({1e-11, 1e-11})), batch = end_of(busy(), *make_batch_stepper());
  for (std::size_t r = 0; r < tight.size(); ++r) EXPECT_NEAR(batch[r], tight[r], 2e-5 * std::max(1.0, std::abs(tight[r]))) << r;
}

TEST(Stepper, CountsEvaluations) {
  const auto reference = make_reference_stepper();
  end_of(busy(), *reference);
  EXPECT_GT(reference->evaluations(), 30u * 6);
  EXPECT_LT(reference->evaluations(), 30u * 200);
  const auto batch = make_batch_stepper();
  end_of(busy(), *batch);
  EXPECT_GE(batch->evaluations(), 30u * 16) << "at least four steps of four stages a day";
}

TEST(Stepper, RefineMultipliesTheSteps) {
  const auto one = make_batch_stepper(), four = make_batch_stepper(4);
  end_of(busy(), *one);
  end_of(busy(), *four);
  EXPECT_EQ(four->evaluations(), 4 * one->evaluations());
}

TEST(Stepper, CarriesNothingOverFromRunToRun) {
  for (const bool batch : {false, true}) {
    const auto stepper = batch ? make_batch_stepper() : make_reference_stepper();
    const auto first = end_of(busy(), *stepper), second = end_of(busy(), *stepper);
    EXPECT_EQ(first, second);
  }
}

// A plant model that turns bad in the middle of a day, where no check at 00 sees it.
lh_demand bad_at(double w_limit, double rate) {
  static double limit, value;
  limit = w_limit, value = rate;
  lh_demand m = sample::demand("turns-bad");
  m.grow = [](int32_t m_pad, const double*, const double*, const double* w, const double*, const double*, double* out) -> int32_t {
    for (int i = 0; i < m_pad; ++i) out[i] = w[i] > limit ? value : 0.1;
    return LH_OK;
  };
  return m;
}

std::string failure_of(const lh_demand& model, bool batch) {
  Rig rig(30, 15);
  PlantOnGround p;
  p.model = &model, p.parameter = default_parameters(model.about);
  rig.plant = p, rig.shape.demand = &model;
  rig.climate.f_t.assign(30, 0.5), rig.climate.luxury.assign(30, 1.2);
  try {
    const auto stepper = batch ? make_batch_stepper() : make_reference_stepper();
    end_of(rig, *stepper);
  } catch (const SolverError& e) {
    return e.what();
  }
  return "";
}

TEST(Stepper, NamesDayAndStateWhereAStateIsNoNumber) {
  const lh_demand model = bad_at(1.0, std::numeric_limits<double>::quiet_NaN());
  for (const bool batch : {false, true}) {
    const std::string sentence = failure_of(model, batch);
    EXPECT_NE(sentence.find("2003-11-0"), std::string::npos) << sentence;
    EXPECT_NE(sentence.find("dry matter"), std::string::npos) << sentence;
  }
}

TEST(Stepper, GivesUpWhereAPoolWouldSinkBelowNought) {
  const lh_demand model = bad_at(1.0, -1e6);
  for (const bool batch : {false, true}) {
    const std::string sentence = failure_of(model, batch);
    EXPECT_NE(sentence, "") << "a dry matter of minus thousands was let pass";
    // The reference's own error control may refuse the step before any state sinks, and then knows none to name.
    if (batch) {
      EXPECT_NE(sentence.find("dry matter"), std::string::npos) << sentence;
    }
  }
}

TEST(Stepper, EndlessGrowthDoesNotHang) {
  const lh_demand model = bad_at(1.0, std::numeric_limits<double>::infinity());
  for (const bool batch : {false, true}) EXPECT_NE(failure_of(model, batch), "");
}

// A day of a hundred millimetres among still ones: nothing is stepped over.
TEST(Stepper, FeelsASingleWetDay) {
  for (const bool batch : {false, true}) {
    Rig rig(60, 15);
    rig.nitrogen.mineral_at_start_kg_ha = 50, rig.nitrogen.ammonium_share_at_start = 0;
    for (std::size_t l = 0; l < 4; ++l) rig.climate.drained_mm[40 * 4 + l] = 100;
    std::vector<double> leached;
    const auto stepper = batch ? make_batch_stepper() : make_reference_stepper();
    testing::run(rig.shape, rig.member(), *stepper, [&](std::size_t, ColumnBatch& c) { leached.push_back(c.at(c.map().leached, 0)); });
    EXPECT_EQ(leached[39], 0);
    EXPECT_GT(leached[40], 10);
    EXPECT_EQ(leached[59], leached[40]);
  }
}

// A gram given on one morning among fifty quiet ones is there that evening.
TEST(Stepper, FeelsAShortEventAtMidnight) {
  for (const bool batch : {false, true}) {
    Rig rig(60, 15);
    rig.feed(50, rig.add("sample-first-order-nitrate", {}, 50), 0.01);
    std::vector<double> there;
    const auto stepper = batch ? make_batch_stepper() : make_reference_stepper();
    testing::run(rig.shape, rig.member(), *stepper,
                 [&](std::size_t, ColumnBatch& c) { there.push_back(testing::pool(c, 0, "bound in soil") + testing::nitrate(c)); });
    EXPECT_EQ(there[49], 0);
    EXPECT_NEAR(there[50], 0.01, 1e-15);
  }
}

// A single lane's rows begin anywhere: a vector's load that asked for 32 bytes' alignment was a fault that fuzzing found.
TEST(StateCheck, SeesEachValueWhereverItsRowsBegin) {
  for (const std::size_t from : {0, 1, 2, 3}) {
    std::vector<double> all(from + 16, 0.5);
    double* y = all.data() + from;
    EXPECT_TRUE(FastDay::all_at_least(y, 16, 0));
    for (std::size_t k = 0; k < 16; ++k)
      for (const double bad : {-1e-9, -std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity(), std::nan("")}) {
        y[k] = bad;
        EXPECT_FALSE(FastDay::all_at_least(y, 16, 0)) << "value " << k << " from " << from << " on: " << bad;
        y[k] = 0.5;
      }
  }
}

}  // namespace
}  // namespace leafhunger
