// Files that only ever grow at their end.
#pragma once

#include <functional>
#include <string>

namespace leafhunger {

/// Adds `line` to the end of a text file, whole or not at all, whoever else adds to it at the same time. `head` stands before it in a file
/// that was empty or not there. `check` sees the text as it will be and may throw: then nothing is written. Throws InputError where the
/// file cannot be opened or written, more than `most_bytes` included.
void append_line(const std::string& path, const std::string& head, const std::string& line, std::size_t most_bytes,
                 const std::function<void(const std::string&)>& check);

}  // namespace leafhunger
