// From a label to a prediction: what a bag says (nitrogen, perhaps C:N and ammonium) and one word on what it came from give the parameters
// of an organic release model, each with its spread (equations.md 4.2). Percentages of oxides and elements: units.hpp.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "leafhunger/catalogue.hpp"

namespace leafhunger {

/// A figure and its spread, as a standard deviation.
struct Spread {
  double value = 0, plus_minus = 0;
};

/// What is known of all materials of one origin. Shares are of the total N (ready) and of the organic N (fast).
struct LabelOrigin {
  const char* word;     ///< as a catalogue entry writes it
  const char* meaning;  ///< for a person who has to choose one
  Spread ready_frac, fast_frac;
  Spread fast_per_day;        ///< at 25 degC; value 0: the model's own
  bool ready_is_ammonium;     ///< what is ready is ammonium, so that a label's ammonium share says it
  Spread carbon_of_dry_frac;  ///< share of the dry matter that is carbon; value 0: see below
  Spread carbon_to_nitrogen;  ///< where it does not hang on the N %: meals are protein and ash
  const char* source;         ///< of ready and fast
  const char* carbon_source;  ///< of the last two
};

/// The closed list, in the order in which a person would be asked.
const std::vector<LabelOrigin>& label_origins();
/// Null where there is none of that word.
const LabelOrigin* find_label_origin(std::string_view word);

/// What a bag says. Shares are of the whole material as bought.
struct Label {
  double n_percent = 0;                      ///< above 0
  double dry_matter_percent = 90;            ///< above 0
  std::optional<double> carbon_to_nitrogen;  ///< total C to total N; none: not printed
  std::optional<double> ammonium_frac;       ///< share of the N; none: not printed
};

struct LabelEstimate {
  std::map<std::string, double> parameters;    ///< ready_frac, fast_frac, for straw fast_per_day
  std::map<std::string, double> spread;        ///< of the same; of carbon_to_nitrogen (organic part) where it was guessed
  double carbon_to_nitrogen = 0;               ///< the label's, else the typical one
  std::map<std::string, std::string> sources;  ///< of each figure here
};

/// Parameters by origin. A C:N that the label lacks follows from the N % and the carbon that such dry matter holds; a person with only the
/// bag in hand gets an answer, and its source says that carbon is from memory.
LabelEstimate estimate_from_label(const Label& label, const LabelOrigin& origin);

/// Fills `estimated`, `spread`, `sources` and, where it is 0, `carbon_to_nitrogen` of an entry from its label and `origin_word`. What the
/// entry says itself stays, and a parameter that it sets gets no spread from here. Does nothing where the word is empty or unknown.
void estimate_from_label(Material& material);

/// Plant-available N of a fresh green residue dug in, kg for each tonne of its dry matter, four to six weeks later: 0 up to 1.5 % N, 17.5
/// at 3.5 %, in line between and beyond, at most 20 (Sullivan & Andrews 2012, PNW 636, highlights). A line to hold predictions against, no
/// part of them.
double plant_available_kg_t(double n_percent_of_dry);
/// The same as share of the residue's N.
double plant_available_frac(double n_percent_of_dry);

}  // namespace leafhunger
