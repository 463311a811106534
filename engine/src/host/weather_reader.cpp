// Daily weather from a comma-separated file, a line at a time.
#include <algorithm>
#include <charconv>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <limits>
#include <optional>

#include "host/csv_line.hpp"
#include "host/text_file.hpp"
#include "host/weather_columns.hpp"
#include "host/words.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"

namespace leafhunger {

namespace {

using namespace input;

constexpr std::uint64_t k_most_bytes = 256ull << 20;
constexpr std::size_t k_longest_line = 1 << 16;
constexpr std::size_t k_most_columns = 200;
constexpr std::size_t k_most_days = 366 * 1000;  // as many years as can be made up
constexpr const char* k_what = "a weather file (CSV)";
constexpr double k_blank = std::numeric_limits<double>::quiet_NaN();

class WeatherReader {
 public:
  WeatherReader(const std::string& path, int fill_days) : path_(path), fill_days_(fill_days) {}

  DailyWeather read() {
    require_file(path_, k_what);
    std::error_code no_size;  // a pipe has none; its bytes are counted as they come
    const auto size = std::filesystem::file_size(path_, no_size);
    if (!no_size && size > k_most_bytes) refuse_size("");
    std::ifstream in(path_, std::ios::binary);
    std::string line;
    while (next_line(in, line)) {
      const std::size_t start = line.find_first_not_of(" \t");
      if (start == std::string::npos || line[start] == '#') continue;
      if (!header_line_) {
        read_header(line);
      } else {
        read_day(line);
      }
    }
    finish();
    return std::move(weather_);
  }

 private:
  [[noreturn]] void refuse(const std::string& place, const std::string& found, const std::string& allowed, const std::string& hint) const {
    throw InputError({path_, place, found, allowed, hint});
  }
  [[noreturn]] void refuse_size(const std::string& place) const {
    refuse(place, "more than 256 MiB", "at most 256 MiB", "check that this is a weather file; a century of days needs 4 MiB");
  }
  std::string here() const { return "line " + std::to_string(line_); }
  std::string here(const char* column) const { return here() + ", column " + column; }

  /// Without its end, be that LF or CRLF.
  bool next_line(std::istream& in, std::string& line) {
    line.clear();
    ++line_;
    std::streambuf& bytes = *in.rdbuf();
    constexpr int k_end = std::char_traits<char>::eof();
    const auto next = [&] {
      try {
        return bytes.sbumpc();
      } catch (const std::ios_base::failure&) {
        refuse(here(), "a file that cannot be read to its end", k_what, "check the disk");
      }
    };
    int c = next();
    for (; c != k_end && c != '\n'; c = next()) {
      if (line.size() == k_longest_line) {
        refuse(here(), "a line of more than " + std::to_string(k_longest_line) + " bytes", "one day a line",
               "check that this is a weather file");
      }
      line += static_cast<char>(c);
    }
    bytes_ += line.size() + 1;
    if (bytes_ > k_most_bytes) refuse_size(here());
    if (line_ == 1) drop_byte_order_mark(line, path_);
    const bool any = c != k_end || !line.empty();
    if (!line.empty() && line.back() == '\r') line.pop_back();
    return any;
  }

  void read_header(const std::string& line) {
    if (!split_csv_line(line, cells_)) refuse(here(), "a quotation mark that is not closed", "column names between commas", "close it");
    if (cells_.size() > k_most_columns) {
      refuse(here(), counted(static_cast<long>(cells_.size()), "column", "columns"), "at most " + std::to_string(k_most_columns),
             "check that this is a weather file, or keep the columns you need");
    }
    const auto known = weather_column_names(false);
    check_separator(line);
    target_.assign(cells_.size(), nullptr);
    std::vector<std::string> ignored;
    for (std::size_t i = 0; i < cells_.size(); ++i) {
      const std::string& name = cells_[i];
      if (!name.empty() && std::find(cells_.begin(), cells_.begin() + static_cast<std::ptrdiff_t>(i), name) !=
                               cells_.begin() + static_cast<std::ptrdiff_t>(i)) {
        refuse(here(), "the column " + in_quotes(name) + " a second time", "each column once", "rename or remove one of the two");
      }
      if (name == "date") {
        date_cell_ = i;
        continue;
      }
      for (const auto& column : weather_columns()) {
        if (name == column.name) target_[i] = &column;
      }
      if (target_[i] == nullptr && !name.empty()) ignored.push_back(name);
    }
    for (const auto& name : weather_column_names(true)) require_column(name);
    if (!ignored.empty()) note_ignored(ignored, known);
    header_line_ = line_;
  }

