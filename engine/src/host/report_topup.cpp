// Top-ups in words and as JSON: the schedule to take, what else trades one aim for another, and what was searched.
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <tuple>

#include "dose_words.hpp"
#include "leafhunger/report.hpp"
#include "lines.hpp"
#include "season_words.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using Json = nlohmann::ordered_json;
using lines::fixed;
using lines::padded;
using lines::right;
using lines::wrapped;

std::string number_word(int n) {
  static constexpr const char* k_words[] = {"no",    "one",   "two",  "three", "four",   "five",  "six",
                                            "seven", "eight", "nine", "ten",   "eleven", "twelve"};
  return n >= 0 && n <= 12 ? k_words[n] : std::to_string(n);
}

std::string trips_words(int n) { return number_word(n) + (n == 1 ? " trip" : " trips"); }

std::string in_years(int k, std::size_t n) { return std::to_string(k) + " of " + std::to_string(n); }

std::string share_words(const YearsShare& s) {
  if (s.of == s.in) return "every year";
  return std::to_string(s.of) + (s.of == 1 ? " year of " : " years of ") + std::to_string(s.in);
}

std::string dose_words(const TopUpPoint& p, const TopUpResult& r) {
  const TopUpResult::Feed& feed = r.feed(p.material_id);
  return in_hand_and_scale(p.dose_g_per_plant, feed.handful_g, 0) + (r.feeds.size() > 1 ? " of " + lower_first(feed.title) : "") +
         " a plant";
}

// "every 70 days from 15 May", "once, on 15 May".
template <class Point>
std::string dates_words(const Point& p) {
  if (p.top_ups == 1) return "once, on " + to_words(p.first);
  return "every " + std::to_string(p.interval_d) + (p.interval_d == 1 ? " day from " : " days from ") + to_words(p.first);
}

template <class Point>
std::string how_often_words(const Point& p) {
  if (p.trips == p.top_ups) return trips_words(p.trips);
  return number_word(p.top_ups) + (p.top_ups == 1 ? " top-up" : " top-ups") + " but " + trips_words(p.trips) +
         " more, since the garden is fed on the other days anyway";
}

std::string best_words(const PlantingTopUp& p, const TopUpResult& r) {
  const std::size_t n = r.seasons.size();
  const TopUpPoint& b = *p.best;
  std::string text = dates_words(b) + ", " + dose_words(b, r) + ", " + how_often_words(b) + ": " + r.currency + fixed(b.cost, 2) +
                     " a season. Keeps it in " + in_years(b.kept, n) + " years, against " + std::to_string(p.kept_without) + " without";
  // Custom's dose is that of the best; whether it does is weighed by the share of years that was asked for.
  const std::string custom = p.custom_interval_d == 28 ? "four" : "six";
  if (b.interval_d == p.custom_interval_d) return text + ". Every " + custom + " weeks is a custom.";
  return text + ". Every " + custom + " weeks, the nearer custom, would keep it in " + std::to_string(p.custom_kept) +
         (p.custom_kept < r.years_wanted ? ", which is too few."
          : p.custom_kept == b.kept      ? " too."
                                         : ".");
}

std::string nothing_words(const PlantingTopUp& p, const TopUpResult& r) {
  const std::size_t n = r.seasons.size();
  const std::string wanted = in_years(r.years_wanted, n) + " years";
  if (!p.nearest) return "every dose tried could scorch: try smaller ones with --doses.";
  const TopUpPoint& b = *p.nearest;
  const std::string it = dose_words(b, r) + " " + dates_words(b);
  switch (p.gives) {
    case TopUpGives::leached:
      return "nothing tried keeps it in " + wanted + " within the limit. What washes out least and keeps it, " + it + ", lets " +
             fixed(b.leached_g_n_m2, 1) + " g of nitrogen a square metre go in a season; " + input::plain(r.asked.leached_at_most_g_n_m2) +
             " is allowed, and " + fixed(p.leached_without_g_n_m2, 1) + " goes as it is.";
    case TopUpGives::scorch:
      return "only doses that could scorch keep it in " + wanted + ": " + it + ", " + fixed(b.soluble_g_n_m2, 1) +
             " g of soluble nitrogen a square metre at once. Split them: try shorter --intervals, or a slower feed.";
    case TopUpGives::years:
    case TopUpGives::nothing:
      break;
  }
  return "nothing tried keeps it in " + wanted + "; the best, " + it + ", in " + std::to_string(b.kept) +
         ". Water or warmth may be the limit: `leafhunger season` says.";
}

