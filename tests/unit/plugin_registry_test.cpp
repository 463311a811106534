// What the registry takes over and what it refuses, with tables made here: one thing wrong at a time, one sentence that says which.
#include "leafhunger/plugin_registry.hpp"

#include <gtest/gtest.h>

#include <functional>
#include <limits>
#include <set>

#include "leafhunger/error.hpp"
#include "plugins/sample.hpp"
#include "support/models.hpp"

namespace leafhunger {
namespace {

// A release model whose tables a test may spoil.
struct Spoilt {
  lh_parameter parameter[2] = {sample::k_parameters[0], {"wash_mm", "mm", "rain", "a sample", 5, 0, 100}};
  lh_response response[1] = {{"warmth", "q10", "flat", LH_SOIL, 0, 0}};
  lh_pool pool[2] = {{"grains", LH_SURFACE, LH_UNFREED, 1, 1, LH_NONE}, {"dust", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE}};
  lh_flow flow[2] = {{"freed", 0, LH_SURFACE_AMMONIUM, 0, 0, 0, {0, 0}}, {"freed below", 1, LH_AMMONIUM, 1, 0, 0, {0, 0}}};
  lh_named age[1] = {{"age", "d", "age"}};
  lh_release model = sample::release("spoilt");
  const lh_release* list[2] = {&model, &model};
  lh_plugins plugins = {LH_ABI, sizeof(lh_plugins), 1, 0, list, nullptr};