  void check_separator(const std::string& line) const {
    if (cells_.size() > 1) return;
    for (const auto& [sign, word] : {std::pair{';', "semicolons"}, std::pair{'\t', "tabs"}}) {
      if (line.find(sign) != std::string::npos) {
        refuse(here(), "cells that are parted by " + std::string(word), "cells parted by commas, with decimal points",
               "save the file again as CSV with commas");
      }
    }
  }

  void require_column(const std::string& name) const {
    if (std::find(cells_.begin(), cells_.end(), name) != cells_.end()) return;
    if (!cells_.empty() && !cells_[0].empty() && (cells_[0][0] >= '0' && cells_[0][0] <= '9')) {
      refuse(here(), shown(cells_[0]) + " where the column names should stand", "a first line such as date,tmin_c,tmax_c,rain_mm",
             "put a line with the column names above the first day");
    }
    std::vector<std::string> unknown;
    for (const auto& cell : cells_) {
      const auto known = weather_column_names(false);
      if (std::find(known.begin(), known.end(), cell) == known.end()) unknown.push_back(cell);
    }
    // A scenario may name any file, so one that is no weather at all is not read out.
    const bool like_weather = std::any_of(cells_.begin(), cells_.end(), [](const std::string& cell) {
      const auto known = weather_column_names(false);
      return std::find(known.begin(), known.end(), cell) != known.end() || !nearest_name(cell, known).empty();
    });
    if (!like_weather) {
      refuse(here(), "a line that names no column of weather", "a first line such as date,tmin_c,tmax_c,rain_mm",
             "check that this is a weather file");
    }
    const std::string nearest = nearest_name(name, unknown);
    refuse(here(), "no column " + in_quotes(name) + " among " + one_of(cells_, 12, " and "),
           "date,tmin_c,tmax_c,rain_mm and further columns in any order",
           nearest.empty() ? "add the column" : "rename the column " + in_quotes(nearest) + " if that is what it holds");
  }

  void note_ignored(const std::vector<std::string>& ignored, const std::vector<std::string>& known) {
    std::string note = path_ + ": not used: ";
    for (std::size_t i = 0; i < ignored.size() && i < 12; ++i) {
      if (i > 0) note += ", ";
      note += in_quotes(ignored[i]);
      const std::string nearest = nearest_name(ignored[i], known);
      if (!nearest.empty() && std::find(cells_.begin(), cells_.end(), nearest) == cells_.end())
        note += " (is it " + in_quotes(nearest) + "?)";
    }
    if (ignored.size() > 12) note += " and " + std::to_string(ignored.size() - 12) + " more columns";
    weather_.notes.push_back(note);
  }

  void read_day(const std::string& line) {
    if (!split_csv_line(line, cells_)) refuse(here(), "a quotation mark that is not closed", "figures between commas", "close it");
    if (cells_.size() != target_.size()) {
      refuse(here(), counted(static_cast<long>(cells_.size()), "cell", "cells"),
             std::to_string(target_.size()) + ", as in the column names of line " + std::to_string(header_line_),
             cells_.size() < target_.size() ? "leave an empty cell between two commas where nothing was measured"
                                            : "write decimals with a point, for a comma starts a new cell");
    }
    check_date(cells_[date_cell_]);
    for (std::size_t i = 0; i < cells_.size(); ++i) {
      if (target_[i] != nullptr) (weather_.*(target_[i]->into)).push_back(read_cell(*target_[i], cells_[i]));
    }
    check_pair(weather_.tmin_c, weather_.tmax_c, "tmin_c", "tmax_c");
    check_pair(weather_.rh_min_percent, weather_.rh_max_percent, "rh_min_percent", "rh_max_percent");
  }

