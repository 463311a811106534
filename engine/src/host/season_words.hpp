// The sentences that belong to a season's result itself: feedings, cautions, notes.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "garden_plan.hpp"

namespace leafhunger {

/// Soluble N in one dose above which roots may be scorched, g/m2. Cornell lawn leaflet: never above 4.9.
inline constexpr double k_scorch_g_m2 = 5;
/// Total N of organic manure in 12 months above which to give less, g/m2: SI 2015/668 reg 8(1).
inline constexpr double k_yearly_organic_g_m2 = 25;
inline constexpr const char* k_yearly_organic_words =
    "and what plants cannot take is washed away. Farm rules in England stop at 25 for organic manure (SI 2015/668); a garden is outside "
    "that "
    "law, but see your local rules.";

/// What every answer means by short (VerdictRules).
inline constexpr const char* k_short_means =
    "Short means: the nitrogen in the plant sank below 0.90 of the critical nitrogen for its size (nitrogen nutrition index) on 5 growing "
    "days running.";
/// "15 April: 150 g/m2 of concentrated manure powder on the Hungry bed".
std::string words_of_feeding(const Garden::Plan& plan, std::size_t feeding, Date first, std::size_t days);
/// The parts of that sentence: what is given, to what, and what one amount is for.
struct FeedingParts {
  std::string what, where, each;
};
FeedingParts parts_of_feeding(const Scenario& scenario, const Feeding& feeding);
/// The same of every feeding, in the scenario's order.
std::vector<std::string> words_of_feedings(const Garden::Plan& plan, Date first, std::size_t days);
/// Each day on which something is given, in the scenario's order of feedings. Of `result` it reads first, days and feed_words alone.
std::vector<FeedDay> feed_days_of(const Garden::Plan& plan, const SeasonResult& result);
/// Bags to buy for so much; 0 where it is sold loose (`bag_kg` 0).
int whole_bags(double kg, double bag_kg);
/// Names of the plantings that a feeding names, and of all those of the bed that it names.
std::set<std::string> fed_by(const Feeding& feeding, const std::vector<Bed>& beds);
/// What a column is given in a season, g N/m2 of its ground.
double year_g_n_m2(const Garden::Plan& plan, const ColumnPlan& column, Date first, std::size_t days);
/// Whether nitrogen is better left by that day: cold roots leave it to be washed out (plugins/catalogue/cautions.json, late-nitrogen).
bool late_for_nitrogen(const Site& site, MonthDay day);
/// Cautions that the materials, the plants and the figures of this season raise, each once.
std::vector<Caution> cautions_of(const Garden::Plan& plan, const SeasonResult& result);
/// What a reader should know about how it was computed.
std::vector<std::string> notes_of(const Garden::Plan& plan, const SeasonDays& days);
/// "3 handfuls (168 g)", "150 g": the amount in the user's measure and the scale's.
std::string words_of_amount(const Scenario& scenario, const Material& material, const Amount& amount);
/// "Bananas, Cannas and Ginger lilies".
std::string joined(const std::vector<std::string>& names);
/// Title with a small first letter, unless it begins with an abbreviation.
std::string lower_first(const std::string& title);

}  // namespace leafhunger
