// Two ways through a day. The reference is Odeint's controlled Dormand-Prince, one member at a time. The production stepper takes classical
// Runge-Kutta steps over a whole batch; how many is a function of each lane's own data, so a member's bytes do not depend on its
// neighbours.
#pragma once

#include <cstddef>
#include <memory>
#include <vector>

#include "column.hpp"

namespace leafhunger {

/// No pool may end a step below this, kg/ha; a step that would is halved and redone, never clipped (that would break the ledger).
inline constexpr double k_least_kg_ha = -1e-9;

class Stepper {
 public:
  virtual ~Stepper() = default;
  /// From 00 to 24 of the day that `column.begin_day` has begun. Throws SolverError naming day, pool and value.
  virtual void day(ColumnBatch& column, std::size_t d) = 0;
  std::size_t evaluations() const { return evaluations_; }

 protected:
  std::size_t evaluations_ = 0;
};

struct Tolerance {
  double absolute_kg_ha = 1e-7, relative = 1e-7;
};

/// Needs a batch of one lane. Carries labels along where the column has them.
std::unique_ptr<Stepper> make_reference_stepper(Tolerance tolerance = {});
/// `refine` multiplies the number of steps: 1 in production, more to measure its error.
std::unique_ptr<Stepper> make_batch_stepper(int refine = 1);

}  // namespace leafhunger
