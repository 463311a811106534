// Urea and what becomes of it: enzymes of the soil turn it into ammonium, faster when warm, slower when very dry. Rain carries it in before
// that; what turns on top passes through surface ammonium, part of which goes to the air. Shared by all models that bring or free urea.
#pragma once

#include "leafhunger/plugin_sdk.hpp"

namespace urea {

/// Rows for parameter tables. Sources span 0.07 to 2.8 a day between 5 and 25 degC, so the speed is the user's to set.
inline constexpr lh_parameter k_per_day = {"hydrolysis_per_day",
                                           "1/d",
                                           "urea to ammonium in moist soil at its reference temperature",
                                           "inside Lasisi & Akinremi 2021 to Wali, Kumar & Singh 2003 (0.07 to 2.8); the value our own",
                                           0.4,
                                           0.02,
                                           4};
inline constexpr lh_parameter k_top_per_day = {"hydrolysis_top_per_day",
                                               "1/d",
                                               "the same on a moist surface, where enzymes of litter and crumbs work",
                                               "fitted to Black et al. 1987",
                                               2.0,
                                               0.02,
                                               6};
inline constexpr lh_parameter k_reference_c = {
    "reference_c", "degC", "temperature at which both speeds are meant", "definition", 15, 0, 40};
inline constexpr lh_parameter k_activation = {"activation_kj_mol",
                                              "kJ/mol",
                                              "activation energy of hydrolysis",
                                              "Lasisi & Akinremi 2021 (36.2, derived); 29 to 41 in others",
                                              36,
                                              0,
                                              120};
inline constexpr lh_parameter k_wash = {
    "dissolved_wash_mm", "mm", "rain that carries all but 1/e of the urea in", "derived from Black et al. 1987: 3.6 to 5.8", 4, 0, 1e6};
inline constexpr lh_parameter k_mix = {"mix_per_day", "1/d", "carried in by dew and soil life", "our own guess", 0.01, 0, 1};

/// For models whose own reference temperature and activation energy are another's.
inline constexpr lh_parameter renamed(lh_parameter p, const char* name) {
  p.name = name;
  return p;
}
inline constexpr lh_parameter k_hydrolysis_reference_c = renamed(k_reference_c, "hydrolysis_reference_c");
inline constexpr lh_parameter k_hydrolysis_activation = renamed(k_activation, "hydrolysis_activation_kj_mol");

}  // namespace urea
