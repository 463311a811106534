// What a winter mulch gave and what it held back.
#include <gtest/gtest.h>

#include "leafhunger/report.hpp"
#include "leafhunger/report_folder.hpp"
#include "support/garden.hpp"

namespace leafhunger {
namespace {

SeasonResult mulched(const char* material, double g_m2, MonthDay on = {11, 20}) {
  Scenario s = testing::one_bed(3);
  s.feedings.push_back(testing::broadcast(material, on, g_m2, "Bed"));
  return run_season(testing::garden_of(std::move(s)));
}
const MulchAccount& of_bananas(const SeasonResult& r) { return r.columns[0].mulch.value(); }

TEST(MulchLine, StrawHoldsBack) {
  const SeasonResult r = mulched("straw", 1000);
  const MulchAccount& m = of_bananas(r);
  EXPECT_NEAR(m.given_g_m2, 5.5, 1e-9) << "0.55 % of 1 kg";
  EXPECT_GT(m.held_g_m2, 0.05);
  EXPECT_LT(m.freed_g_m2, m.given_g_m2);
  // 33 g of N for each kg of carbon at the peak is the most of 47 residues (Trinsoutrot et al. 2000), C:N 80 gives 440 g of carbon.
  EXPECT_LT(m.held_g_m2, 33 * 5.5 * 80 / 1000);
  const std::string text = in_words(r, false);
  EXPECT_NE(text.find("The mulch on Bed (straw)"), std::string::npos) << text;
  EXPECT_NE(text.find("held back up to"), std::string::npos);
  EXPECT_NE(in_html(r, {}).find("The mulch on Bed (straw)"), std::string::npos);
}

TEST(MulchLine, RichMulchGives) {
  const SeasonResult r = mulched("composted-manure", 3000);
  const MulchAccount& m = of_bananas(r);
  EXPECT_NEAR(m.given_g_m2, 33, 1e-9);
  EXPECT_GT(m.freed_g_m2, 0.5);
  EXPECT_LT(m.freed_g_m2, m.given_g_m2);
  EXPECT_GE(m.freed_g_m2 + m.held_g_m2, m.freed_g_m2);
}

// What the mulch is out of is what labels and ledgers say of it, where nothing starves and so nothing else of the soil's life is moved.
TEST(MulchLine, AgreesWithTheLabels) {
  const SeasonResult r = mulched("composted-manure", 3000);
  for (const auto& source : r.columns[0].sources) {
    if (source.feeding != std::size_t{1}) continue;
    const double still_in = source.where.unfreed + source.where.microbes + source.where.humus;
    EXPECT_NEAR(of_bananas(r).freed_g_m2, (source.given_kg_n_ha - still_in) / 10, 0.02 * of_bananas(r).given_g_m2);
  }
}

TEST(MulchLine, NoneWhereNoneLies) {
  EXPECT_FALSE(run_season(testing::garden_of(testing::one_bed())).columns[0].mulch);
  Scenario s = testing::one_bed(3);
  s.feedings.push_back(testing::broadcast("straw", {11, 20}, 500, "Bed"));
  s.feedings.back().forked_in_mm = 100;
  EXPECT_FALSE(run_season(testing::garden_of(std::move(s))).columns[0].mulch) << "dug in it is no mulch";
}

}  // namespace
}  // namespace leafhunger
