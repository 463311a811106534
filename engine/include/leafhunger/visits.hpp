// Several gardens fed by one person: the days of a season on which something is given, with what to load for each, whole bags, and what is
// left over. Bags are shared: a bag opened for one garden serves the next.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "leafhunger/garden.hpp"

namespace leafhunger {

/// A material to load for one garden on one day.
struct Load {
  std::size_t stock = 0;           ///< index into VisitsResult::stocks
  double kg = 0;                   ///< to load
  int bags = 0;                    ///< new ones to open for it; 0 where it is sold loose
  double left_kg = 0;              ///< in the open bag after it; 0 where it is sold loose
  std::vector<std::string> doses;  ///< what is given to what: "150 g (2 and a half handfuls) a square metre over Hungry bed"
};

struct Visit {
  Date on;
  std::size_t garden = 0;  ///< index into VisitsResult::gardens
  std::vector<Load> loads;
};

/// What all visits take of one material, of one bag and price; a material that two gardens buy otherwise is in two of these.
struct Stock {
  std::string material_id, title, currency;
  double kg = 0, bag_kg = 0, price_per_kg = 0;
  int bags = 0;        ///< to buy; 0 where it is sold loose
  double left_kg = 0;  ///< of the last bag
  double cost = 0;     ///< of the bags, or of what is used where it is sold loose
};

/// A garden whose file was refused, and the sentence that says why.
struct RefusedGarden {
  std::string file, sentence;
};

struct VisitsResult {
  int season = 0;
  std::vector<std::string> gardens;      ///< their names; two of one name have their files beside it
  std::vector<Visit> visits;             ///< by day, those of a day in the order of `gardens`
  std::vector<Stock> stocks;             ///< in the order of their first use
  std::vector<RefusedGarden> refused;    ///< not in the table
  std::vector<std::string> passed_over;  ///< files of a folder that are no garden
  std::vector<std::string> notes;
};

/// The scenario files that `paths` name, each once: a file is itself, a folder all its files that end in .json, by name. Of a folder, one
/// that is whole JSON without the keys of a garden goes to `passed_over`. Throws InputError for a path where nothing is, a folder without
/// any garden, and more than k_most_gardens.
std::vector<std::string> garden_files(const std::vector<std::string>& paths, std::vector<std::string>& passed_over);
inline constexpr std::size_t k_most_gardens = 200;

/// Visits to `gardens` in a season, of which no weather is needed. What a diary says was given already is left out, and said. `refused` and
/// `passed_over` are handed through.
VisitsResult plan_visits(const std::vector<Garden>& gardens, int season, std::vector<RefusedGarden> refused = {},
                         std::vector<std::string> passed_over = {});

/// A table of 80 columns; `more`: also what of it goes where.
std::string in_words(const VisitsResult& result, bool more);
std::string in_json(const VisitsResult& result);
/// A page to print and take along, with a box to tick for each visit.
std::string in_html(const VisitsResult& result);

}  // namespace leafhunger
