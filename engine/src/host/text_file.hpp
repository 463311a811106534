// Reading files that a person wrote: bounded, and with a plain sentence where that cannot be done.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace leafhunger::input {

/// Refuses (InputError) what is missing, a folder, or not readable; names the nearest file of that folder. `what` says what should stand
/// there, such as "a weather file (CSV)".
void require_file(const std::string& path, std::string_view what);

/// The whole text without a UTF-8 byte order mark. Refuses what require_file() refuses, more than `most_bytes`, and UTF-16.
std::string read_text_file(const std::string& path, std::string_view what, std::uint64_t most_bytes);

/// Takes a UTF-8 byte order mark off the front; refuses the marks of UTF-16.
void drop_byte_order_mark(std::string& text, const std::string& path);

/// Names of the files (not folders) that lie beside `path`.
std::string nearest_file_beside(const std::string& path);

}  // namespace leafhunger::input
