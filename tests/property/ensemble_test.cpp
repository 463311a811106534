// How sure it is: the ensemble against `lasts` run by hand on gardens that say what a draw says; same bytes; truth of its sums.
#include "leafhunger/ensemble.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "columns.hpp"
#include "host/parallel.hpp"
#include "host/sampled_column.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/lasts.hpp"

namespace leafhunger {
namespace {

Scenario small(int seasons = 2) {
  Scenario s = testing::one_bed(seasons);
  s.beds[0].plantings.push_back(testing::planting(s, "Cannas", "canna", 4));
  s.feedings.push_back(testing::broadcast("straw", {3, 1}, 300, "Bed"));
  return s;
}

EnsembleQuestion asked(int samples, double width = 1) {
  EnsembleQuestion q;
  q.samples = samples, q.width = width;
  return q;
}

// No spread: each draw is what is in use, so each gives the very days of `lasts`.
TEST(Ensemble, NoSpreadIsLastsItself) {
  const Garden garden = testing::garden_of(small(3));
  const LastsResult lasts = how_often_it_lasts(garden);
  const EnsembleResult r = how_sure_it_is(garden, asked(3, 0));
  ASSERT_EQ(r.plantings.size(), lasts.plantings.size());
  for (std::size_t p = 0; p < r.plantings.size(); ++p) {
    const PlantingSureness& s = r.plantings[p];
    const PlantingYears& l = lasts.plantings[p];
    EXPECT_EQ(s.name, l.name);
    for (const auto& draw : s.first_short)
      for (std::size_t y = 0; y < l.years.size(); ++y) EXPECT_EQ(draw[y], l.years[y].verdict.first_short) << l.name;
    for (const auto& draw : s.outcome)
      for (std::size_t y = 0; y < l.years.size(); ++y) EXPECT_EQ(draw[y], l.years[y].verdict.outcome) << l.name;
    EXPECT_EQ(s.kept_share, static_cast<double>(l.kept) / static_cast<double>(l.years.size()));
    EXPECT_EQ(s.kept_nine_in_ten, l.kept_nine_in_ten);
    EXPECT_EQ(s.kept_whole_season, l.kept_whole_season);
    EXPECT_EQ(s.unknown_d, 0);
    // What is left is the weather's: the plain standard deviation of the day over the seasons.
    std::vector<double> days;
    double mean = 0, squares = 0;
    for (std::size_t y = 0; y < l.years.size(); ++y) {
      const auto length = (season_last({}, l.years[y].season) - season_first({}, l.years[y].season)).count() + 1;
      days.push_back(static_cast<double>(l.years[y].verdict.first_short.value_or(static_cast<std::size_t>(length))));
      mean += days.back() / static_cast<double>(l.years.size());
    }
    for (const double d : days) squares += (d - mean) * (d - mean) / static_cast<double>(days.size() - 1);
    EXPECT_NEAR(s.weather_d, std::sqrt(squares), 1e-9) << l.name;
    EXPECT_TRUE(s.unknowns.empty());
    for (const Band& b : s.bands) EXPECT_EQ(b.at[0], b.at[4]) << b.name;
  }
}

// Without spread the columns of all draws are the column in use, to the last bit.
TEST(Ensemble, NoSpreadMakesTheSameColumnToTheLastBit) {
  const Garden garden = testing::garden_of(small(1));
  for (const ColumnPlan& c : garden.plan().columns) {
    const auto figures = unknown_figures(garden.plan(), c, 0);
    for (const auto& values : draw(figures, 9, 4)) {
      const SampledColumn s = sampled_column(garden.plan(), c, figures, values);
      for (std::size_t k = 0; k < c.materials.size(); ++k) {
        EXPECT_EQ(s.column.materials[k].parameter, c.materials[k].parameter);
        EXPECT_EQ(s.column.materials[k].surface.volatile_per_day, c.materials[k].surface.volatile_per_day);
      }
      EXPECT_EQ(s.column.on_ground.parameter, c.on_ground.parameter);
      EXPECT_EQ(s.column.on_ground.host.uptake_per_day, c.on_ground.host.uptake_per_day);
      EXPECT_EQ(s.nitrogen.humus_freed_per_year, garden.plan().nitrogen.humus_freed_per_year);
    }
  }
}

// Brute force: for each draw a garden whose catalogue says what the draw says. The soil's own figures have no place in a scenario, so their
// part is tested by members below.
TEST(Ensemble, EachDrawIsLastsOfAGardenThatSaysSo) {
  const Scenario base = small(2);
  const Garden garden = testing::garden_of(base);
  const Garden::Plan& plan = garden.plan();
  constexpr std::size_t n = 4;
  for (const ColumnPlan& column : plan.columns) {
    if (!column.planting) continue;
    const auto figures = unknown_figures(plan, column, 1);
    ASSERT_GT(figures.size(), 9u);
    for (const auto& values : draw(figures, 1, n)) {
      Scenario s = base;
      for (std::size_t f = 0; f < figures.size(); ++f) {
        const UnknownFigure& u = figures[f];
        switch (u.kind) {
          case UnknownFigure::Kind::release:
            s.catalogue.materials.at(u.material->id).parameters[u.name] = values[f];
            break;
          case UnknownFigure::Kind::ammonia:
            s.catalogue.materials.at(u.material->id).surface.volatile_per_day = values[f];
            break;
          case UnknownFigure::Kind::reach:
            s.catalogue.plants.at(column.plant->id).host.uptake_per_day = values[f];
            break;
          case UnknownFigure::Kind::plant:
            s.catalogue.plants.at(column.plant->id).parameters[u.name] = values[f];
            break;
          case UnknownFigure::Kind::soil:
            break;
        }
      }
      const Garden said = testing::garden_of(std::move(s));
      const SampledColumn drawn = sampled_column(plan, column, figures, values);
      const Years years = all_years(plan);
      for (const ColumnPlan& c : said.plan().columns) {
        if (c.name != column.name) continue;
        for (std::size_t y = 0; y < years.seasons.size(); ++y) {
          const auto doses = doses_of(said.plan(), c, years.first[y], years.days[y].season.size());
          const SoilClimate expected_climate = climate_of(said.plan(), c, years.days[y], doses),
                            climate = climate_of(plan, drawn.column, years.days[y], doses);
          Member expected = member_of(said.plan(), c, expected_climate, doses), member = member_of(plan, drawn.column, climate, doses);
          expected.nitrogen = member.nitrogen = &drawn.nitrogen;
          const Brief a = run_batch(c.shape, {&expected, 1})[0], b = run_batch(drawn.column.shape, {&member, 1})[0];
          EXPECT_EQ(a.plant.nni, b.plant.nni) << column.name;
          EXPECT_EQ(a.ledger.leached, b.ledger.leached);
        }
      }
    }
  }
}

// And the ensemble's own table is those members, draw by draw.
TEST(Ensemble, ItsTableIsItsMembers) {
  const Garden garden = testing::garden_of(small(2));
  const Garden::Plan& plan = garden.plan();
  EnsembleQuestion q = asked(18);
  q.seed = 5;
  const EnsembleResult r = how_sure_it_is(garden, q);
  const Years years = all_years(plan);
  std::size_t p = 0;
  for (const ColumnPlan& column : plan.columns) {
    if (!column.planting) continue;
    const auto figures = unknown_figures(plan, column, 1);
    const auto values = draw(figures, 5, 18);
    for (const std::size_t i : {0u, 7u, 17u})
      for (std::size_t y = 0; y < years.seasons.size(); ++y) {
        const SampledColumn s = sampled_column(plan, column, figures, values[i]);
        const auto doses = doses_of(plan, s.column, years.first[y], years.days[y].season.size());
        const SoilClimate climate = climate_of(plan, s.column, years.days[y], doses);
        Member member = member_of(plan, s.column, climate, doses);
        member.nitrogen = &s.nitrogen;
        const Verdict v = judge(run_batch(s.column.shape, {&member, 1})[0].plant, years.until[y]);
        EXPECT_EQ(r.plantings[p].first_short[i][y], v.first_short);
        EXPECT_EQ(r.plantings[p].outcome[i][y], v.outcome);
      }
    ++p;
  }
}

bool same(const EnsembleResult& a, const EnsembleResult& b) { return in_json(a) == in_json(b) && in_csv(a) == in_csv(b); }

TEST(EnsembleThreads, TheSameBytesWhateverTheThreads) {
  const Garden garden = testing::garden_of(small(2));
  const EnsembleResult many = how_sure_it_is(garden, asked(20));
  const OneThread alone;
  EXPECT_TRUE(same(many, how_sure_it_is(garden, asked(20))));
}

TEST(Ensemble, SeedsGiveOtherDrawsAndMuchTheSameAnswer) {
  const Garden garden = testing::garden_of(small(2));
  EnsembleQuestion q = asked(40);
  const EnsembleResult a = how_sure_it_is(garden, q);
  EXPECT_TRUE(same(a, how_sure_it_is(garden, q)));
  q.seed = 2;
  const EnsembleResult b = how_sure_it_is(garden, q);
  EXPECT_FALSE(same(a, b));
  for (std::size_t p = 0; p < a.plantings.size(); ++p)
    EXPECT_NEAR(a.plantings[p].kept_share, b.plantings[p].kept_share,
                4 * std::hypot(a.plantings[p].standard_error, b.plantings[p].standard_error) + 1e-12)
        << a.plantings[p].name;
}

// What one planting is told does not change because another one was planted elsewhere.
TEST(Ensemble, AnotherBedChangesNothing) {
  Scenario s = small(1);
  const EnsembleResult alone = how_sure_it_is(testing::garden_of(s), asked(10));
  s.beds.push_back(testing::bed("Gravel", 6, 1));
  s.beds.back().plantings.push_back(testing::planting(s, "Yuccas", "yucca", 2));
  const EnsembleResult both = how_sure_it_is(testing::garden_of(std::move(s)), asked(10));
  ASSERT_EQ(both.plantings.size(), alone.plantings.size() + 1);
  for (std::size_t p = 0; p < alone.plantings.size(); ++p) {
    EXPECT_EQ(both.plantings[p].first_short, alone.plantings[p].first_short);
    EXPECT_EQ(both.plantings[p].bands[0].at, alone.plantings[p].bands[0].at);
  }
}

TEST(Ensemble, DrawsStayWithinTheirBounds) {
  const Garden garden = testing::example("saltmarsh-lane.json");
  for (const ColumnPlan& c : garden.plan().columns) {
    const auto figures = unknown_figures(garden.plan(), c, 2);
    for (const auto& values : draw(figures, 3, 200)) {
      for (std::size_t f = 0; f < figures.size(); ++f) {
        EXPECT_GE(values[f], figures[f].spread.lower) << figures[f].key;
        EXPECT_LE(values[f], figures[f].spread.upper) << figures[f].key;
      }
      // Every set is one that the models accept: a fault would throw here.
      const SampledColumn s = sampled_column(garden.plan(), c, figures, values);
      for (std::size_t k = 0; k < s.column.materials.size(); ++k) {
        const lh_about& about = c.shape.slots[k].model->about;
        for (int i = 0; i < about.n_parameter; ++i) {
          EXPECT_GE(s.column.materials[k].parameter[static_cast<std::size_t>(i)], about.parameter[i].lower);
          EXPECT_LE(s.column.materials[k].parameter[static_cast<std::size_t>(i)], about.parameter[i].upper);
        }
      }
    }
  }
}

TEST(Ensemble, ItsSumsAreThoseOfItsTable) {
  const Garden garden = testing::garden_of(small(3));
  for (const PlantingSureness& p : how_sure_it_is(garden, asked(30)).plantings) {
    double kept = 0, n = 0, keeps = 0;
    for (const auto& draw : p.outcome) {
      double here = 0;
      for (const Outcome o : draw) here += o == Outcome::carried || o == Outcome::just_carried, n += 1;
      kept += here;
      keeps += here >= nine_in_ten(static_cast<int>(draw.size()));
    }
    EXPECT_NEAR(p.kept_share, kept / n, 1e-12);
    EXPECT_NEAR(p.draws_that_keep, keeps / static_cast<double>(p.outcome.size()), 1e-12);
    for (std::size_t q = 1; q < k_quantiles.size(); ++q) EXPECT_GE(p.kept_share_of_draw[q], p.kept_share_of_draw[q - 1]);
    ASSERT_EQ(p.bands.size(), 2u);
    for (const Band& b : p.bands)
      for (std::size_t d = 0; d < b.at[0].size(); ++d)
        for (std::size_t q = 1; q < k_quantiles.size(); ++q) EXPECT_GE(b.at[q][d], b.at[q - 1][d]);
    EXPECT_GT(p.bands[1].at[4][200], p.bands[1].at[0][200]) << "a band has a width";
  }
}

// The same weather year after year: then it is not the weather that moves the day.
TEST(Ensemble, WhereEveryYearIsAlikeOnlyTheUnknownMovesTheDay) {
  Scenario s = small(3);
  DailyWeather& w = s.weather;
  for (std::size_t d = 365; d < w.days(); ++d) {
    const MonthDay day = month_day_of(w.date(d));
    Date then = make_date(2003, day);
    if (then > *parse_date("2003-10-31")) then = make_date(2002, day);
    const auto from = static_cast<std::size_t>((then - w.first).count());
    w.tmin_c[d] = w.tmin_c[from], w.tmax_c[d] = w.tmax_c[from], w.rain_mm[d] = w.rain_mm[from];
  }
  const auto same_years = how_sure_it_is(testing::garden_of(s), asked(20));
  for (const PlantingSureness& p : same_years.plantings) {
    EXPECT_LT(p.weather_d, 1.5) << p.name << ": a leap day";
    EXPECT_GT(p.unknown_d, 5) << p.name;
  }
}

TEST(Ensemble, NumbersOutOfRangeAreRefused) {
  const Garden garden = testing::garden_of(small(1));
  for (const auto& spoil : std::vector<std::function<void(EnsembleQuestion&)>>{
           [](EnsembleQuestion& q) { q.samples = 1; }, [](EnsembleQuestion& q) { q.samples = 10001; },
           [](EnsembleQuestion& q) { q.width = -0.1; }, [](EnsembleQuestion& q) { q.width = std::nan(""); },
           [](EnsembleQuestion& q) { q.season = 1850; }}) {
    EnsembleQuestion q = asked(2);
    spoil(q);
    EXPECT_THROW(how_sure_it_is(garden, q), InputError);
  }
}

}  // namespace
}  // namespace leafhunger
