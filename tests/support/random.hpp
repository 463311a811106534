// Numbers drawn by seed, the same on every machine: the standard fixes the generator, but not its distributions, so those are here.
#pragma once

#include <cmath>
#include <cstddef>
#include <random>
#include <vector>

namespace leafhunger::testing {

class Draw {
 public:
  explicit Draw(unsigned seed) : random_(seed) {}

  double unit() { return static_cast<double>(random_()) / 4294967296.0; }  // [0, 1)
  double between(double low, double high) { return low + (high - low) * unit(); }
  /// Spread evenly over its logarithm.
  double log_between(double low, double high) { return low * std::pow(high / low, unit()); }
  int whole(int low, int high) { return low + static_cast<int>(unit() * (high - low + 1)); }
  bool chance(double p) { return unit() < p; }
  template <class T>
  const T& of(const std::vector<T>& all) {
    return all[static_cast<std::size_t>(whole(0, static_cast<int>(all.size()) - 1))];
  }

 private:
  std::mt19937 random_;
};

}  // namespace leafhunger::testing
