// Every release model that is there, ours and the samples, against the contract of plugin.h. Cases are made from the registry: a new plugin
// is tested by being there.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <map>
#include <set>
#include <thread>

#include "harness.hpp"
#include "support/rig.hpp"

namespace leafhunger {
namespace {

using testing::Draw;
using testing::Fenced;
using testing::lane_day;
using testing::LaneDay;
using testing::Rig;
using testing::same_bytes;
using testing::WeatherRows;

constexpr int k_days = 12;

// Parameters that may change without any effect on what is called here, with the reason. "model/parameter".
const std::map<std::string, std::string> k_unread = {};

struct Lane {
  std::vector<double> parameter;
  double given = 40;
  unsigned seed = 1;  // of weather, pools and ages
};

// All that a model said of one lane.
struct Said {
  std::vector<double> pool, surface_ammonium, age, coef, age_rate, bend;
  std::vector<double> all() const {
    std::vector<double> v;
    for (const auto* part : {&pool, &surface_ammonium, &age, &coef, &age_rate, &bend}) v.insert(v.end(), part->begin(), part->end());
    return v;
  }
};

Moisture moisture_of(const LaneDay& w) { return {0.48 * w.wfps, 0.27, 0.12, w.wfps, w.rel_water}; }

double response_of(const lh_response& r, const std::vector<double>& p, const LaneDay& w) {
  const double ref = r.t_ref_c == LH_NONE ? 0 : p[static_cast<std::size_t>(r.t_ref_c)],
               q = r.q == LH_NONE ? 0 : p[static_cast<std::size_t>(r.q)];
  return find_temperature_response(r.temperature)->value(w.t_soil, ref, q) * find_moisture_response(r.moisture)->value(moisture_of(w));
}

// Calls start once, then rates and bend on some days, for all lanes at once in rows of `pad`.
std::vector<Said> ask(const lh_release& model, const std::vector<Lane>& lanes, int pad) {
  const int m = static_cast<int>(lanes.size());
  const auto lane = [&](int i) -> const Lane& { return lanes[static_cast<std::size_t>(std::min(i, m - 1))]; };
  std::vector<Said> said(lanes.size());
  const auto collect = [&](Fenced& rows, std::vector<double> Said::*into) {
    EXPECT_TRUE(rows.fence_stands()) << model.about.name << " wrote outside its rows";
    EXPECT_TRUE(rows.all_written()) << model.about.name << " left a row unwritten, or wrote what is no number";
    for (int i = 0; i < m; ++i)
      for (int r = 0; r < rows.rows(); ++r) (said[static_cast<std::size_t>(i)].*into).push_back(rows.at(r, i));
  };
  const auto fill = [&](Fenced& rows, const auto& value) {
    for (int r = 0; r < rows.rows(); ++r)
      for (int i = 0; i < pad; ++i) rows.at(r, i) = value(r, lane(i));
  };
  Fenced parameter(model.about.n_parameter, pad), given(1, pad), t_dm(1, pad), nought(1, pad);
  fill(parameter, [](int r, const Lane& l) { return l.parameter[static_cast<std::size_t>(r)]; });
  fill(given, [](int, const Lane& l) { return l.given; });
  fill(t_dm, [](int, const Lane& l) { return 0.02 * l.given; });
  fill(nought, [](int, const Lane&) { return 0.0; });
  {
    Fenced pool(model.n_pool, pad), surface(1, pad), age(model.n_age, pad);
    lh_day day{};
    day.size = sizeof day, day.m = m, day.m_pad = pad;
    day.parameter = parameter.data(), day.given_kg_n_ha = given.data(), day.given_t_dm_ha = t_dm.data(), day.age_d = nought.data(),
    day.mulch_t_dm_ha = nought.data();
    EXPECT_EQ(model.start(&day, pool.data(), surface.data(), age.data()), LH_OK);
    collect(pool, &Said::pool), collect(surface, &Said::surface_ammonium), collect(age, &Said::age);
  }
  for (int d = 0; d < k_days; ++d) {
    WeatherRows weather(pad);
    Fenced response(model.n_response, pad), age_d(1, pad), mulch(1, pad), pool(model.n_pool, pad), age(model.n_age, pad);
    Fenced coef(model.n_flow, pad), age_rate(model.n_age, pad), bend(model.n_flow, pad);
    for (int i = 0; i < pad; ++i) weather.set(i, lane_day(lane(i).seed, 30 * d));
    fill(response, [&](int r, const Lane& l) { return response_of(model.response[r], l.parameter, lane_day(l.seed, 30 * d)); });
    fill(age_d, [&](int, const Lane&) { return 30.0 * d; });
    fill(mulch, [&](int, const Lane& l) { return Draw(l.seed + 3u).between(0, 30); });
    fill(pool,
         [&](int r, const Lane& l) { return l.given * Draw(l.seed + 17u * static_cast<unsigned>(r + 10 * d)).unit() / model.n_pool; });
    fill(age, [&](int r, const Lane& l) { return Draw(l.seed + 91u * static_cast<unsigned>(r + 10 * d)).between(0, 30.0 * d + 1); });
    Fenced in_pool = pool, in_age = age, in_parameter = parameter;
    lh_day day{};
    day.size = sizeof day, day.m = m, day.m_pad = pad;
    weather.into(day);
    day.parameter = in_parameter.data(), day.response = response.data(), day.given_kg_n_ha = given.data(), day.given_t_dm_ha = t_dm.data();
    day.age_d = age_d.data(), day.mulch_t_dm_ha = mulch.data();
    EXPECT_EQ(model.rates(&day, in_pool.data(), in_age.data(), coef.data(), age_rate.data()), LH_OK);
    collect(coef, &Said::coef), collect(age_rate, &Said::age_rate);
    if (model.bend) {
      // Whoever kept a pointer from the call before reads nonsense now.
      weather.spoil(), response.spoil(), in_pool.spoil(), in_age.spoil(), in_parameter.spoil();
      EXPECT_EQ(model.bend(pad, parameter.data(), pool.data(), age.data(), given.data(), bend.data()), LH_OK);
      collect(bend, &Said::bend);
    }
  }
  return said;
}

Said ask_one(const lh_release& model, const Lane& lane) { return ask(model, {lane}, 1)[0]; }

class ReleaseModels : public ::testing::TestWithParam<std::string> {
 protected:
  const lh_release& model() const { return testing::release(GetParam()); }
};

TEST_P(ReleaseModels, DefaultsPassTheirOwnCheck) {
  const auto def = default_parameters(model().about);
  char text[400] = "";
  if (model().about.check) {
    EXPECT_EQ(model().about.check(def.data(), text, sizeof text), LH_OK) << text;
  }
}

// Bounds set against each other until sets are refused: the sentence must fit any length given and end with a nought, and a `check` that
// refuses nothing within the bounds has no reason to be.
TEST_P(ReleaseModels, RefusalsFitTheirText) {
  const lh_about& about = model().about;
  if (!about.check) GTEST_SKIP() << "refuses nothing";
  int refused = 0;
  for (int32_t p = 0; p < about.n_parameter; ++p)
    for (int32_t q = 0; q < about.n_parameter; ++q)
      for (const double at_p : {about.parameter[p].lower, about.parameter[p].upper})
        for (const int n : {1, 2, 10, 400}) {
          auto set = default_parameters(about);
          set[static_cast<std::size_t>(p)] = at_p, set[static_cast<std::size_t>(q)] = about.parameter[q].upper;
          std::vector<char> text(static_cast<std::size_t>(n) + 1, '#');
          if (about.check(set.data(), text.data(), n) == LH_OK) continue;
          ++refused;
          EXPECT_EQ(text.back(), '#') << "wrote past the length it was given";
          EXPECT_NE(std::find(text.begin(), text.end() - 1, '\0'), text.end() - 1) << "no closing nought within " << n;
          if (n == 400) {
            EXPECT_GT(std::strlen(text.data()), 10u);
          }
        }
  EXPECT_GT(refused, 0);
}

TEST_P(ReleaseModels, StartSharesOutWhatWasGiven) {
  for (const auto& set : testing::corners(model().about))
    for (const double given : {1e-6, 0.3, 45.0, 2e4}) {
      const Said s = ask_one(model(), {set, given, 1});
      double sum = s.surface_ammonium[0];
      EXPECT_GE(s.surface_ammonium[0], 0);
      for (std::size_t p = 0; p < s.pool.size(); ++p) {
        sum += s.pool[p];
        EXPECT_GE(s.pool[p], 0);
        if (model().pool[p].place == LH_SOIL) {
          EXPECT_EQ(s.pool[p], 0) << model().pool[p].name << ": everything starts on the surface, the host forks it in";
        }
      }
      EXPECT_NEAR(sum, given, 1e-12 * given);
    }
}

TEST_P(ReleaseModels, NothingInNothingOut) {
  for (const auto& set : testing::corners(model().about, 4)) {
    const Said s = ask_one(model(), {set, 0, 1});
    for (const double p : s.pool) EXPECT_EQ(p, 0);
    EXPECT_EQ(s.surface_ammonium[0], 0);
  }
}

TEST_P(ReleaseModels, FiniteAndNotNegativeAtTheirBounds) {
  const auto sets = testing::corners(model().about);
  EXPECT_GT(sets.size(), 3u);
  for (const auto& set : sets)
    for (const unsigned seed : {1u, 2u}) {
      const Said s = ask_one(model(), {set, 40, seed});
      for (const double c : s.coef) EXPECT_TRUE(std::isfinite(c) && c >= 0) << c;
      for (const double r : s.age_rate) EXPECT_TRUE(std::isfinite(r)) << r;
      for (const double b : s.bend) EXPECT_TRUE(b >= 0 && b <= 4) << b;
    }
}

// bend where a pool is empty, or nothing was given: still within 0 to 4.
TEST_P(ReleaseModels, BendsStayInBoundsOnEmptyPools) {
  if (!model().bend) GTEST_SKIP() << "does not bend";
  for (const double given : {0.0, 40.0})
    for (const double left : {0.0, -1e-10, 1e-12, 40.0}) {
      Fenced parameter(model().about.n_parameter, 1), pool(model().n_pool, 1), age(model().n_age, 1), g(1, 1), out(model().n_flow, 1);
      const auto def = default_parameters(model().about);
      std::copy(def.begin(), def.end(), parameter.begin());
      std::fill(pool.begin(), pool.end(), left / model().n_pool), std::fill(age.begin(), age.end(), 0.0), g.at(0, 0) = given;
      EXPECT_EQ(model().bend(1, parameter.data(), pool.data(), age.data(), g.data(), out.data()), LH_OK);
      for (const double b : out) EXPECT_TRUE(b >= 0 && b <= 4) << b << " at " << left << " of " << given;
    }
}

TEST_P(ReleaseModels, EveryParameterIsRead) {
  const lh_about& about = model().about;
  auto bases = testing::drawn_sets(about, 12, 3);
  bases.insert(bases.begin(), default_parameters(about));
  std::set<int> by_host;  // those that the host applies itself, by what the tables point at
  for (int32_t r = 0; r < model().n_response; ++r) {
    // Only where the law takes them: a reference for a law without one would be a parameter that does nothing.
    const auto& law = *find_temperature_response(model().response[r].temperature);
    const int ref = model().response[r].t_ref_c, q = model().response[r].q;
    if (ref != LH_NONE && law.value(12, 20, 2) != law.value(12, 25, 2)) by_host.insert(ref);
    if (q != LH_NONE && law.value(12, 20, 2) != law.value(12, 20, 3)) by_host.insert(q);
  }
  for (int32_t p = 0; p < model().n_pool; ++p)
    for (const int at : {model().pool[p].wash_mm, model().pool[p].mix_per_day})
      if (at != LH_NONE) by_host.insert(at);
  for (int32_t p = 0; p < about.n_parameter; ++p) {
    const lh_parameter& described = about.parameter[p];
    if (k_unread.count(std::string(about.name) + "/" + described.name) || described.lower == described.upper) continue;
    bool read = by_host.count(p) > 0;
    for (std::size_t b = 0; b < bases.size() && !read; ++b)
      for (const double x : {described.lower, described.upper, (described.lower + described.upper) / 2}) {
        auto other = bases[b];
        other[static_cast<std::size_t>(p)] = x;
        char text[400] = "";
        if (about.check && about.check(other.data(), text, sizeof text) != LH_OK) continue;
        read = read || !same_bytes(ask_one(model(), {bases[b], 40, 1}).all(), ask_one(model(), {other, 40, 1}).all());
      }
    EXPECT_TRUE(read) << described.name << " is described but changes nothing within its bounds";
  }
}

std::vector<Lane> mixed_lanes(const lh_release& model, int n) {
  auto sets = testing::drawn_sets(model.about, n, 11);
  std::vector<Lane> lanes;
  for (int i = 0; i < n; ++i)
    lanes.push_back({sets[static_cast<std::size_t>(i) % sets.size()], 10.0 + 7 * i, static_cast<unsigned>(100 + i)});
  return lanes;
}

TEST_P(ReleaseModels, LanesDoNotKnowOfEachOther) {
  for (const int n : {1, 3, 8, 13, 16}) {
    const auto lanes = mixed_lanes(model(), n);
    const int pad = n <= 8 ? 8 : 16;
    const auto together = ask(model(), lanes, pad);
    for (int i = 0; i < n; ++i)
      EXPECT_TRUE(same_bytes(together[static_cast<std::size_t>(i)].all(), ask_one(model(), lanes[static_cast<std::size_t>(i)]).all()))
          << "lane " << i << " of " << n;
  }
}

TEST_P(ReleaseModels, SameInSameOut) {
  const auto lanes = mixed_lanes(model(), 8);
  const auto first = ask(model(), lanes, 8);
  ask(model(), mixed_lanes(model(), 5), 8);  // something else between
  const auto again = ask(model(), lanes, 8);
  for (std::size_t i = 0; i < lanes.size(); ++i) EXPECT_TRUE(same_bytes(first[i].all(), again[i].all()));
}

TEST_P(ReleaseModels, ThreadsMayCallAtOnce) {
  const auto lanes = mixed_lanes(model(), 8);
  const auto alone = ask(model(), lanes, 8);
  std::vector<std::vector<Said>> from(4);
  {
    std::vector<std::jthread> threads;
    for (auto& out : from)
      threads.emplace_back([&] {
        for (int k = 0; k < 5; ++k) out = ask(model(), lanes, 8);
      });
  }
  for (const auto& said : from)
    for (std::size_t i = 0; i < lanes.size(); ++i) EXPECT_TRUE(same_bytes(said[i].all(), alone[i].all()));
}

// Through the host: on the surface and forked in, wet and dry, alone and in lanes; mass kept, nothing below nought, both steppers agree.
TEST_P(ReleaseModels, RunsThroughTheColumn) {
  for (const double forked : {0.0, 120.0}) {
    Rig rig(120, 14, make_soil(*find_texture("loam"), 3));
    rig.nitrogen = NitrogenConstants{};
    Draw draw(9);
    for (std::size_t d = 0; d < 120; ++d) {
      rig.climate.rain_mm[d] = draw.chance(0.3) ? draw.between(0, 30) : 0;
      for (std::size_t l = 0; l < 4; ++l) {
        rig.climate.t_c[d * 4 + l] = 8 + 10 * draw.unit();
        rig.climate.wfps_frac[d * 4 + l] = draw.between(0.2, 0.95);
        rig.climate.drained_mm[d * 4 + l] = rig.climate.rain_mm[d] * 0.8;
      }
    }
    const std::size_t slot = rig.add(GetParam(), {}, forked, {0.085, 0.065, 1, 5.5});
    rig.feed(3, slot, 60);
    if (model().n_age == 0) rig.feed(40, slot, 25, 4);
    const double given = model().n_age == 0 ? 85 : 60;
    double worst = 0;
    std::vector<double> tight;
    testing::run(rig, [&](std::size_t d, ColumnBatch& c) {
      double sum = 0;
      for (std::size_t r = 0; r < c.map().nitrogen_rows; ++r) {
        EXPECT_GE(c.at(r, 0), -1e-9);
        if (r != c.map().taken) sum += c.at(r, 0);
      }
      const double in = 20 + c.at(c.map().from_soil, 0) + (d >= 40 ? given : d >= 3 ? 60 : 0);
      EXPECT_NEAR(sum, in, 1e-9 * in);
      tight.assign(c.state(), c.state() + c.map().rows);
    });
    const auto batch = make_batch_stepper();
    testing::run(rig.shape, rig.member(), *batch, [&](std::size_t d, ColumnBatch& c) {
      if (d == 119)
        for (std::size_t r = 0; r < c.map().nitrogen_rows; ++r) worst = std::max(worst, std::abs(c.at(r, 0) - tight[r]));
    });
    EXPECT_LT(worst, 1e-4 * given) << "production against reference, kg/ha, of " << given;
    const Member member = rig.member();
    std::vector<Member> many(11, member);
    const auto one = run_batch(rig.shape, {&member, 1}, 1), lanes = run_batch(rig.shape, many, 16);
    for (const auto& brief : lanes) EXPECT_EQ(std::memcmp(&brief.ledger, &one[0].ledger, sizeof(Ledger)), 0) << "same bytes in every lane";
  }
}

TEST_P(ReleaseModels, FreesMoreInTheWarmth) {
  const auto left = [&](double t_c) {
    Rig rig(60, t_c);
    rig.nitrogen.mineral_at_start_kg_ha = 1e4;
    rig.feed(0, rig.add(GetParam(), {}, 100), 50);
    double unfreed = 0;
    testing::run(rig, [&](std::size_t, ColumnBatch& c) { unfreed = ledger_of(c, 0).unfreed; });
    return unfreed;
  };
  double before = 51;
  for (const double t : {0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0}) {
    const double now = left(t);
    EXPECT_LE(now, before + 1e-9) << t;
    before = now;
  }
}

INSTANTIATE_TEST_SUITE_P(All, ReleaseModels, ::testing::ValuesIn(testing::names_of(testing::registry()->releases())),
                         [](const auto& one) { return testing::case_name(one.param); });

// Cases are made from what was loaded, so a plugin that was refused would go untested without a word.
TEST(ReleaseModelsThatAreThere, IncludeOursAndTheSamples) {
  const auto& models = testing::registry()->releases();
  EXPECT_FALSE(testing::load_report().any_refused()) << testing::load_report().summary();
  for (const char* ours : {"organic-two-pool", "bulky-mulch", "soluble-salt", "urea", "inhibited-urea", "methylene-urea",
                           "isobutylidene-diurea", "coated-granule", "sulphur-coated-urea", "sample-coated-granule"})
    EXPECT_EQ(models.count(ours), 1u) << ours << ": " << testing::load_report().summary();
  for (const auto& [exception, reason] : k_unread) EXPECT_GT(reason.size(), 10u) << exception << " is excused without a reason";
}

}  // namespace
}  // namespace leafhunger
