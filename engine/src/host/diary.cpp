#include "leafhunger/diary.hpp"

#include <algorithm>
#include <filesystem>
#include <map>
#include <sstream>
#include <utility>

#include "host/append_file.hpp"
#include "host/garden_plan.hpp"
#include "host/text_file.hpp"
#include "host/words.hpp"
#include "leafhunger/common_names.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/spoken_amount.hpp"

namespace leafhunger {
namespace {

using input::in_quotes;

constexpr std::uint64_t k_most_bytes = 1 << 20;
constexpr int k_last_year = 2099;    // a diary beyond that is a slip of the pen
constexpr double k_watered_mm = 10;  // a can of 10 l on a square metre: common practice, no source
constexpr const char* k_form = "a line such as \"2023-05-16; Bananas; chicken pellets; 2 handfuls each; watered\"";

std::string trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\r");
  if (first == std::string_view::npos) return {};
  return std::string(text.substr(first, text.find_last_not_of(" \t\r") + 1 - first));
}

// Where the parts of a line stand, for the sentence about one that is wrong.
struct Places {
  std::string file, on, target, material, amount, watered;
};
Places on_line(const std::string& file, std::size_t line) {
  const std::string place = "line " + std::to_string(line);
  return {file, place, place, place, place, place};
}

const Bed* bed_named(const Scenario& s, const std::string& name) {
  for (const Bed& b : s.beds)
    if (b.name == name) return &b;
  return nullptr;
}

const Planting* planting_named(const Scenario& s, const std::string& name) {
  for (const Bed& b : s.beds)
    for (const Planting& p : b.plantings)
      if (p.name == name) return &p;
  return nullptr;
}

Date read_day(const Scenario& s, const std::string& text, const Places& at) {
  const auto day = parse_date(text);
  if (!day)
    throw InputError(
        {at.file, at.on, in_quotes(text), "a day as YYYY-MM-DD, such as 2023-05-16", "year first, two digits each for month and day"});
  // After its end is well: what was given this year is written down before its weather is, and `due` does without.
  if (*day < s.weather.first || year_of(*day) > k_last_year)
    throw InputError({at.file, at.on, to_iso(*day) + (*day < s.weather.first ? ", a day before the weather" : ", a day too far ahead"),
                      "a day from " + to_iso(s.weather.first) + ", with which " +
                          (s.weather_file.empty() ? std::string("the weather") : in_quotes(s.weather_file)) + " begins, to " +
                          std::to_string(k_last_year),
                      "correct the day, or add to the weather"});
  return *day;
}

void read_target(const Scenario& s, const std::string& text, const Places& at, Feeding& f) {
  if (planting_named(s, text)) {
    f.plantings = {text};
  } else if (bed_named(s, text)) {
    f.bed = text;
  } else {
    std::vector<std::string> names;
    for (const Bed& b : s.beds) {
      for (const Planting& p : b.plantings) names.push_back(p.name);
      names.push_back(b.name);
    }
    const std::string near = nearest_name(text, names);
    throw InputError({at.file, at.target, in_quotes(text) + ", which the garden does not have", input::one_of(names, 30),
                      near.empty() ? "a planting that was given another name in the scenario needs it here too"
                                   : "did you mean " + in_quotes(near) + "? A planting that was renamed needs its new name here too"});
  }
}

// In measures that a Feeding has: per plant, per square metre or per bed.
Amount read_amount(const Scenario& s, const std::string& text, const Places& at, const Feeding& f) {
  const Material& m = s.catalogue.materials.at(f.material);
  const SpokenAmount said = parse_amount(text, m.bag_kg, {at.file, at.amount});
  using For = SpokenAmount::For;
  const auto refuse = [&](const std::string& found, const char* allowed, const char* hint) {
    throw InputError({at.file, at.amount, found, allowed, hint});
  };
  Amount a{said.value, said.measure, Amount::Per::m2};
  if (said.per == For::m2) return a;
  if (!f.bed.empty()) {
    if (said.per == For::plant)
      refuse(in_quotes(text) + " for a bed", "\"per m2\" or \"in all\" after the amount", "name a planting, or say it for the whole bed");
    if (said.per == For::unsaid)
      refuse(in_quotes(text) + ", which does not say for what", "\"per m2\" or \"in all\" after it",
             "say whether that is for each square metre or for the whole bed");
    a.per = Amount::Per::bed;
    return a;
  }
  const int count = planting_named(s, f.plantings[0])->count;
  if (said.per == For::unsaid && count > 1)
    refuse(in_quotes(text) + ", which does not say whether each of the " + std::to_string(count) + " plants got it",
           "\"each\", \"in all\" or \"per m2\" after it", "say for what");
  a.per = Amount::Per::plant;
  if (said.per == For::all) a.value /= count;
  return a;
}

double read_watered(const std::string& text, const Places& at) {
  if (text.empty()) return 0;
  std::istringstream words(text);
  std::string word, unit, rest;
  double mm = k_watered_mm;
  const bool plain = words >> word && word == "watered" && !(words >> std::ws, words.peek() != EOF);
  const bool counted = !plain && word == "watered" && words >> mm >> unit && unit == "mm" && !(words >> rest) && mm > 0 && mm <= 100;
  if (!plain && !counted)
    throw InputError({at.file, at.watered, in_quotes(text), "\"watered\", or \"watered 5 mm\" (at most 100)",
                      "10 litres on a square metre are 10 mm; leave it out where nothing was watered in"});
  return mm;
}

DiaryLine read_parts(const Scenario& s, const std::vector<std::string>& part, const Places& at) {
  DiaryLine out;
  out.on = read_day(s, part[0], at);
  Feeding& f = out.feeding;
  f.on = month_day_of(out.on);
  read_target(s, part[1], at, f);
  f.material = material_called(s.catalogue, part[2], at.file, at.material);
  f.amount = read_amount(s, part[3], at, f);
  f.watered_in_mm = part.size() > 4 ? read_watered(part[4], at) : 0;
  return out;
}

std::vector<std::string> parts_of(std::string_view text) {
  std::vector<std::string> parts;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t end = std::min(text.find(';', at), text.size());
    parts.push_back(trimmed(text.substr(at, end - at)));
    at = end + 1;
  }
  return parts;
}

