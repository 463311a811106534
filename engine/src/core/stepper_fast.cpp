#include "stepper_fast.hpp"

#include <algorithm>
#include <cmath>

#include "plugin_call.hpp"

// One function for each instruction set that pays; contraction is off, so all give the same bytes. Sanitizers know no such dispatch.
// Vectors are as wide as the set's registers: GCC takes wider ones apart badly.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define LEAFHUNGER_CLONES __attribute__((target_clones("avx2", "default")))
#define LEAFHUNGER_WIDE __attribute__((target("arch=x86-64-v4")))
#else
#define LEAFHUNGER_CLONES
#endif
#define LEAFHUNGER_HERE __attribute__((always_inline))
#define LEAFHUNGER_INLINE LEAFHUNGER_HERE inline

namespace leafhunger {
namespace {

constexpr std::size_t k_most_nodes = 24, k_most_layers = 16;
constexpr int k_terms = 6;  // of the series; up to k_series_reach of rate x step its relative error is below 2e-6
constexpr double k_series_reach = 0.5;
// Steps a day (equations.md 10). Soil: by its fastest rate; feeds: only as often as the quadratic needs; plants: by what they do.
constexpr double k_steps_per_soil_rate = 4.5, k_steps_per_growth = 160;
constexpr int k_fewest = 1, k_fewest_wanting = 2, k_most_for_growth = 4;
constexpr double k_ramp = 0.05;  // width of the ramp of want, of critical N
constexpr std::size_t k_critical_nodes = 4;
// A feed's error goes with what a pool holds, kg/ha, and the third power of rate x step: steps for each rate go with a root of it.
constexpr double k_steps_per_feed_rate = 1.5;  // at 1 kg/ha; x its fourth root
constexpr double k_passing_frac = 0.05;        // of all that a slot holds: what a pool that is empty in the morning may come to hold

using Four = double __attribute__((vector_size(32)));
using Eight = double __attribute__((vector_size(64)));
template <class V>
constexpr std::size_t k_width = sizeof(V) / sizeof(double);

template <class V>
LEAFHUNGER_INLINE V load(const double* p) {
  return *reinterpret_cast<const V*>(p);
}
template <class V>
LEAFHUNGER_INLINE void store(double* p, V v) {
  *reinterpret_cast<V*>(p) = v;
}
LEAFHUNGER_INLINE double root(double x) { return std::sqrt(x); }
template <class V>
LEAFHUNGER_INLINE V root(V x) {
  V r;
  for (std::size_t i = 0; i < k_width<V>; ++i) r[i] = std::sqrt(x[i]);
  return r;
}
template <class V>
LEAFHUNGER_INLINE V above_nought(V x) {
  return x > 0 ? x : x - x;
}
// smooth.hpp's smin(a, b)/b, for a and b not both below nought.
template <class V>
LEAFHUNGER_INLINE V share_of(V a, V b) {
  constexpr double e = 0.05;
  const V total = a + b + root((a - b) * (a - b) + 4 * e * e * a * b);
  const V one = a - a + 1;
  return 2 * (1 - e * e) * a / (total > 0 ? total : one);
}

}  // namespace

FastDay::FastDay(ColumnBatch& column) : c_(column), lanes_(column.lanes_), n_(column.n_) {
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
        f.inner.push_back({from, static_cast<std::uint32_t>(tr.to - f.first_row), at});
      else
        f.outer.push_back({from, tr.to, at});
    }
  }
  const auto rows = [&](AlignedRows& r, std::size_t k) { r.assign(k * lanes_, 0.0); };
  std::size_t nodes = 0;
  for (const SlotFeed& f : feeds_) nodes += f.nodes;
  rows(out_rate_, nodes);
  for (auto* r : {&at_start_, &at_middle_, &at_end_}) rows(*r, 3 * n_);
  for (auto* r : {&ys_, &sum_}) rows(*r, 3 * n_ + 6);
  for (auto* r : {&h_, &part_, &per_step_, &feed_fastest_, &feed_steps_, &w_stage_, &w_rate_, &w_sum_, &node_w_, &w_first_, &per_growth_,
                  &nni_, &need_})
    rows(*r, 1);
  rows(crit_, k_critical_nodes);
  fed_.assign(3 * n_, 0), steps_.assign(lanes_, 0), inner_.assign(lanes_, 0);
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