// Points one a line, for a person to weigh.
std::string front_words(const std::vector<TopUpPoint>& front, const TopUpResult& r) {
  std::string out = "      trips  every      from           g a plant     cost  washed out  kept\n";
  for (const TopUpPoint& p : front) {
    out += "      " + padded(std::to_string(p.trips), 7) + padded(p.top_ups == 1 ? "once" : std::to_string(p.interval_d) + " days", 11) +
           padded(to_words(p.first), 14) + right(fixed(p.dose_g_per_plant, p.dose_g_per_plant < 10 ? 1 : 0), 10) +
           right(r.currency + fixed(p.cost, 2), 9) + right(fixed(p.leached_g_n_m2, 2), 12) + right(std::to_string(p.kept), 6) + "\n";
    if (r.feeds.size() > 1) out += "             " + lower_first(r.feed(p.material_id).title) + "\n";
  }
  return out;
}

// The whole grid of one planting: intervals down, doses across, years kept inside.
std::string grid_words(const PlantingTopUp& p, const TopUpResult& r) {
  const auto key = [](const TopUpPoint& x) { return std::tuple(x.material_id, x.first_after_d, x.until); };
  std::string out;
  for (std::size_t at = 0; at < p.grid.size();) {
    std::size_t end = at;
    while (end < p.grid.size() && key(p.grid[end]) == key(p.grid[at])) ++end;
    const auto doses = r.feed(p.grid[at].material_id).doses_g_per_plant;
    if (at > 0) out += "\n";
    if (end - at < p.grid.size())
      out += wrapped("      ",
                     lower_first(r.feed(p.grid[at].material_id).title) + ", from " + to_words(p.grid[at].first) + " to " +
                         to_words(p.grid[at].until) + " at the latest",
                     6);
    constexpr std::size_t k_in_a_row = 7;
    for (std::size_t from = 0; from < doses.size(); from += k_in_a_row) {
      const std::size_t to = std::min(doses.size(), from + k_in_a_row);
      out += "      " + padded("every", 10);
      for (std::size_t k = from; k < to; ++k) out += right(fixed(doses[k], 0) + " g", 8);
      out += "\n";
      for (std::size_t row = at; row < end; row += doses.size()) {
        out += "      " + padded(std::to_string(p.grid[row].interval_d) + " days", 10);
        for (std::size_t k = from; k < to; ++k) {
          const TopUpPoint& g = p.grid[row + k];
          out += right(std::to_string(g.kept) + (g.scorches ? "!" : g.keeps ? "*" : " "), 8);
        }
        while (out.back() == ' ') out.pop_back();
        out += "\n";
      }
    }
    at = end;
  }
  return out;
}

std::string aims_words(const std::vector<Aim>& aims) {
  const auto words = [](Aim aim) { return aim == Aim::cost ? "lowest cost" : aim == Aim::trips ? "fewest trips" : "least washed out"; };
  return std::string(words(aims[0])) + " first, then " + words(aims[1]) + ", then " + words(aims[2]);
}

std::string times(std::size_t n, const char* one, const char* many) { return input::counted(static_cast<long>(n), one, many); }

// What was searched, and why most of it needed no run to the end.
std::string searched_words(const TopUpResult& r) {
  const TopUpSearched& s = r.searched;
  const TopUpQuestion& q = r.asked;
  if (s.schedules == 0) return "";
  std::size_t doses = 0;
  for (const auto& f : r.feeds) doses += f.doses_g_per_plant.size();
  std::string grid = times(q.intervals_d.size(), "interval", "intervals") + " x " + times(doses, "dose", "doses");
  if (r.feeds.size() > 1) grid += " of " + times(r.feeds.size(), "feed", "feeds");
  if (q.first_after_d.size() > 1) grid += " x " + times(q.first_after_d.size(), "first day", "first days");
  if (q.until.size() > 1) grid += " x " + times(q.until.size(), "last day", "last days");
  std::string text = "Of " + times(s.schedules, "schedule", "schedules") + " (" + grid + ", for each planting that needs any), ";
  std::vector<std::string> parts;
  const auto part = [&](std::size_t n, const char* one, const char* many) {
    if (n > 0) parts.push_back(times(n, one, many));
  };
  part(s.same_dates, "comes to the same days as another", "come to the same days as another");
  part(s.scorching, "could scorch", "could scorch");
  part(s.short_too_often, "falls short in too many years", "fall short in too many years");
  part(s.washing, "washes out too much", "wash out too much");
  if (q.together)
    part(s.beaten, "is dearer than what does on the same days", "are dearer than what does on the same days");
  else
    part(s.beaten, "is beaten in cost, trips and wash-out by another", "are beaten in cost, trips and wash-out by another");
  part(s.left, "is left", "are left");
  text += joined(parts) + ". ";
  if (q.every_point) return text + "All " + std::to_string(s.seasons_asked) + " seasons were run to their end.";
  const std::string run = s.seasons_run == s.seasons_asked ? "all " + std::to_string(s.seasons_run)
                                                           : in_years(static_cast<int>(s.seasons_run), s.seasons_asked);
  return text + "That is exact: " + run + " seasons had to be run to know.";
}

