// What gains nothing from feed: the same years as `lasts` counts, and the money that was given to it.
#include <gtest/gtest.h>

#include <map>
#include <nlohmann/json.hpp>

#include "leafhunger/lasts.hpp"
#include "leafhunger/report.hpp"
#include "leafhunger/report_folder.hpp"
#include "support/garden.hpp"

namespace leafhunger {
namespace {

TEST(LeaveAlone, OneKindYearIsNotEnough) {
  const Garden garden = testing::example("saltmarsh-lane.json");
  const SeasonResult r = run_season(garden);
  const LastsResult lasts = how_often_it_lasts(garden);
  const auto json = nlohmann::json::parse(in_json(r));
  std::map<std::string, double> alone;
  for (const auto& a : json["leave_alone"]) alone[a["planting"]] = a["saves"];
  int counted = 0, kept_feeding = 0;
  for (const ColumnResult& c : r.columns) {
    if (c.bare || !c.fed) continue;
    for (const PlantingYears& p : lasts.plantings) {
      if (p.name != c.name || c.years == 0) continue;
      ++counted;
      EXPECT_EQ(c.unfed_kept_years, p.kept_unfed) << c.name;
      EXPECT_EQ(alone.count(c.name) > 0, p.kept_unfed >= nine_in_ten(static_cast<int>(p.years.size()))) << c.name;
      kept_feeding += alone.count(c.name) == 0;
    }
    if (alone.count(c.name)) {
      EXPECT_DOUBLE_EQ(alone[c.name], c.cost) << c.name;
    }
  }
  EXPECT_GE(counted, 2);
  EXPECT_GE(kept_feeding, 1) << "the demo has one that would do without feed this year and not in most";
  EXPECT_EQ(alone.at("Yuccas"), 0) << "fed nothing";
}

TEST(LeaveAlone, IsAListOfItsOwn) {
  const Garden garden = testing::example("saltmarsh-lane.json");
  const SeasonResult r = run_season(garden);
  const std::string text = in_words(r, false);
  const std::size_t head = text.find("  Leave these alone, and keep ");
  ASSERT_NE(head, std::string::npos);
  EXPECT_LT(text.find("  Bananas"), head);
  EXPECT_GT(text.find("  Yuccas"), head);
  EXPECT_NE(in_html(r, {}).find("Leave these alone, and keep "), std::string::npos);
  // Where nothing was given there is nothing to keep.
  Scenario s = garden.scenario();
  s.feedings.clear();
  EXPECT_NE(in_words(run_season(testing::garden_of(std::move(s))), false).find("  Leave these alone:\n"), std::string::npos);
}

}  // namespace
}  // namespace leafhunger
