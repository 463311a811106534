// A season as files that a person keeps: a page to print, a calendar, the days as numbers. Everything is escaped that a user wrote; nothing
// asks a network; the same result gives the same bytes.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "leafhunger/garden.hpp"
#include "leafhunger/lasts.hpp"

namespace leafhunger {

/// What the other years of the record make of a planting's index, by day of the season: 10th and 90th of a hundred years.
struct YearBand {
  std::string planting;
  std::vector<double> low, high;
  std::size_t years = 0;
};

/// Bands of the plantings that the report draws: fed ones of greedy plants, worst first, at most three.
std::vector<YearBand> year_bands(const Garden& garden, const SeasonResult& result);

/// One self-contained page, no script, that prints on two sheets of A4.
std::string in_html(const SeasonResult& result, const std::vector<YearBand>& bands);
/// RFC 5545: an entry for each time that something is given, over the days among which it waits for rain, with amounts, cautions and an
/// alarm the day before.
std::string in_calendar(const SeasonResult& result);
/// A row for each planting and day, a column for each series (and layer); units in the names.
std::string in_csv(const SeasonResult& result);

/// The page's figures as files of their own, name and SVG: one for each fed planting (what it has against what it wants, with the soil
/// below), and where the grams went. Names are of small letters, figures and hyphens.
std::vector<std::pair<std::string, std::string>> figure_files(const SeasonResult& result, const std::vector<YearBand>& bands);

/// For somebody who owns the garden and does not feed it: a printed page a bed with how its plants stand, the twelve months as a list, a
/// band of cost, cautions, and who decides what. No figure, no symbol, no term of the science. `lasts`: of the same garden and feedings.
std::string in_client_html(const Garden& garden, const SeasonResult& result, const LastsResult& lasts);

/// What a folder gets beside report.html, calendar.ics and series.csv.
struct ReportExtras {
  bool figures = false;     ///< figure_files()
  bool for_client = false;  ///< for-client.html
};
/// Writes report.html, calendar.ics, series.csv and the extras into `folder`, which is made where it is missing.
/// Returns their paths. InputError where one of them is there already and `force` is not set, or the folder cannot be written; nothing is
/// left half-written.
std::vector<std::string> write_report(const std::string& folder, const Garden& garden, const SeasonResult& result, bool force,
                                      const ReportExtras& extras = {});

}  // namespace leafhunger
