// The smooth minimum and the ramp: what the column's right-hand side needs of them.
#include "core/smooth.hpp"

#include <gtest/gtest.h>

#include <random>

#include "leafhunger/plugin_sdk.hpp"

namespace leafhunger {
namespace {

std::vector<double> arguments() { return {0, 1e-300, 1e-12, 1e-6, 0.01, 0.3, 1, 1.0000001, 2, 17, 1e4, 1e9, 1e30}; }

TEST(Smin, StaysBetweenNoughtAndTheLesser) {
  for (const double e : {0.01, 0.02, 0.05, 0.3})
    for (const double a : arguments())
      for (const double b : arguments()) {
        const double s = smin(a, b, e);
        EXPECT_GE(s, 0) << a << ' ' << b;
        EXPECT_LE(s, std::min(a, b) * (1 + 1e-12)) << a << ' ' << b;
        EXPECT_TRUE(std::isfinite(s)) << a << ' ' << b;
      }
}

TEST(Smin, IsNoughtWhereEitherIs) {
  for (const double a : arguments()) {
    EXPECT_EQ(smin(a, 0), 0);
    EXPECT_EQ(smin(0, a), 0);
    EXPECT_EQ(smin_share(0, a), 0);
  }
}

TEST(Smin, LosesAKnownShareAtTheCorner) {
  for (const double a : {0.01, 1.0, 250.0})
    for (const double e : {0.02, 0.05}) EXPECT_NEAR(smin(a, a, e), (1 - e) * a, 1e-14 * a);
}

// equations.md 10: the form (a + b - sqrt(...))/2 is the same, where it keeps its digits.
TEST(Smin, IsAHyperbola) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> u(0.1, 3);
  for (int k = 0; k < 200; ++k) {
    const double a = u(random), b = u(random), e = 0.05, theta = 1 - e * e;
    // The lesser root of s^2 - (a + b) s + theta ab = 0.
    const double s = smin(a, b, e);
    EXPECT_NEAR(s * s - (a + b) * s + theta * a * b, 0, 1e-13);
    const double other = (a + b - std::sqrt((a - b) * (a - b) + 4 * e * e * a * b)) / 2;
    EXPECT_NEAR(s, other, 1e-13);
  }
}

TEST(Smin, IsSymmetricHomogeneousAndGrows) {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> u(0, 5);
  for (int k = 0; k < 200; ++k) {
    const double a = u(random), b = u(random);
    EXPECT_DOUBLE_EQ(smin(a, b), smin(b, a));
    EXPECT_NEAR(smin(3 * a, 3 * b), 3 * smin(a, b), 1e-13);
    EXPECT_GE(smin(a + 0.1, b), smin(a, b));
    EXPECT_NEAR(smin_share(a, b) * b, smin(a, b), 1e-14);
  }
}

TEST(Smin, TendsToTheLesserButForItsSquaredCorner) {
  for (const double e : {0.02, 0.05}) {
    EXPECT_NEAR(smin(1, 1e9, e), 1 - e * e, 1e-8) << "a quarter of a per cent is lost at e 0.05 however far the other is";
    EXPECT_NEAR(smin(1e9, 1, e), 1 - e * e, 1e-8);
  }
}

TEST(Smin, IsTheSameForPlugins) {
  for (const double a : arguments())
    for (const double b : arguments()) EXPECT_DOUBLE_EQ(smin(a, b, 0.02), sdk::smin(a, b, 0.02)) << a << ' ' << b;
}

TEST(Ramp, IsNoughtBelowAndALineAbove) {
  EXPECT_EQ(ramp(-1, 0.1), 0);
  EXPECT_EQ(ramp(0, 0.1), 0);
  EXPECT_NEAR(ramp(0.05, 0.1), 0.0125, 1e-15);
  EXPECT_NEAR(ramp(5, 0.1), 4.95, 1e-15);
}

TEST(Ramp, HasNoCornerInValueOrSlope) {
  const double d = 0.3, h = 1e-7;
  for (const double at : {0.0, d}) {
    EXPECT_NEAR(ramp(at + h, d), ramp(at - h, d), 3 * h);
    const double left = (ramp(at, d) - ramp(at - h, d)) / h, right = (ramp(at + h, d) - ramp(at, d)) / h;
    EXPECT_NEAR(left, right, 1e-6);
  }
}

TEST(Clip, HoldsWithinItsBounds) {
  EXPECT_EQ(sdk::clip(-1, 0, 1), 0);
  EXPECT_EQ(sdk::clip(2, 0, 1), 1);
  EXPECT_EQ(sdk::clip(0.25, 0, 1), 0.25);
}

}  // namespace
}  // namespace leafhunger
