#include "sampled_column.hpp"

#include <algorithm>
#include <cmath>

#include "leafhunger/error.hpp"

namespace leafhunger {
namespace {

using Kind = UnknownFigure::Kind;

// Low and high of a figure of the soil (equations.md 11 and 13.18).
struct SoilSpan {
  const char* name;
  double NitrogenConstants::*constant;
  double low, high;
};
constexpr SoilSpan k_soil[] = {
    {"humus_freed_per_year", &NitrogenConstants::humus_freed_per_year, 0.008, 0.035},
    {"nitrify_mg_kg_d", &NitrogenConstants::nitrify_mg_kg_d, 6, 25},
    {"denitrify_mg_kg_d", &NitrogenConstants::denitrify_mg_kg_d, 0.5, 8},
    {"mineral_at_start_kg_ha", &NitrogenConstants::mineral_at_start_kg_ha, 10, 40},  // our own guess
};
// As a share of the value in use.
constexpr double k_ammonia_low = 0.04 / 0.085, k_ammonia_high = 0.2 / 0.085;  // k_v, equations.md 11
constexpr double k_reach_low = 0.5, k_reach_high = 2.5;                       // k_up, equations.md 11

// Of a plant. The spans of equations.md 11 run over all plants, agave to banana; of one plant we know more (our own guesses, 13.18).
struct PlantSpan {
  const char* name;
  double low, high;
  bool share;  ///< of the value; else added to it
};
constexpr PlantSpan k_plant[] = {
    {"radiation_use_g_mj", 0.75, 1.25, true}, {"critical_a_percent", 0.85, 1.15, true}, {"base_c", -2, 2, false}};

constexpr double k_sd_of_span = 0.5;  // low and high are two standard deviations away

// Two standard deviations down to `low` and up to `high`; never further than those.
Spreading of_span(double value, double low, double high, double width) {
  low = std::min(low, value), high = std::max(high, value);
  return {value, width * k_sd_of_span * (value - low), width * k_sd_of_span * (high - value), value + std::max(1.0, width) * (low - value),
          value + std::max(1.0, width) * (high - value)};
}

void keep_within(Spreading& s, double lower, double upper) {
  s.lower = std::min(s.value, std::max(s.lower, lower)), s.upper = std::max(s.value, std::min(s.upper, upper));
}

void add_materials(const ColumnPlan& column, double width, std::vector<UnknownFigure>& out) {
  std::vector<const Material*> seen;
  for (std::size_t s = 0; s < column.slot_material.size(); ++s) {
    const Material& m = *column.slot_material[s];
    if (std::find(seen.begin(), seen.end(), &m) != seen.end()) continue;
    seen.push_back(&m);
    const lh_about& about = column.shape.slots[s].model->about;
    for (const auto& [name, sd] : m.spread) {
      const int at = parameter_index(about, name);
      if (at < 0 || !(sd > 0)) continue;
      UnknownFigure f{Kind::release, "material " + m.id + " " + name, m.title, name, &m};
      f.spread = {column.materials[s].parameter[static_cast<std::size_t>(at)], width * sd, width * sd};
      keep_within(f.spread, about.parameter[at].lower, about.parameter[at].upper);
      out.push_back(std::move(f));
    }
    if (m.surface.volatile_per_day > 0) {
      UnknownFigure f{Kind::ammonia, "material " + m.id + " surface", m.title, "volatile_per_day", &m};
      const double v = m.surface.volatile_per_day;
      f.spread = of_span(v, v * k_ammonia_low, v * k_ammonia_high, width);
      keep_within(f.spread, 0, 10);  // as the reader allows
      out.push_back(std::move(f));
    }
  }
}

void add_plant(const ColumnPlan& column, double width, std::vector<UnknownFigure>& out) {
  const Plant& p = *column.plant;
  UnknownFigure reach{Kind::reach, "plant " + p.id + " uptake_per_day", p.title, "uptake_per_day"};
  const double k = column.on_ground.host.uptake_per_day;
  reach.spread = of_span(k, k * k_reach_low, k * k_reach_high, width);
  keep_within(reach.spread, 0, reach.spread.upper);
  out.push_back(std::move(reach));
  const lh_about& about = column.on_ground.model->about;
  for (const PlantSpan& span : k_plant) {
    const int at = parameter_index(about, span.name);
    if (at < 0) continue;
    UnknownFigure f{Kind::plant, "plant " + p.id + " " + span.name, p.title, span.name};
    f.parameter = static_cast<std::size_t>(at);
    const double v = column.on_ground.parameter[f.parameter];
    f.spread = span.share ? of_span(v, v * span.low, v * span.high, width) : of_span(v, v + span.low, v + span.high, width);
    keep_within(f.spread, about.parameter[at].lower, about.parameter[at].upper);
    out.push_back(std::move(f));
  }
}

bool accepted(const lh_about& about, const std::vector<double>& set) {
  char text[400] = "";
  return !about.check || about.check(set.data(), text, sizeof text) == LH_OK;
}

// The material with these figures. What the entry leaves to follow from others (C:N of the organic part) follows anew.
SlotMaterial drawn_material(const Material& entry, const lh_release& model, const std::vector<UnknownFigure>& figures,
                            const std::vector<double>& values) {
  for (double part = 1;; part = part > 1e-3 ? part / 2 : 0) {
    Material m = entry;
    for (std::size_t i = 0; i < figures.size(); ++i) {
      if (figures[i].material != &entry) continue;
      if (figures[i].kind == Kind::ammonia) m.surface.volatile_per_day = values[i];
      const double v = figures[i].spread.value;
      if (figures[i].kind == Kind::release && values[i] != v)
        m.parameters[figures[i].name] = part == 1 ? values[i] : v + part * (values[i] - v);
    }
    try {
      return slot_material(m, model);
    } catch (const InputError&) {
      if (part == 0) throw;  // as it was read, it was accepted
    }
  }
}

}  // namespace

std::vector<UnknownFigure> unknown_figures(const Garden::Plan& plan, const ColumnPlan& column, double width) {
  std::vector<UnknownFigure> out;
  for (const SoilSpan& span : k_soil) {
    UnknownFigure f{Kind::soil, std::string("soil ") + span.name, "soil", span.name};
    f.constant = span.constant;
    f.spread = of_span(plan.nitrogen.*span.constant, span.low, span.high, width);
    keep_within(f.spread, 0, f.spread.upper);
    out.push_back(std::move(f));
  }
  add_materials(column, width, out);
  if (column.planting) add_plant(column, width, out);
  return out;
}

SampledColumn sampled_column(const Garden::Plan& plan, const ColumnPlan& column, const std::vector<UnknownFigure>& figures,
                             const std::vector<double>& values) {
  SampledColumn out{column, plan.nitrogen};
  for (std::size_t s = 0; s < column.materials.size(); ++s)
    out.column.materials[s] = drawn_material(*column.slot_material[s], *column.shape.slots[s].model, figures, values);
  for (std::size_t i = 0; i < figures.size(); ++i) {
    if (figures[i].kind == Kind::soil) out.nitrogen.*figures[i].constant = values[i];
    if (figures[i].kind == Kind::reach) out.column.on_ground.host.uptake_per_day = values[i];
  }
  if (!column.planting) return out;
  for (double part = 1;; part = part > 1e-3 ? part / 2 : 0) {
    for (std::size_t i = 0; i < figures.size(); ++i) {
      const double v = figures[i].spread.value;
      if (figures[i].kind == Kind::plant)
        out.column.on_ground.parameter[figures[i].parameter] = part == 1 ? values[i] : v + part * (values[i] - v);
    }
    if (part == 0 || accepted(column.on_ground.model->about, out.column.on_ground.parameter)) return out;
  }
}

std::vector<std::vector<double>> draw(const std::vector<UnknownFigure>& figures, std::uint64_t seed, std::size_t samples) {
  std::vector<std::vector<double>> values(samples, std::vector<double>(figures.size()));
  for (std::size_t f = 0; f < figures.size(); ++f) {
    const auto u = latin_column(seed, figures[f].key, samples);
    for (std::size_t i = 0; i < samples; ++i) values[i][f] = quantile_of(figures[f].spread, u[i]);
  }
  return values;
}

}  // namespace leafhunger
