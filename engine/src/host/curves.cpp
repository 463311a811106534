#include "leafhunger/curves.hpp"

#include <algorithm>
#include <cmath>

#include "core/jar.hpp"
#include "garden_plan.hpp"
#include "leafhunger/common_names.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"
#include "parallel.hpp"
#include "words.hpp"

namespace leafhunger {
namespace {

const lh_release& model_of(const Material& material, const PluginRegistry& registry, const LoadReport& report) {
  if (const ReleaseModel* model = registry.release(material.model)) return *model->table;
  std::vector<std::string> known;
  for (const auto& [name, model] : registry.releases()) known.push_back(name);
  const std::string near = nearest_name(material.model, known);
  throw InputError({material.origin.file, material.origin.place,
                    "model " + input::in_quotes(material.model) + " for " + input::in_quotes(material.id),
                    known.empty() ? "a model of a loaded plugin, and there is none" : input::one_of(known),
                    (near.empty() ? std::string() : "did you mean " + input::in_quotes(near) + "? ") + report.summary()});
}

// A parameter moved by its spread, kept within its bounds and to sets that the model itself accepts.
SlotMaterial moved(const SlotMaterial& from, const lh_release& model, std::size_t at, double by) {
  SlotMaterial to = from;
  const lh_parameter& p = model.about.parameter[at];
  to.parameter[at] = std::clamp(from.parameter[at] + by, p.lower, p.upper);
  char text[400] = "";
  if (model.about.check && model.about.check(to.parameter.data(), text, sizeof text) != LH_OK) return from;
  return to;
}

// All temperatures at one moisture, every day; [temperature][day].
std::vector<double> jars(const lh_release& model, const SlotMaterial& material, const CurvesQuestion& q,
                         const std::optional<double>& wfps_frac) {
  JarQuestion jar;
  jar.temperature_c = q.temperature_c, jar.wfps_frac = wfps_frac, jar.texture = q.texture;
  for (int d = 0; d <= q.days.back(); ++d) jar.days.push_back(d);
  return incubate(model, material, jar);
}

void require(bool good, const char* place, const std::string& found, const std::string& allowed, const std::string& hint) {
  if (!good) throw InputError({"", place, found, allowed, hint});
}

void check(const std::vector<Material>& materials, const CurvesQuestion& q) {
  const std::string most = std::to_string(k_most_jars);
  const auto count = [&](std::size_t n, const char* place, const char* what) {
    require(n >= 1 && n <= k_most_jars, place, std::to_string(n) + " of them", "1 to " + most + " " + what, "ask twice for more");
  };
  count(materials.size(), "material", "materials");
  count(q.temperature_c.size(), "temperature_c", "temperatures");
  count(q.wfps_frac.size(), "moisture", "moistures");
  require(!q.days.empty(), "days", "no day", "at least one", "name the days on which to look into the jar");
  for (const int d : q.days)  // before any array of so many days is made
    require(d >= 0 && d <= 3650, "days", std::to_string(d), "whole days from 0 to 3650", "count from the day of mixing");
  require(std::is_sorted(q.days.begin(), q.days.end()), "days", "days out of order", "days in ascending order", "");
}

}  // namespace

CurvesResult release_curves(const std::vector<Material>& materials, const PluginRegistry& registry, const LoadReport& report,
                            const CurvesQuestion& q) {
  check(materials, q);
  CurvesResult out;
  out.asked = q;
  struct Feed {
    const lh_release* model;
    SlotMaterial material;
    std::vector<std::pair<std::size_t, double>> spread;  // index of a parameter and its +-
  };
  std::vector<Feed> feeds;
  for (const Material& m : materials) {
    Feed f{&model_of(m, registry, report), {}, {}};
    f.material = slot_material(m, *f.model);
    CurvesResult::Fed about{m.id, m.title, m.model, f.model->about.source, m.n_percent, {}};
    for (const auto& [name, sd] : m.spread) {
      const int at = parameter_index(f.model->about, name);
      if (at < 0 || !(sd > 0)) continue;
      f.spread.emplace_back(static_cast<std::size_t>(at), sd);
      about.spread_of.push_back(name);
    }
    feeds.push_back(std::move(f));
    out.materials.push_back(std::move(about));
  }

  const std::size_t warmths = q.temperature_c.size(), wets = q.wfps_frac.size(), days = static_cast<std::size_t>(q.days.back()) + 1;
  out.curves.resize(materials.size() * wets * warmths);
  parallel_for(materials.size() * wets, [&](std::size_t i) {
    const std::size_t m = i / wets, w = i % wets;
    const Feed& f = feeds[m];
    const auto freed = jars(*f.model, f.material, q, q.wfps_frac[w]);
    std::vector<double> squares(f.spread.empty() ? 0 : freed.size(), 0.0);
    for (const auto& [at, sd] : f.spread) {
      const auto more = jars(*f.model, moved(f.material, *f.model, at, sd), q, q.wfps_frac[w]);
      const auto less = jars(*f.model, moved(f.material, *f.model, at, -sd), q, q.wfps_frac[w]);
      for (std::size_t k = 0; k < squares.size(); ++k) squares[k] += 0.25 * (more[k] - less[k]) * (more[k] - less[k]);
    }
    for (std::size_t t = 0; t < warmths; ++t) {
      Curve& c = out.curves[i * warmths + t];
      c.material = m, c.moisture = w, c.temperature = t;
      c.freed_frac.assign(freed.begin() + static_cast<std::ptrdiff_t>(t * days),
                          freed.begin() + static_cast<std::ptrdiff_t>((t + 1) * days));
      for (std::size_t d = 0; !squares.empty() && d < days; ++d) c.spread_frac.push_back(std::sqrt(squares[t * days + d]));
    }
  });
  return out;
}

std::vector<Material> find_materials(const Catalogue& catalogue, const std::vector<std::string>& names) {
  std::vector<Material> out;
  for (const std::string& name : names) {
    const Material& meant = catalogue.materials.at(material_called(catalogue, name, "", "material"));
    if (std::none_of(out.begin(), out.end(), [&](const Material& m) { return m.id == meant.id; })) out.push_back(meant);
  }
  return out;
}

std::vector<int> table_days(int last) {
  std::vector<int> days;
  for (const int d : {1, 2, 4, 7, 14, 28, 42, 56, 84, 112, 140, 168, 224, 280, 365, 548, 730, 1095, 1460, 1825, 2555})
    if (d < last) days.push_back(d);
  constexpr std::size_t k_before_last = 7;
  if (days.size() > k_before_last) days.erase(days.begin(), days.end() - k_before_last);
  days.push_back(last);
  return days;
}

}  // namespace leafhunger
