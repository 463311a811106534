#include "row_name.hpp"

#include <algorithm>
#include <cmath>

namespace leafhunger {

std::string row_name(const ColumnBatch& column, std::size_t row) {
  const RowMap& m = column.map();
  for (std::size_t s = 0; s < m.slot.size(); ++s) {
    const lh_release& model = *column.shape().slots[s].model;
    const std::string slot = "slot " + std::to_string(s) + ": ";
    const std::size_t pool = row - m.slot[s].first_pool;
    if (row >= m.slot[s].first_pool && pool < static_cast<std::size_t>(model.n_pool)) return slot + model.pool[pool].name;
    if (row == m.slot[s].surface_ammonium) return slot + "surface ammonium";
    const std::size_t age = row - m.slot[s].first_age;
    if (row >= m.slot[s].first_age && age < static_cast<std::size_t>(model.n_age)) return slot + model.age[age].name;
  }
  const std::size_t n = column.shape().layers;
  const auto layer = [&](std::size_t first, const char* name) { return std::string(name) + ", layer " + std::to_string(row - first + 1); };
  if (row >= m.ammonium && row < m.ammonium + n) return layer(m.ammonium, "ammonium");
  if (row >= m.nitrate_fast && row < m.nitrate_fast + n) return layer(m.nitrate_fast, "nitrate in fast water");
  if (row >= m.nitrate_slow && row < m.nitrate_slow + n) return layer(m.nitrate_slow, "nitrate in slow water");
  const std::pair<std::size_t, const char*> rest[] = {
      {m.plant, "plant"},     {m.reserve, "reserve"},         {m.litter, "litter"},
      {m.leached, "leached"}, {m.volatilised, "volatilised"}, {m.denitrified, "denitrified"},
      {m.taken, "taken up"},  {m.from_soil, "from soil"},     {m.fixed, "fixed"},
      {m.w, "dry matter"}};
  for (const auto& [at, name] : rest)
    if (at == row) return name;
  return "row " + std::to_string(row);
}

std::string worst_rows(const ColumnBatch& column, const std::vector<double>& state) {
  std::vector<std::size_t> rows;
  const std::size_t n = std::min(state.size(), column.map().rows);
  for (std::size_t r = 0; r < n; ++r)
    if (!std::isfinite(state[r])) rows.push_back(r);
  if (rows.empty())
    rows.push_back(
        static_cast<std::size_t>(std::min_element(state.begin(), state.begin() + static_cast<std::ptrdiff_t>(n)) - state.begin()));
  std::string text;
  for (std::size_t k = 0; k < std::min<std::size_t>(3, rows.size()); ++k)
    text += (k ? ", " : "") + row_name(column, rows[k]) + " = " + std::to_string(state[rows[k]]);
  return text;
}

}  // namespace leafhunger
