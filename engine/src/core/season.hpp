// One season of columns: from 1 November to the end, a day at a time, whichever stepper.
#pragma once

#include <functional>
#include <vector>

#include "column.hpp"
#include "leafhunger/ledger.hpp"
#include "leafhunger/verdict.hpp"
#include "stepper.hpp"

namespace leafhunger {

/// The ledger of a lane now. `start` is its ledger on the first day (mineral and plant N), `given` what has been fed so far.
Ledger ledger_of(const ColumnBatch& column, std::size_t lane);
/// Throws LedgerError naming the column where it does not close to 1e-9 of what came in.
void require_closed(const Ledger& ledger, const std::string& column);

/// Everything of one column through a season, for people to look at. Rows are days; per layer [day * layers + layer]; kg N/ha.
struct ColumnSeason {
  PlantDays plant;
  std::vector<double> ammonium, nitrate;  ///< per layer
  std::vector<double> unfreed, microbes, humus, leached, volatilised, denitrified, taken, from_soil, fixed, given, reserve, litter, need;
  Ledger ledger;
  std::vector<Ledger> by_source;  ///< one a label: where the N of each source is at the end
  std::size_t evaluations = 0;
};

/// Runs one member with the reference stepper, labelled: `sources` feedings, then soil, mineral at start, plant at start, fixed.
ColumnSeason run_labelled(const ColumnShape& shape, const Member& member, std::size_t sources, const std::string& name,
                          Tolerance tolerance = {});

/// What a search or an ensemble keeps of a member.
struct Brief {
  PlantDays plant;
  Ledger ledger;
};
/// Members side by side in a batch, at most. What a day costs once is shared by all of them; they still fit into the second cache.
constexpr std::size_t k_most_lanes = 120;
/// Fewest lanes that hold so many members, or `most`.
std::size_t lanes_for(std::size_t members, std::size_t most);
/// Runs members with the production stepper in batches of at most `lanes`, 1 or a multiple of 8, those that share their weather side by
/// side. Order of results is that of the members. Where batches that follow one another hold members that differ in their doses alone, and
/// not before some day, only the first of them runs the days before.
/// `use(i, brief)` gets each as its batch ends, so that not all need be kept at once.
void run_each(const ColumnShape& shape, std::span<const Member> members, const std::function<void(std::size_t, Brief&&)>& use,
              std::size_t lanes = k_most_lanes);
std::vector<Brief> run_batch(const ColumnShape& shape, std::span<const Member> members, std::size_t lanes = k_most_lanes);

}  // namespace leafhunger
