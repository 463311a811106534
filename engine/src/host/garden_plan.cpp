// From a scenario to columns: whose ground is whose (equations.md 13.4), what each is given (13.5), which model frees or wants it.
#include "garden_plan.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "core/first_share.hpp"
#include "kept_work.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/response.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

constexpr double k_crown_over_ground = 0.8;  // leaves cover this share of the ground that roots feed from (equations.md 1)
constexpr double k_kg_ha_per_g_m2 = 10;
constexpr double k_mm_per_kg_m2 = 1000 / 1e4;  // thickness, mm, of 1 kg/ha at 1 kg/m3

template <class Map>
std::vector<std::string> keys_of(const Map& map) {
  std::vector<std::string> keys;
  for (const auto& [key, value] : map) keys.push_back(key);
  return keys;
}

// Fills one parameter set from defaults and the catalogue entry; names the entry's own place in a fault.
std::vector<double> parameters_of(const lh_about& about, const std::map<std::string, double>& given, const Origin& origin,
                                  const std::string& id) {
  std::vector<double> set = default_parameters(about);
  for (const auto& [name, value] : given) {
    const int at = parameter_index(about, name);
    const auto place = origin.parameter_places.find(name);
    const std::string where = place != origin.parameter_places.end() ? place->second : origin.place;
    if (at < 0) {
      std::vector<std::string> known;
      for (int32_t i = 0; i < about.n_parameter; ++i) known.emplace_back(about.parameter[i].name);
      const std::string near = nearest_name(name, known);
      throw InputError({origin.file, where, "parameter " + input::in_quotes(name), "a parameter of the model " + std::string(about.name),
                        near.empty() ? "`leafhunger plugins` lists them" : "did you mean " + input::in_quotes(near) + "?"});
    }
    const lh_parameter& p = about.parameter[at];
    if (!(value >= p.lower && value <= p.upper)) {
      const std::string unit = std::string(p.unit) == "-" ? "" : std::string(" ") + p.unit;
      throw InputError({origin.file, where, input::plain(value),
                        input::plain(p.lower) + " to " + input::plain(p.upper) + unit + " for " + p.name,
                        std::string("it means: ") + p.meaning});
    }
    set[static_cast<std::size_t>(at)] = value;
  }
  if (about.check) {
    char text[400] = "";
    const bool good = status_of([&] { return about.check(set.data(), text, sizeof text); },
                                [&](const std::string& why) {
                                  throw PluginError(std::string("model ") + about.name + ": `check` " + why, true);
                                }) == LH_OK;
    text[sizeof text - 1] = '\0';  // whatever the plugin left there
    if (!good)
      throw InputError({origin.file, origin.place, "parameters of " + input::in_quotes(id) + " that do not fit together", "", text});
  }
  return set;
}

[[noreturn]] void unknown_model(const Origin& origin, const std::string& id, const std::string& model,
                                const std::vector<std::string>& known, const std::string& searched) {
  const std::string near = nearest_name(model, known);
  throw InputError({origin.file, origin.place, "model " + input::in_quotes(model) + " for " + input::in_quotes(id),
                    known.empty() ? "a model of a loaded plugin, and there is none" : input::one_of(known),
                    (near.empty() ? std::string() : "did you mean " + input::in_quotes(near) + "? ") + searched});
}

// Defaults that follow from the form of a material (equations.md 4.1; our own guesses but for w_dis).
struct FormDefaults {
  double particle_wash_mm, dissolved_wash_mm, contact_frac, mix_per_day;
};
FormDefaults defaults_of(Form form) {
  switch (form) {
    case Form::pellet:
      return {40, 5.5, 0.3, 0.01};
    case Form::granule:
      return {4, 4, 1, 0.01};
    case Form::liquid:
      return {0, 0, 1, 0};
    case Form::bulky:
      return {1e9, 25, 1, 0.001};
    case Form::powder:
      break;
  }
  return {10, 5.5, 0.5, 0.01};
}

