// What a good scenario becomes; the faults are in tests/bad/cases.json.
#include <gtest/gtest.h>

#include <algorithm>
#include <numbers>
#include <random>

#include "host/json_document.hpp"
#include "host/weather_columns.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/generator.hpp"
#include "leafhunger/reader.hpp"
#include "temp_garden.hpp"

namespace leafhunger {
namespace {

std::string catalogue_dir() { return (testing::bad_folder() / "catalogue").string(); }

/// The garden of tests/bad in a folder of its own, to be changed at will.
class ScenarioReader : public ::testing::Test {
 protected:
  void SetUp() override {
    folder.write("weather.csv", testing::read_all(testing::bad_folder() / "weather.csv"));
    garden = testing::read_all(testing::bad_folder() / "garden.json");
  }
  void change(const std::string& from, const std::string& to) { garden = testing::replaced(garden, from, to); }
  Scenario read() const { return read_scenario(folder.write("garden.json", garden), catalogue_dir()); }
  std::string refusal() const {
    try {
      read();
    } catch (const InputError& error) {
      return error.what();
    }
    ADD_FAILURE() << "was taken";
    return {};
  }

  testing::TempFolder folder;
  std::string garden;
};

TEST_F(ScenarioReader, GardenAndWeather) {
  const Scenario s = read();
  EXPECT_EQ(s.file, folder.at("garden.json"));
  EXPECT_EQ(s.garden, "Test yard");
  EXPECT_EQ(s.note, "invented");
  EXPECT_EQ(s.site.latitude_deg, 50.3);
  EXPECT_EQ(s.site.elevation_m, 12);
  EXPECT_EQ(s.site.wind_height_m, 10);
  EXPECT_EQ(s.currency, "£");
  EXPECT_EQ(s.weather_file, folder.at("weather.csv"));
  EXPECT_EQ(s.weather.days(), 366u);
  EXPECT_FALSE(s.et.hargreaves);
  EXPECT_EQ(s.et.factor, 1.05);
  EXPECT_EQ(s.question.season, 2004);
  EXPECT_EQ(s.question.carry_to, (MonthDay{8, 31}));
  EXPECT_EQ(s.handful_ml, 75);
  EXPECT_EQ(s.trowel_ml, 290);
  EXPECT_EQ(s.handful_g, (std::map<std::string, double>{{"test-powder", 55}}));
  EXPECT_TRUE(s.notes.empty()) << s.notes[0];
}

TEST_F(ScenarioReader, AnEditorsSchemaIsTakenAndIgnored) {
  const std::string named = "\"../../scenarios/scenario.schema.json\"";
  const Scenario with = read();
  change(named, "\"https://nowhere.example/no such file\"");
  EXPECT_EQ(read().beds.size(), with.beds.size()) << "it is not opened";
  change("\"https://nowhere.example/no such file\"", "7");
  EXPECT_NE(refusal().find("/$schema: found 7; allowed is a text of 0 to 1000 characters; "), std::string::npos) << refusal();
  change(", \"$schema\": 7", "");
  EXPECT_EQ(read().beds.size(), with.beds.size()) << "and need not stand there";
  change("\"name\": \"Test yard\"", "\"$schema\": \"x\", \"name\": \"Test yard\"");
  EXPECT_NE(refusal().find("found the unknown key \"$schema\""), std::string::npos) << "it belongs to the whole file";
}

TEST_F(ScenarioReader, WeatherMadeUpFromAPlace) {
  change(R"("file": "weather.csv",
    "wind_height_m": 10,
    "evapotranspiration": {"form": "best", "factor": 1.05},
    "gaps": {"fill": "interpolate", "at_most_days": 4})",
         R"("place": "nowhere sound", "years": 12, "seed": 4, "start": 1999,
    "evapotranspiration": {"form": "hargreaves"})");
  const Scenario s = read();
  const auto normals = read_normals(shipped_normals(catalogue_dir()));
  const auto days = WeatherGenerator(find_place(normals, "Nowhere Sound", "")).generate({1999, 12, 4});
  EXPECT_EQ(s.weather.first, make_date(1999, {11, 1}));
  EXPECT_EQ(s.weather.tmin_c, days.tmin_c);
  EXPECT_EQ(s.weather.tmax_c, days.tmax_c);
  EXPECT_EQ(s.weather.rain_mm, days.rain_mm);
  EXPECT_TRUE(s.weather_file.empty());
  EXPECT_TRUE(s.et.hargreaves);
  EXPECT_EQ(s.question.season, 2004);
  // Latitude and elevation stay the garden's.
  EXPECT_EQ(s.site.latitude_deg, 50.3);
  EXPECT_EQ(s.site.elevation_m, 12);
  EXPECT_EQ(s.weather.made_up, "Weather made up from the monthly normals of Nowhere Sound (seed 4): no station measured it.");
  ASSERT_EQ(s.weather.notes.size(), 1u);
  EXPECT_NE(s.weather.notes[0].find("generated, no station measured it: 12 years, seed 4, from the normals of Nowhere Sound (invented)"),
            std::string::npos);
}

TEST_F(ScenarioReader, MadeUpWeatherHasDefaults) {
  change(R"("file": "weather.csv",
    "wind_height_m": 10,
    "evapotranspiration": {"form": "best", "factor": 1.05},
    "gaps": {"fill": "interpolate", "at_most_days": 4})",
         R"("place": "Nowhere Sound")");
  change(R"("season": 2004, )", "");
  const Scenario s = read();
  EXPECT_EQ(s.weather.first, make_date(2000, {11, 1}));
  EXPECT_EQ(s.question.season, 2020);
}

