// The plan of a year for somebody who owns the garden and does not feed it: a printed page a bed, in everyday words.
#include <algorithm>
#include <array>
#include <cmath>

#include "dose_words.hpp"
#include "garden_plan.hpp"
#include "leafhunger/report_folder.hpp"
#include "lines.hpp"
#include "markup.hpp"
#include "page_html.hpp"
#include "season_answers.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using input::counted;
using page::element;

constexpr double k_g_per_kg_ha_m2 = 0.1;

// A page a bed. Everything that the page of the report has for tables and figures is not needed here.
constexpr const char* k_style = R"(
.year{list-style:none;padding:0}.year li{display:grid;grid-template-columns:7rem 1fr;padding:.2rem 0;border-bottom:1px solid #dbe6df}
.year strong{font-weight:normal;font-style:italic}.year li.idle{color:#4a5a52}
@media(max-width:40rem){.year li{grid-template-columns:1fr}}
.bed+.bed{border-top:1px solid #1f6b45;margin-top:3rem}
@media print{
@page{size:A4;margin:12mm 16mm}
body{font-size:8.9pt;line-height:1.26}main{max-width:none;margin:0;padding:0}
.bed+.bed{break-before:page;border-top:0;margin-top:0}
h1{font-size:13pt}h2{font-size:13pt;margin:.4rem 0 .2rem}h3{margin:.6rem 0 .1rem;font-size:10pt}
p,ul{margin:.2rem 0}li{margin:.08rem 0;break-inside:avoid}.year li{padding:.08rem 0;grid-template-columns:6rem 1fr}h3{break-after:avoid}
.care{font-size:7.9pt;line-height:1.2;columns:2;column-gap:1.4rem}
}
)";

struct Page {
  const Garden::Plan& plan;
  const SeasonResult& r;
  const LastsResult& lasts;
  std::size_t bed;

  const Bed& here() const { return plan.scenario.beds[bed]; }
  const Material& material(std::size_t feeding) const {
    return plan.scenario.catalogue.materials.at(plan.scenario.feedings[feeding].material);
  }
};

// The plantings of this bed, without the bare ground between them.
std::vector<const ColumnResult*> plantings_of(const Page& p) {
  std::vector<const ColumnResult*> out;
  for (std::size_t i = 0; i < p.r.columns.size(); ++i)
    if (p.plan.columns[i].bed == p.bed && !p.r.columns[i].bare) out.push_back(&p.r.columns[i]);
  return out;
}

const PlantingYears& years_of(const Page& p, const std::string& planting) {
  return *std::find_if(p.lasts.plantings.begin(), p.lasts.plantings.end(), [&](const PlantingYears& y) { return y.name == planting; });
}

std::string of_years(int k, const Page& p) {
  const auto n = static_cast<int>(p.lasts.seasons.size());
  if (n == 1 && k == 1) return "in the one year on record";
  return k == n   ? "in every year of " + std::to_string(n)
         : k == 0 ? "in no year of " + std::to_string(n)
                  : "in " + std::to_string(k) + " years of " + std::to_string(n);
}

bool mostly(int k, const Page& p) { return k >= nine_in_ten(static_cast<int>(p.lasts.seasons.size())); }

int half_of(const Page& p) { return static_cast<int>(p.lasts.seasons.size() + 1) / 2; }

// Neither cold nor drought decides how it grows in most years.
bool food_decides(const Page& p, const PlantingYears& y) { return y.slept < half_of(p) && y.thirsty < half_of(p); }

// Whether what it is fed may be spared: food decides, and it finds enough without.
bool spared(const Page& p, const std::string& planting) {
  const PlantingYears& y = years_of(p, planting);
  return food_decides(p, y) && mostly(y.kept_unfed, p);
}

// Growth that slows when food runs out, as one sees it; none where it does not.
std::string fades(const PlantingYears& y) {
  return y.usual_first_short ? "leaves turn pale and growth slows from about " + to_words(*y.usual_first_short) : "";
}

std::string how_it_stands(const Page& p, const ColumnResult& c) {
  const PlantingYears& y = years_of(p, c.name);
  const std::string until = to_words(p.r.carry_to_day);
  std::string text;
  if (y.slept >= half_of(p)) {
    text = "too cold here to start " + of_years(y.slept, p) + ": a warmer spot would help, feed would not";
  } else if (y.thirsty >= half_of(p)) {
    text = "short of water " + of_years(y.thirsty, p) + ": watering helps, feed does not";
  } else if (!c.fed) {
    text = mostly(y.kept_unfed, p) ? "lives on what the soil gives and is fed nothing"
                                   : "is fed nothing; " + (fades(y).empty() ? "it could do with some" : fades(y) + " in a hungry year");
  } else if (spared(p, c.name)) {
    text = "would do as well without feed, which saves " + money(p.r.currency, c.cost);
  } else {
    text = "the feed lasts until " + until + " " + of_years(y.kept, p);
    if (!mostly(y.kept, p) && !fades(y).empty()) text += "; else leaves turn pale from about " + to_words(*y.usual_first_short);
  }
  return c.name + " (" + std::to_string(c.count) + "): " + text + ".";
}

// What a bed takes of a material over the season, kg; `second`: with the second feeds that would carry what runs short.
struct Taken {
  const Material* material;
  double kg = 0, second_kg = 0;
};

void take(std::vector<Taken>& taken, const Material& m, double kg, double second_kg) {
  auto at = std::find_if(taken.begin(), taken.end(), [&](const Taken& t) { return t.material == &m; });
  if (at == taken.end()) at = taken.insert(at, {&m});
  at->kg += kg, at->second_kg += second_kg;
}

// A second feed is worth a client's thought where the first does not do in most years: the plantings of this bed of which that is so.
std::vector<const ColumnResult*> fed_twice(const Page& p) {
  auto out = plantings_of(p);
  std::erase_if(out, [&](const ColumnResult* c) { return !c->second_feed || mostly(years_of(p, c->name).kept, p) || spared(p, c->name); });
  return out;
}

// The plantings whose feed does not do in most years, or in more than 1 of 10, and that the year has no second feed for: the one season
// that decides those may have been a good one, or no one feed more was enough.
struct Wanting {
  std::vector<std::string> in_most_years, in_some;
  bool any() const { return !in_most_years.empty() || !in_some.empty(); }
};

Wanting wanting(const Page& p) {
  const auto twice = fed_twice(p);
  const auto n = static_cast<int>(p.lasts.seasons.size());
  Wanting out;
  for (const ColumnResult* c : plantings_of(p)) {
    const PlantingYears& y = years_of(p, c->name);
    if (!c->fed || mostly(y.kept, p) || !food_decides(p, y) || spared(p, c->name)) continue;
    if (std::find(twice.begin(), twice.end(), c) != twice.end()) continue;
    const int hungry = n - y.kept - y.slept - y.thirsty;
    if (hungry > 0) (2 * hungry > n ? out.in_most_years : out.in_some).push_back(c->name);
  }
  return out;
}

std::string what_is_wanting(const Page& p) {
  const Wanting w = wanting(p);
  if (!w.any()) return "";
  std::string text = "The feed planned here is not enough ";
  if (!w.in_most_years.empty()) text += "for " + joined(w.in_most_years) + " in most years";
  if (!w.in_some.empty()) text += (w.in_most_years.empty() ? "for " : ", nor for ") + joined(w.in_some) + " in some years";
  return element("p", text + ": how many top-ups would be is for the gardener to work out.");
}

// Grams of one feeding that one day brings to the bed.
double grams_of(const Page& p, std::size_t feeding) {
  double grams = 0;
  for (const ColumnPlan& column : p.plan.columns)
    for (const auto& g : column.given)
      if (column.bed == p.bed && g.feeding == feeding) grams += g.kg_material_ha * column.area_m2 * k_g_per_kg_ha_m2;
  return grams;
}

void take_bed(const Page& p, std::vector<Taken>& taken) {
  for (const FeedDay& day : p.r.feed_days)
    if (const double grams = grams_of(p, day.feeding); grams > 0) take(taken, p.material(day.feeding), grams / 1000, 0);
  for (const ColumnResult* c : fed_twice(p))
    take(taken, p.plan.scenario.catalogue.materials.at(c->second_feed->material_id), 0, c->second_feed->grams_per_plant * c->count / 1000);
}

// "£2 to £48": what is used of the plan, and whole bags of that and of the second feeds. Whole pounds, but for a lower end below one, which
// would be none; "under £1" where both ends are.
std::string band(const Page& p, const std::vector<Taken>& taken) {
  double low = 0, high = 0;
  for (const Taken& t : taken) {
    low += t.kg * t.material->price_per_kg;
    const double kg = t.kg + t.second_kg, bag_kg = t.material->bag_kg;
    high += (bag_kg > 0 ? whole_bags(kg, bag_kg) * bag_kg : kg) * t.material->price_per_kg;
  }
  if (high < 1) return "under " + p.r.currency + "1";
  const double least = std::floor(low), most = std::max(std::ceil(high - 1e-9), least + 1);
  return (low < 1 ? money(p.r.currency, low) : p.r.currency + input::plain(least)) + " to " + p.r.currency + input::plain(most);
}

// What of the cost above may be saved, since those plantings would do as well without.
std::string less_what_may_be_left_out(const Page& p) {
  double saved = 0;
  bool all = true;
  for (const ColumnResult* c : plantings_of(p)) {
    if (!c->fed) continue;
    if (spared(p, c->name))
      saved += c->cost;
    else
      all = false;
  }
  if (saved <= 0) return "";
  return all ? " Left out, as it may be, it costs nothing."
             : " Left out where it may be, it costs " + money(p.r.currency, saved) + " less.";
}

std::string cost(const Page& p) {
  std::vector<Taken> bed, garden;
  take_bed(p, bed);
  if (bed.empty()) return element("p", "No feed, so nothing to pay for feed.");
  bool bags = false;
  for (const Taken& t : bed) bags = bags || t.material->bag_kg > 0;
  const std::string from_to = band(p, bed);
  const bool second = !fed_twice(p).empty(), one_end = from_to.find(" to ") == std::string::npos;
  std::string text = "Feed for this bed: " + from_to + " a year";
  text += one_end && second ? ", the second feed too." : ".";
  if (!one_end && (bags || second)) {
    text += " The lower counts what is used up, the higher ";
    text += bags ? "whole bags bought for this bed alone" : "the same";
    text += second ? ", with the second feed." : ".";
  }
  text += less_what_may_be_left_out(p);
  for (std::size_t b = 0; b < p.plan.scenario.beds.size(); ++b) take_bed({p.plan, p.r, p.lasts, b}, garden);
  if (p.plan.scenario.beds.size() > 1)
    text += " The whole garden, all " + std::to_string(p.plan.scenario.beds.size()) + " beds: " + band(p, garden) +
            " a year, since one bag serves several beds.";
  return element("p", text + (wanting(p).any() ? " Work, water and top-ups" : " Work and water") +
                          " are not counted. Ask what the feed costs where you buy it.");
}

struct Month {
  Date first;
  std::vector<std::string> says;
};

std::size_t month_of(const Page& p, MonthDay day) { return (day.month + 12 - month_day_of(p.r.first).month) % 12; }
std::size_t month_of(const Page& p, Date day) { return month_of(p, month_day_of(day)); }

std::string litres(double mm) { return counted(std::lround(mm), "litre", "litres"); }  // 1 mm on a square metre is a litre

// "on the first wet day of 12 to 18 April" where it waits for rain, else "about 15 April".
std::string when(const Page& p, Date on, const std::optional<std::size_t>& window) {
  return window ? "on the first wet day of " + window_days(p.r.windows[*window]) : "about " + to_words(month_day_of(on));
}

// What of a feeding may be left out, since nothing that grows there needs it: "" for none, else a sentence.
std::string may_be_left_out(const Page& p, std::size_t feeding) {
  std::vector<std::string> without;
  bool all = true;
  for (const ColumnPlan& column : p.plan.columns) {
    if (column.bed != p.bed || !column.planting) continue;
    if (std::none_of(column.given.begin(), column.given.end(), [&](const auto& g) { return g.feeding == feeding; })) continue;
    if (spared(p, column.name))
      without.push_back(column.name);
    else
      all = false;
  }
  return without.empty() ? "" : all ? " This feed may be left out." : " This feed may be left out for " + joined(without) + ".";
}

// A feeding that falls on several days of a month is one sentence.
void say_feeds(const Page& p, std::array<Month, 12>& year) {
  const auto same = [&](const FeedDay& a, const FeedDay& b) { return a.feeding == b.feeding && month_of(p, a.on) == month_of(p, b.on); };
  for (auto day = p.r.feed_days.begin(); day != p.r.feed_days.end(); ++day) {
    const double grams = grams_of(p, day->feeding);
    if (grams <= 0 || std::any_of(p.r.feed_days.begin(), day, [&](const FeedDay& d) { return same(d, *day); })) continue;
    std::vector<std::string> days, names;
    for (auto d = day; d != p.r.feed_days.end(); ++d)
      if (same(*d, *day)) days.push_back(when(p, d->on, d->window));
    const Feeding& f = p.plan.scenario.feedings[day->feeding];
    for (const Planting& planting : p.here().plantings)
      if (std::find(f.plantings.begin(), f.plantings.end(), planting.name) != f.plantings.end()) names.push_back(planting.name);
    const bool whole = f.amount.per == Amount::Per::bed;
    std::string text = "Feed " + joined(days) + (day->window ? ", and if none is wet water it in: " : ": ") +
                       (whole ? words_of_dose(*day, grams) : words_of_dose(*day, day->each_g) + " " + day->each) + " of " + day->what +
                       (f.bed.empty() ? " to " + joined(names) : " over the whole bed");
    if (!whole) text += ", " + words_of_dose(*day, grams) + " in all";
    if (f.forked_in_mm > 0) text += "; fork it in " + counted(std::lround(f.forked_in_mm / 10), "centimetre", "centimetres") + " deep";
    if (f.watered_in_mm > 0) text += "; then water it in, " + litres(f.watered_in_mm) + " on each square metre";
    year[month_of(p, day->on)].says.push_back(text + "." + may_be_left_out(p, day->feeding));
  }
}

// Second feeds of one day in one sentence, those of one dose together.
void say_seconds(const Page& p, std::array<Month, 12>& year) {
  auto left = fed_twice(p);
  while (!left.empty()) {
    const SecondFeed& first = *left.front()->second_feed;
    const Date on = first.on;
    std::vector<std::string> doses, names;
    for (std::size_t i = 0; i < left.size(); ++i) {
      const SecondFeed& f = *left[i]->second_feed;
      if (f.on != on) continue;
      const std::string dose = words_of_count(f.handfuls, "handful", "handfuls") + " (" + weight(f.grams_per_plant) + ") a plant of " +
                               lower_first(f.material_title) + " to ";
      const auto same = std::find(doses.begin(), doses.end(), dose);
      if (same == doses.end()) {
        doses.push_back(dose), names.push_back(left[i]->name);
      } else {
        names[static_cast<std::size_t>(same - doses.begin())] += " and " + left[i]->name;
      }
    }
    std::string text;
    for (std::size_t i = 0; i < doses.size(); ++i) text += (i ? "; " : "") + doses[i] + names[i];
    year[month_of(p, on)].says.push_back("If the client wants full leaf until " + to_words(p.r.carry_to_day) + ", a second feed " +
                                         when(p, on, first.window) + ": " + text + ".");
    std::erase_if(left, [&](const ColumnResult* c) { return c->second_feed->on == on; });
  }
}

std::string times(int n) { return n == 1 ? "once" : std::to_string(n) + " times"; }

void say_water(const Page& p, std::array<Month, 12>& year) {
  for (const Watering& w : p.here().waterings) {
    Feeding dates;
    dates.on = w.on, dates.every_days = w.every_days, dates.until = w.until;
    std::array<int, 12> in_month{};
    for (const std::size_t d : feeding_days(dates, p.r.first, p.r.days))
      ++in_month[month_of(p, p.r.first + std::chrono::days{static_cast<long>(d)})];
    for (std::size_t m = 0; m < year.size(); ++m)
      if (in_month[m] > 0) year[m].says.push_back("Water " + times(in_month[m]) + ", " + litres(w.give_mm) + " on each square metre.");
  }
  if (!p.here().watering) return;
  // By rule: as often as the thirstiest planting of the bed asked for in the season's weather. How much is said once, below the list.
  std::array<int, 12> most{};
  for (const ColumnResult* c : plantings_of(p)) {
    std::array<int, 12> in_month{};
    const auto& mm = c->find("watered_mm")->values;
    for (std::size_t d = 0; d < mm.size(); ++d) in_month[month_of(p, p.r.first + std::chrono::days{static_cast<long>(d)})] += mm[d] > 0;
    for (std::size_t m = 0; m < most.size(); ++m) most[m] = std::max(most[m], in_month[m]);
  }
  for (std::size_t m = 0; m < year.size(); ++m)
    if (most[m] > 0) year[m].says.push_back("Water about " + times(most[m]) + ".");
}

std::string how_to_water(const Page& p) {
  if (!p.here().watering) return "";
  return element("p",
                 "Water when the ground is dry, " + litres(p.here().watering->give_mm) + " on each square metre; in the list as often as " +
                     std::to_string(p.r.season) + " asked for it.",
                 "class=\"said\"");
}

// When to begin to look at its leaves: the day before which it ran short in hardly 1 year of 10; the earliest day of a short record, or
// where few years ran short. None where none did.
std::optional<MonthDay> early_first_short(const PlantingYears& y) {
  std::vector<const YearVerdict*> ran_short;
  for (const YearVerdict& v : y.years)
    if (v.verdict.outcome == Outcome::ran_short) ran_short.push_back(&v);
  if (ran_short.empty()) return std::nullopt;
  std::sort(ran_short.begin(), ran_short.end(),
            [](const auto* a, const auto* b) { return *a->verdict.first_short < *b->verdict.first_short; });
  const std::size_t one_in_ten = std::max<std::size_t>(y.years.size() / 10, 1);
  return month_day_of(*ran_short[one_in_ten <= ran_short.size() ? one_in_ten - 1 : 0]->first_short);
}

std::array<Month, 12> year_of_bed(const Page& p) {
  std::array<Month, 12> year;
  Date first = p.r.first;
  for (Month& m : year) {
    m.first = first;
    const MonthDay day = month_day_of(first);
    first = make_date(year_of(first) + (day.month == 12), {day.month % 12 + 1, 1});
  }
  if (p.here().mulch.depth_mm >= 5)
    year[0].says.push_back("Top the mulch up to " + counted(std::lround(p.here().mulch.depth_mm / 10), "centimetre", "centimetres") + ".");
  std::array<std::vector<std::string>, 12> wake, fade;
  for (const ColumnResult* c : plantings_of(p)) {
    // One that grows from the season's first day never slept.
    if (c->verdict.wakes && *c->verdict.wakes > 0)
      wake[month_of(p, p.r.first + std::chrono::days{static_cast<long>(*c->verdict.wakes)})].push_back(c->name);
    const PlantingYears& y = years_of(p, c->name);
    if (const auto early = early_first_short(y); early && !mostly(y.kept, p)) fade[month_of(p, *early)].push_back(c->name);
  }
  for (std::size_t m = 0; m < year.size(); ++m)
    if (!wake[m].empty()) year[m].says.push_back(joined(wake[m]) + " may start to grow.");
  say_feeds(p, year), say_seconds(p, year), say_water(p, year);
  for (std::size_t m = 0; m < year.size(); ++m)
    if (!fade[m].empty())
      year[m].says.push_back("Look at the youngest leaves of " + joined(fade[m]) + ": in an early year they turn pale from now on.");
  return year;
}

std::string month_list(const Page& p) {
  std::string out = "<ul class=\"year\">";
  for (const Month& m : year_of_bed(p)) {
    const std::string day = to_words(month_day_of(m.first)), name = day.substr(day.find(' ') + 1);
    std::string text;
    for (const std::string& s : m.says) text += (text.empty() ? "" : " ") + s;
    out += std::string(text.empty() ? "<li class=\"idle\">" : "<li>") + element("strong", name) + " " +
           escaped_markup(text.empty() ? "Nothing to do." : text) + "</li>";
  }
  return out + "</ul>\n";
}

// The sentences that say what to do, without the source in brackets at their end.
std::string without_source(const std::string& caution) {
  const std::size_t open = caution.rfind(" (");
  return open != std::string::npos && caution.back() == ')' ? caution.substr(0, open) : caution;
}

bool raised(const Page& p, const std::string& key) {
  return std::any_of(p.r.cautions.begin(), p.r.cautions.end(), [&](const Caution& c) { return c.key == key; });
}

bool carries(const std::vector<std::string>& keys, const std::string& key) {
  return std::find(keys.begin(), keys.end(), key) != keys.end();
}

// Whose caution it is: none where it is not of this bed, nothing to name where it is of all that is fed, else feeds and plantings by name.
std::optional<std::string> whose(const Page& p, const std::string& key) {
  std::vector<std::string> feeds, with, plants;
  for (std::size_t i = 0; i < p.plan.scenario.feedings.size(); ++i) {
    const std::string title = lower_first(p.material(i).title);
    if (grams_of(p, i) <= 0 || std::find(feeds.begin(), feeds.end(), title) != feeds.end()) continue;
    feeds.push_back(title);
    if (carries(p.material(i).cautions, key)) with.push_back(title);
  }
  for (const Planting& planting : p.here().plantings)
    if (carries(p.plan.scenario.catalogue.plants.at(planting.plant).cautions, key)) plants.push_back(planting.name);
  if (with.empty() && plants.empty()) return std::nullopt;
  if (!with.empty() && with.size() == feeds.size()) return "";
  with.insert(with.end(), plants.begin(), plants.end());
  return joined(with) + ": ";
}

std::vector<std::string> cautions(const Page& p) {
  std::vector<std::string> out;
  // What the season's figures raise is told in figures that a client has no use for: the plain half of it, where it is of this bed.
  bool much = false, fed = false;
  for (std::size_t i = 0; i < p.r.columns.size(); ++i) {
    if (p.plan.columns[i].bed != p.bed) continue;
    const double given_g_m2 = p.r.columns[i].ledger.given * k_g_per_kg_ha_m2;
    fed = fed || given_g_m2 > 0, much = much || given_g_m2 > k_yearly_organic_g_m2;
  }
  const auto names_one = [&](const Caution& c) {
    return c.key == "scorch-now" && std::any_of(p.here().plantings.begin(), p.here().plantings.end(),
                                                [&](const Planting& x) { return c.words.find(x.name) != std::string::npos; });
  };
  if (std::any_of(p.r.cautions.begin(), p.r.cautions.end(), names_one))
    out.push_back("Split large doses, keep feed off stems and leaves, water it in: too much at once burns roots.");
  if (much) out.push_back("Give less: what plants cannot take is washed away, and water below the garden carries it on.");
  if (fed && raised(p, "nitrate-water"))
    out.push_back("Near a well, ditch or stream give less and later, and ask what your local rules say.");
  const std::size_t autumn = month_of(p, p.plan.scenario.site.latitude_deg < 0 ? MonthDay{3, 1} : MonthDay{9, 1});
  const bool late = std::any_of(p.r.feed_days.begin(), p.r.feed_days.end(),
                                [&](const FeedDay& d) { return grams_of(p, d.feeding) > 0 && month_of(p, d.on) >= autumn; });
  for (const Caution& c : p.r.cautions) {
    const auto of = c.key == "late-nitrogen" && late ? std::optional<std::string>("") : whose(p, c.key);
    // The catalogue's own words: the season's name a planting already.
    if (of) out.push_back(*of + without_source(p.plan.scenario.catalogue.cautions.at(c.key)));
  }
  return out;
}

std::vector<std::string> who_decides(const Page& p, bool fed) {
  std::vector<std::string> out;
  out.push_back(fed ? "The gardener: which day is wet enough to feed, when the ground is too dry, and to stop if leaves look scorched."
                    : "The gardener: when the ground is too dry, and when to look again whether feed is wanted.");
  std::string client = "The client: how lush this bed is to be and what that may cost";
  if (!fed_twice(p).empty()) client += ", and so whether the second feed is given";
  out.push_back(client + ". Tell the gardener of children, pets, hens, a well or a pond.");
  out.push_back("A vet, if an animal has eaten feed or leaves; a doctor, if a person has.");
  out.push_back("Your local rules, near water and for plants that the law restricts. This page is no advice on law or health.");
  return out;
}

std::string page_of_bed(const Page& p) {
  const Scenario& s = p.plan.scenario;
  std::string out = "<section class=\"bed\">" + element("h2", p.here().name);
  if (p.bed > 0) out += element("p", s.garden + ", plan for a year", "class=\"said\"");
  if (!p.here().plantings.empty()) {
    out += element("h3", "How it stands");
    std::vector<std::string> says;
    for (const ColumnResult* c : plantings_of(p)) says.push_back(how_it_stands(p, *c));
    out += page::list(says) + what_is_wanting(p);
  }
  out += element("h3", "The year") + month_list(p) + how_to_water(p) + element("h3", "What it costs") + cost(p);
  const auto care = cautions(p);
  if (!care.empty()) out += element("h3", "Take care") + page::list(care, "class=\"care\"");
  bool fed = false;
  for (std::size_t i = 0; i < s.feedings.size(); ++i) fed = fed || grams_of(p, i) > 0;
  return out + element("h3", "Who decides") + page::list(who_decides(p, fed)) + "</section>\n";
}

}  // namespace

std::string in_client_html(const Garden& garden, const SeasonResult& r, const LastsResult& lasts) {
  const Garden::Plan& plan = garden.plan();
  std::string out = page::opened(r.garden + ": a year in the garden, bed by bed", k_style);
  out += element("h1", r.garden + ": a year in the garden, bed by bed") + "\n";
  for (const std::string& said : {r.note, r.weather_note})
    if (!said.empty()) out += element("p", said, "class=\"said\"");
  const auto n = lasts.seasons.size();
  out += element("p",
                 "Worked out day by day with the weather of " +
                     (n == 1 ? std::to_string(lasts.seasons.front())
                             : std::to_string(n) + " years, " + std::to_string(lasts.seasons.front()) + " to " +
                                   std::to_string(lasts.seasons.back())) +
                     ". Take the dates as early, middle or late in a month: plants and weather keep no diary.",
                 "class=\"said\"");
  for (std::size_t b = 0; b < plan.scenario.beds.size(); ++b) out += page_of_bed({plan, r, lasts, b});
  return out + page::closed();
}

}  // namespace leafhunger
