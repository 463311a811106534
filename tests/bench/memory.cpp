// Peak memory of an ensemble: bench_memory MEMBERS. Each brief is judged as it comes and let go, as the answers do.
#include <sys/resource.h>

#include <cstdio>
#include <cstdlib>

#include "column_case.hpp"

int main(int argc, char** argv) {
  using namespace leafhunger;
  const std::size_t n = argc > 1 ? std::strtoul(argv[1], nullptr, 10) : 10000;
  bench::ColumnCase c;
  const auto members = c.ensemble(n);
  int short_of_n = 0;
  run_each(c.shape(), members, [&](std::size_t, Brief&& b) { short_of_n += judge(b.plant, 303).outcome == Outcome::ran_short; });
  rusage used{};
  getrusage(RUSAGE_SELF, &used);
  std::printf("{\"members\": %zu, \"ran_short\": %d, \"peak_mib\": %.1f}\n", n, short_of_n, static_cast<double>(used.ru_maxrss) / 1024);
  return 0;
}
