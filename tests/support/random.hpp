// Numbers drawn by seed, the same on every machine: the standard fixes the generator, but not its distributions, so those are here. Nor
// does it fix which argument of a call comes first: two draws for one call are two statements before it.
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <random>
#include <utility>
#include <vector>

namespace leafhunger::testing {

class Draw {
 public:
  explicit Draw(unsigned seed) : random_(seed) {}
  /// Draws that somebody else made (a property test that wants to make them smaller), each of 0 to 65535; noughts after their end.
  explicit Draw(std::vector<std::uint16_t> given) : random_(0), given_(std::move(given)), is_given_(true) {}

  double unit() {  // [0, 1)
    if (is_given_) return at_ < given_.size() ? given_[at_++] / 65536.0 : 0.0;
    return static_cast<double>(random_()) / 4294967296.0;
  }
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
  std::vector<std::uint16_t> given_;
  std::size_t at_ = 0;
  bool is_given_ = false;
};

}  // namespace leafhunger::testing
