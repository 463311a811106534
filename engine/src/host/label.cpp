#include "leafhunger/label.hpp"

#include <algorithm>

namespace leafhunger {

namespace {

constexpr const char* k_meal = "fitted to four dry meals by the authors, fast 0.70 ± 0.08, ready 0.01 to 0.03 (Hartz & Johnstone 2006)";
constexpr const char* k_green =
    "fitted to green material by the authors, fast 0.80 ± 0.10 (Agehara & Warncke 2005; Sullivan & Andrews 2012)";
constexpr const char* k_bird =
    "ready 0.33 ± 0.08: ammonium and uric acid 30 to 50 % of the nitrogen (Bioresource Technology 58, 1996); fast 0.50 ± 0.25 fitted by "
    "the authors (Agehara & Warncke 2005; Hadas et al. 1983)";
constexpr const char* k_herbivore =
    "ready 0.10 ± 0.05: RB209, cattle farmyard manure, 0.6 to 1.2 of 6.0 kg a tonne; fast 0.20 ± 0.10 fitted by the authors (Hartz, "
    "Mitchell & Giannini 2000)";
constexpr const char* k_heap =
    "ready 0.06 ± 0.03: ammonium and nitrate, derived from CalRecycle 2013; fast 0.02, up to 0.07, fitted by the authors (Hartz, Mitchell "
    "& "
    "Giannini 2000)";
constexpr const char* k_straw =
    "green plant's fast share; decay 0.03 a day for straw and stems: peak lock-up at 0.20 a day would come weeks too soon (Trinsoutrot et "
    "al. 2000, authors from memory); its spread is our own guess";
constexpr const char* k_protein = "from memory: protein holds 16 to 18 % nitrogen and some 52 % carbon, fat adds carbon";
constexpr const char* k_plant_carbon = "from memory: plant dry matter is 40 to 48 % carbon";
constexpr const char* k_manure_carbon = "from memory: manure dry matter is 30 to 45 % carbon, ash and litter the rest";
constexpr const char* k_heap_carbon = "22 % of dry matter, mean of over 1,600 composts (CalRecycle 2013); its spread from memory";

double typical_carbon_to_nitrogen(const Label& label, const LabelOrigin& origin) {
  const double carbon_percent = origin.carbon_of_dry_frac.value * label.dry_matter_percent;
  const double ratio = carbon_percent > 0 ? carbon_percent / label.n_percent : origin.carbon_to_nitrogen.value;
  // Never more carbon than dry matter, and nothing that the models would refuse.
  return std::clamp(ratio, 0.5, std::min(1000.0, std::max(0.5, label.dry_matter_percent / label.n_percent)));
}

/// Spread of the typical ratio over the ratio.
double relative_carbon_spread(const LabelOrigin& origin) {
  const Spread& s = origin.carbon_of_dry_frac.value > 0 ? origin.carbon_of_dry_frac : origin.carbon_to_nitrogen;
  return s.plus_minus / s.value;
}

Spread ready_of(const Label& label, const LabelOrigin& origin) {
  Spread ready = origin.ready_frac;
  if (!label.ammonium_frac) return ready;
  // Half the spread where the label says what the table guesses (our own guess); elsewhere ammonium is only a floor.
  if (origin.ready_is_ammonium) return {*label.ammonium_frac, ready.plus_minus / 2};
  ready.value = std::max(ready.value, *label.ammonium_frac);
  return ready;
}

}  // namespace

const std::vector<LabelOrigin>& label_origins() {
  // 0.02, up to 0.07, of a heap is told as 0.02 ± 0.025; 0.05 of green matter's ready share is our own guess: young rye had 0.15 to 0.18 on
  // the first day (Gomes et al. 2024, authors from memory), drier leaves none.
  static const std::vector<LabelOrigin> origins = {
      {"animal-meal",
       "dry meal of blood, bone, horn, feather or fish",
       {0.02, 0.01},
       {0.70, 0.08},
       {},
       false,
       {},
       {3.6, 0.6},
       k_meal,
       k_protein},
      {"seed-meal", "what is left of pressed seed", {0.02, 0.01}, {0.70, 0.08}, {}, false, {0.45, 0.04}, {}, k_meal, k_plant_carbon},
      {"green-plant",
       "leaves, grass, seaweed, dry or fresh",
       {0, 0.05},
       {0.80, 0.10},
       {},
       false,
       {0.42, 0.04},
       {},
       k_green,
       k_plant_carbon},
      {"straw",
       "straw, hay gone to stalk, stems, wood",
       {0, 0},
       {0.80, 0.10},
       {0.03, 0.01},
       false,
       {0.45, 0.04},
       {},
       k_straw,
       k_plant_carbon},
      {"bird-manure",
       "poultry manure or guano, raw or pelleted",
       {0.33, 0.08},
       {0.50, 0.25},
       {},
       false,
       {0.38, 0.06},
       {},
       k_bird,
       k_manure_carbon},
      {"bird-manure-composted",
       "poultry manure that was composted for a while",
       {0.12, 0.05},
       {0.50, 0.25},
       {},
       false,
       {0.32, 0.06},
       {},
       k_bird,
       k_manure_carbon},
      {"herbivore-manure",
       "cattle, horse, sheep, pig or rabbit manure, fresh or stacked",
       {0.10, 0.05},
       {0.20, 0.10},
       {},
       true,
       {0.38, 0.05},
       {},
       k_herbivore,
       k_manure_carbon},
      {"matured-heap",
       "compost, leaf mould, worm casts: rotted until it no longer heats",
       {0.06, 0.03},
       {0.02, 0.025},
       {},
       true,
       {0.22, 0.06},
       {},
       k_heap,
       k_heap_carbon},
  };
  return origins;
}

const LabelOrigin* find_label_origin(std::string_view word) {
  for (const auto& origin : label_origins())
    if (word == origin.word) return &origin;
  return nullptr;
}

LabelEstimate estimate_from_label(const Label& label, const LabelOrigin& origin) {
  LabelEstimate out;
  const auto put = [&](const char* name, const Spread& figure, const char* source) {
    out.parameters[name] = figure.value;
    out.spread[name] = figure.plus_minus;
    out.sources[name] = source;
  };
  const Spread ready = ready_of(label, origin);
  put("ready_frac", ready, label.ammonium_frac && origin.ready_is_ammonium ? "the ammonium share of the label" : origin.source);
  put("fast_frac", origin.fast_frac, origin.source);
  if (origin.fast_per_day.value > 0) put("fast_per_day", origin.fast_per_day, origin.source);
  if (label.carbon_to_nitrogen) {
    out.carbon_to_nitrogen = *label.carbon_to_nitrogen;
    return out;
  }
  out.carbon_to_nitrogen = typical_carbon_to_nitrogen(label, origin);
  out.sources["carbon_to_nitrogen"] = std::string("typical of its origin, since the entry says none; ") + origin.carbon_source;
  // The model's parameter of that name is C:N of the organic part.
  if (ready.value < 1) out.spread["carbon_to_nitrogen"] = out.carbon_to_nitrogen * relative_carbon_spread(origin) / (1 - ready.value);
  return out;
}

void estimate_from_label(Material& m) {
  const LabelOrigin* origin = find_label_origin(m.origin_word);
  if (!origin) return;
  Label label{m.n_percent, m.dry_matter_percent, {}, {}};
  if (m.carbon_to_nitrogen > 0) label.carbon_to_nitrogen = m.carbon_to_nitrogen;
  if (m.ammonium_frac > 0) label.ammonium_frac = m.ammonium_frac;
  LabelEstimate found = estimate_from_label(label, *origin);
  m.carbon_to_nitrogen = found.carbon_to_nitrogen;
  m.estimated = std::move(found.parameters);
  for (const auto& [name, plus_minus] : found.spread)
    if (!m.parameters.contains(name)) m.spread.emplace(name, plus_minus);
  for (auto& [name, source] : found.sources)
    if (!m.parameters.contains(name)) m.sources.emplace(name, std::move(source));
}

double plant_available_kg_t(double n_percent_of_dry) {
  constexpr double k_none_percent = 1.5, k_full_percent = 3.5, k_full_kg_t = 17.5, k_most_kg_t = 20;
  return std::clamp(k_full_kg_t * (n_percent_of_dry - k_none_percent) / (k_full_percent - k_none_percent), 0.0, k_most_kg_t);
}

double plant_available_frac(double n_percent_of_dry) {
  return n_percent_of_dry > 0 ? plant_available_kg_t(n_percent_of_dry) / (10 * n_percent_of_dry) : 0;
}

}  // namespace leafhunger
