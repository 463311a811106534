// How it stands today, in words and as JSON.
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "leafhunger/today.hpp"
#include "lines.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using Json = nlohmann::ordered_json;
using lines::padded;
using lines::wrapped;

constexpr double k_full = 1.1, k_short = 0.9;  // of critical N: a store in the leaves; the verdict's line (equations.md 7)
constexpr double k_many_days = 60;

std::string how(const PlantingToday& p) {
  if (p.state == DayState::asleep) return "asleep";
  if (p.state == DayState::dry) return "thirsty";
  if (p.nni < k_short) return "short";
  if (p.nni < 1) return "hungry";
  return p.nni < k_full ? "fed" : "well fed";
}

std::string day(Date d) { return to_words(month_day_of(d)); }

std::string due(const PlantingToday& p, const TodayResult& r) {
  const auto n = static_cast<int>(p.futures.size());
  const std::string until = "until " + day(r.carry_to);
  if (!p.needed)
    return "needs nothing more " + until +
           (p.short_in == 0 ? "" : ", in " + std::to_string(n - p.short_in) + " years of " + std::to_string(n));
  if (p.due_usual && *p.due_usual <= r.on) return "feed now";
  std::string text;
  if (!p.due_usual) {
    text = "feed in " + std::to_string(p.short_in) + " years of " + std::to_string(n);
    if (p.due_early) text += ", not before " + (*p.due_early <= r.on ? std::string("today") : day(*p.due_early));
    return text + "; watch its leaves";
  }
  text = "feed by " + day(*p.due_usual);
  std::string band;
  if (p.due_early && *p.due_early != *p.due_usual)
    band = "in an early year " + (*p.due_early <= r.on ? std::string("now") : day(*p.due_early));
  if (!p.due_late) {
    band += (band.empty() ? "" : ", ") + std::string("in a late one not at all");
  } else if (*p.due_late != *p.due_usual) {
    band += (band.empty() ? "" : ", ") + std::string("in a late one ") + day(*p.due_late);
  }
  return band.empty() ? text : text + " (" + band + ")";
}

// The earlier feed is due, the higher up; then what needs none.
Date rank(const PlantingToday& p) {
  const Date never = Date::max();
  return !p.needed ? never : p.due_usual.value_or(never - std::chrono::days{1});
}

Json date_or_null(const std::optional<Date>& d) { return d ? Json(to_iso(*d)) : Json(); }

}  // namespace

std::string in_words(const TodayResult& r, bool more) {
  std::string out = lines::headed(
      r.garden + ", " + day(r.on) + " " + std::to_string(year_of(r.on)) + ". How does it stand, and when is the next feed due?", r.note,
      r.weather_note);
  std::vector<const PlantingToday*> sorted;
  for (const auto& p : r.plantings) sorted.push_back(&p);
  std::stable_sort(sorted.begin(), sorted.end(), [](const auto* a, const auto* b) { return rank(*a) < rank(*b); });
  for (const auto* p : sorted) {
    const std::string head = "  " + padded(input::shown(p->name, 20), 24) + padded(how(*p), 10);
    std::string text = due(*p, r);
    if (p->state != DayState::asleep && (more || p->needed) && p->days_in_hand < k_many_days)
      text += "; " + input::counted(std::lround(p->days_in_hand), "day", "days") + " in hand";
    out += wrapped(head, text, lines::width(head));
  }
  out += '\n';
  // What the same again would do: a line where it does, one line for all where it does not.
  std::string not_by_that;
  bool said = false;
  for (const auto* p : sorted) {
    if (p->again_words.empty()) continue;
    said = true;
    if (!p->again_by) {
      not_by_that += (not_by_that.empty() ? "" : ", ") + p->name + " (" + std::to_string(p->again_kept) + ")";
      continue;
    }
    out += wrapped("  " + p->name + ": ",
                   "the same again, " + p->again_words + ", " +
                       (*p->again_by <= r.on ? std::string("today and no later") : "by " + day(*p->again_by)) + ", lasts until " +
                       day(r.carry_to) + " in " + std::to_string(p->again_kept) + " years of " + std::to_string(p->futures.size()) + ".",
                   4);
  }
  if (!not_by_that.empty())
    out += wrapped("  ",
                   "The same again, once, is not enough in 9 years of 10 (years of " + std::to_string(r.seasons.size()) +
                       " that it lasts): " + not_by_that + ". `leafhunger topup` says how often.",
                   4);
  if (said) out += '\n';
  if (r.given.empty()) {
    out += "  Nothing was given so far.\n";
  } else if (more) {
    for (const std::string& g : r.given) out += wrapped("  given: ", g, 4);
  }
  for (const std::string& g : r.to_come) out += wrapped("  not counted, still to come: ", g, 4);
  const bool any = std::any_of(r.plantings.begin(), r.plantings.end(), [](const PlantingToday& p) { return p.needed; });
  if (any)
    out += wrapped("  ",
                   "Due is the day from which it holds less than it wants, on the way to running short; days in hand are what roots can "
                   "reach now. Feed takes its time to come: the last day for the same again is the surer guide.",
                   2);
  out += wrapped("  ",
                 "Weather as it was up to today, then as in " +
                     input::counted(static_cast<long>(r.seasons.size()), "other season", "other seasons") + " of the record (" +
                     std::to_string(r.seasons.front()) + " to " + std::to_string(r.seasons.back()) + ").",
                 2);
  return out;
}

std::string in_json(const TodayResult& r) {
  Json plantings = Json::array();
  for (const PlantingToday& p : r.plantings) {
    Json futures = Json::array();
    const auto at = [&](const std::optional<std::size_t>& d) {
      return d ? Json(to_iso(r.first + std::chrono::days{static_cast<long>(*d)})) : Json();
    };
    for (const Future& f : p.futures) futures.push_back({{"weather_of", f.season}, {"due", at(f.due)}, {"first_short", at(f.first_short)}});
    plantings.push_back({{"name", p.name},
                         {"hunger", name_of(p.hunger)},
                         {"state", name_of(p.state)},
                         {"words", how(p)},
                         {"nni", p.nni},
                         {"days_in_hand", p.days_in_hand},
                         {"last_fed", date_or_null(p.last_fed)},
                         {"needed", p.needed},
                         {"short_in_years", p.short_in},
                         {"due_early", date_or_null(p.due_early)},
                         {"due_usual", date_or_null(p.due_usual)},
                         {"due_late", date_or_null(p.due_late)},
                         {"again", p.again_words.empty() ? Json() : Json(p.again_words)},
                         {"again_by", date_or_null(p.again_by)},
                         {"again_kept_years", p.again_words.empty() ? Json() : Json(p.again_kept)},
                         {"futures", futures}});
  }
  return Json{{"format", 1},
              {"garden", r.garden},
              {"note", r.note},
              {"weather_note", r.weather_note},
              {"on", to_iso(r.on)},
              {"carry_to", to_iso(r.carry_to)},
              {"season", r.season},
              {"futures_of", r.seasons},
              {"given", r.given},
              {"to_come", r.to_come},
              {"plantings", plantings},
              {"notes", r.notes}}
             .dump(2) +
         "\n";
}

}  // namespace leafhunger
