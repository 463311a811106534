// Work over threads: every index once, results in their own places, faults rethrown.
#include "host/parallel.hpp"

#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <cstdlib>
#include <set>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

namespace leafhunger {
namespace {

TEST(ParallelThreads, CallsEveryIndexOnce) {
  for (const unsigned threads : {0u, 1u, 2u, 7u, 64u})
    for (const std::size_t n : {std::size_t{0}, std::size_t{1}, std::size_t{2}, std::size_t{1000}}) {
      std::vector<std::atomic<int>> calls(n);
      parallel_for(
          n, [&](std::size_t i) { ++calls[i]; }, threads);
      for (const auto& c : calls) ASSERT_EQ(c, 1);
    }
}

TEST(ParallelThreads, GiveTheSameWhateverTheirNumber) {
  const auto work = [](unsigned threads) {
    std::vector<double> out(500);
    parallel_for(
        out.size(),
        [&](std::size_t i) {
          double x = static_cast<double>(i) + 1;
          for (int k = 0; k < 100; ++k) x = x * 1.0000001 + 1 / x;
          out[i] = x;
        },
        threads);
    return out;
  };
  const auto one = work(1);
  for (const unsigned threads : {2u, 3u, 16u}) EXPECT_EQ(work(threads), one);
}

TEST(ParallelThreads, RethrowTheFirstFaultWhenAllHaveStopped) {
  for (const unsigned threads : {1u, 4u}) {
    std::atomic<int> running{0};
    try {
      parallel_for(
          100,
          [&](std::size_t i) {
            ++running;
            const bool bad = i == 7;
            --running;
            if (bad) throw std::runtime_error("at 7");
          },
          threads);
      FAIL() << "the fault was lost";
    } catch (const std::runtime_error& e) {
      EXPECT_STREQ(e.what(), "at 7");
    }
    EXPECT_EQ(running, 0);
  }
}

TEST(ParallelThreads, KeepTheKindOfTheFault) {
  EXPECT_THROW(parallel_for(
                   3, [](std::size_t) { throw std::out_of_range("x"); }, 2),
               std::out_of_range);
}

TEST(Parallel, ReadsTheNumberFromTheEnvironment) {
  const char* before = std::getenv("LEAFHUNGER_THREADS");
  const std::string kept = before ? before : "";
  setenv("LEAFHUNGER_THREADS", "3", 1);
  EXPECT_EQ(default_threads(), 3u);
  setenv("LEAFHUNGER_THREADS", "100000", 1);
  EXPECT_EQ(default_threads(), 256u) << "held: a slip of the hand must not start a hundred thousand";
  for (const char* nonsense : {"0", "-2", "many", ""}) {
    setenv("LEAFHUNGER_THREADS", nonsense, 1);
    EXPECT_GE(default_threads(), 1u);
    EXPECT_LT(default_threads(), 4096u);
  }
  if (before) {
    setenv("LEAFHUNGER_THREADS", kept.c_str(), 1);
  } else {
    unsetenv("LEAFHUNGER_THREADS");
  }
}

TEST(Parallel, ThreadsAreOneWhileOneThreadLives) {
  std::vector<std::thread::id> who(64);
  const auto note = [&](std::size_t i) {
    who[i] = std::this_thread::get_id();
    std::this_thread::sleep_for(std::chrono::microseconds(200));
  };
  {
    const OneThread outer;
    { const OneThread inner; }
    parallel_for(who.size(), note, 4);
    for (const auto& id : who) EXPECT_EQ(id, std::this_thread::get_id());
  }
  parallel_for(who.size(), note, 4);
  EXPECT_GT(std::set<std::thread::id>(who.begin(), who.end()).size(), 1u) << "and many again afterwards";
}

}  // namespace
}  // namespace leafhunger
