// Release curves: numbers that are the jar's own, a spread that follows from the parameters', words, CSV, and a picture that is whole.
#include "leafhunger/curves.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>

#include "core/jar.hpp"
#include "host/figure_svg.hpp"
#include "host/lines.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"
#include "support/command.hpp"
#include "support/models.hpp"

namespace leafhunger {
namespace {

using testing::Answer;
using testing::command;

Material grains() {
  Material m;
  m.id = "grains", m.title = "Grains", m.model = "sample-first-order-nitrate", m.n_percent = 10;
  return m;
}

Material straw() {
  Material m;
  m.id = "straw", m.title = "Straw", m.model = "organic-two-pool", m.n_percent = 0.5, m.carbon_to_nitrogen = 80;
  m.parameters = {{"fast_frac", 0.8}};
  return m;
}

CurvesResult curves_of(const std::vector<Material>& materials, const CurvesQuestion& q = {}) {
  return release_curves(materials, *testing::registry(), testing::load_report(), q);
}

TEST(Curves, AreTheJarsOwnNumbers) {
  CurvesQuestion q;
  q.temperature_c = {8, 22}, q.wfps_frac = {std::nullopt, 0.3}, q.days = {7, 60};
  const CurvesResult r = curves_of({straw(), grains()}, q);
  ASSERT_EQ(r.curves.size(), 8u);
  const lh_release& model = testing::release("organic-two-pool");
  const auto parameter = testing::parameters(model.about, {{"carbon_to_nitrogen", 80}, {"fast_frac", 0.8}});
  for (std::size_t w = 0; w < 2; ++w) {
    const auto want = incubate(model, parameter, {{8, 22}, {0, 7, 60}, q.wfps_frac[w], "loam"});
    for (std::size_t t = 0; t < 2; ++t) {
      const Curve& c = r.at(0, w, t);
      EXPECT_EQ(c.freed_frac.size(), 61u);
      EXPECT_EQ(c.freed_frac[0], want[3 * t]);
      EXPECT_EQ(c.freed_frac[7], want[3 * t + 1]);
      EXPECT_EQ(c.freed_frac[60], want[3 * t + 2]);
      EXPECT_TRUE(c.spread_frac.empty());
      EXPECT_EQ(c.material, 0u);
      EXPECT_EQ(c.moisture, w);
      EXPECT_EQ(c.temperature, t);
    }
  }
  EXPECT_LT(r.at(0, 0, 1).freed_frac[7], -0.02) << "straw ties up";
}

// One pool of first order, 1 - exp(-k t): its derivative by k is t exp(-k t), so the spread of a small error of k is known by hand.
TEST(Curves, SpreadFollowsFromTheParameters) {
  const lh_release& model = testing::release("sample-first-order-nitrate");
  ASSERT_GE(model.about.n_parameter, 1);
  Material m = grains();
  const int at = parameter_index(model.about, "per_week");
  ASSERT_GE(at, 0);
  const double k = model.about.parameter[at].def, sd = 1e-4;
  m.spread = {{"per_week", sd}, {"not_of_this_model", 1}, {"nought", 0}};
  CurvesQuestion q;
  q.temperature_c = {25}, q.days = {30};
  const CurvesResult r = curves_of({m}, q);
  EXPECT_EQ(r.materials[0].spread_of, std::vector<std::string>{"per_week"});
  const auto& c = r.at(0, 0, 0);
  ASSERT_EQ(c.spread_frac.size(), 31u);
  EXPECT_EQ(c.spread_frac[0], 0);
  const double slope = std::abs(std::log(1 - c.freed_frac[20]) / 20 / k);  // what warmth and moisture make of k
  EXPECT_NEAR(c.spread_frac[20], slope * 20 * std::exp(-slope * k * 20) * sd, 1e-4 * c.spread_frac[20]);
}

TEST(Curves, SpreadIsKeptWithinBounds) {
  Material m = grains();
  m.spread = {{"per_week", 1e6}};  // down to its lower and up to its upper bound
  const CurvesResult r = curves_of({m});
  for (const Curve& c : r.curves)
    for (const double s : c.spread_frac) EXPECT_TRUE(s >= 0 && s <= 0.5) << s;
}

TEST(Curves, AJarTakesTheLawsThatAnEntryChose) {
  Material m = straw();
  m.responses["decay"] = {"q10", "", 25, 3};
  CurvesQuestion q;
  q.temperature_c = {25, 15}, q.days = {14};
  const CurvesResult own = curves_of({straw()}, q), chosen = curves_of({m}, q);
  EXPECT_NEAR(own.at(0, 0, 0).freed_frac[14], chosen.at(0, 0, 0).freed_frac[14], 1e-6) << "both laws are 1 at 25 degC";
  EXPECT_GT(std::abs(own.at(0, 0, 1).freed_frac[14] - chosen.at(0, 0, 1).freed_frac[14]), 0.05);
}

TEST(Curves, RefuseWhatIsOutOfBounds) {
  const auto place_of = [](const std::vector<Material>& m, const CurvesQuestion& q) -> std::string {
    try {
      curves_of(m, q);
    } catch (const InputError& e) {
      return e.fault().place;
    }
    return "nothing";
  };
  CurvesQuestion q;
  q.temperature_c = {61};
  EXPECT_EQ(place_of({grains()}, q), "temperature_c");
  q = {}, q.temperature_c.assign(13, 5.0);
  EXPECT_EQ(place_of({grains()}, q), "temperature_c");
  q = {}, q.days = {2000000000};
  EXPECT_EQ(place_of({grains()}, q), "days");
  q = {}, q.days = {14, 7};
  EXPECT_EQ(place_of({grains()}, q), "days");
  q = {}, q.wfps_frac = {1.5};
  EXPECT_EQ(place_of({grains()}, q), "moisture");
  EXPECT_EQ(place_of({}, {}), "material");
  Material other = grains();
  other.model = "nobodys";
  EXPECT_THROW(curves_of({other}), InputError);
}

// Fuzzing found the second: bytes that are no text stood in the sentence.
TEST(Curves, SayWhichTextureWasAskedForWhereThatCanBeShown) {
  const auto found = [](const std::string& texture) -> std::string {
    CurvesQuestion q;
    q.texture = texture;
    try {
      curves_of({grains()}, q);
    } catch (const InputError& e) {
      EXPECT_EQ(e.fault().place, "texture");
      return e.fault().found;
    }
    return "nothing";
  };
  EXPECT_EQ(found("lom"), "\"lom\"");
  for (const std::string& hostile : {std::string("\xff\xfe"), std::string("a\x1b[2J"), std::string(10000, 'x')})
    EXPECT_EQ(found(hostile), "what no texture is called");
}

TEST(Curves, UnknownMaterialOffersTheNearest) {
  const Catalogue catalogue = read_catalogue(LEAFHUNGER_CATALOGUE_DIR);
  EXPECT_EQ(find_materials(catalogue, {"dried-blood", "dried-blood"}).size(), 1u);
  const auto said = find_materials(catalogue, {"Dried blood", "chicken pellets"});
  ASSERT_EQ(said.size(), 2u);
  EXPECT_EQ(said[0].id + " " + said[1].id, "dried-blood poultry-manure-pellets");
  try {
    find_materials(catalogue, {"dryed-blood"});
    FAIL();
  } catch (const InputError& e) {
    EXPECT_NE(std::string(e.what()).find("dried-blood"), std::string::npos) << e.what();
  }
}

TEST(Curves, TableDaysGrowApart) {
  EXPECT_EQ(table_days(140), (std::vector<int>{7, 14, 28, 42, 56, 84, 112, 140}));
  EXPECT_EQ(table_days(1), (std::vector<int>{1}));
  for (const int last : {2, 7, 30, 100, 365, 3650}) {
    const auto days = table_days(last);
    EXPECT_TRUE(std::is_sorted(days.begin(), days.end()));
    EXPECT_EQ(days.back(), last);
    EXPECT_LE(days.size(), 8u);
    EXPECT_EQ(std::adjacent_find(days.begin(), days.end()), days.end());
  }
}

TEST(Curves, WordsFitEightyColumnsAndSayWhatAJarIs) {
  Material m = straw();
  m.spread = {{"fast_frac", 0.1}};
  CurvesQuestion q;
  q.temperature_c = {-5, 0, 5, 10, 15, 20, 25, 30, 35, 40}, q.wfps_frac = {0.361, std::nullopt}, q.days = {7, 28, 3650};
  const std::string words = in_words(curves_of({m, grains()}, q), true);
  std::istringstream in(words);
  for (std::string line; std::getline(in, line);) EXPECT_LE(lines::width(line), 80u) << line;
  std::string in_one_line = words;
  for (std::size_t at; (at = in_one_line.find("\n  ")) != std::string::npos;) in_one_line.replace(at, 3, " ");
  for (const char* part : {"tied up", "no plant, no rain", "two bags in three", "is not known for this feed", "36.1 % of its pores",
                           "Spread comes from: fast_frac", "organic-two-pool"})
    EXPECT_NE(in_one_line.find(part), std::string::npos) << part << " in:\n" << words;
  EXPECT_EQ(words.find("-0 "), std::string::npos);
}

TEST(Curves, CsvHoldsEveryDay) {
  CurvesQuestion q;
  q.temperature_c = {15}, q.days = {3};
  const CurvesResult r = curves_of({grains()}, q);
  const std::string csv = in_csv(r);
  EXPECT_NE(csv.find("\nmaterial,temperature_c,pores_with_water,day,freed_percent,spread_percent\ngrains,15,field-capacity,0,0.000,\n"),
            std::string::npos)
      << csv;
  char third[80];
  std::snprintf(third, sizeof third, "\ngrains,15,field-capacity,3,%.3f,\n", 100 * r.curves[0].freed_frac[3]);
  EXPECT_NE(csv.find(third), std::string::npos) << csv;
  EXPECT_EQ(std::count(csv.begin(), csv.end(), '\n'), 3 + 4);
}

// ---- the picture ----------------------------------------------------------------------------------------------------

double attribute(const std::string& tag, const char* name) {
  const auto at = tag.find(std::string(" ") + name + "=\"");
  EXPECT_NE(at, std::string::npos) << tag;
  return at == std::string::npos ? 0 : std::stod(tag.substr(at + std::string(name).size() + 3));
}

std::vector<std::string> all(const std::string& svg, const std::string& pattern) {
  const std::regex r(pattern);
  std::vector<std::string> out;
  for (std::sregex_iterator it(svg.begin(), svg.end(), r), end; it != end; ++it) out.push_back(it->str());
  return out;
}

// Every text with its room within the picture; no two names at line ends on top of each other; nothing from elsewhere.
void expect_whole(const std::string& svg) {
  const std::string head = all(svg, "<svg [^>]*>").at(0);
  const double width = attribute(head, "width"), height = attribute(head, "height");
  std::vector<std::pair<double, double>> names;
  for (const std::string& text : all(svg, "<text [^>]*>[^<]*</text>")) {
    const double x = attribute(text, "x"), y = attribute(text, "y"), size = attribute(text, "font-size");
    std::string words = text.substr(text.find('>') + 1, text.rfind("</") - text.find('>') - 1);
    words = std::regex_replace(words, std::regex("&[a-z]+;"), "<");  // one character on the page
    const double wide = figure::text_width(words, size);
    const double left = text.find("\"end\"") != std::string::npos      ? x - wide
                        : text.find("\"middle\"") != std::string::npos ? x - wide / 2
                                                                       : x;
    EXPECT_GE(left, -0.5) << text;
    EXPECT_LE(left + wide, width + 0.5) << text;
    EXPECT_TRUE(y - size > -1 && y < height) << text;
    if (size == 12.5) names.emplace_back(x, y);
  }
  for (std::size_t i = 0; i < names.size(); ++i)
    for (std::size_t j = i + 1; j < names.size(); ++j)
      EXPECT_TRUE(names[i].first != names[j].first || std::abs(names[i].second - names[j].second) >= 14) << svg;
  for (const char* foreign : {"href", "<script", "url(", "@import", "NaN", "nan", "inf"})
    EXPECT_EQ(svg.find(foreign), std::string::npos) << foreign;
  EXPECT_EQ(svg.rfind("</svg>\n"), svg.size() - 7);
}

TEST(CurvesFigure, IsWholeAndTheSameEachTime) {
  CurvesQuestion q;
  const CurvesResult r = curves_of({straw(), grains()}, q);
  const std::string svg = in_svg(r);
  expect_whole(svg);
  EXPECT_EQ(svg, in_svg(curves_of({straw(), grains()}, q)));
  EXPECT_EQ(all(svg, "<polyline").size(), 10u);
  // Lines differ in more than their colour.
  const auto dashes = all(svg, "stroke-dasharray=\"[^\"]*\"");
  EXPECT_EQ(std::set<std::string>(dashes.begin(), dashes.end()).size(), 4u) << "and one line is solid";
}

TEST(CurvesFigure, NamesNeverClip) {
  Material longest = grains();
  longest.title = "A feed whose name goes on and on, as names on bags will, with its size, its make-up and then some more of it";
  Material unbroken = grains();
  unbroken.id = "unbroken", unbroken.title = std::string(200, 'M');
  Material odd = grains();
  odd.id = "odd", odd.title = "<b>&\"quoted\" \u00e9\u00e8 \x01 B\u00e4ume</b>";
  std::vector<Material> many{longest, unbroken, odd};
  for (int i = 0; i < 9; ++i) {
    many.push_back(grains());
    many.back().id = "same" + std::to_string(i), many.back().title = "All end at one height " + std::to_string(i);
  }
  CurvesQuestion q;
  q.temperature_c = {15};
  const std::string svg = in_svg(curves_of(many, q));
  expect_whole(svg);
  EXPECT_EQ(svg.find("<b>"), std::string::npos);
  EXPECT_NE(svg.find("&lt;b&gt;&amp;&quot;"), std::string::npos);
  q.temperature_c = {5, 25}, q.wfps_frac = {0.2, 0.6};
  many.resize(5);
  expect_whole(in_svg(curves_of(many, q)));
}

TEST(CurvesFigure, ShowsTheSpreadAsBandOrBar) {
  Material m = straw();
  m.spread = {{"fast_frac", 0.1}};
  CurvesQuestion q;
  q.temperature_c = {5, 25};
  EXPECT_NE(in_svg(curves_of({m}, q)).find("band about a line holds two bags in three"), std::string::npos);
  EXPECT_NE(in_svg(curves_of({m})).find("bar at the end of a line holds two bags in three"), std::string::npos);
  EXPECT_EQ(in_svg(curves_of({straw()})).find("two bags in three"), std::string::npos);
  expect_whole(in_svg(curves_of({m}, q)));
  expect_whole(in_svg(curves_of({m})));
}

TEST(CurvesFigure, MovesNamesApartAroundWhereTheyBelong) {
  using figure::moved_apart;
  EXPECT_EQ(moved_apart({}, 10, 0, 100), std::vector<double>{});
  EXPECT_EQ(moved_apart({50, 20}, 10, 0, 100), (std::vector<double>{50, 20}));
  EXPECT_EQ(moved_apart({50, 50}, 10, 0, 100), (std::vector<double>{45, 55}));
  EXPECT_EQ(moved_apart({99, 98, 97}, 10, 0, 100), (std::vector<double>{100, 90, 80}));
  EXPECT_EQ(moved_apart({1, 1}, 10, 0, 100), (std::vector<double>{0, 10}));
}

// ---- the command ----------------------------------------------------------------------------------------------------

TEST(CurvesCommand, PrintsATable) {
  const Answer a = command({"curves", "dried-blood", "--temps", "-5,10", "--moisture", "field-capacity,0.6", "--days", "7,28"});
  EXPECT_EQ(a.status, 0) << a.err;
  EXPECT_EQ(a.err, "");
  EXPECT_NE(a.out.find("Of each 100 g of nitrogen in dried blood, "), std::string::npos) << a.out;
  EXPECT_NE(a.out.find("60 % of its"), std::string::npos) << a.out;
}

TEST(Curves, TheAnswerComesFirstAndIsTheTables) {
  CurvesQuestion q;
  q.temperature_c = {25, 5}, q.days = {7, 28, 56};
  const CurvesResult r = curves_of({straw()}, q);
  char want[200];
  std::snprintf(want, sizeof want,
                "For each 100 g of nitrogen in straw, %.0f g of the soil's are tied up after 28 days at 5 degrees, %.0f g at 25.",
                -100 * r.at(0, 0, 1).freed_frac[28], -100 * r.at(0, 0, 0).freed_frac[28]);
  std::string words = in_words(r);
  std::replace(words.begin(), words.end(), '\n', ' ');
  EXPECT_EQ(words.rfind(want, 0), 0u) << words << " for " << want;
  EXPECT_NE(words.find("still sinking"), std::string::npos) << "at 5 degrees, day 56 is not the deepest";
  EXPECT_EQ(in_words(curves_of({grains()}, q)).rfind("Of each 100 g of nitrogen in grains, ", 0), 0u);
}

TEST(CurvesCommand, JsonIsTheSameNumbers) {
  const Answer a = command({"curves", "dried-blood", "--temps", "10", "--days", "28,56", "--json"});
  ASSERT_EQ(a.status, 0) << a.err;
  const auto json = nlohmann::json::parse(a.out);
  CurvesQuestion q;
  q.temperature_c = {10}, q.days = {28, 56};
  const auto r = curves_of(find_materials(read_catalogue(LEAFHUNGER_CATALOGUE_DIR), {"dried-blood"}), q);
  EXPECT_EQ(json["curves"][0]["freed_frac"][1].get<double>(), r.curves[0].freed_frac[56]);
  EXPECT_EQ(json["curves"][0]["moisture"], "field-capacity");
}

TEST(CurvesCommand, WritesAPictureOrAnEntireTable) {
  const testing::TempFolder folder;
  for (const char* name : {"a.svg", "a.csv"}) {
    const Answer a = command({"curves", "dried-blood", "--out", folder.at(name)});
    EXPECT_EQ(a.status, 0) << a.err;
  }
  expect_whole(testing::read_all(folder.at("a.svg")));
  EXPECT_EQ(folder.names().size(), 2u) << "no temporary file stays";
  const Answer again = command({"curves", "seed-meal", "--out", folder.at("a.svg")});
  EXPECT_EQ(again.status, 2);
  EXPECT_NE(again.err.find("--force"), std::string::npos) << again.err;
  EXPECT_NE(testing::read_all(folder.at("a.svg")).find("dried blood"), std::string::npos) << "kept as it was";
  EXPECT_EQ(command({"curves", "seed-meal", "--force", "--out", folder.at("a.svg")}).status, 0);
}

TEST(CurvesCommand, KnowsTheMaterialsOfAScenario) {
  const std::string file = std::string(LEAFHUNGER_SOURCE_DIR) + "/scenarios/straw-or-alfalfa.json";
  EXPECT_EQ(command({"curves", "chopped-straw", "--file", file}).status, 0);
  EXPECT_EQ(command({"curves", "chopped-straw"}).status, 2);
}

TEST(CurvesCommand, SaysInOneSentenceWhatIsWrong) {
  struct Case {
    std::vector<std::string> words;
    std::vector<std::string> says;
  };
  const std::vector<Case> cases = {
      {{"curves", "dryed-blod"}, {"MATERIAL", "dryed-blod", "dried-blood"}},
      {{"curves", "dried-blood", "--temps", "5,,10"}, {"--temps", "degrees Celsius"}},
      {{"curves", "dried-blood", "--temps", "warm"}, {"--temps", "\"warm\""}},
      {{"curves", "dried-blood", "--temps", "nan"}, {"--temps", "nan"}},
      {{"curves", "dried-blood", "--temps", "1e999"}, {"--temps"}},
      {{"curves", "dried-blood", "--temps", ""}, {"--temps", "nothing"}},
      {{"curves", "dried-blood", "--temps", "5,61"}, {"--temps", "61", "60"}},
      {{"curves", "dried-blood", "--temps", "1,2,3,4,5,6,7,8,9,10,11,12,13"}, {"--temps", "13", "12"}},
      {{"curves", "dried-blood", "--moisture", "0"}, {"--moisture", "above 0"}},
      {{"curves", "dried-blood", "--moisture", "60"}, {"--moisture", "60", "at most 1"}},
      {{"curves", "dried-blood", "--moisture", "field capacity"}, {"--moisture", "field-capacity"}},
      {{"curves", "dried-blood", "--days", "0"}, {"--days", "1 to 3650"}},
      {{"curves", "dried-blood", "--days", "7.5"}, {"--days", "7.5"}},
      {{"curves", "dried-blood", "--days", "99999999999"}, {"--days"}},
      {{"curves", "dried-blood", "--out", "curves.png"}, {"--out", "png", ".svg", ".csv"}},
      {{"curves", "dried-blood", "--out", "curves"}, {"--out", "without an ending"}},
      {{"curves", "dried-blood", "--out", ""}, {"--out"}},
      {{"curves", "dried-blood", "--out", "no/such/folder/a.svg"}, {"no folder"}},
      {{"curves", "dried-blood", "--file", "no-such.json"}, {"no-such.json"}},
  };
  for (const Case& c : cases) {
    const Answer a = command(c.words);
    EXPECT_EQ(a.status, 2) << a.err;
    EXPECT_EQ(a.out, "");
    EXPECT_EQ(std::count(a.err.begin(), a.err.end(), '\n'), 1) << a.err;
    for (const std::string& words : c.says) EXPECT_NE(a.err.find(words), std::string::npos) << words << " in: " << a.err;
  }
}

}  // namespace
}  // namespace leafhunger
