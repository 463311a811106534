// Organic matter in two pools, without starvation, under constant warmth and moisture: the system is linear and triangular, so it has a
// closed form in exponentials. The column must meet it to 1e-8 of what was given.
#include <gtest/gtest.h>

#include <cmath>

#include "leafhunger/response.hpp"
#include "published.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::ammonium;
using testing::nitrate;
using testing::pool;
using testing::Rig;

constexpr const char* k_source = "closed form, triangular exponentials";
constexpr double k_given = 90;  // kg N/ha
constexpr double k_cn = 10, k_ready = 0.2, k_fast = 0.6, k_fast_d = 0.20, k_slow_d = 0.0007, k_death_d = 0.010, k_humus = 0.30,
                 k_ready_d = 0.6;
constexpr double k_want = (1.0 / 3) * k_cn / 8;  // share of decaying N that microbes build in; below 1, so nothing starves

std::map<std::string, double> material() {
  return {{"carbon_to_nitrogen", k_cn}, {"ready_frac", k_ready}, {"fast_frac", k_fast}, {"mix_per_day", 0.02}, {"contact_frac", 0.5}};
}

// x' = -k x, y' = a x - l y with x(0) = x0, y(0) = 0.
double second(double x0, double k, double a, double l, double t) { return a * x0 * (std::exp(-k * t) - std::exp(-l * t)) / (l - k); }

struct Closed {
  double fast, slow, ready, microbes, humus, ammonium;
};

// All of it in the soil from the first hour.
Closed in_soil(double t, double g, double g_ready) {
  Closed c{};
  const double f0 = k_given * (1 - k_ready) * k_fast, s0 = k_given * (1 - k_ready) * (1 - k_fast), r0 = k_given * k_ready;
  const double kf = g * k_fast_d, ks = g * k_slow_d, kb = g * k_death_d, kr = g_ready * k_ready_d;
  c.fast = f0 * std::exp(-kf * t), c.slow = s0 * std::exp(-ks * t), c.ready = r0 * std::exp(-kr * t);
  c.microbes = second(f0, kf, k_want * kf, kb, t) + second(s0, ks, k_want * ks, kb, t);
  // What died is what was built less what is alive.
  const double died = k_want * (f0 - c.fast + s0 - c.slow) - c.microbes;
  c.humus = k_humus * died;
  c.ammonium = (1 - k_want) * (f0 - c.fast + s0 - c.slow) + r0 - c.ready + (1 - k_humus) * died;
  return c;
}

double decay(double t_c) { return find_temperature_response("lloyd_taylor")->value(t_c, 0, 0); }
double ready(double t_c) { return find_temperature_response("arrhenius")->value(t_c, 20, 36); }

class TwoPool : public ::testing::TestWithParam<double> {};

TEST_P(TwoPool, MeetsItsClosedFormInTheSoil) {
  const double t_c = GetParam();
  Rig rig(240, t_c);
  rig.feed(0, rig.add("organic-two-pool", material(), 50), k_given);
  double worst = 0;
  testing::run(rig, [&](std::size_t d, ColumnBatch& c) {
    const Closed x = in_soil(static_cast<double>(d + 1), decay(t_c), ready(t_c));
    const double ours[] = {pool(c, 0, "fast in soil"), pool(c, 0, "slow in soil"), pool(c, 0, "ready in soil"),
                           pool(c, 0, "microbes"),     pool(c, 0, "humus"),        ammonium(c)};
    const double closed[] = {x.fast, x.slow, x.ready, x.microbes, x.humus, x.ammonium};
    for (int k = 0; k < 6; ++k) worst = std::max(worst, std::abs(ours[k] - closed[k]) / k_given);
    EXPECT_EQ(nitrate(c), 0);
  });
  published::expect_at_most("two pools in soil at " + published::digits(t_c) + " degC, 240 d, worst of six states over N given", k_source,
                            1e-8, worst);
}

TEST_P(TwoPool, ProductionStepperIsClose) {
  const double t_c = GetParam();
  Rig rig(240, t_c);
  rig.feed(0, rig.add("organic-two-pool", material(), 50), k_given);
  double worst = 0;
  const auto stepper = make_batch_stepper();
  testing::run(rig.shape, rig.member(), *stepper, [&](std::size_t d, ColumnBatch& c) {
    worst = std::max(worst, std::abs(ammonium(c) - in_soil(static_cast<double>(d + 1), decay(t_c), ready(t_c)).ammonium) / k_given);
  });
  published::expect_at_most("the same, production stepper, ammonium", k_source, 1e-6, worst);
}

// On the surface: decay there is slower, particles go under at a steady rate, ready N and what decays on top pass through surface ammonium,
// part of which is lost. Twelve states in a chain without loops, solved by back substitution over its eigenvalues.
class Chain {
 public:
  // A state that decays at `rate`; feeds come from earlier states.
  int state(double start, double rate) {
    start_.push_back(start), rate_.push_back(rate), from_.emplace_back();
    return static_cast<int>(start_.size()) - 1;
  }
  void feed(int to, int from, double coef) { from_[static_cast<std::size_t>(to)].push_back({from, coef}); }
  // x_i(t) = sum_j c_ij exp(-rate_j t), j <= i; needs distinct rates where one feeds the other.
  std::vector<double> at(double t) const {
    const std::size_t n = start_.size();
    std::vector<std::vector<double>> c(n, std::vector<double>(n, 0.0));
    std::vector<double> x(n, 0.0);
    for (std::size_t i = 0; i < n; ++i) {
      double rest = start_[i];
      for (std::size_t j = 0; j < i; ++j) {
        double in = 0;
        for (const auto& [from, coef] : from_[i]) in += coef * c[static_cast<std::size_t>(from)][j];
        if (in != 0) c[i][j] = in / (rate_[i] - rate_[j]);
        rest -= c[i][j];
      }
      c[i][i] = rest;
      for (std::size_t j = 0; j <= i; ++j) x[i] += c[i][j] * std::exp(-rate_[j] * t);
    }
    return x;
  }

