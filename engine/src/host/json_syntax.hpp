// Broken JSON explained to somebody who never heard of JSON.
#pragma once

#include <string>
#include <string_view>

namespace leafhunger::input {

/// Throws the InputError for a text that a parser refused after reading `bytes_read` bytes. Looks again from the start, with places.
[[noreturn]] void refuse_syntax(std::string_view text, std::size_t bytes_read, const std::string& file);

}  // namespace leafhunger::input
