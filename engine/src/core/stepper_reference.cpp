#include <algorithm>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/generation.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <boost/numeric/odeint/util/is_resizeable.hpp>
#include <cmath>
#include <string>

#include "leafhunger/error.hpp"
#include "row_name.hpp"
#include "stepper.hpp"

namespace leafhunger {
namespace {

namespace odeint = boost::numeric::odeint;
using State = std::vector<double>;

constexpr double k_first_step_d = 0.25, k_least_step_d = 1e-9;
constexpr int k_most_steps = 20000;  // a day; ordinary ones take 3 to 20

class ReferenceStepper final : public Stepper {
 public:
  explicit ReferenceStepper(Tolerance t)
      : tolerance_(t), stepper_(odeint::make_controlled<odeint::runge_kutta_dopri5<State>>(t.absolute_kg_ha, t.relative)) {}

  void day(ColumnBatch& column, std::size_t d) override {
    if (!column.running(0)) return;
    const std::size_t n = column.map().rows, m = column.map().nitrogen_rows * column.labels();
    state_.resize(n + m);
    std::copy(column.state(), column.state() + n, state_.begin());
    if (m > 0) std::copy(column.label_state(), column.label_state() + m, state_.begin() + static_cast<std::ptrdiff_t>(n));
    const auto rates = [&](const State& y, State& dy, double) {
      ++evaluations_;
      column.rates(y.data(), dy.data());
      if (m > 0) column.label_rates(y.data() + n, dy.data() + n);
    };

    // Our own loop around try_step: Odeint accepts NaN without a word and knows no floor below which a pool may not sink.
    stepper_.reset();
    rejected_.clear();
    double t = 0, step = k_first_step_d;
    for (int tried = 0; t < 1; ++tried) {
      if (tried == k_most_steps || step < k_least_step_d) fail(column, d, t, "the step became too small");
      before_ = state_;
      const double t_before = t;
      // The last step lands on 24:00 exactly; a sliver beyond it is not worth a step.
      double tried_step = step >= 1 - t - k_least_step_d ? 1 - t : step;
      const bool last = tried_step == 1 - t;
      const auto result = stepper_.try_step(rates, state_, t, tried_step);
      if (result == odeint::success && !sound(n)) {
        if (!std::all_of(state_.begin(), state_.end(), [](double x) { return std::isfinite(x); }))
          fail(column, d, t, "a state is not finite");
        rejected_ = state_;
        state_ = before_;
        step = (t - t_before) / 2;
        t = t_before;
        stepper_.reset();
        continue;
      }
      if (result == odeint::success && last) t = 1;
      step = tried_step;
    }
    std::copy(state_.begin(), state_.begin() + static_cast<std::ptrdiff_t>(n), column.state());
    if (m > 0) std::copy(state_.begin() + static_cast<std::ptrdiff_t>(n), state_.end(), column.label_state());
  }

 private:
  // Labels may be a rounding below zero; the pools themselves may not.
  bool sound(std::size_t n) const {
    for (std::size_t i = 0; i < state_.size(); ++i)
      if (!std::isfinite(state_[i]) || (i < n && state_[i] < k_least_kg_ha)) return false;
    return true;
  }

  [[noreturn]] void fail(const ColumnBatch& column, std::size_t d, double t, const std::string& why) const {
    throw SolverError("the integration failed on " + to_iso(column.members()[0].climate->first + std::chrono::days{static_cast<long>(d)}) +
                      " at " + std::to_string(t * 24) + " h: " + why + "; " + worst_rows(column, rejected_.empty() ? state_ : rejected_));
  }

  Tolerance tolerance_;
  odeint::result_of::make_controlled<odeint::runge_kutta_dopri5<State>>::type stepper_;
  State state_, before_, rejected_;  // rejected_: what the last step that had to be redone came to, for the sentence of a failure
};

}  // namespace

std::unique_ptr<Stepper> make_reference_stepper(Tolerance tolerance) { return std::make_unique<ReferenceStepper>(tolerance); }

}  // namespace leafhunger
