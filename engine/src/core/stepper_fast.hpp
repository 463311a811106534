// A day of all lanes at once where no feed starves or bends: what production runs on most days.
//
// Within such a day the pools of a feed are linear with constant coefficients, whatever the soil does. So they are taken ahead by the
// series of their matrix exponential, at next to no cost for fast rates, and the soil sees what they free as a quadratic in time through
// start, middle and end of a step that has the right integral: the ledger closes as before. Soil and plant take classical Runge-Kutta
// steps, with critical N as a cubic over the day's growth. equations.md 10.
#pragma once

#include <cstdint>
#include <vector>

#include "column.hpp"

namespace leafhunger {

class FastDay {
 public:
  /// Plans for this column. The batch must outlive it.
  explicit FastDay(ColumnBatch& column);

  /// Whether this lane can take the day begun this way.
  bool serves(std::size_t lane) const;
  /// Takes the lanes of `active` from 00 to 24, leaves all others as they are. `refine` multiplies steps. May leave a lane below nought or
  /// not finite: look. Answers the evaluations of the right-hand side.
  std::size_t day(const std::vector<char>& active, int refine);

  /// Whether all of `y` are finite and none is below `least`. n is 1 or more; whole rows of lanes.
  static bool all_at_least(const double* y, std::size_t n, double least);

 private:
  struct Edge {
    std::uint32_t from, to, coef;  // node of the slot; node or state row; where its coefficients begin in coef_
  };
  struct SlotFeed {
    std::size_t first_row, nodes;  // pools and, last, surface ammonium
    std::vector<Edge> inner, outer;
    // On the day at hand: what carries anything in any lane.
    std::vector<Edge> live, sink, out;  // between live nodes; into nodes that lead nowhere; into other rows
    std::vector<Edge> soil;             // those of `out` that lead to mineral N; `to` counts from its first row
    std::vector<std::uint32_t> node;    // nodes that lead somewhere
  };

  bool holds(const SlotFeed& f, std::size_t lane) const;
  void plan_day(const std::vector<char>& active, int refine);
  void count_steps(const double* rate, const double* pool, const double* all);
  void plan_growth(const std::vector<char>& active);

  template <class V>
  void feed_block(std::size_t b, int step);
  template <class V, bool plant, bool gas, std::size_t layers>
  void stage_block(std::size_t b, int stage);
  template <class V>
  void close_block(std::size_t b);
  template <class V>
  void feed_rows(int step);
  template <class V, std::size_t layers>
  void stage_layers(std::size_t b, int stage);
  template <class V>
  void stage_rows(int stage);
  template <class V>
  void close_rows();
  void feed_four(int step);
  void stage_four(int stage);
  void close_four();
  void feed_eight(int step);
  void stage_eight(int stage);
  void close_eight();
  void feed_all(int step);
  void stage_all(int stage);
  void close_all();

  static const bool wide_;  // this machine has registers for eight
  ColumnBatch& c_;
  std::size_t lanes_, n_;
  bool can_ = true;
  std::vector<SlotFeed> feeds_;
  bool any_feed_ = false, grows_ = false, wants_ = false, plant_ = false, gas_ = false;
  int most_ = 0, most_inner_ = 0;
  std::vector<int> steps_, inner_;
  AlignedRows h_, part_, per_step_, feed_fastest_, feed_steps_, out_rate_;  // [lanes]; out_rate_ [nodes of all slots][lanes]
  AlignedRows at_start_, at_middle_, at_end_;                               // [3 layers][lanes]: what feeds free into the soil, kg/ha/d
  AlignedRows ys_, sum_;                                                    // stage state; weighted sum of rates
  AlignedRows w_stage_, w_rate_, w_sum_;                                    // [lanes]
  AlignedRows node_w_, crit_, w_first_, per_growth_, nni_, need_;           // critical N over the day's growth
  std::vector<char> fed_, crosses_;                                         // [3 layers]; [lanes]
};

}  // namespace leafhunger
