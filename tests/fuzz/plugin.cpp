// The tables of a plugin, with any counts, kinds, ends, names and null pointers, and functions that answer anything. A table is refused
// with a sentence, or taken and run for two days to a closed ledger or to a sentence. Counts of 0 to 256 are true: the host cannot see past
// C.
#include <deque>

#include "core/season.hpp"
#include "leafhunger/plugin_sdk.hpp"
#include "leafhunger/report.hpp"
#include "support.hpp"
#include "support/rig.hpp"

namespace lf = leafhunger;
using namespace lf::fuzz;

namespace {

// Functions of the C line have no pointer to data of their own.
std::vector<double> g_answers;
std::int32_t g_status = LH_OK;
int g_start = 0;

double answer(int i) { return g_answers[static_cast<std::size_t>(i) % g_answers.size()]; }

std::int32_t start(const lh_day* day, double* pool, double* surface_ammonium, double* age) {
  for (int i = 0; i < day->m_pad; ++i) pool[i] = g_start == 1 ? answer(i) : g_start == 2 ? 0 : day->given_kg_n_ha[i];
  for (int i = 0; i < day->m_pad; ++i) surface_ammonium[i] = g_start == 2 ? day->given_kg_n_ha[i] : 0;
  static_cast<void>(age);
  return g_status;
}

std::int32_t g_flows = 0, g_ages = 0;
std::int32_t rates(const lh_day* day, const double*, const double*, double* coef, double* age_rate) {
  for (int i = 0; i < g_flows * day->m_pad; ++i) coef[i] = answer(i / day->m_pad);
  for (int i = 0; i < g_ages * day->m_pad; ++i) age_rate[i] = answer(i / day->m_pad + 3);
  return g_status;
}
std::int32_t bend(std::int32_t m_pad, const double*, const double*, const double*, const double*, double* out) {
  for (int i = 0; i < g_flows * m_pad; ++i) out[i] = answer(i / m_pad + 5);
  return LH_OK;
}
std::int32_t check(const double*, char* text, std::int32_t n) {
  std::snprintf(text, static_cast<std::size_t>(n), "not as it should be");
  return g_status;
}

/// Owns what the tables point at.
struct Drawn {
  explicit Drawn(Bytes& from) : bytes(from) {}

  Bytes& bytes;
  std::deque<std::string> texts;
  std::deque<std::vector<lh_parameter>> parameters;
  std::deque<std::vector<lh_response>> responses;
  std::deque<std::vector<lh_pool>> pools;
  std::deque<std::vector<lh_flow>> flows;
  std::deque<std::vector<lh_named>> names;

  const char* text() {
    const int kind = bytes.byte() % 16;
    if (kind == 0) return nullptr;
    if (kind == 1) return "";
    if (kind == 2) return texts.emplace_back(bytes.text(12)).c_str();
    return texts.emplace_back("n" + std::to_string(bytes.byte())).c_str();
  }
  /// Of a table: mostly few, sometimes beyond what is allowed.
  std::int32_t count() {
    switch (bytes.byte() % 32) {
      case 0:
        return -1;
      case 1:
        return 257;
      case 2:
        return INT32_MAX;
      case 3:
        return INT32_MIN;
      case 4:
        return 256;
      default:
        return bytes.byte() % 5;
    }
  }
  /// An index, an end of a flow, or nothing of the kind.
  std::int32_t end() { return bytes.byte() % 16 == 0 ? static_cast<std::int32_t>(bytes.byte()) << 24 : bytes.whole(-7, 4); }

  template <class Row, class Make>
  const Row* table(std::deque<std::vector<Row>>& keep, std::int32_t n, Make&& make) {
    if (bytes.byte() % 32 == 0) return nullptr;
    auto& rows = keep.emplace_back();
    for (std::int32_t i = 0; n <= 256 && i < n; ++i) rows.push_back(make());
    rows.reserve(1);
    return rows.data();
  }

  void about(lh_about& a) {
    a.name = text(), a.version = text(), a.summary = text(), a.licence = text(), a.source = text();
    a.n_parameter = count();
    a.parameter = table(parameters, a.n_parameter, [&] {
      lh_parameter p{text(), text(), text(), text(), 0, 0, 0};
      p.lower = bytes.number(0, 1), p.upper = p.lower + bytes.number(0, 10), p.def = bytes.byte() % 8 == 0 ? bytes.any_double() : p.lower;
      return p;
    });
    a.check = bytes.byte() % 4 == 0 ? check : nullptr;
  }
  const lh_named* named(std::int32_t n) {
    return table(names, n, [&] { return lh_named{text(), text(), text()}; });
  }
  const char* law(bool temperature) {
    if (bytes.byte() % 4 == 0) return text();
    return temperature ? "q10" : "none";
  }

