// The nearest known name, as a person would pick it.
#include <gtest/gtest.h>

#include "leafhunger/reader.hpp"

namespace leafhunger {
namespace {

const std::vector<std::string> k_plants = {"hardy-banana", "canna", "ginger-lily", "fan-palm", "agave", "yucca"};

TEST(NearestName, SlipsOfTheFinger) {
  EXPECT_EQ(nearest_name("cana", k_plants), "canna");
  EXPECT_EQ(nearest_name("cnana", k_plants), "canna");  // two letters swapped
  EXPECT_EQ(nearest_name("Ginger Lily", k_plants), "ginger-lily");
  EXPECT_EQ(nearest_name("ginger_lilly", k_plants), "ginger-lily");
  EXPECT_EQ(nearest_name("banana", k_plants), "hardy-banana");
  EXPECT_EQ(nearest_name("agve", k_plants), "agave");
}

TEST(NearestName, NothingNear) {
  EXPECT_EQ(nearest_name("rhododendron", k_plants), "");
  EXPECT_EQ(nearest_name("", k_plants), "");
  EXPECT_EQ(nearest_name("x", {"y"}), "");
  EXPECT_EQ(nearest_name("canna", {}), "");
  EXPECT_EQ(nearest_name(std::string(1 << 20, 'a'), k_plants), "");
}

TEST(NearestName, FirstOfEquallyNear) { EXPECT_EQ(nearest_name("cat", {"bat", "car", "can"}), "bat"); }

}  // namespace
}  // namespace leafhunger