LEAFHUNGER_CLONES void FastDay::count_steps(const double* rate, const double* pool, const double* all) {
  double *fastest = feed_fastest_.data(), *steps = feed_steps_.data();
  for (std::size_t i = 0; i < lanes_; ++i) {
    const double holds = pool[i] + k_passing_frac * all[i], r = all[i] > 0 ? rate[i] : 0,
                 n = k_steps_per_feed_rate * r * std::sqrt(std::sqrt(holds > 0 ? holds : 0));
    fastest[i] = fastest[i] > r ? fastest[i] : r;
    steps[i] = steps[i] > n ? steps[i] : n;
  }
}

void FastDay::plan_day(const std::vector<char>& active, int refine) {
  any_feed_ = false;
  for (auto* r : {&feed_fastest_, &feed_steps_}) std::fill(r->begin(), r->end(), 0.0);
  std::fill(fed_.begin(), fed_.end(), 0);
  const auto any = [&](const double* row) {
    double sum = 0;  // of coefficients, none of which is negative
    for (std::size_t i = 0; i < lanes_; ++i) sum += row[i];
    return sum > 0;
  };
  std::size_t first_node = 0;
  for (SlotFeed& f : feeds_) {
    f.live.clear(), f.sink.clear(), f.out.clear(), f.soil.clear(), f.node.clear();
    double* rate = out_rate_.data() + first_node * lanes_;
    first_node += f.nodes;
    const double* pools = c_.y_.data() + f.first_row * lanes_;
    if (!std::any_of(pools, pools + f.nodes * lanes_, [](double x) { return x != 0; })) continue;
    std::fill(rate, rate + f.nodes * lanes_, 0.0);
    std::vector<char> leads(f.nodes, 0);
    // A lane whose pools are empty is not to step by what a neighbour's hold.
    double* all = node_w_.data();
    std::fill_n(all, lanes_, 0.0);
    for (std::size_t j = 0; j < f.nodes; ++j)
      for (std::size_t i = 0; i < lanes_; ++i) all[i] += pools[j * lanes_ + i];
    const auto add = [&](const Edge& e) {
      const double* k = c_.coef_.data() + e.coef;
      if (!any(k)) return false;
      leads[e.from] = 1;
      double* r = rate + e.from * lanes_;
      for (std::size_t i = 0; i < lanes_; ++i) r[i] += k[i];
      return true;
    };
    for (const Edge& e : f.inner)
      if (add(e)) f.live.push_back(e);
    const auto mineral = static_cast<std::uint32_t>(c_.map_.ammonium);
    for (const Edge& e : f.outer) {
      if (!add(e)) continue;
      if (e.to >= mineral && e.to < mineral + 3 * n_) {
        f.soil.push_back({e.from, e.to - mineral, e.coef});
        fed_[e.to - mineral] = 1;
      } else {
        f.out.push_back(e);
      }
    }
    const auto ends = std::stable_partition(f.live.begin(), f.live.end(), [&](const Edge& e) { return leads[e.to] != 0; });
    f.sink.assign(ends, f.live.end());
    f.live.erase(ends, f.live.end());
    for (std::uint32_t j = 0; j < f.nodes; ++j) {
      if (!leads[j]) continue;
      f.node.push_back(j);
      count_steps(rate + j * lanes_, pools + j * lanes_, all);
    }
    for (std::size_t l = 0; l < n_; ++l) fed_[n_ + l] = fed_[2 * n_ + l] = fed_[n_ + l] || fed_[2 * n_ + l];
    any_feed_ = any_feed_ || !f.node.empty();
  }
  most_ = most_inner_ = 0;
  for (std::size_t i = 0; i < lanes_; ++i) {
    if (!active[i]) {
      steps_[i] = 0;
      continue;
    }
    int n = std::max(k_fewest, static_cast<int>(std::ceil(k_steps_per_soil_rate * c_.soil_fastest_[i])));
    n = std::max(n, static_cast<int>(std::ceil(feed_steps_[i])));
    if (c_.shape_.demand && c_.want_rate_[i] > 0) n = std::max(n, k_fewest_wanting);
    if (grows_ && w_first_[i] > 0)
      n = std::max(n, static_cast<int>(std::ceil(std::min<double>(k_most_for_growth, k_steps_per_growth * w_rate_[i] / w_first_[i]))));
    steps_[i] = n * refine;
    inner_[i] = std::max(1, static_cast<int>(std::ceil(feed_fastest_[i] / (steps_[i] * k_series_reach))));
    most_ = std::max(most_, steps_[i]), most_inner_ = std::max(most_inner_, inner_[i]);
  }
}

