// A lesson for a class without a computer each: what decides how fast a feed is freed. Jars at several warmths and moistures, several feeds
// side by side, and the same handful in a cold and in a warm spring; first the question with empty axes, then the answer.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "leafhunger/curves.hpp"
#include "leafhunger/garden.hpp"

namespace leafhunger {

/// Which jars a class looks at. What they are called goes into sentences: "like soil in June".
struct LessonPresets {
  struct Jar {
    double value = 0;  ///< degrees Celsius, or share of the pores that hold water
    std::string called;
  };
  int last_day = 140;  ///< of every curve
  std::string warmth_material, moisture_material;
  int warmth_day = 14, moisture_day = 28, feeds_day = 14;  ///< on which the class looks into the jars
  std::vector<Jar> warmth, moisture;                       ///< ascending
  double moisture_c = 15, feeds_c = 15;
  std::vector<std::string> feeds;
};

/// lesson.json of a catalogue's folder, its materials checked against the catalogue. Throws InputError as every reader does.
LessonPresets read_lesson(const std::string& catalogue_dir, const Catalogue& catalogue);

/// One spring with the handful in it.
struct Spring {
  int season = 0;
  double air_c = 0;    ///< mean of March to May, in the south of September to November: what it was chosen by
  double soil_c = 0;   ///< mean of the six weeks from the day of feeding, 5 to 15 cm down
  double freed_g = 0;  ///< of each 100 g of nitrogen given, six weeks after it
  double taken_g = 0;  ///< that the plants had then taken from the soil, g of nitrogen a plant
  std::vector<double> freed_by_day_g, taken_by_day_g;  ///< the same two, from the first day drawn
};

struct LessonResult {
  LessonPresets presets;
  CurvesResult warmth, moisture, feeds;
  std::vector<double> carbon_to_nitrogen;  ///< of `feeds`; 0 where it holds no carbon
  std::string garden, note, weather_note, planting, feed_words;
  Date drawn_from, fed_on, looked_on;  ///< in the cold spring's year; the same days in the warm one's
  Spring cold, warm;
  /// By how many days the cold spring came later to what the warm one had on the day looked at; none where it did not while drawn.
  std::optional<int> feed_behind_d, plants_behind_d;
};

/// The scenario with nothing but the first feed of one planting: of the first greedy one that is fed, else of the first that is fed at all.
/// Throws InputError where nothing is fed.
Scenario one_handful(Scenario scenario, std::string& planting);

/// Runs the jars, and `garden` (of one_handful()) in its coldest and its warmest spring. Throws InputError where the weather covers fewer
/// than two seasons.
LessonResult make_lesson(const Garden& garden, const std::string& planting, const LessonPresets& presets, const PluginRegistry& registry,
                         const LoadReport& report);

/// One page that needs nothing else: no script, nothing fetched. On a screen answers open on demand; on paper each question is a page with
/// its answer overleaf.
std::string in_html(const LessonResult& result);
/// The answers in a few lines.
std::string in_words(const LessonResult& result);
std::string in_json(const LessonResult& result);

}  // namespace leafhunger
