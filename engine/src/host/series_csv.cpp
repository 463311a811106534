// The days of a season as a table: a row for each planting and day.
#include <algorithm>

#include "leafhunger/report_folder.hpp"
#include "words.hpp"

namespace leafhunger {
std::string in_csv(const SeasonResult& r) {
  // Columns of soil differ in their number of layers: the widest tells the header, others leave cells empty.
  std::vector<std::pair<std::string, std::size_t>> columns;  // name, layers
  for (const ColumnResult& c : r.columns)
    for (const Series& s : c.series) {
      const auto it = std::find_if(columns.begin(), columns.end(), [&](const auto& k) { return k.first == s.name; });
      if (it == columns.end()) {
        columns.emplace_back(s.name, s.layers);
      } else {
        it->second = std::max(it->second, s.layers);
      }
    }
  std::string out = "planting,date";
  for (const auto& [name, layers] : columns)
    for (std::size_t l = 0; l < layers; ++l) out += "," + name + (layers > 1 ? "_layer" + std::to_string(l + 1) : "");
  out += "\n";
  for (const ColumnResult& c : r.columns)
    for (std::size_t d = 0; d < r.days; ++d) {
      out += input::csv_cell(c.name) + "," + to_iso(r.first + std::chrono::days{static_cast<long>(d)});
      for (const auto& [name, layers] : columns) {
        const Series* s = c.find(name);
        for (std::size_t l = 0; l < layers; ++l) {
          out += ',';
          if (s && l < s->layers && d * s->layers + l < s->values.size()) out += input::plain(s->values[d * s->layers + l]);
        }
      }
      out += "\n";
    }
  return out;
}

}  // namespace leafhunger
