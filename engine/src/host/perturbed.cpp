#include "perturbed.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <deque>
#include <span>

#include "core/stepper.hpp"
#include "sampled_column.hpp"
#include "years.hpp"

namespace leafhunger {
namespace {

using What = Perturbed::What;
using Kind = UnknownFigure::Kind;

constexpr std::size_t k_month_d = 30, k_fortnight_d = 14;  // our own guesses

bool belongs(const UnknownFigure& f, What what) {
  switch (what) {
    case What::feed:
      return f.kind == Kind::release || f.kind == Kind::ammonia || f.name == "humus_freed_per_year" || f.name == "mineral_at_start_kg_ha";
    case What::soil:
      return f.name == "humus_freed_per_year";
    case What::want:
      return f.name == "radiation_use_g_mj" || f.name == "critical_a_percent";
    case What::warmth:
      break;
  }
  return false;
}

// More of it frees less, for the plant: what the air takes.
bool turned(const UnknownFigure& f) { return f.kind == Kind::ammonia; }

SampledColumn with_figures(const Garden::Plan& plan, const ColumnPlan& column, const std::vector<UnknownFigure>& figures, What what,
                           bool high) {
  // Several that are unknown at once are seldom all at their least: together they are one standard deviation away.
  const auto many = std::count_if(figures.begin(), figures.end(), [&](const UnknownFigure& f) { return belongs(f, what); });
  const double likely = std::erfc(-1 / std::sqrt(2.0 * static_cast<double>(many))) / 2;
  std::vector<double> values;
  for (const UnknownFigure& f : figures)
    values.push_back(belongs(f, what) ? quantile_of(f.spread, high != turned(f) ? likely : 1 - likely) : f.spread.value);
  return sampled_column(plan, column, figures, values);
}

// N as nitrate on a day's end, mg/kg of the ground above 300 mm, of two members of one shape.
std::array<double, 2> nitrate_mg_kg(const ColumnShape& shape, std::span<const Member> two, std::size_t day) {
  ColumnBatch c(shape, two, 8);
  const auto stepper = make_batch_stepper();
  c.start();
  for (std::size_t d = 0; d <= day; ++d) c.begin_day(d), stepper->day(c, d);
  const Soil& soil = *two[0].soil;
  std::array<double, 2> kg_ha{};
  double per_mg_kg = 0;
  for (std::size_t l = 0; l < soil.layers(); ++l) {
    const double part = std::clamp((300 - soil.top_mm(l)) / soil.thickness_mm[l], 0.0, 1.0);
    per_mg_kg += part * soil.kg_ha_per_mg_kg(l);
    for (std::size_t i = 0; i < 2; ++i) kg_ha[i] += part * (c.at(c.map().nitrate_fast + l, i) + c.at(c.map().nitrate_slow + l, i));
  }
  return {kg_ha[0] / per_mg_kg, kg_ha[1] / per_mg_kg};
}

// A fortnight before it runs short at the earliest, or before the date: early enough to act. Not before the feed had a fortnight.
std::size_t nitrate_day(const Member& member, const Verdict& low, std::size_t until) {
  const std::size_t end = std::min(low.first_short.value_or(until), until), after = member.doses.front().day + k_fortnight_d;
  return std::min(std::max(end > k_fortnight_d ? end - k_fortnight_d : 0, after), member.climate->days - 1);
}

}  // namespace

std::vector<Perturbed> perturbed_cases(const Garden::Plan& plan, const ColumnPlan& column, const SeasonDays& days, const Member& member,
                                       std::size_t until) {
  const auto figures = unknown_figures(plan, column, 1);
  constexpr What k_all[] = {What::feed, What::warmth, What::want, What::soil};
  std::deque<SampledColumn> columns;
  std::deque<SoilClimate> climates;
  std::vector<Member> members;
  for (const What what : k_all)
    for (const bool high : {false, true}) {
      Member m = member;
      if (what == What::warmth) {
        climates.push_back(*member.climate);
        for (double& t : climates.back().t_c) t += high ? k_warmth_off_c : -k_warmth_off_c;
        m.climate = &climates.back();
      } else {
        columns.push_back(with_figures(plan, column, figures, what, high));
        const SampledColumn& other = columns.back();
        m = member_of(plan, other.column, *member.climate, member.doses);
        m.nitrogen = &other.nitrogen;
        if (what == What::want) {
          climates.push_back(climate_of(plan, other.column, days, member.doses));
          m.climate = &climates.back();
        }
      }
      members.push_back(std::move(m));
    }
  const auto briefs = run_batch(column.shape, members, 8);
  std::vector<Perturbed> out;
  const auto day_of = [&](const Verdict& v) { return static_cast<int>(v.first_short.value_or(member.climate->days)); };
  for (std::size_t k = 0; k < std::size(k_all); ++k) {
    Perturbed p;
    p.what = k_all[k];
    p.low = judge(briefs[2 * k].plant, until), p.high = judge(briefs[2 * k + 1].plant, until);
    p.moves_d = std::abs(day_of(p.high) - day_of(p.low));
    out.push_back(p);
  }
  out[0].nitrate_day = nitrate_day(member, out[0].low, until);
  const auto nitrate = nitrate_mg_kg(column.shape, {members.data(), 2}, out[0].nitrate_day);
  out[0].nitrate_low_mg_kg = nitrate[0], out[0].nitrate_high_mg_kg = nitrate[1];
  return out;
}

bool too_uncertain(const Verdict& reckoned, const std::vector<Perturbed>& cases, std::size_t until) {
  const auto short_long = [&](const Verdict& v) { return v.outcome == Outcome::ran_short && *v.first_short + k_month_d <= until; };
  return !short_long(reckoned) && std::any_of(cases.begin(), cases.end(), [&](const Perturbed& p) {
    return (kept(p.low) && short_long(p.high)) || (kept(p.high) && short_long(p.low));
  });
}

const Perturbed& deciding(const std::vector<Perturbed>& cases) {
  return *std::max_element(cases.begin(), cases.end(), [](const Perturbed& a, const Perturbed& b) { return a.moves_d < b.moves_d; });
}

std::string to_measure(What what) {
  switch (what) {
    case What::feed:
      return "the soil's nitrate, with a strip";
    case What::warmth:
      return "the soil's warmth, with a thermometer";
    case What::want:
      return "how big it grows and how dark its leaves are";
    case What::soil:
      break;
  }
  return "what the soil gives, by a plant left unfed";
}

}  // namespace leafhunger
