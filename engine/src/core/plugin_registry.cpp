#include "leafhunger/plugin_registry.hpp"

#include <cmath>
#include <cstring>
#include <set>

#include "core/utf8.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/response.hpp"

namespace leafhunger {
namespace {

// Refuses with one sentence that names the library and, where known, the model.
class Refusal {
 public:
  Refusal(std::string origin, std::string model) : origin_(std::move(origin)), model_(std::move(model)) {}
  [[noreturn]] void operator()(const std::string& why) const {
    throw PluginError("plugin " + origin_ + (model_.empty() ? "" : ", model " + model_) + ": " + why, true);
  }
  void unless(bool good, const std::string& why) const {
    if (!good) (*this)(why);
  }

 private:
  std::string origin_, model_;
};

constexpr std::size_t k_longest_name = 200;  // bytes

bool named(const char* text) { return text != nullptr && text[0] != '\0'; }
bool plain_name(const char* text) { return std::strlen(text) <= k_longest_name && is_plain_text(text); }
constexpr const char* k_not_plain = "that is no plain text of at most 200 bytes of UTF-8";

template <class Row>
void check_table(const Refusal& refuse, const Row* rows, int32_t n, const char* what) {
  refuse.unless(n >= 0 && n <= 256, std::string("has ") + std::to_string(n) + " rows of " + what + ", and 0 to 256 are allowed");
  refuse.unless(n == 0 || rows != nullptr, std::string("says that it has ") + what + " but gives no table of them");
  std::set<std::string> seen;
  for (int32_t i = 0; i < n; ++i) {
    refuse.unless(named(rows[i].name), std::string("a row of ") + what + " has no name");
    refuse.unless(plain_name(rows[i].name), std::string("a row of ") + what + " has a name " + k_not_plain);
    refuse.unless(seen.insert(rows[i].name).second, std::string("the name ") + rows[i].name + " stands twice among its " + what);
  }
}

void check_about(const Refusal& refuse, const lh_about& about) {
  refuse.unless(named(about.name), "a model has no name");
  refuse.unless(named(about.version) && named(about.summary) && named(about.licence) && named(about.source),
                "version, summary, licence and source must each be given");
  for (const char* text : {about.version, about.summary, about.licence, about.source})
    refuse.unless(is_plain_text(text), "version, summary, licence and source must be plain text in UTF-8");
  check_table(refuse, about.parameter, about.n_parameter, "parameters");
  for (int32_t i = 0; i < about.n_parameter; ++i) {
    const lh_parameter& p = about.parameter[i];
    const std::string who = std::string("parameter ") + p.name;
    refuse.unless(p.unit != nullptr && named(p.meaning) && named(p.source), who + " lacks its unit, meaning or source");
    refuse.unless(is_plain_text(p.unit) && is_plain_text(p.meaning) && is_plain_text(p.source),
                  who + " has a unit, meaning or source that is no plain text in UTF-8");
    refuse.unless(std::isfinite(p.def) && std::isfinite(p.lower) && std::isfinite(p.upper) && p.lower <= p.def && p.def <= p.upper,
                  who + " needs a finite default within finite bounds");
  }
}

void check_release(const Refusal& refuse, const lh_release& r) {
  refuse.unless(r.start != nullptr && r.rates != nullptr, "`start` and `rates` must be given");
  check_table(refuse, r.response, r.n_response, "responses");
  check_table(refuse, r.pool, r.n_pool, "pools");
  check_table(refuse, r.flow, r.n_flow, "flows");
  check_table(refuse, r.age, r.n_age, "ages");
  refuse.unless(r.n_pool > 0, "it has no pool");
  const auto is_parameter = [&](int32_t i) { return i >= 0 && i < r.about.n_parameter; };
  const auto is_pool = [&](int32_t i) { return i >= 0 && i < r.n_pool; };
  for (int32_t i = 0; i < r.n_response; ++i) {
    const lh_response& f = r.response[i];
    const std::string who = std::string("response ") + f.name;
    refuse.unless(f.temperature != nullptr && find_temperature_response(f.temperature) != nullptr, who + " names no known temperature law");
    refuse.unless(f.moisture != nullptr && find_moisture_response(f.moisture) != nullptr, who + " names no known moisture law");
    refuse.unless(f.place == LH_SURFACE || f.place == LH_SOIL, who + " lies neither on the surface nor in the soil");
    refuse.unless((f.t_ref_c == LH_NONE || is_parameter(f.t_ref_c)) && (f.q == LH_NONE || is_parameter(f.q)),
                  who + " points past the parameters");
  }
  for (int32_t i = 0; i < r.n_pool; ++i) {
    const lh_pool& p = r.pool[i];
    const std::string who = std::string("pool ") + p.name;
    refuse.unless(p.place == LH_SURFACE || p.place == LH_SOIL, who + " lies neither on the surface nor in the soil");
    refuse.unless(p.kind >= LH_UNFREED && p.kind <= LH_HUMUS, who + " is of no known kind");
    if (p.place == LH_SOIL) {
      refuse.unless(p.wash_to == LH_NONE, who + " lies in the soil, so rain cannot wash it in");
      continue;
    }
    const bool soil_pool = is_pool(p.wash_to) && r.pool[p.wash_to].place == LH_SOIL;
    refuse.unless(soil_pool || p.wash_to == LH_AMMONIUM || p.wash_to == LH_NITRATE, who + " washes into nothing that lies in the soil");
    refuse.unless((p.wash_mm == LH_NONE || is_parameter(p.wash_mm)) && (p.mix_per_day == LH_NONE || is_parameter(p.mix_per_day)),
                  who + " points past the parameters");
  }
  for (int32_t i = 0; i < r.n_flow; ++i) {
    const lh_flow& f = r.flow[i];
    const std::string who = std::string("flow ") + f.name;
    refuse.unless(is_pool(f.from) || f.from == LH_MINERAL || f.from == LH_SURFACE_AMMONIUM, who + " comes from nothing that can give");
    refuse.unless(is_pool(f.to) || (f.to <= LH_AMMONIUM && f.to >= LH_AIR && f.to != LH_MINERAL), who + " goes to nothing that can take");
    refuse.unless(f.from != f.to, who + " goes back to where it comes from");
    refuse.unless(f.from == LH_MINERAL ? is_pool(f.driver) : f.driver == f.from,
                  who + " must be driven by its donor, or from mineral N by a pool");
    refuse.unless(f.from != LH_MINERAL || f.starves != 0, who + " takes mineral N, so it must starve with it");
    refuse.unless(f.bends == 0 || r.bend != nullptr, who + " bends, but there is no `bend`");
  }
}

void check_demand(const Refusal& refuse, const lh_demand& d) {
  refuse.unless(d.start != nullptr && d.morning != nullptr && d.critical != nullptr && d.grow != nullptr,
                "`start`, `morning`, `critical` and `grow` must be given");
  check_table(refuse, d.memory, d.n_memory, "memories");
  check_table(refuse, d.factor, d.n_factor, "factors");
}

// Sizes at the freeze of ABI 1. Tables may have grown since; a plugin built then brings these, and what came later counts as absent. Where
// pointers are narrow, no plugin of that day exists: all are built with the host.
constexpr bool k_wide = sizeof(void*) == 8;
template <class Table>
constexpr uint32_t k_frozen_size = 0;
template <>
constexpr uint32_t k_frozen_size<lh_plugins> = k_wide ? 32 : sizeof(lh_plugins);
template <>
constexpr uint32_t k_frozen_size<lh_release> = k_wide ? 144 : sizeof(lh_release);
template <>
constexpr uint32_t k_frozen_size<lh_demand> = k_wide ? 128 : sizeof(lh_demand);

template <class Table>
void check_size(const Refusal& refuse, const Table& table) {
  refuse.unless(table.size >= k_frozen_size<Table>, "its table is " + std::to_string(table.size) + " bytes and this host needs " +
                                                        std::to_string(k_frozen_size<Table>) +
                                                        "; build it again with this version's plugin.h");
}

template <class Map>
const typename Map::mapped_type* find_in(const Map& map, std::string_view name) {
  const auto it = map.find(name);
  return it == map.end() ? nullptr : &it->second;
}

}  // namespace

void PluginRegistry::add(const lh_plugins* plugins, const std::string& origin, std::shared_ptr<void> keep_open) {
  const Refusal refuse(origin, "");
  refuse.unless(plugins != nullptr, "it answered with nothing when asked for its models");
  refuse.unless(plugins->abi == LH_ABI, "it speaks ABI " + std::to_string(plugins->abi) + " and this host speaks ABI " +
                                            std::to_string(LH_ABI) + "; build it again with this version's plugin.h");
  check_size(refuse, *plugins);
  // Counts and tables come from outside: nothing is read before they are known to be there.
  for (const int32_t n : {plugins->n_release, plugins->n_demand})
    refuse.unless(n >= 0 && n <= 256, "it says that it brings " + std::to_string(n) + " models of a kind, and 0 to 256 are allowed");
  refuse.unless(plugins->n_release + plugins->n_demand > 0, "it brings no model");
  refuse.unless((plugins->n_release == 0 || plugins->release != nullptr) && (plugins->n_demand == 0 || plugins->demand != nullptr),
                "it says that it has models but gives no table of them");

  // All or nothing: collect first, so that a bad second model does not leave the first behind.
  std::map<std::string, ReleaseModel, std::less<>> releases;
  std::map<std::string, DemandModel, std::less<>> demands;
  const auto take = [&](auto& into, const auto& have, const auto* table, const auto& check) {
    refuse.unless(table != nullptr, "one of its models is missing from its table");
    check_size(refuse, *table);
    refuse.unless(named(table->about.name), "one of its models has no name");
    refuse.unless(plain_name(table->about.name), std::string("one of its models has a name ") + k_not_plain);
    const std::string name = table->about.name;
    const Refusal refuse_model(origin, name);
    check_about(refuse_model, table->about);
    check(refuse_model, *table);
    const auto* other = find_in(have, name);
    refuse_model.unless(other == nullptr, "this name is taken already" + (other != nullptr ? " by " + other->origin : std::string()));
    refuse_model.unless(into.emplace(name, typename std::decay_t<decltype(into)>::mapped_type{table, origin}).second,
                        "it brings this name twice");
  };
  for (int32_t i = 0; i < plugins->n_release; ++i) take(releases, releases_, plugins->release[i], check_release);
  for (int32_t i = 0; i < plugins->n_demand; ++i) take(demands, demands_, plugins->demand[i], check_demand);
  releases_.merge(releases);
  demands_.merge(demands);
  if (keep_open) open_.push_back(std::move(keep_open));
}

const ReleaseModel* PluginRegistry::release(std::string_view name) const { return find_in(releases_, name); }
const DemandModel* PluginRegistry::demand(std::string_view name) const { return find_in(demands_, name); }

int parameter_index(const lh_about& about, std::string_view name) {
  for (int32_t i = 0; i < about.n_parameter; ++i)
    if (name == about.parameter[i].name) return i;
  return -1;
}

std::vector<double> default_parameters(const lh_about& about) {
  std::vector<double> set;
  for (int32_t i = 0; i < about.n_parameter; ++i) set.push_back(about.parameter[i].def);
  return set;
}

}  // namespace leafhunger