std::string together_words(const TopUpResult& r, bool more) {
  const TogetherTopUp& t = *r.together;
  std::string out;
  if (t.best) {
    const GardenTopUp& b = *t.best;
    std::string text = dates_words(b) + ", " + how_often_words(b) + ": " + r.currency + fixed(b.cost, 2) + " a season.";
    text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
    out += wrapped("  ", text, 2);
    for (std::size_t i = 0; i < b.points.size(); ++i) {
      const PlantingTopUp& p = r.plantings[b.of[i]];
      out += wrapped("  " + p.name + ": ",
                     dose_words(b.points[i], r) + ". Keeps it in " + in_years(b.points[i].kept, r.seasons.size()) + " years, against " +
                         std::to_string(p.kept_without) + " without.",
                     4);
    }
  } else {
    bool any = false;
    for (const PlantingTopUp& p : r.plantings) any = any || !p.needs_none;
    if (!any)
      out += "";
    else if (t.blocked.empty())
      out += wrapped("  ", "No one calendar keeps all of them, though each has one that would: leave --together out.", 2);
    for (const std::size_t i : t.blocked) out += wrapped("  " + r.plantings[i].name + ": ", nothing_words(r.plantings[i], r), 4);
    if (!t.blocked.empty()) out += wrapped("  ", "So no calendar does for all: leave these out with --plantings.", 2);
  }
  for (const PlantingTopUp& p : r.plantings)
    if (p.needs_none)
      out += wrapped("  " + p.name + ": ",
                     "needs no top-up: the feed it has keeps it in " + in_years(p.kept_without, r.seasons.size()) + " years.", 4);
  if (more && t.front.size() > 1) {
    out += "\n      trips  every      from               cost  washed out\n";
    for (const GardenTopUp& g : t.front)
      out += "      " + padded(std::to_string(g.trips), 7) + padded(g.top_ups == 1 ? "once" : std::to_string(g.interval_d) + " days", 11) +
             padded(to_words(g.first), 14) + right(r.currency + fixed(g.cost, 2), 9) + right(fixed(g.leached_g_n_m2, 2), 12) + "\n";
  }
  return out;
}

Json point_json(const TopUpPoint& p) {
  return {{"material", p.material_id},
          {"interval_d", p.interval_d},
          {"dose_g_per_plant", p.dose_g_per_plant},
          {"first_after_d", p.first_after_d},
          {"first", to_iso(p.first)},
          {"last", to_iso(p.last)},
          {"until", to_iso(p.until)},
          {"top_ups", p.top_ups},
          {"trips", p.trips},
          {"kept_years", p.kept},
          {"keeps", p.keeps},
          {"scorches", p.scorches},
          {"soluble_g_n_m2", p.soluble_g_n_m2},
          {"leached_g_n_m2", p.leached_g_n_m2},
          {"cost", p.cost}};
}

Json points_json(const std::vector<TopUpPoint>& points) {
  Json out = Json::array();
  for (const TopUpPoint& p : points) out.push_back(point_json(p));
  return out;
}

Json searched_json(const TopUpSearched& s) {
  return {{"schedules", s.schedules},    {"same_dates", s.same_dates}, {"scorching", s.scorching}, {"short_too_often", s.short_too_often},
          {"washing", s.washing},        {"beaten", s.beaten},         {"left", s.left},           {"seasons_asked", s.seasons_asked},
          {"seasons_run", s.seasons_run}};
}

