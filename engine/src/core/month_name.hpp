// The months' English names.
#pragma once

#include <array>

namespace leafhunger {

inline constexpr std::array<const char*, 12> k_month_names = {"January", "February", "March",     "April",   "May",      "June",
                                                              "July",    "August",   "September", "October", "November", "December"};

}  // namespace leafhunger
