#include "host/csv_line.hpp"

#include <algorithm>

namespace leafhunger::input {

namespace {

bool is_blank(char c) { return c == ' ' || c == '\t'; }

}  // namespace

bool split_csv_line(std::string_view line, std::vector<std::string>& cells) {
  std::size_t count = 0, i = 0;
  for (;;) {
    if (cells.size() == count) cells.emplace_back();
    std::string& cell = cells[count++];
    cell.clear();
    while (i < line.size() && is_blank(line[i])) ++i;
    if (i < line.size() && line[i] == '"') {
      for (++i;; ++i) {
        if (i == line.size()) return false;
        if (line[i] != '"') {
          cell += line[i];
        } else if (i + 1 < line.size() && line[i + 1] == '"') {
          cell += line[++i];  // a doubled mark stands for one
        } else {
          ++i;
          break;
        }
      }
    }
    const std::size_t end = std::min(line.find(',', i), line.size());
    cell += line.substr(i, end - i);
    while (!cell.empty() && is_blank(cell.back())) cell.pop_back();
    cell.erase(0, std::min(cell.find_first_not_of(" \t"), cell.size()));
    i = end;
    if (i == line.size()) break;
    ++i;
  }
  cells.resize(count);
  return true;
}

}  // namespace leafhunger::input
