// How it stands today, in words and as JSON.
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "leafhunger/lasts.hpp"
#include "leafhunger/today.hpp"
#include "lines.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using Json = nlohmann::ordered_json;
using lines::padded;
using lines::wrapped;

constexpr double k_full = 1.1, k_short = 0.9;  // of critical N: a store in the leaves; the verdict's line (equations.md 7)
constexpr double k_many_days = 60;
constexpr std::chrono::days k_fresh{7};  // a feed so young has hardly begun, and more on top scorches before it helps: our own rule

std::string how(const PlantingToday& p) {
  if (p.state == DayState::asleep) return "asleep";
  if (p.state == DayState::dry) return "thirsty";
  if (p.nni < k_short) return "short";
  if (p.nni < 1) return "hungry";
  return p.nni < k_full ? "fed" : "well fed";
}

std::string day(Date d) { return to_words(month_day_of(d)); }

// Hungry, but what it had lately has yet to come: the day on which to ask again.
std::optional<Date> ask_again(const PlantingToday& p, const TodayResult& r) {
  if (!p.due_usual || *p.due_usual > r.on || !p.last_fed || *p.last_fed + k_fresh <= r.on) return std::nullopt;
  return *p.last_fed + k_fresh;
}

std::string due(const PlantingToday& p, const TodayResult& r) {
  const auto n = static_cast<int>(p.futures.size());
  const std::string until = "until " + day(r.carry_to);
  if (!p.needed)
    return "needs nothing more " + until +
           (p.short_in == 0 ? "" : ", in " + std::to_string(n - p.short_in) + " years of " + std::to_string(n));
  if (const auto again = ask_again(p, r)) return "wait for what it was given, ask again on " + day(*again);
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

// "about 17 July (8 July to 2 August)".
std::string when(const PlantingToday& p, const TodayResult& r) {
  const auto n = static_cast<int>(p.futures.size());
  if (!p.due_usual)
    return "only in some years (" + std::to_string(p.short_in) + " of " + std::to_string(n) + ")" +
           (p.due_early && *p.due_early > r.on ? ", not before " + day(*p.due_early) : "");
  if (*p.due_usual <= r.on) return "now";
  const std::string usual = "about " + day(*p.due_usual);
  if (!p.due_early || (p.due_late && *p.due_early == *p.due_late)) return usual;
  const std::string early = *p.due_early <= r.on ? "today" : day(*p.due_early);
  if (!p.due_late) return usual + " (" + early + " at the earliest, in a kind year not at all)";
  return usual + " (" + early + " to " + day(*p.due_late) + ")";
}

std::string of_futures(int k, const PlantingToday& p) { return std::to_string(k) + " years of " + std::to_string(p.futures.size()); }

// Where "enough" would be false comfort: it does not grow. Empty where it does.
std::string not_growing(const PlantingToday& p) {
  const int most = nine_in_ten(static_cast<int>(p.futures.size())), n = static_cast<int>(p.futures.size());
  if (p.slept_in >= most) return "never wakes, too cold: a thermometer beside it, or a first new leaf, settles it";
  if (2 * p.thirsty_in > n)
    return "water, not feed, is the limit in " + of_futures(p.thirsty_in, p) +
           ": soak one plant every week for a month; if it grows away, water it was";
  return "";
}

std::string one_planting(const PlantingToday& p, const TodayResult& r) {
  if (const auto again = ask_again(p, r))
    return "hungry, but what it was given on " + day(*p.last_fed) + " has hardly begun, and more on top could scorch: ask again on " +
           day(*again) + ".";
  if (p.too_late)
    return "lacks nitrogen, but it is too late to mend that by " + day(r.carry_to) +
           ": what is given now would show after it. Leave it for spring.";
  std::string text = "feed " + when(p, r);
  if (p.again_words.empty())
    return text + (r.to_come.empty() ? "; nothing was given yet, so `leafhunger topup` says how much."
                                     : "; nothing was given yet, and what is still to come is not counted.");
  if (!p.again_by)
    return text + ". The same again, " + p.again_words + ", lasts until " + day(r.carry_to) + " in " +
           (p.again_kept == 0 ? "no year" : "only " + input::counted(p.again_kept, "year", "years")) + " of " +
           std::to_string(p.futures.size()) + ": `leafhunger topup` says how often.";
  text += ": " + p.again_words;
  if (*p.again_by > r.on && (!p.due_usual || *p.again_by < *p.due_usual))
    text += "; given by " + day(*p.again_by) + " it lasts until " + day(r.carry_to);
  else if (*p.again_by <= r.on)
    text += "; given today it lasts until " + day(r.carry_to);
  else
    text += ", which lasts until " + day(r.carry_to);
  return text + " in " + std::to_string(p.again_kept) + " years of " + std::to_string(p.futures.size()) + ".";
}

std::string upper_first(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 32);
  return text;
}

