// A day of all lanes at once where no feed starves or bends: what production runs on most days.
//
// Within such a day the pools of a feed are linear with constant coefficients, whatever the soil does. So they are taken ahead, a stretch
// of several steps at once, by the series of their matrix exponential, at next to no cost for fast rates; what they free is a polynomial in
// time, of which each step of the soil sees start, end and a middle that gives it the right integral: the ledger closes as before. Soil and
// plant take classical Runge-Kutta steps, with critical N as a cubic over the day's growth. equations.md 10.
//
// A batch may have many lanes. What is the same for all is worked out once a day; then each block of sixteen takes all its steps before the
// next begins, so that what a stage touches stays close by.
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
    std::uint32_t from, to, coef,
        term;  // node of the slot; node or state row; where its coefficients begin in coef_, its terms in a stretch
  };
  struct Node {
    std::uint32_t row, at, term, edges;  // of the slot; where its lanes begin, its terms in a stretch; how many of `live` lead to it
  };
  struct SlotFeed {
    std::size_t first_row, nodes;  // pools and, last, surface ammonium
    std::vector<Edge> inner, outer;
    std::vector<char> leads;  // [nodes]: whether it leads anywhere on any day
    // On the day at hand: what carries anything in any lane.
    std::vector<char> frees;            // [nodes]
    std::vector<Edge> live, sink, out;  // between nodes that lead somewhere; into those that never do; into other rows
    std::vector<Edge> soil;             // those of `out` that lead to mineral N; `to` counts from its first row
    std::vector<Node> node;             // those that lead somewhere, and free or get anything
  };

  bool holds(const SlotFeed& f, std::size_t lane) const;
  void plan_day(const std::vector<char>& active, int refine);
  template <class V>
  void plan_block(std::size_t b, double times);
  void plan_lanes(int refine);
  void count_steps(const SlotFeed& f, const double* rate);
  void plan_growth(const std::vector<char>& active);
  void count_corner_steps();

  template <class V>
  void count_block(const SlotFeed& f, const double* rate, std::size_t b);
  // Of one block of lanes.
  std::size_t lanes_of(std::size_t block) const;  // its own
  std::size_t width_of(std::size_t block) const;  // 1, 4, 8 or 16: those of them that hold members, and few others
  template <class V>
  void stretch_block(std::size_t block);
  template <class V>
  void feed_block(std::size_t block);
  template <class V, bool plant, bool gas>
  static void reach_block(double* work, const double* mineral, std::size_t n);
  template <class V>
  static void want_block(double* work, const double* plant, std::size_t n);
  template <class V, bool plant, bool gas, bool first, bool last>
  void stage_block(double* work, double* all, int stage, std::size_t n);
  template <class V>
  void feed_rows(std::size_t block);
  template <class V, bool plant, bool gas>
  void stage_layers(std::size_t block, int stage, std::size_t n);
  template <class V>
  void stage_rows(std::size_t block, int stage);
  template <class V>
  void grow_block(std::size_t block, int stage);
  void grow(std::size_t block);
  void begin_step(std::size_t block, int step);
  void to_block(const AlignedRows& from, std::size_t block, AlignedRows& to) const;
  void gather_constants(std::size_t block);
  void gather(std::size_t block);
  void scatter(std::size_t block);
  template <class V>
  void steps(std::size_t block);
  void steps_four(std::size_t block);
  void steps_eight(std::size_t block);
  void take_steps(std::size_t block);

  double* planned(int row);
  double* rows_of(std::size_t block);
  double* row_of(std::size_t block, int row);

  static const bool wide_;  // this machine has registers for eight
  ColumnBatch& c_;
  std::size_t lanes_, n_;
  bool can_ = true;
  std::vector<SlotFeed> feeds_;
  bool any_feed_ = false, grows_ = false, wants_ = false, plant_ = false, gas_ = false;
  double fast_share_ = 0;
  int most_terms_ = 0, most_pieces_ = 0;  // of all lanes
  std::vector<int> most_;                 // steps, [blocks]
  std::size_t block_size_ = 0, parameter_size_ = 0, factor_size_ = 0;
  AlignedRows work_;                // [blocks]: what a stage reads and writes, Rows of stepper_fast.cpp
  AlignedRows planned_;             // [n_planned][lanes]
  AlignedRows parameter_, factor_;  // [blocks]: the plant's, rows as long as the block has lanes
  // Stretches of the feeds, [lanes]: length of one that begins, d; pieces, more than one only where it is one step; terms; steps a day, in
  // one at most and in this one; steps into it; its own time, 0 to 1, at the step's end.
  AlignedRows stretch_, pieces_, terms_, per_step_, most_span_, now_span_, into_, end_;
  AlignedRows step_length_;               // [lanes], d
  AlignedRows weight_;                    // [terms][lanes]: of each term in the integral
  AlignedRows inflow_;                    // [3 layers][terms][lanes]: what feeds free into the soil over a stretch, kg/ha/d
  AlignedRows from_, mean_, to_, until_;  // [3 layers][lanes]: of a stretch in pieces; integral so far
  AlignedRows feed_fastest_, feed_steps_, out_rate_, node_w_;  // [lanes]; out_rate_ [nodes of all slots][lanes]
  AlignedRows w_rate_, w_sum_, corner_steps_;                  // [lanes]
  std::vector<std::uint32_t> fed_rows_;
  std::vector<char> fed_;             // [3 layers]
  std::vector<char> moves_, denies_;  // [layers]: whether water leaves it, nitrate turns to gas, in any lane
};

}  // namespace leafhunger
