// The lesson as a page: question and empty axes, then the answer with the curves. What is said of figures is read off the figures.
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "curves_chart.hpp"
#include "leafhunger/lesson.hpp"
#include "lines.hpp"
#include "markup.hpp"
#include "page_html.hpp"
#include "season_answers.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using lines::fixed;
using page::element;
using Json = nlohmann::ordered_json;

constexpr double k_nothing_g = 3;         // of 100: below it, more and less look the same in a class's jars (our own guess)
constexpr double k_microbes_c_to_n = 24;  // what microbes eat for each part of nitrogen (equations.md 4)

// On a screen answers open on demand, and a chart that is wider than the screen says that it goes on. On paper a question is a page, its
// answer the next one: printed on both sides, overleaf.
constexpr const char* k_style = R"(
main{max-width:52rem}.chart{overflow-x:auto;margin:.6rem 0}.chart svg{min-width:49rem;max-width:none;width:100%}
.guess td{border:1px solid #8a9a92;padding:.45rem .6rem}.guess td:not(:empty){color:#22302a}
.lines p{border-bottom:1px solid #8a9a92;height:1.6rem;margin:0}
summary{font-size:1rem}ol{padding-left:1.3rem}ol li{margin:.25rem 0}
.unit{border-top:1px solid #1f6b45;margin-top:2.2rem}.paper{display:none}
@media screen and (max-width:51.4rem){
.chart::before{content:"Slide the chart sideways: it goes on to the right \2192";display:block;position:sticky;left:0;width:fit-content;color:#1f6b45;font-size:.88rem}}
@media print{
@page{size:A4;margin:15mm 17mm}
body{font-size:10.4pt;line-height:1.38}main{max-width:none;margin:0;padding:0}
h1{font-size:16pt}h2{font-size:13.5pt;margin:0 0 .4rem}h3{font-size:11pt;margin:.7rem 0 .2rem}
.unit{break-before:page;border-top:0;margin-top:0}
.answer{break-before:page}.answer::details-content{content-visibility:visible;display:block}.answer summary{color:#22302a;list-style:none;padding:0;font-size:13.5pt}
.answer summary::-webkit-details-marker{display:none}.over{break-before:page}
.wide,.chart{overflow:visible}.chart svg{min-width:0}.two svg{width:73%}table{font-size:10pt}.guess td,.guess th{padding-top:.5rem;padding-bottom:.5rem}
.paper{display:block}.screen{display:none}figure,tr,li{break-inside:avoid}h2,h3{break-after:avoid}
}
)";

std::string degrees(double t) { return input::plain(t) + " \u00b0C"; }
std::string grams(double g) { return fixed(g, 0) + " g"; }
// How far apart two figures lie that are shown with so many decimals: who takes one from the other finds the same.
double apart_as_shown(double a, double b, int decimals) {
  const double unit = std::pow(10, decimals);
  return (std::round(b * unit) - std::round(a * unit)) / unit;
}
std::string day(Date d) { return to_words(month_day_of(d)); }

std::string numbered(const std::vector<std::string>& items) {
  std::string out = "<ol>";
  for (const std::string& item : items) out += element("li", item);
  return out + "</ol>\n";
}

// A chart as part of a page: without the head of an XML file.
std::string drawn(const figure::Chart& chart) {
  const std::string svg = figure::svg(chart);
  return "<div class=\"chart\" tabindex=\"0\" role=\"group\" aria-label=\"" + escaped_markup(chart.title) + "\">" +
         svg.substr(svg.find("<svg")) + "</div>\n";
}

std::string empty(figure::Chart chart, const std::string& title) {
  chart.blank = true, chart.title = title, chart.notes.clear();
  return drawn(chart);
}

// A table to write in: every cell but the first of a row is empty.
std::string to_fill(const std::string& caption, const std::vector<std::string>& rows, const char* what) {
  page::Table t(caption, {{what}, {"my guess"}, {"it says"}});
  for (const std::string& row : rows) t.row({row, "", ""});
  return "<div class=\"guess\">" + t.closed() + "</div>";
}

std::string room_to_write(int rows) {
  std::string out = "<div class=\"lines paper\" aria-hidden=\"true\">";
  for (int i = 0; i < rows; ++i) out += "<p></p>";
  return out + "</div>\n";
}

struct Unit {
  std::string title, before, after;
};

std::string in_unit(const Unit& u, int number) {
  const std::string title = std::to_string(number) + ". " + u.title;
  return "<section class=\"unit\">" + element("h2", title) + u.before + "<details class=\"answer\"><summary>" +
         "<span class=\"screen\">Guessed? Look at the answer</span><span class=\"paper\">" + escaped_markup("Answer to " + title) +
         "</span></summary>" + u.after + "</details></section>\n";
}

double freed(const CurvesResult& r, std::size_t material, std::size_t moisture, std::size_t temperature, int day) {
  return 100 * r.at(material, moisture, temperature).freed_frac[static_cast<std::size_t>(day)];
}

std::string in_jar(const LessonPresets::Jar& jar, bool warmth) {
  return (warmth ? degrees(jar.value) : input::plain(std::round(100 * jar.value)) + " % of pores with water") + ", " + jar.called;
}

// The two units of jars differ in what is changed; everything else is said alike.
struct Jars {
  const CurvesResult& curves;
  const std::vector<LessonPresets::Jar>& jars;
  bool warmth;
  int day, last;

  double at(std::size_t i, int on) const { return warmth ? freed(curves, 0, 0, i, on) : freed(curves, 0, i, 0, on); }
  std::vector<std::string> names() const {
    std::vector<std::string> out;
    for (const auto& jar : jars) out.push_back(in_jar(jar, warmth));
    return out;
  }
  double apart(int on) const {
    double least = at(0, on), most = least;
    for (std::size_t i = 1; i < jars.size(); ++i) least = std::min(least, at(i, on)), most = std::max(most, at(i, on));
    return apart_as_shown(least, most, 0);
  }
  std::size_t best(int on) const {
    std::size_t b = 0;
    for (std::size_t i = 1; i < jars.size(); ++i)
      if (at(i, on) > at(b, on)) b = i;
    return b;
  }
};

std::string answers_of(const Jars& j) {
  const std::string after = "after " + input::counted(j.day, "day", "days"), end = "after " + input::counted(j.last, "day", "days");
  page::Table t(std::string("Grams free of each 100 g of nitrogen, by ") + (j.warmth ? "warmth" : "water"),
                {{"the jar"}, {after.c_str(), true}, {end.c_str(), true}});
  for (std::size_t i = 0; i < j.jars.size(); ++i) t.row({in_jar(j.jars[i], j.warmth), grams(j.at(i, j.day)), grams(j.at(i, j.last))});
  return t.closed();
}

std::string stirred(const CurvesResult& r, std::size_t jars) {
  return "Stir " + lower_first(r.materials[0].title) + " into moist soil, so that each of " + std::to_string(jars) +
         " jars gets 100 g of nitrogen with it. Nothing grows in a jar and no rain falls into it.";
}

Unit warmth_unit(const LessonResult& r) {
  const Jars j{r.warmth, r.presets.warmth, true, r.presets.warmth_day, r.presets.last_day};
  const figure::Chart chart = chart_of(r.warmth);
  const std::string days = input::counted(j.day, "day", "days");
  Unit u;
  u.title = "Warmth: the same feed, from cold to warm";
  u.before =
      element("p", stirred(r.warmth, j.jars.size()) + " Only the warmth differs. How many grams are free for plants after " + days + "?");
  u.before += to_fill("Grams free of 100 after " + days + ", by warmth", j.names(), "the jar stands at") +
              empty(chart, "Draw a line for each jar, before you look") + element("h3", "Questions") +
              numbered({"Does the warm jar free more in the end, or only sooner?", "What is it in the soil that is slower in the cold?",
                        "A bag says slow release. Slow for whom: for a greenhouse, or for a bed in April?"}) +
              room_to_write(3);
  const double early = j.apart(j.day), late = j.apart(j.last);
  const std::size_t warm = j.jars.size() - 1;
  const std::string apart = " Cold and warm lie " + grams(early) + " apart after " + days + ", and " + grams(late) + " at the end.";
  u.after =
      answers_of(j) + drawn(chart) + element("h3", "Answers") +
      numbered({(late < 0.5 * early ? "Mostly sooner." : "Both sooner and more.") + apart +
                    (late < 0.5 * early ? " Warmth decides how soon, the feed itself decides how much." : ""),
                "Microbes, living things too small to see. They eat the feed, and what they have too much of is set free. Like all "
                "living things they are slow in the cold. What is still missing at the end they have built into themselves and into humus.",
                "A jar at " + degrees(j.jars[warm].value) + " frees in " + days + " " + grams(j.at(warm, j.day)) + ", one at " +
                    degrees(j.jars[0].value) + " only " + grams(j.at(0, j.day)) + ". The same bag is quick in one and slow in the other."});
  return u;
}

Unit moisture_unit(const LessonResult& r) {
  const Jars j{r.moisture, r.presets.moisture, false, r.presets.moisture_day, r.presets.last_day};
  const figure::Chart chart = chart_of(r.moisture);
  const std::string days = input::counted(j.day, "day", "days");
  Unit u;
  u.title = "Water: the same feed, from dry to wet";
  u.before = element("p", stirred(r.moisture, j.jars.size()) + " All stand at " + degrees(r.presets.moisture_c) +
                              "; only the water differs. How many grams are free after " + days + "?") +
             to_fill("Grams free of 100 after " + days + ", by water", j.names(), "the jar is") +
             empty(chart, "Draw a line for each jar, before you look") + element("h3", "Questions") +
             numbered({"Which jar is quickest, and why are the others slower?",
                       "What does that say about a dry May, and about a flooded bed?", "Why does a gardener water the feed in?"}) +
             room_to_write(3);
  const std::size_t best = j.best(j.day);
  const bool between = best > 0 && best + 1 < j.jars.size();
  u.after =
      answers_of(j) + drawn(chart) + element("h3", "Answers") +
      numbered(
          {"The one that is " + j.jars[best].called + ": " + grams(j.at(best, j.day)) + " after " + days + "." +
               (between
                    ? " Microbes need water to move and feed in, and air to breathe. Dry soil lacks the one, waterlogged soil the other."
                    : " Microbes need water to move and feed in, and air to breathe."),
           "Feed that lies in dry ground is slow until it rains, and in drowned ground until air comes back: there its nitrogen may also "
           "escape as gas.",
           "The " + input::plain(std::round(100 * j.jars[0].value)) + " % jar freed " + grams(j.at(0, j.day)) + ", the best one " +
               grams(j.at(best, j.day)) + ". Water brings feed to where it is moist, and to the roots."});
  return u;
}

std::string more_or_less(double g) { return g > k_nothing_g ? "more" : g < -k_nothing_g ? "less" : "about the same"; }

Unit feeds_unit(const LessonResult& r) {
  const figure::Chart chart = chart_of(r.feeds);
  const int on = r.presets.feeds_day;
  const std::string days = input::counted(on, "day", "days");
  std::vector<std::string> names;
  for (const auto& m : r.feeds.materials) names.push_back(lower_first(m.title));
  Unit u;
  u.title = "What it is made of: several feeds side by side";
  u.before = element("p", "Now all jars stand at " + degrees(r.presets.feeds_c) +
                              " and are moist, and each gets something else, with 100 g of nitrogen in it. After " + days +
                              ", is there more nitrogen free in the soil than before, less, or about the same?") +
             to_fill("Write more, less, or about the same", names, "stirred in") + empty(chart, "Draw a line for each, before you look") +
             element("h3", "Questions") +
             numbered({"What do the quick ones have in common?", "Can something with nitrogen in it leave the soil with less?",
                       "Why do gardeners lay straw on top and not dig it in?"}) +
             room_to_write(2);
  page::Table t("After " + days + " at " + degrees(r.presets.feeds_c),
                {{"stirred in"}, {"grams free of 100", true}, {"than before"}, {"parts of carbon to one of nitrogen", true}});
  std::vector<std::string> less;
  for (std::size_t i = 0; i < names.size(); ++i) {
    const double g = freed(r.feeds, i, 0, 0, on);
    if (g < -k_nothing_g) less.push_back(names[i]);
    t.row({names[i], grams(g), more_or_less(g), r.carbon_to_nitrogen[i] > 0 ? fixed(r.carbon_to_nitrogen[i], 0) : "no carbon"});
  }
  u.after =
      t.closed() + drawn(chart) + element("h3", "Answers") +
      numbered(
          {"Little carbon for their nitrogen. Microbes eat about " + fixed(k_microbes_c_to_n, 0) +
               " parts of carbon for each part of nitrogen; what a feed has beyond that is set free.",
           less.empty() ? "None of these does. Something very poor in nitrogen would: microbes take what they miss out of the soil."
                        : "Yes: " + joined(less) +
                              ". It has too little nitrogen for its carbon, so microbes take what they miss out of "
                              "the soil. It is tied up, and comes back when the carbon is eaten.",
           "On top only its sole touches the soil, so hardly anything is tied up, and it shields the ground. Dug in, it robs the spring."});
  return u;
}

figure::Chart springs_chart(const LessonResult& r, bool plants) {
  figure::Chart chart;
  chart.title = plants ? "How much have the plants taken up?" : "How much of the handful is free?";
  chart.subtitle =
      plants ? "grams of nitrogen a plant, since the season began, out of feed and soil" : "grams freed of each 100 g of nitrogen given";
  chart.below_nought = "below 0: tied up by microbes";
  chart.ordered = true;
  figure::Panel panel;
  for (const Spring* s : {&r.cold, &r.warm}) {
    figure::Line line;
    line.label = (s == &r.cold ? "cold spring of " : "warm spring of ") + std::to_string(s->season);
    const auto& y = plants ? s->taken_by_day_g : s->freed_by_day_g;
    for (std::size_t d = 0; d < y.size(); ++d) line.x.push_back(static_cast<double>(d)), line.y.push_back(y[d]);
    line.marks_x.push_back(static_cast<double>((r.looked_on - r.drawn_from).count()));
    panel.lines.push_back(std::move(line));
  }
  for (std::size_t d = 0; d < r.cold.freed_by_day_g.size(); ++d) {
    const Date on = r.drawn_from + std::chrono::days{static_cast<long>(d)};
    if (month_day_of(on).day == 1 || on == r.fed_on) chart.x_ticks.emplace_back(static_cast<double>(d), on == r.fed_on ? "fed" : day(on));
  }
  chart.panels.push_back(std::move(panel));
  return chart;
}

// "6 days behind", "not behind", "further behind than we looked".
std::string behind(const std::optional<int>& days) {
  return !days ? "further behind than we looked" : *days > 0 ? input::counted(*days, "day", "days") + " behind" : "not behind";
}

// What was slow in the cold spring, as the figures have it.
std::string what_was_slow(const LessonResult& r) {
  constexpr int k_never = 1000;
  const int feed = r.feed_behind_d.value_or(k_never), plants = r.plants_behind_d.value_or(k_never);
  std::string text = "In the cold spring the feed was " + behind(r.feed_behind_d) + ", the plants were " + behind(r.plants_behind_d) + ".";
  if (feed <= 0 && plants <= 0) return text + " In these two it was water, not warmth, that set the pace.";
  if (plants > feed)
    return text + " It was more the plants that were slow than the feed: roots and leaves need warmth even more than microbes do.";
  return text + " It was the feed that kept them waiting.";
}

Unit springs_unit(const LessonResult& r) {
  Unit u;
  u.title = "A cold spring and a warm one: the same handful";
  const std::string later = day(r.looked_on), apart = fixed(apart_as_shown(r.cold.air_c, r.warm.air_c, 1), 1);
  u.before = element("p", r.garden + ": " + r.feed_words +
                              ". Nothing else is given. Twice the same, once in the coldest spring of the record and once "
                              "in the warmest: in the air " +
                              fixed(r.cold.air_c, 1) + " and " + fixed(r.warm.air_c, 1) + " degrees. We look at " + r.planting + ".");
  for (const std::string& said : {r.note, r.weather_note})
    if (!said.empty()) u.before += element("p", said, "class=\"said\"");
  u.before += to_fill("By " + later + ", six weeks on: grams free of each 100, and grams that a plant has taken up",
                      {"free, cold spring", "free, warm spring", "taken up, cold spring", "taken up, warm spring"}, "what, and when") +
              empty(springs_chart(r, true), "Draw what a plant takes up in both springs, before you look") + element("h3", "Questions") +
              numbered({"How many degrees does the soil differ, if the air differs by " + apart + "?",
                        "Which is slower in the cold spring, the feed or the plants?",
                        "When would you feed in a cold spring: earlier, later, or with something else?"}) +
              room_to_write(2);
  page::Table t("Six weeks from the day of feeding, to " + later,
                {{"spring"}, {"soil, degrees", true}, {"grams free of 100", true}, {"taken up, grams a plant", true}});
  for (const Spring* s : {&r.cold, &r.warm})
    t.row({(s == &r.cold ? "cold, " : "warm, ") + std::to_string(s->season), fixed(s->soil_c, 1), fixed(s->freed_g, 0),
           fixed(s->taken_g, 1)});
  u.after =
      t.closed() + "<div class=\"two\">" + drawn(springs_chart(r, true)) + drawn(springs_chart(r, false)) + "</div>" +
      element("h3", "Answers") +
      numbered({"By " + fixed(apart_as_shown(r.cold.soil_c, r.warm.soil_c, 1), 1) +
                    " over those six weeks. Soil follows the air, later and more calmly.",
                what_was_slow(r),
                "What is free before roots want it may be washed away. So wait for warm soil with anything quick, give slow feed early, "
                "and go by "
                "the newest leaves more than by the calendar."});
  return u;
}

std::string for_the_teacher() {
  std::string out = element("h2", "For the teacher");
  out += element(
      "p",
      "Four questions, twenty minutes each or one to a lesson. Each goes the same way: everybody writes down a guess and draws a line; "
      "only then you look together. A guess cannot be wrong, only early.");
  out += page::list(
      {"On a screen: read the question, collect the guesses, then open the answer. Nothing is fetched and nothing runs: the page works "
       "without a network.",
       "On paper: print on both sides. Each question is a page with empty axes, and the same axes with the answer are overleaf. "
       "If answers are missing in the print, open them on the screen first.",
       "With real jars: two jam jars of moist soil with a spoon of the same feed, one in a fridge and one on a shelf, and nitrate strips "
       "after two weeks show the first question in earnest. Gloves, and wash your hands.",
       "The figures are worked out, not measured. Two bags of one feed differ, and so do two soils."});
  out += element("h3", "Words");
  out += page::list({"nitrogen: what makes leaves; plants take it from the soil water",
                     "freed: turned from feed into what roots can take up (mineralised)",
                     "tied up: taken out of the soil by microbes for a while (immobilised)",
                     "humus: what is left of dead matter when the quick part is eaten"});
  return out;
}

std::string how_it_was_worked_out(const LessonResult& r) {
  std::string out = "<section class=\"over\">" + element("h2", "How it was worked out");
  out += page::list(
      {"Jars: soil held at one warmth and one moisture day and night, no plant, no rain, nothing lost. In a bed nights are cold and the "
       "top "
       "dries, so the same feed is slower there.",
       "Springs: the garden day by day, with the weather of " + std::to_string(r.cold.season) + " and " + std::to_string(r.warm.season) +
           ", the coldest and the warmest spring of the record by the mean of its three months. Drawn is the ground of " + r.planting + ".",
       "Free means: freed so far less what microbes and humus hold, of each 100 g of nitrogen given."});
  std::vector<std::string> sources;
  for (const CurvesResult* c : {&r.warmth, &r.moisture, &r.feeds})
    for (const auto& m : c->materials) {
      std::string said = lower_first(m.title) + ": " + input::plain(m.n_percent) + " % nitrogen [" + m.model_source + "]";
      if (std::find(sources.begin(), sources.end(), said) == sources.end()) sources.push_back(said);
    }
  return out + element("h3", "Feeds and where their laws come from") + page::list(sources) + "</section>\n";
}

}  // namespace

std::string in_html(const LessonResult& r) {
  constexpr const char* k_title = "Why is spring slow? A lesson on feed, warmth and water";
  std::string out = page::opened(k_title, k_style) + element("h1", k_title) + "\n" + for_the_teacher() + how_it_was_worked_out(r);
  int number = 0;
  for (const Unit& u : {warmth_unit(r), moisture_unit(r), feeds_unit(r), springs_unit(r)}) out += in_unit(u, ++number);
  return out + page::closed();
}

std::string in_words(const LessonResult& r) {
  std::string out = lines::headed("Why is spring slow?", r.garden, r.weather_note);
  const auto jars = [&](const Jars& j) {
    std::string text =
        lower_first(j.curves.materials[0].title) + ", grams free of 100 after " + input::counted(j.day, "day", "days") + ": ";
    for (std::size_t i = 0; i < j.jars.size(); ++i)
      text += (i ? ", " : "") + fixed(j.at(i, j.day), 0) +
              (j.warmth ? " at " + input::plain(j.jars[i].value) + " degrees" : " " + j.jars[i].called);
    out += lines::wrapped("  ", text + ".", 4);
  };
  jars({r.warmth, r.presets.warmth, true, r.presets.warmth_day, r.presets.last_day});
  jars({r.moisture, r.presets.moisture, false, r.presets.moisture_day, r.presets.last_day});
  std::string feeds;
  for (std::size_t i = 0; i < r.feeds.materials.size(); ++i)
    feeds += (i ? ", " : "") + lower_first(r.feeds.materials[i].title) + " " + fixed(freed(r.feeds, i, 0, 0, r.presets.feeds_day), 0);
  out += lines::wrapped("  ", "Side by side after " + input::counted(r.presets.feeds_day, "day", "days") + ": " + feeds + ".", 4);
  const auto spring = [](const Spring& s) {
    return fixed(s.freed_g, 0) + " g free of each 100 and " + fixed(s.taken_g, 1) + " g taken up a plant";
  };
  out += lines::wrapped("  ",
                        r.feed_words + ". By " + day(r.looked_on) + ", cold spring of " + std::to_string(r.cold.season) + ": " +
                            spring(r.cold) + "; warm one of " + std::to_string(r.warm.season) + ": " + spring(r.warm) + ". " +
                            what_was_slow(r),
                        4);
  return out;
}

std::string in_json(const LessonResult& r) {
  const auto jars = [](const Jars& j) {
    Json out = Json::array();
    for (std::size_t i = 0; i < j.jars.size(); ++i)
      out.push_back({{j.warmth ? "temperature_c" : "pores_with_water_frac", j.jars[i].value},
                     {"called", j.jars[i].called},
                     {"freed_frac", j.at(i, j.day) / 100},
                     {"freed_at_end_frac", j.at(i, j.last) / 100}});
    return Json{{"material", j.curves.materials[0].id}, {"day", j.day}, {"jars", out}};
  };
  Json feeds = Json::array();
  for (std::size_t i = 0; i < r.feeds.materials.size(); ++i)
    feeds.push_back({{"material", r.feeds.materials[i].id}, {"freed_frac", freed(r.feeds, i, 0, 0, r.presets.feeds_day) / 100}});
  const auto spring = [](const Spring& s) {
    return Json{
        {"season", s.season}, {"air_c", s.air_c}, {"soil_c", s.soil_c}, {"freed_frac", s.freed_g / 100}, {"taken_g_per_plant", s.taken_g}};
  };
  return Json{{"format", 1},
              {"question", "lesson"},
              {"garden", r.garden},
              {"note", r.note},
              {"weather_note", r.weather_note},
              {"last_day", r.presets.last_day},
              {"warmth", jars({r.warmth, r.presets.warmth, true, r.presets.warmth_day, r.presets.last_day})},
              {"moisture", jars({r.moisture, r.presets.moisture, false, r.presets.moisture_day, r.presets.last_day})},
              {"feeds", {{"day", r.presets.feeds_day}, {"temperature_c", r.presets.feeds_c}, {"materials", feeds}}},
              {"springs",
               {{"planting", r.planting},
                {"feed", r.feed_words},
                {"fed_on", to_iso(month_day_of(r.fed_on))},
                {"looked_on", to_iso(month_day_of(r.looked_on))},
                {"cold", spring(r.cold)},
                {"warm", spring(r.warm)},
                {"feed_behind_days", r.feed_behind_d ? Json(*r.feed_behind_d) : Json()},
                {"plants_behind_days", r.plants_behind_d ? Json(*r.plants_behind_d) : Json()}}}}
             .dump(2) +
         "\n";
}

}  // namespace leafhunger
