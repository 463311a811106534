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

/// The days among which a feed waits for its rain, chosen by what the years of the record did (equations.md 13.23).
struct FeedWindow {
  Date planned;           ///< the day that it is planned for
  Date opens, closes;     ///< first and last day
  double wet_day_mm = 0;  ///< rain of a day that carries in half of what dissolves
  int cans_m2 = 0;        ///< of 10 l, on the last day where none was wet: carries in nine tenths
  int years = 0;          ///< of the record
  int washed_in = 0;      ///< of these: with a wet day among them
  int washed_out = 0;     ///< of these: given so, more than a tenth of its nitrogen is below the roots by the season's end
  std::string planting;   ///< on whose ground that was reckoned: the one that gets the most
};

/// A second feed of what it had first, that would have carried a planting to the date asked about.
struct SecondFeed {
  Date on;
  double handfuls = 0, grams_per_plant = 0;
  std::string material_title, material_id;
  std::optional<std::size_t> window;  ///< index into SeasonResult::windows
};

/// What mulches that are feeds did to the loose nitrogen of a column, beside the same season without them. g N/m2 of its ground.
struct MulchAccount {
  std::vector<std::size_t> feedings;      ///< in the scenario
  double given_g_m2 = 0;                  ///< in the mulch
  double freed_g_m2 = 0;                  ///< loose N that it has brought by the season's end, net; below 0 where it still holds some back
  double held_g_m2 = 0;                   ///< the most that it held back at any time
  std::size_t held_most = 0;              ///< the day on which it did
  std::optional<std::size_t> given_back;  ///< first day from which on it has given back all that it held; none where it has not
};

/// One thing that is not well known, set to what is likely at the least and at the most: the answer in either case.
struct Perturbed {
  enum class What { feed, warmth, want, soil };  ///< what feed and soil free; the soil's warmth; the plant's want; what the soil frees
  What what = What::feed;
  Verdict low, high;
  int moves_d = 0;              ///< days between the two first short days; the season's end counts where there is none
  std::size_t nitrate_day = 0;  ///< `feed`: a day on which a nitrate strip would tell the two apart
  double nitrate_low_mg_kg = 0, nitrate_high_mg_kg = 0;  ///< N as nitrate in the top 300 mm then
};

/// Something to look at on a day, and what to do on either outcome.
struct Check {
  std::string key;  ///< "nitrate", "thermometer", "leaf", "unfed-plant"
  std::string planting;
  Date on;
  int moves_d = 0;  ///< days by which the answer moves between its outcomes
  std::string look, if_less, if_more;
  std::string prepare;  ///< what must be done at feeding time for it; empty where nothing must, or where that day is past
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
      second_feed;                      ///< smallest of a few that carries it without scorch; only where it ran short and reasons are asked
  bool second_feed_tried = false;       ///< that was looked for
  std::vector<Reason> reasons;          ///< only where it ran short; the one that mattered most first
  std::vector<Perturbed> perturbed;     ///< only of fed greedy plantings, and where reasons are asked
  bool too_uncertain = false;           ///< one of these makes of "kept" "short for a month or more", or the other way about
  std::optional<MulchAccount> mulch;    ///< only where a bulky feed lies on top
  double warmest_week_c = 0;            ///< of the air, up to the date asked about
  std::optional<double> wakes_above_c;  ///< of the plant's model, where that has such a figure
  bool fed = false;                     ///< anything given to it at all
  Ledger ledger;                        ///< kg/ha of this column at the season's end
  struct Source {
    std::string name;  ///< "feeding 1: ...", "soil organic matter", "mineral N at the start", "plant at the start", "from the air"
    double given_kg_n_ha = 0;
    Ledger where;
    std::optional<std::size_t> feeding;  ///< index in the scenario, where it is one
  };
  std::vector<Source> sources;
  double taken_unfed_kg_n_ha = 0;
  /// Where it is fed and would be kept unfed this season: in how many years of the record so. 0 of 0 elsewhere, and where no reasons are
  /// asked.
  int unfed_kept_years = 0, years = 0;
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
  std::optional<std::size_t> window;  ///< index into SeasonResult::windows; none where it waits for no rain
  bool done = false;                  ///< of the diary
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
  std::vector<FeedWindow> windows;        ///< by date; of planned feeds and of second feeds, only where reasons are asked
  std::vector<Check> checks;              ///< at most three, the most telling first
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
  bool reasons = true;        ///< also find out why plantings ran short, when to go out and what to look at
  double absolute_tolerance_kg_ha = 1e-7, relative_tolerance = 1e-7;
};

/// One season, day by day, every gram labelled. Throws InputError where the weather does not cover the season.
SeasonResult run_season(const Garden& garden, const SeasonOptions& options = {});

}  // namespace leafhunger
