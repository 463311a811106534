#include "season_words.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <map>
#include <set>

#include "dose_words.hpp"
#include "leafhunger/diary.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

constexpr double k_limit_mg_n_l = 11.3;  // 50 mg/L of nitrate, EU Directive 98/83/EC
constexpr double k_kg_ha_per_g_m2 = 10;

std::string rounded(double x) {
  if (x >= 100) return std::to_string(static_cast<long>(std::lround(x / 5) * 5));
  if (x >= 10) return std::to_string(std::lround(x));
  const double tenth = std::round(x * 10) / 10;
  return input::plain(tenth);
}

const char* per_words(Amount::Per per) {
  switch (per) {
    case Amount::Per::m2:
      return "a square metre";
    case Amount::Per::plant:
      return "a plant";
    case Amount::Per::bed:
      break;
  }
  return "in all";
}

// Which forms gave radiation and reference evapotranspiration, and on how many days of the season.
std::string words_of_evaporation(const Garden::Plan& plan, const SeasonDays& days) {
  static constexpr const char* k_dew = "Penman-Monteith with the dew point taken as the night's lowest and wind as 2 m/s";
  static constexpr const char* k_et[] = {"Penman-Monteith with measured humidity", k_dew, k_dew, "Hargreaves"};
  static constexpr const char* k_radiation[] = {"radiation as measured", "radiation from sunshine",
                                                "radiation from the day's temperature range"};
  std::map<std::string, int> count;
  for (const std::size_t i : days.season)
    ++count[std::string(k_et[static_cast<int>(plan.atmosphere.et_form[i])]) + ", " +
            k_radiation[static_cast<int>(plan.atmosphere.radiation_form[i])]];
  std::string text;
  for (const auto& [form, n] : count)
    text += (text.empty() ? "Evaporation by FAO-56: " : "; ") + form + " (" + input::counted(n, "day", "days") + ")";
  return text + ". On cool coasts the forms without humidity run 7 to 10 % high, Hargreaves 18 (Dublin 1991-2010).";
}

}  // namespace

std::string joined(const std::vector<std::string>& names) {
  std::string out;
  for (std::size_t i = 0; i < names.size(); ++i) out += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
  return out;
}

std::string lower_first(const std::string& title) {
  std::string t = title;
  if (t.size() > 1 && std::islower(static_cast<unsigned char>(t[1])))
    t[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(t[0])));
  return t;
}

std::string words_of_amount(const Scenario& s, const Material& m, const Amount& a) {
  const double grams = a.value * grams_per_measure(s, m, a.measure);
  const std::string weight = weight_of_dose(grams);
  static constexpr const char* k_one[] = {"", "", "ml", "litre", "handful", "trowel"};
  if (a.measure == Amount::Measure::grams || a.measure == Amount::Measure::kilograms) return weight;
  const std::string unit = k_one[static_cast<int>(a.measure)];
  return input::plain(a.value) + " " + unit + (a.value == 1 || unit == "ml" ? "" : "s") + " (" + weight + ")";
}

FeedingParts parts_of_feeding(const Scenario& s, const Feeding& f) {
  FeedingParts parts{lower_first(s.catalogue.materials.at(f.material).title), f.bed.empty() ? "to " + joined(f.plantings) : "over " + f.bed,
                     per_words(f.amount.per)};
  if (f.forked_in_mm > 0) parts.where += ", forked in to " + rounded(f.forked_in_mm / 10) + " cm";
  if (f.watered_in_mm > 0) parts.where += ", watered in with " + rounded(f.watered_in_mm) + " mm";
  return parts;
}

namespace {

std::string words_of(const Scenario& s, const Feeding& f, Date first, std::size_t days) {
  const Material& m = s.catalogue.materials.at(f.material);
  const auto dates = feeding_days(f, first, days);
  std::string text = to_words(f.on);
  if (dates.size() > 1) {
    const auto last = month_day_of(first + std::chrono::days{static_cast<long>(dates.back())});
    text += " and every " + std::to_string(*f.every_days) + " days to " + to_words(last);
  }
  const FeedingParts parts = parts_of_feeding(s, f);
  return text + ": " + words_of_amount(s, m, f.amount) + " " + parts.each + " of " + parts.what + " " + parts.where;
}

// The same material to some of the same ground within so many days: the feed that was planned, earlier or later than planned.
bool answers(const Feeding& done, const Feeding& planned, const std::vector<Bed>& beds) {
  if (done.material != planned.material) return false;
  const auto a = fed_by(done, beds), b = fed_by(planned, beds);
  return std::any_of(a.begin(), a.end(), [&](const std::string& n) { return b.count(n) > 0; });
}

}  // namespace