TEST_F(ScenarioReader, BedOfSoil) {
  const Scenario s = read();
  ASSERT_EQ(s.beds.size(), 2u);
  const Bed& bed = s.beds[0];
  EXPECT_EQ(bed.name, "Long bed");
  EXPECT_EQ(bed.area_m2, 14.5);
  EXPECT_EQ(bed.texture, "sandy loam");
  EXPECT_EQ(bed.soil.thickness_mm, (std::vector<double>{50, 120, 180, 310}));
  EXPECT_EQ(bed.soil.theta_fc, std::vector<double>(4, 0.24));
  EXPECT_EQ(bed.soil.theta_wp, std::vector<double>(4, 0.1));
  EXPECT_EQ(bed.soil.theta_sat, std::vector<double>(4, 0.47));
  EXPECT_EQ(bed.soil.organic_matter_percent[0], 4);
  EXPECT_EQ(bed.soil.ph, 6.8);
  EXPECT_FALSE(bed.soil.container);
  EXPECT_EQ(bed.mulch.depth_mm, 60);
  EXPECT_EQ(bed.mulch.cover_frac, 0.85);
  EXPECT_EQ(bed.mulch.conductivity_w_m_k, 0.15);
  ASSERT_TRUE(bed.watering);
  EXPECT_EQ(bed.watering->below_frac, 0.45);
  EXPECT_EQ(bed.watering->give_mm, 11);
  EXPECT_EQ(bed.watering->depth_mm, 280);
  EXPECT_EQ(bed.soil.rise_mm_per_day, 0.4);
  EXPECT_EQ(bed.soil.k_sat_mm_per_day, 900);
  EXPECT_TRUE(bed.heat.moist_properties);
  EXPECT_EQ(bed.heat.conductivity_w_m_k, HeatOptions{}.conductivity_w_m_k);
}

TEST_F(ScenarioReader, UsualGround) {
  change(", \"depth_mm\": 280", "");
  change(",\n        \"rise_mm_per_day\": 0.4,\n        \"saturated_conductivity_mm_per_day\": 900,\n        \"heat\": \"with-water\"", "");
  const Bed bed = read().beds[0];
  EXPECT_FALSE(bed.watering->depth_mm);
  EXPECT_EQ(bed.soil.rise_mm_per_day, 0);
  EXPECT_EQ(bed.soil.k_sat_mm_per_day, 0);
  EXPECT_FALSE(bed.heat.moist_properties);
}

// Litres spread over the bed: 35 min x 16 l/min on 14.5 m2. Millimetres an hour for an hour and a half.
TEST_F(ScenarioReader, WateringsByDate) {
  const auto w = read().beds[0].waterings;
  ASSERT_EQ(w.size(), 3u);
  EXPECT_EQ(w[0].on, (MonthDay{6, 15}));
  EXPECT_EQ(w[0].give_mm, 14);
  EXPECT_EQ(w[0].every_days, 8);
  EXPECT_EQ(w[0].until, (MonthDay{8, 25}));
  EXPECT_EQ(w[1].on, (MonthDay{5, 2}));
  EXPECT_NEAR(w[1].give_mm, 38.62069, 1e-5);
  EXPECT_FALSE(w[1].every_days);
  EXPECT_NEAR(w[2].give_mm, 9, 1e-12);
  EXPECT_TRUE(read().beds[1].waterings.empty());
}

