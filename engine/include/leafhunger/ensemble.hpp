// How sure is the answer of `lasts`? One scenario over every season of its weather, and over many ways that feed, soil and plant may truly
// be: each figure that is not well known is drawn from its spread.
//
// What is drawn, and how far it may lie:
// - release parameters of each material given: the catalogue's `spread`, a standard deviation either side;
// - soil: what its organic matter frees in a year, nitrification, denitrification, mineral N on the first day;
// - ammonia lost from the surface, as a factor on each material's own;
// - plant: how fast roots reach nitrogen, growth for its light, critical N, base temperature.
// For the last three, *low* and *high* of equations.md 11 and 13.18 are taken as two standard deviations below and above the value in use,
// each side by itself, so that half of the draws lie on either side of the value. A plant whose own value differs from the table's default
// has the span moved along in proportion (the base temperature: by as many degrees).
// Draws stay inside the bounds of their parameter. All that hangs on them is computed anew, the soil climate too.
// Not drawn: texture, organic matter, depth and area (the gardener measures those), crown and size (they would shift ground between
// plantings), heat exchange, mulch and water by hand.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "leafhunger/control.hpp"
#include "leafhunger/garden.hpp"
#include "leafhunger/lasts.hpp"

namespace leafhunger {

struct EnsembleQuestion {
  int samples = 50;           ///< 2 to 10000: ways that feed, soil and plant may be
  std::uint64_t seed = 1;     ///< another one gives other draws
  double width = 1;           ///< factor on every spread, 0 to 2; 0: all is as in use, and the answer is that of `lasts`
  std::optional<int> season;  ///< of the bands; default: the scenario's
  bool bands = true;          ///< keep quantiles by day for that season
};

/// A figure that was drawn.
struct Unknown {
  std::string of;            ///< "soil", or the title of the plant or the material
  std::string name;          ///< of the parameter
  double value = 0;          ///< in use
  double low = 0, high = 0;  ///< about 1 draw of 20 is lower, 1 of 20 higher
};

/// Quantiles by day of one season, over the draws.
struct Band {
  std::string name, unit;
  std::array<std::vector<double>, 5> at;  ///< of k_quantiles
};
inline constexpr std::array<double, 5> k_quantiles = {0.05, 0.25, 0.50, 0.75, 0.95};

struct PlantingSureness {
  std::string name;
  Hunger hunger = Hunger::moderate;
  bool fed = false;
  std::vector<Unknown> unknowns;
  std::vector<std::vector<Outcome>> outcome;                         ///< [sample][season]
  std::vector<std::vector<std::optional<std::size_t>>> first_short;  ///< [sample][season], days from the season's start
  double kept_share = 0;                                             ///< of all draws and seasons: the chance of being kept to the date
  double standard_error = 0;                                         ///< of that, from the finite number of draws and seasons
  std::array<double, 5> kept_share_of_draw{};                        ///< k_quantiles over the draws of the share of seasons kept
  double draws_that_keep = 0;                                        ///< share of the draws in which it is kept in 9 seasons of 10
  std::array<std::optional<MonthDay>, 5> first_short_day;            ///< k_quantiles over all; none: not before the season's end
  MonthDay kept_nine_in_ten;                                         ///< last day up to which it is kept in 9 of 10 of all
  bool kept_whole_season = false;                                    ///< that day is the season's last
  std::string tells_most;  ///< name of the unknown that goes most closely with the draws' mean first short day; empty where they agree
  /// What moves the first short day (the season's end where there is none): standard deviations, days, of a two-way analysis of variance.
  double weather_d = 0, unknown_d = 0, both_d = 0;  ///< `both`: the unknown matters more in some seasons than in others
  std::vector<Band> bands;                          ///< "nni", "mineral_kg_n_ha"
};

struct EnsembleResult {
  std::string garden, note, weather_note;
  MonthDay carry_to;
  std::vector<int> seasons;
  int samples = 0;
  std::uint64_t seed = 0;
  int band_season = 0;
  Date band_first;
  std::vector<PlantingSureness> plantings;  ///< in the scenario's order
  std::vector<std::string> feed_words, notes;
  bool stopped = false;  ///< then `plantings` holds those that were answered
};

/// The same bytes whatever the number of threads; draws of a figure hang on seed, samples and its name, not on what else is in the garden.
/// Throws InputError for a number out of range, or a season that the weather does not cover.
EnsembleResult how_sure_it_is(const Garden& garden, const EnsembleQuestion& question = {}, const Control& control = {});

/// `more`: also what was drawn and how far.
std::string in_words(const EnsembleResult& result, bool more = false);
std::string in_json(const EnsembleResult& result);
/// The bands, one row a planting and day.
std::string in_csv(const EnsembleResult& result);

}  // namespace leafhunger
