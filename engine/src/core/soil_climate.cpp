// The order of a day (equations.md 13.1): the plant's morning, its cover, interception, demand for water, evaporation, the bucket, heat,
// growth of the twin. Formulas: equations.md 2.2 to 2.4 and 8.
#include "leafhunger/soil_climate.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "leafhunger/response.hpp"
#include "leafhunger/water.hpp"
#include "mulch_twin.hpp"
#include "plant_twin.hpp"

namespace leafhunger {
namespace {

constexpr double k_growing_f_t = 0.05, k_growing_w = 0.3;  // watering by rule only while something grows (equations.md 2.2)
constexpr double k_half_density = 0.2;                     // rho/(rho + 0.2): thin roots still draw (our own guess)

// Everything that is carried from one day to the next.
class Column {
 public:
  Column(const DailyWeather& weather, const Atmosphere& atmosphere, const SeasonDays& days, const Ground& ground,
         const PlantOnGround* plant)
      : weather_(weather),
        air_(atmosphere),
        ground_(ground),
        plant_(plant),
        water_(ground.soil),
        n_(ground.soil.layers()),
        heat_(ground.soil, ground.heat, mean_air(days)),
        mulch_(ground.mulches) {
    root_share_.resize(n_), layer_c_.assign(n_, mean_air(days)), explored_.resize(n_), density_.resize(n_), available_.resize(n_);
    for (std::size_t l = 0; l < n_; ++l) density_[l] = plant ? std::exp(-ground.soil.middle_mm(l) / plant->host.root_scale_mm) : 0;
    wfps_2_ = ground.soil.theta_fc[second()] / ground.soil.theta_sat[second()];
    if (plant) twin_.emplace(*plant);
    theta_.resize(n_);
    tell_heat_of_water();
    // Deep ground remembers for years: once through the spin-up days, bare and moist, before anything counts.
    for (const std::size_t i : days.spin_up) {
      SurfaceDay s = surface(i);
      s.evaporated_mm = 0.8 * air_.eto_mm[i];
      heat_.step(s, layer_c_);
    }
  }

  void start_season(std::size_t i) {
    if (twin_) twin_->start(plant_weather(i));
  }

  void spread_mulch(const MulchGiven& given, std::size_t i) { mulch_.give(given.material, given.kg_n_ha, weather_.date(i)); }

  // Runs weather day `i`; where `out` is given, stores it as day `d` of the season.
  void day(std::size_t i, SoilClimate* out, std::size_t d, double by_hand_mm) {
    PlantMorning bare;
    const PlantMorning& p = twin_ ? twin_->morning(plant_weather(i)) : bare;
    const double cover = plant_ ? std::min(1.0, plant_->cover * p.cover_frac) : 0;
    const double eto = air_.eto_mm[i];
    spread_roots(p.root_front_mm);
    water_.available(available_);
    const bool thirsty = twin_ && ground_.water_below_frac && twin_->w_t_ha() > k_growing_w && p.f_t > k_growing_f_t &&
                         ruling_available() < *ground_.water_below_frac;
    const double by_rule = thirsty ? ground_.water_give_mm : 0;
    const double mulch_mm = mulch_.depth_mm(), mulch_frac = 1 - (1 - ground_.mulch_frac) * (1 - mulch_.cover_frac());
    const double fallen = weather_.rain_mm[i] + by_rule;
    const double caught_leaves = std::min(fallen, 1.0 * cover);
    const double caught_mulch = std::min(fallen - caught_leaves, mulch_frac > 0 ? 0.5 * mulch_frac * 1.15 * (1 - cover) * eto : 0.0);
    const double net_rain = fallen - caught_leaves - caught_mulch;

    const double etc = p.k_cb * cover * eto;
    WaterForcing f;
    f.rain_mm = net_rain;
    f.by_hand_mm = by_hand_mm;
    f.eto_mm = eto;
    f.transpiration_want_mm = std::max(0.0, etc - caught_leaves);
    f.p_depletion = std::clamp(p.p_depletion + 0.04 * (5 - etc), 0.1, 0.8);
    f.cover_frac = cover;
    f.mulch_frac = mulch_frac;
    f.root_share = root_share_;
    tell_heat_of_water();
    water_.step(f, wet_);

    SurfaceDay s = surface(i);
    s.evaporated_mm = wet_.evaporated_mm;
    s.transpired_mm = wet_.transpired_mm;
    s.intercepted_mm = caught_leaves;
    s.mulch_caught_mm = caught_mulch;
    s.cover_frac = cover;
    s.mulch_resistance_m2k_w = ground_.mulch_resistance_m2k_w + mulch_.resistance_m2k_w();
    s.shade = plant_ ? plant_->host.shade : 0;
    heat_.step(s, layer_c_);
    if (twin_) twin_->grow(wet_.stress);
    wfps_2_ = wet_.wfps_frac[second()];
    rain_recent_ = {net_rain, rain_recent_[0], rain_recent_[1]};
    if (mulch_mm > 0) {
      const Soil& soil = ground_.soil;
      mulch_.decay(layer_c_[0], {wet_.theta[0], soil.theta_fc[0], soil.theta_wp[0], wet_.wfps_frac[0], wet_.available_frac[0]}, net_rain,
                   (rain_recent_[0] + rain_recent_[1] + rain_recent_[2]) / 3, weather_.date(i));
    }
    if (out) store(*out, d, i, p, cover, net_rain, by_rule, by_hand_mm), out->mulch_mm[d] = mulch_mm;
  }

