// The catalogue: what is read, and faults in its three files.
#include <gtest/gtest.h>

#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"
#include "temp_garden.hpp"

namespace leafhunger {
namespace {

constexpr const char* k_cautions = R"({"format": 1, "cautions": {"dust": "Wear a mask.", "comment": "not a caution"}})";
constexpr const char* k_materials = R"({"format": 1, "comment": "invented", "materials": {
  "meal": {"title": "Meal", "model": "organic-two-pool", "n_percent": 5.5, "p2o5_percent": 7, "k2o_percent": 2, "carbon_to_nitrogen": 6,
    "dry_matter_percent": 92, "form": "pellet", "bulk_density_kg_m3": 700, "price_per_kg": 2.5, "parameters": {"ready_frac": 0.1},
    "surface": {"volatile_per_day": 0.2, "fixed_per_day": 0.3, "ph_factor": 0.5, "dissolved_wash_mm": 7},
    "cautions": ["dust"], "sources": {"n_percent": "invented"}},
  "bare": {"title": "Bare", "model": "soluble-salt", "n_percent": 20, "form": "liquid", "bulk_density_kg_m3": 1100, "price_per_kg": 0,
    "parameters": {}},
  "heap": {"title": "Heap", "model": "organic-two-pool", "n_percent": 0.9, "ammonium_frac": 0.05, "p_percent": 0.436421, "k_percent": 0.830148,
    "dry_matter_percent": 60, "form": "bulky", "bulk_density_kg_m3": 600, "conductivity_w_m_k": 0.3, "price_per_kg": 0.1,
    "origin": "matured-heap", "spread": {"death_per_day": 0.002},
    "responses": {"decay": {"temperature": "arrhenius", "reference_c": 20, "q": 44}, "ready": {"moisture": "two_limb"}},
    "surface": {"lost_at_once_frac": 0.2}}}})";
constexpr const char* k_plants = R"({"format": 1, "plants": {
  "leaf": {"title": "Leaf", "botanical": "Folium", "model": "herbaceous", "parameters": {"base_c": 10, "comment": "a guess"},
    "host": {"catch_up_d": 3, "reserve_share": 0.3, "reserve_per_day": 0.06, "uptake_per_day": 0.2, "ammonium_reach": 0.4,
      "unreachable_kg_ha": 2, "root_scale_mm": 300, "shade": 0.5},
    "hunger": "frugal", "crown_m2": 0.4, "cautions": ["dust"]},
  "plain": {"title": "Plain", "model": "herbaceous", "parameters": {}, "hunger": "greedy", "crown_m2": 2}}})";

class CatalogueReader : public ::testing::Test {
 protected:
  void SetUp() override {
    folder.write("cautions.json", k_cautions);
    folder.write("materials.json", k_materials);
    folder.write("plants.json", k_plants);
  }
  Catalogue read() const { return read_catalogue(folder.at("")); }
  /// The sentence after `from` became `to` in the file.
  std::string refusal(const std::string& name, const std::string& from, const std::string& to) const {
    folder.write(name, testing::replaced(testing::read_all(folder.at(name)), from, to));
    try {
      read();
    } catch (const InputError& error) {
      return error.what();
    }
    ADD_FAILURE() << "was taken";
    return {};
  }

  testing::TempFolder folder;
};

bool has(const std::string& sentence, const std::string& part) { return sentence.find(part) != std::string::npos; }

