// On every column of every example and of gardens drawn by seed: the ledger closes, no state sinks below nought, labels sum to their pools.
#include <gtest/gtest.h>

#include <cmath>

#include "columns.hpp"

namespace leafhunger {
namespace {

using testing::ReadyColumn;

struct Worst {
  double residual = 0, lowest = 0, label = 0;
};

// One column through its season with the reference stepper, labelled, looked at every evening.
void walk(const ReadyColumn& column, std::size_t feedings, Worst& worst) {
  SCOPED_TRACE(column.name());
  ColumnBatch c(column.plan->shape, {&column.member, 1}, 1);
  c.start();
  const Ledger first = ledger_of(c, 0);
  c.use_labels({feedings + 4, feedings, feedings + 1, feedings + 2, feedings + 3});
  const auto stepper = make_reference_stepper();
  double given = 0;
  std::size_t next = 0;
  for (std::size_t d = 0; d < c.days(); ++d) {
    c.begin_day(d);
    stepper->day(c, d);
    for (; next < column.member.doses.size() && column.member.doses[next].day <= d; ++next) given += column.member.doses[next].kg_n_ha;
    Ledger now = ledger_of(c, 0);
    now.given = given, now.start_mineral = first.mineral, now.start_plant = first.plant + first.reserve;
    worst.residual = std::max(worst.residual, std::abs(now.relative_residual()));
    for (std::size_t r = 0; r < c.map().rows; ++r) {
      ASSERT_TRUE(std::isfinite(c.at(r, 0))) << row_name(c, r) << ", day " << d;
      worst.lowest = std::min(worst.lowest, c.at(r, 0));
    }
    for (std::size_t r = 0; r < c.map().nitrogen_rows; ++r) {
      double sum = 0;
      for (std::size_t k = 0; k < c.labels(); ++k) sum += c.label_state()[r * c.labels() + k];
      worst.label = std::max(worst.label, std::abs(sum - c.at(r, 0)) / std::max(1.0, now.in()));
    }
  }
  // Each source's own ledger closes too: all of what it brought is somewhere.
  const auto season = run_labelled(column.plan->shape, column.member, feedings, column.name());
  std::vector<double> brought(feedings + 4, 0.0);
  for (const Dose& dose : column.member.doses) brought[dose.source] += dose.kg_n_ha;
  brought[feedings] = season.ledger.from_soil, brought[feedings + 1] = season.ledger.start_mineral,
  brought[feedings + 2] = season.ledger.start_plant, brought[feedings + 3] = season.ledger.fixed;
  for (std::size_t k = 0; k < brought.size(); ++k)
    EXPECT_NEAR(season.by_source[k].out(), brought[k], 1e-9 * std::max(1.0, season.ledger.in())) << "source " << k;
}

void expect_sound(const Worst& worst) {
  ::testing::Test::RecordProperty("residual", std::to_string(worst.residual * 1e15) + "e-15");
  std::printf("  worst residual %.1e of what came in; lowest state %.1e; labels off by %.1e\n", worst.residual, worst.lowest, worst.label);
  EXPECT_LE(worst.residual, 1e-9);
  EXPECT_GE(worst.lowest, k_least_kg_ha);
  EXPECT_LE(worst.label, 1e-9);
}

class ExampleLedgers : public ::testing::TestWithParam<std::string> {};

TEST_P(ExampleLedgers, CloseOnEveryColumn) {
  const Garden garden = testing::example(GetParam());
  Worst worst;
  for (const int season : garden.seasons()) {
    SCOPED_TRACE(season);
    for (const auto& column : testing::ready_columns(garden, season)) walk(column, garden.scenario().feedings.size(), worst);
  }
  expect_sound(worst);
}

INSTANTIATE_TEST_SUITE_P(Shipped, ExampleLedgers, ::testing::ValuesIn(testing::examples()), [](const auto& one) {
  std::string name = one.param.substr(0, one.param.find('.'));
  for (char& c : name)
    if (!std::isalnum(static_cast<unsigned char>(c))) c = '_';
  return name;
});

TEST(ExampleLedgersThatAreThere, AreNotNone) { EXPECT_GE(testing::examples().size(), 4u); }

class RandomGardens : public ::testing::TestWithParam<unsigned> {};

TEST_P(RandomGardens, LedgersCloseOnEveryColumn) {
  Worst worst;
  int columns = 0, doses = 0;
  for (unsigned k = 0; k < 12; ++k) {
    const unsigned seed = GetParam() * 100 + k;
    SCOPED_TRACE("seed " + std::to_string(seed));
    const Garden garden = testing::garden_of(testing::random_scenario(seed));
    for (const auto& column : testing::ready_columns(garden, garden.scenario().question.season)) {
      walk(column, garden.scenario().feedings.size(), worst);
      ++columns, doses += static_cast<int>(column.member.doses.size());
    }
  }
  EXPECT_GT(columns, 12);
  EXPECT_GT(doses, 10);
  expect_sound(worst);
}

INSTANTIATE_TEST_SUITE_P(Drawn, RandomGardens, ::testing::Range(1u, 7u));

// A whole result, as the command gets it.
TEST(SeasonLedger, IsTheSumOfItsColumns) {
  const SeasonResult r = run_season(testing::example("saltmarsh-lane.json"));
  Ledger sum;
  for (const ColumnResult& c : r.columns) {
    EXPECT_LE(std::abs(c.ledger.relative_residual()), 1e-9) << c.name;
    sum += c.ledger.scaled(c.area_m2 * 0.1);
  }
  EXPECT_NEAR(sum.in(), r.total_g.in(), 1e-9 * sum.in());
  EXPECT_NEAR(sum.out(), r.total_g.out(), 1e-9 * sum.in());
  EXPECT_LE(std::abs(r.total_g.relative_residual()), 1e-9);
}

}  // namespace
}  // namespace leafhunger
