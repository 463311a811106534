// Many schedules in one season: they go on from a common trunk, and each is run only as far as is wanted.
#pragma once

#include <limits>
#include <span>
#include <vector>

#include "column.hpp"
#include "kept_so_far.hpp"

namespace leafhunger {

/// A member on the morning of some day. Members that are the same until then may go on from it.
struct Trunk {
  std::size_t day = 0;  ///< 0: none; everything starts with the season
  ColumnBatch::Checkpoint checkpoint;
  KeptSoFar judged;
  double leached_kg_n_ha = 0;  ///< washed out by then
};

/// Runs `member` to the morning of `day`, from the season's start or from an earlier trunk of its own.
Trunk run_trunk(const ColumnShape& shape, const Member& member, std::size_t day, std::size_t until, DayFactors& factors,
                const Trunk& from = {});

/// How far a member is wanted.
struct Wanted {
  bool to_the_end = true;                                                    ///< else until it is known whether it is kept
  bool even_short = true;                                                    ///< else it is given up once it has run short
  double leached_at_most_kg_n_ha = std::numeric_limits<double>::infinity();  ///< it is given up once more has washed out
};

struct Told {
  bool kept = false;           ///< to `until`; only where decided
  bool decided = false;        ///< else given up before that was known
  bool to_the_end = false;     ///< run to the season's last day
  double leached_kg_n_ha = 0;  ///< until it was given up, or of the whole season
};

/// Runs members in batches of at most `lanes`, all from `trunk`, with the production stepper. A batch ends as soon as none of its members
/// is wanted further. What is told of a member does not depend on the others, but that one with company may be run further than it is
/// wanted: then `decided`, `to_the_end` and `leached_kg_n_ha` still stand where it was given up. Members need the same `until`. Throws
/// LedgerError where the ledger of a member does not close on the day that its batch ended.
void run_as_wanted(const ColumnShape& shape, std::span<const Member> members, std::span<const Wanted> wanted, std::size_t until,
                   DayFactors& factors, const Trunk& trunk, std::span<Told> told, std::size_t lanes = 16);

}  // namespace leafhunger