// What the plant could grow today, and critical N over that.
void FastDay::plan_growth(const std::vector<char>& active) {
  grows_ = wants_ = plant_ = false;
  if (!c_.shape_.demand) return;
  const lh_demand& m = *c_.shape_.demand;
  const auto n = static_cast<int32_t>(lanes_);
  const double* w = c_.y_.data() + c_.map_.w * lanes_;
  std::copy(w, w + lanes_, w_first_.begin());
  std::fill(nni_.begin(), nni_.end(), LH_WELL_FED);
  call_plugin([&] { return m.grow(n, c_.parameter_plant_.data(), c_.factor_.data(), w, nni_.data(), c_.stress_.data(), w_rate_.data()); },
              [&](const std::string& why) { c_.plugin_failed(m.about.name, "grow", why); });
  for (std::size_t i = 0; i < lanes_; ++i) {
    grows_ = grows_ || (active[i] && w_rate_[i] != 0);
    wants_ = wants_ || (active[i] && c_.want_rate_[i] > 0);
  }
  plant_ = wants_ || grows_;
  if (!plant_) return;
  for (std::size_t k = 0; k < k_critical_nodes; ++k) {
    for (std::size_t i = 0; i < lanes_; ++i)
      node_w_[i] = w_first_[i] + w_rate_[i] * (static_cast<double>(k) / static_cast<double>(k_critical_nodes - 1));
    c_.critical_of(node_w_.data(), crit_.data() + k * lanes_);
  }
  // Newton's form in s = 3 (W - W_0)/growth.
  double *a = crit_.data(), *b = a + lanes_, *d = b + lanes_, *e = d + lanes_;
  for (std::size_t i = 0; i < lanes_; ++i) {
    per_growth_[i] = w_rate_[i] > 0 ? static_cast<double>(k_critical_nodes - 1) / w_rate_[i] : 0;
    const double b1 = b[i] - a[i], b2 = d[i] - b[i], b3 = e[i] - d[i], c1 = (b2 - b1) / 2, c2 = (b3 - b2) / 2;
    b[i] = b1, d[i] = c1, e[i] = (c2 - c1) / 3;
  }
}