// Laws that the entry chooses, one for each response of the model; none where it chooses none.
std::vector<ChosenResponse> chosen_responses(const Material& material, const lh_release& model) {
  if (material.responses.empty()) return {};
  std::vector<ChosenResponse> out(static_cast<std::size_t>(model.n_response));
  std::vector<std::string> groups;
  for (std::size_t r = 0; r < out.size(); ++r) {
    std::string group = model.response[r].name;
    for (const std::string_view place : {" on top", " in soil"})
      if (group.ends_with(place)) group.resize(group.size() - place.size());
    if (std::find(groups.begin(), groups.end(), group) == groups.end()) groups.push_back(group);
    const auto choice = material.responses.find(group);
    if (choice == material.responses.end()) continue;
    const ResponseChoice& c = choice->second;
    out[r] = {c.temperature.empty() ? nullptr : find_temperature_response(c.temperature),
              c.moisture.empty() ? nullptr : find_moisture_response(c.moisture), c.reference_c, c.q};
  }
  for (const auto& [group, choice] : material.responses) {
    if (std::find(groups.begin(), groups.end(), group) != groups.end()) continue;
    throw InputError(
        {material.origin.file, material.origin.place + "/responses", input::in_quotes(group),
         groups.empty() ? "nothing: the model " + material.model + " feels neither warmth nor moisture" : input::one_of(groups),
         "these are what the model " + material.model + " lets hang on warmth and moisture"});
  }
  return out;
}

double material_kg_per_ha(const Scenario& s, const Feeding& f, const Material& m, const ColumnPlan& column, const Bed& bed) {
  const double grams = f.amount.value * grams_per_measure(s, m, f.amount.measure);
  double g_m2 = 0;
  switch (f.amount.per) {
    case Amount::Per::m2:
      g_m2 = grams;
      break;
    case Amount::Per::bed:
      g_m2 = grams / bed.area_m2;
      break;
    case Amount::Per::plant:
      g_m2 = grams * column.planting->count / column.area_m2;
      break;
  }
  return g_m2 * k_kg_ha_per_g_m2;
}

std::string pointer(std::size_t bed) { return "/beds/" + std::to_string(bed); }

// Ground of each planting and what is left bare.
std::vector<double> share_ground(const Scenario& s, std::size_t b, double& bare_m2) {
  const Bed& bed = s.beds[b];
  std::vector<double> area(bed.plantings.size(), 0);
  double own = 0, crowns = 0;
  for (std::size_t i = 0; i < area.size(); ++i) {
    const Planting& p = bed.plantings[i];
    if (p.ground_m2) {
      own += area[i] = *p.ground_m2;
    } else {
      crowns += p.count * p.crown_m2;
    }
  }
  const double slack = 1e-9 * bed.area_m2, left = bed.area_m2 - own;
  if (left < -slack || (crowns > 0 && left <= slack))
    throw InputError(
        {s.file, pointer(b) + "/plantings", "ground_m2 that adds up to " + input::plain(own) + " m2",
         (crowns > 0 ? "less than " : "at most ") + input::plain(bed.area_m2) + " m2, the area of " + input::in_quotes(bed.name),
         "give the plantings less ground, or the bed its true area"});
  // A pot is all rooted; a bed feeds each crown from 1/0.8 of its own ground as long as there is room.
  const bool all = bed.soil.container;
  const double wanted = crowns / k_crown_over_ground, scale = all || wanted > left ? left / crowns : 1 / k_crown_over_ground;
  bare_m2 = left;
  for (std::size_t i = 0; i < area.size(); ++i) {
    const Planting& p = bed.plantings[i];
    if (p.ground_m2) continue;
    area[i] = p.count * p.crown_m2 * scale;
    bare_m2 -= area[i];
  }
  if (bare_m2 < slack) bare_m2 = 0;
  return area;
}

Ground ground_of(const Scenario& s, const Bed& bed) {
  Ground g;
  g.soil = bed.soil;
  if (bed.mulch.depth_mm > 0) {
    g.mulch_frac = bed.mulch.cover_frac;
    g.mulch_resistance_m2k_w = bed.mulch.cover_frac * bed.mulch.depth_mm / 1000 / bed.mulch.conductivity_w_m_k;
  }
  if (bed.watering) {
    g.water_below_frac = bed.watering->below_frac, g.water_give_mm = bed.watering->give_mm;
    g.water_depth_mm = bed.watering->depth_mm.value_or(0);
  }
  g.heat = bed.heat;
  g.south = s.site.latitude_deg < 0;
  return g;
}

// Of each day of the season that starts on `first`.
std::vector<double> watered_by_date_mm(const Bed& bed, Date first, std::size_t days) {
  std::vector<double> mm(days, 0.0);
  for (const Watering& w : bed.waterings) {
    Feeding dates;
    dates.on = w.on, dates.every_days = w.every_days, dates.until = w.until;
    for (const std::size_t d : feeding_days(dates, first, days)) mm[d] += w.give_mm;
  }
  return mm;
}