TEST_F(CatalogueReader, ReadsMaterials) {
  const Catalogue catalogue = read();
  ASSERT_EQ(catalogue.materials.size(), 3u);
  const Material& meal = catalogue.materials.at("meal");
  EXPECT_EQ(meal.id, "meal");
  EXPECT_EQ(meal.title, "Meal");
  EXPECT_EQ(meal.model, "organic-two-pool");
  EXPECT_EQ(meal.n_percent, 5.5);
  EXPECT_EQ(meal.p2o5_percent, 7);
  EXPECT_EQ(meal.k2o_percent, 2);
  EXPECT_EQ(meal.carbon_to_nitrogen, 6);
  EXPECT_EQ(meal.dry_matter_percent, 92);
  EXPECT_EQ(meal.form, Form::pellet);
  EXPECT_EQ(meal.bulk_density_kg_m3, 700);
  EXPECT_EQ(meal.price_per_kg, 2.5);
  EXPECT_EQ(meal.parameters, (std::map<std::string, double>{{"ready_frac", 0.1}}));
  EXPECT_EQ(meal.surface.volatile_per_day, 0.2);
  EXPECT_EQ(meal.surface.fixed_per_day, 0.3);
  EXPECT_EQ(meal.surface.ph_factor, 0.5);
  EXPECT_EQ(meal.surface.dissolved_wash_mm, 7);
  EXPECT_EQ(meal.cautions, std::vector<std::string>{"dust"});
  EXPECT_EQ(meal.sources.at("n_percent"), "invented");
  EXPECT_EQ(meal.origin.file, folder.at("materials.json"));
  EXPECT_EQ(meal.origin.place, "line 2, column 11, /materials/meal");
  EXPECT_EQ(meal.origin.parameter_places.at("ready_frac"), "line 3, column 126, /materials/meal/parameters/ready_frac");
}

TEST_F(CatalogueReader, ReadsWhatFollowsFromALabel) {
  const Material heap = read().materials.at("heap");
  EXPECT_EQ(heap.ammonium_frac, 0.05);
  EXPECT_NEAR(heap.p2o5_percent, 1, 2e-5);  // the element's share of the oxide, by atomic masses
  EXPECT_NEAR(heap.k2o_percent, 1, 2e-5);
  EXPECT_EQ(heap.conductivity_w_m_k, 0.3);
  EXPECT_EQ(heap.origin_word, "matured-heap");
  EXPECT_TRUE(heap.parameters.empty());
  EXPECT_EQ(heap.estimated, (std::map<std::string, double>{{"fast_frac", 0.02}, {"ready_frac", 0.05}}));
  EXPECT_EQ(heap.spread.at("death_per_day"), 0.002);
  EXPECT_EQ(heap.spread.at("fast_frac"), 0.025);
  EXPECT_NEAR(heap.carbon_to_nitrogen, 0.22 * 60 / 0.9, 1e-12);
  EXPECT_TRUE(has(heap.sources.at("carbon_to_nitrogen"), "CalRecycle 2013"));
  EXPECT_EQ(heap.surface.lost_at_once_frac, 0.2);
  ASSERT_EQ(heap.responses.size(), 2u);
  const ResponseChoice& decay = heap.responses.at("decay");
  EXPECT_EQ(decay.temperature, "arrhenius");
  EXPECT_EQ(decay.moisture, "");
  EXPECT_EQ(decay.reference_c, 20);
  EXPECT_EQ(decay.q, 44);
  EXPECT_EQ(heap.responses.at("ready").temperature, "");
  EXPECT_EQ(heap.responses.at("ready").moisture, "two_limb");
}

TEST_F(CatalogueReader, ParametersMayBeLeftOutBesideAnOrigin) {
  const std::string sentence = refusal("materials.json", "\"origin\": \"matured-heap\",", "");
  EXPECT_TRUE(has(sentence, "/materials/heap: found no key \"parameters\"")) << sentence;
  EXPECT_TRUE(has(sentence, "\"origin\"")) << sentence;
}

TEST_F(CatalogueReader, UnknownLawOfMoisture) {
  const std::string sentence = refusal("materials.json", "\"two_limb\"", "\"two_limbs\"");
  EXPECT_TRUE(has(sentence, "/materials/heap/responses/ready/moisture: found the text \"two_limbs\"")) << sentence;
  EXPECT_TRUE(has(sentence, "the nearest known word is \"two_limb\"")) << sentence;
}

TEST_F(CatalogueReader, EnergyMustBeGiven) {
  const std::string sentence = refusal("materials.json", ", \"q\": 44", "");
  EXPECT_TRUE(has(sentence, "/materials/heap/responses/decay: found no key \"q\", though the law \"arrhenius\" needs it")) << sentence;
}

TEST_F(CatalogueReader, BaseTemperatureBelowItsReference) {
  const std::string sentence =
      refusal("materials.json", "\"arrhenius\", \"reference_c\": 20, \"q\": 44", "\"linear_degree_day\", \"reference_c\": 20, \"q\": 20");
  EXPECT_TRUE(has(sentence, "/materials/heap/responses/decay/q: found 20; allowed is a base temperature below reference_c")) << sentence;
}