 private:
  struct Feed {
    int from;
    double coef;
  };
  std::vector<double> start_, rate_;
  std::vector<std::vector<Feed>> from_;
};

TEST_P(TwoPool, MeetsItsClosedFormOnTheSurface) {
  const double t_c = GetParam(), g = decay(t_c), gr = ready(t_c), mix = 0.02, contact = 0.5;
  const SurfaceConstants surface{0.085, 0.065, 1, 5.5};
  const double gas = surface.volatile_per_day * std::pow(2, (t_c - 15) / 10), fixed = surface.fixed_per_day;
  Rig rig(240, t_c);
  rig.feed(0, rig.add("organic-two-pool", material(), 0, surface), k_given);

  Chain chain;
  const double f0 = k_given * (1 - k_ready) * k_fast, s0 = k_given * (1 - k_ready) * (1 - k_fast), r0 = k_given * k_ready;
  const double kf = g * k_fast_d, ks = g * k_slow_d, kr = gr * k_ready_d, kb = g * k_death_d;
  const int sf = chain.state(f0, contact * kf + mix), ss = chain.state(s0, contact * ks + mix), sr = chain.state(r0, contact * kr + mix);
  const int gf = chain.state(0, kf), gs = chain.state(0, ks), rr = chain.state(0, kr);
  const int a = chain.state(0, gas + fixed), b = chain.state(0, kb), h = chain.state(0, 0), lost = chain.state(0, 0), n = chain.state(0, 0);
  chain.feed(gf, sf, mix), chain.feed(gs, ss, mix), chain.feed(rr, sr, mix);
  chain.feed(a, sf, (1 - k_want) * contact * kf), chain.feed(a, ss, (1 - k_want) * contact * ks), chain.feed(a, sr, contact * kr);
  for (const auto& [from, rate] : {std::pair{sf, contact * kf}, {ss, contact * ks}, {gf, kf}, {gs, ks}}) chain.feed(b, from, k_want * rate);
  chain.feed(h, b, k_humus * kb), chain.feed(lost, a, gas);
  chain.feed(n, gf, (1 - k_want) * kf), chain.feed(n, gs, (1 - k_want) * ks), chain.feed(n, rr, kr), chain.feed(n, a, fixed);
  chain.feed(n, b, (1 - k_humus) * kb);

  double worst = 0;
  testing::run(rig, [&](std::size_t d, ColumnBatch& c) {
    const auto x = chain.at(static_cast<double>(d + 1));
    const double ours[] = {pool(c, 0, "fast on top"),
                           pool(c, 0, "slow on top"),
                           pool(c, 0, "ready on top"),
                           pool(c, 0, "fast in soil"),
                           pool(c, 0, "slow in soil"),
                           pool(c, 0, "ready in soil"),
                           c.at(c.map().slot[0].surface_ammonium, 0),
                           pool(c, 0, "microbes"),
                           pool(c, 0, "humus"),
                           c.at(c.map().volatilised, 0),
                           ammonium(c)};
    for (std::size_t k = 0; k < x.size(); ++k) worst = std::max(worst, std::abs(ours[k] - x[k]) / k_given);
  });
  published::expect_at_most("two pools on the surface at " + published::digits(t_c) + " degC, 240 d, worst of eleven states over N given",
                            k_source, 1e-8, worst);
}

INSTANTIATE_TEST_SUITE_P(Warmth, TwoPool, ::testing::Values(5.0, 15.0, 25.0),
                         [](const auto& warmth) { return std::to_string(static_cast<int>(warmth.param)) + "C"; });

// Forked through two layers, the same closed form holds for the sum: every layer has the same warmth and moisture.
TEST(TwoPoolForked, SumsToTheSameOverItsLayers) {
  const double t_c = 15;
  Rig rig(120, t_c);
  rig.feed(0, rig.add("organic-two-pool", material(), 120), k_given);
  double worst = 0;
  testing::run(rig, [&](std::size_t d, ColumnBatch& c) {
    const Closed x = in_soil(static_cast<double>(d + 1), decay(t_c), ready(t_c));
    worst = std::max(worst, std::abs(ammonium(c) - x.ammonium) / k_given);
    // 50 of 120 mm lie in the first layer, 70 in the second.
    EXPECT_NEAR(c.at(c.map().ammonium, 0) / ammonium(c), 50.0 / 120, 1e-9);
    EXPECT_EQ(c.at(c.map().ammonium + 2, 0), 0);
  });
  published::expect_at_most("two pools forked to 120 mm, ammonium over N given", k_source, 1e-8, worst);
}

}  // namespace
}  // namespace leafhunger
