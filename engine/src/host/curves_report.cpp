// Release curves for people: words, JSON, CSV and a picture. Nothing here computes.
#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <nlohmann/json.hpp>
#include <numeric>

#include "curves_chart.hpp"
#include "leafhunger/curves.hpp"
#include "leafhunger/soil.hpp"
#include "lines.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

using lines::fixed;
using lines::right;
using lines::wrapped;
using Json = nlohmann::ordered_json;

constexpr double k_tied_up_frac = -0.005;   // less than that is nought to a gardener
constexpr std::size_t k_table_columns = 8;  // temperatures side by side at 80 columns

const char* const k_jar =
    "What a jar is: soil held at one warmth and one moisture day and night, no plant, no rain, nothing lost. In a bed the nights are cold, "
    "the top dries and rain carries some in and some away; `leafhunger season` works that out.";

std::string moisture_words(const std::optional<double>& wfps_frac) {
  if (!wfps_frac) return "as moist as after a good rain (field capacity)";
  return "with " + input::plain(std::round(1e4 * *wfps_frac) / 100) + " % of its pores full of water";
}

std::string degrees(double t) { return input::plain(t) + (t == 1 ? " degree" : " degrees"); }

// "dried blood" of "Dried blood"; a name that does not begin like a word is left alone.
std::string in_a_sentence(const std::string& title) {
  std::string out = input::shown(title);
  if (out.size() > 1 && out[0] >= 'A' && out[0] <= 'Z' && out[1] >= 'a' && out[1] <= 'z') out[0] = static_cast<char>(out[0] - 'A' + 'a');
  return out;
}

double percent(double share) { return 100 * share; }
std::string grams(double share) { return fixed(percent(share), 0) + " g"; }

// The day of the answer: four weeks if that is asked about, else the last.
int telling_day(const CurvesResult& r) {
  const auto& d = r.asked.days;
  return std::find(d.begin(), d.end(), 28) != d.end() ? 28 : d.back();
}

std::size_t coldest(const CurvesResult& r) {
  const auto& t = r.asked.temperature_c;
  return static_cast<std::size_t>(std::min_element(t.begin(), t.end()) - t.begin());
}
std::size_t warmest(const CurvesResult& r) {
  const auto& t = r.asked.temperature_c;
  return static_cast<std::size_t>(std::max_element(t.begin(), t.end()) - t.begin());
}

std::string answer(const CurvesResult& r, std::size_t m, std::size_t w) {
  const int day = telling_day(r);
  const auto at = [&](std::size_t t) { return r.at(m, w, t).freed_frac[static_cast<std::size_t>(day)]; };
  // Worded so that it is right for one feed and for many: "wood chips", "dried blood".
  const auto part = [&](double share, bool first, bool same) {
    const bool tied = share < k_tied_up_frac;
    const std::string said = first ? (tied ? " of the soil's are tied up" : " are free") : same ? "" : tied ? " are tied up" : " are free";
    return grams(std::abs(share)) + said;
  };
  const std::size_t cold = coldest(r), warm = warmest(r);
  const double a = at(cold), b = at(warm);
  const bool any_tied = a < k_tied_up_frac || b < k_tied_up_frac, same = (a < k_tied_up_frac) == (b < k_tied_up_frac);
  std::string out = std::string(any_tied ? "For" : "Of") + " each 100 g of nitrogen in " + in_a_sentence(r.materials[m].title) + ", " +
                    part(a, true, false) + " after " + input::counted(day, "day", "days") + " at " + degrees(r.asked.temperature_c[cold]);
  if (warm != cold) out += ", " + part(b, false, same) + " at " + input::plain(r.asked.temperature_c[warm]);
  return out + ".";
}

// Where microbes hold more than the feed brought: how deep it goes, and when it comes back.
std::string tied_up(const CurvesResult& r, std::size_t m, std::size_t w) {
  std::string out;
  std::vector<std::size_t> which{coldest(r)};
  if (warmest(r) != coldest(r)) which.push_back(warmest(r));
  for (const std::size_t t : which) {
    const auto& freed = r.at(m, w, t).freed_frac;
    const auto deepest = std::min_element(freed.begin(), freed.end());
    if (*deepest >= k_tied_up_frac) continue;
    const auto back = std::find_if(deepest, freed.end(), [](double share) { return share >= k_tied_up_frac; });
    out += (out.empty() ? "Below 0 it ties up the soil's nitrogen: at " : " At ") + degrees(r.asked.temperature_c[t]) + " most on day " +
           std::to_string(deepest - freed.begin()) + " (" + grams(-*deepest) + "), " +
           (deepest + 1 == freed.end() ? "the last looked at, and still sinking."
            : back == freed.end()      ? "and it has not come back by day " + std::to_string(freed.size() - 1) + "."
                                       : "and it has come back by day " + std::to_string(back - freed.begin()) + ".");
  }
  return out;
}

