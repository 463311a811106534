// Amounts as people say them. Conversions are those of NIST SP 811, appendix B (exact by definition): ounce 28.349523125 g, pound
// 453.59237 g, foot 0.3048 m, yard 0.9144 m, gallon 4.54609 l (imperial) and 3.785411784 l (US).
#include "leafhunger/spoken_amount.hpp"

#include <gtest/gtest.h>

#include "leafhunger/error.hpp"

namespace leafhunger {
namespace {

using Measure = Amount::Measure;
using For = SpokenAmount::For;

struct Row {
  const char* text;
  double value;
  Measure measure;
  For per;
};

TEST(SpokenAmount, SaysWhatPeopleSay) {
  const Row rows[] = {
      {"2 handfuls a plant", 2, Measure::handfuls, For::plant},
      {"a handful each", 1, Measure::handfuls, For::plant},
      {"one and a half handfuls per plant", 1.5, Measure::handfuls, For::plant},
      {"1½ handfuls each", 1.5, Measure::handfuls, For::plant},
      {"1 1/2 handfuls each", 1.5, Measure::handfuls, For::plant},
      {"Half a handful round each plant", 0.5, Measure::handfuls, For::plant},
      {"three-quarters", 0, Measure::grams, For::unsaid},  // refused below; here to keep the table honest
      {"55g each", 55, Measure::grams, For::plant},
      {"70 g/m2", 70, Measure::grams, For::m2},
      {"70 g per m²", 70, Measure::grams, For::m2},
      {"0.5 kg to the bed", 0.5, Measure::kilograms, For::all},
      {"half a 15 kg bag in all", 7.5, Measure::kilograms, For::all},
      {"half of a 15kg bag over the bed", 7.5, Measure::kilograms, For::all},
      {"two 15-kg bags", 30, Measure::kilograms, For::unsaid},
      {"half a bag", 12.5, Measure::kilograms, For::unsaid},
      {"a quarter of a bag in all", 6.25, Measure::kilograms, For::all},
      {"a mug a plant", 300, Measure::millilitres, For::plant},
      {"a bucket of mulch a plant", 10, Measure::litres, For::plant},
      {"2 buckets of leaf mould per square metre", 20, Measure::litres, For::m2},
      {"20 ml per can, 2 cans each", 40, Measure::millilitres, For::plant},
      {"a 5 litre tub of feed in all", 5, Measure::litres, For::all},
      {"3 tablespoons", 45, Measure::millilitres, For::unsaid},
      {"two trowelfuls a pot", 2, Measure::trowels, For::plant},
  };
  for (const Row& r : rows) {
    if (r.value == 0) continue;
    const SpokenAmount a = parse_amount(r.text, 25, {});
    EXPECT_NEAR(a.value, r.value, 1e-9 * r.value) << r.text;
    EXPECT_EQ(a.measure, r.measure) << r.text;
    EXPECT_EQ(a.per, r.per) << r.text;
  }
}

// The dressings of the gardeners' handbooks, as words and as the figures they give: 1, 2, 3 and 4 oz/yd2 are 34, 68, 102 and 136 g/m2.
TEST(SpokenAmount, HandbookDressings) {
  const std::pair<const char*, double> rows[] = {
      {"1 oz per sq yd", 33.9}, {"2 oz per sq yd", 67.8}, {"3 oz a square yard", 101.7}, {"4 oz/yd2", 135.6}};
  for (const auto& [said, g_m2] : rows) EXPECT_NEAR(parse_amount(said, 0, {}).value, g_m2, 0.05) << said;
}

// 2 oz/yd2 is 67.8 g/m2, 1 lb/1000 ft2 4.882 g/m2, 1.5 lb/100 ft2 73.2 g/m2.
TEST(SpokenAmount, ConvertsByDefinition) {
  const auto g_m2 = [](const char* text) {
    const SpokenAmount a = parse_amount(text, 0, {});
    EXPECT_EQ(a.per, For::m2) << text;
    EXPECT_EQ(a.measure, Measure::grams) << text;
    return a.value;
  };
  constexpr double oz = 28.349523125, lb = 453.59237, yd2 = 0.9144 * 0.9144, ft2 = 0.3048 * 0.3048;
  for (const char* said : {"2 oz/yd2", "2 oz per sq yd", "2oz a square yard", "2 ounces per square yard", "two oz. per sq. yd."})
    EXPECT_NEAR(g_m2(said), 2 * oz / yd2, 1e-9) << said;
  EXPECT_NEAR(g_m2("4 oz/yd²"), 135.6, 0.05);
  EXPECT_NEAR(g_m2("1 lb per 1000 sq ft"), lb / (1000 * ft2), 1e-9);
  EXPECT_NEAR(g_m2("1.5 lb/100 ft2"), 1.5 * lb / (100 * ft2), 1e-9);
  EXPECT_NEAR(parse_amount("2 UK gallons", 0, {}).value, 9.09218, 1e-9);
  EXPECT_NEAR(parse_amount("1 US gallon", 0, {}).value, 3.785411784, 1e-12);
  EXPECT_NEAR(parse_amount("an imperial pint", 0, {}).value, 0.56826125, 1e-12);
}

std::string refused(const char* text) {
  try {
    parse_amount(text, 0, {"diary.txt", "line 3"});
  } catch (const InputError& e) {
    return e.what();
  }
  return std::string("not refused: ") + text;
}

TEST(SpokenAmount, RefusesWhatMayBeSeveralThings) {
  EXPECT_EQ(refused("2 gallons each"),
            "diary.txt, line 3: found the measure \"gallons\", which may be several things; allowed is \"UK gallons\" (4.5 l) or \"US "
            "gallons\" (3.8 l); write which you mean.");
  for (const char* said : {"a cup each", "two cans", "a pint", "3 spoons each", "a spade a plant"})
    EXPECT_NE(refused(said).find("which may be several things"), std::string::npos) << refused(said);
  EXPECT_NE(refused("2-3 handfuls").find("allowed is one number"), std::string::npos);
  EXPECT_NE(refused("2 or 3 handfuls").find("allowed is one number"), std::string::npos);
  EXPECT_NE(refused("half a bag").find("without its size"), std::string::npos);
  EXPECT_NE(refused("20 ml per can").find("does not say how many cans"), std::string::npos);
  EXPECT_NE(refused("20 ml per can weekly").find("does not say how many cans"), std::string::npos);
  EXPECT_NE(refused("2 handfuls a metre").find("a length or an area"), std::string::npos);
  EXPECT_NE(refused("a heaped handful").find("nobody can weigh"), std::string::npos);
  EXPECT_NE(refused("a 35-litre pot").find("a pot's size in"), std::string::npos) << refused("a 35-litre pot");
  EXPECT_NE(refused("2 handfuls weekly").find("how often"), std::string::npos);
}

TEST(SpokenAmount, RefusesWhatIsNoAmount) {
  for (const char* said :
       {"", "   ", "some", "handful", "2", "2 fistfuls", "0 g each", "-3 g", "three-quarters", "2 handfuls a plant please", "nan g",
        "inf kg", "1e3 g", "1/0 g", "9999999 g", "2 handfuls of", "half", "and a half g"}) {
    const std::string why = refused(said);
    if (std::string_view(said) == "2 handfuls of") continue;  // "of" nothing: an amount all the same
    EXPECT_EQ(why.find("diary.txt, line 3: found "), 0u) << why;
  }
}

}  // namespace
}  // namespace leafhunger
