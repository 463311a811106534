// The page that a person keeps: the answer first, then what to do, the figures, the money, what to beware of, how it was worked out.
#include <algorithm>

#include "checks.hpp"
#include "leafhunger/report_folder.hpp"
#include "lines.hpp"
#include "markup.hpp"
#include "page_html.hpp"
#include "report_figures.hpp"
#include "season_answers.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using lines::fixed;
using page::element;
using page::Table;

// Text in figures grows where the page is narrow. Print: two sheets of A4.
constexpr const char* k_print = R"(
@media(max-width:40rem){.drawn svg text,.pair svg text{font-size:17px}}
@media print{
@page{size:A4;margin:9mm 12mm}
body{font-size:8.1pt;line-height:1.26}main{max-width:none;margin:0;padding:0}
h1{font-size:13.5pt}h2{font-size:10pt;margin:.6rem 0 .2rem}h3{font-size:8.6pt;margin:0 0 .1rem}
p,ul{margin:.2rem 0}li{margin:.06rem 0}.wide{overflow:visible;margin:.2rem 0}
table{font-size:7.4pt;line-height:1.22}th,td{padding:.05rem .5rem .05rem 0}h2+.wide caption{display:none}
.drawn{display:grid;grid-template-columns:1fr 1fr;gap:.4rem 1.2rem}.drawn>:first-child{grid-row:span 2}
.pair{display:grid;grid-template-columns:2fr 3fr;gap:0 1.4rem;align-items:start}.pair th{white-space:normal}
figure{margin:0}svg text{font-size:14.5px}.pair svg text{font-size:18px}figcaption{font-size:7.4pt}details{display:none}
.care{columns:3;column-gap:1.1rem;font-size:7pt;line-height:1.18;padding-left:.9rem}figure,tr,li{break-inside:avoid}h2,h3{break-after:avoid}
}
)";

// Set in columns where it is printed.
constexpr const char* k_in_columns = "class=\"care\"";

std::string answer_table(const SeasonResult& r) {
  Table t("The answer for each planting, worst first", {{"planting"}, {"lasts"}, {"why"}});
  std::vector<std::pair<std::string, std::vector<std::string>>> alone;  // why, and whose
  bool any = false;
  for (const Answer& a : answers_of(r)) {
    if (!a.leave_alone) {
      t.row({a.column->name, a.word, a.second.empty() ? a.why : a.why + "; " + a.second}, "class=\"word\"");
      any = true;
      continue;
    }
    const auto same = std::find_if(alone.begin(), alone.end(), [&](const auto& group) { return group.first == a.why; });
    if (same != alone.end())
      same->second.push_back(a.column->name);
    else
      alone.push_back({a.why, {a.column->name}});
  }
  std::vector<std::string> lines;
  for (const auto& [why, names] : alone) lines.push_back(joined(names) + ": " + why);
  return (any ? t.closed() : "") + (lines.empty() ? "" : element("h3", leave_alone_words(r)) + page::list(lines, k_in_columns));
}

std::size_t times_given(const SeasonResult& r, std::size_t feeding) {
  return static_cast<std::size_t>(
      std::count_if(r.feed_days.begin(), r.feed_days.end(), [&](const FeedDay& d) { return d.feeding == feeding; }));
}

std::string to_do(const SeasonResult& r) {
  if (r.feed_days.empty()) return element("p", "Nothing is fed.");
  Table t("What to give, when and where; scoops where they weigh nearly as much", {{"day"}, {"feed"}, {"to each"}, {"in all", true}});
  std::vector<bool> seen(r.feed_words.size(), false);
  for (const FeedDay& day : r.feed_days) {
    if (seen[day.feeding]) continue;
    seen[day.feeding] = true;
    const std::string when = r.feed_words[day.feeding].substr(0, r.feed_words[day.feeding].find(": "));
    const std::size_t times = times_given(r, day.feeding);
    t.row({times > 1 ? when + ", " + std::to_string(times) + " times" : when, day.what + " " + day.where,
           words_of_dose(day, day.each_g) + " " + day.each, words_of_dose(day, day.all_g) + (times > 1 ? " each time" : "")});
  }
  auto advice = window_sentences(r);
  for (const auto& said : {preparations(r), second_feed_words(r)}) advice.insert(advice.end(), said.begin(), said.end());
  return t.closed() + page::list(advice, k_in_columns) + "\n";
}

