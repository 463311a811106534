// A row of numbers that copies share until one of them is changed: what thousands of members of one season have in common is held once.
#pragma once

#include <cstddef>
#include <memory>
#include <utility>
#include <vector>

namespace leafhunger {

class SharedRow {
 public:
  SharedRow() = default;
  explicit SharedRow(std::vector<double> row) : row_(std::make_shared<std::vector<double>>(std::move(row))) {}

  std::size_t size() const { return all().size(); }
  double operator[](std::size_t k) const { return all()[k]; }
  double& operator[](std::size_t k) { return own()[k]; }
  void push_back(double x) { own().push_back(x); }
  auto begin() const { return all().begin(); }
  auto end() const { return all().end(); }
  auto begin() { return own().begin(); }
  auto end() { return own().end(); }
  operator const std::vector<double>&() const { return all(); }

 private:
  const std::vector<double>& all() const {
    static const std::vector<double> none;
    return row_ ? *row_ : none;
  }
  // Not shared with any other from now on.
  std::vector<double>& own() {
    if (!row_ || row_.use_count() > 1) row_ = std::make_shared<std::vector<double>>(all());
    return *row_;
  }

  std::shared_ptr<std::vector<double>> row_;
};

}  // namespace leafhunger
