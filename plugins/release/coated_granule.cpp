// Soluble nitrogen in a polymer coat. What is out follows dR/dt = f r smin(1, 3(1 - R)) (1 - exp(-(age/lag)^2)): a lag while water enters,
// a straight line to two thirds, then a decay (three stages of Shaviv, Raban & Zaidel 2003; two thirds after California Agriculture 16(1),
// 1962). f and the age run by warmth alone, not by water (Lunt & Oertli 1962), and both are 1 a day at the temperature at which the label
// states the longevity, so a longevity needs no conversion. At its longevity 80 % is out.
#include "say_why.hpp"
#include "urea.hpp"

namespace {

using leafhunger::sdk::row;
using leafhunger::sdk::smin;

enum Parameter {
  p_longevity,
  p_longevity_c,
  p_lag,
  p_nitrate,
  p_urea,
  p_uncoated,
  p_activation,
  p_on_top,
  p_wash,
  p_dissolved_wash,
  p_mix,
  p_hydrolysis,
  p_hydrolysis_top,
  p_urea_reference,
  p_urea_activation,
  n_parameter
};
constexpr lh_parameter k_parameters[n_parameter] = {
    {"longevity_d", "d", "days until 80 % is out at longevity_c", "label; 80 % after Trenkel 2010", 90, 20, 600},
    {"longevity_c", "degC", "temperature at which the label states it", "label; the European test is at 25", 25, 5, 40},
    {"lag_frac", "-", "time that water takes to enter, over the longevity", "our own guess; the stage itself after Shaviv et al. 2003",
     0.06, 0.01, 0.3},
    {"nitrate_frac", "-", "share of N that is nitrate", "label", 0.5, 0, 1},
    {"urea_frac", "-", "share of N that is urea; what is neither is ammonium", "label", 0, 0, 1},
    {"uncoated_frac", "-", "share of N outside any coat: free from the first hour", "label", 0, 0, 1},
    {"activation_kj_mol", "kJ/mol", "activation energy of the coat: doubles every 10 degC near 20",
     "derived from Oertli & Lunt 1962; Brown, Luebs & Pratt 1966", 51.2, 0, 120},
    {"top_frac", "-", "speed on the surface over that in the soil", "order after Lunt & Oertli 1962; the value our own guess", 0.7, 0, 1},
    {"particle_wash_mm", "mm", "rain that carries all but 1/e of the granules in", "our own guess, by form", 40, 0, 1e9},
    urea::k_wash,
    {"mix_per_day", "1/d", "carried in by soil life", "our own guess", 0.01, 0, 1},
    urea::k_per_day,
    urea::k_top_per_day,
    urea::k_hydrolysis_reference_c,
    urea::k_hydrolysis_activation,
};
// r in smin(1, 3(1 - R)): puts 80 % at the longevity, so that r x (longevity - lag) = 0.837.
constexpr double k_way = 0.837;

enum Response { r_coat_top, r_coat_soil, r_urea_top, r_urea_soil, n_response };
constexpr lh_response k_responses[n_response] = {
    {"coat on top", "arrhenius", "flat", LH_SURFACE, p_longevity_c, p_activation},
    {"coat in soil", "arrhenius", "flat", LH_SOIL, p_longevity_c, p_activation},
    {"hydrolysis on top", "arrhenius", "urease_wet", LH_SURFACE, p_urea_reference, p_urea_activation},
    {"hydrolysis in soil", "arrhenius", "urease_wet", LH_SOIL, p_urea_reference, p_urea_activation},
};

// Nitrate and urea that left a coat on the surface lie there until rain takes them in, as those of an uncoated salt do.
enum Pool { s_grain, s_urea, s_nitrate, g_grain, g_urea, n_pool };
constexpr lh_pool k_pools[n_pool] = {{"granules on top", LH_SURFACE, LH_UNFREED, g_grain, p_wash, p_mix},
                                     {"urea on top", LH_SURFACE, LH_UNFREED, g_urea, p_dissolved_wash, p_mix},
                                     {"nitrate on top", LH_SURFACE, LH_UNFREED, LH_NITRATE, p_dissolved_wash, p_mix},
                                     {"granules in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE},
                                     {"urea in soil", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE}};

// The flows out of coats come first: those bend.
enum Flow {
  f_top_ammonium,
  f_top_nitrate,
  f_top_urea,
  f_ammonium,
  f_nitrate,
  f_urea,
  n_coat,
  f_hydrolysed_top = n_coat,
  f_hydrolysed,
  n_flow
};
constexpr lh_flow k_flows[n_flow] = {{"out on top, ammonium", s_grain, LH_SURFACE_AMMONIUM, s_grain, 0, 1, {0, 0}},
                                     {"out on top, nitrate", s_grain, s_nitrate, s_grain, 0, 1, {0, 0}},
                                     {"out on top, urea", s_grain, s_urea, s_grain, 0, 1, {0, 0}},
                                     {"out in soil, ammonium", g_grain, LH_AMMONIUM, g_grain, 0, 1, {0, 0}},
                                     {"out in soil, nitrate", g_grain, LH_NITRATE, g_grain, 0, 1, {0, 0}},
                                     {"out in soil, urea", g_grain, g_urea, g_grain, 0, 1, {0, 0}},
                                     {"hydrolysed on top", s_urea, LH_SURFACE_AMMONIUM, s_urea, 0, 0, {0, 0}},
                                     {"hydrolysed in soil", g_urea, LH_AMMONIUM, g_urea, 0, 0, {0, 0}}};
constexpr lh_named k_ages[] = {{"thermal age", "d", "days at longevity_c that do to a coat what its days so far did"}};

int32_t check(const double* p, char* text, int32_t n) {
  if (p[p_nitrate] + p[p_urea] <= 1) return LH_OK;
  return say_why::refuse("nitrate_frac and urea_frac are shares of the same N, so they can add up to 1 at most; the rest is ammonium", text,
                         n);
}

double ammonium_share(double nitrate, double urea) { return nitrate + urea < 1 ? 1 - nitrate - urea : 0; }

int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double* age) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    const auto param = [&](int p) { return row(day->parameter, p, n)[i]; };
    const double given = day->given_kg_n_ha[i], loose = given * param(p_uncoated);
    row(pool, s_grain, n)[i] = given * (1 - param(p_uncoated));
    row(pool, s_urea, n)[i] = loose * param(p_urea);
    row(pool, s_nitrate, n)[i] = loose * param(p_nitrate);
    row(pool, g_grain, n)[i] = row(pool, g_urea, n)[i] = age[i] = 0;
    surface_ammonium[i] = loose * ammonium_share(param(p_nitrate), param(p_urea));
  }
  return LH_OK;
}

