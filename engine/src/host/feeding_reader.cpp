// Feedings: what, when, how much, where.
#include <algorithm>

#include "host/catalogue_entries.hpp"
#include "host/scenario_parts.hpp"
#include "host/words.hpp"
#include "leafhunger/spoken_amount.hpp"

namespace leafhunger::input {

namespace {

std::vector<std::string> bed_names(const Scenario& scenario) {
  std::vector<std::string> names;
  for (const auto& bed : scenario.beds) names.push_back(bed.name);
  return names;
}

std::vector<std::string> planting_names(const Scenario& scenario) {
  std::vector<std::string> names;
  for (const auto& bed : scenario.beds) {
    for (const auto& planting : bed.plantings) names.push_back(planting.name);
  }
  return names;
}

/// The bed of that name, or the bed that holds the planting of that name.
const Bed& ground_of(const Scenario& scenario, const std::string& bed_name, const std::string& planting_name) {
  return *std::find_if(scenario.beds.begin(), scenario.beds.end(), [&](const Bed& bed) {
    return !bed_name.empty()
               ? bed.name == bed_name
               : std::any_of(bed.plantings.begin(), bed.plantings.end(), [&](const Planting& p) { return p.name == planting_name; });
  });
}

/// "2 handfuls a plant".
Amount said_amount(const JsonNode& node, const Material& material) {
  const SpokenAmount said =
      parse_amount(node.text(1, 200, "write how much is given each time"), material.bag_kg, {node.file(), node.place()});
  using For = SpokenAmount::For;
  if (said.per == For::unsaid)
    node.refuse(node.found() + ", which does not say for what", "\"a plant\", \"per m2\" or \"in all\" after it",
                "say whether that is for each plant, each square metre or all together");
  const auto per = said.per == For::m2 ? Amount::Per::m2 : said.per == For::plant ? Amount::Per::plant : Amount::Per::bed;
  return {said.value, said.measure, per};
}

Amount read_amount(const JsonNode& node, const Material& material) {
  if (node.value().kind == JsonValue::Kind::text) return said_amount(node, material);
  const std::vector<std::string> measures = {"grams", "kilograms", "millilitres", "litres", "handfuls", "trowels"};
  auto keys = measures;
  keys.emplace_back("per");
  const JsonFields f = node.group(keys);
  const std::string measure = f.exactly_one(measures, "write the amount once, such as \"handfuls\": 2");
  Amount amount;
  amount.value =
      f.number(measure, {0, 1e6, measure.c_str(), true}, "write how much is given each time; leave the feeding out where it is nothing");
  amount.measure = static_cast<Amount::Measure>(std::find(measures.begin(), measures.end(), measure) - measures.begin());
  amount.per = static_cast<Amount::Per>(
      f.choice("per", {"m2", "plant", "bed"}, "say for what that amount is: each square metre, each plant or the whole bed"));
  return amount;
}

std::vector<std::string> read_targets(const JsonNode& node, const Scenario& scenario) {
  const auto known = planting_names(scenario);
  std::vector<std::string> names;
  for (const auto& item : node.list(1, 200, "names of plantings")) {
    const std::string name = item.name(80, "name a planting of this garden");
    item.require_known(name, known, "planting", "in this garden");
    if (std::find(names.begin(), names.end(), name) != names.end()) {
      item.refuse("the planting " + in_quotes(name) + " a second time", "each planting once", "take one of the two out");
    }
    names.push_back(name);
  }
  return names;
}

/// "per" must fit where the feed goes.
void check_per(const JsonFields& f, const Feeding& feeding) {
  const auto refuse = [&](const char* found, const char* allowed, const char* hint) {
    const JsonNode amount = f.require("amount", "", "");
    if (amount.value().kind == JsonValue::Kind::text) amount.refuse(found, allowed, hint);
    amount.group({"grams", "kilograms", "millilitres", "litres", "handfuls", "trowels", "per"})
        .require("per", "", "")
        .refuse(found, allowed, hint);
  };
  if (feeding.amount.per == Amount::Per::plant && feeding.plantings.empty()) {
    refuse("an amount per plant for a whole bed", "\"m2\" or \"bed\" beside \"bed\"",
           "name \"plantings\" in place of the bed, or give it per m2");
  }
  if (feeding.amount.per == Amount::Per::bed && feeding.bed.empty()) {
    refuse("an amount per bed for named plantings", "\"m2\" or \"plant\" beside \"plantings\"",
           "name the \"bed\" in place of the plantings, or give it per plant");
  }
}

/// Nothing can be forked in below the ground that there is.
void check_depth(const JsonFields& f, const Feeding& feeding, const Scenario& scenario) {
  if (feeding.forked_in_mm == 0) return;
  const auto check = [&](const Bed& bed) {
    if (feeding.forked_in_mm <= bed.soil.depth_mm()) return;
    f.require("forked_in_mm", "", "")
        .refuse(plain(feeding.forked_in_mm) + " mm", "0 to " + plain(bed.soil.depth_mm()) + " mm, the depth of " + in_quotes(bed.name),
                "fork it in less deep");
  };
  if (!feeding.bed.empty()) check(ground_of(scenario, feeding.bed, ""));
  for (const auto& name : feeding.plantings) check(ground_of(scenario, "", name));
}

Feeding read_feeding(const JsonNode& node, const Scenario& scenario) {
  const JsonFields f = node.group({"material", "on", "amount", "bed", "plantings", "again", "watered_in_mm", "forked_in_mm"});
  Feeding feeding;
  const JsonNode material = f.require("material", "the name of a material in the catalogue", "say what is given");
  feeding.material = material.text(1, 60, "name a material of the catalogue");
  material.require_entry(feeding.material, scenario.catalogue.materials);
  feeding.on = f.month_day("on", "write month and day, in that order");
  feeding.amount = read_amount(f.require("amount", "a group such as { \"grams\": 150, \"per\": \"m2\" }, or \"2 handfuls a plant\"",
                                         "say how much is given each time"),
                               scenario.catalogue.materials.at(feeding.material));
  if (f.exactly_one({"bed", "plantings"}, "name the bed that it is spread over, or the plantings that get it") == "bed") {
    const JsonNode bed = f.require("bed", "", "");
    feeding.bed = bed.name(80, "name a bed of this garden");
    bed.require_known(feeding.bed, bed_names(scenario), "bed", "in this garden");
  } else {
    feeding.plantings = read_targets(f.require("plantings", "", ""), scenario);
  }
  check_per(f, feeding);
  if (const auto repeat = f.find("again")) {
    const Again again = read_again(*repeat, scenario.site, feeding.on, "feeding");
    feeding.every_days = again.every_days;
    feeding.until = again.until;
  }
  feeding.watered_in_mm = f.number_or(0, "watered_in_mm", {0, 100, "mm"}, "1 mm is 1 litre on a square metre");
  feeding.forked_in_mm =
      f.number_or(0, "forked_in_mm", {0, 600, "mm"}, "write how deep it is forked in, in millimetres; 0 leaves it on top");
  check_depth(f, feeding, scenario);
  return feeding;
}

}  // namespace

Again read_again(const JsonNode& node, const Site& site, MonthDay on, const std::string& what) {
  const JsonFields f = node.group({"every_days", "until"});
  const Again again{f.integer("every_days", {1, 365, "days"}, "count the days from one " + what + " to the next"),
                    f.month_day("until", "write the last day on which it may be given")};
  if (order_in_season(site, again.until) >= order_in_season(site, on)) return again;
  const MonthDay first = season_start_day(site), last = month_day_of(season_last(site, 2001));
  f.require("until", "", "")
      .refuse(in_quotes(to_iso(again.until)) + ", before the first " + what + " on " + in_quotes(to_iso(on)),
              "a day from " + in_quotes(to_iso(on)) + " to the season's end, " + in_quotes(to_iso(last)),
              "a season runs from " + to_words(first) + " to " + to_words(last));
}

std::vector<Feeding> read_feedings(const JsonNode& node, const Scenario& scenario) {
  std::vector<Feeding> feedings;
  for (const auto& feeding : node.list(0, 200, "feedings")) feedings.push_back(read_feeding(feeding, scenario));
  return feedings;
}

}  // namespace leafhunger::input
