// The dose that would do, in words, as JSON and as a picture.
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "figure_svg.hpp"
#include "leafhunger/enough.hpp"
#include "leafhunger/error.hpp"
#include "lines.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using Json = nlohmann::ordered_json;
using lines::fixed;
using lines::padded;
using lines::right;
using lines::wrapped;

std::string years_words(int k, std::size_t n) { return std::to_string(k) + " of " + std::to_string(n); }

// A multiple as a person says it, to a sixteenth.
std::string times(double m) {
  if (m == 1) return "the same";
  if (m == 0.5) return "half";
  if (m == 2) return "twice";
  return "about " + input::plain(std::ceil(m * 10 - 1e-9) / 10) + " times";
}

std::string limit_words(const PlantingEnough& p, std::size_t n) {
  const std::string so = " (then " + years_words(p.kept_without_limit, n) + " years)";
  if (p.limit == "warmth") return "cold soil is the limit: in warmer soil that dose would do more" + so + ".";
  if (p.limit == "water") return "dry soil is the limit: keep it moist and that dose would do more" + so + ".";
  if (p.limit == "waiting") return "it comes too slowly: give a quicker feed, or this one earlier, or top up" + so + ".";
  if (p.limit == "distance") return "its roots do not reach it all: give it nearer, or in several doses" + so + ".";
  if (p.limit == "washing") return "too much is washed below the roots: give it in several doses" + so + ".";
  if (p.limit == "air") return "too much is lost to the air: fork or water it in" + so + ".";
  return "nothing that was taken away would help: a single dose is not the way, see `leafhunger topup`.";
}

std::string answer(const PlantingEnough& p, const EnoughResult& r) {
  const std::size_t n = r.seasons.size();
  if (p.enough) return "what it gets is enough, in " + years_words(p.kept, n) + " years.";
  if (p.smallest) {
    const EnoughPoint& e = *p.smallest;
    std::string text = times(e.multiple) + " the spring dose, " + fixed(e.multiple * p.dose_g_per_plant, 0) + " g a plant on " +
                       to_words(p.on) + ", keeps it in " + years_words(e.kept, n) + " years; what it gets, in " + std::to_string(p.kept) +
                       ".";
    if (e.scorches)
      text += " At once it could scorch: " + fixed(e.soluble_g_n_m2, 1) + " g of soluble nitrogen a square metre, more than 5. Split it.";
    return text;
  }
  std::string text = "no dose up to " + input::plain(p.most.multiple) + " times the spring one does it; that one keeps it in " +
                     years_words(p.most.kept, n) + " years, what it gets in " + std::to_string(p.kept) + ".";
  if (p.most.scorches) text += " It could scorch as well.";
  if (p.slept > 0) text += " In " + years_words(p.slept, n) + " it is too cold to wake.";
  if (p.thirsty > 0) text += " In " + years_words(p.thirsty, n) + " it has too little water to grow.";
  std::string limit = limit_words(p, n);
  limit[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(limit[0])));
  return text + " " + limit;
}

std::string mark(const EnoughPoint& e, int wanted) {
  return std::to_string(e.kept) + (e.kept >= wanted ? "*" : " ") + (e.scorches ? "!" : " ");
}

// Worst first: no dose does, then the biggest that would, then what has enough.
std::vector<const PlantingEnough*> worst_first(const EnoughResult& r) {
  std::vector<const PlantingEnough*> out;
  for (const PlantingEnough& p : r.plantings)
    if (p.fed) out.push_back(&p);
  const auto rank = [&](const PlantingEnough* p) {
    if (p->enough) return 0.0;
    return p->smallest ? p->smallest->multiple : r.asked.find ? 1000.0 : 1.0;
  };
  std::stable_sort(out.begin(), out.end(), [&](const auto* a, const auto* b) { return rank(a) > rank(b); });
  return out;
}

// Years kept of each planting, one column a point.
std::string table(const EnoughResult& r, const char* head, const std::vector<std::string>& columns,
                  std::vector<EnoughPoint> PlantingEnough::*points) {
  constexpr std::size_t k_name = 24, k_column = 9, k_in_a_row = 6;
  std::string out;
  for (std::size_t from = 0; from < columns.size(); from += k_in_a_row) {
    const std::size_t to = std::min(columns.size(), from + k_in_a_row);
    out += "  " + padded(head, k_name);
    for (std::size_t i = from; i < to; ++i) out += right(columns[i] + "  ", k_column);
    while (out.back() == ' ') out.pop_back();
    out += '\n';
    for (const PlantingEnough* row : worst_first(r)) {
      const PlantingEnough& p = *row;
      out += "  " + padded(input::shown(p.name, k_name - 3), k_name);
      for (std::size_t i = from; i < to; ++i) out += right(mark((p.*points)[i], r.years_wanted), k_column);
      while (out.back() == ' ') out.pop_back();
      out += '\n';
    }
    out += '\n';
  }
  return out;
}

