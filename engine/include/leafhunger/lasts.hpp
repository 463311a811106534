// The same garden and feeding over every season that the weather covers: how often is each planting carried to the date?
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "leafhunger/control.hpp"
#include "leafhunger/garden.hpp"

namespace leafhunger {

/// One planting in one season.
struct YearVerdict {
  int season = 0;
  Verdict verdict;
  std::optional<Date> first_short;
  double taken_kg_n_ha = 0, leached_kg_n_ha = 0;
};

struct PlantingYears {
  std::string name;
  Hunger hunger = Hunger::moderate;
  bool fed = false;
  std::vector<YearVerdict> years, unfed;  ///< with the scenario's feeding, and without; by season, ascending
  int kept = 0;                           ///< years not short by the date and awake
  int kept_unfed = 0;
  int slept = 0;                              ///< years in which it never woke
  int thirsty = 0;                            ///< years in which water, not feed, was the limit
  std::optional<MonthDay> usual_first_short;  ///< median over the years that ran short by the date
  MonthDay kept_nine_in_ten;                  ///< last day up to which it was kept in 9 years of 10
  bool kept_whole_season = false;             ///< that day is the season's last
};

struct LastsResult {
  std::string garden, note, weather_note;
  MonthDay carry_to;
  std::vector<int> seasons;
  std::vector<PlantingYears> plantings;  ///< in the scenario's order
  std::vector<std::string> feed_words, notes;
  bool stopped = false;  ///< then `plantings` holds those that were answered
};

/// Runs every season on all cores; the same bytes whatever their number.
LastsResult how_often_it_lasts(const Garden& garden, const Control& control = {});

/// Years of n that count as "9 of 10": ceil(0.9 n).
int nine_in_ten(int n);

}  // namespace leafhunger
