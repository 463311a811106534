#include "leafhunger/listing.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <nlohmann/json.hpp>

#include "leafhunger/common_names.hpp"
#include "leafhunger/curves.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/normals.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/soil.hpp"
#include "lines.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using lines::padded;
using lines::wrapped;
using Json = nlohmann::ordered_json;

const char* said_of(Hunger h) {
  switch (h) {
    case Hunger::greedy:
      return "greedy: feed it in spring and top it up in summer";
    case Hunger::moderate:
      return "moderate: a spring feed is mostly enough";
    case Hunger::frugal:
      return "frugal: better unfed";
  }
  return "";
}

const char* said_of(Form f) {
  switch (f) {
    case Form::powder:
      return "powder";
    case Form::pellet:
      return "pellets";
    case Form::granule:
      return "granules";
    case Form::liquid:
      return "liquid";
    case Form::bulky:
      return "bulky, a mulch";
  }
  return "";
}

std::string listed(const std::vector<std::string>& names) {
  std::string out;
  for (const std::string& n : names) out += (out.empty() ? "" : ", ") + n;
  return out;
}

std::string row(const std::string& id, const std::string& title, const std::string& word) {
  return wrapped("  " + padded(id, 34) + padded(word, 10), title, 46);
}

// Where the figures come from: each source once, the one that most figures hang on first.
std::string sources_in_words(const std::map<std::string, std::string>& sources, bool more) {
  std::map<std::string, std::vector<std::string>> by_source;
  for (const auto& [figure, source] : sources) by_source[source].push_back(figure);
  std::vector<std::pair<std::string, std::vector<std::string>>> sorted(by_source.begin(), by_source.end());
  std::stable_sort(sorted.begin(), sorted.end(), [](const auto& a, const auto& b) { return a.second.size() > b.second.size(); });
  if (more) {
    std::string out = "  Where its figures come from:\n";
    for (const auto& [source, figures] : sorted) out += wrapped("    ", listed(figures) + ": " + source, 6);
    return out;
  }
  constexpr std::size_t k_first = 3;
  const auto guess = [](const std::string& s) {
    return s.find("our own guess") != std::string::npos || s.find("from memory") != std::string::npos;
  };
  std::string text;
  std::size_t said = 0, guesses = 0;
  for (const auto& [source, figures] : sorted) {
    if (guess(source)) {
      guesses += figures.size();
    } else if (said++ < k_first) {
      text += (text.empty() ? "" : "; ") + source;
    }
  }
  if (said > k_first) text += "; and " + input::counted(static_cast<long>(said - k_first), "source", "sources") + " more";
  if (guesses > 0)
    text += (text.empty() ? "" : ". ") + input::counted(static_cast<long>(guesses), "figure is", "figures are") + " a guess or from memory";
  return text.empty() ? "" : wrapped("  Figures: ", text + ". All: --more", 4);
}

std::string cautions_in_words(const std::vector<std::string>& keys, const Catalogue& catalogue, bool more) {
  constexpr std::size_t k_first = 3;
  std::string out;
  for (std::size_t k = 0; k < keys.size() && (more || k < k_first); ++k) {
    std::string words = catalogue.cautions.at(keys[k]);
    if (!more)
      words = words.substr(0, std::min(words.find(" ("), words.find(". ") == std::string::npos ? words.size() : words.find(". ") + 1));
    out += wrapped("  ! ", words, 4);
  }
  if (!more && keys.size() > k_first)
    out += "  And " + input::counted(static_cast<long>(keys.size() - k_first), "caution", "cautions") + " more: --more\n";
  return out;
}

std::string told(const Plant& p, const Catalogue& c, bool more) {
  std::string out = wrapped("", p.title + (p.botanical.empty() ? "" : ", " + p.botanical) + " (\"" + p.id + "\")", 2);
  if (!p.also.empty()) out += wrapped("  Also: ", listed(p.also), 4);
  out += "  Hunger: " + std::string(said_of(p.hunger)) + ".\n";
  std::string size = "one full-grown covers " + input::plain(p.crown_m2) + " m2";
  for (const auto& [name, s] : p.sizes) size += ", \"" + name + "\" " + input::plain(s.crown_m2);
  out += wrapped("  Size: ", size + ".", 4);
  out += "  Model: " + p.model + ".\n";
  out += cautions_in_words(p.cautions, c, more);
  return out + sources_in_words(p.sources, more);
}