std::string to_look_at(const SeasonResult& r) {
  if (r.checks.empty()) return "";
  std::vector<std::string> lines;
  for (const Check& c : r.checks) lines.push_back(in_words(c));
  return "<section><h2>What to look at</h2>" + page::list(lines, k_in_columns) + "</section>\n";
}

std::string plan_and_diary(const SeasonResult& r) {
  if (r.against_plan.empty()) return "";
  return "<section><h2>What was planned and what the diary says</h2>" + page::list(r.against_plan) + "</section>\n";
}

std::string shopping(const SeasonResult& r) {
  if (r.carried.empty()) return "";
  Table t("What the season takes", {{"feed"}, {"to carry", true}, {"to buy", true}, {"cost of what is used", true}});
  for (const Carried& c : r.carried)
    t.row({c.title, weight(1000 * c.kg),
           c.bags > 0 ? std::to_string(c.bags) + (c.bags == 1 ? " bag of " : " bags of ") + input::plain(c.bag_kg) + " kg" : "loose",
           money(r.currency, c.cost)});
  return "<section><h2>Shopping list</h2>" + t.closed() + element("p", cost_words(r)) + "</section>\n";
}

// "15 April, over Hungry bed", with what it was where more than one thing was given.
std::string short_words(const SeasonResult& r, std::size_t feeding) {
  const auto first = std::find_if(r.feed_days.begin(), r.feed_days.end(), [&](const FeedDay& d) { return d.feeding == feeding; });
  const std::size_t days = times_given(r, feeding);
  if (days == 0) return r.feed_words[feeding];
  return to_words(month_day_of(first->on)) + (days > 1 ? " and " + std::to_string(days - 1) + " times more, " : ", ") +
         (r.carried.size() > 1 ? first->what + " " : "") + first->where;
}

std::string by_feeding_table(const SeasonResult& r) {
  Table t("Grams of nitrogen of each feeding, by " + day_words(r, r.days - 1), {{"feeding"},
                                                                                {"given", true},
                                                                                {"taken up", true},
                                                                                {"to come", true},
                                                                                {"loose", true},
                                                                                {"washed", true},
                                                                                {"to the air", true},
                                                                                {"soil's life", true}});
  for (std::size_t i = 0; i < r.by_feeding_g.size(); ++i) {
    const Ledger& l = r.by_feeding_g[i];
    const double parts[] = {l.plant + l.reserve + l.litter, l.unfreed,           l.mineral, l.leached,
                            l.volatilised + l.denitrified,  l.microbes + l.humus};
    double given = 0;
    for (const double p : parts) given += p;
    if (given <= 0) continue;
    std::vector<std::string> cells = {short_words(r, i), fixed(given, 1)};
    for (const double p : parts) cells.push_back(fixed(p, 1));
    t.row(cells);
  }
  return t.closed();
}

std::string planting_table(const SeasonResult& r) {
  Table t("What each planting made of it", {{"planting"},
                                            {"ground, m\xc2\xb2", true},
                                            {"taken up, g/m\xc2\xb2", true},
                                            {"washed, g/m\xc2\xb2", true},
                                            {"growth, % of well fed", true},
                                            {"gained by feeding, g", true},
                                            {"cost", true}});
  for (const ColumnResult& c : r.columns)
    if (!c.bare)
      t.row({c.name, fixed(c.area_m2, 1), fixed(c.ledger.taken / 10, 1), fixed(c.ledger.leached / 10, 1),
             fixed(100 * c.verdict.growth_frac, 0), c.fed ? fixed(c.gain_g, 1) : "unfed", c.fed ? money(r.currency, c.cost) : "none"});
  return t.closed();
}

// The figure for those who do not see it, or want to read numbers off.
std::string in_numbers(const SeasonResult& r, const ColumnResult& c) {
  const double each = grams_a_plant(c);
  const Series &warm = *c.find("soil_c"), &water = *c.find("available_frac");
  const std::size_t layer = std::min<std::size_t>(1, warm.layers - 1);
  Table t(c.name + ", on the first of each month", {{"day"},
                                                    {"has, g", true},
                                                    {"needs, g", true},
                                                    {"soil, \xc2\xb0"
                                                     "C",
                                                     true},
                                                    {"water, %", true}});
  for (std::size_t d = first_drawn(r); d < r.days; ++d) {
    const MonthDay day = month_day_of(r.first + std::chrono::days{static_cast<long>(d)});
    if (day.day != 1) continue;
    t.row({to_words(day), fixed(each * c.find("plant_kg_n_ha")->values[d], 1), fixed(each * c.find("critical_kg_n_ha")->values[d], 1),
           fixed(warm.values[d * warm.layers + layer], 0), fixed(100 * water.values[d * water.layers + layer], 0)});
  }
  return "<details><summary>" + escaped_markup("The same in numbers: " + c.name) + "</summary>" + t.closed() + "</details>";
}

