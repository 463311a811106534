#include "stepper_fast.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <type_traits>
#include <utility>

#include "clones.hpp"
#include "plugin_call.hpp"

// Vectors are as wide as an instruction set's registers: GCC takes wider ones apart badly.
#define LEAFHUNGER_HERE __attribute__((always_inline))
#define LEAFHUNGER_INLINE LEAFHUNGER_HERE inline

namespace leafhunger {
namespace {

constexpr std::size_t k_block = 16;  // lanes that take a day together, out of as many as a batch has
constexpr std::size_t k_most_nodes = 24, k_most_layers = 16;
// Terms of the series: up to so much of rate x time its relative error is below 2e-6 with 4, 5, ... 13 of them.
constexpr int k_fewest_terms = 4, k_terms = 13;
constexpr double k_reach[] = {0.18, 0.33, 0.52, 0.72, 0.96, 1.2, 1.48, 1.77, 2.06, 2.36},
                 k_series_reach = k_reach[k_terms - k_fewest_terms];
constexpr std::uint32_t k_row_of_terms = k_terms + 1;
constexpr double k_over[k_terms + 1] = {0,       1,       1.0 / 2, 1.0 / 3,  1.0 / 4,  1.0 / 5,  1.0 / 6,
                                        1.0 / 7, 1.0 / 8, 1.0 / 9, 1.0 / 10, 1.0 / 11, 1.0 / 12, 1.0 / 13};
// Steps a day (equations.md 10). Soil: by its fastest rate; feeds: so that the soil follows their inflow; plants: by what they do.
constexpr double k_steps_per_soil_rate = 4, k_steps_per_growth = 100;
constexpr int k_fewest = 1, k_fewest_wanting = 2, k_most_for_growth = 3;
constexpr double k_ramp = 0.05;  // width of the ramp of want, of critical N
// Where what is wanted passes what is there, uptake turns a corner about a tenth wide: steps by how far it passes in the day, as a share of
// what is there. That decides the error of a plant's season.
constexpr double k_corner_begins = 0.9, k_corner_ends = 1.2, k_steps_per_reserve_passed = 20, k_steps_per_supply_passed = 14,
                 k_most_for_corner = 12;
constexpr double k_nothing = 1e-100;  // kg/ha: so that the product of two is not nought
constexpr double k_sated = 1e-6;      // of critical N: lacks no more than this, so that its want begins today
constexpr std::size_t k_critical_nodes = 4;
// The error goes with what a pool holds, kg/ha, and about the fourth power of rate x step: steps for each rate go with a root of it.
constexpr double k_steps_per_feed_rate = 1.1;  // at 1 kg/ha; x its fourth root
constexpr double k_passing_frac = 0.05;        // of all that a slot holds: what a pool that is empty in the morning may come to hold

// All that a stage touches, side by side for one block of lanes: rows of k_block for a column of n layers. A day of a block stays in the
// nearest cache, however many lanes the batch has.
struct Rows {
  std::size_t n;
  constexpr std::size_t nit_top() const { return 0; }
  constexpr std::size_t nit_half() const { return n; }
  constexpr std::size_t den_top() const { return 2 * n; }
  constexpr std::size_t den_half() const { return 3 * n; }
  constexpr std::size_t humus() const { return 4 * n; }
  constexpr std::size_t reach() const { return 5 * n; }
  constexpr std::size_t go() const { return 6 * n; }       // share of what moves down: ammonium, nitrate in fast and slow water
  constexpr std::size_t take() const { return 9 * n; }     // ammonium, nitrate
  constexpr std::size_t inflow() const { return 11 * n; }  // at a step's start, middle and end, 3 n each
  constexpr std::size_t states() const { return 20 * n; }  // 3 n of mineral N, plant N, reserve: at a step's start, then of later stages
  constexpr std::size_t in_state() const { return 3 * n + 2; }
  constexpr std::size_t made() const { return states() + 4 * in_state(); }  // nitrate, of ammonium
  constexpr std::size_t gas() const { return made() + n; }                  // share of nitrate that turns to it, 1/d
  constexpr std::size_t lanes() const { return gas() + n; }                 // the rest: one row each, see Lane
  constexpr std::size_t state(int stage) const { return states() + static_cast<std::size_t>(stage) * in_state(); }
  constexpr std::size_t at(int stage) const { return inflow() + (stage == 0 ? 0 : stage == 3 ? 6 * n : 3 * n); }
};
enum Lane {
  // Planned for the day.
  r_w_first,
  r_per_growth,
  r_acts,  // 1 where the plant wants or grows today, else 0
  r_crit,
  n_planned = r_crit + 4,
  // The plant's constants of the day.
  r_psi = n_planned,
  r_unreachable,
  r_luxury,
  r_want_rate,
  r_reserve_rate,
  r_fixed_frac,
  // Of a step and its stages.
  r_h,
  r_supply,
  r_share,
  r_back,
  r_fixed,
  r_nni,
  r_w_stage,
  r_leached_sum,
  r_denitrified_sum,
  r_taken_sum,
  r_fixed_sum,
  n_lane_rows
};

using Four = double __attribute__((vector_size(32)));
using Eight = double __attribute__((vector_size(64)));
template <class V>
constexpr std::size_t k_width = sizeof(V) / sizeof(double);

// Registers of lanes that go through the same work together: a chain of roots and divisions alone would wait for every link, and what
// walks a graph of pools walks it once for all. As a V of its own it has sums, products, roots and where_below.
template <class V, std::size_t k>
struct Abreast {
  V v[k];
};
template <class V>
struct Parts {
  using Part = V;
  static constexpr std::size_t n = 1;
};
template <class V, std::size_t k>
struct Parts<Abreast<V, k>> {
  using Part = V;
  static constexpr std::size_t n = k;
};
template <class V>
constexpr bool k_abreast = Parts<V>::n > 1 || !std::is_same_v<typename Parts<V>::Part, V>;

template <class V, class F>
LEAFHUNGER_INLINE V each(F f) {
  return [&]<std::size_t... i>(std::index_sequence<i...>) LEAFHUNGER_HERE { return V{{f(i)...}}; }
  (std::make_index_sequence<Parts<V>::n>{});
}
#define LEAFHUNGER_ABREAST(op)                                                                   \
  template <class V, std::size_t k>                                                              \
  LEAFHUNGER_INLINE Abreast<V, k> operator op(const Abreast<V, k>& a, const Abreast<V, k>& b) {  \
    return each<Abreast<V, k>>([&](std::size_t i) LEAFHUNGER_HERE { return a.v[i] op b.v[i]; }); \
  }                                                                                              \
  template <class V, std::size_t k>                                                              \
  LEAFHUNGER_INLINE Abreast<V, k> operator op(const Abreast<V, k>& a, double b) {                \
    return each<Abreast<V, k>>([&](std::size_t i) LEAFHUNGER_HERE { return a.v[i] op b; });      \
  }                                                                                              \
  template <class V, std::size_t k>                                                              \
  LEAFHUNGER_INLINE Abreast<V, k> operator op(double a, const Abreast<V, k>& b) {                \
    return each<Abreast<V, k>>([&](std::size_t i) LEAFHUNGER_HERE { return a op b.v[i]; });      \
  }
LEAFHUNGER_ABREAST(+)
LEAFHUNGER_ABREAST(-)
LEAFHUNGER_ABREAST(*)
LEAFHUNGER_ABREAST(/)
#undef LEAFHUNGER_ABREAST

template <class V>
LEAFHUNGER_INLINE V load(const double* p) {
  if constexpr (k_abreast<V>)
    return each<V>([&](std::size_t i) LEAFHUNGER_HERE { return load<typename Parts<V>::Part>(p + i * k_width<typename Parts<V>::Part>); });
  else
    return *reinterpret_cast<const V*>(p);
}
template <class V>
LEAFHUNGER_INLINE void store(double* p, const V& v) {
  if constexpr (k_abreast<V>)
    for (std::size_t i = 0; i < Parts<V>::n; ++i) store(p + i * k_width<typename Parts<V>::Part>, v.v[i]);
  else
    *reinterpret_cast<V*>(p) = v;
}
template <class V>
LEAFHUNGER_INLINE V root(const V& x) {
  if constexpr (std::is_same_v<V, double>) {
    return std::sqrt(x);
  } else if constexpr (k_abreast<V>) {
    return each<V>([&](std::size_t i) LEAFHUNGER_HERE { return root(x.v[i]); });
  } else {
    V r;
    for (std::size_t i = 0; i < k_width<V>; ++i) r[i] = std::sqrt(x[i]);
    return r;
  }
}
// The next whole number at or above, and at or below.
template <class V>
LEAFHUNGER_INLINE V up(const V& x) {
  if constexpr (std::is_same_v<V, double>) {
    return std::ceil(x);
  } else {
    V r;
    for (std::size_t i = 0; i < k_width<V>; ++i) r[i] = std::ceil(x[i]);
    return r;
  }
}
template <class V>
LEAFHUNGER_INLINE V down(const V& x) {
  return V{} - up(V{} - x);
}
// a < b ? yes : no
template <class V>
LEAFHUNGER_INLINE V where_below(const V& a, const V& b, const V& yes, const V& no) {
  if constexpr (k_abreast<V>)
    return each<V>([&](std::size_t i) LEAFHUNGER_HERE { return a.v[i] < b.v[i] ? yes.v[i] : no.v[i]; });
  else
    return a < b ? yes : no;
}
template <class V>
LEAFHUNGER_INLINE V above_nought(const V& x) {
  return where_below(V{}, x, x, V{});
}
// Calls `f` for 1, 4, 8 or 16 lanes at once, with a V that holds them.
template <class V, class F>
LEAFHUNGER_INLINE void abreast(std::size_t lanes, F f) {
  if constexpr (std::is_same_v<V, double>)
    f(V{});
  else if (lanes == k_block)
    f(Abreast<V, k_block / k_width<V>>{});
  else if (lanes <= k_width<V>)
    f(Abreast<V, 1>{});
  else
    f(Abreast<V, k_block / 2 / k_width<V>>{});
}
// The lanes of a block, 1, 8 or 16, in a row.
LEAFHUNGER_INLINE void copy_lanes(const double* from, double* to, std::size_t lanes) {
  if (lanes == k_block)
    std::memcpy(to, from, k_block * sizeof *to);
  else if (lanes == 1)
    *to = *from;
  else
    std::memcpy(to, from, k_block / 2 * sizeof *to);
}
// 1/d of each: one division for eight or four, which costs far less. Which share one hangs on nothing but n.
template <class V>
LEAFHUNGER_INLINE void invert(V* d, std::size_t n) {
  const auto quarter = [](V* e, const V& ab, const V& cd, const V& per_all) LEAFHUNGER_HERE {
    const V a = e[0], c = e[2], per_ab = per_all * cd, per_cd = per_all * ab;
    e[0] = per_ab * e[1], e[1] = per_ab * a, e[2] = per_cd * e[3], e[3] = per_cd * c;
  };
  std::size_t k = 0;
  for (; k + 8 <= n; k += 8) {
    const V ab = d[k] * d[k + 1], cd = d[k + 2] * d[k + 3], ef = d[k + 4] * d[k + 5], gh = d[k + 6] * d[k + 7];
    const V first = ab * cd, second = ef * gh, per_all = 1 / (first * second);
    quarter(d + k, ab, cd, per_all * second), quarter(d + k + 4, ef, gh, per_all * first);
  }
  for (; k + 4 <= n; k += 4) {
    const V ab = d[k] * d[k + 1], cd = d[k + 2] * d[k + 3];
    quarter(d + k, ab, cd, 1 / (ab * cd));
  }
  for (; k < n; ++k) d[k] = 1 / d[k];
}
// smooth.hpp's smin(a, b), for a and b not both below nought. To 1e-16 of the larger one, which is less than anybody asks, and without its
// division.
template <class V>
LEAFHUNGER_INLINE V lesser(const V& a, const V& b) {
  constexpr double e = 0.05;
  const V sum = a + b;
  return above_nought(0.5 * (sum - root(sum * sum - 4 * (1 - e * e) * (a * b))));
}

}  // namespace

LEAFHUNGER_INLINE std::size_t FastDay::lanes_of(std::size_t block) const { return std::min(k_block, lanes_ - block * k_block); }
LEAFHUNGER_INLINE std::size_t FastDay::width_of(std::size_t block) const {
  const std::size_t held = c_.members_.size() - std::min(c_.members_.size(), block * k_block);
  return lanes_ == 1 ? 1 : held <= k_block / 4 ? k_block / 4 : held <= k_block / 2 ? k_block / 2 : k_block;
}
LEAFHUNGER_INLINE double* FastDay::planned(int row) { return planned_.data() + static_cast<std::size_t>(row) * lanes_; }
LEAFHUNGER_INLINE double* FastDay::rows_of(std::size_t block) { return work_.data() + block * block_size_; }
LEAFHUNGER_INLINE double* FastDay::row_of(std::size_t block, int row) {
  return rows_of(block) + (Rows{n_}.lanes() + static_cast<std::size_t>(row)) * k_block;
}

FastDay::FastDay(ColumnBatch& column) : c_(column), lanes_(column.lanes_), n_(column.n_) {
  fast_share_ = c_.of_lane_[0]->nitrogen->fast;
  can_ = n_ <= k_most_layers;
  for (std::size_t s = 0; s < c_.shape_.slots.size(); ++s) {
    const lh_release& model = *c_.shape_.slots[s].model;
    SlotFeed f;
    f.first_row = c_.map_.slot[s].first_pool, f.nodes = static_cast<std::size_t>(model.n_pool) + 1;
    can_ = can_ && f.nodes <= k_most_nodes && model.bend == nullptr;
    feeds_.push_back(f);
  }
  for (std::size_t t = 0; t < c_.transfers_.size(); ++t) {
    const auto& tr = c_.transfers_[t];
    for (SlotFeed& f : feeds_) {
      const auto inside = [&](std::size_t row) { return row >= f.first_row && row < f.first_row + f.nodes; };
      if (!inside(tr.from)) continue;
      const auto from = static_cast<std::uint32_t>(tr.from - f.first_row), at = static_cast<std::uint32_t>(t * lanes_);
      if (inside(tr.to))
        f.inner.push_back({from, static_cast<std::uint32_t>(tr.to - f.first_row), at, from * k_row_of_terms});
      else
        f.outer.push_back({from, tr.to, at, from * k_row_of_terms});
    }
  }
  for (SlotFeed& f : feeds_) {
    std::stable_sort(f.inner.begin(), f.inner.end(), [](const Edge& a, const Edge& b) { return a.to < b.to; });
    f.leads.assign(f.nodes, 0), f.frees.assign(f.nodes, 0);
    for (const auto* edges : {&f.inner, &f.outer})
      for (const Edge& e : *edges) f.leads[e.from] = 1;
  }
  const auto rows = [&](AlignedRows& r, std::size_t k) { r.assign(k * lanes_, 0.0); };
  std::size_t nodes = 0;
  for (const SlotFeed& f : feeds_) nodes += f.nodes;
  rows(out_rate_, nodes);
  for (auto* r : {&from_, &mean_, &to_, &until_}) rows(*r, 3 * n_);
  rows(inflow_, 3 * n_ * (k_terms + 1)), rows(weight_, k_terms), rows(planned_, n_planned);
  block_size_ = (Rows{n_}.lanes() + n_lane_rows) * k_block;
  const std::size_t blocks = (lanes_ + k_block - 1) / k_block;
  work_.assign(blocks * block_size_, 0.0), most_.assign(blocks, 0);
  parameter_size_ = c_.parameter_plant_.size() / lanes_ * k_block, factor_size_ = c_.factor_.size() / lanes_ * k_block;
  parameter_.assign(blocks * parameter_size_, 0.0), factor_.assign(blocks * factor_size_, 0.0);
  for (std::size_t block = 0; block < blocks; ++block) gather_constants(block);
  for (auto* r : {&stretch_, &pieces_, &terms_, &per_step_, &most_span_, &now_span_, &into_, &end_, &step_length_, &feed_fastest_,
                  &feed_steps_, &w_rate_, &w_sum_, &node_w_, &corner_steps_})
    rows(*r, 1);
  for (std::size_t k = 0; k < k_fewest_terms; ++k) std::fill_n(weight_.data() + k * lanes_, lanes_, k_over[k + 1]);
  fed_.assign(3 * n_, 0), moves_.assign(n_, 0), denies_.assign(n_, 0);
}

bool FastDay::holds(const SlotFeed& f, std::size_t lane) const {
  for (std::size_t j = 0; j < f.nodes; ++j)
    if (c_.at(f.first_row + j, lane) != 0) return true;
  return false;
}

bool FastDay::serves(std::size_t lane) const {
  if (!can_) return false;
  for (std::size_t s = 0; s < feeds_.size(); ++s)
    if (c_.poor_[s * lanes_ + lane] > 0 && holds(feeds_[s], lane)) return false;
  return true;
}

// Adds a row to another; whether there was anything to add. n is 1 or a multiple of 8.
LEAFHUNGER_CLONES static bool add_if_any(const double* row, double* to, std::size_t n) {
  long any = 0;
#pragma GCC ivdep
  for (std::size_t i = 0; i < n; ++i) any |= static_cast<long>(row[i] > 0), to[i] += row[i];
  return any != 0;
}

// Of a feed's nodes: the fastest rate, and the most of what sets steps, in its fourth power.
template <class V>
LEAFHUNGER_INLINE void FastDay::count_block(const SlotFeed& f, const double* rate, std::size_t b) {
  const double* pools = c_.y_.data() + f.first_row * lanes_ + b;
  V all{}, fastest = load<V>(feed_fastest_.data() + b), most = load<V>(feed_steps_.data() + b);
  const V nought{};
  for (std::size_t j = 0; j < f.nodes; ++j) all = all + load<V>(pools + j * lanes_);
  for (const Node& j : f.node) {
    const V holds = above_nought(load<V>(pools + j.at) + k_passing_frac * all);
    // A lane whose pools are empty is not to step by what a neighbour's hold.
    const V r = where_below(nought, all, load<V>(rate + j.at + b), nought), n = r * r * (r * r) * holds;
    fastest = where_below(fastest, r, r, fastest), most = where_below(most, n, n, most);
  }
  store(feed_fastest_.data() + b, fastest), store(feed_steps_.data() + b, most);
}

LEAFHUNGER_CLONES void FastDay::count_steps(const SlotFeed& f, const double* rate) {
  if (lanes_ == 1) return count_block<double>(f, rate, 0);
  for (std::size_t b = 0; b < lanes_; b += k_width<Four>) count_block<Four>(f, rate, b);
}

// How many steps each lane takes whose steps a day are above nought, and how its feeds go. All but a step's length are whole numbers.
template <class V>
LEAFHUNGER_INLINE void FastDay::plan_block(std::size_t b, double times) {
  const auto of = [&](const AlignedRows& row) LEAFHUNGER_HERE { return load<V>(row.data() + b); };
  const auto put = [&](AlignedRows& row, const V& x) LEAFHUNGER_HERE { store(row.data() + b, x); };
  const V nought{}, one = nought + 1;
  const auto most_of = [](const V& x, const V& y) LEAFHUNGER_HERE { return where_below(x, y, y, x); };
  V n = most_of(up(k_steps_per_soil_rate * of(c_.soil_fastest_)), nought + k_fewest);
  n = most_of(up(k_steps_per_feed_rate * root(root(of(feed_steps_)))), n);
  if (c_.shape_.demand) n = where_below(nought, of(c_.want_rate_), most_of(n, nought + k_fewest_wanting), n);
  if (grows_) {
    const V w = load<V>(planned(r_w_first) + b), growth = k_steps_per_growth * of(w_rate_);
    for (int k = 1; k < k_most_for_growth; ++k) n = where_below(nought, w, where_below(k * w, growth, most_of(n, nought + (k + 1)), n), n);
  }
  n = most_of(n, of(corner_steps_));
  // Feeds go by stretches of several steps, or where they are fast by pieces of one. Refining shortens them and leaves them their terms.
  const V fastest = of(feed_fastest_), per_n = one / n;
  const V span = most_of(down(n / most_of(up(fastest * (1 / k_series_reach)), one)), one), reach = fastest * span * per_n;
  V needs = nought + k_fewest_terms;
  for (int k = k_fewest_terms; k < k_terms; ++k) needs = where_below(nought + k_reach[k - k_fewest_terms], reach, needs + 1, needs);
  put(into_, nought), put(now_span_, nought), put(most_span_, span), put(terms_, needs);
  put(pieces_, most_of(up(reach * (1 / k_series_reach)), one));
  const V runs = of(per_step_);
  put(step_length_, where_below(nought, runs, per_n * (1 / times), nought)), put(per_step_, where_below(nought, runs, n * times, nought));
  for (int k = k_fewest_terms; k < k_terms; ++k)
    store(weight_.data() + static_cast<std::size_t>(k) * lanes_ + b, where_below(nought + k, needs, nought + k_over[k + 1], nought));
}

LEAFHUNGER_CLONES void FastDay::plan_lanes(int refine) {
  if (lanes_ == 1) return plan_block<double>(0, refine);
  for (std::size_t b = 0; b < lanes_; b += k_width<Four>) plan_block<Four>(b, refine);
}

void FastDay::plan_day(const std::vector<char>& active, int refine) {
  any_feed_ = false;
  for (auto* r : {&feed_fastest_, &feed_steps_}) std::fill(r->begin(), r->end(), 0.0);
  std::fill(fed_.begin(), fed_.end(), 0);
  std::size_t first_node = 0;
  for (SlotFeed& f : feeds_) {
    f.live.clear(), f.sink.clear(), f.out.clear(), f.soil.clear(), f.node.clear();
    double* rate = out_rate_.data() + first_node * lanes_;
    first_node += f.nodes;
    const double* pools = c_.y_.data() + f.first_row * lanes_;
    if (!std::any_of(pools, pools + f.nodes * lanes_, [](double x) { return x != 0; })) continue;
    std::fill(rate, rate + f.nodes * lanes_, 0.0);
    std::fill(f.frees.begin(), f.frees.end(), 0);
    const auto add = [&](const Edge& e) {
      const double* k = c_.coef_.data() + e.coef;
      if (!add_if_any(k, rate + e.from * lanes_, lanes_)) return false;
      f.frees[e.from] = 1;
      return true;
    };
    // Not by what leads anywhere today: that would hang on the neighbours, and so would the last bit of what flows in.
    std::uint32_t edges[k_most_nodes] = {};
    for (const Edge& e : f.inner) {
      if (!add(e)) continue;
      if (f.leads[e.to])
        f.live.push_back(e), ++edges[e.to];
      else
        f.sink.push_back(e);
    }
    const auto mineral = static_cast<std::uint32_t>(c_.map_.ammonium);
    for (const Edge& e : f.outer) {
      if (!add(e)) continue;
      if (e.to >= mineral && e.to < mineral + 3 * n_) {
        f.soil.push_back({e.from, e.to - mineral, e.coef, e.term});
        fed_[e.to - mineral] = 1;
      } else {
        f.out.push_back(e);
      }
    }
    for (std::uint32_t j = 0; j < f.nodes; ++j)
      if (f.frees[j] || edges[j] > 0) f.node.push_back({j, static_cast<std::uint32_t>(j * lanes_), j * k_row_of_terms, edges[j]});
    count_steps(f, rate);
    for (std::size_t l = 0; l < n_; ++l) fed_[n_ + l] = fed_[2 * n_ + l] = fed_[n_ + l] || fed_[2 * n_ + l];
    any_feed_ = any_feed_ || !f.node.empty();
  }
  for (std::size_t i = 0; i < lanes_; ++i) per_step_[i] = active[i] ? 1 : 0;
  plan_lanes(refine);
  std::fill(most_.begin(), most_.end(), 0);
  double most_terms = 0, most_pieces = 0;
  for (std::size_t i = 0; i < lanes_; ++i)
    if (active[i]) {
      int& most = most_[i / k_block];
      most = std::max(most, static_cast<int>(per_step_[i]));
      most_terms = std::max(most_terms, terms_[i]), most_pieces = std::max(most_pieces, pieces_[i]);
    }
  most_terms_ = static_cast<int>(most_terms), most_pieces_ = static_cast<int>(most_pieces);
  fed_rows_.clear();
  for (std::uint32_t r = 0; r < 3 * n_; ++r)
    if (fed_[r]) fed_rows_.push_back(r);
}

// Steps for the day's way past two corners: from what the reserve gives to what roots must find, and from there to what they can reach.
// From the morning's state and the most that the plant may grow; what roots reach is held to stay.
LEAFHUNGER_CLONES void FastDay::count_corner_steps() {
  const std::size_t lanes = lanes_;
  const double *first = planned(r_crit), *last = first + (k_critical_nodes - 1) * lanes, *plant = c_.y_.data() + c_.map_.plant * lanes,
               *held = c_.y_.data() + c_.map_.reserve * lanes;
  const double *luxury = c_.luxury_.data(), *want_rate = c_.want_rate_.data(), *reserve_rate = c_.reserve_rate_.data(),
               *fixed = c_.fixed_.data(), *unreachable = c_.unreachable_.data(), *psi = c_.psi_.data();
  double *steps = corner_steps_.data(), *supply = node_w_.data();
  std::fill_n(supply, lanes, 0.0);
  for (std::size_t l = 0; l < n_; ++l) {
    const double *nh = c_.y_.data() + (c_.map_.ammonium + l) * lanes, *nf = nh + n_ * lanes, *ns = nf + n_ * lanes,
                 *reach = c_.reach_.data() + l * lanes;
#pragma GCC ivdep
    for (std::size_t i = 0; i < lanes; ++i) {
      const double no = nf[i] + ns[i], h = nh[i] > 0 ? nh[i] : 0, o = no > 0 ? no : 0, far_h = h + unreachable[i],
                   far_o = o + unreachable[i];
      supply[i] += reach[i] * (psi[i] * (h * h) * far_o + o * o * far_h) / (far_h * far_o);
    }
  }
#pragma GCC ivdep
  for (std::size_t i = 0; i < lanes; ++i) {
    const double of_reserve = reserve_rate[i] * (held[i] > 0 ? held[i] : 0), soon = supply[i];
    // Past its ramp, which matters little here.
    const double lacks = luxury[i] * first[i] - plant[i] - k_ramp / 2 * first[i], now = (lacks > 0 ? lacks : 0) * want_rate[i];
    const double given = now < of_reserve ? now : of_reserve, unmet = (now - given) * (1 - fixed[i]);
    const double will_lack = luxury[i] * last[i] - plant[i] - given - (unmet < soon ? unmet : soon) - k_ramp / 2 * last[i],
                 then = (will_lack > 0 ? will_lack : 0) * want_rate[i];
    const double unmet_then = (then > of_reserve ? then - of_reserve : 0) * (1 - fixed[i]);
    const auto passes = [](double a, double b, double level) LEAFHUNGER_HERE {
      const double low = a < b ? a : b, high = a < b ? b : a;
      return low < k_corner_ends * level && high > k_corner_begins * level ? (high - low) / (level > 0 ? level : 1) : 0;
    };
    const double one = k_steps_per_reserve_passed * passes(now, then, of_reserve),
                 other = k_steps_per_supply_passed * passes(unmet, unmet_then, soon);
    double n = std::ceil(one > other ? one : other);
    n = n < k_most_for_corner ? n : k_most_for_corner;
    const bool wakes = luxury[i] * first[i] - plant[i] <= k_sated * first[i] && luxury[i] * last[i] > plant[i] && want_rate[i] > 0;
    steps[i] = wakes ? k_most_for_corner : n;
  }
}

LEAFHUNGER_CLONES static void along(const double* w, const double* rate, double share, double* to, std::size_t n) {
#pragma GCC ivdep
  for (std::size_t i = 0; i < n; ++i) to[i] = w[i] + rate[i] * share;
}

// From critical N at the nodes to Newton's form in s = 3 (W - W_0)/growth.
LEAFHUNGER_CLONES static void newtons_form(double* crit, const double* rate, double* per_growth, std::size_t n) {
  double *a = crit, *b = a + n, *d = b + n, *e = d + n;
#pragma GCC ivdep
  for (std::size_t i = 0; i < n; ++i) {
    per_growth[i] = rate[i] > 0 ? static_cast<double>(k_critical_nodes - 1) / rate[i] : 0;
    const double b1 = b[i] - a[i], b2 = d[i] - b[i], b3 = e[i] - d[i], c1 = (b2 - b1) / 2, c2 = (b3 - b2) / 2;
    b[i] = b1, d[i] = c1, e[i] = (c2 - c1) / 3;
  }
}

// What the plant could grow today, and critical N over that.
void FastDay::plan_growth(const std::vector<char>& active) {
  grows_ = wants_ = plant_ = false;
  std::fill(corner_steps_.begin(), corner_steps_.end(), 0.0);
  if (!c_.shape_.demand) return;
  const lh_demand& m = *c_.shape_.demand;
  const auto n = static_cast<int32_t>(lanes_);
  const double* w = c_.y_.data() + c_.map_.w * lanes_;
  double *w_first = planned(r_w_first), *per_growth = planned(r_per_growth), *crit = planned(r_crit), *nni = node_w_.data();
  std::copy_n(w, lanes_, w_first);
  std::fill_n(nni, lanes_, LH_WELL_FED);
  call_plugin([&] { return m.grow(n, c_.parameter_plant_.data(), c_.factor_.data(), w, nni, c_.stress_.data(), w_rate_.data()); },
              [&](const std::string& why) { c_.plugin_failed(m.about.name, "grow", why); });
  double* acts = planned(r_acts);
  for (std::size_t i = 0; i < lanes_; ++i) {
    const bool grows = w_rate_[i] != 0, wants = c_.want_rate_[i] > 0;
    acts[i] = grows || wants ? 1 : 0;
    grows_ = grows_ || (active[i] && grows), wants_ = wants_ || (active[i] && wants);
  }
  plant_ = wants_ || grows_;
  if (!plant_) return;
  for (std::size_t k = 0; k < k_critical_nodes; ++k) {
    along(w_first, w_rate_.data(), static_cast<double>(k) / static_cast<double>(k_critical_nodes - 1), node_w_.data(), lanes_);
    c_.critical_of(node_w_.data(), crit + k * lanes_);
  }
  count_corner_steps();
  newtons_form(crit, w_rate_.data(), per_growth, lanes_);
}

// Where a lane begins a stretch: its pools at the end of it, and what they free meanwhile as a polynomial. Terms and pieces are the most
// that any lane has; a lane with fewer adds noughts.
template <class V>
LEAFHUNGER_INLINE void FastDay::stretch_block(std::size_t block) {
  const std::size_t lanes = lanes_, b = block * k_block;
  double* const work = rows_of(block);
  const int terms = most_terms_, pieces = most_pieces_;
  const Rows k_row{n_};
  const V length = load<V>(stretch_.data() + b), in_pieces = load<V>(pieces_.data() + b), nought{};
  double* y = c_.y_.data() + b;
  const double* coef = c_.coef_.data() + b;
  const auto in_row = [&](AlignedRows& a, std::size_t r) LEAFHUNGER_HERE { return a.data() + r * lanes + b; };
  const auto add = [](double* to, const V& x) LEAFHUNGER_HERE { store(to, load<V>(to) + x); };
  V fresh[3 * k_most_layers][k_terms + 1];
  for (const std::uint32_t r : fed_rows_) {
    for (int k = 0; k <= terms; ++k) fresh[r][k] = nought;
    if (pieces > 1)
      for (auto* a : {&from_, &mean_, &to_}) store(in_row(*a, r), nought);
  }
  std::size_t first_node = 0;
  for (const SlotFeed& f : feeds_) {
    const double* rates = out_rate_.data() + first_node * lanes + b;
    first_node += f.nodes;
    if (f.node.empty()) continue;
    double* pool = y + f.first_row * lanes;
    V term[k_most_nodes * k_row_of_terms], whole[k_most_nodes];  // a node's terms side by side
    for (const Node& j : f.node) term[j.term] = load<V>(pool + j.at), whole[j.row] = nought;
    const auto flow = [&](AlignedRows& into) LEAFHUNGER_HERE {
      for (const Edge& e : f.soil) add(in_row(into, e.to), load<V>(coef + e.coef) * term[e.term]);
    };
    if (pieces > 1) flow(from_);
    for (int piece = 0; piece < pieces; ++piece) {
      const V h = where_below(nought + piece, in_pieces, length / in_pieces, nought), needs = load<V>(terms_.data() + b);
      for (int k = 1; k <= terms; ++k) {
        // A lane has as many terms as its own rates want, whatever its neighbours.
        const V share = where_below(needs, nought + k, nought, h * -k_over[k]);
        const V* before = term + k - 1;
        V* now = term + k;
        const Edge* e = f.live.data();
        for (const Node& j : f.node) {
          V out = load<V>(rates + j.at) * before[j.term];
          for (const Edge* const end = e + j.edges; e != end; ++e) out = out - load<V>(coef + e->coef) * before[e->term];
          now[j.term] = out * share;
        }
      }
      if (piece == 0)
        for (const Edge& e : f.soil) {
          const V rate = load<V>(coef + e.coef);
          V* to = fresh[e.to];
          const V* from = term + e.term;
          for (int k = 0; k <= terms; ++k) to[k] = to[k] + rate * from[k];
        }
      for (const Node& j : f.node) {
        // The integral does without a lane's last term, so that rates x integral is what goes, to the last bit but rounding.
        V* of = term + j.term;
        V now = of[terms], part = nought;
        for (int k = terms - 1; k >= 0; --k)
          now = now + of[k], part = part + of[k] * load<V>(weight_.data() + static_cast<std::size_t>(k) * lanes + b);
        of[0] = now, whole[j.row] = whole[j.row] + h * part;
      }
    }
    if (pieces > 1) {
      flow(to_);
      for (const Edge& e : f.soil) add(in_row(mean_, e.to), load<V>(coef + e.coef) * whole[e.from]);
    }
    for (const Node& j : f.node) store(pool + j.at, term[j.term]);
    for (const Edge& e : f.sink) add(pool + e.to * lanes, load<V>(coef + e.coef) * whole[e.from]);
    for (const Edge& e : f.out) add(y + e.to * lanes, load<V>(coef + e.coef) * whole[e.from]);
  }
  const auto put = [&](double* to, const V& x) LEAFHUNGER_HERE { store(to, where_below(nought, length, x, load<V>(to))); };
  for (const std::uint32_t r : fed_rows_) {
    V* c = fresh[r];
    if (pieces > 1) {
      // A quadratic through start and end that has the right integral.
      const V s = load<V>(in_row(from_, r)), e = load<V>(in_row(to_, r)), mean = load<V>(in_row(mean_, r)) * load<V>(per_step_.data() + b),
              m = (6 * mean - s - e) * 0.25;
      const V quadratic[3] = {s, 4 * m - 3 * s - e, 2 * s - 4 * m + 2 * e};
      for (int k = 0; k <= terms; ++k) c[k] = where_below(nought + 1, in_pieces, k < 3 ? quadratic[k] : nought, c[k]);
    }
    double* kept = inflow_.data() + r * (k_terms + 1) * lanes + b;
    for (int k = 0; k <= terms; ++k) put(kept + k * lanes, c[k]);
    put(work + (k_row.at(3) + r) * k_block, c[0]);  // where the step before ended, this one begins
    put(in_row(until_, r), nought);
  }
}

template <class V>
LEAFHUNGER_INLINE void FastDay::feed_block(std::size_t block) {
  const std::size_t lanes = lanes_, b = block * k_block;
  double* const work = rows_of(block);
  const Rows k_row{n_};
  const auto in_row = [&](AlignedRows& a, std::size_t r) LEAFHUNGER_HERE { return a.data() + r * lanes + b; };
  const auto at = [&](int stage, std::size_t r) LEAFHUNGER_HERE { return work + (k_row.at(stage) + r) * k_block; };
  const double* length = stretch_.data() + b;
  if (std::any_of(length, length + k_width<V>, [](double x) LEAFHUNGER_HERE { return x > 0; })) stretch_block<V>(block);
  const V t = load<V>(end_.data() + b), span = load<V>(now_span_.data() + b);
  for (const std::uint32_t r : fed_rows_) {
    const double* c = inflow_.data() + r * (k_terms + 1) * lanes + b;
    V now = load<V>(c + most_terms_ * lanes), until{};
    for (int k = most_terms_ - 1; k >= 0; --k) {
      const V term = load<V>(c + k * lanes);
      now = now * t + term, until = until * t + term * load<V>(weight_.data() + static_cast<std::size_t>(k) * lanes + b);
    }
    until = until * t;
    // The middle of the quadratic that has this step's integral: Simpson's rule, turned round.
    const V start = load<V>(at(3, r)), mean = span * (until - load<V>(in_row(until_, r)));
    store(at(0, r), start), store(at(3, r), now), store(in_row(until_, r), until);
    store(at(1, r), (6 * mean - start - now) * 0.25);
  }
}

// What nitrifies, what turns to gas, and what roots reach for before it is known how much of it they want.
template <class V, bool plant, bool gas>
LEAFHUNGER_INLINE void FastDay::reach_block(double* work, const double* mineral, std::size_t n) {
  const Rows k_row{n};
  const auto row = [&](std::size_t r) LEAFHUNGER_HERE { return load<V>(work + r * k_block); };
  const auto put = [&](std::size_t r, const V& x) LEAFHUNGER_HERE { store<V>(work + r * k_block, x); };
  const auto ammonium = [&](std::size_t l) LEAFHUNGER_HERE { return load<V>(mineral + l * k_block); };
  const auto nitrate = [&](std::size_t l)
                           LEAFHUNGER_HERE { return load<V>(mineral + (n + l) * k_block) + load<V>(mineral + (2 * n + l) * k_block); };
  // Each kind apart, so that no bit of what nitrifies hangs on whether a neighbour's plant acts or its nitrate turns to gas.
  V below[k_most_layers], below_take[2 * k_most_layers];
  for (std::size_t l = 0; l < n; ++l) below[l] = ammonium(l) + row(k_row.nit_half() + l);
  invert(below, n);
  if constexpr (gas) {
    V below_gas[k_most_layers];
    for (std::size_t l = 0; l < n; ++l) below_gas[l] = nitrate(l) + row(k_row.den_half() + l);
    invert(below_gas, n);
    for (std::size_t l = 0; l < n; ++l) put(k_row.gas() + l, row(k_row.den_top() + l) * below_gas[l]);
  }
  if constexpr (plant) {
    const V u = row(k_row.lanes() + r_unreachable);
    for (std::size_t l = 0; l < n; ++l)
      below_take[2 * l] = above_nought(ammonium(l)) + u, below_take[2 * l + 1] = above_nought(nitrate(l)) + u;
    invert(below_take, 2 * n);
  }
  V supply{};
  for (std::size_t l = 0; l < n; ++l) {
    put(k_row.made() + l, row(k_row.nit_top() + l) * below[l] * ammonium(l));
    if constexpr (plant) {
      const V h0 = above_nought(ammonium(l)), o0 = above_nought(nitrate(l)), reach = row(k_row.reach() + l);
      const V take_h = reach * row(k_row.lanes() + r_psi) * h0 * below_take[2 * l], take_o = reach * o0 * below_take[2 * l + 1];
      put(k_row.take() + l, take_h), put(k_row.take() + n + l, take_o);
      supply = supply + (take_o * o0 + take_h * h0);
    }
  }
  if constexpr (plant) put(k_row.lanes() + r_supply, supply);
}

// What the plant wants, and from where. A chain of roots and divisions that all lanes go through together.
template <class V>
LEAFHUNGER_INLINE void FastDay::want_block(double* work, const double* plant, std::size_t n) {
  work += Rows{n}.lanes() * k_block;
  const auto row = [&](std::size_t r) LEAFHUNGER_HERE { return load<V>(work + r * k_block); };
  const V n_plant = load<V>(plant), reserve = above_nought(load<V>(plant + k_block)), nought{}, one = nought + 1;
  const V s = (row(r_w_stage) - row(r_w_first)) * row(r_per_growth);
  const V n_crit = row(r_crit) + s * (row(r_crit + 1) + (s - 1) * (row(r_crit + 2) + (s - 2) * row(r_crit + 3)));
  const V supply = row(r_supply), least = nought + k_nothing;
  const V some_crit = where_below(least, n_crit, n_crit, one), some_supply = where_below(least, supply, supply, one);
  const V per_both = 1 / (some_crit * some_supply), per_crit = per_both * some_supply, per_supply = per_both * some_crit;
  const V x = row(r_luxury) * n_crit - n_plant, d = k_ramp * n_crit;
  const V inside = where_below(x, d, x * x * (0.5 / k_ramp) * per_crit, x - 0.5 * d);
  const V want = where_below(nought, x, inside, nought) * row(r_want_rate);
  const V back = lesser(want, row(r_reserve_rate) * reserve);
  const V unmet = want - back;
  const V fixed = row(r_fixed_frac) * unmet;
  store(work + r_share * k_block, lesser(unmet - fixed, supply) * per_supply);
  store(work + r_back * k_block, back), store(work + r_fixed * k_block, fixed);
  store(work + r_nni * k_block, where_below(least, n_crit, above_nought(n_plant) * per_crit, one));
}

template <class V, bool plant, bool gas, bool first, bool last>
LEAFHUNGER_INLINE void FastDay::stage_block(double* work, double* all, int stage, std::size_t n) {
  const Rows k_row{n};
  const auto row = [&](std::size_t r) LEAFHUNGER_HERE { return load<V>(work + r * k_block); };
  const auto of_lane = [&](std::size_t r) LEAFHUNGER_HERE { return row(k_row.lanes() + r); };
  const double fast_share = fast_share_;
  const double* mineral = work + k_row.state(stage) * k_block;
  double* y = work + k_row.state(0) * k_block;
  const double* inflow = work + k_row.at(stage) * k_block;
  const V h = of_lane(r_h), part = stage == 2 ? h : h * 0.5, sixth = h * (1.0 / 6), nought{};
  double* next = work + k_row.state(last ? 0 : stage + 1) * k_block;

  V share = nought;
  if constexpr (plant) share = of_lane(r_share);
  V taken = nought, denitrified = nought, down_h = nought, down_f = nought, down_s = nought;
  // The three stage states and the last rate make the classical weights: y + h/6 (k1 + 2 k2 + 2 k3 + k4).
  const auto put = [&](std::size_t r, V rate, V on) LEAFHUNGER_HERE {
    const V start = load<V>(y + r * k_block);
    if constexpr (!last) {
      store<V>(next + r * k_block, start + part * rate);
    } else {
      const V sum = row(k_row.state(1) + r) + 2 * row(k_row.state(2) + r) + row(k_row.state(3) + r) - start;
      store<V>(next + r * k_block, on > 0 ? sum * (1.0 / 3) + sixth * rate : start);
    }
  };
  const auto count = [&](std::size_t r, V rate, std::size_t into) LEAFHUNGER_HERE {
    double* sum = work + (k_row.lanes() + r) * k_block;
    if constexpr (first) {
      store<V>(sum, rate);
    } else if constexpr (!last) {
      store<V>(sum, load<V>(sum) + 2 * rate);
    } else {
      double* to = all + into * lanes_;
      store<V>(to, load<V>(to) + sixth * (load<V>(sum) + rate));
    }
  };
  for (std::size_t l = 0; l < n; ++l) {
    const V nh = load<V>(mineral + l * k_block), nf = load<V>(mineral + (n + l) * k_block), ns = load<V>(mineral + (2 * n + l) * k_block);
    const V made = row(k_row.made() + l), to_fast = fast_share * made;
    V d_h = row(k_row.humus() + l), d_f = to_fast, d_s = made - to_fast;
    if (l > 0 && moves_[l - 1]) d_h += down_h, d_f += down_f, d_s += down_s;
    d_h -= made;
    if (moves_[l]) {
      down_h = row(k_row.go() + l) * nh, down_f = row(k_row.go() + n + l) * nf, down_s = row(k_row.go() + 2 * n + l) * ns;
      d_h -= down_h, d_f -= down_f, d_s -= down_s;
    }
    if (fed_[l]) d_h += load<V>(inflow + l * k_block);
    if (fed_[n + l]) d_f += load<V>(inflow + (n + l) * k_block), d_s += load<V>(inflow + (2 * n + l) * k_block);
    if (gas && denies_[l]) {
      const V rate = row(k_row.gas() + l), gone_f = rate * nf, gone_s = rate * ns;
      d_f -= gone_f, d_s -= gone_s;
      denitrified += gone_f + gone_s;
    }
    if constexpr (plant) {
      const V k_o = row(k_row.take() + n + l) * share, u_h = row(k_row.take() + l) * share * nh, u_f = k_o * nf, u_s = k_o * ns;
      d_h -= u_h, d_f -= u_f, d_s -= u_s;
      taken += u_h + (u_f + u_s);
    }
    put(l, d_h, h), put(n + l, d_f, h), put(2 * n + l, d_s, h);
  }
  count(r_leached_sum, moves_[n - 1] ? down_h + down_f + down_s : nought, c_.map_.leached);
  if constexpr (gas) count(r_denitrified_sum, denitrified, c_.map_.denitrified);
  if constexpr (plant) {
    const V back = of_lane(r_back), fixed = of_lane(r_fixed);
    // A plant at rest stays as it is to the last bit, whether or not a neighbour's acts.
    const V acts = h * of_lane(r_acts);
    put(3 * n, taken + back + fixed, acts);
    put(3 * n + 1, nought - back, acts);
    count(r_taken_sum, taken, c_.map_.taken);
    count(r_fixed_sum, fixed, c_.map_.fixed);
  }
}

template <class V>
LEAFHUNGER_INLINE void FastDay::feed_rows(std::size_t block) {
  abreast<V>(width_of(block), [&](auto as) LEAFHUNGER_HERE { feed_block<decltype(as)>(block); });
}

template <class V, bool plant, bool gas>
LEAFHUNGER_INLINE void FastDay::stage_layers(std::size_t block, int stage, std::size_t n) {
  const Rows k_row{n};
  double *work = rows_of(block), *all = c_.y_.data() + block * k_block;
  const double* state = work + k_row.state(stage) * k_block;
  const std::size_t lanes = width_of(block);
  for (std::size_t b = 0; b < lanes; b += k_width<V>) reach_block<V, plant, gas>(work + b, state + b, n);
  if constexpr (plant) {
    abreast<V>(lanes, [&](auto as) LEAFHUNGER_HERE { want_block<decltype(as)>(work, state + 3 * n * k_block, n); });
  }
  if (stage == 0)
    for (std::size_t b = 0; b < lanes; b += k_width<V>) stage_block<V, plant, gas, true, false>(work + b, all + b, 0, n);
  else if (stage < 3)
    for (std::size_t b = 0; b < lanes; b += k_width<V>) stage_block<V, plant, gas, false, false>(work + b, all + b, stage, n);
  else
    for (std::size_t b = 0; b < lanes; b += k_width<V>) stage_block<V, plant, gas, false, true>(work + b, all + b, 3, n);
}

// A usual number of layers is known to the compiler. Gas that is nought changes no byte.
template <class V>
LEAFHUNGER_INLINE void FastDay::stage_rows(std::size_t block, int stage) {
  constexpr std::size_t k_layers = 4;
  if (n_ == k_layers && lanes_ > 1) {
    if (plant_)
      gas_ ? stage_layers<V, true, true>(block, stage, k_layers) : stage_layers<V, true, false>(block, stage, k_layers);
    else
      gas_ ? stage_layers<V, false, true>(block, stage, k_layers) : stage_layers<V, false, false>(block, stage, k_layers);
  } else {
    plant_ ? stage_layers<V, true, true>(block, stage, n_) : stage_layers<V, false, true>(block, stage, n_);
  }
}

// Rows of all lanes to a block's own, which are as long as it has lanes: what its plugin is called with.
LEAFHUNGER_INLINE void FastDay::to_block(const AlignedRows& from, std::size_t block, AlignedRows& to) const {
  const std::size_t rows = from.size() / lanes_, lanes = lanes_of(block);
  double* at = to.data() + block * rows * k_block;
  for (std::size_t r = 0; r < rows; ++r) copy_lanes(from.data() + r * lanes_ + block * k_block, at + r * lanes, lanes);
}

// What stays the same all season, to where the stages of a block read it.
void FastDay::gather_constants(std::size_t block) {
  const Rows k_row{n_};
  double* work = rows_of(block);
  const auto all = [&](std::size_t row, const AlignedRows& from) {
    for (std::size_t r = 0; r * lanes_ < from.size(); ++r)
      copy_lanes(from.data() + r * lanes_ + block * k_block, work + (row + r) * k_block, lanes_of(block));
  };
  all(k_row.nit_half(), c_.nit_half_), all(k_row.den_half(), c_.den_half_);
  if (!c_.shape_.demand) return;
  const std::size_t lanes = k_row.lanes();
  all(lanes + r_psi, c_.psi_), all(lanes + r_unreachable, c_.unreachable_), all(lanes + r_reserve_rate, c_.reserve_rate_);
  to_block(c_.parameter_plant_, block, parameter_);
}

// The state and the constants of the day.
LEAFHUNGER_CLONES void FastDay::gather(std::size_t block) {
  const std::size_t n = n_, first = block * k_block, lanes = lanes_of(block), stride = lanes_;
  const Rows k_row{n};
  double* work = rows_of(block);
  const auto put = [&](std::size_t row, const double* from) LEAFHUNGER_HERE { copy_lanes(from + first, work + row * k_block, lanes); };
  const auto rows = [&](std::size_t row, const double* from, std::size_t k) LEAFHUNGER_HERE {
    for (std::size_t r = 0; r < k; ++r) put(row + r, from + r * stride);
  };
  rows(k_row.nit_top(), c_.nit_top_.data(), n), rows(k_row.den_top(), c_.den_top_.data(), n);
  rows(k_row.humus(), c_.humus_in_.data(), n), rows(k_row.reach(), c_.reach_.data(), n);
  for (std::size_t l = 0; l < n; ++l) {
    if (!moves_[l]) continue;
    const auto& t = c_.soil_t_[l];
    put(k_row.go() + l, c_.lane_row(c_.coef_, t.move_ammonium)), put(k_row.go() + n + l, c_.lane_row(c_.coef_, t.move_fast)),
        put(k_row.go() + 2 * n + l, c_.lane_row(c_.coef_, t.move_slow));
  }
  rows(k_row.state(0), c_.lane_row(c_.y_, c_.map_.ammonium), 3 * n);
  for (const std::uint32_t r : fed_rows_) std::fill_n(work + (k_row.at(3) + r) * k_block, lanes, 0.0);
  if (!plant_) return;
  const std::size_t of_lanes = k_row.lanes();
  put(of_lanes + r_w_stage, c_.lane_row(c_.y_, c_.map_.w));
  put(k_row.state(0) + 3 * n, c_.lane_row(c_.y_, c_.map_.plant)), put(k_row.state(0) + 3 * n + 1, c_.lane_row(c_.y_, c_.map_.reserve));
  rows(of_lanes, planned_.data(), n_planned);
  put(of_lanes + r_luxury, c_.luxury_.data()), put(of_lanes + r_want_rate, c_.want_rate_.data()),
      put(of_lanes + r_fixed_frac, c_.fixed_.data());
  to_block(c_.factor_, block, factor_);
}

// The state back again.
LEAFHUNGER_CLONES void FastDay::scatter(std::size_t block) {
  const std::size_t first = block * k_block, lanes = lanes_of(block);
  const double* state = rows_of(block) + Rows{n_}.state(0) * k_block;
  const auto put = [&](std::size_t k, std::size_t row)
                       LEAFHUNGER_HERE { copy_lanes(state + k * k_block, c_.lane_row(c_.y_, row) + first, lanes); };
  for (std::size_t r = 0; r < 3 * n_; ++r) put(r, c_.map_.ammonium + r);
  if (plant_) put(3 * n_, c_.map_.plant), put(3 * n_ + 1, c_.map_.reserve);
}

// How long each lane's step is, and where in a stretch of its feeds it ends.
LEAFHUNGER_INLINE void FastDay::begin_step(std::size_t block, int step) {
  const std::size_t b = block * k_block, lanes = lanes_of(block);
  double* h = row_of(block, r_h);
  const double now = step;
  double *into = into_.data() + b, *span = now_span_.data() + b, *stretch = stretch_.data() + b, *end = end_.data() + b;
  const double *steps = per_step_.data() + b, *most = most_span_.data() + b, *length = step_length_.data() + b;
#pragma GCC ivdep
  for (std::size_t i = 0; i < lanes; ++i) {
    const double left = steps[i] - now;
    h[i] = left > 0 ? length[i] : 0;
    const double fresh = most[i] < left ? most[i] : left;
    const bool due = into[i] == 0;
    span[i] = due ? fresh : span[i];
    stretch[i] = due && left > 0 ? fresh * h[i] : 0;
    into[i] += 1;
    end[i] = left > 0 ? into[i] / (span[i] > 0 ? span[i] : 1) : 0;
    into[i] = into[i] < span[i] ? into[i] : 0;
  }
}

// Dry matter of the next stage, and with the last one that of the next step.
template <class V>
LEAFHUNGER_INLINE void FastDay::grow_block(std::size_t block, int stage) {
  const std::size_t b = block * k_block;
  double *w = c_.lane_row(c_.y_, c_.map_.w) + b, *sum = w_sum_.data() + b, *now = row_of(block, r_w_stage);
  const V nought{}, h = load<V>(row_of(block, r_h)), start = load<V>(w);
  // What stands still well fed stands still.
  const V k = where_below(nought, load<V>(row_of(block, r_per_growth)), load<V>(w_rate_.data() + b), nought);
  if (stage < 3) {
    store(sum, stage == 0 ? k : load<V>(sum) + 2 * k);
    store(now, start + (stage == 2 ? h : 0.5 * h) * k);
  } else {
    const V next = start + h * (1.0 / 6) * (load<V>(sum) + k);
    store(w, next), store(now, next);
  }
}

void FastDay::grow(std::size_t block) {
  const lh_demand& m = *c_.shape_.demand;
  const std::size_t b = block * k_block;
  call_plugin(
      [&] {
        return m.grow(static_cast<int32_t>(lanes_of(block)), parameter_.data() + block * parameter_size_,
                      factor_.data() + block * factor_size_, row_of(block, r_w_stage), row_of(block, r_nni), c_.stress_.data() + b,
                      w_rate_.data() + b);
      },
      [&](const std::string& why) { c_.plugin_failed(m.about.name, "grow", why); });
}

// A block's steps, one after another.
template <class V>
LEAFHUNGER_INLINE void FastDay::steps(std::size_t block) {
  for (int step = 0; step < most_[block]; ++step) {
    begin_step(block, step);
    if (any_feed_) feed_rows<V>(block);
    for (int stage = 0; stage < 4; ++stage) {
      stage_rows<V>(block, stage);
      if (!grows_) continue;
      // Growth changes little in a step: it begins with the rate at which the one before has ended.
      if (stage > 0 || step == 0) grow(block);
      abreast<V>(width_of(block), [&](auto as) LEAFHUNGER_HERE { grow_block<decltype(as)>(block, stage); });
    }
  }
}

LEAFHUNGER_CLONES void FastDay::steps_four(std::size_t block) { steps<Four>(block); }
#ifdef LEAFHUNGER_WIDE
LEAFHUNGER_WIDE void FastDay::steps_eight(std::size_t block) { steps<Eight>(block); }
const bool FastDay::wide_ = __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512vl") && __builtin_cpu_supports("avx512bw") &&
                            __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512cd");
#else
void FastDay::steps_eight(std::size_t block) { steps_four(block); }
const bool FastDay::wide_ = false;
#endif

void FastDay::take_steps(std::size_t block) {
  gather(block);
  lanes_ == 1 ? steps<double>(block) : wide_ ? steps_eight(block) : steps_four(block);
  scatter(block);
}

LEAFHUNGER_CLONES bool FastDay::all_at_least(const double* y, std::size_t n, double least) {
  if (n % 8 != 0) return std::all_of(y, y + n, [&](double x) { return x >= least && std::isfinite(x); });
  // What is not finite shows in the sum. Rows of a single lane begin anywhere, so nothing is asked of their alignment.
  const auto four = [](const double* p) LEAFHUNGER_HERE {
    Four x;
    std::memcpy(&x, p, sizeof x);
    return x;
  };
  Four low = Four{} + least, low_too = low, sum{}, sum_too{};
  for (std::size_t k = 0; k < n; k += 8) {
    const Four a = four(y + k), b = four(y + k + 4);
    low = a < low ? a : low, low_too = b < low_too ? b : low_too;
    sum += a, sum_too += b;
  }
  const Four under = low < low_too ? low : low_too, all = sum + sum_too;
  bool good = true;
  for (std::size_t i = 0; i < k_width<Four>; ++i) good = good && under[i] >= least && std::isfinite(all[i]);
  return good;
}

std::size_t FastDay::day(const std::vector<char>& active, int refine) {
  plan_growth(active);
  plan_day(active, refine);
  const auto any = [&](const double* row) { return std::any_of(row, row + c_.lanes_to_fill(), [](double x) { return x != 0; }); };
  gas_ = false;
  for (std::size_t l = 0; l < n_; ++l) {
    moves_[l] = any(c_.lane_row(c_.coef_, c_.soil_t_[l].move_ammonium));
    denies_[l] = any(c_.lane_row(c_.den_top_, l));
    gas_ = gas_ || denies_[l];
  }
  const std::size_t lanes = lanes_, n = n_;
  double* y = c_.y_.data();
  // A lane that takes part writes all of these as it begins its first stretch.
  if (std::any_of(per_step_.data(), per_step_.data() + c_.members_.size(), [](double x) { return x == 0; }))
    for (const std::uint32_t r : fed_rows_)
      std::fill_n(inflow_.data() + r * (k_terms + 1) * lanes, static_cast<std::size_t>(most_terms_ + 1) * lanes, 0.0);
  for (std::size_t block = 0; block < most_.size(); ++block)
    if (most_[block] > 0) take_steps(block);
  // Humus frees the same all day.
  double* freed = y + c_.map_.from_soil * lanes;
  const double* steps = per_step_.data();
  for (std::size_t l = 0; l < n; ++l) {
    const double* humus = c_.humus_in_.data() + l * lanes;
#pragma GCC ivdep
    for (std::size_t i = 0; i < lanes; ++i) freed[i] += steps[i] > 0 ? humus[i] : 0;
  }
  for (std::size_t s = 0; s < feeds_.size(); ++s) {
    double* age = y + c_.map_.slot[s].first_age * lanes;
    const AlignedRows& rate = c_.age_rate_[s];
    for (std::size_t k = 0; k < rate.size(); k += lanes)
      for (std::size_t i = 0; i < lanes; ++i) age[k + i] += steps[i] > 0 ? rate[k + i] : 0;
  }
  return static_cast<std::size_t>(4 * *std::max_element(most_.begin(), most_.end()));
}

}  // namespace leafhunger