// A pot's litres fall on its own area.
TEST_F(ScenarioReader, HoseOnAPot) {
  change("\"in_shade\": true\n      },",
         "\"in_shade\": true\n      }, \"waterings\": [{\"on\": \"02-29\", \"hose\": {\"minutes\": 0.5, \"litres_per_minute\": 8}}],");
  const Bed tub = read().beds[1];
  EXPECT_NEAR(tub.waterings[0].give_mm, 4 / tub.area_m2, 1e-12);
  EXPECT_EQ(tub.waterings[0].on, (MonthDay{2, 29}));
}

// What can evaporate readily is always less than what can evaporate at all, 1000 (fc - wp/2) 0.10 m (FAO-56 eq 73).
TEST_F(ScenarioReader, ReadilyEvaporableWaterFollowsTheUsersFigures) {
  change("\"field_capacity\": 0.24,\n        \"wilting_point\": 0.1,", "\"field_capacity\": 0.08,\n        \"wilting_point\": 0.05,");
  const Soil soil = read().beds[0].soil;
  EXPECT_GT(soil.rew_mm, 0);
  EXPECT_LT(soil.rew_mm, 1000 * (0.08 - 0.025) * 0.1);
  change(",\n        \"field_capacity\": 0.08,\n        \"wilting_point\": 0.05,\n        \"porosity\": 0.47", "");
  EXPECT_DOUBLE_EQ(read().beds[0].soil.rew_mm, find_texture("sandy loam")->rew_mm);
}

TEST_F(ScenarioReader, Container) {
  const Bed tub = read().beds[1];
  EXPECT_TRUE(tub.soil.container);
  EXPECT_DOUBLE_EQ(tub.soil.container_diameter_m, 0.52);
  EXPECT_DOUBLE_EQ(tub.area_m2, std::numbers::pi * 0.26 * 0.26);
  EXPECT_DOUBLE_EQ(tub.soil.depth_mm(), 390);
  EXPECT_EQ(tub.soil.organic_matter_percent.back(), 5);
  EXPECT_EQ(tub.texture, "potting mix");
  EXPECT_EQ(tub.soil.theta_fc, std::vector<double>(4, 0.5));
  EXPECT_EQ(tub.soil.theta_wp, std::vector<double>(4, 0.15));
  EXPECT_EQ(tub.soil.theta_sat, std::vector<double>(4, 0.8));
  EXPECT_EQ(tub.heat.wall_sun_frac, 0);
  EXPECT_DOUBLE_EQ(tub.heat.wall_u_w_m2_k, pot_walls()[2].u_w_m2_k());
  EXPECT_EQ(tub.heat.conductivity_w_m_k, 0.28);
  EXPECT_EQ(tub.mulch.depth_mm, 0);
  EXPECT_FALSE(tub.watering);
}

// A litre is a cubic decimetre (NIST SP 811, appendix B): whatever the pot's shape, area times depth is its volume.
TEST_F(ScenarioReader, PotByItsLitres) {
  const std::string measured = garden;
  for (const auto& [told, depth_mm] :
       {std::pair{"\"litres\": 35", 0.0}, {"\"litres\": 35, \"depth_mm\": 300", 300.0}, {"\"diameter_mm\": 400, \"litres\": 35", 0.0}}) {
    garden = measured;
    change("\"depth_mm\": 390,\n        \"diameter_mm\": 520", told);
    const Bed tub = read().beds[1];
    EXPECT_NEAR(tub.area_m2 * 100 * tub.soil.depth_mm() / 100, 35, 1e-9) << told;  // dm2 x dm
    if (depth_mm > 0) {
      EXPECT_NEAR(tub.soil.depth_mm(), depth_mm, 1e-9);
    }
  }
  garden = measured;
  change("\"depth_mm\": 390,\n        \"diameter_mm\": 520", "\"litres\": 35");
  const Bed tub = read().beds[1];
  EXPECT_NEAR(tub.soil.container_diameter_m, tub.soil.depth_mm() / 1000, 1e-12) << "as deep as wide";
  EXPECT_NEAR(tub.soil.depth_mm(), 354.6, 0.1);  // the cube root of 4 x 35 / pi, dm
}

