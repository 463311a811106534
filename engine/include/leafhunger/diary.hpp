// What was truly given: a plain text file beside the scenario, a line a feeding, which only ever grows at its end.
//
//   2023-05-16; Bananas; chicken pellets; 2 handfuls each; watered
//
// Day; planting or bed; material; amount; and, where it was watered in, "watered" (10 mm, a can a square metre) or "watered 5 mm". What
// follows a # is a remark. A line is taken back by deleting it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "leafhunger/date.hpp"
#include "leafhunger/scenario.hpp"

namespace leafhunger {

struct DiaryLine {
  std::size_t line = 0;  ///< in its file, from 1
  Date on;
  Feeding feeding;  ///< once, on that day of the year
};

struct Diary {
  std::string file;
  std::vector<DiaryLine> lines;    ///< by date, those of a day in the file's order
  std::vector<std::string> notes;  ///< such as a line that stands out of order
};

/// Where the diary of a scenario lies: "garden.json" has "garden.diary.txt" beside it.
std::string diary_path(const std::string& scenario_path);

/// Reads and checks it: days must lie within the weather, names must be known, amounts must be weighable, no line may stand twice. Names
/// are those of the scenario and the catalogue. Nothing where no such file is. Throws InputError with file and line.
std::optional<Diary> read_diary(const std::string& path, const Scenario& scenario);

/// What somebody says he gave.
struct Fed {
  std::string on, target, material, amount;  ///< as in a line of the file
  bool watered = false;
};
/// Checks it as reading would and adds its line to the end of the diary, which is made where there is none; whole or not at all. Answers
/// the line. Throws InputError naming the option at fault ("DATE", "PLANTING", "MATERIAL", "AMOUNT"), or the file where what stands there
/// already is at fault.
std::string add_to_diary(const std::string& path, const Scenario& scenario, const Fed& fed);

/// The scenario as it truly went in one season: what the diary has, then of what was planned only that which comes after `known_to` and
/// after the diary's last line of the season. Without a line in that season the scenario stays as it is.
Scenario with_diary(Scenario scenario, const Diary& diary, int season, std::optional<Date> known_to = std::nullopt);

/// The scenario with the diary that lies beside its file, if any: of that season, or of the one that a day lies in which counts as today,
/// or of the one that the scenario asks about.
Scenario follow_diary(Scenario scenario, std::optional<int> season = std::nullopt, std::optional<Date> today = std::nullopt);

/// What was planned up to the day that the diary speaks of, against what it says was given; a line each, empty where no diary was followed
/// in that season.
std::vector<std::string> plan_against_done(const Scenario& scenario, int season);

}  // namespace leafhunger