std::set<std::string> fed_by(const Feeding& feeding, const std::vector<Bed>& beds) {
  std::set<std::string> names(feeding.plantings.begin(), feeding.plantings.end());
  for (const Bed& b : beds)
    if (b.name == feeding.bed)
      for (const Planting& p : b.plantings) names.insert(p.name);
  return names;
}

std::string words_of_feeding(const Garden::Plan& plan, std::size_t i, Date first, std::size_t days) {
  return words_of(plan.scenario, plan.scenario.feedings[i], first, days);
}

std::vector<std::string> plan_against_done(const Scenario& s, int season) {
  std::vector<std::string> out;
  if (!s.followed || s.followed->season != season) return out;
  const Date first = season_first(s.site, season);
  const auto days = static_cast<std::size_t>((season_last(s.site, season) - first).count()) + 1;
  constexpr long k_apart_d = 14;  // our own guess: further apart it is another feeding
  const long until = (s.followed->until - first).count();
  const auto day = [&](long d) { return to_words(month_day_of(first + std::chrono::days{d})); };
  std::vector<char> planned_for(s.feedings.size());
  for (Feeding f : s.followed->planned)
    for (const std::size_t d : feeding_days(f, first, days)) {
      const long on = static_cast<long>(d);
      if (on > until) break;
      long given = -1;
      for (std::size_t k = 0; k < s.feedings.size(); ++k) {
        if (s.feedings[k].diary_line == 0 || !answers(s.feedings[k], f, s.beds)) continue;
        const long then = static_cast<long>(feeding_days(s.feedings[k], first, days).front());
        if (std::abs(then - on) > k_apart_d) continue;
        planned_for[k] = 1;
        if (given < 0) given = then;
      }
      Feeding once = f;
      once.on = month_day_of(first + std::chrono::days{on}), once.every_days.reset(), once.until.reset();
      out.push_back("planned " + words_of(s, once, first, days) +
                    (given < 0     ? "; not in the diary, so not counted"
                     : given == on ? "; given"
                                   : "; given " + day(given)));
    }
  for (std::size_t k = 0; k < s.feedings.size(); ++k)
    if (s.feedings[k].diary_line > 0 && !planned_for[k])
      out.push_back("given, though not planned: " + words_of(s, s.feedings[k], first, days));
  return out;
}

std::vector<std::string> words_of_feedings(const Garden::Plan& plan, Date first, std::size_t days) {
  std::vector<std::string> out;
  for (std::size_t i = 0; i < plan.scenario.feedings.size(); ++i) out.push_back(words_of_feeding(plan, i, first, days));
  return out;
}

double year_g_n_m2(const Garden::Plan& plan, const ColumnPlan& column, Date first, std::size_t days) {
  double sum = 0;
  for (const auto& g : column.given)
    sum += g.kg_material_ha * column.slot_material[g.slots[0]]->n_percent / 100 / k_kg_ha_per_g_m2 *
           static_cast<double>(feeding_days(plan.scenario.feedings[g.feeding], first, days).size());
  return sum;
}

bool late_for_nitrogen(const Site& site, MonthDay day) {
  const MonthDay last = site.latitude_deg < 0 ? MonthDay{2, 28} : MonthDay{8, 31};
  return order_in_season(site, day) > order_in_season(site, last);
}