TEST_F(ScenarioReader, UsualPot) {
  const auto from = garden.find("        \"mix\": \"potting mix\""),
             to = garden.find("\n      },\n      \"plantings\": [{\"name\": \"Tub leaves\"");
  garden.replace(from - 2, to - from + 2, "");
  const Bed tub = read().beds[1];
  EXPECT_EQ(tub.texture, "loam");
  EXPECT_EQ(tub.soil.theta_fc[0], find_texture("loam")->theta_fc);
  EXPECT_EQ(tub.soil.organic_matter_percent[0], 0);
  EXPECT_EQ(tub.heat.wall_sun_frac, HeatOptions{}.wall_sun_frac);
  EXPECT_DOUBLE_EQ(tub.heat.wall_u_w_m2_k, pot_walls()[0].u_w_m2_k());
}

TEST_F(ScenarioReader, GapsAreFilledWhereAsked) {
  const std::string weather = testing::read_all(folder.at("weather.csv"));
  std::string lines;
  for (std::size_t start = 0, end = 0; start < weather.size(); start = end + 1) {
    end = weather.find('\n', start);
    const std::string line = weather.substr(start, end - start);
    if (!line.starts_with("2004-02-28") && !line.starts_with("2004-02-29")) lines += line + '\n';
  }
  folder.write("weather.csv", lines);
  const Scenario s = read();
  EXPECT_EQ(s.weather.days(), 366u);
  ASSERT_EQ(s.weather.notes.size(), 1u);
  EXPECT_NE(s.weather.notes[0].find("2004-02-28 to 2004-02-29 is filled"), std::string::npos) << s.weather.notes[0];
  EXPECT_TRUE(s.notes.empty());
  change(",\n    \"gaps\": {\"fill\": \"interpolate\", \"at_most_days\": 4}", "");
  EXPECT_NE(refusal().find("a gap: 2 days are missing from 2004-02-28"), std::string::npos);
}

TEST_F(ScenarioReader, Plantings) {
  const auto plantings = read().beds[0].plantings;
  ASSERT_EQ(plantings.size(), 2u);
  EXPECT_EQ(plantings[0].name, "Tall leaves");
  EXPECT_EQ(plantings[0].plant, "test-leaf");
  EXPECT_EQ(plantings[0].count, 3);
  EXPECT_EQ(plantings[0].crown_m2, 2.2);
  EXPECT_EQ(plantings[0].ground_m2, 9);
  EXPECT_EQ(plantings[1].count, 1);
  EXPECT_EQ(plantings[1].size, "young-one");
  EXPECT_EQ(plantings[1].crown_m2, 0.9);  // that of its size
  EXPECT_FALSE(plantings[1].ground_m2);
}

TEST_F(ScenarioReader, CrownIsThePlantsOwnWhereNothingElseIsSaid) {
  change(", \"size\": \"young-one\"", "");
  EXPECT_EQ(read().beds[0].plantings[1].crown_m2, 1.7);
}

TEST_F(ScenarioReader, Feedings) {
  const auto feedings = read().feedings;
  ASSERT_EQ(feedings.size(), 2u);
  EXPECT_EQ(feedings[0].material, "test-powder");
  EXPECT_EQ(feedings[0].on, (MonthDay{4, 15}));
  EXPECT_EQ(feedings[0].amount.value, 150);
  EXPECT_EQ(feedings[0].amount.measure, Amount::Measure::grams);
  EXPECT_EQ(feedings[0].amount.per, Amount::Per::m2);
  EXPECT_EQ(feedings[0].bed, "Long bed");
  EXPECT_FALSE(feedings[0].every_days);
  EXPECT_EQ(feedings[0].watered_in_mm, 5);
  EXPECT_EQ(feedings[0].forked_in_mm, 70);
  EXPECT_EQ(feedings[1].amount.measure, Amount::Measure::handfuls);
  EXPECT_EQ(feedings[1].amount.per, Amount::Per::plant);
  EXPECT_EQ(feedings[1].plantings, (std::vector<std::string>{"Tall leaves", "Tub leaves"}));
  EXPECT_EQ(feedings[1].every_days, 42);
  EXPECT_EQ(feedings[1].until, (MonthDay{8, 10}));
}

TEST_F(ScenarioReader, OwnEntriesGoOverTheCatalogue) {
  change("\"test-salt\": {\n",
         "\"stock-pellets\": {\"title\": \"Mine\", \"model\": \"organic-two-pool\", \"n_percent\": 3, \"form\": \"powder\",\n"
         "      \"bulk_density_kg_m3\": 500, \"price_per_kg\": 9, \"parameters\": {}},\n    \"test-salt\": {\n");
  const Catalogue catalogue = read().catalogue;
  EXPECT_EQ(catalogue.materials.at("stock-pellets").title, "Mine");
  EXPECT_EQ(catalogue.materials.at("stock-pellets").origin.file, folder.at("garden.json"));
  EXPECT_EQ(catalogue.materials.at("test-salt").price_per_kg, 1.45);  // prices_per_kg over the entry's own
  EXPECT_EQ(catalogue.plants.count("stock-leaf"), 1u);
  EXPECT_EQ(catalogue.cautions.count("scorch"), 1u);
}

