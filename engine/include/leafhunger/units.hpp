// Units of labels, gardens and fields. Factors come from atomic masses and from exact definitions (international pound and yard of 1959),
// not from rounded tables. All are constexpr; every function keeps 0 at 0 and is linear.
#pragma once

namespace leafhunger::units {

/// Standard atomic masses, g/mol (IUPAC, abridged).
namespace atom {
inline constexpr double h = 1.008, c = 12.011, n = 14.007, o = 15.999, mg = 24.305, p = 30.973762, s = 32.06, k = 39.0983, ca = 40.078;
}  // namespace atom

/// g/mol. P2O5 and K2O as labels name them, though no such thing is in the bag.
inline constexpr double k_p2o5 = 2 * atom::p + 5 * atom::o, k_k2o = 2 * atom::k + atom::o;

/// Element in a label's oxide, and back; any mass or percentage.
constexpr double p_from_p2o5(double p2o5) { return p2o5 * (2 * atom::p / k_p2o5); }
constexpr double p2o5_from_p(double p) { return p * (k_p2o5 / (2 * atom::p)); }
constexpr double k_from_k2o(double k2o) { return k2o * (2 * atom::k / k_k2o); }
constexpr double k2o_from_k(double k) { return k * (k_k2o / (2 * atom::k)); }
constexpr double mg_from_mgo(double mgo) { return mgo * (atom::mg / (atom::mg + atom::o)); }
constexpr double ca_from_cao(double cao) { return cao * (atom::ca / (atom::ca + atom::o)); }
constexpr double s_from_sulphate(double so4) { return so4 * (atom::s / (atom::s + 4 * atom::o)); }

/// Nitrogen in its compounds, and back.
constexpr double n_from_ammonia(double nh3) { return nh3 * (atom::n / (atom::n + 3 * atom::h)); }
constexpr double n_from_nitrate(double no3) { return no3 * (atom::n / (atom::n + 3 * atom::o)); }
constexpr double nitrate_from_n(double n) { return n * ((atom::n + 3 * atom::o) / atom::n); }
/// CO(NH2)2, NH4NO3 and (NH4)2SO4, when pure.
constexpr double n_from_urea(double urea) { return urea * (2 * atom::n / (atom::c + atom::o + 2 * atom::n + 4 * atom::h)); }
constexpr double n_from_ammonium_nitrate(double salt) { return salt * (2 * atom::n / (2 * atom::n + 4 * atom::h + 3 * atom::o)); }
constexpr double n_from_ammonium_sulphate(double salt) {
  return salt * (2 * atom::n / (2 * atom::n + 8 * atom::h + atom::s + 4 * atom::o));
}

/// Amounts on the ground.
inline constexpr double k_g_per_oz = 28.349523125, k_g_per_lb = 453.59237, k_m2_per_yd2 = 0.83612736, k_m2_per_ft2 = 0.09290304;
inline constexpr double k_m2_per_acre = 4046.8564224, k_kg_per_short_ton = 907.18474, k_m3_per_yd3 = 0.764554857984;
constexpr double kg_ha_from_g_m2(double g_m2) { return g_m2 * 10; }
constexpr double g_m2_from_kg_ha(double kg_ha) { return kg_ha / 10; }
constexpr double g_m2_from_oz_yd2(double oz_yd2) { return oz_yd2 * (k_g_per_oz / k_m2_per_yd2); }
constexpr double oz_yd2_from_g_m2(double g_m2) { return g_m2 * (k_m2_per_yd2 / k_g_per_oz); }
constexpr double g_m2_from_lb_1000ft2(double lb) { return lb * (k_g_per_lb / (1000 * k_m2_per_ft2)); }
constexpr double lb_1000ft2_from_g_m2(double g_m2) { return g_m2 * (1000 * k_m2_per_ft2 / k_g_per_lb); }
constexpr double kg_ha_from_lb_acre(double lb_acre) { return lb_acre * (k_g_per_lb / 1000 * 1e4 / k_m2_per_acre); }

/// Contents.
constexpr double kg_t_from_percent(double percent) { return percent * 10; }
constexpr double kg_t_from_lb_short_ton(double lb) { return lb * (k_g_per_lb / k_kg_per_short_ton); }
constexpr double lb_short_ton_from_percent(double percent) { return percent / 100 * (k_kg_per_short_ton / (k_g_per_lb / 1000)); }
constexpr double kg_m3_from_lb_yd3(double lb_yd3) { return lb_yd3 * (k_g_per_lb / 1000 / k_m3_per_yd3); }
/// kg/ha of something of which a layer holds 1 mg/kg.
constexpr double kg_ha_from_mg_kg(double mg_kg, double thickness_mm, double bulk_density_mg_m3) {
  return mg_kg * thickness_mm * bulk_density_mg_m3 / 100;
}
/// mg/L in drainage of `drained_mm` that carries `kg_ha`; drained_mm > 0.
constexpr double mg_l_from_kg_ha(double kg_ha, double drained_mm) { return 100 * kg_ha / drained_mm; }

}  // namespace leafhunger::units