// What makes two lines the same, however they are spaced or spelt.
auto key_of(const DiaryLine& l) {
  const Feeding& f = l.feeding;
  return std::tuple(l.on, f.bed, f.plantings, f.material, f.amount.measure, f.amount.value, f.amount.per);
}

Diary read_text(const std::string& text, const std::string& path, const Scenario& s) {
  Diary d;
  d.file = path;
  std::istringstream in(text);
  std::string raw;
  std::map<decltype(key_of({})), std::size_t> seen;
  for (std::size_t n = 1; std::getline(in, raw); ++n) {
    const std::string line = trimmed(std::string_view(raw).substr(0, raw.find('#')));
    if (line.empty()) continue;
    if (!input::is_utf8(line))
      throw InputError({path, "line " + std::to_string(n), "bytes that are no UTF-8", "text in UTF-8", "save the file as UTF-8"});
    const auto parts = parts_of(line);
    if (parts.size() < 4 || parts.size() > 5)
      throw InputError(
          {path, "line " + std::to_string(n), in_quotes(line), k_form, "day; planting or bed; material; amount, with semicolons between"});
    DiaryLine l = read_parts(s, parts, on_line(path, n));
    l.line = l.feeding.diary_line = n;
    const auto [first, fresh] = seen.emplace(key_of(l), n);
    if (!fresh)
      throw InputError({path, "line " + std::to_string(n), "what line " + std::to_string(first->second) + " says already",
                        "each feeding once", "delete one of the two; where it was given twice that day, write the sum in one line"});
    if (!d.lines.empty() && l.on < d.lines.back().on)
      d.notes.push_back(path + ", line " + std::to_string(n) + ": " + to_iso(l.on) + " stands after " + to_iso(d.lines.back().on) +
                        "; the diary is read by date all the same.");
    d.lines.push_back(std::move(l));
  }
  std::stable_sort(d.lines.begin(), d.lines.end(), [](const DiaryLine& a, const DiaryLine& b) { return a.on < b.on; });
  return d;
}

}  // namespace

std::string diary_path(const std::string& scenario_path) {
  std::filesystem::path p(scenario_path);
  p.replace_extension(".diary.txt");
  return p.string();
}

std::optional<Diary> read_diary(const std::string& path, const Scenario& scenario) {
  std::error_code failed;
  if (!std::filesystem::exists(path, failed)) return std::nullopt;
  return read_text(input::read_text_file(path, "a diary (text)", k_most_bytes), path, scenario);
}

std::string add_to_diary(const std::string& path, const Scenario& s, const Fed& fed) {
  std::vector<std::string> part{fed.on, fed.target, fed.material, fed.amount};
  constexpr const char* k_option[] = {"DATE", "PLANTING", "MATERIAL", "AMOUNT"};
  for (std::size_t k = 0; k < part.size(); ++k)
    if (part[k].find_first_of(";#\n\r") != std::string::npos)
      throw InputError(
          {"", k_option[k], in_quotes(part[k]), "text without a semicolon, a # or a line's end", "these part the diary's lines"});
  const DiaryLine l = read_parts(s, part, {"", k_option[0], k_option[1], k_option[2], k_option[3], ""});
  std::string line = to_iso(l.on) + "; " + fed.target + "; " + l.feeding.material + "; " + trimmed(fed.amount);
  if (fed.watered) line += "; watered";
  append_line(path, "# What was given, a line a feeding: day; planting or bed; material; amount; watered. Delete a line to take it back.\n",
              line, k_most_bytes, [&](const std::string& text) { read_text(text, path, s); });  // the same line twice, and what stood there
  return line;
}

Scenario with_diary(Scenario s, const Diary& diary, int season, std::optional<Date> known_to) {
  s.notes.insert(s.notes.end(), diary.notes.begin(), diary.notes.end());
  const Date first = season_first(s.site, season), last = season_last(s.site, season);
  std::vector<Feeding> done;
  Date until = first;
  for (const DiaryLine& l : diary.lines) {
    if (l.on < first || l.on > last || (known_to && l.on > *known_to)) continue;
    done.push_back(l.feeding);
    until = std::max(until, l.on);
  }
  if (done.empty()) return s;
  if (known_to) until = std::max(until, std::min(*known_to, last));
  const auto days = static_cast<std::size_t>((last - first).count()) + 1;
  s.followed = Followed{diary.file, season, until, s.feedings};
  for (Feeding f : s.followed->planned) {
    const auto dates = feeding_days(f, first, days);
    const auto next =
        std::find_if(dates.begin(), dates.end(), [&](std::size_t d) { return first + std::chrono::days{static_cast<long>(d)} > until; });
    if (next == dates.end()) continue;
    f.on = month_day_of(first + std::chrono::days{static_cast<long>(*next)});
    done.push_back(f);
  }
  s.feedings = std::move(done);
  return s;
}

Scenario follow_diary(Scenario s, std::optional<int> season, std::optional<Date> today) {
  const auto diary = read_diary(diary_path(s.file), s);
  if (!diary) return s;
  const int asked = today ? season_of(s.site, *today) : season.value_or(s.question.season);
  return with_diary(std::move(s), *diary, asked, today);
}

}  // namespace leafhunger
