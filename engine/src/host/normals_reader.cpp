// Monthly normals from a comma-separated file.
#include <algorithm>
#include <charconv>
#include <cmath>
#include <filesystem>
#include <sstream>

#include "core/month_name.hpp"
#include "host/csv_line.hpp"
#include "host/text_file.hpp"
#include "host/words.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/normals.hpp"
#include "leafhunger/reader.hpp"

namespace leafhunger {

namespace {

using namespace input;

constexpr std::uint64_t k_most_bytes = 16ull << 20;
constexpr std::size_t k_longest_place = 80, k_longest_source = 500;
constexpr double k_most_mm_a_wet_day = 60;  // tropical rains of the wettest months bring 20 to 30 (from memory)
constexpr const char* k_what = "a file of monthly normals (CSV)";
constexpr const char* k_header = "place,lat_deg,lon_deg,elevation_m,month,tmin_c,tmax_c,rain_mm,source";

enum Column { k_place, k_lat, k_lon, k_elevation, k_month, k_tmin, k_tmax, k_rain, k_source, k_wet_days, k_tmin_sd, k_tmax_sd, k_columns };

struct ColumnRule {
  const char* name;
  bool needed;  ///< the column must be there, and no cell of it may be empty
  double low, high;
  const char* unit;
  const char* hint;
};

// Monthly means of the air near the ground lie well inside -45 to 50 degC, so that no generated day leaves what a weather file may hold.
constexpr std::array<ColumnRule, k_columns> k_rules = {{
    {"place", true, 0, 0, "", "name the place"},
    {"lat_deg", true, -89.9, 89.9, "degrees, north positive", "read it off a map"},
    {"lon_deg", false, -180, 180, "degrees, east positive", "read it off a map, or leave the cell empty"},
    {"elevation_m", false, -400, 5000, "m above the sea", "read it off a map, or leave the cell empty"},
    {"month", true, 1, 12, "", "write 1 for January to 12 for December"},
    {"tmin_c", true, -45, 40, "degC", "write the month's mean of the days' lowest temperature in degrees Celsius"},
    {"tmax_c", true, -40, 50, "degC", "write the month's mean of the days' highest temperature in degrees Celsius"},
    {"rain_mm", true, 0, 3000, "mm", "write the month's mean total in millimetres"},
    {"source", false, 0, 0, "", "say where the figures come from"},
    {"wet_days", false, 0, 30, "days with at least 1 mm", "count the days with at least 1.0 mm, or leave the cell empty"},
    {"tmin_sd_c", false, 0.2, 15, "degC", "write the standard deviation of all daily values of the month, or leave the cell empty"},
    {"tmax_sd_c", false, 0.2, 15, "degC", "write the standard deviation of all daily values of the month, or leave the cell empty"},
}};

std::vector<std::string> column_names() {
  std::vector<std::string> names;
  for (const auto& rule : k_rules) names.emplace_back(rule.name);
  return names;
}

class NormalsReader {
 public:
  explicit NormalsReader(const std::string& path) : path_(path) {}

  std::vector<ClimateNormals> read() {
    std::istringstream in(read_text_file(path_, k_what, k_most_bytes));
    for (std::string line; std::getline(in, line);) {
      ++line_;
      if (!line.empty() && line.back() == '\r') line.pop_back();
      const std::size_t start = line.find_first_not_of(" \t");
      if (start == std::string::npos || line[start] == '#') continue;
      if (!is_utf8(line))
        refuse(here(), "a letter that is not in UTF-8", "text in UTF-8", "save the file again and choose UTF-8 as its encoding");
      if (header_line_ == 0) {
        read_header(line);
      } else {
        read_row(line);
      }
    }
    if (header_line_ == 0)
      refuse("", "an empty file", std::string("a line ") + k_header + " and twelve rows a place", "check that this is the right file");
    if (places_.empty()) refuse(here(), "column names and no row", "twelve rows a place", "add January to December");
    for (const Place& place : places_) check_whole(place);
    std::vector<ClimateNormals> out;
    for (Place& place : places_) out.push_back(std::move(place.normals));
    return out;
  }

 private:
  struct Place {
    ClimateNormals normals;
    std::array<std::size_t, 12> line{};  ///< of each month; 0 where it has not come
    std::array<std::string, 4> head;     ///< latitude, longitude, elevation, source as written
  };

  [[noreturn]] void refuse(const std::string& place, const std::string& found, const std::string& allowed, const std::string& hint) const {
    throw InputError({path_, place, found, allowed, hint});
  }
  std::string here() const { return "line " + std::to_string(line_); }
  std::string here(Column column) const { return here() + ", column " + k_rules[column].name; }