template <class V>
LEAFHUNGER_INLINE void FastDay::feed_block(std::size_t b, int step) {
  constexpr double k_over[k_terms + 1] = {0, 1, 1.0 / 2, 1.0 / 3, 1.0 / 4, 1.0 / 5, 1.0 / 6};
  const std::size_t lanes = lanes_;
  double* y = c_.y_.data() + b;
  const V nought = load<V>(h_.data() + b) * 0;
  for (std::size_t r = 0; r < 3 * n_; ++r)
    if (fed_[r])
      for (auto* a : {&at_start_, &at_middle_, &at_end_}) store<V>(a->data() + r * lanes + b, nought);
  int most = 0;
  for (std::size_t i = 0; i < k_width<V>; ++i)
    if (step < steps_[b + i]) most = std::max(most, inner_[b + i]);
  std::size_t first_node = 0;
  const double* coef = c_.coef_.data() + b;
  for (const SlotFeed& f : feeds_) {
    const double* rates = out_rate_.data() + first_node * lanes + b;
    first_node += f.nodes;
    if (f.node.empty()) continue;
    double* pool = y + f.first_row * lanes;
    V v[k_most_nodes], t[k_most_nodes], now[k_most_nodes], part[k_most_nodes], whole[k_most_nodes];
    const auto flow_now = [&](AlignedRows& into) LEAFHUNGER_HERE {
      for (const Edge& e : f.soil) {
        double* at = into.data() + e.to * lanes + b;
        store<V>(at, load<V>(at) + load<V>(coef + e.coef) * now[e.from]);
      }
    };
    for (const std::uint32_t j : f.node) now[j] = load<V>(pool + j * lanes), whole[j] = nought;
    flow_now(at_start_);
    for (int inner = 0; inner < most; ++inner) {
      alignas(64) double inner_h[k_width<V>];
      for (std::size_t i = 0; i < k_width<V>; ++i) inner_h[i] = inner < inner_[b + i] ? h_[b + i] / inner_[b + i] : 0.0;
      const V h = load<V>(inner_h);
      for (const std::uint32_t j : f.node) v[j] = part[j] = now[j];
      for (int k = 1; k <= k_terms; ++k) {
        const V share = h * k_over[k];
        for (const std::uint32_t j : f.node) t[j] = load<V>(rates + j * lanes) * v[j];
        for (const Edge& e : f.live) t[e.to] -= load<V>(coef + e.coef) * v[e.from];
        for (const std::uint32_t j : f.node) {
          v[j] = -(t[j] * share);
          now[j] += v[j];
          if (k < k_terms) part[j] += v[j] * k_over[k + 1];  // so that rates x integral is what goes, to the last bit but rounding
        }
      }
      for (const std::uint32_t j : f.node) whole[j] += h * part[j];  // the pool's integral so far
    }
    flow_now(at_end_);
    for (const std::uint32_t j : f.node) store<V>(pool + j * lanes, now[j]);
    for (const Edge& e : f.sink) store<V>(pool + e.to * lanes, load<V>(pool + e.to * lanes) + load<V>(coef + e.coef) * whole[e.from]);
    for (const Edge& e : f.out) store<V>(y + e.to * lanes, load<V>(y + e.to * lanes) + load<V>(coef + e.coef) * whole[e.from]);
    for (const Edge& e : f.soil) {
      double* to = at_middle_.data() + e.to * lanes + b;
      store<V>(to, load<V>(to) + load<V>(coef + e.coef) * whole[e.from]);
    }
  }
  // The middle of the quadratic that has this integral: Simpson's rule, turned round.
  const V per_step = load<V>(per_step_.data() + b);
  for (std::size_t r = 0; r < 3 * n_; ++r)
    if (fed_[r]) {
      double* m = at_middle_.data() + r * lanes + b;
      store<V>(m, (6 * per_step * load<V>(m) - load<V>(at_start_.data() + r * lanes + b) - load<V>(at_end_.data() + r * lanes + b)) * 0.25);
    }
}