std::string how_sure(const CurvesResult& r, std::size_t m, std::size_t w) {
  if (r.materials[m].spread_of.empty())
    return "How sure: how far one bag differs from another is not known for this feed, so take the figures as a guide.";
  const auto widest = [&](int day) {
    double most = 0;
    for (std::size_t t = 0; t < r.asked.temperature_c.size(); ++t)
      most = std::max(most, r.at(m, w, t).spread_frac[static_cast<std::size_t>(day)]);
    return most;
  };
  const int day = telling_day(r), last = r.asked.days.back();
  std::string out = "How sure: two bags in three lie within " + grams(widest(day)) + " of these figures on day " + std::to_string(day);
  if (last != day) out += ", within " + grams(widest(last)) + " on day " + std::to_string(last);
  return out + ".";
}

std::string table(const CurvesResult& r, std::size_t m, std::size_t w, std::size_t first, std::size_t last) {
  constexpr std::size_t k_head = 10, k_column = 8;
  std::string out = "  " + lines::padded("days", k_head);
  for (std::size_t t = first; t < last; ++t) out += right(input::plain(r.asked.temperature_c[t]), k_column);
  out += " C\n";
  for (const int d : r.asked.days) {
    out += "  " + right(std::to_string(d), 4) + std::string(k_head - 4, ' ');
    for (std::size_t t = first; t < last; ++t)
      out += right(fixed(percent(r.at(m, w, t).freed_frac[static_cast<std::size_t>(d)]), 0), k_column);
    out += '\n';
  }
  // The first day on which half is free: what a gardener compares feeds by.
  std::string half = "  " + lines::padded("half by", k_head);
  bool any = false;
  for (std::size_t t = first; t < last; ++t) {
    const auto& freed = r.at(m, w, t).freed_frac;
    const auto at = std::find_if(freed.begin(), freed.end(), [](double share) { return share >= 0.5; });
    any = any || at != freed.end();
    half += right(at == freed.end() ? "-" : "day " + std::to_string(at - freed.begin()), k_column);
  }
  return any ? out + half + '\n' : out;
}

std::string three_digits(double value) {
  std::array<char, 64> text;
  if (std::round(std::abs(value) * 1000) == 0) value = 0;
  const auto end = std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed, 3);
  return {text.data(), end.ptr};
}

}  // namespace

std::string in_words(const CurvesResult& r, bool more) {
  std::string out;
  for (std::size_t m = 0; m < r.materials.size(); ++m)
    for (std::size_t w = 0; w < r.asked.wfps_frac.size(); ++w) {
      out += wrapped("", answer(r, m, w), 0) + '\n';
      out += wrapped("  ",
                     input::shown(r.materials[m].title) + ": freed of each 100 g of its nitrogen, in " + r.asked.texture + " " +
                         moisture_words(r.asked.wfps_frac[w]) + ".",
                     2);
      for (std::size_t t = 0; t < r.asked.temperature_c.size(); t += k_table_columns)
        out += table(r, m, w, t, std::min(r.asked.temperature_c.size(), t + k_table_columns));
      const std::string tied = tied_up(r, m, w);
      if (!tied.empty()) out += wrapped("  ", tied, 2);
      out += wrapped("  ", how_sure(r, m, w), 2);
      if (more) {
        const auto& fed = r.materials[m];
        out += wrapped("  ", "Model " + fed.model + " [" + fed.model_source + "]; " + input::plain(fed.n_percent) + " % nitrogen.", 2);
        std::string names;
        for (const auto& name : fed.spread_of) names += (names.empty() ? "" : ", ") + name;
        if (!names.empty()) out += wrapped("  ", "Spread comes from: " + names + ", each moved by its own, squares added.", 2);
      }
      out += '\n';
    }
  return out + wrapped("  ", k_jar, 2);
}

std::string in_json(const CurvesResult& r) {
  Json materials = Json::array(), curves = Json::array(), moistures = Json::array();
  for (const auto& m : r.materials)
    materials.push_back({{"id", m.id}, {"title", m.title}, {"model", m.model}, {"n_percent", m.n_percent}, {"spread_of", m.spread_of}});
  const auto wet = [](const std::optional<double>& w) { return w ? Json(*w) : Json("field-capacity"); };
  for (const auto& w : r.asked.wfps_frac) moistures.push_back(wet(w));
  for (const Curve& c : r.curves) {
    Json freed = Json::array(), spread = Json::array();
    for (const int d : r.asked.days) {
      freed.push_back(c.freed_frac[static_cast<std::size_t>(d)]);
      if (!c.spread_frac.empty()) spread.push_back(c.spread_frac[static_cast<std::size_t>(d)]);
    }
    curves.push_back({{"material", r.materials[c.material].id},
                      {"moisture", wet(r.asked.wfps_frac[c.moisture])},
                      {"temperature_c", r.asked.temperature_c[c.temperature]},
                      {"freed_frac", freed},
                      {"spread_frac", spread.empty() ? Json() : spread}});
  }
  return Json{{"question", "curves"},  {"texture", r.asked.texture}, {"temperature_c", r.asked.temperature_c},
              {"moisture", moistures}, {"days", r.asked.days},       {"materials", materials},
              {"curves", curves}}
             .dump(2) +
         "\n";
}

