// One line of a comma-separated file (RFC 4180, without line breaks inside quotation marks).
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace leafhunger::input {

/// Splits at commas into `cells`, which are reused. Blanks around a cell and one pair of quotation marks are taken off. False where a
/// quotation mark is not closed.
bool split_csv_line(std::string_view line, std::vector<std::string>& cells);

}  // namespace leafhunger::input
