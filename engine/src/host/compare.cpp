#include "leafhunger/compare.hpp"

#include <algorithm>

#include "leafhunger/error.hpp"
#include "leafhunger/lasts.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

Side side_of(const Garden& garden, const std::string& title) {
  SeasonOptions plain;
  plain.reasons = false;
  const SeasonResult r = run_season(garden, plain);
  Side s;
  s.title = title;
  s.given_g = r.given_g, s.gain_g = r.gain_g, s.cost = r.cost, s.trips = r.trips;
  s.taken_g = r.total_g.taken, s.washed_g = r.total_g.leached, s.air_g = r.total_g.volatilised + r.total_g.denitrified;
  for (const Carried& c : r.carried) s.carried_kg += c.kg;
  return s;
}

ComparedPlanting::Years years_of(const PlantingYears& p) {
  return {p.kept, static_cast<int>(p.years.size()), p.kept_nine_in_ten, p.kept_whole_season};
}

}  // namespace

bool ComparedPlanting::differs() const {
  if (!a || !b) return true;
  const bool same_day = a->whole_season == b->whole_season && (a->whole_season || a->nine_in_ten == b->nine_in_ten);
  return a->kept != b->kept || a->of != b->of || !same_day;
}

Scenario changed(Scenario s, const Change& change) {
  if (!change.any()) return s;
  const auto refuse = [&](const char* place, const std::string& found, const std::string& allowed, const char* hint) {
    throw InputError({s.file, place, found, allowed, hint});
  };
  if (s.feedings.empty())
    refuse("/feedings", "no feeding, so nothing to change", "a scenario in which something is fed", "add a feeding to it");
  if (!(change.times > 0 && change.times <= 100))
    refuse("--times", input::plain(change.times), "more than 0 and at most 100", "half as much is 0.5");
  long earliest = order_in_season(s.site, s.feedings[0].on);
  MonthDay first = s.feedings[0].on;
  for (const Feeding& f : s.feedings)
    if (order_in_season(s.site, f.on) < earliest) earliest = order_in_season(s.site, f.on), first = f.on;
  // In a common year, as gardeners count.
  const auto date = [&](MonthDay d) {
    const Date start = season_first(s.site, 2003);
    Date at = make_date(year_of(start), d);
    if (at < start) at = make_date(year_of(start) + 1, d);
    return at;
  };
  for (Feeding& f : s.feedings) {
    const Material& before = s.catalogue.materials.at(f.material);
    double grams = f.amount.value * grams_per_measure(s, before, f.amount.measure) * change.times;
    if (!change.material.empty()) {
      const auto it = s.catalogue.materials.find(change.material);
      if (it == s.catalogue.materials.end())
        refuse("--material", input::in_quotes(change.material), "a material of the catalogue", "`leafhunger list materials` lists them");
      if (change.same_nitrogen) grams *= before.n_percent / it->second.n_percent;
      f.material = change.material;
    }
    f.amount.value = grams, f.amount.measure = Amount::Measure::grams;
    if (change.first) {
      const Date moved = date(f.on) + (date(*change.first) - date(first));
      if (moved < season_first(s.site, 2003) || moved > season_last(s.site, 2003))
        refuse("--first", to_iso(*change.first) + ", which moves the feeding of " + to_iso(f.on) + " out of its season",
               "a day that leaves every feeding within the season", "choose an earlier day");
      f.on = month_day_of(moved);
    }
  }
  return s;
}

std::string in_words(const Change& change, const Catalogue& catalogue) {
  std::string text;
  const auto say = [&](const std::string& part) { text += (text.empty() ? "" : ", ") + part; };
  if (!change.material.empty())
    say(lower_first(catalogue.materials.at(change.material).title) + " instead, " +
        (change.same_nitrogen ? "as much nitrogen" : "the same weight"));
  if (change.times != 1) say(input::plain(change.times) + " times as much");
  if (change.first) say("first fed on " + to_words(*change.first));
  return text.empty() ? "the same" : text;
}

CompareResult compare(const Garden& a, const Garden& b, const std::string& title_a, const std::string& title_b) {
  CompareResult out;
  const Scenario &sa = a.scenario(), &sb = b.scenario();
  out.currency = sa.currency, out.carry_to = sa.question.carry_to, out.season_start = season_start_day(sa.site);
  out.season_a = sa.question.season, out.season_b = sb.question.season;
  out.weather_note = sa.weather.made_up;
  if (sa.question.carry_to != sb.question.carry_to)
    out.notes.push_back("A asks about " + to_words(sa.question.carry_to) + ", B about " + to_words(sb.question.carry_to) + ".");
  if (sa.weather_file != sb.weather_file || sa.weather.first != sb.weather.first || sa.weather.rain_mm != sb.weather.rain_mm)
    out.notes.push_back("The two have weather of their own, which differs too.");
  if (sa.currency != sb.currency) out.notes.push_back("B reckons in " + sb.currency + ".");
  out.a = side_of(a, title_a), out.b = side_of(b, title_b);
  const LastsResult years_a = how_often_it_lasts(a), years_b = how_often_it_lasts(b);
  const auto find = [](const LastsResult& r, const std::string& name) {
    return std::find_if(r.plantings.begin(), r.plantings.end(), [&](const PlantingYears& p) { return p.name == name; });
  };
  for (const PlantingYears& p : years_a.plantings) {
    ComparedPlanting c{p.name, years_of(p), std::nullopt};
    if (const auto it = find(years_b, p.name); it != years_b.plantings.end()) c.b = years_of(*it);
    out.plantings.push_back(c);
  }
  for (const PlantingYears& p : years_b.plantings)
    if (find(years_a, p.name) == years_a.plantings.end()) out.plantings.push_back({p.name, std::nullopt, years_of(p)});
  return out;
}

}  // namespace leafhunger
