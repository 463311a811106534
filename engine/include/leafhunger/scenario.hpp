// A garden as its owner wrote it, read and checked: plain data, no file access.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "leafhunger/atmosphere.hpp"
#include "leafhunger/catalogue.hpp"
#include "leafhunger/date.hpp"
#include "leafhunger/heat.hpp"
#include "leafhunger/soil.hpp"
#include "leafhunger/weather.hpp"

namespace leafhunger {

/// An amount of a material as a person measures it: so many of a measure for each square metre, plant or bed.
struct Amount {
  enum class Measure { grams, kilograms, millilitres, litres, handfuls, trowels };
  enum class Per { m2, plant, bed };
  double value = 0;
  Measure measure = Measure::grams;
  Per per = Per::m2;
};

struct Mulch {
  double depth_mm = 0;              ///< 0 where there is none
  double cover_frac = 1;            ///< share of the ground that it covers
  double conductivity_w_m_k = 0.3;  ///< dry straw 0.15, chips 0.2, rotted matter 0.3 (guess)
};

/// "When the available water falls below `below_frac`, give `give_mm`."
struct WateringRule {
  double below_frac = 0.5, give_mm = 12;
  std::optional<double> depth_mm;  ///< mean of the ground above this depth; else what the roots have, weighted by where they are
};

/// Water given by hand on a date, once or again and again, in every season.
struct Watering {
  MonthDay on;
  double give_mm = 0;             ///< of the bed's ground, however it was measured
  std::optional<int> every_days;  ///< repeat
  std::optional<MonthDay> until;  ///< last day of the repeat
};

struct Planting {
  std::string name;   ///< as the gardener calls it, unique in the garden
  std::string plant;  ///< id in the catalogue
  std::string size;   ///< one of the plant's sizes; empty: as its entry is
  int count = 1;
  double crown_m2 = 1;              ///< ground that one plant's leaves cover when full-grown
  std::optional<double> ground_m2;  ///< ground that all of them feed from, where the gardener knows better
};

struct Bed {
  std::string name;
  double area_m2 = 1;
  Soil soil;
  std::string texture;
  HeatOptions heat;  ///< of the ground; of a pot's wall
  Mulch mulch;
  std::optional<WateringRule> watering;
  std::vector<Watering> waterings;
  std::vector<Planting> plantings;
};

/// Something given, once or again and again, in every season.
struct Feeding {
  std::string material;  ///< id in the catalogue
  MonthDay on;
  Amount amount;
  std::string bed;  ///< broadcast over this bed; empty where given to named plantings
  std::vector<std::string> plantings;
  std::optional<int> every_days;  ///< repeat
  std::optional<MonthDay> until;  ///< last day of the repeat
  double watered_in_mm = 0;
  double forked_in_mm = 0;     ///< 0: left on top
  std::size_t diary_line = 0;  ///< of the diary that says it was given; 0 where it is planned
};

/// What a diary put in place of the plan (diary.hpp).
struct Followed {
  std::string file;
  int season = 0;
  Date until;                    ///< last day that the diary speaks of; planned feedings up to it are not counted
  std::vector<Feeding> planned;  ///< the scenario's own
};

struct Question {
  int season = 0;  ///< the year that the season ends in; a read scenario has the last whole one where none was asked for
  MonthDay carry_to{8, 31};
};

struct Scenario {
  std::string file;    ///< where it was read from
  std::string garden;  ///< its name
  std::string note;    ///< such as "invented"
  Site site;
  std::string weather_file;
  DailyWeather weather;
  EtOptions et;
  std::string currency = "£";
  Question question;
  std::vector<Bed> beds;
  std::vector<Feeding> feedings;
  std::optional<Followed> followed;         ///< where a diary changed the feedings
  Catalogue catalogue;                      ///< the shipped one, with the scenario's own entries over it
  double handful_ml = 80, trowel_ml = 300;  ///< common practice, no source
  /// The user's own weighing of a handful, a trowel and a litre, by material.
  std::map<std::string, double> handful_g, trowel_g, litre_g;
  std::vector<std::string> notes;  ///< things to be said once
};

/// Grams of a material in one unit of the amount's measure. Volumes go by the user's own litre where he weighed one, else by the
/// material's bulk density; a handful or trowel is his own weighing, else `handful_ml` or `trowel_ml` of that.
double grams_per_measure(const Scenario& scenario, const Material& material, Amount::Measure measure);

/// The day after winter's edge on which each season begins: 1 November, in the south 1 May (southern sites shift by half a year).
MonthDay season_start_day(const Site& site);
/// First and last day of the season named by the year it ends in.
Date season_first(const Site& site, int season);
Date season_last(const Site& site, int season);
/// The season that a day lies in.
int season_of(const Site& site, Date day);
/// How far into its season a day of the year lies, as a sortable figure (months since the season's start x 32 + day).
int order_in_season(const Site& site, MonthDay day);

/// First and last of the seasons that the weather covers from end to end.
struct SeasonRange {
  int first = 0, last = 0;
};
std::optional<SeasonRange> whole_seasons(const DailyWeather& weather, const Site& site);

}  // namespace leafhunger