  void read_header(const std::string& line) {
    if (!split_csv_line(line, cells_)) refuse(here(), "a quotation mark that is not closed", "column names between commas", "close it");
    if (cells_.size() == 1 && line.find_first_of(";\t") != std::string::npos) {
      refuse(here(), "cells that are not parted by commas", "cells parted by commas, with decimal points",
             "save the file again as CSV with commas");
    }
    const auto names = column_names();
    cell_of_.fill(k_none);
    for (std::size_t i = 0; i < cells_.size(); ++i) {
      const auto known = std::find(names.begin(), names.end(), cells_[i]);
      if (known == names.end()) {
        const std::string nearest = nearest_name(cells_[i], names);
        refuse(here(), "the column " + in_quotes(cells_[i]), one_of(names, 16, " and "),
               nearest.empty() ? "take the column out" : "the nearest known is " + in_quotes(nearest));
      }
      auto& cell = cell_of_[static_cast<std::size_t>(known - names.begin())];
      if (cell != k_none)
        refuse(here(), "the column " + in_quotes(cells_[i]) + " a second time", "each column once", "remove one of the two");
      cell = i;
    }
    for (std::size_t c = 0; c < k_columns; ++c) {
      if (k_rules[c].needed && cell_of_[c] == k_none)
        refuse(here(), std::string("no column ") + in_quotes(k_rules[c].name), std::string("a first line such as ") + k_header,
               "add the column");
    }
    if ((cell_of_[k_tmin_sd] == k_none) != (cell_of_[k_tmax_sd] == k_none)) {
      refuse(here(), "only one of \"tmin_sd_c\" and \"tmax_sd_c\"", "both or none", "add the other one, or take this one out");
    }
    width_ = cells_.size();
    header_line_ = line_;
  }

  const std::string& cell(Column column) const {
    static const std::string k_empty;
    return cell_of_[column] == k_none ? k_empty : cells_[cell_of_[column]];
  }

  std::optional<double> maybe_number(Column column) const {
    const ColumnRule& rule = k_rules[column];
    const std::string& text = cell(column);
    const std::string range = plain(rule.low) + " to " + plain(rule.high) + (*rule.unit ? " " : "") + rule.unit;
    if (text.empty()) {
      if (rule.needed) refuse(here(column), "an empty cell", range, rule.hint);
      return std::nullopt;
    }
    const char* const start = text.data() + (text[0] == '+' ? 1 : 0);
    const char* const end = text.data() + text.size();
    double value = 0;
    const auto parsed = std::from_chars(start, end, value);
    if (parsed.ec != std::errc{} || parsed.ptr != end || !std::isfinite(value) || value < rule.low || value > rule.high) {
      refuse(here(column), shown(text), range, rule.hint);
    }
    return value;
  }
  double number(Column column) const { return *maybe_number(column); }

  std::string text(Column column, std::size_t most) const {
    const std::string& written = cell(column);
    if (k_rules[column].needed && written.empty()) refuse(here(column), "an empty cell", "a text", k_rules[column].hint);
    if (characters(written) > most ||
        std::any_of(written.begin(), written.end(), [](char c) { return static_cast<unsigned char>(c) < 32; })) {
      refuse(here(column), in_quotes(written), "at most " + std::to_string(most) + " characters, none of them a tab", "shorten it");
    }
    return written;
  }

  void read_row(const std::string& line) {
    if (!split_csv_line(line, cells_)) refuse(here(), "a quotation mark that is not closed", "figures between commas", "close it");
    if (cells_.size() != width_) {
      refuse(here(), counted(static_cast<long>(cells_.size()), "cell", "cells"),
             std::to_string(width_) + ", as in the column names of line " + std::to_string(header_line_),
             "put a text that holds a comma between double quotation marks, and leave unknown cells empty");
    }
    Place& place = place_of_row();
    const double month_number = number(k_month);
    if (month_number != std::floor(month_number)) refuse(here(k_month), shown(cell(k_month)), "1 to 12", k_rules[k_month].hint);
    const auto m = static_cast<std::size_t>(month_number) - 1;
    if (place.line[m] != 0) {
      refuse(here(k_month), std::string(k_month_names[m]) + " of " + in_quotes(place.normals.place) + " a second time",
             "each month once; it stands in line " + std::to_string(place.line[m]) + " already", "keep one of the two");
    }
    place.line[m] = line_;
    MonthNormals& out = place.normals.months[m];
    out.tmin_c = number(k_tmin);
    out.tmax_c = number(k_tmax);
    out.rain_mm = number(k_rain);
    out.wet_days = maybe_number(k_wet_days);
    out.tmin_sd_c = maybe_number(k_tmin_sd);
    out.tmax_sd_c = maybe_number(k_tmax_sd);
    if (out.tmax_c < out.tmin_c + 0.5) {
      refuse(here(k_tmax), plain(out.tmax_c) + " with tmin_c " + plain(out.tmin_c), "at least 0.5 degC above tmin_c",
             out.tmax_c < out.tmin_c ? "check whether the two columns are exchanged"
                                     : "give means of the days' lowest and highest temperature");
    }
    if (out.tmin_sd_c.has_value() != out.tmax_sd_c.has_value()) {
      refuse(here(out.tmin_sd_c ? k_tmax_sd : k_tmin_sd), "an empty cell", "both standard deviations or none", "fill it in, or empty both");
    }
    if (out.wet_days) check_wet_days(out, k_days_of_month[m]);
  }

