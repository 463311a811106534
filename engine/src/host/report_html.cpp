// The page that a person keeps: the answer first, then what to do, the figures, the money, what to beware of, how it was worked out.
#include <algorithm>

#include "leafhunger/report_folder.hpp"
#include "lines.hpp"
#include "markup.hpp"
#include "report_figures.hpp"
#include "season_answers.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using lines::fixed;

// One column, a serif to read, one accent, tabular figures. Text in figures grows where the page is narrow. Print: two sheets of A4.
constexpr const char* k_style = R"(
:root{color-scheme:light}
body{margin:0;background:#fff;color:#22302a;font:17px/1.5 Georgia,'DejaVu Serif',serif}
main{max-width:42rem;margin:2.5rem auto;padding:0 1.2rem}
h1{font-size:1.55rem;line-height:1.25;margin:0 0 .4rem}h1,h3,p,li,summary,figcaption{overflow-wrap:anywhere}
h2{font-size:1.15rem;margin:2rem 0 .5rem;border-bottom:1px solid #1f6b45;padding-bottom:.15rem}
h3{font-size:1rem;margin:1.4rem 0 .3rem;font-weight:normal;font-style:italic}
p,ul{margin:.5rem 0}ul{padding-left:1.2rem}li{margin:.25rem 0}
.said,caption,th,figcaption{color:#4a5a52}
.wide{overflow-x:auto;margin:.6rem 0}
table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums lining-nums;font-size:.94rem}
caption{text-align:left;font-style:italic;padding-bottom:.2rem}
th,td{text-align:left;vertical-align:top;padding:.25rem .8rem .25rem 0;border-bottom:1px solid #dbe6df}
th{font-weight:normal}tbody th{color:#22302a}thead th{vertical-align:bottom}
.n{text-align:right}tbody th,.long{overflow-wrap:anywhere;min-width:5.4rem}tbody th.day{min-width:4.5rem}.word{font-style:italic;white-space:nowrap}
th:last-child,td:last-child{padding-right:0}
svg{width:100%;max-width:38rem;height:auto;display:block}
figure{margin:.6rem 0 1rem}figcaption{font-size:.92rem}
summary{cursor:pointer;color:#1f6b45;font-size:.92rem;padding:.3rem 0}
:focus-visible{outline:3px solid #1f6b45;outline-offset:2px}
@media(max-width:40rem){body{font-size:16px}main{margin:1.2rem auto;padding:0 .9rem}svg text{font-size:17px}th,td{padding-right:.55rem}table{font-size:.9rem}}
@media print{
@page{size:A4;margin:10mm 12mm}
body{font-size:8.1pt;line-height:1.26}main{max-width:none;margin:0;padding:0}
h1{font-size:13.5pt}h2{font-size:10pt;margin:.6rem 0 .2rem}h3{font-size:8.6pt;margin:0 0 .1rem}
p,ul{margin:.2rem 0}li{margin:.06rem 0}.wide{overflow:visible;margin:.2rem 0}
table{font-size:7.4pt;line-height:1.22}th,td{padding:.05rem .5rem .05rem 0}h2+.wide caption{display:none}
.drawn{display:grid;grid-template-columns:1fr 1fr;gap:.4rem 1.2rem}.drawn>:first-child{grid-row:span 2}
.pair{display:grid;grid-template-columns:2fr 3fr;gap:0 1.4rem;align-items:start}.pair th{white-space:normal}
figure{margin:0}svg text{font-size:14.5px}.pair svg text{font-size:18px}figcaption{font-size:7.4pt}details{display:none}
.care{columns:3;column-gap:1.1rem;font-size:7.1pt;line-height:1.2;padding-left:.9rem}figure,tr,li{break-inside:avoid}h2,h3{break-after:avoid}
}
)";

std::string element(const char* tag, const std::string& text, const char* attribute = "") {
  return "<" + std::string(tag) + (*attribute ? " " + std::string(attribute) : "") + ">" + escaped_markup(text) + "</" + tag + ">";
}

// A table that scrolls by itself where the page is too narrow, by keyboard too. The first cell of a row is its heading.
struct Head {
  const char* words;
  bool number = false;
};
class Table {
 public:
  Table(const std::string& caption, std::vector<Head> heads) : heads_(std::move(heads)) {
    out_ = "<section class=\"wide\" tabindex=\"0\" aria-label=\"" + escaped_markup(caption) + "\"><table><caption>" +
           escaped_markup(caption) + "</caption><thead><tr>";
    for (const Head& h : heads_) out_ += element("th", h.words, h.number ? "scope=\"col\" class=\"n\"" : "scope=\"col\"");
    out_ += "</tr></thead><tbody>\n";
  }
  void row(const std::vector<std::string>& cells, const char* second = "") {
    out_ += "<tr>";
    // A date is not broken where there is room.
    const char* first = std::string(heads_[0].words) == "day" ? "scope=\"row\" class=\"day\"" : "scope=\"row\"";
    for (std::size_t i = 0; i < cells.size(); ++i)
      out_ += i == 0 ? element("th", cells[i], first)
                     : element("td", cells[i],
                               heads_[i].number    ? "class=\"n\""
                               : i == 1 && *second ? second
                                                   : "class=\"long\"");
    out_ += "</tr>\n";
  }
  std::string closed() const { return out_ + "</tbody></table></section>\n"; }

 private:
  std::vector<Head> heads_;
  std::string out_;
};

std::string list_of(const std::vector<std::string>& lines, const char* attribute = "") {
  if (lines.empty()) return "";
  std::string out = "<ul" + std::string(*attribute ? " " : "") + attribute + ">";
  for (const std::string& words : lines) out += element("li", words);
  return out + "</ul>";
}
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
  return (any ? t.closed() : "") + (lines.empty() ? "" : element("h3", leave_alone_words(r)) + list_of(lines, k_in_columns));
}

std::size_t times_given(const SeasonResult& r, std::size_t feeding) {
  return static_cast<std::size_t>(
      std::count_if(r.feed_days.begin(), r.feed_days.end(), [&](const FeedDay& d) { return d.feeding == feeding; }));
}

std::string to_do(const SeasonResult& r) {
  if (r.feed_days.empty()) return element("p", "Nothing is fed.");
  Table t("What to give, when and where; scoops to the nearest half", {{"day"}, {"feed"}, {"to each"}, {"in all", true}});
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
  for (std::string& words : second_feed_words(r)) advice.push_back(std::move(words));
  return t.closed() + list_of(advice) + "\n";
}

std::string to_look_at(const SeasonResult& r) {
  if (r.checks.empty()) return "";
  std::vector<std::string> lines;
  for (const Check& c : r.checks) lines.push_back(in_words(c));
  return "<section><h2>What to look at</h2>" + list_of(lines, k_in_columns) + "</section>\n";
}

std::string plan_and_diary(const SeasonResult& r) {
  if (r.against_plan.empty()) return "";
  return "<section><h2>What was planned and what the diary says</h2>" + list_of(r.against_plan) + "</section>\n";
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
  std::string out =
      "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width, "
      "initial-scale=1\"><title>" +
      escaped_markup(r.garden + ", " + std::to_string(r.season) + ": " + question) + "</title><style>" + k_style +
      "</style></head><body><main>\n";
  out += element("h1", r.garden + ", " + std::to_string(r.season) + ": " + question) + "\n";
  for (const std::string& said : {r.note, r.weather_note})
    if (!said.empty()) out += element("p", said, "class=\"said\"");
  out += "\n<section><h2>The answer</h2>" + answer_table(r) + "</section>\n";
  out += "<section><h2>What to do</h2>" + to_do(r) + "</section>\n" + plan_and_diary(r) + to_look_at(r) + shopping(r);
  if (!r.cautions.empty()) {
    std::vector<std::string> cautions;
    for (const Caution& c : r.cautions) cautions.push_back(c.words);
    out += "<section><h2>Take care</h2>" + list_of(cautions, k_in_columns) +
           element("p", "Your local rules, your vet and your doctor come first.", "class=\"said\"") + "</section>\n";
  }
  out += "<section><h2>What they have against what they want</h2>" + figures(r, bands, drawn_of(r)) + "</section>\n";
  if (r.given_g > 0)
    out += "<section><h2>Where each gram went</h2><div class=\"pair\"><figure>" +
           element("h3", "Of each 100 g of nitrogen given, by " + day_words(r, r.days - 1)) + where_figure(r, "where") +
           element("p", beside_words(r.beside)) + element("figcaption", "Hatched: lost to the garden.") + "</figure>" + planting_table(r) +
           "</div>" + by_feeding_table(r) + list_of(mulch_words(r)) + "</section>\n";
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
  return out + "</ul></section>\n</main></body></html>\n";
}

}  // namespace leafhunger