  double w_t_ha() const { return twin_ ? twin_->w_t_ha() : 0; }
  double stored_mm() const {
    const auto mm = water_.storage_mm();
    return std::accumulate(mm.begin(), mm.end(), 0.0);
  }

 private:
  std::size_t second() const { return std::min<std::size_t>(1, n_ - 1); }

  double mean_air(const SeasonDays& days) const {
    double sum = 0;
    for (const std::size_t i : days.spin_up) sum += air_.t_air_c[i];
    return days.spin_up.empty() ? 10 : sum / static_cast<double>(days.spin_up.size());
  }

  double season_day(std::size_t i) const {
    const int day = day_of_year(weather_.date(i));
    return ground_.south ? (day + 181) % 365 + 1 : day;
  }

  SurfaceDay surface(std::size_t i) const {
    SurfaceDay s;
    s.t_air_c = air_.t_air_c[i];
    s.radiation_mj_m2 = air_.radiation_mj_m2[i];
    s.net_longwave_mj_m2 = air_.net_longwave_mj_m2[i];
    s.rain_mm = weather_.rain_mm[i];
    return s;
  }

  PlantWeather plant_weather(std::size_t i) {
    water_.available(available_);
    const double rain = weather_.rain_mm[i];
    return {weather_.date(i),
            season_day(i),
            weather_.tmin_c[i],
            weather_.tmax_c[i],
            air_.radiation_mj_m2[i],
            air_.day_length_h[i],
            rain,
            (rain + rain_recent_[0] + rain_recent_[1]) / 3,
            layer_c_[second()],
            wfps_2_,
            available_[second()]};
  }

  // From the water at 00, as all that a day keeps constant (equations.md 13.1).
  void tell_heat_of_water() {
    if (!ground_.heat.moist_properties) return;
    for (std::size_t l = 0; l < n_; ++l) theta_[l] = water_.storage_mm()[l] / ground_.soil.thickness_mm[l];
    heat_.set_water(theta_);
  }

  // What watering by rule goes by; available_ and root_share_ are those of the morning.
  double ruling_available() const {
    double sum = 0, weights = 0;
    for (std::size_t l = 0; l < n_; ++l) {
      const double weight = ground_.water_depth_mm > 0
                                ? std::clamp(ground_.water_depth_mm - ground_.soil.top_mm(l), 0.0, ground_.soil.thickness_mm[l])
                                : root_share_[l];
      sum += weight * available_[l];
      weights += weight;
    }
    return ground_.water_depth_mm > 0 ? sum / weights : sum;
  }

  void spread_roots(double front_mm) {
    double sum = 0;
    for (std::size_t l = 0; l < n_; ++l) {
      explored_[l] = plant_ ? std::clamp((front_mm - ground_.soil.top_mm(l)) / ground_.soil.thickness_mm[l], 0.0, 1.0) : 0;
      root_share_[l] = explored_[l] * density_[l] * ground_.soil.thickness_mm[l];
      sum += root_share_[l];
    }
    if (sum > 0)
      for (double& r : root_share_) r /= sum;
  }

  void store(SoilClimate& o, std::size_t d, std::size_t i, const PlantMorning& p, double cover, double net_rain, double by_rule,
             double by_hand) {
    static const auto cold = find_temperature_response("cold_root")->value;
    for (std::size_t l = 0; l < n_; ++l) {
      const std::size_t at = d * n_ + l;
      o.t_c[at] = layer_c_[l];
      o.wfps_frac[at] = wet_.wfps_frac[l];
      o.theta[at] = wet_.theta[l];
      o.available_frac[at] = wet_.available_frac[l];
      o.drained_mm[at] = wet_.drained_mm[l];
      o.root_frac[at] = explored_[l] * density_[l] / (density_[l] + k_half_density);
      o.reach_wet_per_day[at] = plant_ ? plant_->host.uptake_per_day * o.root_frac[at] * cold(layer_c_[l], 0, 0) : 0;
      o.reach_per_day[at] = o.reach_wet_per_day[at] * (0.1 + 0.9 * wet_.available_frac[l]);
    }
    // Drainage is net (equations.md 13.1): water that rises and leaves again the same day went nowhere and washed nothing out.
    const double turned_back = std::min(wet_.risen_mm, wet_.drained_mm.back());
    o.drained_mm[d * n_ + n_ - 1] -= turned_back;
    o.risen_mm[d] = wet_.risen_mm - turned_back, o.by_hand_mm[d] = by_hand;
    o.stress[d] = wet_.stress, o.f_t[d] = p.f_t, o.awake[d] = p.awake, o.cover_frac[d] = cover, o.luxury[d] = p.luxury;
    o.fixed_frac[d] = p.fixed_frac, o.keep_frac[d] = p.keep_frac, o.reserve_frac[d] = p.reserve_frac, o.root_front_mm[d] = p.root_front_mm;
    o.rain_mm[d] = net_rain, o.rain3_mm[d] = (rain_recent_[0] + rain_recent_[1] + rain_recent_[2]) / 3;
    o.watered_mm[d] = by_rule, o.evaporated_mm[d] = wet_.evaporated_mm, o.transpired_mm[d] = wet_.transpired_mm,
    o.run_off_mm[d] = wet_.run_off_mm;
    o.radiation_mj_m2[d] = air_.radiation_mj_m2[i], o.day_length_h[d] = air_.day_length_h[i], o.t_min_c[d] = weather_.tmin_c[i];
    o.t_max_c[d] = weather_.tmax_c[i], o.day_of_year[d] = season_day(i);
    o.w_twin_t_ha[d] = twin_ ? twin_->w_t_ha() : 0, o.w_free_t_ha[d] = twin_ ? twin_->w_free_t_ha() : 0;
    if (twin_) std::copy(twin_->factor().begin(), twin_->factor().end(), o.factor.begin() + static_cast<std::ptrdiff_t>(d * o.factors));
  }

