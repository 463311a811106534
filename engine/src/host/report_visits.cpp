// Visits as a table for the terminal, as JSON, and as a page to take along.
#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <sstream>

#include "leafhunger/visits.hpp"
#include "lines.hpp"
#include "page_html.hpp"
#include "season_answers.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using lines::padded;
using lines::right;
using lines::wrapped;
using Json = nlohmann::ordered_json;

constexpr std::size_t k_day = 13, k_garden = 19, k_feed = 22, k_load = 9, k_bags = 6, k_left = 9;

// On a telephone, where the table slides anyway, what is fed where has room for its words.
constexpr const char* k_style = R"(
.n{white-space:nowrap}
@media screen and (max-width:36rem){td:nth-child(3){min-width:11.6rem}}
@media print{@page{size:A4;margin:14mm 14mm}body{font-size:9.4pt;line-height:1.3}main{max-width:none;margin:0;padding:0}
h1{font-size:14pt}h2{font-size:11pt;margin:.8rem 0 .2rem}.wide{overflow:visible}table{font-size:9pt}tr{break-inside:avoid}thead{display:table-header-group}}
)";

std::string day_of(Date d) { return to_words(month_day_of(d)); }

// A text as lines that fit a column; a word that is wider is cut.
std::vector<std::string> cell(const std::string& text, std::size_t columns) {
  std::istringstream in(wrapped("", input::shown(text, 200), 0, columns - 1));
  std::vector<std::string> out;
  for (std::string line; std::getline(in, line);) out.push_back(lines::width(line) < columns ? line : input::shown(line, columns - 4));
  return out;
}

std::string question(const VisitsResult& r) {
  return "Visits of " + std::to_string(r.season) + " to " + input::counted(static_cast<long>(r.gardens.size()), "garden", "gardens") +
         ": what to load?";
}

std::string in_bags(const Load& l, const Stock& s) { return s.bag_kg > 0 ? std::to_string(l.bags) : "loose"; }
std::string left(double kg, const Stock& s) { return s.bag_kg > 0 ? weight(1000 * kg) : ""; }

std::string to_buy(const Stock& s) {
  std::string text = weight(1000 * s.kg);
  if (s.bag_kg > 0)
    text +=
        ": " + input::counted(s.bags, "bag", "bags") + " of " + input::plain(s.bag_kg) + " kg, " + weight(1000 * s.left_kg) + " left over";
  else
    text += ", sold loose";
  return text + ", " + money(s.currency, s.cost);
}

std::string table(const VisitsResult& r, bool more) {
  std::string out = "  " + padded("day", k_day) + padded("garden", k_garden) + padded("feed", k_feed) + right("load", k_load) +
                    right("bags", k_bags) + right("left", k_left) + "\n";
  Date shown{};
  for (const Visit& v : r.visits) {
    std::string garden = r.gardens[v.garden];
    for (const Load& l : v.loads) {
      const Stock& s = r.stocks[l.stock];
      const auto gardens = cell(garden, k_garden), feeds = cell(lower_first(s.title), k_feed);
      for (std::size_t i = 0; i < std::max(gardens.size(), feeds.size()); ++i) {
        const std::string a = i < gardens.size() ? gardens[i] : "", b = i < feeds.size() ? feeds[i] : "";
        std::string line = "  " + padded(i == 0 && v.on != shown ? day_of(v.on) : "", k_day) + padded(a, k_garden);
        line += i == 0 ? padded(b, k_feed) + right(weight(1000 * l.kg), k_load) + right(in_bags(l, s), k_bags) +
                             right(left(l.left_kg, s), k_left)
                       : b;
        while (line.back() == ' ') line.pop_back();
        out += line + "\n";
      }
      if (more)
        for (const std::string& dose : l.doses) out += wrapped("      ", dose, 8);
      shown = v.on;
      garden.clear();
    }
  }
  return out;
}

}  // namespace

