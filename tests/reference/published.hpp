// A check against a figure from outside: compares, and where LEAFHUNGER_CHECKS names a file, adds a line to it
// (check, source, published, ours, difference, tolerance; tab-separated), from which write_table.sh makes the table of all checks.
#pragma once

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>

namespace published {

inline std::string digits(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.6g", value);
  return text;
}

inline void record(const std::string& check, const std::string& source, const std::string& figure, double ours,
                   const std::string& difference, const std::string& tolerance) {
  const char* const path = std::getenv("LEAFHUNGER_CHECKS");
  if (path == nullptr) return;
  if (std::FILE* const file = std::fopen(path, "a")) {
    const std::string line = check + "\t" + source + "\t" + figure + "\t" + digits(ours) + "\t" + difference + "\t" + tolerance + "\n";
    std::fputs(line.c_str(), file);
    std::fclose(file);
  }
}

/// |ours - figure| <= tolerance.
inline void expect_near(const std::string& check, const std::string& source, double figure, double ours, double tolerance) {
  record(check, source, digits(figure), ours, digits(ours - figure), "± " + digits(tolerance));
  EXPECT_NEAR(ours, figure, tolerance) << check << " (" << source << ")";
}

/// A printed figure at its own precision, and the unrounded one behind it to 0.1 %.
inline void expect_print(const std::string& check, const std::string& source, double printed, double tolerance, double unrounded,
                         double ours) {
  expect_near(check, source, printed, ours, tolerance);
  expect_near(check + ", unrounded", source + ", recomputed", unrounded, ours, 1e-3 * std::abs(unrounded));
}

/// ours <= most.
inline void expect_at_most(const std::string& check, const std::string& source, double most, double ours) {
  record(check, source, "-", ours, "-", "at most " + digits(most));
  EXPECT_LE(ours, most) << check << " (" << source << ")";
}

/// least <= ours <= most.
inline void expect_within(const std::string& check, const std::string& source, double least, double most, double ours) {
  record(check, source, digits(least) + " to " + digits(most), ours, "-", "inside");
  EXPECT_GE(ours, least) << check << " (" << source << ")";
  EXPECT_LE(ours, most) << check << " (" << source << ")";
}

/// least <= ours.
inline void expect_at_least(const std::string& check, const std::string& source, double least, double ours) {
  record(check, source, "-", ours, "-", "at least " + digits(least));
  EXPECT_GE(ours, least) << check << " (" << source << ")";
}

/// A published figure that we miss, with the reason. Strict: fails once we meet it, so that no reason outlives its miss.
inline void known_miss(const std::string& check, const std::string& source, double figure, double ours, double tolerance,
                       const std::string& why) {
  record(check, source, digits(figure), ours, digits(ours - figure), "± " + digits(tolerance) + ", known miss: " + why);
  EXPECT_GT(std::abs(ours - figure), tolerance) << check << " (" << source << ") is met now: take the known miss away";
}

/// The same where a range was published.
inline void known_miss_within(const std::string& check, const std::string& source, double least, double most, double ours,
                              const std::string& why) {
  record(check, source, digits(least) + " to " + digits(most), ours, "-", "inside, known miss: " + why);
  EXPECT_FALSE(ours >= least && ours <= most) << check << " (" << source << ") is met now: take the known miss away";
}

}  // namespace published
