// A season's answers as sentences, not yet set on any page: the terminal and the report say the same.
#pragma once

#include <string>
#include <vector>

#include "leafhunger/garden.hpp"

namespace leafhunger {

/// Gain under this share of what was given buys nothing.
inline constexpr double k_nothing_to_buy = 0.05;

/// The answer for one planting, with no index and no unit that is not on the bag.
struct Answer {
  std::string word, why, second;  ///< "no"; "short from 2 June: ..."; a second line or nothing
  int rank = 0;                   ///< worst first
  std::size_t day = 0;
  const ColumnResult* column = nullptr;
  bool leave_alone = false;  ///< gains nothing from feed, fed or not
  double saves = 0;          ///< money for what it was given all the same
};
/// Of every planting, worst first.
std::vector<Answer> answers_of(const SeasonResult& result);

/// "Bananas would be carried by a second feed of ...": plantings with the same answer together.
std::vector<std::string> second_feed_words(const SeasonResult& result);
/// "Leave these alone, and keep £1.20": the head over the answers that say so.
std::string leave_alone_words(const SeasonResult& result);

/// "14 to 20 May".
std::string window_days(const FeedWindow& window);
/// "the first wet day (4 mm or more) of 14 to 20 May, else on the last of them with two cans a square metre"; with `litres` also what a can
/// holds, to be said once.
std::string window_words(const FeedWindow& window, bool litres = false);
/// "Rain washes it in by then in 12 years of 14; ...".
std::string window_chance(const FeedWindow& window);
/// "Reckoned as given on 15 April: go out on the first wet day ..." and how often rain washes it in: the day is the reckoning's, the window
/// the gardener's.
std::string window_sentence(const FeedWindow& window, bool litres);
/// That of each window of a planned feed.
std::vector<std::string> window_sentences(const SeasonResult& result);
/// What each mulch that is a feed gave and held back, until when; a sentence for each bed.
std::vector<std::string> mulch_words(const SeasonResult& result);
/// "18 June, Bananas: ..." and what to do on either outcome.
std::string in_words(const Check& check);

/// Where all that was given is at the season's end, g N of the garden.
Ledger feed_of(const SeasonResult& result);
/// Taken up, still to come, loose, washed, to the air, in the soil's life: whole numbers that add up to 100.
std::vector<int> hundred_of(const Ledger& feed);
/// "Of each 100 g of nitrogen given, by 31 October: ...".
std::string where_it_went(const SeasonResult& result);
/// "It cost ... and 1 trip with 2.8 kg to carry ...".
std::string cost_words(const SeasonResult& result);
/// "With it came ... of phosphorus, ...".
std::string beside_words(const GivenBeside& beside);

/// "31 October" of the season's day.
std::string day_words(const SeasonResult& result, std::size_t index);
std::string money(const std::string& currency, double amount);
/// "150 g (2 and a half handfuls)" of what is given that day, or grams alone (dose_words.hpp).
std::string words_of_dose(const FeedDay& day, double grams);
/// "56 g", "2.8 kg".
std::string weight(double grams);

}  // namespace leafhunger