Json point_json(const EnoughPoint& e, int wanted) {
  return {{"multiple", e.multiple},
          {"on", to_iso(e.on)},
          {"kept_years", e.kept},
          {"keeps", e.kept >= wanted},
          {"leached_g_n_m2", e.leached_g_n_m2},
          {"soluble_g_n_m2", e.soluble_g_n_m2},
          {"scorches", e.scorches}};
}

// From which of the tried multiples on a planting's dose could scorch.
std::string scorch_words(const EnoughResult& r) {
  std::string text;
  for (const PlantingEnough& p : r.plantings) {
    const EnoughPoint* least = nullptr;
    for (const EnoughPoint& e : p.by_multiple)
      if (e.scorches && (!least || e.multiple < least->multiple)) least = &e;
    if (least) text += (text.empty() ? "" : ", ") + input::shown(p.name, 40) + " from " + input::plain(least->multiple) + " times on";
  }
  return text.empty() ? "" : "Could scorch if given at once (more than 5 g of soluble nitrogen a square metre): " + text + ".";
}

// From one day of the year on to another.
double days_between(MonthDay from, MonthDay to) {
  const auto days = (make_date(2001, to) - make_date(2001, from)).count();
  return static_cast<double>(days < 0 ? days + 365 : days);
}

figure::Panel panel(const EnoughResult& r, const std::vector<double>& x, std::vector<EnoughPoint> PlantingEnough::*points) {
  std::vector<std::size_t> order(x.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return x[a] < x[b]; });
  figure::Panel out;
  for (const PlantingEnough& p : r.plantings) {
    if (!p.fed) continue;
    figure::Line line;
    line.label = input::shown(p.name, 40);
    for (const std::size_t i : order) {
      line.x.push_back(x[i]), line.y.push_back((p.*points)[i].kept);
      line.marks_x.push_back(x[i]);
    }
    // Plantings that go the same way share a line, and its name.
    const auto same = std::find_if(out.lines.begin(), out.lines.end(), [&](const figure::Line& l) { return l.y == line.y; });
    if (same != out.lines.end()) {
      same->label += ", " + line.label;
    } else {
      out.lines.push_back(std::move(line));
    }
  }
  return out;
}

}  // namespace

std::string in_words(const EnoughResult& r, bool more) {
  std::string out = lines::headed(r.garden + ". What spring dose would last until " + to_words(r.carry_to) + " in 9 years of 10?", r.note,
                                  r.weather_note);
  if (more) {
    for (const std::string& f : r.feed_words) out += wrapped("  ", f, 4);
    out += '\n';
  }
  bool scorch = false;
  if (r.asked.find) {
    for (const PlantingEnough* p : worst_first(r)) out += wrapped("  " + p->name + ": ", answer(*p, r), 4);
    out += '\n';
  }
  const std::string of = "years of " + std::to_string(r.seasons.size());
  if (!r.asked.multiples.empty()) {
    std::vector<std::string> columns;
    for (const double m : r.asked.multiples) columns.push_back("x " + input::plain(m));
    out += "  " + of + " kept, by size of the spring dose\n" + table(r, "", columns, &PlantingEnough::by_multiple);
  }
  if (!r.asked.dates.empty()) {
    std::vector<std::string> columns;
    for (const MonthDay d : r.asked.dates) {
      const std::string words = to_words(d);
      columns.push_back(words.substr(0, words.find(' ') + 4));
    }
    out += "  " + of + " kept, by the day it is given\n" + table(r, "", columns, &PlantingEnough::by_date);
  }
  for (const PlantingEnough& p : r.plantings)
    for (const auto* points : {&p.by_multiple, &p.by_date})
      for (const EnoughPoint& e : *points) scorch = scorch || e.scorches;
  if (!r.asked.multiples.empty() || !r.asked.dates.empty())
    out += wrapped(
        "  ", std::string("* enough") + (scorch ? "; ! could scorch: more than 5 g of soluble nitrogen a square metre at once." : "."), 2);
  out += wrapped("  ",
                 "Each planting by itself; what it is given on other days stays as it is. Seasons " + std::to_string(r.seasons.front()) +
                     " to " + std::to_string(r.seasons.back()) + ".",
                 2);
  return out;
}

