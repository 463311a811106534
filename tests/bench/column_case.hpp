// What is timed: the column of one-column.json, in any number of seasons and schedules, with other layers, days or feedings where asked.
#pragma once

#include <memory>
#include <vector>

#include "core/season.hpp"
#include "leafhunger/garden.hpp"

namespace leafhunger::bench {

struct Shape {
  std::vector<double> layers_mm = {50, 100, 150, 300};
  int seasons_long = 1;  ///< days: the season's own year so many times over, fed each time
  int feedings = 3;
  bool one_material = true;  ///< else every other feeding is of a second material
};

/// Holds what its members point at.
class ColumnCase {
 public:
  explicit ColumnCase(const Shape& shape = {});
  ~ColumnCase();
  ColumnCase(const ColumnCase&) = delete;
  ColumnCase& operator=(const ColumnCase&) = delete;

  const ColumnShape& shape() const;
  /// n members: years by blocks, schedules (dates and doses) all different. Like a search's, where neighbours share their weather.
  std::vector<Member> search(std::size_t n) const;
  /// The same, with figures of material, soil nitrogen and plant of its own in each. Like an ensemble's.
  std::vector<Member> ensemble(std::size_t n);
  /// The scenario as it stands, in its season.
  Member plain() const;
  std::size_t days() const;

 private:
  struct Held;
  std::unique_ptr<Held> held_;
};

}  // namespace leafhunger::bench