std::string in_csv(const CurvesResult& r) {
  std::string out =
      "# Release in a jar: one warmth, one moisture, no plant, no rain, nothing lost. freed_percent is of the nitrogen given; below 0 it\n"
      "# ties up. spread_percent is one standard deviation, empty where it is not known. Soil: " +
      r.asked.texture + ".\nmaterial,temperature_c,pores_with_water,day,freed_percent,spread_percent\n";
  for (const Curve& c : r.curves)
    for (std::size_t d = 0; d < c.freed_frac.size(); ++d) {
      const auto& w = r.asked.wfps_frac[c.moisture];
      out += r.materials[c.material].id + ',' + input::plain(r.asked.temperature_c[c.temperature]) + ',' +
             (w ? input::plain(*w) : "field-capacity") + ',' + std::to_string(d) + ',' + three_digits(percent(c.freed_frac[d])) + ',' +
             (c.spread_frac.empty() ? "" : three_digits(percent(c.spread_frac[d]))) + '\n';
    }
  return out;
}

figure::Chart chart_of(const CurvesResult& r) {
  const std::size_t materials = r.materials.size(), wets = r.asked.wfps_frac.size(), warmths = r.asked.temperature_c.size();
  const auto short_wet = [&](std::size_t w) {
    return r.asked.wfps_frac[w] ? input::plain(std::round(1e4 * *r.asked.wfps_frac[w]) / 100) + " % of pores with water"
                                : "at field capacity";
  };
  const auto warmth = [&](std::size_t t) { return input::plain(r.asked.temperature_c[t]) + " \u00b0C"; };

  figure::Chart chart;
  // What varies most is drawn as lines of one panel; what is left makes panels.
  enum { by_warmth, by_material, by_moisture } lines = warmths > 1 ? by_warmth : materials > 1 ? by_material : by_moisture;
  chart.ordered = lines != by_material;
  chart.title = materials == 1 ? "How fast is the nitrogen in " + in_a_sentence(r.materials[0].title) + " freed?"
                               : "How fast is their nitrogen freed?";
  chart.subtitle = std::string("grams freed of each 100 g of nitrogen given, in jars of ") + r.asked.texture + " held at one warmth" +
                   (warmths == 1 ? ", " + warmth(0) : "") + (wets == 1 ? ", " + moisture_words(r.asked.wfps_frac[0]) : "");
  chart.x_label = "days after mixing in";
  chart.below_nought = "below 0: tied up by microbes";
  chart.notes = {"A jar has no plant, no rain and no frost: in a bed the same feed is slower in spring, and rain carries some of it away."};
  // Cold to warm, wet to dry: colours follow what they mean, not the order asked in.
  const Texture* soil = find_texture(r.asked.texture);
  std::vector<std::size_t> order(lines == by_warmth ? warmths : lines == by_material ? materials : wets);
  std::iota(order.begin(), order.end(), std::size_t{0});
  const auto rank = [&](std::size_t i) {
    if (lines == by_warmth) return r.asked.temperature_c[i];
    return lines == by_material || !soil ? 0.0 : -r.asked.wfps_frac[i].value_or(soil->theta_fc / soil->theta_sat);
  };
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return rank(a) < rank(b); });
  const std::size_t panels_m = lines == by_material ? 1 : materials, panels_w = lines == by_moisture ? 1 : wets;
  bool spread = false;
  std::size_t in_panel = 0;
  for (std::size_t pm = 0; pm < panels_m; ++pm)
    for (std::size_t pw = 0; pw < panels_w; ++pw) {
      figure::Panel panel;
      if (panels_m > 1) panel.title = input::shown(r.materials[pm].title);
      if (panels_w > 1) panel.title += (panel.title.empty() ? "" : ", ") + short_wet(pw);
      for (const std::size_t i : order) {
        const Curve& c = lines == by_warmth ? r.at(pm, pw, i) : lines == by_material ? r.at(i, pw, 0) : r.at(pm, i, 0);
        figure::Line line;
        line.label = lines == by_warmth     ? warmth(i)
                     : lines == by_material ? input::shown(r.materials[i].title)
                     : wets > 1             ? short_wet(i)
                                            : warmth(0);
        for (std::size_t d = 0; d < c.freed_frac.size(); ++d) {
          line.x.push_back(static_cast<double>(d)), line.y.push_back(percent(c.freed_frac[d]));
          if (!c.spread_frac.empty()) line.spread.push_back(percent(c.spread_frac[d]));
        }
        for (const int d : r.asked.days) line.marks_x.push_back(d);
        spread = spread || !line.spread.empty();
        panel.lines.push_back(std::move(line));
      }
      in_panel = panel.lines.size();
      chart.panels.push_back(std::move(panel));
    }
  if (spread)
    chart.notes.push_back(in_panel <= 3 ? "The pale band about a line holds two bags in three."
                                        : "The bar at the end of a line holds two bags in three.");
  return chart;
}

std::string in_svg(const CurvesResult& r) { return figure::svg(chart_of(r)); }

}  // namespace leafhunger
