// Text set for a terminal of 80 columns, whatever the terminal: no colour, no boxes.
#pragma once

#include <string>
#include <string_view>

namespace leafhunger::lines {

inline constexpr std::size_t k_width = 80;

/// Columns that a UTF-8 text takes (one a character: no wide scripts in our own words).
std::size_t width(std::string_view text);
/// Padded with blanks to `columns`, or as it is where it is wider.
std::string padded(std::string_view text, std::size_t columns);
std::string right(std::string_view text, std::size_t columns);
/// `first` begins the first line; further lines begin with `rest` blanks. Breaks at blanks; ends with a newline.
std::string wrapped(std::string_view first, std::string_view text, std::size_t rest, std::size_t columns = k_width);
/// The head of an answer: the question, each remark that there is any of, and an empty line.
std::string headed(const std::string& question, const std::string& note, const std::string& weather_note);
/// Fixed digits after the point.
std::string fixed(double value, int digits);

}  // namespace leafhunger::lines