std::string in_json(const EnoughResult& r) {
  Json plantings = Json::array();
  for (const PlantingEnough& p : r.plantings) {
    Json j = {{"name", p.name}, {"hunger", name_of(p.hunger)}, {"fed", p.fed}};
    if (p.fed) {
      j["spring_dose_on"] = to_iso(p.on), j["spring_dose_g_per_plant"] = p.dose_g_per_plant, j["spring_dose"] = p.dose_words;
      j["kept_years"] = p.kept, j["enough"] = p.enough;
      j["smallest"] = p.smallest ? point_json(*p.smallest, r.years_wanted) : Json();
      const bool none = r.asked.find && !p.enough && !p.smallest;
      j["biggest_tried"] = none ? point_json(p.most, r.years_wanted) : Json();
      j["limit"] = none && !p.limit.empty() ? Json(p.limit) : Json();
      j["kept_years_without_limit"] = none ? Json(p.kept_without_limit) : Json();
      for (const auto& [key, points] : {std::pair{"by_multiple", &p.by_multiple}, {"by_date", &p.by_date}}) {
        j[key] = Json::array();
        for (const EnoughPoint& e : *points) j[key].push_back(point_json(e, r.years_wanted));
      }
    }
    plantings.push_back(std::move(j));
  }
  return Json{{"format", 1},
              {"garden", r.garden},
              {"note", r.note},
              {"weather_note", r.weather_note},
              {"carry_to", to_iso(r.carry_to)},
              {"seasons", r.seasons},
              {"years_wanted", r.years_wanted},
              {"feedings", r.feed_words},
              {"plantings", plantings},
              {"notes", r.notes}}
             .dump(2) +
         "\n";
}

std::string in_svg(const EnoughResult& r) {
  const bool by_dose = !r.asked.multiples.empty(), by_date = !r.asked.dates.empty();
  if (by_dose == by_date)
    throw InputError({"", "--out", by_dose ? "doses and dates for one picture" : "no curve to draw", "a picture of one of the two",
                      "add --doses 0.5,1,1.5,2,3 or --dates 03-15,04-01,04-15,05-01,05-15"});
  figure::Chart chart;
  const std::string to = to_words(r.carry_to);
  std::vector<double> x = r.asked.multiples;
  if (by_dose) {
    chart.title = "How much in spring lasts until " + to + "?";
    chart.x_label = "times the spring dose that is given now";
    chart.panels = {panel(r, x, &PlantingEnough::by_multiple)};
  } else {
    MonthDay first = r.asked.dates.front();
    for (const MonthDay d : r.asked.dates)
      if (days_between(d, first) < 183 && d != first) first = d;
    x.clear();
    for (const MonthDay d : r.asked.dates) x.push_back(days_between(first, d));
    chart.title = "When in spring, to last until " + to + "?";
    chart.x_label = "day on which it is given";
    for (std::size_t i = 0; i < x.size(); ++i) chart.x_ticks.emplace_back(x[i], to_words(r.asked.dates[i]));
    std::sort(chart.x_ticks.begin(), chart.x_ticks.end());
    chart.panels = {panel(r, x, &PlantingEnough::by_date)};
  }
  const std::size_t n = r.seasons.size();
  chart.subtitle = "years of " + std::to_string(n) + " in which the planting is kept; " + std::to_string(r.years_wanted) + " are enough";
  // The line that it is all about.
  figure::Line enough;
  enough.label = "enough: 9 years of 10";
  enough.rule = true;
  for (const double at : {0.0, *std::max_element(x.begin(), x.end())}) enough.x.push_back(at), enough.y.push_back(r.years_wanted);
  chart.panels[0].lines.push_back(std::move(enough));
  chart.notes = {r.garden + ". Each planting by itself, over the seasons " + std::to_string(r.seasons.front()) + " to " +
                 std::to_string(r.seasons.back()) + "."};
  const std::string scorch = by_dose ? scorch_words(r) : "";
  if (!scorch.empty()) chart.notes.push_back(scorch);
  if (!r.note.empty()) chart.notes.push_back(r.note);
  if (!r.weather_note.empty()) chart.notes.push_back(r.weather_note);
  return figure::svg(chart);
}

}  // namespace leafhunger
