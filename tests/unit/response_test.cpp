// The named response functions: bounds, anchors and the figures of equations.md 6. Published checks are in
// reference/response_test.cpp.
#include "leafhunger/response.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <set>
#include <string>

#include "leafhunger/soil.hpp"

namespace leafhunger {
namespace {

double warm(const char* name, double t, double t_ref = 0, double q = 0) { return find_temperature_response(name)->value(t, t_ref, q); }

Moisture at(const Texture& t, double theta) {
  Moisture m;
  m.theta = theta, m.theta_fc = t.theta_fc, m.theta_wp = t.theta_wp, m.wfps_frac = theta / t.theta_sat;
  m.available_frac = std::min(1.0, std::max(0.0, (theta - t.theta_wp) / (t.theta_fc - t.theta_wp)));
  return m;
}
double moist(const char* name, const Moisture& m) { return find_moisture_response(name)->value(m); }

TEST(Responses, HaveNamesFormulasAndSources) {
  std::set<std::string> names;
  for (const auto& r : temperature_responses()) {
    EXPECT_TRUE(names.insert(r.name).second) << r.name;
    EXPECT_GT(std::string(r.formula).size(), 0u);
    EXPECT_GT(std::string(r.source).size(), 3u) << r.name;
    EXPECT_EQ(find_temperature_response(r.name)->value, r.value);
  }
  names.clear();
  for (const auto& r : moisture_responses()) {
    EXPECT_TRUE(names.insert(r.name).second) << r.name;
    EXPECT_GT(std::string(r.formula).size(), 0u);
    EXPECT_GT(std::string(r.source).size(), 3u) << r.name;
    EXPECT_EQ(find_moisture_response(r.name)->value, r.value);
  }
}

TEST(Responses, AreNotFoundByAnotherName) {
  EXPECT_EQ(find_temperature_response("Q10"), nullptr);
  EXPECT_EQ(find_temperature_response(""), nullptr);
  EXPECT_EQ(find_moisture_response("wet"), nullptr);
}

TEST(TemperatureResponses, AreFiniteAndNotNegativeInAnyWeather) {
  const std::set<std::string> with_energy = {"arrhenius"};
  for (const auto& r : temperature_responses()) {
    const double q = with_energy.count(r.name) ? 50 : 2.5;
    for (double t = -60; t <= 70; t += 0.5) {
      const double f = r.value(t, 20, q);
      EXPECT_TRUE(std::isfinite(f) && f >= 0) << r.name << " at " << t << ": " << f;
    }
  }
}

TEST(TemperatureResponses, AreOneAtTheirReference) {
  EXPECT_NEAR(warm("lloyd_taylor", 25), 1, 1e-14);
  EXPECT_NEAR(warm("q10", 15, 15, 3), 1, 1e-15);
  EXPECT_NEAR(warm("arrhenius", 10, 10, 43.7), 1, 1e-15);
  EXPECT_NEAR(warm("kirschbaum", 20, 20), 1, 1e-15);
  EXPECT_NEAR(warm("linear_degree_day", 20, 20, 5), 1, 1e-15);
  EXPECT_NEAR(warm("nitrifier", 35), 1, 1e-15);
  EXPECT_EQ(warm("flat", -40), 1);
  EXPECT_EQ(warm("cold_root", 25), 1);
}

TEST(TemperatureResponses, FollowTheirFormulas) {
  EXPECT_NEAR(warm("q10", 25, 15, 3), 3, 1e-14);
  EXPECT_NEAR(warm("q10", 5, 15, 2), 0.5, 1e-15);
  EXPECT_NEAR(warm("linear_degree_day", 12.5, 20, 5), 0.5, 1e-15);
  EXPECT_EQ(warm("linear_degree_day", 5, 20, 5), 0);
  EXPECT_EQ(warm("linear_degree_day", -5, 20, 5), 0);
  EXPECT_EQ(warm("lloyd_taylor", 60), warm("lloyd_taylor", 35)) << "held above 35 degC";
  EXPECT_EQ(warm("lloyd_taylor", -50), warm("lloyd_taylor", -20)) << "held below -20 degC, where its pole would come";
  EXPECT_EQ(warm("nitrifier", 0), 0);
  EXPECT_EQ(warm("nitrifier", -5), 0);
  EXPECT_NEAR(warm("nitrifier", 42.5), 0.5, 1e-15);
  EXPECT_EQ(warm("nitrifier", 50), 0);
  EXPECT_EQ(warm("nitrifier", 60), 0);
}

TEST(TemperatureResponses, RiseUpToTheirOptimum) {
  for (const char* name : {"lloyd_taylor", "kirschbaum", "nitrifier"})
    for (double t = 0.5; t < 34; t += 0.5) EXPECT_GT(warm(name, t + 0.5, 25), warm(name, t, 25)) << name << " at " << t;
  EXPECT_GT(warm("kirschbaum", 36.9, 25), warm("kirschbaum", 36.4, 25)) << "its optimum is 36.9 degC";
  EXPECT_GT(warm("kirschbaum", 36.9, 25), warm("kirschbaum", 37.4, 25));
}

TEST(MoistureResponses, AreFiniteAndWithinNoughtAndOneInAnySoil) {
  for (const auto& r : moisture_responses())
    for (const Texture& t : textures())
      for (double theta = 0; theta <= t.theta_sat + 1e-12; theta += t.theta_sat / 50) {
        const double f = r.value(at(t, theta));
        EXPECT_TRUE(std::isfinite(f)) << r.name;
        EXPECT_GE(f, 0) << r.name << ' ' << t.name << ' ' << theta;
        EXPECT_LE(f, 1 + 1e-12) << r.name << ' ' << t.name << ' ' << theta;
      }
}

TEST(MoistureResponses, SufferBothEndsButForThoseThatShould) {
  for (const char* name : {"relative_wet", "wfps_beta", "two_limb"})
    for (const Texture& t : textures()) {
      EXPECT_LT(moist(name, at(t, 0)), 0.02) << name << ", air-dry " << t.name;
      EXPECT_LT(moist(name, at(t, t.theta_sat)), 1e-9) << name << ", flooded " << t.name;
    }
  const Texture& loam = *find_texture("loam");
  EXPECT_EQ(moist("flat", at(loam, 0)), 1);
  EXPECT_EQ(moist("relative_water", at(loam, loam.theta_sat)), 1);
}

// equations.md 6: 0.39 at wilting in loam, 0.76 at half of the available water.
TEST(MoistureResponses, DefaultHasTheSheetsFiguresInLoam) {
  const Texture& loam = *find_texture("loam");
  EXPECT_NEAR(moist("relative_wet", at(loam, loam.theta_wp)), 0.39, 0.005);
  EXPECT_NEAR(moist("relative_wet", at(loam, (loam.theta_fc + loam.theta_wp) / 2)), 0.76, 0.005);
  EXPECT_NEAR(moist("relative_wet", at(loam, loam.theta_fc)), 1, 1e-12);
}

// equations.md 6: 0.53 at 30 % of pores, 0.71 at 80 %, 1 at the peak.
TEST(MoistureResponses, BetaHasTheSheetsFigures) {
  Moisture m{};
  for (const auto& [w, f] : {std::pair{0.3, 0.53}, {0.6, 1.0}, {0.8, 0.71}}) {
    m.wfps_frac = w;
    EXPECT_NEAR(moist("wfps_beta", m), f, 0.005) << w;
  }
}

TEST(MoistureResponses, TwoLimbPeaksWhereTheLimbsMeet) {
  Moisture m{};
  m.wfps_frac = 0.6;
  EXPECT_NEAR(moist("two_limb", m), 1, 1e-12);
}

TEST(MoistureResponses, WetEndIsExactlyNoughtUpToSixtyPerCent) {
  Moisture m{};
  for (const double w : {0.0, 0.3, 0.59, 0.6}) {
    m.wfps_frac = w;
    EXPECT_EQ(moist("wet_end", m), 0);
  }
  m.wfps_frac = 0.8;
  EXPECT_NEAR(moist("wet_end", m), 0.25, 1e-12);
  m.wfps_frac = 1;
  EXPECT_NEAR(moist("wet_end", m), 1, 1e-12);
}

}  // namespace
}  // namespace leafhunger
