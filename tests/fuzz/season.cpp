// Up to ten days of a column of shipped models, with any parameters within their bounds, any doses and any weather that a file could bring:
// both steppers end with finite states, none below nought, and a closed ledger. Or a jar on a shelf, with any question.
#include <algorithm>

#include "leafhunger/incubation.hpp"
#include "support.hpp"
#include "support/rig.hpp"

namespace lf = leafhunger;
using namespace lf::fuzz;

namespace {

std::vector<double> drawn_parameters(const lh_about& about, Bytes& bytes) {
  std::vector<double> set = lf::default_parameters(about);
  for (std::int32_t i = 0; i < about.n_parameter; ++i)
    if (bytes.byte() % 2 == 0) set[static_cast<std::size_t>(i)] = bytes.between(about.parameter[i].lower, about.parameter[i].upper);
  // Two figures that do not fit together are refused before a run.
  char text[256] = "";
  if (about.check != nullptr && about.check(set.data(), text, sizeof text) != LH_OK) return lf::default_parameters(about);
  return set;
}

template <class Model>
const Model& one_of(const std::map<std::string, Model, std::less<>>& all, Bytes& bytes) {
  return std::next(all.begin(), bytes.byte() % static_cast<int>(all.size()))->second;
}

void column(Bytes& bytes) {
  const auto days = static_cast<std::size_t>(bytes.whole(1, 10));
  static const std::vector<std::string> soils = {"loam", "sand", "clay"};
  lf::testing::Rig rig(days, bytes.between(-30, 45), lf::make_soil(*lf::find_texture(soils[bytes.byte() % 3u]), bytes.between(0, 6)));
  rig.nitrogen = lf::NitrogenConstants{};
  rig.nitrogen.mineral_at_start_kg_ha = bytes.between(0, 500);
  const std::size_t layers = rig.climate.layers;
  for (std::size_t d = 0; d < days; ++d) {
    const bool wet = bytes.byte() % 2 == 0;
    rig.climate.rain_mm[d] = wet ? bytes.between(0, 300) : 0;
    for (std::size_t l = 0; l < layers; ++l) {
      rig.climate.drained_mm[d * layers + l] = wet ? bytes.between(0, 300) : 0;
      rig.climate.wfps_frac[d * layers + l] = bytes.between(0.02, 1);
      rig.climate.t_c[d * layers + l] = bytes.between(-20, 50);
    }
  }
  const int slots = bytes.whole(0, 3);
  for (int i = 0; i < slots; ++i) {
    const lh_release& model = *one_of(models()->releases(), bytes).table;
    rig.shape.slots.push_back({&model, bytes.byte() % 2 ? bytes.between(1, 600) : 0});
    lf::SlotMaterial material;
    material.parameter = drawn_parameters(model.about, bytes);
    material.surface.volatile_per_day = bytes.between(0, 1);
    material.t_dm_per_kg_n = bytes.between(0.002, 0.3);
    material.bulky = bytes.byte() % 4 == 0;
    rig.materials.push_back(material);
  }
  double given = 0;
  std::vector<std::size_t> feed_days;
  for (int i = slots > 0 ? bytes.whole(0, 4) : 0; i > 0; --i) feed_days.push_back(bytes.byte() % days);
  std::sort(feed_days.begin(), feed_days.end());
  std::vector<double> given_by(days, 0.0);
  for (const std::size_t day : feed_days) {
    const double kg = bytes.byte() % 8 == 0 ? bytes.between(0, 1e5) : bytes.between(0, 300);
    rig.feed(day, bytes.byte() % static_cast<std::size_t>(slots), kg, bytes.byte() % 2 ? bytes.between(0, 100) : 0);
    given_by[day] += kg;
  }
  if (bytes.byte() % 2) {
    lf::PlantOnGround plant;
    plant.model = one_of(models()->demands(), bytes).table;
    if (std::string_view(plant.model->about.name) == "measured-table") plant.model = models()->demand("herbaceous")->table;
    plant.parameter = drawn_parameters(plant.model->about, bytes);
    plant.cover = bytes.between(0.05, 3);
    rig.plant = plant, rig.shape.demand = plant.model;
    for (std::size_t d = 0; d < days; ++d) {
      rig.climate.f_t[d] = bytes.unit(), rig.climate.awake[d] = 1, rig.climate.luxury[d] = bytes.between(1, 1.5);
      rig.climate.w_twin_t_ha[d] = rig.climate.w_free_t_ha[d] = bytes.between(0.1, 20);
      for (std::size_t l = 0; l < layers; ++l)
        rig.climate.root_frac[d * layers + l] = 1.0 / static_cast<double>(layers), rig.climate.reach_per_day[d * layers + l] = bytes.unit();
    }
  }
  rig.without = static_cast<lf::Without>(bytes.whole(0, 6));
  for (const bool batch : {false, true}) {
    const auto stepper = batch ? lf::make_batch_stepper() : lf::make_reference_stepper({1e-6, 1e-6});
    given = 0;
    lf::Ledger first;
    bool begun = false;
    const lf::Member member = rig.member();
    lf::ColumnBatch c(rig.shape, {&member, 1}, 1);
    c.start();
    for (std::size_t d = 0; d < c.days(); ++d) {
      if (!begun) first = lf::ledger_of(c, 0), begun = true;
      c.begin_day(d);
      stepper->day(c, d);
      given += given_by[d];
      for (std::size_t r = 0; r < c.map().rows; ++r) {
        require(std::isfinite(c.at(r, 0)), "row " + std::to_string(r) + " is no number");
        require(c.at(r, 0) >= lf::k_least_kg_ha, "row " + std::to_string(r) + " is below nought: " + std::to_string(c.at(r, 0)));
      }
      lf::Ledger now = lf::ledger_of(c, 0);
      now.given = given, now.start_mineral = first.mineral, now.start_plant = first.plant + first.reserve;
      require(std::abs(now.relative_residual()) < 1e-9, "the ledger does not close: " + std::to_string(now.relative_residual()));
    }
  }
}

void jar(Bytes& bytes) {
  lf::JarQuestion q;
  for (int i = bytes.whole(0, 3); i > 0; --i) q.temperature_c.push_back(bytes.number(-20, 60));
  for (int i = bytes.whole(0, 4); i > 0; --i)
    q.days.push_back(bytes.byte() % 16 == 0 ? -bytes.byte() - 3651 * (bytes.byte() % 2) : bytes.whole(0, 10));
  if (bytes.byte() % 2) q.wfps_frac = bytes.number(0.01, 1);
  if (bytes.byte() % 8 == 0) q.texture = bytes.text(8);
  const lh_release& model = *one_of(models()->releases(), bytes).table;
  try {
    for (const double share : lf::incubate(model, drawn_parameters(model.about, bytes), q))
      require(std::isfinite(share) && share < 1 + 1e-6, "a share of " + std::to_string(share) + " was freed");
  } catch (const lf::InputError& e) {
    require_sentence(e);
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  Bytes bytes(data, size);
  const bool is_jar = bytes.byte() % 4 == 0;
  // Where heaps of what starves lie on the ground, some thousand steps a day follow from the bound of starvation (equations.md 10): ten
  // such days were seen to take a quarter of a second in a release build, and seven times as long watched.
  const Watch watch(is_jar ? 1 : 4);
  is_jar ? jar(bytes) : column(bytes);
  return 0;
}
