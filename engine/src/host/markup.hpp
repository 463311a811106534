// Text inside a page or a picture.
#pragma once

#include <string>

namespace leafhunger {

/// & < > " ' as entities, control characters left out: text stays text, in elements and in attributes alike (HTML and XML).
std::string escaped_markup(const std::string& text);

}  // namespace leafhunger
