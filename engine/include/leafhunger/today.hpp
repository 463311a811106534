// How does it stand today, and when is the next feed due? The record's weather up to the day, what has been given so far, and for the days
// to come the weather of each other year of the record.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "leafhunger/garden.hpp"

namespace leafhunger {

/// One planting as it would go on, unfed from now, if the rest of the season were that of another year.
struct Future {
  int season = 0;                               ///< whose weather follows
  std::optional<std::size_t> due, first_short;  ///< days from the season's start; only where it runs short by the date asked about
};

struct PlantingToday {
  std::string name;
  Hunger hunger = Hunger::moderate;
  DayState state = DayState::asleep;
  double nni = 0;           ///< plant N over critical N at the day's end
  double days_in_hand = 0;  ///< days for which what roots can reach would last
  std::optional<Date> last_fed;
  std::vector<Future> futures;  ///< by season, ascending
  int short_in = 0;             ///< futures in which it runs short by the date asked about
  int slept_in = 0;             ///< futures in which it never wakes by then
  int thirsty_in = 0;           ///< futures in which water, not feed, is its limit
  bool needed = false;          ///< short in more than 1 future in 10
  /// In the middling future one thing that is not well known makes of "kept" "short for a month or more", or the other way about: then
  /// this is what to measure first. Of fed greedy plantings; else empty.
  std::string measure;
  /// The day on which feed is due: from it on the plant holds less than it wants, and goes on to run short. By then 1, 5 and 9 futures of
  /// 10 have come to it; none where so many do not. A day that is today or past is today.
  std::optional<Date> due_early, due_usual, due_late;
  /// What it was given on its last feeding day, given once more: the last day, of today and every week after it up to the date asked about,
  /// on which that still carries it in 9 futures of 10; one that is short already is fed today or never,
  /// and has a fortnight to recover. Only where feed is needed and
  /// something was given.
  std::string again_words;       ///< "5 handfuls (281 g) of concentrated manure powder each"; empty where not asked
  std::optional<Date> again_by;  ///< none: on no such day
  int again_kept = 0;            ///< futures carried, given on that day; where there is none, on the best of the days
  bool too_late = false;  ///< and with less than such a fortnight left before the date asked about, no feed carries it; none is named
};

struct TodayResult {
  std::string garden, note, weather_note;
  Date first, on, carry_to;  ///< first day of the season at hand, today, the date asked about; past that, no planting needs anything
  bool late = false;         ///< today is past the end of August (south of the equator, of February): better no nitrogen any more
  int season = 0;
  std::vector<int> seasons;                 ///< of the futures
  std::vector<std::string> given, to_come;  ///< the scenario's feedings, as lines to be read; those to come are not counted
  std::vector<std::string> against_plan;    ///< with a diary: what was planned, and what of it was given
  std::vector<PlantingToday> plantings;     ///< in the scenario's order
  bool any_weather = true;                  ///< the record has some of this season; else all of it is as in other years
  Date known_to;                            ///< last day of the record that counts; before `on` where the record ends earlier
  std::vector<std::string> notes;
};

/// Nothing of the record after `on` is used for the season at hand, and no feeding that is dated later. Where the record ends before
/// `on`, the days between are as in the other years too.
/// Throws InputError where the record holds no other whole season.
TodayResult how_it_stands(const Garden& garden, Date on);

std::string in_words(const TodayResult& result, bool more = false);
std::string in_json(const TodayResult& result);

}  // namespace leafhunger
