#include "plant_twin.hpp"

#include <cmath>
#include <string>

#include "leafhunger/error.hpp"
#include "plugin_call.hpp"

namespace leafhunger {

std::vector<lh_table> views_of(const std::vector<Table>& tables) {
  std::vector<lh_table> out;
  for (const Table& t : tables) out.push_back({t.name.c_str(), static_cast<int32_t>(t.x.size()), t.x.data(), t.y.data()});
  return out;
}

PlantTwin::PlantTwin(const PlantOnGround& plant)
    : plant_(plant), table_(views_of(plant.tables)), memory_(plant.model->n_memory, 0.0), factor_(plant.model->n_factor, 0.0) {}

lh_day PlantTwin::day_of(const PlantWeather& d) const {
  lh_day day{};
  day.size = sizeof day;
  day.m = day.m_pad = 1;
  day.n_table = static_cast<int32_t>(table_.size()), day.table = table_.data();
  day.parameter = plant_.parameter.data();
  day.day_of_year = &d.day_of_year;
  day.t_min_c = &d.t_min_c;
  day.t_max_c = &d.t_max_c;
  day.radiation_mj_m2 = &d.radiation_mj_m2;
  day.day_length_h = &d.day_length_h;
  day.rain_mm = &d.rain_mm;
  day.rain3_mm = &d.rain3_mm;
  day.t_soil_c = &d.t_soil_c;
  day.wfps_frac = &d.wfps_frac;
  day.rel_water_frac = &d.rel_water_frac;
  return day;
}

void PlantTwin::refuse(const char* function, Date date, const std::string& why) const {
  throw PluginError(std::string("model ") + plant_.model->about.name + ": `" + function + "` " + why + " on " + to_iso(date), false);
}

template <class Call>
void PlantTwin::ask(const char* function, Date date, const Call& call) const {
  const auto fail = [&](const std::string& why) { refuse(function, date, why); };
  call_plugin(call, fail);
  const auto& m = morning_;
  for (const double x :
       {m.awake, m.f_t, m.cover_frac, m.k_cb, m.p_depletion, m.root_front_mm, m.luxury, m.fixed_frac, m.keep_frac, m.reserve_frac})
    if (!std::isfinite(x)) fail("returned a number that is not finite");
  for (const double x : {m.f_t, m.cover_frac, m.fixed_frac, m.keep_frac, m.reserve_frac})
    if (x < 0 || x > 1) fail("returned a share outside 0 to 1");
  for (const auto* row : {&memory_, &factor_})
    for (const double x : *row)
      if (!std::isfinite(x)) fail("returned a number that is not finite");
  check_dry_matter(function, date);
}

void PlantTwin::check_dry_matter(const char* function, Date date) const {
  for (const double w : {w_, w_free_})
    if (!(std::isfinite(w) && w >= 0)) refuse(function, date, "gave a dry matter that is not finite or below 0");
}

void PlantTwin::start(const PlantWeather& d) {
  const lh_day day = day_of(d);
  ask("start", d.date, [&] { return plant_.model->start(&day, &w_, memory_.data()); });
  w_free_ = w_;
}

const PlantMorning& PlantTwin::morning(const PlantWeather& d) {
  const lh_day day = day_of(d);
  PlantMorning& m = morning_;
  lh_morning out{sizeof out,       &m.awake,  &m.f_t,        &m.cover_frac, &m.k_cb,        &m.p_depletion,
                 &m.root_front_mm, &m.luxury, &m.fixed_frac, &m.keep_frac,  &m.reserve_frac};
  date_ = d.date;
  ask("morning", d.date, [&] { return plant_.model->morning(&day, &w_, memory_.data(), &out, factor_.data()); });
  w_ *= m.keep_frac;
  w_free_ *= m.keep_frac;
  return m;
}

double PlantTwin::grown(double w, double water_stress) const {
  const double well_fed = LH_WELL_FED;
  const auto fail = [&](const std::string& why) { refuse("grow", date_, why); };
  const auto rate = [&](double x) {
    double r = 0;
    call_plugin([&] { return plant_.model->grow(1, plant_.parameter.data(), factor_.data(), &x, &well_fed, &water_stress, &r); }, fail);
    if (!std::isfinite(r)) fail("returned a number that is not finite");
    return r;
  };
  constexpr double h = 0.25;
  for (int step = 0; step < 4; ++step) {
    const double k1 = rate(w), k2 = rate(w + h / 2 * k1), k3 = rate(w + h / 2 * k2), k4 = rate(w + h * k3);
    w += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
  }
  return w;
}

void PlantTwin::grow(double water_stress) {
  constexpr double free = 1;
  const bool alike = w_ == w_free_ && water_stress == free;  // as on every day until the first dry one
  w_ = grown(w_, water_stress);
  w_free_ = alike ? w_ : grown(w_free_, free);
  check_dry_matter("grow", date_);
}

double PlantTwin::critical_kg_n_ha(double w) const {
  double n = 0;
  ask("critical", date_, [&] { return plant_.model->critical(1, plant_.parameter.data(), factor_.data(), &w, &n); });
  return n * plant_.cover;
}

}  // namespace leafhunger
