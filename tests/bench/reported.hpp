// What a result reports of a column, and how far two ways of computing it are apart.
#pragma once

#include <algorithm>
#include <cmath>
#include <map>
#include <span>
#include <string>
#include <vector>

#include "core/season.hpp"

namespace leafhunger::bench {

/// Name to values by day: the ledger, dry matter, the index, mineral N of each layer.
using Reported = std::map<std::string, std::vector<double>>;

/// One season with a stepper, and what it reports by day where `keep` is given.
inline void run_season(const ColumnShape& shape, const Member& member, Stepper& stepper, Reported* keep = nullptr) {
  ColumnBatch c(shape, {&member, 1}, 1);
  c.start();
  std::vector<double> critical(1);
  for (std::size_t d = 0; d < c.days(); ++d) {
    c.begin_day(d);
    stepper.day(c, d);
    if (!keep) continue;
    Reported& r = *keep;
    const Ledger l = ledger_of(c, 0);
    c.critical(critical);
    r["plant"].push_back(l.plant), r["reserve"].push_back(l.reserve), r["litter"].push_back(l.litter), r["unfreed"].push_back(l.unfreed);
    r["microbes"].push_back(l.microbes), r["humus"].push_back(l.humus), r["leached"].push_back(l.leached);
    r["volatilised"].push_back(l.volatilised), r["denitrified"].push_back(l.denitrified), r["taken"].push_back(l.taken);
    r["from soil"].push_back(l.from_soil), r["fixed"].push_back(l.fixed), r["dry matter"].push_back(c.at(c.map().w, 0));
    r["index"].push_back(critical[0] > 0 ? l.plant / critical[0] : 1);
    for (std::size_t k = 0; k < shape.layers; ++k) {
      r["ammonium " + std::to_string(k)].push_back(c.at(c.map().ammonium + k, 0));
      r["nitrate " + std::to_string(k)].push_back(c.at(c.map().nitrate_fast + k, 0) + c.at(c.map().nitrate_slow + k, 0));
    }
  }
}

/// Greatest difference over the quantity's range in that season; a range under 0.01 kg/ha counts as that.
inline double worst_difference(const Reported& tight, const Reported& ours) {
  double worst = 0;
  for (const auto& [name, a] : tight) {
    const auto [low, high] = std::minmax_element(a.begin(), a.end());
    const double range = std::max(*high - *low, 0.01);
    for (std::size_t d = 0; d < a.size(); ++d) worst = std::max(worst, std::abs(ours.at(name)[d] - a[d]) / range);
  }
  return worst;
}

}  // namespace leafhunger::bench