TEST_F(ScenarioReader, MeasuresByName) {
  const std::pair<const char*, Amount::Measure> k_measures[] = {
      {"grams", Amount::Measure::grams},   {"kilograms", Amount::Measure::kilograms}, {"millilitres", Amount::Measure::millilitres},
      {"litres", Amount::Measure::litres}, {"handfuls", Amount::Measure::handfuls},   {"trowels", Amount::Measure::trowels}};
  const std::string base = garden;
  for (const auto& [name, measure] : k_measures) {
    garden = base;
    change("\"grams\": 150", std::string(1, '"').append(name).append("\": 2.5"));
    const Amount amount = read().feedings[0].amount;
    EXPECT_EQ(amount.measure, measure) << name;
    EXPECT_EQ(amount.value, 2.5);
  }
}

TEST_F(ScenarioReader, SeasonDefaultsToTheLastWholeOne) {
  change("\"season\": 2004, ", "");
  EXPECT_EQ(read().question.season, 2004);
}

TEST_F(ScenarioReader, SeasonZeroIsTheLastWholeOne) {
  change("\"season\": 2004", "\"season\": 0");
  EXPECT_EQ(read().question.season, 2004);
}

TEST_F(ScenarioReader, SouthShiftsByHalfAYear) {
  change("50.3", "-37");
  change("\"question\": {\"season\": 2004, \"carry_to\": \"08-31\"},\n  ", "");
  change("\"on\": \"05-20\"", "\"on\": \"11-20\"");
  change("\"until\": \"08-10\"", "\"until\": \"02-10\"");
  // The year of weather runs from November: no southern season (May to April) is whole in it.
  EXPECT_NE(refusal().find("1 May to 30 April"), std::string::npos);
  std::string weather = "date,tmin_c,tmax_c,rain_mm\n";
  for (Date day = *parse_date("2003-05-01"); day <= *parse_date("2004-04-30"); day += std::chrono::days{1})
    weather += to_iso(day) + ",5,15,1\n";
  folder.write("weather.csv", weather);
  const Scenario s = read();
  EXPECT_EQ(s.question.season, 2004);
  EXPECT_EQ(s.question.carry_to, (MonthDay{2, 28}));
}

TEST_F(ScenarioReader, WindHeightIsOnlyNeededWithWind) {
  change("    \"wind_height_m\": 10,\n", "");
  EXPECT_NE(refusal().find("wind_height_m"), std::string::npos);
  const std::string weather = testing::read_all(folder.at("weather.csv"));
  folder.write("weather.csv", testing::replaced(weather, ",wind_m_s", ",gust_m_s"));
  const Scenario s = read();
  EXPECT_TRUE(s.weather.wind_m_s.empty());
  EXPECT_TRUE(s.notes.empty());  // or it would be said twice
  ASSERT_EQ(s.weather.notes.size(), 1u);
  EXPECT_NE(s.weather.notes[0].find("gust_m_s"), std::string::npos);
}

TEST_F(ScenarioReader, RichSoilIsNoted) {
  change("\"organic_matter_percent\": 4", "\"organic_matter_percent\": 12");
  const Scenario s = read();
  ASSERT_EQ(s.notes.size(), 1u);
  EXPECT_EQ(s.notes[0], "Long bed: organic matter above 6 % counts as 6 % for the nitrogen that it frees");
  EXPECT_EQ(s.beds[0].soil.organic_matter_percent[0], 12);
}

TEST_F(ScenarioReader, WholeNumbersMayBeWrittenWithAPoint) {
  change("\"count\": 3", "\"count\": 3.0");
  EXPECT_EQ(read().beds[0].plantings[0].count, 3);
}

TEST_F(ScenarioReader, LeapDayIsADayOfTheYear) {
  change("\"on\": \"04-15\"", "\"on\": \"02-29\"");
  EXPECT_EQ(read().feedings[0].on, (MonthDay{2, 29}));
}

