// A scenario made ready to run, and what a season of it came to. This is where gardens become soil columns.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "leafhunger/ledger.hpp"
#include "leafhunger/plugin_loader.hpp"
#include "leafhunger/scenario.hpp"
#include "leafhunger/soil_climate.hpp"
#include "leafhunger/verdict.hpp"

namespace leafhunger {

/// What a column's series are called, with their units; see ColumnResult::series.
struct Series {
  std::string name;  ///< such as "nitrate_kg_n_ha"
  std::string unit, meaning;
  std::size_t layers = 1;      ///< values a day
  std::vector<double> values;  ///< [day * layers + layer]
};

/// Takes one limit away and looks again: how far the first short day moves says what mattered most.
struct Reason {
  std::string key;    ///< "cold", "dry", "washed", "gas", "slow", "far"
  std::string words;  ///< "soil too cold to free it in time"
  Verdict verdict;
  int moved_d = 0;  ///< days by which the first short day moves; the season's end counts where it is gone
};

/// What drained below the roots in one month, and what it carried. Ammonium, a trace, is counted with the nitrate.
struct DrainageMonth {
  Date first;  ///< first day of the month within the season
  double drained_mm = 0, leached_kg_n_ha = 0;
  /// 100 x (kg/ha)/mm; 0 where nothing drained.
  double mg_n_per_l() const { return drained_mm > 0 ? 100 * leached_kg_n_ha / drained_mm : 0; }
  double mg_no3_per_l() const { return mg_n_per_l() * 62.0049 / 14.0067; }
};

/// A second feed of what it had first, that would have carried a planting to the date asked about.
struct SecondFeed {
  Date on;
  double handfuls = 0, grams_per_plant = 0;
  std::string material_title;
};

struct ColumnResult {
  std::string name;  ///< the planting's, or "NAME OF BED: bare ground"
  std::string bed;
  bool bare = false;
  std::string plant_id, plant_title;
  Hunger hunger = Hunger::moderate;
  int count = 0;
  double area_m2 = 0;      ///< ground that it feeds from
  double cover = 0;        ///< crowns over ground
  Verdict verdict, unfed;  ///< meaningless where bare
  std::optional<SecondFeed>
      second_feed;              ///< smallest of a few that carries it without scorch; only where it ran short and reasons are asked
  std::vector<Reason> reasons;  ///< only where it ran short; the one that mattered most first
  bool fed = false;             ///< anything given to it at all
  Ledger ledger;                ///< kg/ha of this column at the season's end
  struct Source {
    std::string name;  ///< "feeding 1: ...", "soil organic matter", "mineral N at the start", "plant at the start", "from the air"
    double given_kg_n_ha = 0;
    Ledger where;
    std::optional<std::size_t> feeding;  ///< index in the scenario, where it is one
  };
  std::vector<Source> sources;
  double taken_unfed_kg_n_ha = 0;
  double gain_g = 0;  ///< uptake with the feed less uptake without, g N of the whole column
  int days_full = 0;  ///< growing days on which its store was full (N at its luxury ceiling): feed that day was not wanted
  double cost = 0;    ///< money for what was given to this column
  std::vector<DayState> states;
  std::vector<Series> series;
  std::vector<DrainageMonth> drainage;  ///< below the column, by month

  const Series* find(const std::string& name) const;
};

struct Caution {
  std::string key, words;
};

/// What came with the nitrogen, in g of the whole garden. Labels tell phosphorus and potassium as oxides; these are the elements.
struct GivenBeside {
  double phosphorus_g = 0, potassium_g = 0;
  double organic_matter_g = 0;  ///< carbon / 0.58, as in the soil's own (equations.md 4.6)
};

/// One material, over the whole season and garden.
struct Carried {
  std::string material_id, title;
  double kg = 0, cost = 0;
  int bags = 0;  ///< to buy; 0 where it is sold loose
  double bag_kg = 0;
};

/// Something to be given on a day: what a calendar needs.
struct FeedDay {
  Date on;
  std::size_t feeding = 0;            ///< index in the scenario
  std::string words;                  ///< "150 g a square metre of ... over Hungry bed"
  std::vector<std::string> cautions;  ///< keys
  std::string what, where;            ///< "concentrated manure powder"; "over Hungry bed"
  std::string each;                   ///< what `each_g` is given to: "a square metre", "a plant", "in all"
  double each_g = 0, all_g = 0;       ///< of the material; `all_g` in the whole garden on that day
  double handful_g = 0, trowel_g = 0;
};

struct SeasonResult {
  std::string garden, note, currency, weather_note;
  int season = 0;
  Date first;  ///< first day of the season
  std::size_t days = 0;
  std::size_t carry_to = 0;  ///< index of the date asked about
  MonthDay carry_to_day;
  std::vector<ColumnResult> columns;      ///< in the scenario's order, bare ground of a bed after its plantings
  std::vector<std::string> feed_words;    ///< one line a feeding: what, when, how much
  std::vector<std::string> against_plan;  ///< with a diary: what was planned up to its last day, and what of it was given
  std::vector<FeedDay> feed_days;         ///< by date
  Ledger total_g;                         ///< of the whole garden, g N
  double cost = 0, gain_g = 0, given_g = 0;
  GivenBeside beside;
  std::vector<Carried> carried;      ///< what is carried and bought, in the order of its first feeding
  std::vector<Ledger> by_feeding_g;  ///< where each feeding's N is at the season's end, g of the garden, in the scenario's order
  int trips = 0;
  std::vector<DrainageMonth> drainage;  ///< mean of the garden's ground, by month
  std::vector<Caution> cautions;
  std::vector<std::string> notes;
};

/// A scenario with its models found and its ground shared out. Holds the scenario; immutable, may be shared by threads.
class Garden {
 public:
  /// Throws InputError where a model is unknown or a parameter is outside its bounds; `report` tells what was searched.
  Garden(Scenario scenario, std::shared_ptr<const PluginRegistry> registry, const LoadReport& report);
  ~Garden();
  Garden(Garden&&) noexcept;
  Garden& operator=(Garden&&) noexcept;

  const Scenario& scenario() const;
  /// Seasons that the weather covers, ascending.
  std::vector<int> seasons() const;

  struct Plan;
  const Plan& plan() const { return *plan_; }

 private:
  std::unique_ptr<const Plan> plan_;
};

struct SeasonOptions {
  std::optional<int> season;  ///< default: the scenario's
  bool reasons = true;        ///< also find out why plantings ran short
  double absolute_tolerance_kg_ha = 1e-7, relative_tolerance = 1e-7;
};

/// One season, day by day, every gram labelled. Throws InputError where the weather does not cover the season.
SeasonResult run_season(const Garden& garden, const SeasonOptions& options = {});

}  // namespace leafhunger