// The same of the last `days` days before the season that starts on `first`: the gardener watered in that year as well.
std::vector<double> watered_before_mm(const Site& site, const Bed& bed, Date first, std::size_t days) {
  const Date start = make_date(year_of(first) - 1, season_start_day(site));
  const auto mm = watered_by_date_mm(bed, start, static_cast<std::size_t>((first - start).count()));
  return {mm.end() - static_cast<std::ptrdiff_t>(std::min(days, mm.size())), mm.end()};
}

// How often it is given in a season, leap years too.
std::size_t most_dates(const Site& site, const Feeding& f) {
  std::size_t most = 0;
  for (int season = 2001; season <= 2004; ++season) {
    const Date first = season_first(site, season);
    most = std::max(most, feeding_days(f, first, static_cast<std::size_t>((season_last(site, season) - first).count()) + 1).size());
  }
  return most;
}

void give(const Garden::Plan& plan, ColumnPlan& column) {
  const Scenario& s = plan.scenario;
  const Bed& bed = s.beds[column.bed];
  for (std::size_t i = 0; i < s.feedings.size(); ++i) {
    const Feeding& f = s.feedings[i];
    const bool named = column.planting && std::find(f.plantings.begin(), f.plantings.end(), column.planting->name) != f.plantings.end();
    if (!named && f.bed != bed.name) continue;
    const Material& m = s.catalogue.materials.at(f.material);
    column.given.push_back(
        {i, slots_for(plan, column, m, f.forked_in_mm, most_dates(s.site, f)), material_kg_per_ha(s, f, m, column, bed)});
  }
}

}  // namespace

const lh_release& release_of(const Garden::Plan& plan, const Material& material) {
  const ReleaseModel* model = plan.registry->release(material.model);
  if (!model) unknown_model(material.origin, material.id, material.model, keys_of(plan.registry->releases()), plan.search_summary);
  return *model->table;
}

SlotMaterial slot_material(const Material& material, const lh_release& model) {
  SlotMaterial out;
  const FormDefaults form = defaults_of(material.form);
  std::map<std::string, double> given = material.parameters;
  const auto fill = [&](const char* name, double value) {
    if (parameter_index(model.about, name) >= 0) given.emplace(name, value);
  };
  for (const auto& [name, value] : material.estimated) fill(name.c_str(), value);
  fill("ammonium_frac", material.ammonium_frac);
  fill("particle_wash_mm", form.particle_wash_mm);
  out.surface = material.surface;
  if (out.surface.dissolved_wash_mm < 0) out.surface.dissolved_wash_mm = form.dissolved_wash_mm;
  fill("dissolved_wash_mm", out.surface.dissolved_wash_mm);
  fill("contact_frac", form.contact_frac);
  fill("mix_per_day", form.mix_per_day);
  if (material.carbon_to_nitrogen > 0) {
    const auto ready = given.find("ready_frac");
    const double organic = 1 - (ready == given.end() ? 0 : ready->second);
    // A share of 1 or more is refused below by its own name; a C:N made of it would be blamed first.
    if (organic > 0) fill("carbon_to_nitrogen", material.carbon_to_nitrogen / organic);
  }
  out.parameter = parameters_of(model.about, given, material.origin, material.id);
  out.t_dm_per_kg_n = material.dry_matter_percent / material.n_percent / 1000;
  out.bulky = material.form == Form::bulky;
  out.response = chosen_responses(material, model);
  return out;
}

std::vector<std::size_t> slots_for(const Garden::Plan& plan, ColumnPlan& column, const Material& material, double forked_mm,
                                   std::size_t dates) {
  const lh_release& model = release_of(plan, material);
  const bool ages = model.n_age > 0;
  if (!ages)
    for (std::size_t s = 0; s < column.slot_material.size(); ++s)
      if (column.slot_material[s] == &material && column.shape.slots[s].forked_mm == forked_mm) return {s};
  std::vector<std::size_t> slots;
  for (std::size_t k = 0; k < (ages ? std::max<std::size_t>(dates, 1) : 1); ++k) {
    slots.push_back(column.slot_material.size());
    column.shape.slots.push_back({&model, forked_mm});
    column.materials.push_back(slot_material(material, model));
    column.slot_material.push_back(&material);
  }
  return slots;
}