std::vector<Caution> cautions_of(const Garden::Plan& plan, const SeasonResult& r) {
  const Scenario& s = plan.scenario;
  std::vector<Caution> out;
  std::set<std::string> seen;
  const auto say = [&](const std::string& key, const std::string& fallback) {
    if (!seen.insert(key).second) return;
    const auto it = s.catalogue.cautions.find(key);
    const std::string words = it != s.catalogue.cautions.end() ? it->second : fallback;
    if (!words.empty()) out.push_back({key, words});
  };

  // Bare ground has no root to scorch, and is named as given too much only where nothing grows that was given as much.
  std::vector<std::string> scorched, much, much_bare;
  double most_g_m2 = 0;
  for (std::size_t c = 0; c < plan.columns.size(); ++c) {
    const ColumnPlan& column = plan.columns[c];
    const double year_g_m2 = year_g_n_m2(plan, column, r.first, r.days);
    for (const auto& g : column.given) {
      const Material& m = *column.slot_material[g.slots[0]];
      const double n_g_m2 = g.kg_material_ha * m.n_percent / 100 / k_kg_ha_per_g_m2;
      if (column.planting && n_g_m2 * soluble_share(m, release_of(plan, m)) > k_scorch_g_m2) scorched.push_back(column.name);
    }
    if (year_g_m2 <= k_yearly_organic_g_m2) continue;
    (column.planting ? much : much_bare).push_back(column.name);
    most_g_m2 = std::max(most_g_m2, year_g_m2);
  }
  if (much.empty()) much = much_bare;
  if (!much.empty())
    say("yearly-limit", "Give less to " + joined(much) + ": this year's feeds bring " + (much.size() > 1 ? "up to " : "") +
                            rounded(most_g_m2) + " g of nitrogen a square metre, " + k_yearly_organic_words);
  if (!scorched.empty())
    say("scorch-now", "Split the dose, keep it off stems and leaves, water it in: " + joined(scorched) +
                          " would get more than 5 g of soluble nitrogen a square metre at once, which can scorch.");
  DrainageMonth year;
  for (const DrainageMonth& m : r.drainage) year.drained_mm += m.drained_mm, year.leached_kg_n_ha += m.leached_kg_n_ha;
  if (r.given_g > 0 && year.mg_n_per_l() > k_limit_mg_n_l)
    say("nitrate-water",
        "Near a well, ditch or stream give less and later, and ask what your local rules say: what drains below the roots carries " +
            rounded(year.mg_n_per_l()) +
            " mg of nitrate nitrogen a litre. Drinking water may hold 11.3, that is 50 mg/L of nitrate (EU Directive 98/83/EC).");
  for (const Feeding& f : s.feedings)
    if (late_for_nitrogen(s.site, f.until.value_or(f.on))) say("late-nitrogen", "");
  for (const Feeding& f : s.feedings)
    for (const std::string& key : s.catalogue.materials.at(f.material).cautions)
      if (key != "scorch") say(key, "");
  // What a plant raises begins with whose it is: of a garden's many plantings the words alone name none.
  std::vector<std::string> keys;
  std::map<std::string, std::vector<std::string>> whose;
  for (const ColumnPlan& column : plan.columns) {
    if (!column.plant) continue;
    for (const std::string& key : column.plant->cautions) {
      if (seen.count(key) > 0) continue;
      if (whose[key].empty()) keys.push_back(key);
      whose[key].push_back(column.name);
    }
  }
  for (const std::string& key : keys) out.push_back({key, joined(whose[key]) + ": " + s.catalogue.cautions.at(key)});
  return out;
}

std::vector<std::string> notes_of(const Garden::Plan& plan, const SeasonDays& days) {
  const Scenario& s = plan.scenario;
  std::vector<std::string> notes = s.notes;
  notes.insert(notes.end(), s.weather.notes.begin(), s.weather.notes.end());
  if (days.spun_on_own_year)
    notes.push_back("The weather begins too late to warm up on the year before, so the season's own first year was run twice.");
  bool mulch = false, pot = false, fed_mulch = false;
  for (const Bed& b : s.beds) mulch = mulch || b.mulch.depth_mm > 0, pot = pot || b.soil.container;
  notes.push_back(words_of_evaporation(plan, days));
  notes.push_back("Each planting feeds from its own ground; neither water nor nitrogen moves sideways between them in this version.");
  if (mulch)
    notes.push_back(
        "The mulch of a bed keeps its depth all season and only shields the soil. To count what a mulch frees or ties up, and how it "
        "shrinks, "
        "give it as a feeding of a bulky material.");
  for (const ColumnPlan& column : plan.columns)
    for (std::size_t k = 0; k < column.materials.size(); ++k)
      fed_mulch = fed_mulch || (column.materials[k].bulky && column.shape.slots[k].forked_mm <= 0);
  if (fed_mulch)
    notes.push_back(
        "Bulky feeds left on top shield the soil by what is left of them; those of the year before are not counted as still there.");
  if (pot) notes.push_back("Wash-out of pots is reckoned as in soil and has not been tested against measurements.");
  notes.push_back("Surface feed that run-off might carry away is not reckoned.");
  return notes;
}

}  // namespace leafhunger
