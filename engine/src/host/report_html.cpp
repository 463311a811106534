// The page that a person keeps: the answer first, then what to do, the figures, the money, what to beware of, how it was worked out.
#include <algorithm>
#include <filesystem>

#include "core/season.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/report_folder.hpp"
#include "leafhunger/weather_writer.hpp"
#include "lines.hpp"
#include "markup.hpp"
#include "report_figures.hpp"
#include "sampling.hpp"
#include "season_answers.hpp"
#include "season_words.hpp"
#include "years.hpp"

namespace leafhunger {
namespace {

using lines::fixed;

constexpr std::size_t k_most_drawn = 3;

// One column, a serif to read, one accent, tabular figures. Print: two sheets of A4, figures whole.
constexpr const char* k_style = R"(
:root{color-scheme:light}
body{margin:0;background:#fff;color:#22302a;font:17px/1.5 Georgia,'DejaVu Serif',serif}
main{max-width:44rem;margin:2.5rem auto;padding:0 1.2rem}
h1{font-size:1.55rem;line-height:1.25;margin:0 0 .4rem}
h2{font-size:1.12rem;margin:1.8rem 0 .5rem;border-bottom:1px solid #1f6b45;padding-bottom:.15rem}
h3{font-size:1rem;margin:1.1rem 0 .2rem;font-weight:normal;font-style:italic}
p,ul{margin:.4rem 0}ul{padding-left:1.2rem}li{margin:.25rem 0}
.said{color:#4a5a52}
.wide{overflow-x:auto}
table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums lining-nums}
th,td{text-align:left;vertical-align:top;padding:.22rem .7rem .22rem 0;border-bottom:1px solid #dbe6df}
th{font-weight:normal;color:#4a5a52}
th.n,td.n{text-align:right}
td.word{font-style:italic;white-space:nowrap}
svg{width:100%;height:auto;display:block}
figure{margin:.6rem 0}figcaption{color:#4a5a52;font-size:.92rem}
@media print{body{font-size:8.1pt;line-height:1.22}main{max-width:none;margin:0;padding:0}h1{font-size:14pt}h2{font-size:10.5pt;margin:.55rem 0 .2rem}
h3{font-size:9pt;margin:.3rem 0 .1rem}th,td{padding:.03rem .6rem .03rem 0}li{margin:.1rem 0}
.drawn{display:grid;grid-template-columns:1fr 1fr;gap:.2rem .8rem}figure{margin:.2rem 0}
figcaption{font-size:7.5pt}.care{columns:2;column-gap:1.2rem;font-size:7.2pt}figure,tr,li{break-inside:avoid}h2{break-after:avoid}@page{size:A4;margin:11mm}}
)";

std::string element(const char* tag, const std::string& text, const char* attribute = "") {
  return "<" + std::string(tag) + (*attribute ? " " + std::string(attribute) : "") + ">" + escaped_markup(text) + "</" + tag + ">";
}

std::string answer_table(const std::vector<Answer>& answers) {
  std::string out =
      "<div class=\"wide\"><table><thead><tr><th scope=\"col\">planting</th><th scope=\"col\">lasts</th><th "
      "scope=\"col\">why</th></tr></thead><tbody>";
  for (const Answer& a : answers)
    out += "<tr><th scope=\"row\">" + escaped_markup(a.column->name) + "</th>" + element("td", a.word, "class=\"word\"") +
           element("td", a.second.empty() ? a.why : a.why + "; " + a.second) + "</tr>";
  return out + "</tbody></table></div>\n";
}

std::string to_do(const SeasonResult& r) {
  std::string out = "<ul>";
  for (const FeedDay& day : r.feed_days) out += element("li", to_words(month_day_of(day.on)) + ": " + day.words + ".");
  for (const std::string& advice : second_feed_words(r)) out += element("li", advice);
  out += "</ul>\n";
  if (r.feed_days.empty()) out = element("p", "Nothing is fed.");
  if (!r.carried.empty()) {
    out +=
        "<h3>To carry and to buy</h3><div class=\"wide\"><table><thead><tr><th scope=\"col\">feed</th><th scope=\"col\" "
        "class=\"n\">weight</th>"
        "<th scope=\"col\" class=\"n\">bags</th><th scope=\"col\" class=\"n\">cost</th></tr></thead><tbody>";
    for (const Carried& c : r.carried)
      out += "<tr><th scope=\"row\">" + escaped_markup(c.title) + "</th>" + element("td", weight(1000 * c.kg), "class=\"n\"") +
             element("td", c.bags > 0 ? std::to_string(c.bags) + " of " + fixed(c.bag_kg, c.bag_kg < 1 ? 2 : 0) + " kg" : "loose",
                     "class=\"n\"") +
             element("td", money(r.currency, c.cost), "class=\"n\"") + "</tr>";
    out += "</tbody></table></div>\n";
  }
  return out;
}

std::string planting_table(const SeasonResult& r) {
  std::string out =
      "<div class=\"wide\"><table><thead><tr><th scope=\"col\">planting</th><th scope=\"col\" class=\"n\">ground m2</th>"
      "<th scope=\"col\" class=\"n\">taken up g/m2</th><th scope=\"col\" class=\"n\">washed g/m2</th>"
      "<th scope=\"col\" class=\"n\">growth %</th><th scope=\"col\" class=\"n\">gained g</th>"
      "<th scope=\"col\" class=\"n\">cost</th></tr></thead><tbody>";
  for (const ColumnResult& c : r.columns) {
    if (c.bare) continue;
    out += "<tr><th scope=\"row\">" + escaped_markup(c.name) + "</th>" + element("td", fixed(c.area_m2, 1), "class=\"n\"") +
           element("td", fixed(c.ledger.taken / 10, 1), "class=\"n\"") + element("td", fixed(c.ledger.leached / 10, 1), "class=\"n\"") +
           element("td", fixed(100 * c.verdict.growth_frac, 0), "class=\"n\"") +
           element("td", c.fed ? fixed(c.gain_g, 1) : "-", "class=\"n\"") +
           element("td", c.fed ? money(r.currency, c.cost) : "-", "class=\"n\"") + "</tr>";
  }
  return out + "</tbody></table></div>\n";
}

std::vector<const ColumnResult*> drawn(const SeasonResult& r) {
  std::vector<const ColumnResult*> out;
  for (const Answer& a : answers_of(r))
    if (a.column->fed && a.column->hunger == Hunger::greedy && out.size() < k_most_drawn) out.push_back(a.column);
  return out;
}

}  // namespace

std::vector<YearBand> year_bands(const Garden& garden, const SeasonResult& r) {
  const Garden::Plan& plan = garden.plan();
  const Years years = all_years(plan);
  std::vector<YearBand> out;
  for (const ColumnResult* c : drawn(r))
    for (const ColumnPlan& column : plan.columns) {
      if (column.name != c->name) continue;
      const auto climates = climates_of(plan, column, years);
      std::vector<Member> members;
      for (std::size_t y = 0; y < climates.size(); ++y)
        members.push_back(member_of(plan, column, climates[y], doses_of(plan, column, years.first[y], climates[y].days)));
      const auto briefs = run_batch(column.shape, members);
      YearBand band{c->name, {}, {}, briefs.size()};
      for (std::size_t d = 0; d < r.days; ++d) {
        std::vector<double> day;
        for (const Brief& b : briefs) day.push_back(b.plant.nni[std::min(d, b.plant.nni.size() - 1)]);
        std::sort(day.begin(), day.end());
        band.low.push_back(quantile_of_sorted(day, 0.1)), band.high.push_back(quantile_of_sorted(day, 0.9));
      }
      out.push_back(std::move(band));
    }
  return out;
}

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
  out += "\n<section><h2>The answer</h2>" + answer_table(answers_of(r)) + "</section>\n";
  out += "<section><h2>What to do</h2>" + to_do(r) + "</section>\n";
  out += "<section><h2>What they have of what they want</h2>";
  const auto shown = drawn(r);
  out += "<div class=\"drawn\">";
  for (const ColumnResult* c : shown) {
    const auto band = std::find_if(bands.begin(), bands.end(), [&](const YearBand& b) { return b.planting == c->name; });
    out += "<figure>" + element("h3", c->name) + supply_figure(r, *c, band == bands.end() ? nullptr : &*band) + "</figure>\n";
  }
  if (!shown.empty())
    out +=
        "<figure>" + element("h3", "The soil under " + shown.front()->name) + soil_figure(r, *shown.front()) +
        element("figcaption",
                "100 % is all the nitrogen that a planting of its size can use; below 90 % for five growing days it is short (hatched).") +
        "</figure>";
  out += "</div>";
  if (shown.empty()) out += element("p", "No hungry planting is fed.");
  out += "</section>\n";
  if (r.given_g > 0)
    out += "<section><h2>Where it went, and what it cost</h2><figure>" + where_figure(r) + "</figure>" + element("p", where_it_went(r)) +
           element("p", beside_words(r.beside)) + element("p", cost_words(r)) + planting_table(r) + "</section>\n";
  if (!r.cautions.empty()) {
    out += "<section><h2>Take care</h2><ul class=\"care\">";
    for (const Caution& c : r.cautions) out += element("li", c.words);
    out += "</ul>" + element("p", "Your local rules, your vet and your doctor come first.", "class=\"said\"") + "</section>\n";
  }
  out += "<section><h2>How it was worked out</h2><ul class=\"care\">";
  out += element(
      "li",
      "Short means: the nitrogen in the plant sank below 0.90 of the critical nitrogen for its size (nitrogen nutrition index) on 5 "
      "growing days running. Gained is uptake with the feed less uptake without.");
  for (const std::string& note : r.notes) out += element("li", note);
  return out + "</ul></section>\n</main></body></html>\n";
}

void write_report(const std::string& folder, const Garden& garden, const SeasonResult& r, bool force) {
  namespace fs = std::filesystem;
  std::error_code ec;
  const bool made = fs::create_directories(folder, ec);
  if (ec || !fs::is_directory(folder, ec))
    throw InputError({folder, "--out", "no folder, and none can be made there", "a folder that can be written", "name another place"});
  const std::pair<const char*, std::string> files[] = {
      {"report.html", in_html(r, year_bands(garden, r))}, {"calendar.ics", in_calendar(r)}, {"series.csv", in_csv(r)}};
  // All or none: refuse before the first is written.
  for (const auto& [name, text] : files)
    if (!force && fs::exists(fs::path(folder) / name, ec))
      throw InputError({(fs::path(folder) / name).string(), "--out", "a file of that name already", "a folder without it",
                        "take another folder, or add --force"});
  try {
    for (const auto& [name, text] : files) write_whole_file((fs::path(folder) / name).string(), text, force);
  } catch (...) {
    if (made) fs::remove_all(folder, ec);
    throw;
  }
}

}  // namespace leafhunger