std::string names_of(const std::vector<const PlantingToday*>& some) {
  std::vector<std::string> names;
  for (const auto* p : some) names.push_back(p->name);
  return joined(names);
}

// What needs nothing, each group with its reason.
std::string needing_nothing(const std::vector<const PlantingToday*>& idle, const TodayResult& r) {
  std::vector<const PlantingToday*> unfed, frugal, asleep, carried, mostly;
  for (const auto* p : idle) {
    if (!not_growing(*p).empty()) continue;  // has a line of its own
    auto& group = p->hunger == Hunger::frugal    ? frugal
                  : p->state == DayState::asleep ? asleep
                  : p->short_in > 0              ? mostly
                  : p->last_fed                  ? carried
                                                 : unfed;
    group.push_back(p);
  }
  std::string text;
  const auto say = [&](const std::vector<const PlantingToday*>& group, const std::string& why) {
    if (!group.empty()) text += (text.empty() ? "" : "; ") + why + ": " + names_of(group);
  };
  const std::string until = "enough until " + day(r.carry_to);
  say(carried, until);
  say(mostly, until + " in 9 years of 10");
  say(unfed, "living on what the soil frees");
  say(asleep, "asleep");
  say(frugal, "better unfed");
  return text;
}

// Every planting on a line: how it is, when it is due, for how long it has enough at hand.
std::string table(const std::vector<const PlantingToday*>& sorted, const TodayResult& r) {
  std::string out;
  for (const auto* p : sorted) {
    const std::string head = "  " + padded(input::shown(p->name, 20), 24) + padded(how(*p), 10);
    std::string text = r.on > r.carry_to ? "" : due(*p, r);
    if (p->state != DayState::asleep && p->days_in_hand < k_many_days)
      text += (text.empty() ? "" : "; ") + input::counted(std::lround(p->days_in_hand), "day", "days") + " in hand";
    out += wrapped(head, text, lines::width(head));
  }
  return out +
         wrapped("  ",
                 "Due is the day from which it holds less than it wants, on the way to running short; days in hand are what roots can "
                 "reach now. Feed takes its time to come: the last day for the same again is the surer guide.",
                 2) +
         '\n';
}

constexpr const char* k_late = "Better stop feeding nitrogen for this year: cold roots leave it to be washed out.";

// Past the date asked about nothing is looked for any more.
std::string past_words(const TodayResult& r) {
  const std::string past = day(r.carry_to) + ", the date asked about, is past";
  return wrapped("  ",
                 r.late ? past + ". " + k_late + " Ask again from " + day(r.first) + ", when the next season begins."
                        : past + ": to look further ahead, move \"carry_to\" in the scenario.",
                 2);
}

std::string weather_words(const TodayResult& r) {
  const std::string others = input::counted(static_cast<long>(r.seasons.size()), "other season", "other seasons") + " of the record (" +
                             std::to_string(r.seasons.front()) + " to " + std::to_string(r.seasons.back()) + ")";
  if (!r.any_weather) return "No weather of this season is at hand: all of it as in " + others + ".";
  return "Weather as it was up to " + (r.known_to == r.on ? std::string("today") : day(r.known_to) + ", where the record ends") +
         ", then as in " + others + ".";
}

}  // namespace

