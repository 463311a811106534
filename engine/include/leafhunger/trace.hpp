// Every state of one column, day by day, beside the forcings it ran under: for checks against other solvers and for curious readers.
#pragma once

#include <string>
#include <vector>

#include "leafhunger/garden.hpp"

namespace leafhunger {

struct Trace {
  std::vector<std::string> rows;  ///< names of the states, such as "slot 0: fast in soil", "ammonium, layer 1", "plant", "dry matter"
  std::vector<double> start;      ///< [rows], at 00 of the first day, before that day's events
  std::vector<double> states;     ///< [days][rows], at 24:00 of each day
  std::size_t days = 0;
  SoilClimate climate;  ///< the forcings
  struct Given {
    std::size_t day, slot;
    double kg_n_ha, watered_in_mm;
  };
  std::vector<Given> doses;
  std::vector<std::string> slot_material;  ///< catalogue id of each slot
  std::size_t evaluations = 0;             ///< of the right-hand side
};

enum class StepperKind { reference, batch };

/// Runs one column (index into SeasonResult::columns) with either stepper. Tolerances are the reference stepper's; `refine` multiplies the
/// batch stepper's steps.
Trace trace_column(const Garden& garden, std::size_t column, int season, StepperKind stepper, double absolute_kg_ha = 1e-7,
                   double relative = 1e-7, int refine = 1);

}  // namespace leafhunger
