// One column, a season long, by every way through it that we have: time for each member, with its error against a 1e-12 run beside it.
#include <benchmark/benchmark.h>
#include <cvode/cvode.h>

#include <cmath>
#include <functional>
#include <map>
#include <memory>

#include "column_case.hpp"
#include "cvode_stepper.hpp"
#include "host/parallel.hpp"
#include "leafhunger/generator.hpp"
#include "reported.hpp"

namespace leafhunger::bench {
namespace {

constexpr std::size_t k_batch = 1000;
// Scalar solvers are held to the tolerance at which they, too, reach 1e-5 on every reported quantity.
constexpr Tolerance k_usual{3e-7, 3e-7};

using MakeStepper = std::function<std::unique_ptr<Stepper>()>;

ColumnCase& one_case() {
  static ColumnCase c;
  return c;
}

// Over a sample of the search's members: one in each year.
double worst_error(const std::string& name, const MakeStepper& make) {
  static std::map<std::string, double> known;
  if (const auto it = known.find(name); it != known.end()) return it->second;
  static const auto members = one_case().search(10);
  static const auto tight = [] {
    std::vector<Reported> all(members.size());
    for (std::size_t i = 0; i < members.size(); ++i)
      run_season(one_case().shape(), members[i], *make_reference_stepper({1e-12, 1e-12}), &all[i]);
    return all;
  }();
  double worst = 0;
  for (std::size_t i = 0; i < members.size(); ++i) {
    Reported ours;
    run_season(one_case().shape(), members[i], *make(), &ours);
    worst = std::max(worst, worst_difference(tight[i], ours));
  }
  return known[name] = worst;
}

void scalar(benchmark::State& state, const std::string& name, const MakeStepper& make) {
  const double error = worst_error(name, make);
  static const auto members = one_case().search(10);
  std::size_t evaluations = 0, seasons = 0;
  for (auto _ : state) {
    const auto stepper = make();
    run_season(one_case().shape(), members[seasons++ % members.size()], *stepper);
    evaluations += stepper->evaluations();
  }
  state.counters["us_per_member"] =
      benchmark::Counter(static_cast<double>(seasons) * 1e-6, benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
  state.counters["evaluations"] = static_cast<double>(evaluations) / static_cast<double>(seasons);
  state.counters["error"] = error;
}

void batch(benchmark::State& state, const std::vector<Member>& members, unsigned threads) {
  const double error = worst_error("batch", [] { return make_batch_stepper(); });  // a lane's bytes do not depend on the batch
  const std::size_t share = (members.size() + threads - 1) / threads;
  std::size_t done = 0;
  for (auto _ : state) {
    parallel_for(
        threads,
        [&](std::size_t k) {
          const std::span<const Member> all(members);
          run_each(one_case().shape(), all.subspan(k * share, std::min(share, members.size() - k * share)),
                   [](std::size_t, Brief&& brief) { benchmark::DoNotOptimize(brief); });
        },
        threads);
    done += members.size();
  }
  state.counters["us_per_member"] =
      benchmark::Counter(static_cast<double>(done) * 1e-6, benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
  state.counters["error"] = error;
}

// Cost against members, days, feedings, layers: one at a time, all else as in the case.
void scaling(benchmark::State& state, const Shape& shape, std::size_t n, double x) {
  const ColumnCase c(shape);
  const auto members = c.search(n);
  for (auto _ : state) benchmark::DoNotOptimize(run_batch(c.shape(), members));
  state.counters["x"] = x;
}

// Thirty years of days made up from twelve normals, the setting-up included. The goal is 50 ms.
void thirty_years(benchmark::State& state) {
  ClimateNormals mild;
  mild.place = "Nowhere", mild.latitude_deg = 51, mild.source = "invented";
  for (std::size_t m = 0; m < 12; ++m) {
    const double warmth = -std::cos(static_cast<double>(m) * 0.5236);
    mild.months[m].tmin_c = 7 + 5 * warmth, mild.months[m].tmax_c = 14 + 6.5 * warmth, mild.months[m].rain_mm = 75 - 25 * warmth;
  }
  for (auto _ : state) benchmark::DoNotOptimize(WeatherGenerator(mild).generate({2000, 30, 1}));
}

void register_all() {
  const auto time = [](benchmark::internal::Benchmark* b) { b->Unit(benchmark::kMillisecond)->UseRealTime()->MinTime(0.2); };
  const auto one = [&](const char* name, const MakeStepper& make) {
    time(benchmark::RegisterBenchmark(name, [=](benchmark::State& s) { scalar(s, name, make); }));
  };
  one("scalar/odeint_dopri5", [] { return make_reference_stepper(k_usual); });
  one("scalar/rk4", [] { return make_batch_stepper(); });
  one("scalar/cvode_bdf", [] { return std::make_unique<CvodeStepper>(CV_BDF, Tolerance{1e-7, 1e-7}); });
  one("scalar/cvode_adams", [] { return std::make_unique<CvodeStepper>(CV_ADAMS, Tolerance{1e-7, 1e-7}); });
  static const auto search = one_case().search(k_batch);
  for (const unsigned threads : {1u, 2u})
    time(benchmark::RegisterBenchmark(("batch/search/threads:" + std::to_string(threads)).c_str(),
                                      [=](benchmark::State& s) { batch(s, search, threads); }));
  time(benchmark::RegisterBenchmark("generator/thirty_years", thirty_years));
  static ColumnCase other;
  static const auto ensemble = other.ensemble(k_batch);
  time(benchmark::RegisterBenchmark("batch/ensemble/threads:1", [=](benchmark::State& s) { batch(s, ensemble, 1); }));

  const auto grows = [&](const std::string& what, const Shape& shape, std::size_t n, double x) {
    const std::string name = "scaling/" + what + ":" + std::to_string(static_cast<int>(x));
    time(benchmark::RegisterBenchmark(name.c_str(), [=](benchmark::State& s) { scaling(s, shape, n, x); }));
  };
  for (const std::size_t n : {64, 256, 1024}) grows("members", {}, n, static_cast<double>(n));
  for (const int k : {1, 2, 4}) grows("days", {{50, 100, 150, 300}, k}, 64, 365.0 * k);
  for (const int k : {1, 3, 12}) grows("feedings", {{50, 100, 150, 300}, 1, k}, 64, k);
  grows("layers", {{50, 250}}, 64, 2);
  grows("layers", {{50, 100, 150, 300}}, 64, 4);
  grows("layers", {{50, 50, 50, 50, 100, 100, 100, 100}}, 64, 8);
}

}  // namespace
}  // namespace leafhunger::bench

int main(int argc, char** argv) {
  leafhunger::bench::register_all();
  benchmark::Initialize(&argc, argv);
  if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 2;
  benchmark::RunSpecifiedBenchmarks();
  return 0;
}
