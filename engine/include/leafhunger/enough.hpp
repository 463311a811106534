// What dose would do, and when? The scenario's own spring dose made smaller or bigger, or given on another date, over every season.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "leafhunger/control.hpp"
#include "leafhunger/garden.hpp"
#include "leafhunger/lasts.hpp"

namespace leafhunger {

/// A planting's spring dose is all that it is given on its first feeding day from three months into the season on (1 February; in the south
/// 1 August), or, where nothing is given after that, on its first feeding day. What it is given on other days stays as it is.
struct EnoughQuestion {
  bool find = true;               ///< look for the smallest multiple that keeps it in 9 years of 10
  std::vector<double> multiples;  ///< of the spring dose, for a curve; each above 0 and at most 100
  std::vector<MonthDay> dates;    ///< to give it on instead, for a curve
};

/// The spring dose at one multiple and date.
struct EnoughPoint {
  double multiple = 1;
  MonthDay on;
  int kept = 0;               ///< years of all
  double leached_g_n_m2 = 0;  ///< mean of the years, whole season, all sources
  double soluble_g_n_m2 = 0;  ///< of the spring dose
  bool scorches = false;      ///< above 5 g of soluble N a square metre at once
};

struct PlantingEnough {
  std::string name;
  Hunger hunger = Hunger::moderate;
  bool fed = false;                     ///< else nothing below is filled
  MonthDay on;                          ///< of the spring dose
  double dose_g_per_plant = 0;          ///< of all materials of that day
  std::string dose_words;               ///< "150 g of concentrated manure powder a plant"
  int kept = 0;                         ///< years of all, as it is
  bool enough = false;                  ///< as it is
  std::optional<EnoughPoint> smallest;  ///< where it is not enough: the smallest multiple that is
  EnoughPoint most;                     ///< where none is: the biggest tried
  std::string limit;           ///< then: "warmth", "water", "waiting", "distance", "washing", "air"; empty where nothing tried helps
  int kept_without_limit = 0;  ///< years kept at `most` with that limit taken away
  int slept = 0, thirsty = 0;  ///< years at `most` in which it never woke, or water was the limit
  std::vector<EnoughPoint> by_multiple, by_date;  ///< in the question's order
};

struct EnoughResult {
  std::string garden, note, weather_note;
  MonthDay carry_to;
  std::vector<int> seasons;
  int years_wanted = 0;  ///< ceil(0.9 years)
  EnoughQuestion asked;
  std::vector<PlantingEnough> plantings;  ///< in the scenario's order
  std::vector<std::string> feed_words, notes;
  bool stopped = false;  ///< then `plantings` holds those that were answered
};

/// The smallest multiple: the first of 0.5, 1, 1.5, ... 4 that keeps it is found, then halved towards the one below it to within 1/16. It
/// is itself run and keeps; a smaller one that keeps by a fluke of a single year may be missed. Throws InputError for numbers out of range
/// or where nothing in the garden is fed.
EnoughResult what_would_do(const Garden& garden, const EnoughQuestion& question = {}, const Control& control = {});

/// `more`: also the feeding as it is.
std::string in_words(const EnoughResult& result, bool more = false);
std::string in_json(const EnoughResult& result);
/// Years kept against the dose, against the date, or both. Needs one of the two curves.
std::string in_svg(const EnoughResult& result);

}  // namespace leafhunger