std::string in_words(const VisitsResult& r, bool more) {
  std::string out = lines::headed(question(r), "", "");
  if (r.visits.empty()) {
    out += "  Nothing is to be fed.\n";
  } else {
    out += table(r, more) + "\n";
    out += wrapped("  ", "Bags: to open for that visit. Left: in the open bag after it, which serves the next.", 2) + "\n";
    for (const Stock& s : r.stocks) out += wrapped("  ", "To buy, " + input::shown(lower_first(s.title)) + ": " + to_buy(s) + ".", 4);
    out += wrapped("  ", "Pick a wet day within the week, or water it in: rain takes it to the roots.", 2);
  }
  for (const std::string& note : r.notes) out += wrapped("  ", note, 4);
  for (const std::string& file : r.passed_over) out += wrapped("  ", "Passed over, no garden: " + input::shown(file, 200) + ".", 4);
  for (const RefusedGarden& g : r.refused)
    out += wrapped("  ", "NOT in this list, its file was refused: " + input::shown(g.file, 200) + ".", 4);
  if (!more && !r.visits.empty()) out += "\n  What goes where: --more\n";
  return out;
}

std::string in_json(const VisitsResult& r) {
  Json visits = Json::array(), stocks = Json::array(), refused = Json::array();
  for (const Visit& v : r.visits) {
    Json loads = Json::array();
    for (const Load& l : v.loads) {
      const Stock& s = r.stocks[l.stock];
      const bool bags = s.bag_kg > 0;
      loads.push_back({{"material", s.material_id},
                       {"title", s.title},
                       {"load_kg", l.kg},
                       {"new_bags", bags ? Json(l.bags) : Json()},
                       {"left_kg", bags ? Json(l.left_kg) : Json()},
                       {"doses", l.doses}});
    }
    visits.push_back({{"on", to_iso(v.on)}, {"garden", r.gardens[v.garden]}, {"loads", loads}});
  }
  for (const Stock& s : r.stocks) {
    const bool bags = s.bag_kg > 0;
    stocks.push_back({{"material", s.material_id},
                      {"title", s.title},
                      {"kg", s.kg},
                      {"bag_kg", bags ? Json(s.bag_kg) : Json()},
                      {"bags", bags ? Json(s.bags) : Json()},
                      {"left_kg", bags ? Json(s.left_kg) : Json()},
                      {"currency", s.currency},
                      {"cost", s.cost}});
  }
  for (const RefusedGarden& g : r.refused) refused.push_back({{"file", g.file}, {"why", g.sentence}});
  return Json{{"format", 1},      {"question", "visits"}, {"season", r.season},           {"gardens", r.gardens}, {"visits", visits},
              {"to_buy", stocks}, {"refused", refused},   {"passed_over", r.passed_over}, {"notes", r.notes}}
             .dump(2) +
         "\n";
}

std::string in_html(const VisitsResult& r) {
  std::string out = page::opened(question(r), k_style) + page::element("h1", question(r)) + "\n";
  if (r.visits.empty()) out += page::element("p", "Nothing is to be fed.");
  if (!r.visits.empty()) {
    page::Table t("By day: what to load, whole bags to open, and what is left in the open one",
                  {{"day"}, {"garden"}, {"feed, and where it goes"}, {"load", true}, {"bags", true}, {"left", true}, {"done"}});
    for (const Visit& v : r.visits)
      for (const Load& l : v.loads) {
        const Stock& s = r.stocks[l.stock];
        std::string what = lower_first(s.title) + ": ";
        for (std::size_t i = 0; i < l.doses.size(); ++i) what += (i ? "; " : "") + l.doses[i];
        t.row({day_of(v.on), r.gardens[v.garden], what, weight(1000 * l.kg), in_bags(l, s), left(l.left_kg, s), "\u2610"});
      }
    out += "<section><h2>Visits</h2>" + t.closed() +
           page::element("p", "Pick a wet day within the week, or water it in: rain takes it to the roots.") + "</section>\n";
    page::Table buy("For all visits together", {{"feed"}, {"used, bought, left over and cost"}});
    for (const Stock& s : r.stocks) buy.row({lower_first(s.title), to_buy(s)});
    out += "<section><h2>To buy</h2>" + buy.closed() + "</section>\n";
  }
  out += page::list(r.notes, "class=\"said\"");
  return out + page::closed();
}

}  // namespace leafhunger