  /// The higher of two figures of a day must not be the lower one.
  void check_pair(const std::vector<double>& low, const std::vector<double>& high, const char* low_name, const char* high_name) const {
    if (low.empty() || high.empty() || !(high.back() < low.back())) return;
    refuse(here(high_name), plain(high.back()) + ", below " + low_name + " " + plain(low.back()), std::string(low_name) + " or more",
           "check whether the two columns are exchanged");
  }

  void check_date(const std::string& text) {
    const auto date = parse_date(text);
    if (!date) {
      refuse(here("date"), text.empty() ? "an empty cell" : shown(text), "a day as year, month and day, such as 2024-04-15",
             "write the date in that order with hyphens, and check that the month has such a day");
    }
    if (last_date_) {
      const auto step = (*date - *last_date_).count();
      const std::string next = to_iso(*last_date_ + std::chrono::days{1});
      if (step == 0) refuse(here("date"), to_iso(*date) + " a second time", next, "keep one line for each day");
      if (step < 0) refuse(here("date"), to_iso(*date) + " after " + to_iso(*last_date_), next, "put the days in order");
      if (step > 1) {
        if (fill_days_ == 0) {
          refuse(here("date"), "a gap: " + counted(static_cast<long>(step - 1), "day is", "days are") + " missing from " + next,
                 "one line for every day", "add the missing days, or let the scenario fill short gaps with \"gaps\" beside \"file\"");
        }
        leave_out(*last_date_ + std::chrono::days{1}, static_cast<std::size_t>(step - 1));
      }
    } else {
      weather_.first = *date;
    }
    if (weather_.days() == k_most_days) {
      refuse(here(), "more than " + std::to_string(k_most_days) + " days", "at most 1000 years",
             "check that this is a weather file, or keep the years you need");
    }
    last_date_ = date;
    if (fill_days_ > 0) line_of_day_.push_back(line_);
  }

  std::string stretch(Date first, std::size_t days) const {
    const Date last = first + std::chrono::days{static_cast<long>(days) - 1};
    return days == 1 ? to_iso(first) : to_iso(first) + " to " + to_iso(last);
  }

  [[noreturn]] void refuse_long_gap(const std::string& place, Date first, std::size_t days) const {
    refuse(place, "a gap of " + std::to_string(days) + " days, " + stretch(first, days),
           "gaps of at most " + counted(fill_days_, "day", "days") + ", as \"gaps\" says in the scenario",
           "add the missing days; a neighbouring station may have them");
  }

  /// Days without a line, blank until they are filled.
  void leave_out(Date first, std::size_t days) {
    if (days > static_cast<std::size_t>(fill_days_)) refuse_long_gap(here("date"), first, days);
    for (const auto* column : target_) {
      if (column == nullptr) continue;
      auto& values = weather_.*(column->into);
      values.resize(values.size() + days, k_blank);
    }
    line_of_day_.resize(line_of_day_.size() + days, line_);
  }

  double read_cell(const WeatherColumn& column, const std::string& text) {
    const auto range = [&] { return plain(column.low) + " to " + plain(column.high) + ' ' + column.unit; };
    if (text.empty()) {
      if (!column.required || fill_days_ > 0) return k_blank;
      refuse(here(column.name), "an empty cell", range(),
             "fill it in, for this column is needed on every day, or let the scenario fill short gaps with \"gaps\" beside \"file\"");
    }
    const char* start = text.data() + (text[0] == '+' ? 1 : 0);
    const char* const end = text.data() + text.size();
    double value = 0;
    const auto parsed = std::from_chars(start, end, value);
    if (parsed.ec != std::errc{} || parsed.ptr != end || !std::isfinite(value)) {
      const std::string hint = column.into == &DailyWeather::rain_mm ? column.hint
                               : column.required                     ? "write a number with a decimal point"
                                                                     : "write a number with a decimal point, or leave the cell empty";
      refuse(here(column.name), shown(text), range(), hint);
    }
    if (value < column.low || value > column.high) {
      // A mark for "missing" is the usual reason where a figure may be left out.
      const bool marker = !column.required && value < 0;
      refuse(here(column.name), shown(text), range(), marker ? "leave the cell empty where nothing was measured" : column.hint);
    }
    return value;
  }