TEST_F(CatalogueReader, DefaultsAreThoseOfTheHeader) {
  const Catalogue catalogue = read();
  const Material& bare = catalogue.materials.at("bare");
  EXPECT_EQ(bare.form, Form::liquid);
  EXPECT_EQ(bare.carbon_to_nitrogen, 0);
  EXPECT_EQ(bare.ammonium_frac, 0);
  EXPECT_EQ(bare.origin_word, "");
  EXPECT_TRUE(bare.estimated.empty() && bare.spread.empty() && bare.responses.empty());
  EXPECT_EQ(bare.conductivity_w_m_k, Material{}.conductivity_w_m_k);
  EXPECT_EQ(bare.surface.lost_at_once_frac, 0);
  EXPECT_EQ(bare.dry_matter_percent, Material{}.dry_matter_percent);
  EXPECT_EQ(bare.surface.volatile_per_day, SurfaceConstants{}.volatile_per_day);
  const Plant& plain = catalogue.plants.at("plain");
  EXPECT_EQ(plain.host.uptake_per_day, PlantHost{}.uptake_per_day);
  EXPECT_EQ(plain.botanical, "");
}

TEST_F(CatalogueReader, ReadsPlants) {
  const Plant leaf = read().plants.at("leaf");
  EXPECT_EQ(leaf.title, "Leaf");
  EXPECT_EQ(leaf.botanical, "Folium");
  EXPECT_EQ(leaf.parameters, (std::map<std::string, double>{{"base_c", 10}}));
  EXPECT_EQ(leaf.host.catch_up_d, 3);
  EXPECT_EQ(leaf.host.reserve_share, 0.3);
  EXPECT_EQ(leaf.host.reserve_per_day, 0.06);
  EXPECT_EQ(leaf.host.uptake_per_day, 0.2);
  EXPECT_EQ(leaf.host.ammonium_reach, 0.4);
  EXPECT_EQ(leaf.host.unreachable_kg_ha, 2);
  EXPECT_EQ(leaf.host.root_scale_mm, 300);
  EXPECT_EQ(leaf.host.shade, 0.5);
  EXPECT_EQ(leaf.hunger, Hunger::frugal);
  EXPECT_EQ(leaf.crown_m2, 0.4);
}

TEST_F(CatalogueReader, CommentIsNoCaution) {
  const auto cautions = read().cautions;
  EXPECT_EQ(cautions, (std::map<std::string, std::string>{{"dust", "Wear a mask."}}));
}

TEST_F(CatalogueReader, FaultsNameTheFile) {
  const std::string sentence = refusal("materials.json", "\"n_percent\": 5.5", "\"n_percent\": 0");
  EXPECT_TRUE(sentence.starts_with(folder.at("materials.json") + ", line 2, column 71, /materials/meal/n_percent: found 0;")) << sentence;
}

TEST_F(CatalogueReader, UnknownCaution) {
  const std::string sentence = refusal("plants.json", "[\"dust\"]", "[\"dusty\"]");
  EXPECT_TRUE(has(sentence, "/plants/leaf/cautions/0: found the unknown caution \"dusty\"")) << sentence;
  EXPECT_TRUE(has(sentence, "the nearest known caution is \"dust\"")) << sentence;
}

TEST_F(CatalogueReader, WrongSection) {
  EXPECT_TRUE(has(refusal("plants.json", "\"plants\"", "\"plant\""), "the nearest known key is \"plants\""));
}

TEST_F(CatalogueReader, OtherFormat) { EXPECT_TRUE(has(refusal("cautions.json", "1", "2"), "/format: found 2; allowed is 1")); }

TEST_F(CatalogueReader, MissingFolder) {
  try {
    read_catalogue(folder.at("nowhere"));
    ADD_FAILURE() << "was taken";
  } catch (const InputError& error) {
    EXPECT_TRUE(has(error.what(), "nowhere/cautions.json: found no file of that name")) << error.what();
  }
}

TEST_F(CatalogueReader, CarbonCannotExceedDryMatter) {
  EXPECT_TRUE(has(refusal("materials.json", "\"carbon_to_nitrogen\": 6", "\"carbon_to_nitrogen\": 17"), "93.5 % carbon"));
}

}  // namespace
}  // namespace leafhunger