double soluble_share(const Material& material, const lh_release& model) {
  const SlotMaterial m = slot_material(material, model);
  const FirstShare first = first_share(model, m.parameter, 1, 1, [&](const std::string& why) {
    throw PluginError(std::string("model ") + model.about.name + ": `start` " + why, false);
  });
  double soluble = first.surface_ammonium;
  // What washes straight into mineral N, and what washes as a solution does though it is none yet: urea.
  const int dissolves = parameter_index(model.about, "dissolved_wash_mm");
  for (int32_t p = 0; p < model.n_pool; ++p) {
    const lh_pool& at = model.pool[p];
    if (at.wash_to == LH_AMMONIUM || at.wash_to == LH_NITRATE || (at.wash_mm != LH_NONE && at.wash_mm == dissolves))
      soluble += first.pool[static_cast<std::size_t>(p)];
  }
  // Of the ready N the ammonium lies on the surface already and is counted above.
  const auto share = [&](const char* name) {
    const int at = parameter_index(model.about, name);
    return at >= 0 ? m.parameter[static_cast<std::size_t>(at)] : 0.0;
  };
  return std::min(1.0, soluble + std::max(0.0, share("ready_frac") - share("ammonium_frac")));
}

std::vector<const ColumnPlan*> planted_columns(const Garden::Plan& plan) {
  std::vector<const ColumnPlan*> out;
  for (const ColumnPlan& c : plan.columns)
    if (c.planting) out.push_back(&c);
  return out;
}

std::vector<std::size_t> feeding_days(const Feeding& feeding, Date first, std::size_t days) {
  const auto index = [&](MonthDay day) {
    Date date = make_date(year_of(first), day);
    if (date < first) date = make_date(year_of(first) + 1, day);
    return (date - first).count();
  };
  std::vector<std::size_t> out;
  const auto on = index(feeding.on), last = feeding.every_days && feeding.until ? index(*feeding.until) : on;
  for (auto d = on; d <= last && d < static_cast<long>(days); d += feeding.every_days.value_or(static_cast<int>(days)))
    out.push_back(static_cast<std::size_t>(d));
  return out;
}

std::vector<Dose> doses_of(const Garden::Plan& plan, const ColumnPlan& column, Date first, std::size_t days) {
  std::vector<Dose> doses;
  for (const auto& g : column.given) {
    const Feeding& f = plan.scenario.feedings[g.feeding];
    const double kg_n_ha = g.kg_material_ha * column.slot_material[g.slots[0]]->n_percent / 100;
    const auto dates = feeding_days(f, first, days);
    for (std::size_t k = 0; k < dates.size(); ++k) doses.push_back({dates[k], g.slot_of(k), kg_n_ha, f.watered_in_mm, g.feeding});
  }
  std::stable_sort(doses.begin(), doses.end(), [](const Dose& a, const Dose& b) { return a.day < b.day; });
  return doses;
}

// Bulky materials left on top shield the soil as well as feeding it.
static void lay_mulch(const ColumnPlan& column, const std::vector<Dose>& doses, Ground& ground) {
  std::vector<std::size_t> index(column.materials.size());
  for (std::size_t s = 0; s < column.materials.size(); ++s) {
    const SlotMaterial& m = column.materials[s];
    const lh_release* model = column.shape.slots[s].model;
    const Material& entry = *column.slot_material[s];
    if (!m.bulky || column.shape.slots[s].forked_mm > 0 || model->n_age > 0) continue;
    ground.mulches.push_back({model, m.parameter, m.response, m.t_dm_per_kg_n,
                              k_mm_per_kg_m2 * 100 / entry.n_percent / entry.bulk_density_kg_m3, entry.conductivity_w_m_k});
    index[s] = ground.mulches.size();
  }
  for (const Dose& d : doses)
    if (index[d.slot] > 0) ground.mulch_given.push_back({d.day, index[d.slot] - 1, d.kg_n_ha});
}

