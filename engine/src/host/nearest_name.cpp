// The nearest known name to a mistyped one.
#include <algorithm>
#include <cctype>
#include <string>
#include <vector>

#include "leafhunger/reader.hpp"

namespace leafhunger {

namespace {

constexpr std::size_t k_longest = 120;  // longer names are no slip of the finger, and would take long to compare

/// Case, spaces, hyphens and underscores do not matter to the eye.
std::string folded(const std::string& name) {
  std::string out;
  for (const char c : name) {
    out += c == ' ' || c == '_' ? '-' : static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  }
  return out;
}

/// Letters to change, drop, add or swap with their neighbour (optimal string alignment).
std::size_t edit_distance(const std::string& a, const std::string& b) {
  std::vector<std::size_t> before(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (a[i - 1] != b[j - 1])});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) row[j] = std::min(row[j], before[j - 2] + 1);
    }
    std::swap(before, last);
    std::swap(last, row);
  }
  return last[b.size()];
}

/// "tall-nettle" holds "nettle": an inner part counts from four letters on.
bool holds(const std::string& whole, const std::string& part) { return part.size() >= 4 && whole.find(part) != std::string::npos; }

}  // namespace

std::string nearest_name(const std::string& name, const std::vector<std::string>& known) {
  if (name.empty() || name.size() > k_longest) return {};
  const std::string wanted = folded(name);
  std::string best;
  std::size_t best_distance = 0;
  for (const auto& candidate : known) {
    if (candidate.empty() || candidate.size() > k_longest) continue;
    const std::string other = folded(candidate);
    std::size_t distance = edit_distance(wanted, other);
    const std::size_t longer = std::max(wanted.size(), other.size());
    const bool near = distance <= std::max<std::size_t>(1, longer * 2 / 5) && distance < longer;
    if (holds(other, wanted)) {
      distance = std::min<std::size_t>(distance, 1);  // half a name was meant for the whole
    } else if (!near && !holds(wanted, other)) {
      continue;
    }
    if (best.empty() || distance < best_distance) {
      best = candidate;
      best_distance = distance;
    }
  }
  return best;
}

}  // namespace leafhunger
