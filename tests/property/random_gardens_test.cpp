// Properties over gardens that rapidcheck draws and, where one fails, makes smaller. RC_PARAMS in the environment changes seed and number
// of trials (tests/deep.sh does); without it the same gardens come every time.
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <cmath>
#include <cstdlib>
#include <cstring>

#include "columns.hpp"
#include "leafhunger/lasts.hpp"
#include "leafhunger/report.hpp"

namespace leafhunger {
namespace {

using Draws = std::vector<std::uint16_t>;

// A watched run is ten times as slow; it is there for what it watches, not for more gardens.
#ifdef LEAFHUNGER_WATCHED
constexpr const char* k_usual = "seed=20240415 max_success=3";
#else
constexpr const char* k_usual = "seed=20240415 max_success=20";
#endif

// Read once, when the first property is checked.
const bool k_settled = [] { return ::setenv("RC_PARAMS", k_usual, 0) == 0; }();

constexpr double k_tolerance = 1e-10;
constexpr std::size_t k_draws = 150;  // as many as the largest garden takes

/// A garden of these draws. Its weather comes of the first of them, so that a smaller case keeps its days as long as it can.
Scenario drawn(const Draws& draws) { return testing::random_scenario(testing::Draw(draws), draws.empty() ? 1u : 1u + draws[0] % 50u); }

SeasonResult result_of(Scenario s) {
  SeasonOptions o;
  o.reasons = false;
  o.absolute_tolerance_kg_ha = o.relative_tolerance = k_tolerance;
  return run_season(testing::garden_of(std::move(s)), o);
}

template <class Property>
void holds(const char* words, const Property& property) {
  ASSERT_TRUE(k_settled);
  EXPECT_TRUE(rc::check(words, [&] {
    // Whole from the first trial on: small gardens come by themselves where a case is made smaller.
    const Draws draws = *rc::gen::resize(rc::kNominalSize, rc::gen::container<Draws>(k_draws, rc::gen::arbitrary<std::uint16_t>()));
    const Scenario s = drawn(draws);
    RC_TAG(s.feedings.empty() ? "nothing fed" : "fed");
    property(s);
  })) << words;
}

constexpr const char* k_watched[] = {
    "nni", "plant_kg_n_ha", "dry_matter_t_ha", "leached_kg_n_ha", "taken_kg_n_ha", "nitrate_kg_n_ha", "unfreed_kg_n_ha", "soil_c", "theta"};

/// Greatest difference of a column's series, over the greatest value of each.
double apart(const ColumnResult& a, const ColumnResult& b) {
  double worst = 0;
  for (const char* name : k_watched) {
    const Series *x = a.find(name), *y = b.find(name);
    if ((x == nullptr) != (y == nullptr)) return 1e300;
    if (x == nullptr) continue;
    RC_ASSERT(x->values.size() == y->values.size());
    double most = 1;
    for (const double v : x->values) most = std::max(most, std::abs(v));
    for (std::size_t i = 0; i < x->values.size(); ++i) worst = std::max(worst, std::abs(x->values[i] - y->values[i]) / most);
  }
  return worst;
}

TEST(RandomGardensHold, TwiceTheGroundAndThePlants) {
  holds("twice the area and the plants, at the same grams a square metre and a plant: the same in every column", [](const Scenario& s) {
    Scenario t = s;
    for (Bed& bed : t.beds) {
      bed.area_m2 *= 2;
      for (Planting& p : bed.plantings) {
        p.count *= 2;
        if (p.ground_m2) *p.ground_m2 *= 2;
      }
    }
    const auto a = result_of(s), b = result_of(t);
    RC_ASSERT(a.columns.size() == b.columns.size());
    for (std::size_t c = 0; c < a.columns.size(); ++c) {
      RC_ASSERT(apart(a.columns[c], b.columns[c]) < 1e-8);
      RC_ASSERT(a.columns[c].verdict.first_short == b.columns[c].verdict.first_short);
    }
    RC_ASSERT(std::abs(b.given_g - 2 * a.given_g) <= 1e-9 * b.given_g);
  });
}

// Four years later the calendar is the same to the day, leap years and all (decisions 4).
TEST(RandomGardensHold, FourYearsLater) {
  holds("dates and weather four years later: the same to the last bit", [](const Scenario& s) {
    Scenario t = s;
    t.weather.first += std::chrono::days{1461};
    t.question.season += 4;
    const auto a = result_of(s), b = result_of(t);
    RC_ASSERT(a.columns.size() == b.columns.size());
    for (std::size_t c = 0; c < a.columns.size(); ++c) RC_ASSERT(apart(a.columns[c], b.columns[c]) == 0);
  });
}

TEST(RandomGardensHold, OneFeedingOrTwoHalves) {
  holds("each feeding as two halves on the same days", [](const Scenario& s) {
    Scenario t = s;
    t.feedings.clear();
    for (Feeding f : s.feedings) {
      f.amount.value /= 2, f.watered_in_mm /= 2;
      t.feedings.push_back(f), t.feedings.push_back(f);
    }
    const auto a = result_of(s), b = result_of(t);
    for (std::size_t c = 0; c < a.columns.size(); ++c) RC_ASSERT(apart(a.columns[c], b.columns[c]) < 1e-6);
  });
}

// Gross: what has left the feed's own pools. Net release may sink where microbes take it up (decisions 4).
TEST(RandomGardensHold, WhatHasDecayedStaysDecayed) {
  holds("gross decay never goes back, no state is below nought, the ledger closes", [](const Scenario& s) {
    const Garden garden = testing::garden_of(s);
    for (const auto& column : testing::ready_columns(garden, garden.scenario().question.season)) {
      const ColumnSeason r =
          run_labelled(column.plan->shape, column.member, garden.scenario().feedings.size(), column.name(), {k_tolerance, k_tolerance});
      double before = 0;
      for (std::size_t d = 0; d < r.unfreed.size(); ++d) {
        const double decayed = r.given[d] - r.unfreed[d];
        RC_ASSERT(decayed >= before - 1e-7 * std::max(1.0, r.given[d]));
        before = decayed;
        for (const auto* row :
             {&r.unfreed, &r.microbes, &r.humus, &r.leached, &r.volatilised, &r.denitrified, &r.taken, &r.reserve, &r.litter})
          RC_ASSERT((*row)[d] >= k_least_kg_ha);
      }
      for (const auto* row : {&r.leached, &r.volatilised, &r.denitrified, &r.taken, &r.from_soil, &r.fixed})
        for (std::size_t d = 1; d < row->size(); ++d) RC_ASSERT((*row)[d] >= (*row)[d - 1] - 1e-9);
      RC_ASSERT(std::abs(r.ledger.relative_residual()) <= 1e-9);
    }
  });
}

TEST(RandomGardensHold, SameBytesInAnyBatch) {
  holds("a column's bytes in a batch of one and among copies of all", [](const Scenario& s) {
    const Garden garden = testing::garden_of(s);
    for (const auto& column : testing::ready_columns(garden, garden.scenario().question.season)) {
      Member half = column.member, none = column.member;
      for (Dose& d : half.doses) d.kg_n_ha /= 2;
      none.doses.clear();
      const std::vector<Member> many = {half, column.member, none, column.member, half};
      const Brief alone = run_batch(column.plan->shape, {&column.member, 1}, 1)[0];
      for (const std::size_t lanes : {8, 16}) {
        const auto among = run_batch(column.plan->shape, many, lanes);
        for (const std::size_t i : {1, 3}) {
          RC_ASSERT(std::memcmp(&among[i].ledger, &alone.ledger, sizeof(Ledger)) == 0);
          RC_ASSERT(among[i].plant.nni == alone.plant.nni);
        }
      }
    }
  });
}

TEST(RandomGardensHoldThreads, SameBytesWhateverTheirNumber) {
  holds("one thread or three: the same answer", [](const Scenario& s) {
    const Garden garden = testing::garden_of(s);
    const auto with = [&](const char* threads) {
      ::setenv("LEAFHUNGER_THREADS", threads, 1);
      const std::string text = in_json(run_season(garden)) + in_json(how_often_it_lasts(garden));
      ::unsetenv("LEAFHUNGER_THREADS");
      return text;
    };
    RC_ASSERT(with("1") == with("3"));
  });
}

// decisions 4: by no more than two days. Straw and the like tie nitrogen up, and are left out; so is water that comes with a feed.
TEST(RandomGardensHold, AnotherFeedingDoesNotBringShortageNearer) {
  holds("another feeding of what does not tie up: no first short day comes nearer by more than two days", [](const Scenario& s) {
    Scenario t = s;
    const Bed& bed = s.beds[0];
    static const std::vector<std::string> freeing = {"dried-blood", "calcium-nitrate", "sulphate-of-ammonia", "concentrated-manure-powder"};
    const auto pick = *rc::gen::inRange<std::size_t>(0, freeing.size());
    const auto month = *rc::gen::inRange<unsigned>(1, 13);
    t.feedings.push_back(testing::broadcast(freeing[pick], {month, 10}, *rc::gen::inRange(5, 80), bed.name));
    const auto a = result_of(s), b = result_of(t);
    for (std::size_t c = 0; c < a.columns.size(); ++c) {
      if (a.columns[c].bare) continue;
      const auto first = [&](const SeasonResult& r) { return static_cast<int>(r.columns[c].verdict.first_short.value_or(r.days)); };
      RC_LOG() << freeing[pick] << " in month " << month << ": " << a.columns[c].name << " (" << a.columns[c].plant_id << ") short on day "
               << first(a) << ", then " << first(b) << '\n';
      RC_ASSERT(first(b) >= first(a) - 2);
    }
  });
}

}  // namespace
}  // namespace leafhunger