  bool lacks(std::size_t day) const {
    return std::isnan(weather_.tmin_c[day]) || std::isnan(weather_.tmax_c[day]) || std::isnan(weather_.rain_mm[day]);
  }

  /// Blanks of a column in a straight line between what was measured on either side; both sides are there.
  static void draw_line(std::vector<double>& values, std::size_t first, std::size_t end) {
    for (std::size_t d = first; d < end; ++d) {
      if (!std::isnan(values[d])) continue;
      std::size_t after = d;
      while (std::isnan(values[after])) ++after;
      const double before = values[d - 1], rise = (values[after] - before) / static_cast<double>(after - d + 1);
      for (std::size_t k = 1; d < after; ++d, ++k) values[d] = before + rise * static_cast<double>(k);
    }
  }

  /// Fills each stretch of days that lack one of the needed figures, if it is short enough and lies between days that have them.
  void fill_gaps() {
    const std::size_t days = weather_.days();
    std::string filled;
    for (std::size_t first = 0, end = 0; first < days; first = end + 1) {
      end = first;
      while (end < days && lacks(end)) ++end;
      if (end == first) continue;
      const Date date = weather_.date(first);
      const std::size_t length = end - first;
      const std::string place = "line " + std::to_string(line_of_day_[first]);
      if (first == 0 || end == days) {
        refuse(place,
               "no full figures for " + stretch(date, length) + " and no day " + (first == 0 ? "before" : "after") + " to fill them from",
               "tmin_c, tmax_c and rain_mm on the first and on the last day", "fill them in, or take those days out");
      }
      if (length > static_cast<std::size_t>(fill_days_)) refuse_long_gap(place, date, length);
      fill(first, end);
      filled += (filled.empty() ? "" : ", ") + stretch(date, length);
    }
    if (!filled.empty()) {
      weather_.notes.push_back(path_ + ": what is missing on " + filled +
                               " is filled: temperatures in a straight line between the days on either side, no rain, nothing else");
    }
  }

  void fill(std::size_t first, std::size_t end) {
    DailyWeather& w = weather_;
    const std::vector<double> measured(w.tmin_c.begin() + static_cast<std::ptrdiff_t>(first),
                                       w.tmin_c.begin() + static_cast<std::ptrdiff_t>(end));
    draw_line(w.tmin_c, first, end);
    draw_line(w.tmax_c, first, end);
    for (std::size_t d = first; d < end; ++d) {
      if (std::isnan(w.rain_mm[d])) w.rain_mm[d] = 0;
      if (w.tmax_c[d] >= w.tmin_c[d]) continue;
      // One of the two was measured and the line of the other runs past it: the measured one stays.
      if (std::isnan(measured[d - first])) {
        w.tmin_c[d] = w.tmax_c[d];
      } else {
        w.tmax_c[d] = w.tmin_c[d];
      }
    }
  }

  void finish() {
    if (!header_line_) refuse("", "an empty file", "a line with column names, then one line a day", "check that this is the right file");
    if (weather_.days() == 0) refuse(here(), "column names and no day", "one line a day after the column names", "add the days");
    if (fill_days_ > 0) fill_gaps();
    // A column in which nothing was measured is as good as none.
    for (const auto& column : weather_columns()) {
      auto& values = weather_.*(column.into);
      if (!column.required && std::all_of(values.begin(), values.end(), [](double v) { return std::isnan(v); })) values.clear();
    }
  }

  const std::string& path_;
  const int fill_days_;
  DailyWeather weather_;
  std::vector<std::size_t> line_of_day_;  ///< where gaps are filled; of the next line for a day without one
  std::size_t line_ = 0, header_line_ = 0, date_cell_ = 0;
  std::uint64_t bytes_ = 0;
  std::vector<std::string> cells_;
  std::vector<const WeatherColumn*> target_;  ///< of each cell; null where it is not used
  std::optional<Date> last_date_;
};

}  // namespace

DailyWeather read_weather(const std::string& path, int fill_days) { return WeatherReader(path, fill_days).read(); }

}  // namespace leafhunger