const YearBand* band_of(const std::vector<YearBand>& bands, const std::string& planting) {
  const auto band = std::find_if(bands.begin(), bands.end(), [&](const YearBand& b) { return b.planting == planting; });
  return band == bands.end() ? nullptr : &*band;
}

std::string figures(const SeasonResult& r, const std::vector<YearBand>& bands, const std::vector<const ColumnResult*>& shown) {
  if (shown.empty()) return element("p", "No hungry planting is fed.");
  std::string out = "<div class=\"drawn\">";
  for (std::size_t i = 0; i < shown.size(); ++i)
    out += "<figure>" + element("h3", title_of(*shown[i])) +
           season_figure(r, *shown[i], band_of(bands, shown[i]->name), i == 0, "f" + std::to_string(i + 1)) + in_numbers(r, *shown[i]) +
           "</figure>\n";
  out +=
      "</div>" + element("p",
                         "Grams of nitrogen in each plant: what it has (solid line), what one of its size needs to grow at full speed "
                         "(broken), and where it has less than nine tenths of that (hatched). Below the first, the soil on the same days.",
                         "class=\"said\"");
  const YearBand* band = band_of(bands, shown.front()->name);
  if (band && band->years > 1)
    out +=
        element("p", "The pale band: what it would have of that in 8 of 10 of the " + std::to_string(band->years) + " years of the record.",
                "class=\"said\"");
  return out;
}

}  // namespace

std::string in_html(const SeasonResult& r, const std::vector<YearBand>& bands) {
  const std::string question = "does the feed last until " + to_words(r.carry_to_day) + "?";
  std::string out = page::opened(r.garden + ", " + std::to_string(r.season) + ": " + question, k_print);
  out += element("h1", r.garden + ", " + std::to_string(r.season) + ": " + question) + "\n";
  for (const std::string& said : {r.note, r.weather_note})
    if (!said.empty()) out += element("p", said, "class=\"said\"");
  out += "\n<section><h2>The answer</h2>" + answer_table(r) + "</section>\n";
  out += "<section><h2>What to do</h2>" + to_do(r) + "</section>\n" + plan_and_diary(r) + to_look_at(r) + shopping(r);
  if (!r.cautions.empty()) {
    std::vector<std::string> cautions;
    for (const Caution& c : r.cautions) cautions.push_back(c.words);
    out += "<section><h2>Take care</h2>" + page::list(cautions, k_in_columns) +
           element("p", "Your local rules, your vet and your doctor come first.", "class=\"said\"") + "</section>\n";
  }
  out += "<section><h2>What they have against what they want</h2>" + figures(r, bands, drawn_of(r)) + "</section>\n";
  if (r.given_g > 0)
    out += "<section><h2>Where each gram went</h2><div class=\"pair\"><figure>" +
           element("h3", "Of each 100 g of nitrogen given, by " + day_words(r, r.days - 1)) + where_figure(r, "where") +
           element("p", beside_words(r.beside)) + element("figcaption", "Hatched: lost to the garden.") + "</figure>" + planting_table(r) +
           "</div>" + by_feeding_table(r) + page::list(mulch_words(r)) + "</section>\n";
  out += "<section><h2>How it was worked out</h2><ul class=\"care\">";
  out += element(
      "li",
      "Short means: the nitrogen in the plant sank below 0.90 of the critical nitrogen for its size (nitrogen nutrition index) on 5 "
      "growing days running. Gained is uptake with the feed less uptake without.");
  out += element(
      "li",
      "Day by day, 1 November to 31 October or half a year on in the south: water and warmth of four layers of soil, what the feed frees "
      "in "
      "them, what roots take, what is washed down or lost. Every gram is followed; in and out agree to one part in a thousand million.");
  for (const std::string& note : r.notes) out += element("li", note);
  return out + "</ul></section>\n" + page::closed();
}

}  // namespace leafhunger