template <class V, bool plant, bool gas, std::size_t layers>
LEAFHUNGER_INLINE void FastDay::stage_block(std::size_t b, int stage) {
  const std::size_t lanes = lanes_, n = layers > 0 ? layers : n_;
  const auto row = [&](const AlignedRows& a, std::size_t r) LEAFHUNGER_HERE { return load<V>(a.data() + r * lanes + b); };
  const double fast_share = c_.of_lane_[0]->nitrogen->fast;
  const double* coef = c_.coef_.data() + b;
  const double* y = c_.y_.data() + c_.map_.ammonium * lanes + b;  // first of the mineral rows
  const AlignedRows& inflow = stage == 0 ? at_start_ : stage == 3 ? at_end_ : at_middle_;
  const V h = load<V>(h_.data() + b), part = stage == 2 ? h : h * 0.5, nought = h * 0;
  const double weight = stage == 0 || stage == 3 ? 1 : 2;
  const std::size_t r_plant = 3 * n, r_reserve = r_plant + 1, r_leached = r_plant + 2, r_denitrified = r_plant + 3, r_taken = r_plant + 4,
                    r_fixed = r_plant + 5;

  V nitrify[k_most_layers], deny[k_most_layers], take_h[k_most_layers], take_o[k_most_layers];
  V supply = nought;
  const V u = plant ? load<V>(c_.unreachable_.data() + b) : nought, psi = plant ? load<V>(c_.psi_.data() + b) : nought;
  for (std::size_t l = 0; l < n; ++l) {
    const V nh = row(ys_, l), no = row(ys_, n + l) + row(ys_, 2 * n + l);
    const V near_h = nh + row(c_.nit_half_, l);
    if constexpr (plant) {
      const V h0 = above_nought(nh), o0 = above_nought(no), reach = row(c_.reach_, l);
      const V far_h = h0 + u, far_o = o0 + u, both = reach * psi * h0 / (near_h * far_h);
      nitrify[l] = row(c_.nit_top_, l) / near_h;
      take_h[l] = both * near_h;
      if constexpr (gas) deny[l] = row(c_.den_top_, l) / (no + row(c_.den_half_, l));
      take_o[l] = reach * o0 / far_o;
      supply += take_o[l] * o0 + take_h[l] * h0;
    } else {
      nitrify[l] = row(c_.nit_top_, l) / near_h;
      if constexpr (gas) deny[l] = row(c_.den_top_, l) / (no + row(c_.den_half_, l));
    }
  }
  V share = nought, back = nought, fixed = nought;
  if constexpr (plant) {
    const V n_plant = row(ys_, r_plant), reserve = above_nought(row(ys_, r_reserve));
    const V s = (load<V>(w_stage_.data() + b) - load<V>(w_first_.data() + b)) * load<V>(per_growth_.data() + b);
    const V n_crit = row(crit_, 0) + s * (row(crit_, 1) + (s - 1) * (row(crit_, 2) + (s - 2) * row(crit_, 3)));
    const V some = n_crit > 0 ? n_crit : nought + 1;
    const V per_crit = 1 / some;
    const V x = load<V>(c_.luxury_.data() + b) * n_crit - n_plant, d = k_ramp * n_crit;
    const V inside = x < d ? x * x * (0.5 / k_ramp) * per_crit : x - 0.5 * d;
    const V want = (x > 0 ? inside : nought) * load<V>(c_.want_rate_.data() + b);
    const V from_reserve = load<V>(c_.reserve_rate_.data() + b) * reserve;
    back = share_of(want, from_reserve) * from_reserve;
    const V unmet = want - back;
    fixed = load<V>(c_.fixed_.data() + b) * unmet;
    share = share_of(unmet - fixed, supply);
    store<V>(nni_.data() + b, n_crit > 0 ? above_nought(n_plant) * per_crit : nought + 1);
  }
  V taken = nought, denitrified = nought, down_h = nought, down_f = nought, down_s = nought;
  const auto put = [&](std::size_t r, V rate, const double* from) LEAFHUNGER_HERE {
    double *sum = sum_.data() + r * lanes + b, *next = ys_.data() + r * lanes + b;
    store<V>(sum, stage == 0 ? rate : load<V>(sum) + weight * rate);
    if (stage < 3) store<V>(next, load<V>(from) + part * rate);
  };
  const auto count = [&](std::size_t r, V rate) LEAFHUNGER_HERE {
    double* sum = sum_.data() + r * lanes + b;
    store<V>(sum, stage == 0 ? rate : load<V>(sum) + weight * rate);
  };
  for (std::size_t l = 0; l < n; ++l) {
    const V nh = row(ys_, l), nf = row(ys_, n + l), ns = row(ys_, 2 * n + l);
    const V made = nitrify[l] * nh, to_fast = fast_share * made;
    const V go_h = load<V>(coef + c_.soil_t_[l].move_ammonium * lanes) * nh, go_f = load<V>(coef + c_.soil_t_[l].move_fast * lanes) * nf,
            go_s = load<V>(coef + c_.soil_t_[l].move_slow * lanes) * ns;
    V d_h = row(c_.humus_in_, l) + down_h - made - go_h, d_f = down_f + to_fast - go_f, d_s = down_s + (made - to_fast) - go_s;
    down_h = go_h, down_f = go_f, down_s = go_s;
    if (fed_[l]) d_h += row(inflow, l);
    if (fed_[n + l]) d_f += row(inflow, n + l), d_s += row(inflow, 2 * n + l);
    if constexpr (gas) {
      const V gone_f = deny[l] * nf, gone_s = deny[l] * ns;
      d_f -= gone_f, d_s -= gone_s;
      denitrified += gone_f + gone_s;
    }
    if constexpr (plant) {
      const V k_o = take_o[l] * share, u_h = take_h[l] * share * nh, u_f = k_o * nf, u_s = k_o * ns;
      d_h -= u_h, d_f -= u_f, d_s -= u_s;
      taken += u_h + (u_f + u_s);
    }
    put(l, d_h, y + l * lanes), put(n + l, d_f, y + (n + l) * lanes), put(2 * n + l, d_s, y + (2 * n + l) * lanes);
  }
  count(r_leached, down_h + down_f + down_s);
  if constexpr (gas) count(r_denitrified, denitrified);
  if constexpr (plant) {
    const double* all = c_.y_.data() + b;
    put(r_plant, taken + back + fixed, all + c_.map_.plant * lanes);
    put(r_reserve, nought - back, all + c_.map_.reserve * lanes);
    count(r_taken, taken), count(r_fixed, fixed);
  }
}