  /// A wet day has at least 1 mm, and with 1.0 mm on each there would be nothing left to differ; a month's last tenth falls as drizzle.
  void check_wet_days(const MonthNormals& month, double days) const {
    const double most = std::min(0.9 * month.rain_mm, 0.95 * days);
    if (*month.wet_days > most) {
      refuse(here(k_wet_days), shown(cell(k_wet_days)),
             "at most " + plain(std::floor(10 * most) / 10) + " with " + plain(month.rain_mm) + " mm of rain", k_rules[k_wet_days].hint);
    }
    if (month.rain_mm > k_most_mm_a_wet_day * *month.wet_days && month.rain_mm > 4) {
      if (*month.wet_days > 0) {
        refuse(here(k_wet_days), shown(cell(k_wet_days)) + " with " + plain(month.rain_mm) + " mm of rain",
               "at most " + plain(k_most_mm_a_wet_day) + " mm a wet day", k_rules[k_wet_days].hint);
      }
      refuse(here(k_wet_days), "0 with " + plain(month.rain_mm) + " mm of rain", "0 only with 4 mm or less", k_rules[k_wet_days].hint);
    }
  }

  /// The place of the row, with what is the same in all its rows.
  Place& place_of_row() {
    const std::string name = text(k_place, k_longest_place);
    const std::array<std::string, 4> head = {cell(k_lat), cell(k_lon), cell(k_elevation), text(k_source, k_longest_source)};
    const auto known = std::find_if(places_.begin(), places_.end(), [&](const Place& p) { return p.normals.place == name; });
    if (known == places_.end()) {
      Place place;
      place.normals.place = name;
      place.normals.latitude_deg = number(k_lat);
      place.normals.longitude_deg = maybe_number(k_lon);
      place.normals.elevation_m = maybe_number(k_elevation);
      place.normals.source = head[3];
      place.head = head;
      places_.push_back(std::move(place));
      return places_.back();
    }
    constexpr std::array<Column, 4> k_same = {k_lat, k_lon, k_elevation, k_source};
    for (std::size_t i = 0; i < 4; ++i) {
      if (head[i] != known->head[i]) {
        refuse(here(k_same[i]), in_quotes(head[i]), in_quotes(known->head[i]) + ", as in the other rows of " + in_quotes(name),
               "write the same in all twelve rows, or give the other place a name of its own");
      }
    }
    return *known;
  }

  void check_whole(const Place& place) const {
    std::vector<std::string> missing;
    std::size_t last = 0;
    for (std::size_t m = 0; m < 12; ++m) {
      last = std::max(last, place.line[m]);
      if (place.line[m] == 0) missing.emplace_back(k_month_names[m]);
    }
    const std::string at = "line " + std::to_string(last);
    if (!missing.empty()) {
      std::string names;
      for (std::size_t i = 0; i < missing.size(); ++i) names += (i == 0 ? "" : i + 1 == missing.size() ? " and " : ", ") + missing[i];
      refuse(at, in_quotes(place.normals.place) + " without " + names, "twelve rows a place", "add the missing months");
    }
    const auto& months = place.normals.months;
    for (std::size_t m = 0; m < 12; ++m) {
      if (months[m].tmin_sd_c.has_value() != months[0].tmin_sd_c.has_value()) {
        refuse("line " + std::to_string(place.line[m]),
               "standard deviations in some months of " + in_quotes(place.normals.place) + " and not in others", "all twelve or none",
               "fill in the empty cells, or empty both columns");
      }
    }
  }

  static constexpr std::size_t k_none = static_cast<std::size_t>(-1);
  const std::string& path_;
  std::size_t line_ = 0, header_line_ = 0, width_ = 0;
  std::vector<std::string> cells_;
  std::array<std::size_t, k_columns> cell_of_{};
  std::vector<Place> places_;
};

std::string small_letters(std::string text) {
  for (char& c : text) c = static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
  return text;
}

std::string without_brackets(const std::string& name) { return name.substr(0, name.find(" (")); }

}  // namespace

std::vector<ClimateNormals> read_normals(const std::string& path) { return NormalsReader(path).read(); }

const ClimateNormals& find_place(const std::vector<ClimateNormals>& normals, const std::string& name, const std::string& file) {
  const std::string wanted = small_letters(name);
  const ClimateNormals* found = nullptr;
  std::vector<std::string> names;
  for (const ClimateNormals& n : normals) {
    if (n.place == name) return n;
    names.push_back(n.place);
    if (found == nullptr && (small_letters(n.place) == wanted || small_letters(without_brackets(n.place)) == wanted)) found = &n;
  }
  if (found != nullptr) return *found;
  const std::string nearest = nearest_name(name, names);
  throw InputError(
      {file, "", "no place " + in_quotes(name), one_of(names, 24),
       nearest.empty() ? "take one with a like climate, or give normals of your own" : "the nearest name is " + in_quotes(nearest)});
}

std::string shipped_normals(const std::string& catalogue_dir) {
  return (std::filesystem::path(catalogue_dir) / "climate-normals.csv").string();
}

}  // namespace leafhunger