Json garden_json(const GardenTopUp& g, const TopUpResult& r) {
  Json points = Json::array();
  for (std::size_t i = 0; i < g.points.size(); ++i) {
    Json p = point_json(g.points[i]);
    p["planting"] = r.plantings[g.of[i]].name;
    points.push_back(std::move(p));
  }
  return {{"interval_d", g.interval_d},
          {"first_after_d", g.first_after_d},
          {"first", to_iso(g.first)},
          {"last", to_iso(g.last)},
          {"until", to_iso(g.until)},
          {"top_ups", g.top_ups},
          {"trips", g.trips},
          {"cost", g.cost},
          {"leached_g_n_m2", g.leached_g_n_m2},
          {"plantings", points}};
}

Json asked_json(const TopUpResult& r) {
  const TopUpQuestion& q = r.asked;
  Json materials = Json::array(), until = Json::array(), prefer = Json::array();
  for (const auto& f : r.feeds)
    materials.push_back({{"id", f.id}, {"title", f.title}, {"handful_g", f.handful_g}, {"doses_g_per_plant", f.doses_g_per_plant}});
  for (const MonthDay d : q.until) until.push_back(to_iso(d));
  for (const Aim aim : q.prefer) prefer.push_back(name_of(aim));
  return {{"materials", materials},
          {"intervals_d", q.intervals_d},
          {"first_after_d", q.first_after_d},
          {"until", until},
          {"together", q.together},
          {"prefer", prefer},
          {"years", {{"of", q.share.of}, {"in", q.share.in}}},
          {"may_scorch", q.may_scorch},
          {"leached_at_most_g_n_m2", std::isfinite(q.leached_at_most_g_n_m2) ? Json(q.leached_at_most_g_n_m2) : Json()}};
}

}  // namespace

std::string in_words(const TopUpResult& r, bool more) {
  const std::size_t n = r.seasons.size();
  std::string feeds;
  for (std::size_t i = 0; i < r.feeds.size(); ++i)
    feeds += (i == 0 ? "" : i + 1 == r.feeds.size() ? " or " : ", ") + lower_first(r.feeds[i].title);
  const std::string who = r.asked.plantings.empty() ? "the hungry ones" : r.asked.plantings.size() == 1 ? r.asked.plantings[0] : "these";
  std::string out = lines::headed(r.garden + ". How far apart may top-ups of " + feeds + " be, to carry " + who + " to " +
                                      to_words(r.carry_to) + " in " + share_words(r.asked.share) + "?",
                                  r.note, r.weather_note);
  if (more) {
    for (const std::string& f : r.feed_words) out += wrapped("  as it is, ", f, 4);
    out += "\n";
  }
  std::size_t others = 0;
  if (r.together) {
    out += together_words(r, more);
    others = r.together->front.empty() ? 0 : r.together->front.size() - 1;
  } else {
    for (const PlantingTopUp& p : r.plantings) {
      std::string text;
      if (p.needs_none) {
        text = "needs no top-up: the feed it has keeps it in " + in_years(p.kept_without, n) + " years.";
      } else {
        text = p.best ? best_words(p, r) : nothing_words(p, r);
      }
      out += wrapped("  " + p.name + ": ", text, 4);
      if (p.front.size() > 1) others += p.front.size() - 1;
      if (more && p.front.size() > 1) out += '\n' + front_words(p.front, r) + '\n';
      if (more && !p.grid.empty() && !p.needs_none) out += '\n' + grid_words(p, r) + '\n';
    }
  }
  if (r.stopped)
    out += wrapped("  ",
                   "Stopped: " + std::to_string(r.plantings.size()) + " of " + times(r.plantings_asked, "planting", "plantings") +
                       " had been answered.",
                   2);
  if (r.plantings.empty()) return out;
  out += '\n';
  std::string last;
  if (r.asked.until.size() == 1) last = ", no top-up after " + to_words(r.asked.until[0]);
  const bool any_custom = std::any_of(r.plantings.begin(), r.plantings.end(), [](const auto& p) { return p.custom_interval_d > 0; });
  const std::string customs = any_custom ? "Custom is every four weeks or every six. " : "";
  out += wrapped("  ",
                 std::string(r.together ? "One calendar for all, each with the cheapest dose that keeps it" : "Each planting by itself") +
                     ", on top of the feeding in the file" + last + "; " + aims_words(r.asked.prefer) + ". " + customs + "Weather of " +
                     std::to_string(r.seasons.front()) + " to " + std::to_string(r.seasons.back()) + ".",
                 2);
  if (more) {
    const std::string searched = searched_words(r);
    if (!searched.empty()) out += wrapped("  ", searched, 2);
    if (others > 0)
      out += wrapped(
          "  ", "Washed out: g of nitrogen a square metre in a season, from all there is. Kept: years of " + std::to_string(n) + ".", 2);
    if (r.asked.every_point)
      out += wrapped("  ",
                     "Figures: years kept of " + std::to_string(n) +
                         ". * enough, ! more than 5 g of soluble nitrogen a square metre at once, which can scorch.",
                     2);
  } else if (others > 0) {
    out += wrapped(
        "  ", times(others, "other schedule trades", "other schedules trade") + " one of these for another, and what was searched: --more",
        2);
  } else {
    out += "  What was searched: --more\n";
  }
  if (!r.cautions.empty()) out += '\n';
  for (const Caution& c : r.cautions) {
    const std::size_t end = c.words.find(". ");
    out += wrapped("  ! ", end == std::string::npos ? c.words : c.words.substr(0, end + 1), 4);
  }
  return out;
}