  lh_release release() {
    lh_release r{};
    r.size = bytes.byte() % 16 == 0 ? bytes.byte() : static_cast<std::uint32_t>(sizeof r);
    about(r.about);
    r.n_response = count(), r.n_pool = count(), r.n_flow = count(), r.n_age = count();
    r.response =
        table(responses, r.n_response, [&] { return lh_response{text(), law(true), law(false), bytes.whole(-1, 2), end(), end()}; });
    r.pool = table(pools, r.n_pool,
                   [&] { return lh_pool{text(), bytes.whole(-1, 2), bytes.whole(-1, 3), end(), bytes.whole(-2, 2), bytes.whole(-2, 2)}; });
    r.flow = table(flows, r.n_flow, [&] {
      lh_flow f{text(), end(), end(), 0, static_cast<std::uint8_t>(bytes.byte() & 1), static_cast<std::uint8_t>(bytes.byte() & 1), {0, 0}};
      f.driver = bytes.byte() % 8 == 0 ? end() : f.from;
      return f;
    });
    r.age = named(r.n_age);
    r.start = bytes.byte() % 32 == 0 ? nullptr : start;
    r.rates = bytes.byte() % 32 == 0 ? nullptr : rates;
    r.bend = bytes.byte() % 2 == 0 ? nullptr : bend;
    return r;
  }
  lh_demand demand() {
    lh_demand d{};
    d.size = bytes.byte() % 16 == 0 ? bytes.byte() : static_cast<std::uint32_t>(sizeof d);
    about(d.about);
    d.n_memory = count(), d.n_factor = count();
    d.memory = named(d.n_memory), d.factor = named(d.n_factor);
    d.start = [](const lh_day*, double*, double*) -> std::int32_t { return LH_OK; };
    d.morning = [](const lh_day*, const double*, double*, lh_morning*, double*) -> std::int32_t { return LH_OK; };
    d.critical = [](std::int32_t, const double*, const double*, const double*, double*) -> std::int32_t { return LH_OK; };
    d.grow = bytes.byte() % 32 == 0 ? nullptr
                                    : [](std::int32_t, const double*, const double*, const double*, const double*, const double*,
                                         double*) -> std::int32_t { return LH_OK; };
    return d;
  }
};

// Two days in warm moist ground, as its functions will have it.
void run(const lh_release& model, Bytes& bytes) {
  g_flows = model.n_flow, g_ages = model.n_age;
  g_answers.clear();
  for (int i = bytes.whole(1, 8); i > 0; --i) g_answers.push_back(bytes.number(0, 2));
  g_status = bytes.byte() % 16 == 0 ? bytes.whole(-1, 3) : LH_OK;
  g_start = bytes.byte() % 8;
  lf::testing::Rig rig(2, 18);
  rig.nitrogen.mineral_at_start_kg_ha = 20;
  rig.climate.rain_mm[1] = 5;
  rig.shape.slots.push_back({&model, bytes.byte() % 2 ? 100.0 : 0.0});
  lf::SlotMaterial material;
  material.parameter = lf::default_parameters(model.about);
  material.t_dm_per_kg_n = 0.02;
  rig.materials.push_back(material);
  rig.feed(0, 0, 50);
  try {
    std::size_t days = 0;
    lf::testing::run(rig,
                     [&](std::size_t, lf::ColumnBatch& c) {
                       ++days;
                       for (std::size_t r = 0; r < c.map().rows; ++r) require(std::isfinite(c.at(r, 0)), "a state that is no number");
                       lf::Ledger l = lf::ledger_of(c, 0);
                       l.given = 50, l.start_mineral = 20;
                       require(std::abs(l.relative_residual()) < 1e-9, "nitrogen went missing");
                     },
                     {1e-6, 1e-6});
    require(days == 2, "days were left out");
  } catch (const lf::PluginError& e) {
    require_sentence(e.what());
  } catch (const lf::SolverError& e) {
    require_sentence(e.what());
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Watch watch;
  Bytes bytes(data, size);
  Drawn drawn(bytes);
  std::deque<lh_release> releases;
  std::deque<lh_demand> demands;
  std::vector<const lh_release*> release_table;
  std::vector<const lh_demand*> demand_table;
  for (int n = bytes.byte() % 4 == 0 ? 2 : 1; n > 0; --n)
    release_table.push_back(bytes.byte() % 32 == 0 ? nullptr : &releases.emplace_back(drawn.release()));
  if (bytes.byte() % 4 == 0) demand_table.push_back(&demands.emplace_back(drawn.demand()));

  lh_plugins plugins{};
  plugins.abi = bytes.byte() % 32 == 0 ? bytes.byte() : LH_ABI;
  plugins.size = bytes.byte() % 32 == 0 ? bytes.byte() : static_cast<std::uint32_t>(sizeof plugins);
  plugins.n_release = static_cast<std::int32_t>(release_table.size()), plugins.release = release_table.data();
  plugins.n_demand = static_cast<std::int32_t>(demand_table.size()), plugins.demand = demand_table.data();
  switch (bytes.byte() % 32) {
    case 0:
      plugins.n_release = drawn.count() > 200 ? 257 : -1;
      break;
    case 1:
      plugins.release = nullptr;
      break;
    case 2:
      plugins.n_release = 0, plugins.n_demand = 0;
      break;
    default:
      break;
  }
  lf::PluginRegistry registry;
  try {
    registry.add(&plugins, "fuzz.so");
  } catch (const lf::PluginError& e) {
    require_sentence(e.what());
    require(registry.releases().empty() && registry.demands().empty(), "a refused plugin left a model behind");
    return 0;
  }
  lf::in_json(registry, {}, false);
  lf::in_words(registry, {}, false);
  for (const auto& [name, model] : registry.releases()) run(*model.table, bytes);
  return 0;
}
