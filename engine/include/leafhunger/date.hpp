// Calendar days. ISO 8601 in and out, no time zones, std::chrono underneath.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace leafhunger {

using Date = std::chrono::sys_days;  ///< a calendar day as a count of days

/// A day of the year that recurs, such as 15 April. 29 February falls on 28 February in common years.
struct MonthDay {
  unsigned month = 1;  ///< 1-12
  unsigned day = 1;    ///< 1-31
  auto operator<=>(const MonthDay&) const = default;
};

/// "2024-04-15" to a date; nothing where it is malformed or no such day exists. Years 1000-9999.
std::optional<Date> parse_date(std::string_view text);
/// "04-15" to a day of the year; nothing where it is malformed or no such day exists in any year.
std::optional<MonthDay> parse_month_day(std::string_view text);

Date make_date(int year, MonthDay day);
int year_of(Date date);
MonthDay month_day_of(Date date);
/// 1 to 366.
int day_of_year(Date date);
/// "2024-04-15".
std::string to_iso(Date date);
/// "04-15".
std::string to_iso(MonthDay day);
/// "15 April", as a gardener says it.
std::string to_words(MonthDay day);

}  // namespace leafhunger
