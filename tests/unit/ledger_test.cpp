// Sums of a ledger, and that an open one is refused.
#include "leafhunger/ledger.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <string>

#include "core/season.hpp"
#include "leafhunger/error.hpp"

namespace leafhunger {
namespace {

Ledger example() {
  Ledger l;
  l.given = 100, l.from_soil = 40, l.start_mineral = 20, l.start_plant = 5, l.fixed = 3;
  l.plant = 60, l.reserve = 7, l.litter = 11, l.mineral = 13, l.unfreed = 30, l.microbes = 9, l.humus = 8, l.leached = 17,
  l.volatilised = 6, l.denitrified = 7;
  l.taken = 70;
  return l;
}

TEST(Ledger, AddsUpWhatCameInAndWhereItIs) {
  const Ledger l = example();
  EXPECT_EQ(l.in(), 168);
  EXPECT_EQ(l.out(), 168) << "what was taken up is no term of its own: it is in the plant";
  EXPECT_EQ(l.relative_residual(), 0);
}

TEST(Ledger, ResidualIsOverWhatCameIn) {
  Ledger l = example();
  l.leached -= 1.68;
  EXPECT_NEAR(l.relative_residual(), 0.01, 1e-15);
  EXPECT_EQ(Ledger{}.relative_residual(), 0);
  Ledger from_nothing;
  from_nothing.leached = 2;
  EXPECT_EQ(from_nothing.relative_residual(), -2);
}

TEST(Ledger, AddsAndScalesEveryTerm) {
  Ledger sum = example();
  sum += example();
  const Ledger twice = example().scaled(2);
  for (const auto term : {&Ledger::given, &Ledger::from_soil, &Ledger::start_mineral, &Ledger::start_plant, &Ledger::fixed, &Ledger::plant,
                          &Ledger::reserve, &Ledger::litter, &Ledger::mineral, &Ledger::unfreed, &Ledger::microbes, &Ledger::humus,
                          &Ledger::leached, &Ledger::volatilised, &Ledger::denitrified, &Ledger::taken}) {
    EXPECT_EQ(sum.*term, 2 * (example().*term));
    EXPECT_EQ(twice.*term, sum.*term);
  }
  EXPECT_EQ(sizeof(Ledger), 16 * sizeof(double)) << "a new term: add it to the list above";
}

TEST(Ledger, AnOpenOneIsRefusedByName) {
  EXPECT_NO_THROW(require_closed(example(), "the test column"));
  Ledger rounding = example();
  rounding.plant += 1e-10 * 168;
  EXPECT_NO_THROW(require_closed(rounding, "the test column"));
  Ledger open = example();
  open.plant += 2e-9 * 168;
  try {
    require_closed(open, "the test column");
    FAIL() << "2e-9 of what came in went unseen";
  } catch (const LedgerError& e) {
    EXPECT_NE(std::string(e.what()).find("the test column"), std::string::npos);
  }
  open.plant = std::numeric_limits<double>::quiet_NaN();
  EXPECT_THROW(require_closed(open, "x"), LedgerError) << "no number is not nought";
}

}  // namespace
}  // namespace leafhunger
