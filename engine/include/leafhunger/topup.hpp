// How far apart may top-ups be? A plain grid of interval and dose, run in full over every season of the weather.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "leafhunger/garden.hpp"
#include "leafhunger/lasts.hpp"

namespace leafhunger {

struct TopUpQuestion {
  std::string material;                ///< catalogue id
  std::vector<std::string> plantings;  ///< empty: those of greedy plants
  std::vector<int> intervals_d{14, 21, 28, 35, 42, 49, 56, 63, 70};
  std::vector<double> doses_g_per_plant;  ///< empty: 1/2, 1, 1 1/2, 2, 3 and 4 handfuls
  int first_after_d = 30;                 ///< from the planting's first feeding; without one, from 15 April
  MonthDay until{8, 31};                  ///< no top-up after this day
};

/// One point of the grid for one planting.
struct TopUpPoint {
  int interval_d = 0;
  double dose_g_per_plant = 0;
  int top_ups = 0;            ///< a season
  int kept = 0;               ///< years of all
  double leached_g_n_m2 = 0;  ///< mean of the years, whole season
  double soluble_g_n_m2 = 0;  ///< in one dose
  double cost = 0;            ///< top-ups of one season, all plants of the planting
  bool scorches = false;      ///< above 5 g soluble N/m2 in one dose
  bool keeps = false;         ///< kept in 9 years of 10
};

struct PlantingTopUp {
  std::string name;
  int count = 0;
  double area_m2 = 0;
  int kept_without = 0;             ///< years kept with the scenario's own feeding alone
  MonthDay first;                   ///< date of the first top-up
  std::vector<TopUpPoint> grid;     ///< intervals in the question's order, doses within
  std::optional<std::size_t> best;  ///< index into grid: longest interval that keeps it without scorch, smallest dose at that
};

struct TopUpResult {
  std::string garden, note, weather_note, currency, material_id, material_title;
  MonthDay carry_to, until;
  std::vector<int> seasons;
  int years_wanted = 0;  ///< ceil(0.9 years)
  double handful_g = 0;
  std::vector<PlantingTopUp> plantings;
  std::vector<std::string> feed_words;  ///< the scenario's own feeding, which stays
  std::vector<Caution> cautions;
  std::vector<std::string> notes;
  std::size_t seasons_run = 0;
};

/// Every planting alone; plantings do not compete. Throws InputError for unknown names or an empty grid.
TopUpResult tune_top_ups(const Garden& garden, const TopUpQuestion& question);

}  // namespace leafhunger