SoilClimate climate_of(const Garden::Plan& plan, const ColumnPlan& column, const SeasonDays& days, const std::vector<Dose>& doses) {
  Ground ground = column.ground;
  const Scenario& s = plan.scenario;
  const Bed& bed = s.beds[column.bed];
  if (!bed.waterings.empty()) {
    const Date first = s.weather.date(days.season.front());
    ground.by_hand_mm = watered_by_date_mm(bed, first, days.season.size());
    ground.spin_up_by_hand_mm = days.spun_on_own_year ? ground.by_hand_mm : watered_before_mm(s.site, bed, first, days.spin_up.size());
  }
  if (std::any_of(doses.begin(), doses.end(), [](const Dose& d) { return d.watered_in_mm > 0; })) {
    ground.by_hand_mm.resize(days.season.size(), 0.0);
    for (const Dose& d : doses) ground.by_hand_mm[d.day] += d.watered_in_mm;
  }
  lay_mulch(column, doses, ground);
  return kept_climate(plan, column, days, ground,
                      [&] { return make_soil_climate(s.weather, plan.atmosphere, days, ground, column.plant_or_null()); });
}

SeasonDays days_of_season(const Garden::Plan& plan, int season) {
  const Scenario& s = plan.scenario;
  const auto days = season_days(s.weather, season_first(s.site, season), season_last(s.site, season));
  if (days) return *days;
  const auto range = whole_seasons(s.weather, s.site);
  throw InputError(
      {s.weather_file, "", "no weather for the whole season " + std::to_string(season),
       range ? std::to_string(range->first) + " to " + std::to_string(range->last) : "a season that the weather covers from end to end",
       "ask about one of those, or add the days that are missing"});
}

std::size_t carry_to_index(const Garden::Plan& plan, Date first, std::size_t days) {
  Feeding f;
  f.on = plan.scenario.question.carry_to;
  const auto at = feeding_days(f, first, days);
  return at.empty() ? days - 1 : at.front();
}

Garden::Garden(Scenario scenario, std::shared_ptr<const PluginRegistry> registry, const LoadReport& report) {
  auto plan = std::make_unique<Plan>();
  plan->scenario = std::move(scenario);
  plan->registry = std::move(registry);
  plan->search_summary = report.summary();
  const Scenario& s = plan->scenario;
  plan->atmosphere = kept_atmosphere([&] { return make_atmosphere(s.weather, s.site, s.et); });
  for (std::size_t b = 0; b < s.beds.size(); ++b) {
    const Bed& bed = s.beds[b];
    double bare_m2 = 0;
    const auto areas = share_ground(s, b, bare_m2);
    for (std::size_t i = 0; i < bed.plantings.size(); ++i) {
      ColumnPlan c;
      c.planting = &bed.plantings[i];
      c.plant = &s.catalogue.plants.at(c.planting->plant);
      c.name = c.planting->name;
      c.area_m2 = areas[i];
      const DemandModel* model = plan->registry->demand(c.plant->model);
      if (!model) unknown_model(c.plant->origin, c.plant->id, c.plant->model, keys_of(plan->registry->demands()), plan->search_summary);
      c.on_ground.model = c.shape.demand = model->table;
      auto given = c.plant->parameters;
      if (!c.planting->size.empty())
        for (const auto& [name, value] : c.plant->sizes.at(c.planting->size).parameters) given[name] = value;
      c.on_ground.parameter = parameters_of(model->table->about, given, c.plant->origin, c.plant->id);
      c.on_ground.tables = c.plant->tables;
      c.on_ground.host = c.plant->host;
      c.on_ground.cover = c.planting->count * c.planting->crown_m2 / c.area_m2;
      c.bed = b;
      plan->columns.push_back(std::move(c));
    }
    if (bare_m2 > 0) {
      ColumnPlan c;
      c.name = bed.name + ": bare ground";
      c.area_m2 = bare_m2;
      c.bed = b;
      plan->columns.push_back(std::move(c));
    }
  }
  for (ColumnPlan& c : plan->columns) {
    c.ground = ground_of(s, s.beds[c.bed]);
    c.shape.layers = c.ground.soil.layers();
    give(*plan, c);
  }
  plan_ = std::move(plan);
}

Garden::~Garden() = default;
Garden::Garden(Garden&&) noexcept = default;
Garden& Garden::operator=(Garden&&) noexcept = default;

const Scenario& Garden::scenario() const { return plan_->scenario; }

std::vector<int> Garden::seasons() const {
  std::vector<int> years;
  if (const auto range = whole_seasons(plan_->scenario.weather, plan_->scenario.site))
    for (int y = range->first; y <= range->last; ++y) years.push_back(y);
  return years;
}

}  // namespace leafhunger
