// How a message shows what stands in a file: quoted, clipped, with nothing in it that could upset a terminal.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace leafhunger::input {

/// Printable text of at most `most` characters: control characters and bytes that are no UTF-8 are shown as escapes, the rest is cut with
/// "...".
std::string shown(std::string_view text, std::size_t most = 60);
/// The same between double quotation marks.
std::string in_quotes(std::string_view text);
/// A number without exponent and without needless noughts: 100000, 0.05.
std::string plain(double value);
/// `"a", "b" or "c"`; where there are more than `most`, the first of them and how many more.
std::string one_of(const std::vector<std::string>& names, std::size_t most = 16, const char* conjunction = " or ");
/// A user's text as a cell of a CSV (RFC 4180): between quotation marks, doubled inside, where a comma, a mark or a line's end stands in
/// it. One that a spreadsheet would take for a formula (= + - @ in front) gets an apostrophe before it, which makes it text there.
std::string csv_cell(const std::string& text);
/// "1 day", "3 days".
std::string counted(long count, const char* one, const char* many);
bool is_utf8(std::string_view text);
/// How many characters (not bytes) a UTF-8 text has.
std::size_t characters(std::string_view text);

}  // namespace leafhunger::input