// "At 15 degC in moist soil 42 % of it is free after 4 weeks, 55 % after 12."
std::string speed(const Material& m, const PluginRegistry& registry, const LoadReport& report) {
  CurvesQuestion q;
  q.temperature_c = {10, 15, 20}, q.days = {28, 84};
  const CurvesResult r = release_curves({m}, registry, report, q);
  std::string text;
  for (std::size_t t = 0; t < q.temperature_c.size(); ++t) {
    const auto& freed = r.at(0, 0, t).freed_frac;
    const auto at = [&](int day) {
      const double percent = 100 * freed[static_cast<std::size_t>(day)];
      return percent < -0.5 ? "ties up " + lines::fixed(-percent, 0) + " %" : lines::fixed(std::max(0.0, percent), 0) + " %";
    };
    text += (t == 0 ? "" : "; ") + std::string("at ") + input::plain(q.temperature_c[t]) + " degC " + at(28) + " in 4 weeks, " + at(84) +
            " in 12";
  }
  return text;
}

std::string told(const Material& m, const Catalogue& c, const PluginRegistry& registry, const LoadReport& report, bool more) {
  std::string out = wrapped("", m.title + " (\"" + m.id + "\"), " + said_of(m.form), 2);
  if (!m.also.empty()) out += wrapped("  Also: ", listed(m.also), 4);
  std::string holds = input::plain(m.n_percent) + " % nitrogen";
  if (m.p2o5_percent > 0) holds += ", " + lines::fixed(m.p2o5_percent, 1) + " % P2O5";
  if (m.k2o_percent > 0) holds += ", " + lines::fixed(m.k2o_percent, 1) + " % K2O";
  if (m.carbon_to_nitrogen > 0) holds += ", C:N " + input::plain(m.carbon_to_nitrogen);
  out += wrapped("  Holds: ", holds + ".", 4);
  Scenario usual;
  const bool bulky = m.form == Form::bulky || m.form == Form::liquid;
  const double g = grams_per_measure(usual, m, bulky ? Amount::Measure::litres : Amount::Measure::handfuls);
  out += wrapped(bulky ? "  A litre: " : "  A handful: ",
                 "about " + lines::fixed(g, 0) + " g, with " + lines::fixed(g * m.n_percent / 100, 1) + " g of nitrogen" +
                     (m.bag_kg > 0 ? "; sold in bags of " + input::plain(m.bag_kg) + " kg" : std::string()) + ".",
                 4);
  out += wrapped("  Frees, in moist soil: ", speed(m, registry, report) + " (a picture: `leafhunger curves " + m.id + "`).", 4);
  out += cautions_in_words(m.cautions, c, more);
  return out + sources_in_words(m.sources, more);
}

[[noreturn]] void refuse_word(const std::string& word, const char* kind, const std::map<std::string, std::string>& known) {
  const auto near = nearest_three(word, known);
  throw InputError({"", "WORD", input::in_quotes(word), std::string("a word in the name of one of the ") + kind,
                    (near.empty() ? "" : "the nearest are " + input::one_of(near) + "; ") + "leave the word out for all of them"});
}

// A list, or one whole: `tell` and `line` say how.
std::string found_in_words(const Called& found, bool all, const std::function<std::string(const std::string&)>& tell,
                           const std::function<std::string(const std::string&)>& line) {
  std::string out;
  if (!all && (found.exact || found.ids.size() == 1)) {
    out = tell(found.ids[0]);
    if (found.ids.size() == 1) return out;
    return out + wrapped("  Others with that word: ", listed({found.ids.begin() + 1, found.ids.end()}) + ".", 4);
  }
  for (const std::string& id : found.ids) out += line(id);
  return out;
}

