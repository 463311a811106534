#include "leafhunger/date.hpp"

#include <array>
#include <charconv>
#include <cstdio>

namespace leafhunger {
namespace {

using std::chrono::year_month_day;

// Exactly `text.size()` decimal digits, or nothing.
std::optional<unsigned> digits(std::string_view text) {
  unsigned value = 0;
  const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (ec != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return value;
}

year_month_day civil(Date date) { return year_month_day{date}; }

std::string two(unsigned value) {
  std::string text = std::to_string(value);
  if (text.size() < 2) text.insert(text.begin(), '0');
  return text;
}

}  // namespace

std::optional<Date> parse_date(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
  const auto y = digits(text.substr(0, 4)), m = digits(text.substr(5, 2)), d = digits(text.substr(8, 2));
  if (!y || !m || !d || *y < 1000) return std::nullopt;
  const year_month_day ymd{std::chrono::year{static_cast<int>(*y)}, std::chrono::month{*m}, std::chrono::day{*d}};
  if (!ymd.ok()) return std::nullopt;
  return Date{ymd};
}

std::optional<MonthDay> parse_month_day(std::string_view text) {
  if (text.size() != 5 || text[2] != '-') return std::nullopt;
  const auto m = digits(text.substr(0, 2)), d = digits(text.substr(3, 2));
  if (!m || !d) return std::nullopt;
  if (!std::chrono::month_day{std::chrono::month{*m}, std::chrono::day{*d}}.ok()) return std::nullopt;
  return MonthDay{*m, *d};
}

Date make_date(int year, MonthDay day) {
  const std::chrono::year y{year};
  const unsigned d = day.month == 2 && day.day == 29 && !y.is_leap() ? 28 : day.day;
  return Date{year_month_day{y, std::chrono::month{day.month}, std::chrono::day{d}}};
}

int year_of(Date date) { return static_cast<int>(civil(date).year()); }

MonthDay month_day_of(Date date) {
  const auto c = civil(date);
  return {static_cast<unsigned>(c.month()), static_cast<unsigned>(c.day())};
}

int day_of_year(Date date) { return static_cast<int>((date - make_date(year_of(date), {1, 1})).count()) + 1; }

std::string to_iso(Date date) { return std::to_string(year_of(date)) + "-" + to_iso(month_day_of(date)); }

std::string to_iso(MonthDay day) { return two(day.month) + "-" + two(day.day); }

std::string to_words(MonthDay day) {
  static constexpr std::array<const char*, 12> k_months = {"January", "February", "March",     "April",   "May",      "June",
                                                           "July",    "August",   "September", "October", "November", "December"};
  return std::to_string(day.day) + " " + k_months[day.month - 1];
}

}  // namespace leafhunger
