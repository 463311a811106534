#include "leafhunger/visits.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>

#include "garden_plan.hpp"
#include "host/json_document.hpp"
#include "host/text_file.hpp"
#include "leafhunger/error.hpp"
#include "season_answers.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

namespace fs = std::filesystem;

constexpr const char* k_garden_file = "a scenario (JSON)";

// A schema or a list of prices may lie in the folder too. What is broken may be a garden all the same, and is left to its reader.
bool is_no_garden(const std::string& path) {
  try {
    const input::JsonDocument d = input::read_json(path, k_garden_file);
    return !d.root.find("beds") && !d.root.find("garden") && !d.root.find("feedings");
  } catch (const InputError&) {
    return false;
  }
}

std::size_t stock_of(VisitsResult& out, const Material& m, const std::string& currency) {
  for (std::size_t i = 0; i < out.stocks.size(); ++i) {
    const Stock& s = out.stocks[i];
    if (s.material_id == m.id && s.title == m.title && s.currency == currency && s.bag_kg == m.bag_kg && s.price_per_kg == m.price_per_kg)
      return i;
  }
  Stock s;
  s.material_id = m.id, s.title = m.title, s.currency = currency, s.bag_kg = m.bag_kg, s.price_per_kg = m.price_per_kg;
  out.stocks.push_back(std::move(s));
  return out.stocks.size() - 1;
}

std::vector<std::string> names_of(const std::vector<Garden>& gardens) {
  std::map<std::string, int> count;
  for (const Garden& g : gardens) ++count[g.scenario().garden];
  std::vector<std::string> names;
  for (const Garden& g : gardens) {
    const Scenario& s = g.scenario();
    names.push_back(count[s.garden] > 1 ? s.garden + " (" + fs::path(s.file).filename().string() + ")" : s.garden);
  }
  return names;
}

// The visits to one garden, by day; stocks are not reckoned yet.
std::vector<Visit> visits_to(const Garden& garden, std::size_t index, VisitsResult& out) {
  const Garden::Plan& plan = garden.plan();
  const Scenario& s = plan.scenario;
  SeasonResult r;
  r.first = season_first(s.site, out.season);
  r.days = static_cast<std::size_t>((season_last(s.site, out.season) - r.first).count()) + 1;
  r.feed_words = words_of_feedings(plan, r.first, r.days);
  auto days = feed_days_of(plan, r);
  std::stable_sort(days.begin(), days.end(), [](const FeedDay& a, const FeedDay& b) { return a.on < b.on; });
  std::vector<Visit> visits;
  long given = 0;
  for (const FeedDay& day : days) {
    const Feeding& f = s.feedings[day.feeding];
    if (f.diary_line > 0) {
      ++given;
      continue;
    }
    if (visits.empty() || visits.back().on != day.on) visits.push_back({day.on, index, {}});
    const std::size_t stock = stock_of(out, s.catalogue.materials.at(f.material), s.currency);
    auto& loads = visits.back().loads;
    auto at = std::find_if(loads.begin(), loads.end(), [&](const Load& l) { return l.stock == stock; });
    if (at == loads.end()) {
      at = loads.insert(loads.end(), Load{});
      at->stock = stock;
    }
    at->kg += day.all_g / 1000;
    at->doses.push_back(words_of_dose(day, day.each_g) + " " + day.each + " " + day.where);
  }
  if (given > 0)
    out.notes.push_back(out.gardens[index] + ": " + input::counted(given, "feed is", "feeds are") +
                        " in its diary as given, and left out here.");
  return visits;
}

}  // namespace

std::vector<std::string> garden_files(const std::vector<std::string>& paths, std::vector<std::string>& passed_over) {
  std::vector<std::string> files;
  std::vector<fs::path> seen;
  const auto add = [&](const std::string& path) {
    std::error_code ec;
    const fs::path same = fs::weakly_canonical(path, ec);
    if (std::find(seen.begin(), seen.end(), same) != seen.end()) return;
    seen.push_back(same);
    files.push_back(path);
  };
  for (const std::string& path : paths) {
    std::error_code ec;
    if (!fs::is_directory(path, ec)) {
      input::require_file(path, k_garden_file);
      add(path);
      continue;
    }
    std::vector<std::string> inside;
    fs::directory_iterator entries(path, ec);
    if (ec) throw InputError({path, "", "a folder that cannot be read", "a folder with gardens", "look at who may read it"});
    for (const auto& entry : entries)
      if (entry.path().extension() == ".json" && entry.is_regular_file(ec)) inside.push_back(entry.path().string());
    std::sort(inside.begin(), inside.end());
    bool any = false;
    for (const std::string& file : inside) {
      if (is_no_garden(file)) {
        passed_over.push_back(file);
        continue;
      }
      add(file);
      any = true;
    }
    if (!any)
      throw InputError({path, "", "no garden in this folder", "scenario files that end in .json", "name another folder, or the files"});
  }
  if (files.size() > k_most_gardens)
    throw InputError({"", "GARDEN", std::to_string(files.size()) + " gardens", "at most " + std::to_string(k_most_gardens), "ask twice"});
  return files;
}

VisitsResult plan_visits(const std::vector<Garden>& gardens, int season, std::vector<RefusedGarden> refused,
                         std::vector<std::string> passed_over) {
  VisitsResult out;
  out.season = season, out.refused = std::move(refused), out.passed_over = std::move(passed_over);
  out.gardens = names_of(gardens);
  for (std::size_t i = 0; i < gardens.size(); ++i) {
    auto visits = visits_to(gardens[i], i, out);
    out.visits.insert(out.visits.end(), std::make_move_iterator(visits.begin()), std::make_move_iterator(visits.end()));
  }
  std::stable_sort(out.visits.begin(), out.visits.end(), [](const Visit& a, const Visit& b) { return a.on < b.on; });
  // Bags are opened as they are needed, one after the other.
  for (Visit& v : out.visits)
    for (Load& l : v.loads) {
      Stock& s = out.stocks[l.stock];
      s.kg += l.kg;
      if (s.bag_kg <= 0) continue;
      const int bags = whole_bags(s.kg, s.bag_kg);
      l.bags = bags - s.bags, s.bags = bags;
      l.left_kg = s.left_kg = std::max(0.0, s.bags * s.bag_kg - s.kg);
    }
  for (Stock& s : out.stocks) s.cost = s.price_per_kg * (s.bag_kg > 0 ? s.bags * s.bag_kg : s.kg);
  return out;
}

}  // namespace leafhunger