  Spoilt() {
    model.about.parameter = parameter, model.about.n_parameter = 2;
    model.response = response, model.n_response = 1;
    model.pool = pool, model.n_pool = 2;
    model.flow = flow, model.n_flow = 2;
    model.age = age, model.n_age = 1;
  }
};

std::string refusal(const std::function<void(Spoilt&)>& spoil) {
  Spoilt s;
  spoil(s);
  PluginRegistry registry;
  try {
    registry.add(&s.plugins, "lib/spoilt.so");
  } catch (const PluginError& e) {
    EXPECT_TRUE(e.at_load());
    EXPECT_TRUE(registry.releases().empty()) << "nothing is taken over from a library that is refused";
    return e.what();
  }
  return "";
}

TEST(PluginRegistry, TakesAGoodTable) {
  EXPECT_EQ(refusal([](Spoilt&) {}), "");
}

struct Fault {
  const char* what;
  std::function<void(Spoilt&)> spoil;
  const char* says;
};

const std::vector<Fault>& faults() {
  static constexpr double k_nan = std::numeric_limits<double>::quiet_NaN(), k_inf = std::numeric_limits<double>::infinity();
  static const std::vector<Fault> all = {
      {"other ABI", [](Spoilt& s) { s.plugins.abi = 7; }, "ABI 7"},
      {"plugin table too short", [](Spoilt& s) { s.plugins.size = 8; }, "8 bytes"},
      {"model table too short", [](Spoilt& s) { s.model.size = 16; }, "16 bytes"},
      {"no model", [](Spoilt& s) { s.plugins.n_release = 0; }, "no model"},
      {"negative count", [](Spoilt& s) { s.plugins.n_release = -1; }, "model"},
      {"no list of models", [](Spoilt& s) { s.plugins.release = nullptr; }, "table"},
      {"more models than could be", [](Spoilt& s) { s.plugins.n_release = 2000000000; }, "2000000000"},
      {"null model", [](Spoilt& s) { s.list[0] = nullptr; }, "missing"},
      {"no name", [](Spoilt& s) { s.model.about.name = nullptr; }, "no name"},
      {"empty name", [](Spoilt& s) { s.model.about.name = ""; }, "no name"},
      {"a name with a bell in it", [](Spoilt& s) { s.model.about.name = "spoi\alt"; }, "no plain text"},
      {"a name that is no UTF-8", [](Spoilt& s) { s.model.about.name = "spoi\xfflt"; }, "no plain text"},
      {"an endless name",
       [](Spoilt& s) {
         static const std::string endless(5000, 'x');
         s.model.about.name = endless.c_str();
       },
       "no plain text"},
      {"a summary that is no UTF-8", [](Spoilt& s) { s.model.about.summary = "\xc3"; }, "plain text"},
      {"a pool's name that clears the screen", [](Spoilt& s) { s.pool[0].name = "\x1b[2J"; }, "no plain text"},
      {"a parameter's source that is no UTF-8", [](Spoilt& s) { s.parameter[0].source = "\xed\xa0\x80"; }, "freed_per_day"},
      {"no version", [](Spoilt& s) { s.model.about.version = nullptr; }, "version"},
      {"no licence", [](Spoilt& s) { s.model.about.licence = nullptr; }, "licence"},
      {"no source", [](Spoilt& s) { s.model.about.source = ""; }, "source"},
      {"parameter without name", [](Spoilt& s) { s.parameter[0].name = nullptr; }, "no name"},
      {"parameter without unit", [](Spoilt& s) { s.parameter[0].unit = nullptr; }, "unit"},
      {"parameter without meaning", [](Spoilt& s) { s.parameter[0].meaning = nullptr; }, "meaning"},
      {"parameter without source", [](Spoilt& s) { s.parameter[0].source = nullptr; }, "source"},
      {"parameter twice", [](Spoilt& s) { s.parameter[1].name = s.parameter[0].name; }, "twice"},
      {"default above bounds", [](Spoilt& s) { s.parameter[0].def = 9; }, "bounds"},
      {"default below bounds", [](Spoilt& s) { s.parameter[0].def = -9; }, "bounds"},
      {"bounds exchanged", [](Spoilt& s) { std::swap(s.parameter[0].lower, s.parameter[0].upper); }, "bounds"},
      {"default no number", [](Spoilt& s) { s.parameter[0].def = k_nan; }, "finite"},
      {"bound endless", [](Spoilt& s) { s.parameter[0].upper = k_inf; }, "finite"},
      {"parameters without table", [](Spoilt& s) { s.model.about.parameter = nullptr; }, "no table"},
      {"count of parameters below nought", [](Spoilt& s) { s.model.about.n_parameter = -3; }, "-3"},
      {"count of parameters past all sense", [](Spoilt& s) { s.model.about.n_parameter = 100000; }, "100000"},
      {"no start", [](Spoilt& s) { s.model.start = nullptr; }, "start"},
      {"no rates", [](Spoilt& s) { s.model.rates = nullptr; }, "rates"},
      {"no pool", [](Spoilt& s) { s.model.n_pool = 0; }, "no pool"},
      {"unknown temperature law", [](Spoilt& s) { s.response[0].temperature = "warm"; }, "temperature law"},
      {"no temperature law", [](Spoilt& s) { s.response[0].temperature = nullptr; }, "temperature law"},
      {"unknown moisture law", [](Spoilt& s) { s.response[0].moisture = "wet"; }, "moisture law"},
      {"response nowhere", [](Spoilt& s) { s.response[0].place = 5; }, "surface"},
      {"response past the parameters", [](Spoilt& s) { s.response[0].q = 2; }, "parameters"},
      {"reference past the parameters", [](Spoilt& s) { s.response[0].t_ref_c = -2; }, "parameters"},
      {"pool nowhere", [](Spoilt& s) { s.pool[0].place = 2; }, "surface"},
      {"pool of no kind", [](Spoilt& s) { s.pool[0].kind = 3; }, "kind"},
      {"soil pool that washes", [](Spoilt& s) { s.pool[1].wash_to = LH_NITRATE; }, "wash"},
      {"surface pool that washes to the surface", [](Spoilt& s) { s.pool[0].wash_to = 0; }, "washes"},
      {"surface pool that washes to the air", [](Spoilt& s) { s.pool[0].wash_to = LH_AIR; }, "washes"},
      {"surface pool that washes nowhere", [](Spoilt& s) { s.pool[0].wash_to = LH_NONE; }, "washes"},
      {"wash past the parameters", [](Spoilt& s) { s.pool[0].wash_mm = 2; }, "parameters"},
      {"mix past the parameters", [](Spoilt& s) { s.pool[0].mix_per_day = 7; }, "parameters"},
      {"flow from nothing", [](Spoilt& s) { s.flow[0].from = 2; }, "comes from"},
      {"flow from the air", [](Spoilt& s) { s.flow[0].from = LH_AIR; }, "comes from"},
      {"flow from ammonium alone", [](Spoilt& s) { s.flow[0].from = LH_AMMONIUM; }, "comes from"},
      {"flow to nothing", [](Spoilt& s) { s.flow[0].to = 99; }, "goes to"},
      {"flow to no end", [](Spoilt& s) { s.flow[0].to = LH_NONE; }, "goes to"},
      {"flow to mineral", [](Spoilt& s) { s.flow[0].to = LH_MINERAL; }, "goes to"},
      {"flow to itself", [](Spoilt& s) { s.flow[0].to = 0; }, "back to where"},
      {"flow driven by another", [](Spoilt& s) { s.flow[0].driver = 1; }, "driven"},
      {"take driven by nothing",
       [](Spoilt& s) { s.flow[0].from = LH_MINERAL, s.flow[0].to = 1, s.flow[0].starves = 1, s.flow[0].driver = 4; }, "driven"},
      {"take that does not starve", [](Spoilt& s) { s.flow[0].from = LH_MINERAL, s.flow[0].to = 1; }, "starve"},
      {"bends without bend", [](Spoilt& s) { s.flow[0].bends = 1; }, "bend"},
      {"age without name", [](Spoilt& s) { s.age[0].name = nullptr; }, "no name"},
      {"ages without table", [](Spoilt& s) { s.model.age = nullptr; }, "no table"},
      {"a pool twice", [](Spoilt& s) { s.pool[1].name = "grains"; }, "twice"},
      {"a model twice", [](Spoilt& s) { s.plugins.n_release = 2; }, "twice"},
  };
  return all;
}

class RegistryFault : public ::testing::TestWithParam<std::size_t> {};

TEST_P(RegistryFault, IsOneSentenceThatNamesTheLibrary) {
  const Fault& f = faults()[GetParam()];
  const std::string sentence = refusal(f.spoil);
  ASSERT_NE(sentence, "") << f.what << " was taken over";
  EXPECT_NE(sentence.find("lib/spoilt.so"), std::string::npos) << sentence;
  EXPECT_NE(sentence.find(f.says), std::string::npos) << f.what << " says: " << sentence;
  EXPECT_EQ(sentence.find('\n'), std::string::npos);
}

INSTANTIATE_TEST_SUITE_P(All, RegistryFault, ::testing::Range(std::size_t{0}, faults().size()), [](const auto& one) {
  std::string name = faults()[one.param].what;
  for (char& c : name)
    if (!std::isalnum(static_cast<unsigned char>(c))) c = '_';
  return name;
});

std::string demand_refusal(const std::function<void(lh_demand&)>& spoil) {
  lh_demand model = sample::demand("spoilt-plant");
  spoil(model);
  const lh_demand* list[] = {&model};
  const lh_plugins plugins = {LH_ABI, sizeof(lh_plugins), 0, 1, nullptr, list};
  PluginRegistry registry;
  try {
    registry.add(&plugins, "lib/plant.so");
  } catch (const PluginError& e) {
    return e.what();
  }
  return "";
}

TEST(PluginRegistry, RefusesDemandModelsThatLackSomething) {
  EXPECT_EQ(demand_refusal([](lh_demand&) {}), "");
  for (const auto& spoil : std::vector<std::function<void(lh_demand&)>>{
           [](lh_demand& d) { d.start = nullptr; }, [](lh_demand& d) { d.morning = nullptr; }, [](lh_demand& d) { d.critical = nullptr; },
           [](lh_demand& d) { d.grow = nullptr; }, [](lh_demand& d) { d.n_memory = 3; }, [](lh_demand& d) { d.n_factor = -1; },
           [](lh_demand& d) { d.size = 8; }}) {
    const std::string sentence = demand_refusal(spoil);
    EXPECT_NE(sentence.find("lib/plant.so"), std::string::npos) << sentence;
  }
}

TEST(PluginRegistry, RefusesNothingAtAll) {
  PluginRegistry registry;
  EXPECT_THROW(registry.add(nullptr, "lib/none.so"), PluginError);
}

TEST(PluginRegistry, ANameIsTakenOnce) {
  Spoilt one, two;
  PluginRegistry registry;
  registry.add(&one.plugins, "lib/first.so");
  try {
    registry.add(&two.plugins, "lib/second.so");
    FAIL();
  } catch (const PluginError& e) {
    const std::string sentence = e.what();
    EXPECT_NE(sentence.find("lib/first.so"), std::string::npos) << sentence;
    EXPECT_NE(sentence.find("lib/second.so"), std::string::npos) << sentence;
    EXPECT_NE(sentence.find("spoilt"), std::string::npos) << sentence;
  }
  EXPECT_EQ(registry.release("spoilt")->origin, "lib/first.so") << "the first stays";
}

TEST(PluginRegistry, AllOrNothing) {
  Spoilt good, bad;
  bad.model.about.name = "spoilt-too", bad.model.rates = nullptr;
  const lh_release* list[] = {&good.model, &bad.model};
  const lh_plugins plugins = {LH_ABI, sizeof(lh_plugins), 2, 0, list, nullptr};
  PluginRegistry registry;
  EXPECT_THROW(registry.add(&plugins, "lib/half.so"), PluginError);
  EXPECT_EQ(registry.release("spoilt"), nullptr) << "the good half of a bad library is not taken";
}

TEST(PluginRegistry, KeepsTheLibraryOpenAsLongAsItself) {
  auto open = std::make_shared<int>(1);
  const std::weak_ptr<int> still = open;
  Spoilt s;
  {
    PluginRegistry registry;
    registry.add(&s.plugins, "lib/kept.so", std::shared_ptr<void>(open));
    open.reset();
    EXPECT_FALSE(still.expired());
  }
  EXPECT_TRUE(still.expired());
}

TEST(PluginRegistry, TakesALongerTableOfALaterBuild) {
  Spoilt s;
  s.model.size += 64;
  PluginRegistry registry;
  EXPECT_NO_THROW(registry.add(&s.plugins, "lib/later.so")) << "structs that begin with their size may grow at their end";
}

TEST(PluginRegistry, FindsByName) {
  EXPECT_NE(testing::registry()->release("organic-two-pool"), nullptr);
  EXPECT_EQ(testing::registry()->release("organic-two-pools"), nullptr);
  EXPECT_EQ(testing::registry()->release("herbaceous"), nullptr) << "a demand model is no release model";
  EXPECT_NE(testing::registry()->demand("herbaceous"), nullptr);
}

TEST(PluginRegistry, TellsParametersByName) {
  const lh_about& about = testing::release("soluble-salt").about;
  const int at = parameter_index(about, "nitrate_frac");
  ASSERT_GE(at, 0);
  EXPECT_EQ(default_parameters(about)[static_cast<std::size_t>(at)], about.parameter[at].def);
  EXPECT_EQ(parameter_index(about, "nitrate"), -1);
  EXPECT_EQ(default_parameters(about).size(), static_cast<std::size_t>(about.n_parameter));
}

}  // namespace
}  // namespace leafhunger
