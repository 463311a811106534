// CVODE as one more way through a day, on the engine's own right-hand side: restarted each day, since forcings jump at 00.
#pragma once

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_context.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>

#include <algorithm>
#include <memory>
#include <stdexcept>

#include "core/stepper.hpp"

namespace leafhunger::bench {

class CvodeStepper final : public Stepper {
 public:
  /// `method` is CV_BDF (Newton, dense Jacobian by differences) or CV_ADAMS (functional iteration).
  CvodeStepper(int method, Tolerance tolerance) : method_(method), tolerance_(tolerance) { SUNContext_Create(nullptr, &context_); }
  ~CvodeStepper() override {
    if (memory_) CVodeFree(&memory_);
    if (fixed_point_) SUNNonlinSolFree(fixed_point_);
    if (solver_) SUNLinSolFree(solver_);
    if (matrix_) SUNMatDestroy(matrix_);
    if (y_) N_VDestroy(y_);
    SUNContext_Free(&context_);
  }
  CvodeStepper(const CvodeStepper&) = delete;
  CvodeStepper& operator=(const CvodeStepper&) = delete;

  void day(ColumnBatch& column, std::size_t) override {
    if (!column.running(0)) return;
    const std::size_t n = column.map().rows;
    column_ = &column;
    if (!memory_) set_up(n);
    std::copy(column.state(), column.state() + n, N_VGetArrayPointer(y_));
    check(CVodeReInit(memory_, 0, y_));
    check(CVodeSetStopTime(memory_, 1));
    double t = 0;
    while (t < 1) check(CVode(memory_, 1, y_, &t, CV_NORMAL));
    std::copy_n(N_VGetArrayPointer(y_), n, column.state());
  }

 private:
  static void check(int flag) {
    if (flag < 0) throw std::runtime_error("CVODE failed with " + std::to_string(flag));
  }
  static int rates(double, N_Vector y, N_Vector dy, void* self) {
    auto& me = *static_cast<CvodeStepper*>(self);
    ++me.evaluations_;
    me.column_->rates(N_VGetArrayPointer(y), N_VGetArrayPointer(dy));
    return 0;
  }
  void set_up(std::size_t n) {
    const auto size = static_cast<sunindextype>(n);
    y_ = N_VNew_Serial(size, context_);
    N_VConst(0, y_);
    memory_ = CVodeCreate(method_, context_);
    check(CVodeInit(memory_, rates, 0, y_));
    check(CVodeSStolerances(memory_, tolerance_.relative, tolerance_.absolute_kg_ha));
    check(CVodeSetUserData(memory_, this));
    check(CVodeSetMaxNumSteps(memory_, 100000));
    if (method_ == CV_BDF) {
      matrix_ = SUNDenseMatrix(size, size, context_);
      solver_ = SUNLinSol_Dense(y_, matrix_, context_);
      check(CVodeSetLinearSolver(memory_, solver_, matrix_));
    } else {
      fixed_point_ = SUNNonlinSol_FixedPoint(y_, 0, context_);
      check(CVodeSetNonlinearSolver(memory_, fixed_point_));
    }
  }

  int method_;
  Tolerance tolerance_;
  SUNContext context_ = nullptr;
  void* memory_ = nullptr;
  N_Vector y_ = nullptr;
  SUNMatrix matrix_ = nullptr;
  SUNLinearSolver solver_ = nullptr;
  SUNNonlinearSolver fixed_point_ = nullptr;
  ColumnBatch* column_ = nullptr;
};

}  // namespace leafhunger::bench
