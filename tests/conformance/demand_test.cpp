// Every demand model that is there, ours and the sample, against the contract of plugin.h.
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <thread>

#include "core/plant_twin.hpp"
#include "harness.hpp"

namespace leafhunger {
namespace {

using testing::Draw;
using testing::Fenced;
using testing::lane_day;
using testing::same_bytes;
using testing::WeatherRows;

constexpr int k_days = 400;  // a season from 1 November, and beyond its end
constexpr int k_morning_rows = 10;

// Measured curves for models that read them, by the names that they ask for; others look at none.
const std::vector<double> k_table_day = {60, 120, 200, 290}, k_table_n_g_m2 = {0.5, 4, 18, 22};
const lh_table k_tables[] = {{"critical_n", 4, k_table_day.data(), k_table_n_g_m2.data()}};

// Parameters that may change without any effect on what is called here, with the reason. "model/parameter".
const std::map<std::string, std::string> k_unread = {};

struct Lane {
  std::vector<double> parameter;
  unsigned seed = 1;
};

struct Said {
  std::vector<double> start, morning, factor, critical, grow, grow_short, w;
  std::vector<double> all() const {
    std::vector<double> v;
    for (const auto* part : {&start, &morning, &factor, &critical, &grow, &grow_short, &w}) v.insert(v.end(), part->begin(), part->end());
    return v;
  }
};

// A season of mornings, with growth between them, for all lanes at once.
std::vector<Said> ask(const lh_demand& model, const std::vector<Lane>& lanes, int pad, int days = k_days) {
  const int m = static_cast<int>(lanes.size());
  const auto lane = [&](int i) -> const Lane& { return lanes[static_cast<std::size_t>(std::min(i, m - 1))]; };
  std::vector<Said> said(lanes.size());
  const auto collect = [&](Fenced& rows, std::vector<double> Said::*into) {
    EXPECT_TRUE(rows.fence_stands()) << model.about.name << " wrote outside its rows";
    EXPECT_TRUE(rows.all_written()) << model.about.name << " left a row unwritten, or wrote what is no number";
    for (int i = 0; i < m; ++i)
      for (int r = 0; r < rows.rows(); ++r) (said[static_cast<std::size_t>(i)].*into).push_back(rows.at(r, i));
  };
  Fenced parameter(model.about.n_parameter, pad), w(1, pad), memory(model.n_memory, pad);
  for (int i = 0; i < pad; ++i)
    for (int p = 0; p < model.about.n_parameter; ++p) parameter.at(p, i) = lane(i).parameter[static_cast<std::size_t>(p)];
  for (int d = 0; d < days; ++d) {
    WeatherRows weather(pad);
    for (int i = 0; i < pad; ++i) weather.set(i, lane_day(lane(i).seed, d));
    Fenced day_parameter = parameter;
    lh_day day{};
    day.size = sizeof day, day.m = m, day.m_pad = pad, day.parameter = day_parameter.data();
    day.n_table = 1, day.table = k_tables;
    weather.into(day);
    if (d == 0) {
      EXPECT_EQ(model.start(&day, w.data(), memory.data()), LH_OK);
      collect(w, &Said::start), collect(memory, &Said::start);
    }
    Fenced out(k_morning_rows, pad), factor(model.n_factor, pad), w_in = w;
    const auto row = [&](int r) { return out.data() + r * pad; };
    lh_morning morning{sizeof morning, row(0), row(1), row(2), row(3), row(4), row(5), row(6), row(7), row(8), row(9)};
    EXPECT_EQ(model.morning(&day, w_in.data(), memory.data(), &morning, factor.data()), LH_OK);
    collect(out, &Said::morning), collect(factor, &Said::factor);
    EXPECT_TRUE(memory.fence_stands());
    EXPECT_TRUE(memory.all_written());
    for (int i = 0; i < pad; ++i) w.at(0, i) *= out.at(8, i);
    weather.spoil(), day_parameter.spoil(), w_in.spoil(), out.spoil();

    Fenced critical(1, pad), nni(1, pad), stress(1, pad), rate(1, pad), rate_short(1, pad);
    EXPECT_EQ(model.critical(pad, parameter.data(), factor.data(), w.data(), critical.data()), LH_OK);
    collect(critical, &Said::critical);
    for (int i = 0; i < pad; ++i) nni.at(0, i) = LH_WELL_FED, stress.at(0, i) = Draw(lane(i).seed + static_cast<unsigned>(d)).unit();
    EXPECT_EQ(model.grow(pad, parameter.data(), factor.data(), w.data(), nni.data(), stress.data(), rate.data()), LH_OK);
    collect(rate, &Said::grow);
    for (int i = 0; i < pad; ++i) nni.at(0, i) = Draw(lane(i).seed + 77u + static_cast<unsigned>(d)).between(0, 1.5);
    EXPECT_EQ(model.grow(pad, parameter.data(), factor.data(), w.data(), nni.data(), stress.data(), rate_short.data()), LH_OK);
    collect(rate_short, &Said::grow_short);
    for (int i = 0; i < pad; ++i) w.at(0, i) = std::max(0.0, w.at(0, i) + rate.at(0, i));
    collect(w, &Said::w);
  }
  return said;
}

Said ask_one(const lh_demand& model, const Lane& lane, int days = k_days) { return ask(model, {lane}, 1, days)[0]; }

class DemandModels : public ::testing::TestWithParam<std::string> {
 protected:
  const lh_demand& model() const { return testing::demand(GetParam()); }
};

TEST_P(DemandModels, DefaultsPassTheirOwnCheck) {
  const auto def = default_parameters(model().about);
  char text[400] = "";
  if (model().about.check) {
    EXPECT_EQ(model().about.check(def.data(), text, sizeof text), LH_OK) << text;
  }
}

TEST_P(DemandModels, RefusalsFitTheirText) {
  if (!model().about.check) GTEST_SKIP() << "refuses nothing";
  const lh_about& about = model().about;
  // Bounds exchanged against each other until one set is refused; the sentence must fit any length given and end with a nought.
  for (int32_t p = 0; p < about.n_parameter; ++p)
    for (int32_t q = 0; q < about.n_parameter; ++q) {
      auto set = default_parameters(about);
      set[static_cast<std::size_t>(p)] = about.parameter[p].lower, set[static_cast<std::size_t>(q)] = about.parameter[q].upper;
      for (const int n : {1, 2, 10, 400}) {
        std::vector<char> text(static_cast<std::size_t>(n) + 1, '#');
        if (about.check(set.data(), text.data(), n) == LH_OK) continue;
        EXPECT_EQ(text.back(), '#') << "wrote past the length it was given";
        EXPECT_NE(std::find(text.begin(), text.end() - 1, '\0'), text.end() - 1) << "no closing nought within " << n;
        if (n == 400) {
          EXPECT_GT(std::strlen(text.data()), 10u);
        }
      }
    }
}

TEST_P(DemandModels, SaysSensibleThingsAtItsBounds) {
  const auto sets = testing::corners(model().about, 12);
  EXPECT_GT(sets.size(), 3u);
  for (const auto& set : sets) {
    const Said s = ask_one(model(), {set, 3});
    for (std::size_t k = 0; k + k_morning_rows <= s.morning.size(); k += k_morning_rows) {
      const double *m = &s.morning[k], awake = m[0], k_cb = m[3], depletion = m[4], root = m[5], luxury = m[6];
      ASSERT_TRUE(awake == 0 || awake == 1);
      for (const int share : {1, 2, 7, 8, 9}) ASSERT_TRUE(m[share] >= 0 && m[share] <= 1) << "row " << share << ": " << m[share];
      ASSERT_TRUE(k_cb >= 0 && k_cb < 3);
      ASSERT_TRUE(depletion >= 0 && depletion <= 1);
      ASSERT_TRUE(root >= 0 && root < 1e5);
      ASSERT_TRUE(luxury >= 1 && luxury < 10);
    }
    for (std::size_t d = 0; d < s.critical.size(); ++d) {
      ASSERT_TRUE(std::isfinite(s.critical[d]) && s.critical[d] >= 0);
      ASSERT_TRUE(std::isfinite(s.grow[d]));
      ASSERT_GE(s.grow[d] * (1 + 1e-12), s.grow_short[d]) << "no plant grows faster for being short";
      ASSERT_TRUE(s.w[d] >= 0 && s.w[d] < 1e4);
    }
  }
}

TEST_P(DemandModels, EveryParameterIsRead) {
  const lh_about& about = model().about;
  auto bases = testing::drawn_sets(about, 6, 3);
  bases.insert(bases.begin(), default_parameters(about));
  std::vector<std::vector<double>> said;
  for (const auto& base : bases) said.push_back(ask_one(model(), {base, 1}).all());
  for (int32_t p = 0; p < about.n_parameter; ++p) {
    const lh_parameter& described = about.parameter[p];
    if (k_unread.count(std::string(about.name) + "/" + described.name) || described.lower == described.upper) continue;
    bool read = false;
    for (std::size_t b = 0; b < bases.size() && !read; ++b)
      for (const double x : {described.lower, described.upper, (described.lower + described.upper) / 2}) {
        auto other = bases[b];
        other[static_cast<std::size_t>(p)] = x;
        char text[400] = "";
        if (about.check && about.check(other.data(), text, sizeof text) != LH_OK) continue;
        read = read || !same_bytes(said[b], ask_one(model(), {other, 1}).all());
        if (read) break;
      }
    EXPECT_TRUE(read) << described.name << " is described but changes nothing within its bounds";
  }
}

std::vector<Lane> mixed_lanes(const lh_demand& model, int n) {
  const auto sets = testing::drawn_sets(model.about, n, 11);
  std::vector<Lane> lanes;
  for (int i = 0; i < n; ++i) lanes.push_back({sets[static_cast<std::size_t>(i) % sets.size()], static_cast<unsigned>(50 + i)});
  return lanes;
}

TEST_P(DemandModels, LanesDoNotKnowOfEachOther) {
  for (const int n : {1, 5, 8, 11}) {
    const auto lanes = mixed_lanes(model(), n);
    const auto together = ask(model(), lanes, n <= 8 ? 8 : 16);
    for (int i = 0; i < n; ++i)
      EXPECT_TRUE(same_bytes(together[static_cast<std::size_t>(i)].all(), ask_one(model(), lanes[static_cast<std::size_t>(i)]).all()))
          << "lane " << i << " of " << n;
  }
}

TEST_P(DemandModels, SameInSameOut) {
  const auto lanes = mixed_lanes(model(), 8);
  const auto first = ask(model(), lanes, 8), again = ask(model(), lanes, 8);
  for (std::size_t i = 0; i < lanes.size(); ++i) EXPECT_TRUE(same_bytes(first[i].all(), again[i].all()));
}

TEST_P(DemandModels, ThreadsMayCallAtOnce) {
  const auto lanes = mixed_lanes(model(), 8);
  const auto alone = ask(model(), lanes, 8, 60);
  std::vector<std::vector<Said>> from(4);
  {
    std::vector<std::jthread> threads;
    for (auto& out : from)
      threads.emplace_back([&] {
        for (int k = 0; k < 3; ++k) out = ask(model(), lanes, 8, 60);
      });
  }
  for (const auto& said : from)
    for (std::size_t i = 0; i < lanes.size(); ++i) EXPECT_TRUE(same_bytes(said[i].all(), alone[i].all()));
}

// critical and grow as functions: nought at nought, smooth in between, nothing made of nothing.
TEST_P(DemandModels, NothingInNothingOut) {
  const auto def = default_parameters(model().about);
  std::vector<double> factor(static_cast<std::size_t>(model().n_factor), 0.3);
  const auto critical = [&](double w) {
    double n = 0;
    EXPECT_EQ(model().critical(1, def.data(), factor.data(), &w, &n), LH_OK);
    return n;
  };
  const auto grow = [&](double w, double nni, double stress) {
    double rate = 0;
    EXPECT_EQ(model().grow(1, def.data(), factor.data(), &w, &nni, &stress, &rate), LH_OK);
    return rate;
  };
  EXPECT_EQ(critical(0), 0);
  double before = 0;
  for (double w = 0.01; w < 50; w *= 1.05) {
    EXPECT_GE(critical(w), before) << w;
    before = critical(w);
  }
  for (const double w : {0.2, 2.0, 10.0}) {
    EXPECT_EQ(grow(w, 1, 0), 0) << "no water, no growth";
    EXPECT_EQ(grow(w, 0, 1), 0) << "no nitrogen, no growth";
    double last = 0;
    for (double nni = 0; nni <= 3; nni += 0.01) {
      EXPECT_GE(grow(w, nni, 1), last - 1e-15);
      EXPECT_LE(grow(w, nni, 1) - last, 0.05 * grow(w, LH_WELL_FED, 1)) << "no leap";
      last = grow(w, nni, 1);
    }
    EXPECT_NEAR(grow(w, 100, 1), grow(w, LH_WELL_FED, 1), 0.01 * grow(w, LH_WELL_FED, 1));
    EXPECT_EQ(grow(w, LH_WELL_FED, 1), grow(w, 10 * LH_WELL_FED, 1)) << "LH_WELL_FED and above";
  }
}

// The host's own twin, which checks every answer, takes it through two years.
TEST_P(DemandModels, RunsThroughTheHostsTwin) {
  for (const auto& set : testing::corners(model().about, 6)) {
    PlantOnGround plant;
    plant.model = &model(), plant.parameter = set, plant.cover = 0.8;
    plant.tables = {{"critical_n", k_table_day, k_table_n_g_m2}};
    PlantTwin twin(plant);
    for (int d = 0; d < 730; ++d) {
      const auto w = lane_day(8, d);
      PlantWeather day{make_date(2003, {11, 1}) + std::chrono::days{d},
                       w.day_of_year,
                       w.t_min,
                       w.t_max,
                       w.radiation,
                       w.day_length,
                       w.rain,
                       w.rain3,
                       w.t_soil,
                       w.wfps,
                       w.rel_water};
      if (d == 0) twin.start(day);
      twin.morning(day);
      twin.grow(0.8);
      ASSERT_GE(twin.w_free_t_ha(), twin.w_t_ha() * (1 - 1e-12)) << "the twin with water enough is never behind";
    }
  }
}

INSTANTIATE_TEST_SUITE_P(All, DemandModels, ::testing::ValuesIn(testing::names_of(testing::registry()->demands())),
                         [](const auto& one) { return testing::case_name(one.param); });

TEST(DemandModelsThatAreThere, IncludeOursAndTheSample) {
  for (const char* ours : {"herbaceous", "waterside-giant", "evergreen", "large-grass", "frugal", "measured-table", "sample-steady-grower"})
    EXPECT_TRUE(testing::registry()->demand(ours)) << ours << " is not there: " << testing::load_report().summary();
  for (const auto& [exception, reason] : k_unread) EXPECT_GT(reason.size(), 10u) << exception << " is excused without a reason";
}

}  // namespace
}  // namespace leafhunger
