// A pinned piece of work for counting instructions, and for profiles: members of the timed case in batches, nothing else of note.
// guard_case [MEMBERS [search|ensemble [TIMES]]]
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "column_case.hpp"

int main(int argc, char** argv) {
  using namespace leafhunger;
  const std::size_t n = argc > 1 ? std::strtoul(argv[1], nullptr, 10) : 64;
  const bool ensemble = argc > 2 && std::string(argv[2]) == "ensemble";
  const int times = argc > 3 ? std::atoi(argv[3]) : 1;
  bench::ColumnCase c;
  const auto members = ensemble ? c.ensemble(n) : c.search(n);
  double taken = 0;
  const auto begin = std::chrono::steady_clock::now();
  for (int k = 0; k < times; ++k)
    for (const Brief& b : run_batch(c.shape(), members)) taken += b.ledger.taken;
  const std::chrono::duration<double> seconds = std::chrono::steady_clock::now() - begin;
  std::printf("%zu members, %zu days: %.1f us each, %.3f kg N/ha taken up on the mean\n", n, c.days(),
              seconds.count() * 1e6 / static_cast<double>(n) / times, taken / static_cast<double>(n) / times);
  return 0;
}