TEST_F(ScenarioReader, GroundMayFillTheBed) {
  change("\"ground_m2\": 9}", "\"ground_m2\": 9}, {\"name\": \"Rest\", \"plant\": \"stock-leaf\", \"ground_m2\": 5.5}");
  change(",\n        {\"name\": \"Low leaves\", \"plant\": \"test-leaf\", \"size\": \"young-one\"}", "");
  EXPECT_EQ(read().beds[0].plantings.size(), 2u);
}

TEST_F(ScenarioReader, CommentsAreAllowedInEveryGroup) {
  // The text of every group gets a comment right after its opening brace.
  std::string commented;
  bool in_text = false;
  for (std::size_t i = 0; i < garden.size(); ++i) {
    commented += garden[i];
    if (garden[i] == '"') in_text = !in_text;
    if (garden[i] == '{' && !in_text && i > 0) commented += "\"comment\": \"c\", ";
  }
  garden = commented;
  const Scenario s = read();
  EXPECT_EQ(s.catalogue.materials.size(), 4u);
  EXPECT_EQ(s.handful_g.size(), 1u);
}

TEST_F(ScenarioReader, ByteOrderMarkAndWindowsLineEnds) {
  std::string windows = "\xEF\xBB\xBF";
  for (const char c : garden) windows += c == '\n' ? std::string("\r\n") : std::string(1, c);
  garden = windows;
  EXPECT_EQ(read().garden, "Test yard");
}

TEST_F(ScenarioReader, SubfoldersCount) {
  std::filesystem::create_directories(folder.at("data"));
  folder.write("data/w.csv", testing::read_all(folder.at("weather.csv")));
  change("\"weather.csv\"", "\"data/../data/w.csv\"");
  EXPECT_EQ(read().weather_file, folder.at("data/w.csv"));
}

// Whatever is done to the file, it is either taken or refused in one sentence.
TEST_F(ScenarioReader, DamagedFilesNeverCrash) {
  std::mt19937 random(20240415);
  const auto pick = [&](std::size_t below) { return random() % below; };
  const std::string base = garden;
  int refused = 0;
  for (int round = 0; round < 1500; ++round) {
    garden = base;
    for (std::size_t i = 0, n = 1 + pick(4); i < n; ++i) {
      const std::size_t at = pick(garden.size());
      switch (pick(5)) {
        case 0:
          garden[at] = static_cast<char>(pick(256));
          break;
        case 1:
          garden.erase(at, 1 + pick(30));
          break;
        case 2:
          garden.insert(at, garden.substr(pick(garden.size()), pick(40)));
          break;
        case 3:
          garden[at] = "0123456789-.eE,:{}[]\""[pick(21)];
          break;
        default:
          garden.resize(at);
      }
      if (garden.empty()) break;
    }
    try {
      read();
    } catch (const InputError& error) {
      ++refused;
      const std::string sentence = error.what();
      EXPECT_EQ(sentence.find('\n'), std::string::npos) << sentence;
      EXPECT_FALSE(error.fault().hint.empty()) << sentence;
    }
  }
  EXPECT_GT(refused, 1000);
}

// The enums of the schema and the soil's own tables must not drift apart.
TEST(ScenarioSchema, KnowsEveryTextureMixAndWall) {
  const auto schema =
      input::read_json((std::filesystem::path(LEAFHUNGER_SOURCE_DIR) / "scenarios" / "scenario.schema.json").string(), "the schema");
  const input::JsonValue& definitions = schema.root.find("$defs")->value;
  const auto expect_same = [](const input::JsonValue& words, const auto& table) {
    std::vector<std::string> listed, known;
    for (const auto& item : words.find("enum")->value.items) listed.push_back(item.text);
    for (const auto& row : table) known.emplace_back(row.name);
    EXPECT_EQ(listed, known);
  };
  expect_same(definitions.find("texture")->value, textures());
  expect_same(definitions.find("mix")->value, mixes());
  const auto& pot = definitions.find("bed")->value.find("properties")->value.find("container")->value.find("properties")->value;
  expect_same(pot.find("wall")->value, pot_walls());
}

TEST(ScenarioSchema, NamesEveryWeatherColumn) {
  const auto schema =
      input::read_json((std::filesystem::path(LEAFHUNGER_SOURCE_DIR) / "scenarios" / "scenario.schema.json").string(), "the schema");
  const std::string words = schema.root.find("properties")->value.find("weather")->value.find("description")->value.text;
  for (const auto& name : input::weather_column_names(false)) EXPECT_NE(words.find(name), std::string::npos) << name;
}

}  // namespace
}  // namespace leafhunger
