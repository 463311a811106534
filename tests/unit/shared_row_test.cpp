// Copies share a row until one of them is changed.
#include "leafhunger/shared_row.hpp"

#include <gtest/gtest.h>

#include <utility>

namespace leafhunger {
namespace {

TEST(SharedRow, IsEmptyAtFirst) {
  const SharedRow row;
  EXPECT_EQ(row.size(), 0u);
  const std::vector<double>& all = row;
  EXPECT_TRUE(all.empty());
}

TEST(SharedRow, IsHeldOnceUntilACopyChanges) {
  SharedRow a(std::vector<double>{1, 2, 3}), b = a;
  const std::vector<double>*rows_a = &static_cast<const std::vector<double>&>(std::as_const(a)),
        *rows_b = &static_cast<const std::vector<double>&>(std::as_const(b));
  EXPECT_EQ(rows_a, rows_b);
  b[1] = 5;
  EXPECT_EQ(std::as_const(a)[1], 2);
  EXPECT_EQ(std::as_const(b)[1], 5);
  EXPECT_EQ(std::as_const(b)[2], 3);
}

TEST(SharedRow, GrowsForItselfAlone) {
  SharedRow a(std::vector<double>{1}), b = a;
  a.push_back(2);
  EXPECT_EQ(a.size(), 2u);
  EXPECT_EQ(b.size(), 1u);
}

}  // namespace
}  // namespace leafhunger
