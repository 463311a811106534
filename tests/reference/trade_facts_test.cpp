// What the trade says of feeds on the ground. Common practice, no source: order, not figures.
#include <gtest/gtest.h>

#include "host/garden_plan.hpp"
#include "leafhunger/reader.hpp"
#include "published.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::Rig;

constexpr const char* k_trade = "common practice, no source";

// The shipped powder of concentrated manure, in a form of our choosing: form alone decides here.
SlotMaterial manure(Form form) {
  Material m = read_catalogue(LEAFHUNGER_CATALOGUE_DIR).materials.at("concentrated-manure-powder");
  m.form = form;
  for (const char* name : {"particle_wash_mm", "mix_per_day", "contact_frac"}) m.parameters.erase(name);
  m.surface.dissolved_wash_mm = -1;
  return slot_material(m, testing::release(m.model));
}

struct Lain {
  double on_top = 0;   // share of the N still on the surface
  double ammonia = 0;  // share lost to the air
};
Lain lain(Form form, std::size_t days, double rain_mm_a_day, double rain_on_the_day = 0, double watered_mm = 0, double t_c = 14) {
  Rig rig(days, t_c);
  std::fill(rig.climate.rain_mm.begin(), rig.climate.rain_mm.end(), rain_mm_a_day);
  rig.climate.rain_mm[0] += rain_on_the_day;
  const SlotMaterial material = manure(form);
  const std::string model = read_catalogue(LEAFHUNGER_CATALOGUE_DIR).materials.at("concentrated-manure-powder").model;
  const std::size_t slot = rig.add(model);
  rig.materials[slot] = material;
  rig.feed(0, slot, 50, watered_mm);
  Lain out;
  testing::run(rig, [&](std::size_t, ColumnBatch& c) {
    out.on_top = c.at(c.map().slot[slot].surface_ammonium, 0);
    for (int32_t p = 0; p < testing::release(model).n_pool; ++p)
      if (testing::release(model).pool[p].place == LH_SURFACE)
        out.on_top += c.at(c.map().slot[slot].first_pool + static_cast<std::size_t>(p), 0);
    out.on_top /= 50;
    out.ammonia = c.at(c.map().volatilised, 0) / 50;
  });
  return out;
}

TEST(TradeFacts, PowderEntersSoonerThanPellets) {
  for (const double rain : {0.5, 2.0, 6.0})
    published::expect_at_most("on top after 10 d of " + published::digits(rain) + " mm, powder over pellets", k_trade, 0.99,
                              lain(Form::powder, 10, rain).on_top / lain(Form::pellet, 10, rain).on_top);
  // A bulky heap stays longest, a liquid not at all.
  EXPECT_GT(lain(Form::bulky, 10, 2).on_top, lain(Form::pellet, 10, 2).on_top);
  EXPECT_NEAR(lain(Form::liquid, 1, 0).on_top, 0, 1e-9);
}

// What smells is what lies on top and gives off ammonia.
TEST(TradeFacts, RainOrWateringOnTheDayTakesItIn) {
  const Lain dry = lain(Form::powder, 1, 0), rained = lain(Form::powder, 1, 0, 12), watered = lain(Form::powder, 1, 0, 0, 12);
  published::expect_at_most("powder on top that evening, 12 mm of rain over none", k_trade, 0.5, rained.on_top / dry.on_top);
  published::expect_at_most("powder on top that evening, 12 mm of watering over none", k_trade, 0.5, watered.on_top / dry.on_top);
  const double month = lain(Form::powder, 30, 0).ammonia;
  published::expect_at_most("ammonia in 30 d, 12 mm of rain on the day over none", k_trade, 0.5,
                            lain(Form::powder, 30, 0, 12).ammonia / month);
  published::expect_at_most("ammonia in 30 d, 12 mm of watering on the day over none", k_trade, 0.5,
                            lain(Form::powder, 30, 0, 0, 12).ammonia / month);
}

}  // namespace
}  // namespace leafhunger
