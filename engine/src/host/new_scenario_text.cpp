// The files that come of a first scenario: the JSON, and a page in words that explains it.
#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "leafhunger/label.hpp"
#include "leafhunger/new_scenario.hpp"
#include "lines.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using Json = nlohmann::ordered_json;

constexpr const char* k_bed = "Bed";
constexpr const char* k_own = "my-own-feed";
constexpr int k_years = 20;

Json amount_json(const Amount& a) {
  static constexpr const char* k_measure[] = {"grams", "kilograms", "millilitres", "litres", "handfuls", "trowels"};
  static constexpr const char* k_per[] = {"m2", "plant", "bed"};
  return {{k_measure[static_cast<int>(a.measure)], a.value}, {"per", k_per[static_cast<int>(a.per)]}};
}

// What a litre of such a feed weighs, near enough to start with (our own guess; the page says how to do better).
struct InTheHand {
  const char* word;
  int kg_m3;
};
InTheHand in_the_hand(Form form) {
  switch (form) {
    case Form::powder:
      return {"powder", 650};
    case Form::granule:
      return {"granule", 900};
    case Form::bulky:
      return {"bulky", 250};
    case Form::pellet:
    case Form::liquid:
      break;
  }
  return {"pellet", 700};
}

std::string paragraph(const std::string& head, const std::string& words) { return lines::wrapped(head + ": ", words, 2) + "\n"; }

}  // namespace

std::string scenario_text(const NewScenario& s) {
  Json garden = {{"name", s.name}, {"latitude_deg", s.latitude_deg}};
  if (s.elevation_m) garden["elevation_m"] = *s.elevation_m;
  const Json weather = s.place.empty() ? Json{{"file", s.weather_file}} : Json{{"place", s.place}, {"years", k_years}, {"seed", 1}};
  Json plantings = Json::array(), names = Json::array();
  for (const NewPlanting& p : s.plantings) {
    Json planting = {{"name", p.name}, {"plant", p.plant}};
    if (!p.size.empty()) planting["size"] = p.size;
    planting["count"] = p.count;
    plantings.push_back(planting), names.push_back(p.name);
  }
  Json feeding = {{"material", s.own_feed ? k_own : s.feed}, {"on", to_iso(s.on)}};
  if (s.amount.per == Amount::Per::plant) {
    feeding["plantings"] = names;
  } else {
    feeding["bed"] = k_bed;
  }
  feeding["amount"] = amount_json(s.amount);
  Json out = {
      {"format", 1},
      {"garden", garden},
      {"weather", weather},
      {"beds", Json::array({{{"name", k_bed}, {"area_m2", s.area_m2}, {"soil", {{"texture", s.texture}}}, {"plantings", plantings}}})},
      {"feedings", Json::array({feeding})}};
  if (s.own_feed)
    out["materials"] = {{k_own,
                         {{"title", s.own_feed->title},
                          {"model", s.own_feed->model},
                          {"n_percent", s.own_feed->n_percent},
                          {"origin", s.own_feed->origin},
                          {"form", in_the_hand(s.own_feed->form).word},
                          {"bulk_density_kg_m3", in_the_hand(s.own_feed->form).kg_m3},
                          {"price_per_kg", 0}}}};
  return out.dump(2) + "\n";
}

std::string about_path(const std::string& file) { return std::filesystem::path(file).replace_extension(".txt").string(); }

std::string about_text(const NewScenario& s, const std::string& file) {
  std::string out = s.name + ", what its file says\n\n";
  out +=
      lines::wrapped("", file + " is plain text: open it with any editor, change a figure, and ask again. These are its parts.", 0) + "\n";
  out += paragraph("garden", "its name and latitude, which says how high the sun stands and how long the days are.");
  out += s.place.empty()
             ? paragraph("weather", "your own record of days. Ten years or more tell how sure an answer is.")
             : paragraph("weather", std::to_string(k_years) + " made-up years that have the monthly means of " + s.place +
                                        ". They show how much years differ, and say nothing about a particular one. Another \"seed\" gives "
                                        "other years. A record of your own is better: \"weather\": {\"file\": \"my-days.csv\"} with "
                                        "date,tmin_c,tmax_c,rain_mm for each day.");
  out +=
      paragraph("beds", "one bed of " + input::plain(s.area_m2) + " square metres on " + s.texture +
                            ". Add \"organic_matter_percent\" to its soil if a test told you, a \"mulch\" or a \"watering\". More beds go "
                            "into the same list, with commas between.");
  std::string plants;
  for (const NewPlanting& p : s.plantings) plants += (plants.empty() ? "" : ", ") + std::to_string(p.count) + " of " + p.name;
  out += paragraph("plantings", plants +
                                    ". Call them what you like: \"name\" is yours, \"plant\" is the catalogue's. If they are larger or "
                                    "smaller than usual, give the ground that one covers full-grown: \"crown_m2\".");
  out += paragraph("feedings",
                   "what you give, on which day, how much. \"per\" is \"plant\", \"m2\" or \"bed\". To give it again: \"again\": "
                   "{\"every_days\": 42, \"until\": \"08-15\"}.");
  if (s.own_feed) {
    const LabelOrigin* origin = find_label_origin(s.own_feed->origin);
    out += paragraph("materials", "your own bag, as it says: " + input::plain(s.own_feed->n_percent) + " % nitrogen, from " +
                                      (origin ? origin->meaning : s.own_feed->origin) +
                                      ". How it frees its nitrogen is worked out from those two. That a litre weighs " +
                                      std::to_string(in_the_hand(s.own_feed->form).kg_m3) +
                                      " g is a guess: weigh a handful. The price is 0 until you put yours in; \"bag_kg\" makes the "
                                      "shopping list complete.");
  }
  out += paragraph("a handful", "80 ml, and what that weighs follows from the feed. Weigh yours once: \"handful_g\": {\"" +
                                    std::string(s.own_feed ? k_own : s.feed.c_str()) + "\": 56}.");
  out += "Then ask:\n\n";
  for (const char* ask : {"check ", "season ", "lasts "}) out += "  leafhunger " + std::string(ask) + file + "\n";
  out += "\n" + lines::wrapped("",
                               "check says in a sentence what it does not understand; season says whether it lasts and why not; lasts says "
                               "in how many years.",
                               0);
  return out;
}

}  // namespace leafhunger
