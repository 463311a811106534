// Results as JSON: stable order of keys, dates as ISO 8601, units in names, nothing that depends on when or where it ran.
#include <nlohmann/json.hpp>

#include "leafhunger/report.hpp"
#include "season_answers.hpp"

namespace leafhunger {
namespace {

using Json = nlohmann::ordered_json;

Json date_or_null(Date first, const std::optional<std::size_t>& day) {
  return day ? Json(to_iso(first + std::chrono::days{static_cast<long>(*day)})) : Json();
}

Json verdict_json(const Verdict& v, Date first) {
  const auto lasts_until = [&]() -> Json {
    if (v.outcome == Outcome::never_woke) return nullptr;
    if (!v.first_short) return "season";
    return to_iso(first + std::chrono::days{static_cast<long>(*v.first_short) - 1});
  };
  return {{"outcome", name_of(v.outcome)},
          {"first_short", date_or_null(first, v.first_short)},
          {"lasts_until", lasts_until()},
          {"supply_falls_behind", date_or_null(first, v.falls_behind)},
          {"wakes", date_or_null(first, v.wakes)},
          {"days_short", v.days_short},
          {"days_grown", v.days_grown},
          {"nni_at_date", v.nni_at_date},
          {"lowest_nni", v.lowest_nni},
          {"mean_nni", v.mean_nni},
          {"days_in_hand", v.days_in_hand},
          {"growth_frac", v.growth_frac},
          {"water_frac", v.water_frac},
          {"shortfall_kg_n_ha", v.shortfall_kg_n_ha}};
}

Json ledger_json(const Ledger& l) {
  return {{"given", l.given},
          {"from_soil", l.from_soil},
          {"start_mineral", l.start_mineral},
          {"start_plant", l.start_plant},
          {"fixed", l.fixed},
          {"plant", l.plant},
          {"reserve", l.reserve},
          {"litter", l.litter},
          {"mineral", l.mineral},
          {"unfreed", l.unfreed},
          {"microbes", l.microbes},
          {"humus", l.humus},
          {"leached", l.leached},
          {"volatilised", l.volatilised},
          {"denitrified", l.denitrified},
          {"taken", l.taken},
          {"relative_residual", l.relative_residual()}};
}

Json where_json(const Ledger& l) {
  return {{"plant", l.plant},
          {"reserve", l.reserve},
          {"litter", l.litter},
          {"mineral", l.mineral},
          {"unfreed", l.unfreed},
          {"microbes", l.microbes},
          {"humus", l.humus},
          {"leached", l.leached},
          {"volatilised", l.volatilised},
          {"denitrified", l.denitrified}};
}

Json cautions_json(const std::vector<Caution>& cautions) {
  Json out = Json::array();
  for (const Caution& c : cautions) out.push_back({{"key", c.key}, {"words", c.words}});
  return out;
}

Json drainage_json(const std::vector<DrainageMonth>& months) {
  Json out = Json::array();
  for (const DrainageMonth& m : months)
    out.push_back({{"from", to_iso(m.first)},
                   {"drained_mm", m.drained_mm},
                   {"leached_kg_n_ha", m.leached_kg_n_ha},
                   {"mg_n_per_l", m.mg_n_per_l()},
                   {"mg_no3_per_l", m.mg_no3_per_l()}});
  return out;
}

Json window_or_null(const SeasonResult& r, const std::optional<std::size_t>& i) {
  if (!i) return nullptr;
  const FeedWindow& w = r.windows[*i];
  return {{"planned", to_iso(w.planned)},   {"opens", to_iso(w.opens)},         {"closes", to_iso(w.closes)},
          {"wet_day_mm", w.wet_day_mm},     {"cans_per_m2", w.cans_m2},         {"years", w.years},
          {"washed_in_years", w.washed_in}, {"washed_out_years", w.washed_out}, {"reckoned_on", w.planting},
          {"words", window_words(w, true)}};
}

Json windows_json(const SeasonResult& r) {
  Json out = Json::array();
  for (std::size_t i = 0; i < r.windows.size(); ++i) out.push_back(window_or_null(r, i));
  return out;
}

Json leave_alone_json(const SeasonResult& r) {
  Json out = Json::array();
  for (const Answer& a : answers_of(r))
    if (a.leave_alone) out.push_back({{"planting", a.column->name}, {"words", a.why}, {"saves", a.saves}});
  return out;
}

Json checks_json(const SeasonResult& r) {
  Json out = Json::array();
  for (const Check& c : r.checks)
    out.push_back({{"key", c.key},
                   {"planting", c.planting},
                   {"on", to_iso(c.on)},
                   {"moves_d", c.moves_d},
                   {"look", c.look},
                   {"if_less", c.if_less},
                   {"if_more", c.if_more},
                   {"prepare", c.prepare}});
  return out;
}

Json perturbed_json(const ColumnResult& c, Date first) {
  static constexpr const char* k_what[] = {"what-feed-and-soil-free", "warmth-of-the-soil", "what-the-plant-wants", "what-the-soil-frees"};
  Json out = Json::array();
  for (const Perturbed& p : c.perturbed)
    out.push_back({{"what", k_what[static_cast<int>(p.what)]},
                   {"low_outcome", name_of(p.low.outcome)},
                   {"low_first_short", date_or_null(first, p.low.first_short)},
                   {"high_outcome", name_of(p.high.outcome)},
                   {"high_first_short", date_or_null(first, p.high.first_short)},
                   {"moves_d", p.moves_d}});
  return out;
}

Json mulch_json(const MulchAccount& m, Date first) {
  const bool held = m.held_g_m2 > 0;
  return {{"given_g_n_m2", m.given_g_m2},
          {"freed_g_n_m2", m.freed_g_m2},
          {"held_back_g_n_m2", m.held_g_m2},
          {"held_back_most_on", held ? date_or_null(first, m.held_most) : Json()},
          {"given_back_on", held ? date_or_null(first, m.given_back) : Json()}};
}

Json carried_json(const std::vector<Carried>& carried) {
  Json out = Json::array();
  for (const Carried& c : carried)
    out.push_back({{"material", c.material_id}, {"kg", c.kg}, {"cost", c.cost}, {"bags", c.bags > 0 ? Json(c.bags) : Json()}});
  return out;
}

}  // namespace

std::string in_json(const SeasonResult& r) {
  Json by_feeding = Json::array();
  for (const Ledger& l : r.by_feeding_g) by_feeding.push_back(where_json(l));
  Json columns = Json::array();
  for (const ColumnResult& c : r.columns) {
    Json j = {{"name", c.name}, {"bed", c.bed}, {"area_m2", c.area_m2}, {"fed", c.fed}};
    if (!c.bare) {
      j["plant"] = c.plant_id, j["hunger"] = name_of(c.hunger), j["count"] = c.count, j["cover"] = c.cover;
      j["verdict"] = verdict_json(c.verdict, r.first), j["unfed"] = verdict_json(c.unfed, r.first);
      j["gain_g_n"] = c.gain_g;
      j["days_full"] = c.days_full;
      j["cost_per_g_n_gained"] = c.gain_g > 0 && c.cost > 0 ? Json(c.cost / c.gain_g) : Json();
      if (c.second_feed)
        j["second_feed"] = {{"on", to_iso(c.second_feed->on)},
                            {"handfuls", c.second_feed->handfuls},
                            {"g_per_plant", c.second_feed->grams_per_plant},
                            {"window", window_or_null(r, c.second_feed->window)}};
      j["too_uncertain"] = c.too_uncertain;
      j["perturbed"] = perturbed_json(c, r.first);
      j["reasons"] = Json::array();
      for (const Reason& reason : c.reasons)
        j["reasons"].push_back({{"without", reason.key},
                                {"words", reason.words},
                                {"first_short", date_or_null(r.first, reason.verdict.first_short)},
                                {"moved_d", reason.moved_d}});
    }
    j["cost"] = c.cost;
    j["mulch"] = c.mulch ? mulch_json(*c.mulch, r.first) : Json();
    j["ledger_kg_n_ha"] = ledger_json(c.ledger);
    j["sources_kg_n_ha"] = Json::array();
    for (const auto& s : c.sources)
      j["sources_kg_n_ha"].push_back({{"source", s.name}, {"given", s.given_kg_n_ha}, {"where", where_json(s.where)}});
    j["drainage"] = drainage_json(c.drainage);
    columns.push_back(std::move(j));
  }
  const Json out = {
      {"format", 1},
      {"garden", r.garden},
      {"note", r.note},
      {"weather_note", r.weather_note},
      {"season", r.season},
      {"first_day", to_iso(r.first)},
      {"carry_to", to_iso(r.first + std::chrono::days{static_cast<long>(r.carry_to)})},
      {"feedings", r.feed_words},
      {"against_plan", r.against_plan},
      {"windows", windows_json(r)},
      {"leave_alone", leave_alone_json(r)},
      {"checks", checks_json(r)},
      {"columns", columns},
      {"ledger_g_n", ledger_json(r.total_g)},
      {"cost", r.cost},
      {"currency", r.currency},
      {"trips", r.trips},
      {"carried", carried_json(r.carried)},
      {"by_feeding_g_n", by_feeding},
      {"gain_g_n", r.gain_g},
      {"given_beside_g",
       {{"phosphorus", r.beside.phosphorus_g}, {"potassium", r.beside.potassium_g}, {"organic_matter", r.beside.organic_matter_g}}},
      {"drainage", drainage_json(r.drainage)},
      {"cautions", cautions_json(r.cautions)},
      {"notes", r.notes}};
  return out.dump(2) + "\n";
}

std::string in_json(const LastsResult& r) {
  Json plantings = Json::array();
  for (const PlantingYears& p : r.plantings) {
    Json years = Json::array();
    for (std::size_t y = 0; y < p.years.size(); ++y)
      years.push_back({{"season", p.years[y].season},
                       {"outcome", name_of(p.years[y].verdict.outcome)},
                       {"first_short", p.years[y].first_short ? Json(to_iso(*p.years[y].first_short)) : Json()},
                       {"unfed_outcome", name_of(p.unfed[y].verdict.outcome)},
                       {"unfed_first_short", p.unfed[y].first_short ? Json(to_iso(*p.unfed[y].first_short)) : Json()},
                       {"taken_kg_n_ha", p.years[y].taken_kg_n_ha},
                       {"leached_kg_n_ha", p.years[y].leached_kg_n_ha}});
    plantings.push_back({{"name", p.name},
                         {"hunger", name_of(p.hunger)},
                         {"fed", p.fed},
                         {"kept_years", p.kept},
                         {"kept_years_unfed", p.kept_unfed},
                         {"never_woke_years", p.slept},
                         {"water_limited_years", p.thirsty},
                         {"usual_first_short", p.usual_first_short ? Json(to_iso(*p.usual_first_short)) : Json()},
                         {"kept_nine_in_ten_until", p.kept_whole_season ? Json("season") : Json(to_iso(p.kept_nine_in_ten))},
                         {"years", years}});
  }
  const Json out = {{"format", 1},
                    {"garden", r.garden},
                    {"note", r.note},
                    {"weather_note", r.weather_note},
                    {"carry_to", to_iso(r.carry_to)},
                    {"seasons", r.seasons},
                    {"feedings", r.feed_words},
                    {"plantings", plantings},
                    {"notes", r.notes}};
  return out.dump(2) + "\n";
}

}  // namespace leafhunger
