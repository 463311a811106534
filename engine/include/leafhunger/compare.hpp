// Two gardens, or one garden fed in two ways, side by side: what differs, and nothing else.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "leafhunger/garden.hpp"

namespace leafhunger {

/// What is done otherwise with every feeding of a scenario.
struct Change {
  std::string material;           ///< in place of what is given; empty: the same
  bool same_nitrogen = false;     ///< so much of it that the nitrogen stays the same; else the same weight
  double times = 1;               ///< so many times as much, above 0
  std::optional<MonthDay> first;  ///< day of the first feeding; those after it keep their distance
  bool any() const { return !material.empty() || times != 1 || first; }
};
/// The scenario fed so. Throws InputError where nothing is fed, or a day would leave the season.
Scenario changed(Scenario scenario, const Change& change);
/// "150 g where A gives 100, of poultry manure pellets ...": the change as words, such as "poultry manure pellets instead, half as much".
std::string in_words(const Change& change, const Catalogue& catalogue);

/// One side of it: the season that the scenario asks about, and all its years.
struct Side {
  std::string title;
  double given_g = 0, taken_g = 0, washed_g = 0, air_g = 0, gain_g = 0, cost = 0, carried_kg = 0;
  int trips = 0;
};
/// A planting by its name; what one side has not is none.
struct ComparedPlanting {
  std::string name;
  struct Years {
    int kept = 0, of = 0;
    MonthDay nine_in_ten;  ///< it lasts until then in 9 years of 10
    bool whole_season = false;
  };
  std::optional<Years> a, b;
  /// Whether the two sides answer otherwise.
  bool differs() const;
};
struct CompareResult {
  std::string currency, weather_note;
  MonthDay carry_to, season_start;
  int season_a = 0, season_b = 0;
  Side a, b;
  std::vector<ComparedPlanting> plantings;  ///< A's order, then what only B has
  std::vector<std::string> notes;           ///< such as weather that differs too
};

CompareResult compare(const Garden& a, const Garden& b, const std::string& title_a, const std::string& title_b);
/// Answer, table of what differs, what is the same.
std::string in_words(const CompareResult& result);
std::string in_json(const CompareResult& result);
/// A picture: for each planting that differs, until when each side lasts in 9 years of 10. The same bytes for the same result.
std::string in_svg(const CompareResult& result);

}  // namespace leafhunger