std::string in_json(const TopUpResult& r) {
  Json plantings = Json::array(), cautions = Json::array();
  for (const PlantingTopUp& p : r.plantings) {
    Json j = {{"name", p.name},
              {"count", p.count},
              {"area_m2", p.area_m2},
              {"kept_years_without", p.kept_without},
              {"leached_without_g_n_m2", p.leached_without_g_n_m2},
              {"needs_none", p.needs_none},
              {"best", p.best ? point_json(*p.best) : Json()},
              {"front", points_json(p.front)},
              {"custom", p.best ? Json{{"interval_d", p.custom_interval_d}, {"kept_years", p.custom_kept}} : Json()},
              {"nearest", p.nearest ? point_json(*p.nearest) : Json()},
              {"what_would_have_to_give", p.gives == TopUpGives::nothing ? Json() : Json(name_of(p.gives))}};
    if (r.asked.every_point) j["grid"] = points_json(p.grid);
    j["searched"] = searched_json(p.searched);
    plantings.push_back(std::move(j));
  }
  for (const Caution& c : r.cautions) cautions.push_back({{"key", c.key}, {"words", c.words}});
  Json together;
  if (r.together) {
    Json front = Json::array(), blocked = Json::array();
    for (const GardenTopUp& g : r.together->front) front.push_back(garden_json(g, r));
    for (const std::size_t i : r.together->blocked) blocked.push_back(r.plantings[i].name);
    together = {{"best", r.together->best ? garden_json(*r.together->best, r) : Json()},
                {"front", front},
                {"blocked_by", blocked},
                {"calendars", r.together->calendars}};
  }
  const Json out = {{"format", 1},
                    {"garden", r.garden},
                    {"note", r.note},
                    {"weather_note", r.weather_note},
                    {"currency", r.currency},
                    {"asked", asked_json(r)},
                    {"carry_to", to_iso(r.carry_to)},
                    {"seasons", r.seasons},
                    {"years_wanted", r.years_wanted},
                    {"feedings", r.feed_words},
                    {"plantings", plantings},
                    {"together", together},
                    {"searched", searched_json(r.searched)},
                    {"stopped", r.stopped},
                    {"cautions", cautions},
                    {"notes", r.notes}};
  return out.dump(2) + "\n";
}

std::string in_csv(const TopUpResult& r) {
  std::string out =
      "planting,material,interval_d,dose_g_per_plant,first,last,until,top_ups,trips,cost,leached_g_n_m2,soluble_g_n_m2,kept_years,keeps,"
      "scorches\n";
  const auto row = [&](const std::string& planting, const TopUpPoint& p) {
    out += input::csv_cell(planting) + ',' + input::csv_cell(p.material_id);
    for (const std::string& cell :
         {std::to_string(p.interval_d), input::plain(p.dose_g_per_plant), to_iso(p.first), to_iso(p.last), to_iso(p.until),
          std::to_string(p.top_ups), std::to_string(p.trips), input::plain(p.cost), input::plain(p.leached_g_n_m2),
          input::plain(p.soluble_g_n_m2), std::to_string(p.kept), std::string(p.keeps ? "1" : "0"), std::string(p.scorches ? "1" : "0")})
      out += ',' + cell;
    out += '\n';
  };
  for (const PlantingTopUp& p : r.plantings)
    for (const TopUpPoint& point : r.asked.every_point ? p.grid : p.front) row(p.name, point);
  if (r.together)
    for (const GardenTopUp& g : r.together->front)
      for (std::size_t i = 0; i < g.points.size(); ++i) row(r.plantings[g.of[i]].name, g.points[i]);
  return out;
}

}  // namespace leafhunger
