#include "column_case.hpp"

#include <cstdlib>
#include <stdexcept>

#include "host/garden_plan.hpp"
#include "host/years.hpp"
#include "leafhunger/plugin_loader.hpp"
#include "leafhunger/plugin_registry.hpp"
#include "leafhunger/reader.hpp"

namespace leafhunger::bench {
namespace {

constexpr int k_first_season = 2012, k_seasons = 10;
const char* const k_second_material = "dried-blood";

Garden make_garden(const Shape& shape) {
  LoadReport report;
  auto models = std::make_shared<PluginRegistry>();
  report = load_plugins(*models, {LEAFHUNGER_PLUGIN_DIR});
  Scenario s = read_scenario(LEAFHUNGER_SOURCE_DIR "/tests/bench/one-column.json", LEAFHUNGER_CATALOGUE_DIR);
  Bed& bed = s.beds[0];
  bed.soil = make_soil(*find_texture(bed.texture), 4, shape.layers_mm);
  const Feeding first = s.feedings[0];
  if (shape.feedings != 3) s.feedings.clear();
  for (int k = static_cast<int>(s.feedings.size()); k < shape.feedings; ++k) {
    Feeding f = first;
    f.amount.value = 240.0 / shape.feedings;
    f.on = month_day_of(make_date(2018, {3, 15}) + std::chrono::days{k * 160 / shape.feedings});
    s.feedings.push_back(f);
  }
  if (!shape.one_material)
    for (std::size_t k = 1; k < s.feedings.size(); k += 2) s.feedings[k].material = k_second_material;
  return Garden(std::move(s), std::move(models), std::move(report));
}

// The same year so many times over.
SoilClimate repeated(const SoilClimate& c, int times) {
  SoilClimate out = c;
  const auto again = [&](std::vector<double> SoilClimate::*rows) {
    for (int k = 1; k < times; ++k) (out.*rows).insert((out.*rows).end(), (c.*rows).begin(), (c.*rows).end());
  };
  for (const auto rows : {&SoilClimate::t_c,
                          &SoilClimate::wfps_frac,
                          &SoilClimate::theta,
                          &SoilClimate::available_frac,
                          &SoilClimate::drained_mm,
                          &SoilClimate::reach_per_day,
                          &SoilClimate::reach_wet_per_day,
                          &SoilClimate::root_frac,
                          &SoilClimate::stress,
                          &SoilClimate::f_t,
                          &SoilClimate::awake,
                          &SoilClimate::cover_frac,
                          &SoilClimate::luxury,
                          &SoilClimate::fixed_frac,
                          &SoilClimate::keep_frac,
                          &SoilClimate::reserve_frac,
                          &SoilClimate::root_front_mm,
                          &SoilClimate::rain_mm,
                          &SoilClimate::rain3_mm,
                          &SoilClimate::by_hand_mm,
                          &SoilClimate::watered_mm,
                          &SoilClimate::evaporated_mm,
                          &SoilClimate::transpired_mm,
                          &SoilClimate::run_off_mm,
                          &SoilClimate::radiation_mj_m2,
                          &SoilClimate::day_length_h,
                          &SoilClimate::t_min_c,
                          &SoilClimate::t_max_c,
                          &SoilClimate::day_of_year,
                          &SoilClimate::w_twin_t_ha,
                          &SoilClimate::w_free_t_ha,
                          &SoilClimate::factor})
    again(rows);
  out.days = c.days * static_cast<std::size_t>(times);
  return out;
}

}  // namespace

struct ColumnCase::Held {
  Garden garden;
  const ColumnPlan* column;
  int seasons_long;
  std::vector<SoilClimate> climates;
  std::vector<std::vector<Dose>> doses;
  std::vector<PlantOnGround> plants;
  std::vector<NitrogenConstants> nitrogen;
  std::vector<std::vector<SlotMaterial>> materials;

  explicit Held(const Shape& shape) : garden(make_garden(shape)), seasons_long(shape.seasons_long) {
    const Garden::Plan& plan = garden.plan();
    column = &plan.columns.at(0);
    for (int k = 0; k < k_seasons; ++k) {
      const SeasonDays days = days_of_season(plan, k_first_season + k);
      const std::size_t n = days.season.size();
      const auto once = doses_of(plan, *column, season_first(plan.scenario.site, k_first_season + k), n);
      climates.push_back(repeated(climate_of(plan, *column, days, once), shape.seasons_long));
      std::vector<Dose> all;
      for (int again = 0; again < shape.seasons_long; ++again)
        for (Dose d : once) d.day += static_cast<std::size_t>(again) * n, all.push_back(d);
      doses.push_back(all);
    }
  }
};

ColumnCase::ColumnCase(const Shape& shape) : held_(std::make_unique<Held>(shape)) {}
ColumnCase::~ColumnCase() = default;
const ColumnShape& ColumnCase::shape() const { return held_->column->shape; }
std::size_t ColumnCase::days() const { return held_->climates[2018 - k_first_season].days; }

Member ColumnCase::plain() const {
  return member_of(held_->garden.plan(), *held_->column, held_->climates[2018 - k_first_season], held_->doses[2018 - k_first_season]);
}

std::vector<Member> ColumnCase::search(std::size_t n) const {
  std::vector<Member> out;
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t year = i * k_seasons / n, k = i - year * n / k_seasons;
    auto doses = held_->doses[year];
    for (std::size_t j = 0; j < doses.size(); ++j) {
      doses[j].day += (k * (j + 1)) % 11;
      doses[j].kg_n_ha *= 0.5 + 0.01 * static_cast<double>((k * 37 + j * 11) % 101);
    }
    out.push_back(member_of(held_->garden.plan(), *held_->column, held_->climates[year], std::move(doses)));
  }
  return out;
}

std::vector<Member> ColumnCase::ensemble(std::size_t n) {
  auto out = search(n);
  held_->plants.assign(n, held_->column->on_ground), held_->nitrogen.assign(n, held_->garden.plan().nitrogen);
  held_->materials.assign(n, held_->column->materials);
  for (std::size_t i = 0; i < n; ++i) {
    const double x = static_cast<double>((i * 61) % 101) / 100;
    held_->plants[i].host.uptake_per_day *= 0.8 + 0.4 * x;
    held_->nitrogen[i].nitrify_mg_kg_d *= 0.7 + 0.6 * x, held_->nitrogen[i].denitrify_mg_kg_d *= 0.5 + x;
    for (SlotMaterial& m : held_->materials[i]) m.surface.volatile_per_day *= 0.6 + 0.8 * x;
    out[i].climate = &held_->climates[i % k_seasons];
    out[i].plant = &held_->plants[i], out[i].nitrogen = &held_->nitrogen[i], out[i].materials = &held_->materials[i];
  }
  return out;
}

}  // namespace leafhunger::bench