int32_t rates(const lh_day* day, const double* pool, const double*, double* coef, double* age_rate) {
  const int n = day->m_pad;
  for (int i = 0; i < n; ++i) {
    const auto param = [&](int p) { return row(day->parameter, p, n)[i]; };
    const auto response = [&](int r) { return row(day->response, r, n)[i]; };
    const double soil = response(r_coat_soil), top = param(p_on_top) * response(r_coat_top);
    const double r = k_way / (param(p_longevity) * (1 - param(p_lag)));
    const double nitrate = param(p_nitrate), urea = param(p_urea), ammonium = ammonium_share(nitrate, urea);
    row(coef, f_top_ammonium, n)[i] = top * r * ammonium;
    row(coef, f_top_nitrate, n)[i] = top * r * nitrate;
    row(coef, f_top_urea, n)[i] = top * r * urea;
    row(coef, f_ammonium, n)[i] = soil * r * ammonium;
    row(coef, f_nitrate, n)[i] = soil * r * nitrate;
    row(coef, f_urea, n)[i] = soil * r * urea;
    row(coef, f_hydrolysed_top, n)[i] = param(p_hydrolysis_top) * response(r_urea_top);
    row(coef, f_hydrolysed, n)[i] = param(p_hydrolysis) * response(r_urea_soil);
    // One age for all: as fast as where the granules lie, by share.
    const double on_top = std::fmax(0, row(pool, s_grain, n)[i]), within = std::fmax(0, row(pool, g_grain, n)[i]), all = on_top + within;
    age_rate[i] = all > 0 ? (on_top * top + within * soil) / all : soil;
  }
  return LH_OK;
}

int32_t bend(int32_t n, const double* parameter, const double* pool, const double* age, const double* given, double* out) {
  for (int i = 0; i < n; ++i) {
    const double lag = row(parameter, p_lag, n)[i] * row(parameter, p_longevity, n)[i], t = age[i] > 0 ? age[i] / lag : 0;
    const double coated = given[i] * (1 - row(parameter, p_uncoated, n)[i]);
    double left = coated > 0 ? (row(pool, s_grain, n)[i] + row(pool, g_grain, n)[i]) / coated : 0;
    left = left < 1e-9 ? 1e-9 : left;
    const double value = smin(1, 3 * left, 0.05) / left * -std::expm1(-t * t);
    for (int f = 0; f < n_coat; ++f) row(out, f, n)[i] = value;
    for (int f = n_coat; f < n_flow; ++f) row(out, f, n)[i] = 1;
  }
  return LH_OK;
}

constexpr lh_release k_model =
    leafhunger::sdk::release({.name = "coated-granule",
                              .summary = "soluble nitrogen that warmth lets out through a polymer coat",
                              .licence = "MIT",
                              .source = "three stages after Shaviv, Raban & Zaidel 2003; warmth after Oertli & Lunt 1962",
                              .parameters = k_parameters,
                              .responses = k_responses,
                              .pools = k_pools,
                              .flows = k_flows,
                              .ages = k_ages,
                              .start = start,
                              .rates = rates,
                              .bend = bend,
                              .check = check});

}  // namespace

LH_EXPORT const lh_plugins* leafhunger_plugins(uint32_t) { return leafhunger::sdk::plugins_of<k_model>(); }
