// The search behind `topup`: one planting, all schedules of a grid, all years. Private to the engine.
//
// Exact by what it leaves out. A schedule that has run short in more years than allowed is not feasible, whatever the other years say. What
// has washed out of it so far (years not run yet count what had washed out by the first top-up, which every schedule shares) is a lower
// bound of what will have; once that passes a limit it is not feasible, and once it passes what a feasible schedule leaches that costs no
// more and takes no more trips, it is beaten. Nothing is taken for granted of more feed.
#pragma once

#include <limits>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "core/trunk.hpp"
#include "leafhunger/topup.hpp"
#include "years.hpp"

namespace leafhunger {

/// Dates on which to top up, by year.
struct TopUpCalendar {
  std::size_t interval = 0, first = 0, until = 0;  ///< indices into the question's lists
  int interval_d = 0;
  std::vector<std::vector<std::size_t>> days;  ///< [year], day indices
  int top_ups = 0, trips = 0;
};

/// What the calendars of a garden begin from.
struct TopUpDates {
  std::vector<std::size_t> spring;             ///< [year]: the feeding that `first_after_d` is counted from
  std::vector<std::vector<char>> fed;          ///< [year][day]: something in the garden is fed anyway
  std::vector<std::vector<std::size_t>> last;  ///< [until][year]
};
/// Of one planting by itself, or of several that share their calendar.
TopUpDates dates_of(const Garden::Plan& plan, std::span<const ColumnPlan* const> columns, const Years& years,
                    const std::vector<MonthDay>& until);
TopUpCalendar calendar_of(const TopUpDates& dates, int interval_d, int first_after_d, std::size_t until);

/// A schedule, and what has been found of it.
struct TopUpCandidate {
  std::size_t feed = 0, calendar = 0, dose = 0;  ///< dose: index in the feed's list
  double dose_g_per_plant = 0, dose_kg_n_ha = 0, cost = 0, soluble_g_n_m2 = 0;
  bool scorches = false;
  int kept = 0;               ///< years of all; only where it was run in all of them
  double leached_g_n_m2 = 0;  ///< likewise
};

/// What is asked of the schedules at hand.
struct TopUpLimits {
  int fails = 0;  ///< years in which it may run short
  double leached_at_most_g_n_m2 = std::numeric_limits<double>::infinity();
  bool scorch = false;
};

class TopUpSearch {
 public:
  TopUpSearch(const Garden::Plan& plan, const ColumnPlan& column, const Years& years, const TopUpDates& dates,
              const TopUpQuestion& question, const std::vector<const Material*>& materials, const std::vector<std::vector<double>>& doses_g,
              const Control& control);
  ~TopUpSearch();

  int kept_without() const { return kept_without_; }
  double leached_without_g_n_m2() const { return leached_without_g_n_m2_; }
  const std::vector<TopUpCalendar>& calendars() const { return calendars_; }
  const std::vector<TopUpCandidate>& candidates() const { return candidates_; }  ///< of the grid, each set of dates and dose once
  std::size_t same_dates() const { return same_dates_; }

  /// The feasible schedules of which no other is better, in no order that matters; counts into `searched`.
  std::vector<TopUpCandidate> front(const TopUpLimits& limits, TopUpSearched& searched);
  /// By calendar, the cheapest that keeps it; of equally cheap ones the one that leaches least; the grid's first of those. Nothing where
  /// none does.
  std::vector<std::optional<TopUpCandidate>> cheapest(const TopUpLimits& limits, TopUpSearched& searched);
  /// The one kept in most years; of those the cheapest, then that with fewest trips, then the grid's first. Nothing where all scorch.
  std::optional<TopUpCandidate> kept_most(const TopUpLimits& limits, TopUpSearched& searched);
  /// All, in full, in the grid's order.
  std::vector<TopUpCandidate> all(TopUpSearched& searched);
  /// Years kept at another interval, all else the same.
  int kept_at(const TopUpCandidate& candidate, int interval_d);

  /// Whether `a` is to be taken before `b`, for what `aims` prefer; ties go to the longer interval, then the smaller dose, then the grid's
  /// first.
  bool before(const TopUpCandidate& a, const TopUpCandidate& b, const std::vector<Aim>& aims) const;
  /// For people to read.
  TopUpPoint point(const TopUpCandidate& candidate, int years_wanted) const;

 private:
  struct Feed;
  struct Season;
  struct Running;

  bool scorches_out(const TopUpCandidate& c, const TopUpLimits& limits) const { return c.scorches && !limits.scorch; }
  std::vector<Dose> doses_for(const TopUpCandidate& c, const TopUpCalendar& calendar, std::size_t year) const;
  TopUpCandidate outcome_of(const Running& r) const;
  void run_without();
  void order_years();
  double leached_by_first_kg_ha(const TopUpCandidate& c, std::size_t year) const;
  const Trunk& trunk(std::size_t year, std::size_t feed, std::size_t day);
  void run_year(std::size_t year, std::vector<Running*>& all, bool to_the_end);
  template <class Budget>
  bool run_all(std::vector<Running>& chunk, const TopUpLimits& limits, const Budget& leached_at_most_g_n_m2, bool to_the_end,
               TopUpSearched& searched);

  const Garden::Plan& plan_;
  const ColumnPlan& planned_;
  const Years& years_;
  const TopUpDates& dates_;
  const TopUpQuestion& question_;
  const Control& control_;
  std::vector<std::unique_ptr<Feed>> feeds_;
  std::vector<TopUpCalendar> calendars_;
  std::vector<TopUpCandidate> candidates_;
  std::size_t same_dates_ = 0;
  std::vector<SoilClimate> climates_;
  std::vector<std::vector<Dose>> own_;  // [year]
  std::vector<std::unique_ptr<Season>> seasons_;
  std::vector<std::size_t> hungry_first_, wet_first_;  // years
  bool many_fall_short_ = true;
  std::vector<char> thirsty_;  // [year]: water is the limit, whatever is fed
  std::vector<double> leached_without_kg_ha_;
  int kept_without_ = 0;
  double leached_without_g_n_m2_ = 0;
};

}  // namespace leafhunger