std::string places(const std::string& word, const std::string& dir) {
  std::string out;
  std::map<std::string, std::string> names;
  const auto folded = [](std::string s) {
    for (char& ch : s) ch = static_cast<char>(std::tolower(static_cast<unsigned char>(ch)));
    return s;
  };
  for (const ClimateNormals& n : read_normals(shipped_normals(dir))) {
    names.emplace(n.place, n.place);
    if (folded(n.place).find(folded(word)) == std::string::npos) continue;
    double rain = 0, summer = 0, winter = 0;
    const bool south = n.latitude_deg < 0;
    for (std::size_t k = 0; k < 12; ++k) rain += n.months[k].rain_mm;
    const auto& july = n.months[south ? 0 : 6];
    const auto& january = n.months[south ? 6 : 0];
    summer = (july.tmin_c + july.tmax_c) / 2, winter = (january.tmin_c + january.tmax_c) / 2;
    out += wrapped("  " + padded(n.place, 23) + " ",
                   "latitude " + lines::fixed(n.latitude_deg, 1) + ", " + lines::fixed(rain, 0) + " mm a year, midsummer month " +
                       lines::fixed(summer, 0) + " degC, midwinter " + lines::fixed(winter, 0) + "; " + n.source,
                   26);
  }
  if (out.empty()) refuse_word(word, "places", names);
  return out;
}

std::string soils(const std::string& word) {
  std::string out;
  std::map<std::string, std::string> names;
  for (const Texture& t : textures()) {
    names.emplace(t.name, t.name);
    if (std::string(t.name).find(word) == std::string::npos) continue;
    out += "  " + padded(t.name, 20) + "holds " + lines::fixed(1000 * (t.theta_fc - t.theta_wp), 0) + " mm of water a metre for roots\n";
  }
  if (out.empty()) refuse_word(word, "soils", names);
  return out +
         wrapped("  ",
                 "By feel: gritty and falls apart is sand; silky is silt; rolls into a shining ribbon is clay; a little of each is loam.",
                 2);
}

Json as_json(const Plant& p) {
  return {{"id", p.id},
          {"title", p.title},
          {"botanical", p.botanical},
          {"also", p.also},
          {"hunger", name_of(p.hunger)},
          {"crown_m2", p.crown_m2},
          {"model", p.model},
          {"parameters", p.parameters},
          {"cautions", p.cautions},
          {"sources", p.sources}};
}
Json as_json(const Material& m) {
  return {{"id", m.id},
          {"title", m.title},
          {"also", m.also},
          {"form", said_of(m.form)},
          {"n_percent", m.n_percent},
          {"p2o5_percent", m.p2o5_percent},
          {"k2o_percent", m.k2o_percent},
          {"carbon_to_nitrogen", m.carbon_to_nitrogen},
          {"bag_kg", m.bag_kg},
          {"model", m.model},
          {"parameters", m.parameters},
          {"cautions", m.cautions},
          {"sources", m.sources}};
}

}  // namespace

std::string list_in_words(Listed what, const std::string& word, const std::string& dir, const PluginRegistry& registry,
                          const LoadReport& report, bool more) {
  if (what == Listed::places) return places(word, dir);
  if (what == Listed::soils) return soils(word);
  const Catalogue c = read_catalogue(dir);
  if (what == Listed::plants) {
    const Called found = plants_called(c, word);
    if (found.ids.empty()) refuse_word(word, "plants", every_name(c.plants));
    return found_in_words(
        found, word.empty(), [&](const std::string& id) { return told(c.plants.at(id), c, more); },
        [&](const std::string& id) { return row(id, c.plants.at(id).title, name_of(c.plants.at(id).hunger)); });
  }
  const Called found = materials_called(c, word);
  if (found.ids.empty()) refuse_word(word, "materials", every_name(c.materials));
  return found_in_words(
      found, word.empty(), [&](const std::string& id) { return told(c.materials.at(id), c, registry, report, more); },
      [&](const std::string& id) { return row(id, c.materials.at(id).title, input::plain(c.materials.at(id).n_percent) + " % N"); });
}

std::string list_in_json(Listed what, const std::string& word, const std::string& dir) {
  Json entries = Json::array();
  const auto c = read_catalogue(dir);
  if (what == Listed::plants)
    for (const std::string& id : plants_called(c, word).ids) entries.push_back(as_json(c.plants.at(id)));
  else if (what == Listed::materials)
    for (const std::string& id : materials_called(c, word).ids) entries.push_back(as_json(c.materials.at(id)));
  else if (what == Listed::places)
    for (const ClimateNormals& n : read_normals(shipped_normals(dir)))
      entries.push_back({{"place", n.place}, {"latitude_deg", n.latitude_deg}, {"source", n.source}});
  else
    for (const Texture& t : textures())
      entries.push_back({{"texture", t.name}, {"field_capacity", t.theta_fc}, {"wilting_point", t.theta_wp}});
  return Json{{"format", 1}, {"entries", entries}}.dump(2) + "\n";
}

}  // namespace leafhunger