template <class V>
LEAFHUNGER_INLINE void FastDay::close_block(std::size_t b) {
  const std::size_t lanes = lanes_, n = n_;
  const V h = load<V>(h_.data() + b), sixth = h * (1.0 / 6);
  double* y = c_.y_.data() + b;
  const auto add = [&](std::size_t to, std::size_t r) LEAFHUNGER_HERE {
    store<V>(y + to * lanes, load<V>(y + to * lanes) + sixth * load<V>(sum_.data() + r * lanes + b));
  };
  for (std::size_t r = 0; r < 3 * n; ++r) add(c_.map_.ammonium + r, r);
  add(c_.map_.leached, 3 * n + 2);
  if (gas_) add(c_.map_.denitrified, 3 * n + 3);
  if (plant_) add(c_.map_.plant, 3 * n), add(c_.map_.reserve, 3 * n + 1), add(c_.map_.taken, 3 * n + 4), add(c_.map_.fixed, 3 * n + 5);
  V freed = h * 0;
  for (std::size_t l = 0; l < n; ++l) freed += load<V>(c_.humus_in_.data() + l * lanes + b);
  store<V>(y + c_.map_.from_soil * lanes, load<V>(y + c_.map_.from_soil * lanes) + h * freed);
}

template <class V>
LEAFHUNGER_INLINE void FastDay::feed_rows(int step) {
  for (std::size_t b = 0; b < lanes_; b += k_width<V>) feed_block<V>(b, step);
}

template <class V, std::size_t layers>
LEAFHUNGER_INLINE void FastDay::stage_layers(std::size_t b, int stage) {
  if (plant_)
    gas_ ? stage_block<V, true, true, layers>(b, stage) : stage_block<V, true, false, layers>(b, stage);
  else
    gas_ ? stage_block<V, false, true, layers>(b, stage) : stage_block<V, false, false, layers>(b, stage);
}

template <class V>
LEAFHUNGER_INLINE void FastDay::stage_rows(int stage) {
  constexpr std::size_t k_usual_layers = 4, k_any = 0;
  for (std::size_t b = 0; b < lanes_; b += k_width<V>)
    n_ == k_usual_layers ? stage_layers<V, k_usual_layers>(b, stage) : stage_layers<V, k_any>(b, stage);
}

template <class V>
LEAFHUNGER_INLINE void FastDay::close_rows() {
  for (std::size_t b = 0; b < lanes_; b += k_width<V>) close_block<V>(b);
}

