// What to top up with, how much, how far apart, from when until when? A search over a stated grid of schedules and every season of the
// weather. It is exact: what is left out cannot be on the front, and the answer says how much was.
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "leafhunger/control.hpp"
#include "leafhunger/garden.hpp"
#include "leafhunger/lasts.hpp"

namespace leafhunger {

/// What a schedule is to have little of.
enum class Aim { cost, trips, leached };
const char* name_of(Aim aim);
std::optional<Aim> aim_of(const std::string& name);

/// So many years of so many: 9 of 10.
struct YearsShare {
  int of = 9, in = 10;
  /// Years of n that it takes: of/in of them, rounded up.
  int years(int n) const { return static_cast<int>((static_cast<long long>(n) * of + in - 1) / in); }
};
/// "9/10", "0.9" or "1"; nothing where it is none of these, or not above 0 and at most 1.
std::optional<YearsShare> parse_years_share(const std::string& text);

struct TopUpQuestion {
  std::vector<std::string> materials;  ///< catalogue ids
  std::vector<std::string> plantings;  ///< empty: those of greedy plants
  std::vector<int> intervals_d{14, 21, 28, 35, 42, 49, 56, 63, 70};
  std::vector<double> doses_g_per_plant;  ///< empty: 1/2, 1, 1 1/2, 2, 3 and 4 handfuls of each material
  std::vector<int> first_after_d{30};     ///< from the planting's first feeding; without one, from 15 April, in the south 15 October
  std::vector<MonthDay> until;  ///< no top-up after this day, nor after the date asked about; empty: 31 August, in the south 28 February
  bool together = false;        ///< one calendar for all plantings, counted from the first feeding of any
  std::vector<Aim> prefer{Aim::trips, Aim::cost, Aim::leached};  ///< what matters most first; aims left out come after, in that order
  YearsShare share;                                              ///< years in which it is to be kept
  bool may_scorch = false;                                       ///< also doses of more than 5 g of soluble N a square metre
  double leached_at_most_g_n_m2 = std::numeric_limits<double>::infinity();  ///< mean of the years, whole season
  bool every_point = false;  ///< run all of the grid in full and keep it; else only what may be on the front
};
/// Schedules that one question may hold for one planting.
inline constexpr std::size_t k_most_schedules = 100000;

/// One schedule for one planting.
struct TopUpPoint {
  std::string material_id;
  int interval_d = 0;
  double dose_g_per_plant = 0;
  int first_after_d = 0;
  MonthDay first, last;       ///< days of the first and the last top-up
  MonthDay until;             ///< as asked
  int top_ups = 0;            ///< a season; the most of any year
  int trips = 0;              ///< of these, dates on which nothing else in the garden is fed
  int kept = 0;               ///< years of all
  double leached_g_n_m2 = 0;  ///< mean of the years, whole season, from its ground
  double soluble_g_n_m2 = 0;  ///< in one dose
  double cost = 0;            ///< top-ups of one season, all plants of the planting
  bool scorches = false;      ///< above 5 g soluble N/m2 in one dose
  bool keeps = false;         ///< kept in the share of years asked for
};

/// What was done with the grid. Schedules of all plantings that were searched; a schedule is in the first of these that applies.
struct TopUpSearched {
  std::size_t schedules = 0;                             ///< of the grid
  std::size_t same_dates = 0;                            ///< another gives the same on the same days
  std::size_t scorching = 0;                             ///< left out
  std::size_t short_too_often = 0;                       ///< in more years than allowed
  std::size_t washing = 0;                               ///< leach more than is allowed
  std::size_t beaten = 0;                                ///< another keeps it and is no worse in any aim, and better in one
  std::size_t left = 0;                                  ///< feasible, and not beaten: the front
  std::size_t seasons_asked = 0;                         ///< years x schedules of the grid, and the feeding as it is
  std::size_t seasons_run = 0;                           ///< of those, begun, whether to the end or not
  TopUpSearched& operator+=(const TopUpSearched& more);  ///< sums
};

/// What would have to give where nothing is feasible; the first that suffices, in this order.
enum class TopUpGives { nothing, leached, scorch, years };
const char* name_of(TopUpGives gives);

struct PlantingTopUp {
  std::string name;
  int count = 0;
  double area_m2 = 0;
  int kept_without = 0;  ///< years kept with the scenario's own feeding alone
  double leached_without_g_n_m2 = 0;
  bool needs_none = false;            ///< that is enough already, within the limits: nothing was searched
  std::vector<TopUpPoint> front;      ///< feasible ones of which no other is better, what is preferred first
  std::optional<TopUpPoint> best;     ///< the first of these
  int custom_interval_d = 0;          ///< 28 or 42, whichever is nearer to the best's; 0 where there is no best
  int custom_kept = 0;                ///< years kept at that interval, all else as in the best
  std::optional<TopUpPoint> nearest;  ///< where nothing is feasible: what would do if `gives` gave, or the one kept most often
  TopUpGives gives = TopUpGives::nothing;
  std::vector<TopUpPoint> grid;  ///< only with every_point: by material, first day, last day, interval, dose, in the question's order
  TopUpSearched searched;
};

/// One calendar for the whole garden.
struct GardenTopUp {
  int interval_d = 0, first_after_d = 0;
  MonthDay first, last, until;
  int top_ups = 0, trips = 0;
  double cost = 0;
  double leached_g_n_m2 = 0;       ///< mean over the ground of all plantings asked about
  std::vector<TopUpPoint> points;  ///< of the plantings that need any, in order: the cheapest that keeps each
  std::vector<std::size_t> of;     ///< index into TopUpResult::plantings
};
struct TogetherTopUp {
  std::vector<GardenTopUp> front;  ///< what is preferred first
  std::optional<GardenTopUp> best;
  std::vector<std::size_t> blocked;  ///< where no calendar does: plantings that none keeps; empty where each has one, but no two the same
  std::size_t calendars = 0;
};

struct TopUpResult {
  std::string garden, note, weather_note, currency;
  TopUpQuestion asked;  ///< with all aims and last days
  MonthDay carry_to;
  std::vector<int> seasons;
  int years_wanted = 0;
  struct Feed {
    std::string id, title;
    double handful_g = 0;
    std::vector<double> doses_g_per_plant;
  };
  std::vector<Feed> feeds;  ///< in the question's order
  std::vector<PlantingTopUp> plantings;
  std::optional<TogetherTopUp> together;
  TopUpSearched searched;
  std::vector<std::string> feed_words;  ///< the scenario's own feeding, which stays
  std::vector<Caution> cautions;
  std::vector<std::string> notes;
  std::size_t plantings_asked = 0;
  bool stopped = false;  ///< then `plantings` holds those that were answered

  const Feed& feed(const std::string& id) const;
};

/// Every planting alone, or `together`; plantings do not compete for what is given. The same bytes whatever the number of threads. Throws
/// InputError for unknown names or a grid that is empty, too large or out of bounds.
TopUpResult tune_top_ups(const Garden& garden, const TopUpQuestion& question, const Control& control = {});

}  // namespace leafhunger
