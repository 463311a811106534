// What this machine can do at most: flops a second of one core (chains of multiply and add in its widest registers, as the engine issues
// them: uncontracted) and bytes a second from L1, L2 and memory.
#include <algorithm>
#include <chrono>
#include <cstddef>
#include <cstdio>
#include <vector>

namespace {

double seconds_of(auto&& work) {
  double best = 1e9;
  for (int k = 0; k < 5; ++k) {
    const auto begin = std::chrono::steady_clock::now();
    work();
    best = std::min(best, std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count());
  }
  return best;
}

volatile double sink;

double flops_per_second() {
  constexpr int k_lanes = 64;
  constexpr long k_times = 20'000'000;
  double x[k_lanes];
  for (int i = 0; i < k_lanes; ++i) x[i] = 1 + i * 1e-9;
  const double s = seconds_of([&] {
    for (long t = 0; t < k_times; ++t)
      for (int i = 0; i < k_lanes; ++i) x[i] = x[i] * 0.999999999 + 1e-9;
    double sum = 0;
    for (const double v : x) sum += v;
    sink = sum;
  });
  return 2.0 * k_lanes * k_times / s;
}

double bytes_per_second(std::size_t bytes) {
  std::vector<double> a(bytes / sizeof(double), 1.0);
  const std::size_t times = (std::size_t{1} << 31) / bytes + 1;
  const double s = seconds_of([&] {
    for (std::size_t t = 0; t < times; ++t) {
      double* p = a.data();
      const double k = 1 + 1e-12 * static_cast<double>(t);
      for (std::size_t i = 0; i < a.size(); ++i) p[i] *= k;
    }
    sink = a[0];
  });
  return 2.0 * static_cast<double>(bytes * times) / s;  // read and written
}

}  // namespace

int main() {
  std::printf("{\"gflops\": %.2f, \"l1_gb_s\": %.1f, \"l2_gb_s\": %.1f, \"memory_gb_s\": %.1f}\n", flops_per_second() / 1e9,
              bytes_per_second(16 << 10) / 1e9, bytes_per_second(400 << 10) / 1e9, bytes_per_second(256 << 20) / 1e9);
  return 0;
}