LEAFHUNGER_CLONES void FastDay::feed_four(int step) { feed_rows<Four>(step); }
LEAFHUNGER_CLONES void FastDay::stage_four(int stage) { stage_rows<Four>(stage); }
LEAFHUNGER_CLONES void FastDay::close_four() { close_rows<Four>(); }
#ifdef LEAFHUNGER_WIDE
LEAFHUNGER_WIDE void FastDay::feed_eight(int step) { feed_rows<Eight>(step); }
LEAFHUNGER_WIDE void FastDay::stage_eight(int stage) { stage_rows<Eight>(stage); }
LEAFHUNGER_WIDE void FastDay::close_eight() { close_rows<Eight>(); }
const bool FastDay::wide_ = __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512vl") && __builtin_cpu_supports("avx512bw") &&
                            __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512cd");
#else
void FastDay::feed_eight(int step) { feed_four(step); }
void FastDay::stage_eight(int stage) { stage_four(stage); }
void FastDay::close_eight() { close_four(); }
const bool FastDay::wide_ = false;
#endif

void FastDay::feed_all(int step) { lanes_ == 1 ? feed_rows<double>(step) : wide_ ? feed_eight(step) : feed_four(step); }
void FastDay::stage_all(int stage) { lanes_ == 1 ? stage_rows<double>(stage) : wide_ ? stage_eight(stage) : stage_four(stage); }
void FastDay::close_all() { lanes_ == 1 ? close_rows<double>() : wide_ ? close_eight() : close_four(); }

LEAFHUNGER_CLONES bool FastDay::all_at_least(const double* y, std::size_t n, double least) {
  constexpr double k_most = 1e300;
  long off = 0;
  for (std::size_t k = 0; k < n; ++k) off |= static_cast<long>(!(y[k] >= least)) | static_cast<long>(!(y[k] <= k_most));
  return off == 0;
}

std::size_t FastDay::day(const std::vector<char>& active, int refine) {
  plan_growth(active);
  plan_day(active, refine);
  gas_ = std::any_of(c_.den_top_.begin(), c_.den_top_.end(), [](double x) { return x != 0; });
  const lh_demand* m = c_.shape_.demand;
  const std::size_t lanes = lanes_, n = n_;
  double* y = c_.y_.data();
  for (int step = 0; step < most_; ++step) {
    for (std::size_t i = 0; i < lanes; ++i) {
      per_step_[i] = steps_[i];
      h_[i] = step < steps_[i] ? 1.0 / steps_[i] : 0.0;
    }
    if (any_feed_) feed_all(step);
    std::copy_n(y + c_.map_.ammonium * lanes, 3 * n * lanes, ys_.begin());
    if (plant_) std::copy_n(y + c_.map_.plant * lanes, 2 * lanes, ys_.begin() + static_cast<std::ptrdiff_t>(3 * n * lanes));
    double* w = y + c_.map_.w * lanes;
    if (m) std::copy_n(w, lanes, w_stage_.begin());
    for (int stage = 0; stage < 4; ++stage) {
      stage_all(stage);
      if (!grows_) continue;
      call_plugin(
          [&] {
            return m->grow(static_cast<int32_t>(lanes), c_.parameter_plant_.data(), c_.factor_.data(), w_stage_.data(), nni_.data(),
                           c_.stress_.data(), w_rate_.data());
          },
          [&](const std::string& why) { c_.plugin_failed(m->about.name, "grow", why); });
      for (std::size_t i = 0; i < lanes; ++i) {
        const double k = per_growth_[i] > 0 ? w_rate_[i] : 0;  // what stands still well fed stands still
        w_sum_[i] = stage == 0 ? k : w_sum_[i] + (stage == 3 ? 1 : 2) * k;
        w_stage_[i] = w[i] + (stage == 2 ? h_[i] : 0.5 * h_[i]) * k;
      }
    }
    close_all();
    if (grows_)
      for (std::size_t i = 0; i < lanes; ++i) w[i] += h_[i] / 6 * w_sum_[i];
  }
  for (std::size_t s = 0; s < feeds_.size(); ++s) {
    double* age = y + c_.map_.slot[s].first_age * lanes;
    const AlignedRows& rate = c_.age_rate_[s];
    for (std::size_t k = 0; k < rate.size(); ++k)
      if (active[k % lanes]) age[k] += rate[k];
  }
  return static_cast<std::size_t>(4 * most_);
}

}  // namespace leafhunger