  const DailyWeather& weather_;
  const Atmosphere& air_;
  const Ground& ground_;
  const PlantOnGround* plant_;
  WaterBucket water_;
  std::size_t n_;
  HeatColumn heat_;
  MulchTwin mulch_;
  std::optional<PlantTwin> twin_;
  WaterDay wet_;
  std::vector<double> root_share_, layer_c_, explored_, density_, available_, theta_;
  double wfps_2_ = 0.5;
  std::array<double, 3> rain_recent_{};  // today's and that of the two days before
};

void make_room(SoilClimate& o) {
  for (auto* rows :
       {&o.t_c, &o.wfps_frac, &o.theta, &o.available_frac, &o.drained_mm, &o.reach_per_day, &o.reach_wet_per_day, &o.root_frac})
    rows->assign(o.days * o.layers, 0.0);
  for (auto* rows : {&o.stress,        &o.f_t,           &o.awake,       &o.cover_frac,      &o.luxury,     &o.fixed_frac,   &o.keep_frac,
                     &o.reserve_frac,  &o.root_front_mm, &o.rain_mm,     &o.rain3_mm,        &o.by_hand_mm, &o.risen_mm,     &o.watered_mm,
                     &o.evaporated_mm, &o.transpired_mm, &o.run_off_mm,  &o.radiation_mj_m2, &o.mulch_mm,   &o.day_length_h, &o.t_min_c,
                     &o.t_max_c,       &o.day_of_year,   &o.w_twin_t_ha, &o.w_free_t_ha})
    rows->assign(o.days, 0.0);
  o.factor.assign(o.days * o.factors, 0.0);
}

}  // namespace

SoilClimate make_soil_climate(const DailyWeather& weather, const Atmosphere& atmosphere, const SeasonDays& days, const Ground& ground,
                              const PlantOnGround* plant) {
  Column column(weather, atmosphere, days, ground, plant);
  SoilClimate out;
  out.first = weather.date(days.season.front());
  out.days = days.season.size();
  out.layers = ground.soil.layers();
  out.factors = plant ? plant->model->n_factor : 0;
  make_room(out);

  if (!days.spin_up.empty()) column.start_season(days.spin_up.front());
  const auto hand = [](const std::vector<double>& mm, std::size_t d) { return mm.empty() ? 0 : mm[d]; };
  for (std::size_t d = 0; d < days.spin_up.size(); ++d) {
    column.day(days.spin_up[d], nullptr, 0, hand(ground.spin_up_by_hand_mm, d));
    out.w_reference_t_ha = std::max(out.w_reference_t_ha, column.w_t_ha());
  }
  column.start_season(days.season.front());
  out.stored_first_mm = column.stored_mm();
  auto spread = ground.mulch_given.begin();
  for (std::size_t d = 0; d < out.days; ++d) {
    for (; spread != ground.mulch_given.end() && spread->day <= d; ++spread) column.spread_mulch(*spread, days.season[d]);
    column.day(days.season[d], &out, d, hand(ground.by_hand_mm, d));
  }
  out.stored_last_mm = column.stored_mm();
  return out;
}

std::optional<SeasonDays> season_days(const DailyWeather& weather, Date first, Date last) {
  if (weather.days() == 0 || first < weather.first || last > weather.date(weather.days() - 1)) return std::nullopt;
  SeasonDays days;
  const auto start = static_cast<std::size_t>((first - weather.first).count()), n = static_cast<std::size_t>((last - first).count()) + 1;
  for (std::size_t k = 0; k < n; ++k) days.season.push_back(start + k);
  constexpr std::size_t k_year = 365;
  days.spun_on_own_year = start < k_year;
  for (std::size_t k = 0; k < std::min(k_year, days.spun_on_own_year ? n : k_year); ++k)
    days.spin_up.push_back(days.spun_on_own_year ? start + k : start - k_year + k);
  return days;
}

}  // namespace leafhunger
