// The season's edges as calendar days.
#include "leafhunger/scenario.hpp"

namespace leafhunger {

namespace {
constexpr MonthDay k_north_start{11, 1};
constexpr MonthDay k_south_start{5, 1};  // half a year later
}  // namespace

MonthDay season_start_day(const Site& site) { return site.latitude_deg < 0 ? k_south_start : k_north_start; }

Date season_first(const Site& site, int season) { return make_date(season - 1, season_start_day(site)); }

Date season_last(const Site& site, int season) { return make_date(season, season_start_day(site)) - std::chrono::days{1}; }

int season_of(const Site& site, Date day) { return day >= season_first(site, year_of(day) + 1) ? year_of(day) + 1 : year_of(day); }

int order_in_season(const Site& site, MonthDay day) {
  const unsigned start = season_start_day(site).month;
  return static_cast<int>((day.month + 12 - start) % 12 * 32 + day.day);
}

std::optional<SeasonRange> whole_seasons(const DailyWeather& weather, const Site& site) {
  if (weather.days() == 0) return std::nullopt;
  const Date last_day = weather.date(weather.days() - 1);
  SeasonRange range;
  range.first = year_of(weather.first) + 1;  // the season that begins in the record's first year
  if (season_first(site, range.first) < weather.first) ++range.first;
  range.last = year_of(last_day);
  if (season_last(site, range.last) > last_day) --range.last;
  if (range.last < range.first) return std::nullopt;
  return range;
}

}  // namespace leafhunger