std::string in_words(const TodayResult& r, bool more) {
  std::string out =
      lines::headed(r.garden + ", " + day(r.on) + " " + std::to_string(year_of(r.on)) + ". What needs feeding?", r.note, r.weather_note);
  std::vector<const PlantingToday*> sorted, idle;
  for (const auto& p : r.plantings) sorted.push_back(&p);
  std::stable_sort(sorted.begin(), sorted.end(), [](const auto* a, const auto* b) { return rank(*a) < rank(*b); });
  bool this_week = false, any = false;
  for (const auto* p : sorted) {
    if (!p->needed) {
      idle.push_back(p);
      continue;
    }
    any = true;
    this_week = this_week || (p->due_usual && *p->due_usual < r.on + std::chrono::days{7} && !ask_again(*p, r) && !p->too_late);
    out += wrapped(
        "  " + input::shown(p->name, 40) + ": ",
        one_planting(*p, r) + (p->measure.empty() || p->too_late ? "" : " Too uncertain to lean on: measure first " + p->measure + "."), 4);
  }
  const bool past = r.on > r.carry_to;
  if (past)
    out += past_words(r);
  else if (r.late && any)
    out += wrapped("  ! ", k_late, 4);
  if (!past) {
    for (const auto* p : idle) {
      const std::string words = not_growing(*p), open = p->measure;
      if (words.empty() && open.empty()) continue;
      any = true;
      out += wrapped("  " + input::shown(p->name, 40) + ": ",
                     words.empty() ? "too uncertain to say; as reckoned it has enough. Measure first " + open + "." : words + ".", 4);
    }
    const std::string nothing = needing_nothing(idle, r);
    if (any && (!nothing.empty() || !this_week)) out += '\n';
    if (!nothing.empty())
      out += wrapped(
          "  ",
          std::string(this_week ? "Nothing else needs you this week. " : "Nothing needs you this week. ") + upper_first(nothing) + ".", 2);
    else if (!this_week)
      out += "  Nothing needs you this week.\n";
  }
  out += '\n';
  if (more) out += table(sorted, r);
  for (const std::string& line : r.against_plan) out += wrapped("  ", line + ".", 4);
  if (r.given.empty()) {
    out += "  Nothing was given so far.\n";
  } else if (more) {
    for (const std::string& g : r.given) out += wrapped("  given: ", g, 4);
  } else {
    out += "  Counted: " + input::counted(static_cast<long>(r.given.size()), "feed", "feeds") +
           " given so far. Which, and how each stands: --more\n";
  }
  for (const std::string& g : r.to_come) out += wrapped("  not counted, still to come: ", g, 4);
  return out + wrapped("  ", weather_words(r), 2);
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
                         {"never_wakes_in_years", p.slept_in},
                         {"water_limited_in_years", p.thirsty_in},
                         {"measure_first", p.measure.empty() ? Json() : Json(p.measure)},
                         {"due_early", date_or_null(p.due_early)},
                         {"due_usual", date_or_null(p.due_usual)},
                         {"due_late", date_or_null(p.due_late)},
                         {"again", p.again_words.empty() ? Json() : Json(p.again_words)},
                         {"again_by", date_or_null(p.again_by)},
                         {"again_kept_years", p.again_words.empty() ? Json() : Json(p.again_kept)},
                         {"too_late", p.too_late},
                         {"futures", futures}});
  }
  return Json{{"format", 1},
              {"garden", r.garden},
              {"note", r.note},
              {"weather_note", r.weather_note},
              {"on", to_iso(r.on)},
              {"carry_to", to_iso(r.carry_to)},
              {"late", r.late},
              {"season", r.season},
              {"futures_of", r.seasons},
              {"known_to", r.any_weather ? Json(to_iso(r.known_to)) : Json()},
              {"given", r.given},
              {"against_plan", r.against_plan},
              {"to_come", r.to_come},
              {"plantings", plantings},
              {"notes", r.notes}}
             .dump(2) +
         "\n";
}

}  // namespace leafhunger
