// Draws: they fill their range evenly, keep to bounds and spreads, and hang on seed and name alone.
#include "host/sampling.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace leafhunger {
namespace {

TEST(LatinColumn, HasOneNumberInEachPart) {
  for (const std::size_t n : {1u, 2u, 7u, 50u, 1000u}) {
    std::set<std::size_t> parts;
    for (const double u : latin_column(3, "soil", n)) {
      EXPECT_GE(u, 0);
      EXPECT_LT(u, 1);
      parts.insert(static_cast<std::size_t>(u * static_cast<double>(n)));
    }
    EXPECT_EQ(parts.size(), n);
  }
}

TEST(LatinColumn, HangsOnSeedAndNameAlone) {
  const auto a = latin_column(3, "soil", 40);
  EXPECT_EQ(a, latin_column(3, "soil", 40));
  EXPECT_NE(a, latin_column(4, "soil", 40));
  EXPECT_NE(a, latin_column(3, "plant", 40));
}

// Columns of a hypercube are to be unrelated: 1 / sqrt(n) is what chance gives.
TEST(LatinColumn, OfDifferentNamesAreUnrelated) {
  constexpr std::size_t n = 1000;
  const auto a = latin_column(1, "a", n), b = latin_column(1, "b", n);
  double sum = 0;
  for (std::size_t i = 0; i < n; ++i) sum += (a[i] - 0.5) * (b[i] - 0.5);
  EXPECT_LT(std::abs(sum / n * 12), 4 / std::sqrt(static_cast<double>(n)));
}

TEST(Quantile, OfANormalWithoutBounds) {
  const Spreading f{10, 2, 2};
  EXPECT_NEAR(quantile_of(f, 0.5), 10, 1e-12);
  EXPECT_NEAR(quantile_of(f, 0.975), 10 + 1.959964 * 2, 1e-5);  // tables of the normal distribution
  EXPECT_NEAR(quantile_of(f, 0.025), 10 - 1.959964 * 2, 1e-5);
}

TEST(Quantile, EachSideHasItsOwnSpread) {
  const Spreading f{10, 1, 4};
  EXPECT_NEAR(quantile_of(f, 0.5), 10, 1e-12);
  EXPECT_NEAR(quantile_of(f, 0.8413447), 14, 1e-5);  // one standard deviation up
  EXPECT_NEAR(quantile_of(f, 0.1586553), 9, 1e-5);   // and down
}

TEST(Quantile, IsCutOffAtTheBoundsAndSharedOutBetweenThem) {
  const Spreading f{0.1, 0.5, 0.5, 0, 1};
  double before = -1;
  for (int i = 1; i < 1000; ++i) {
    const double x = quantile_of(f, i / 1000.0);
    EXPECT_GT(x, 0);
    EXPECT_LT(x, 1);
    EXPECT_GT(x, before) << "nothing piles up at a bound";
    before = x;
  }
  EXPECT_NEAR(quantile_of({1, 0.5, 0.5, 0, 1}, 0.999999), 1, 1e-5) << "the value itself may be a bound";
}

TEST(Quantile, NoSpreadIsTheValueToTheLastBit) {
  for (const double u : {1e-9, 0.3, 0.5, 0.999}) EXPECT_EQ(quantile_of({0.1, 0, 0}, u), 0.1);
}

TEST(QuantileOfSorted, IsInLineBetweenNeighbours) {
  EXPECT_EQ(quantile_of_sorted({1, 2, 3, 4, 5}, 0.5), 3);
  EXPECT_EQ(quantile_of_sorted({1, 2, 3, 4, 5}, 0.25), 2);
  EXPECT_DOUBLE_EQ(quantile_of_sorted({0, 10}, 0.3), 3);
  EXPECT_EQ(quantile_of_sorted({7}, 0.9), 7);
  EXPECT_EQ(quantile_of_sorted({1, 2}, 1), 2);
}

}  // namespace
}  // namespace leafhunger
