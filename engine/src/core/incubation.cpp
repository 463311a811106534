#include "leafhunger/incubation.hpp"

#include <algorithm>
#include <cmath>
#include <sstream>

#include "jar.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/soil.hpp"
#include "season.hpp"
#include "stepper.hpp"
#include "utf8.hpp"

namespace leafhunger {
namespace {

constexpr double k_coldest_c = -20, k_hottest_c = 60;
constexpr int k_last_day = 3650;
constexpr double k_jar_mm = 100;       // depth of soil; the answer does not depend on it
constexpr double k_given_kg_ha = 1;    // shares do not depend on it as long as mineral N is ample
constexpr double k_ample_kg_ha = 1e9;  // starvation slows decay by about (1 + uptake asked)/k_ample: under 1e-8
constexpr Tolerance k_tolerance{1e-10, 1e-9};
const Date k_any_day = std::chrono::sys_days{std::chrono::year{2001} / 1 / 1};  // shows only in a failing plugin's message

std::string shown(double x) {
  std::ostringstream text;
  text << x;
  return text.str();
}

// NaN is outside any bounds.
void require(bool good, const char* place, const std::string& found, const std::string& allowed, const std::string& hint) {
  if (!good) throw InputError({"", place, found, allowed, hint});
}

const Texture& checked(const JarQuestion& q) {
  require(!q.temperature_c.empty(), "temperature_c", "no temperature", "at least one", "name the warmth of the jar");
  for (const double t : q.temperature_c)
    require(t >= k_coldest_c && t <= k_hottest_c, "temperature_c", shown(t), "-20 to 60 degC", "give degrees Celsius");
  require(!q.days.empty(), "days", "no day", "at least one", "name the days on which to look into the jar");
  for (const int d : q.days)
    require(d >= 0 && d <= k_last_day, "days", std::to_string(d), "whole days from 0 to 3650", "count from the day of mixing");
  if (q.wfps_frac)
    require(*q.wfps_frac > 0 && *q.wfps_frac <= 1, "moisture", shown(*q.wfps_frac),
            "a share of pores filled with water, above 0 and at most 1", "0.6 is moist and airy");
  const Texture* texture = find_texture(q.texture);
  std::string all;
  for (const Texture& t : textures()) all += (all.empty() ? "" : ", ") + std::string(t.name);
  const bool can_be_shown = q.texture.size() <= 40 && is_plain_text(q.texture);
  require(texture != nullptr, "texture", can_be_shown ? '"' + q.texture + '"' : "what no texture is called", all,
          "take the nearest to what you feel between your fingers");
  return *texture;
}

// The same day again and again: still air, no rain, no root.
SoilClimate constant_climate(const Soil& soil, double temperature_c, double wfps_frac, std::size_t days) {
  SoilClimate c;
  c.first = k_any_day, c.days = days, c.layers = 1;
  const double theta = wfps_frac * soil.theta_sat[0];
  const double available = std::clamp((theta - soil.theta_wp[0]) / (soil.theta_fc[0] - soil.theta_wp[0]), 0.0, 1.0);
  for (auto* rows :
       {&c.drained_mm,    &c.reach_per_day, &c.reach_wet_per_day, &c.root_frac,       &c.stress,      &c.f_t,        &c.awake,
        &c.cover_frac,    &c.luxury,        &c.fixed_frac,        &c.root_front_mm,   &c.rain_mm,     &c.rain3_mm,   &c.watered_mm,
        &c.evaporated_mm, &c.transpired_mm, &c.run_off_mm,        &c.radiation_mj_m2, &c.w_twin_t_ha, &c.w_free_t_ha})
    rows->assign(days, 0.0);
  for (auto* rows : {&c.keep_frac, &c.reserve_frac, &c.day_of_year}) rows->assign(days, 1.0);
  for (auto* rows : {&c.t_c, &c.t_min_c, &c.t_max_c}) rows->assign(days, temperature_c);
  c.day_length_h.assign(days, 12.0);
  c.wfps_frac.assign(days, wfps_frac), c.theta.assign(days, theta), c.available_frac.assign(days, available);
  return c;
}

}  // namespace

std::vector<double> incubate(const lh_release& model, const std::vector<double>& parameter, const JarQuestion& q) {
  SlotMaterial material;
  material.parameter = parameter;
  return incubate(model, material, q);
}

std::vector<double> incubate(const lh_release& model, const SlotMaterial& material, const JarQuestion& q) {
  const Texture& texture = checked(q);
  const Soil soil = make_soil(texture, 0, {k_jar_mm});
  const double wfps = q.wfps_frac.value_or(texture.theta_fc / texture.theta_sat);
  const auto last = static_cast<std::size_t>(std::max(1, *std::max_element(q.days.begin(), q.days.end())));

  NitrogenConstants nitrogen;
  nitrogen.mineral_at_start_kg_ha = k_ample_kg_ha;
  nitrogen.humus_freed_per_year = 0;  // what the soil itself frees is the other jar's, which a laboratory subtracts
  const std::vector<SlotMaterial> materials{material};
  ColumnShape shape;
  shape.layers = 1, shape.slots = {{&model, k_jar_mm}};  // forked in: nothing lies on top

  std::vector<double> out;
  for (const double temperature_c : q.temperature_c) {
    const SoilClimate climate = constant_climate(soil, temperature_c, wfps, last);
    Member member;
    member.climate = &climate, member.soil = &soil, member.nitrogen = &nitrogen, member.materials = &materials;
    member.doses = {{0, 0, k_given_kg_ha, 0, 0}};
    member.without = Without::gas;
    ColumnBatch column(shape, {&member, 1}, 1);
    column.start();
    const auto stepper = make_reference_stepper(k_tolerance);
    std::vector<double> mineral;  // share, at 00 of each day
    // What is in no other pool is mineral. Subtracting the ample N instead would cost all digits.
    const auto look = [&] {
      const Ledger l = ledger_of(column, 0);
      mineral.push_back(1 - (l.unfreed + l.microbes + l.humus + l.volatilised + l.denitrified) / k_given_kg_ha);
    };
    for (std::size_t d = 0; d < last; ++d) {
      column.begin_day(d);
      if (d == 0) look();
      stepper->day(column, d);
      look();
    }
    for (const int d : q.days) out.push_back(mineral[static_cast<std::size_t>(d)]);
  }
  return out;
}

}  // namespace leafhunger
