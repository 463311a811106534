#include <algorithm>
#include <cmath>

#include "leafhunger/error.hpp"
#include "row_name.hpp"
#include "stepper.hpp"
#include "stepper_fast.hpp"

namespace leafhunger {
namespace {

// Classical Runge-Kutta keeps the linear part positive while step x fastest rate <= 1; a quarter of that also meets the accuracy that
// tests/python/oracle/agreement.md states (equations.md 10).
constexpr int k_fewest_steps = 4;
constexpr double k_steps_per_rate = 5;
constexpr int k_most_halvings = 10;

class BatchStepper final : public Stepper {
 public:
  explicit BatchStepper(int refine) : refine_(refine) {}

  void day(ColumnBatch& column, std::size_t d) override {
    const std::size_t lanes = column.lanes(), size = column.map().rows * lanes;
    for (auto* a : {&before_, &k1_, &k2_, &k3_, &k4_, &stage_}) a->resize(size);
    steps_.resize(lanes), h_.resize(lanes), part_.resize(lanes), active_.resize(lanes);
    // Lanes past the members stand still.
    for (std::size_t i = 0; i < lanes; ++i) active_[i] = i < column.members().size() && column.running(i);
    std::copy(column.state(), column.state() + size, before_.begin());
    if (take_fast_lanes(column)) return;
    for (std::size_t i = 0; i < lanes; ++i)
      steps_[i] = refine_ * std::max(k_fewest_steps, static_cast<int>(std::ceil(k_steps_per_rate * column.fastest_per_day(i))));
    for (int halving = 0;; ++halving) {
      integrate(column);
      bool again = false;
      for (std::size_t i = 0; i < lanes; ++i) {
        active_[i] = active_[i] && !sound(column, i);
        again = again || active_[i];
      }
      if (!again) return;
      if (halving == k_most_halvings) fail(column, d);
      // Only the lanes that went wrong start the day again, with half the step.
      for (std::size_t i = 0; i < lanes; ++i) {
        if (!active_[i]) continue;
        steps_[i] *= 2;
        restore(column, i);
      }
    }
  }

 private:
  void restore(ColumnBatch& column, std::size_t lane) const {
    const std::size_t lanes = column.lanes();
    for (std::size_t r = 0; r < column.map().rows; ++r) column.state()[r * lanes + lane] = before_[r * lanes + lane];
  }

  // True where that was all. A lane that comes out unsound starts the day again the long way.
  bool take_fast_lanes(ColumnBatch& column) {
    const std::size_t lanes = column.lanes(), size = column.map().rows * lanes;
    FastDay& fast = column.fast_day();
    fast_.resize(lanes);
    bool any = false;
    for (std::size_t i = 0; i < lanes; ++i) {
      fast_[i] = active_[i] && fast.serves(i);
      any = any || fast_[i];
    }
    if (any) evaluations_ += fast.day(fast_, refine_);
    if (FastDay::all_at_least(column.state(), size, k_least_kg_ha)) {
      for (std::size_t i = 0; i < lanes; ++i) active_[i] = active_[i] && !fast_[i];
    } else {
      for (std::size_t i = 0; i < lanes; ++i)
        if (fast_[i]) {
          active_[i] = !sound(column, i);
          if (active_[i]) restore(column, i);
        }
    }
    return std::none_of(active_.begin(), active_.end(), [](char a) { return a != 0; });
  }

  void integrate(ColumnBatch& column) {
    const std::size_t lanes = column.lanes(), rows = column.map().rows;
    int most = 0;
    for (std::size_t i = 0; i < lanes; ++i)
      if (active_[i]) most = std::max(most, steps_[i]);
    double* y = column.state();
    const auto to_stage = [&](const AlignedRows& k, double share) {
      for (std::size_t i = 0; i < lanes; ++i) part_[i] = share * h_[i];
      for (std::size_t r = 0; r < rows; ++r) {
        const double *from = y + r * lanes, *rate = k.data() + r * lanes, *part = part_.data();
        double* to = stage_.data() + r * lanes;
#pragma GCC ivdep
        for (std::size_t i = 0; i < lanes; ++i) to[i] = from[i] + part[i] * rate[i];
      }
    };
    for (int step = 0; step < most; ++step) {
      // A lane that has taken its own number of steps stands still.
      for (std::size_t i = 0; i < lanes; ++i) h_[i] = active_[i] && step < steps_[i] ? 1.0 / steps_[i] : 0.0;
      column.rates(y, k1_.data());
      to_stage(k1_, 0.5);
      column.rates(stage_.data(), k2_.data());
      to_stage(k2_, 0.5);
      column.rates(stage_.data(), k3_.data());
      to_stage(k3_, 1);
      column.rates(stage_.data(), k4_.data());
      for (std::size_t i = 0; i < lanes; ++i) part_[i] = h_[i] / 6;
      for (std::size_t r = 0; r < rows; ++r) {
        const std::size_t at = r * lanes;
        const double *k1 = &k1_[at], *k2 = &k2_[at], *k3 = &k3_[at], *k4 = &k4_[at], *part = part_.data();
        double* to = y + at;
#pragma GCC ivdep
        for (std::size_t i = 0; i < lanes; ++i) to[i] += part[i] * (k1[i] + 2 * (k2[i] + k3[i]) + k4[i]);
      }
      evaluations_ += 4;
    }
  }

  static bool sound(const ColumnBatch& column, std::size_t lane) {
    for (std::size_t r = 0; r < column.map().rows; ++r) {
      const double x = column.at(r, lane);
      if (!(x >= k_least_kg_ha && std::isfinite(x))) return false;
    }
    return true;
  }

  [[noreturn]] void fail(const ColumnBatch& column, std::size_t d) const {
    const auto lane = static_cast<std::size_t>(std::find(active_.begin(), active_.end(), true) - active_.begin());
    std::vector<double> state;
    for (std::size_t r = 0; r < column.map().rows; ++r) state.push_back(column.at(r, lane));
    const std::size_t member = std::min(lane, column.members().size() - 1);
    throw SolverError("the integration failed on " +
                      to_iso(column.members()[member].climate->first + std::chrono::days{static_cast<long>(d)}) + " even with " +
                      std::to_string(steps_[lane]) + " steps a day; " + worst_rows(column, state));
  }

  int refine_;
  AlignedRows before_, k1_, k2_, k3_, k4_, stage_;
  std::vector<int> steps_;
  std::vector<double> h_, part_;  // step of each lane, d, and its share in the sum at hand
  std::vector<char> active_, fast_;
};

}  // namespace

std::unique_ptr<Stepper> make_batch_stepper(int refine) { return std::make_unique<BatchStepper>(refine); }

}  // namespace leafhunger
