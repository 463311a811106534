// The nitrogen column: one right-hand side over a batch of members, laid out structure-of-arrays.
//
// Every nitrogen flow is a transfer of coefficient x donor pool. So mass is kept by construction, a gram can be labelled by letting it
// follow the same coefficients, and each outflow vanishes with its donor. State is [row][lane]; lanes is 1 or a multiple of 8, lanes past
// the members repeat the last. equations.md 3 to 8.
#pragma once

#include <boost/align/aligned_allocator.hpp>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <memory>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "day_factors.hpp"
#include "leafhunger/catalogue.hpp"
#include "leafhunger/plugin.h"
#include "leafhunger/response.hpp"
#include "leafhunger/soil_climate.hpp"

namespace leafhunger {

using AlignedRows = std::vector<double, boost::alignment::aligned_allocator<double, 64>>;

/// Constants of the soil's own nitrogen, defaults of equations.md 11.
struct NitrogenConstants {
  double mineral_at_start_kg_ha = 20, ammonium_share_at_start = 0.2;
  double wash_fast = 0.53, fast = 0.66, v_fast = 1.25, v_slow = 0.22;            ///< phi_w, phi_f, v_f, v_s
  double nitrify_mg_kg_d = 17, nitrify_half_mg_kg = 60;                          ///< V_n at 35 degC, K_n
  double denitrify_mg_kg_d = 2, k_half_denitrification = 10, denitrify_q10 = 3;  ///< V_d at 15 degC, K_d, Q_d
  double starve_half_mg_kg = 0.8, fastest_take_per_day = 1;                      ///< K_N, k_imm
  double humus_freed_per_year = 0.02;                                            ///< m_a at 10 degC
  double surface_q10 = 2;                                                        ///< of ammonia loss, at 15 degC
};

/// One material in one form and placement. Feedings that share it share its pools.
struct Slot {
  const lh_release* model = nullptr;
  double forked_mm = 0;  ///< 0: on top, washes into layer 1
};

/// What all members of a batch have in common.
struct ColumnShape {
  std::size_t layers = 4;
  std::vector<Slot> slots;
  const lh_demand* demand = nullptr;  ///< null: bare ground
};

/// A slot's material as one member has it.
struct SlotMaterial {
  std::vector<double> parameter;
  std::vector<ChosenResponse> response;  ///< one for each of the model's, or none at all
  SurfaceConstants surface;
  double t_dm_per_kg_n = 0;
  bool bulky = false;
};

/// A feeding of one day. Doses of a member are in order of day.
struct Dose {
  std::size_t day = 0, slot = 0;
  double kg_n_ha = 0;
  double watered_in_mm = 0;
  std::size_t source = 0;  ///< label that it carries
};

/// A limit taken away, to see what mattered.
enum class Without { nothing, leaching, gas, cold, drought, waiting, distance };

struct Member {
  const SoilClimate* climate = nullptr;
  const Soil* soil = nullptr;
  const PlantOnGround* plant = nullptr;  ///< null: bare ground
  const NitrogenConstants* nitrogen = nullptr;
  const std::vector<SlotMaterial>* materials = nullptr;  ///< one a slot
  std::vector<Dose> doses;
  Without without = Without::nothing;
  std::size_t without_from = 0;  ///< day from which that limit is gone

  Without without_on(std::size_t day) const { return day >= without_from ? without : Without::nothing; }
  bool same_but_doses(const Member& m) const {
    return climate == m.climate && soil == m.soil && plant == m.plant && nitrogen == m.nitrogen && materials == m.materials &&
           without == m.without && without_from == m.without_from;
  }
};

/// Where each state stands.
struct RowMap {
  struct OfSlot {
    std::size_t first_pool, surface_ammonium, first_age;
  };
  std::vector<OfSlot> slot;
  std::size_t ammonium, nitrate_fast, nitrate_slow;  ///< first of `layers` rows each
  std::size_t plant, reserve, litter;
  std::size_t leached, volatilised, denitrified, taken;  ///< cumulative
  std::size_t nitrogen_rows;                             ///< rows that hold N and carry labels: all above
  std::size_t from_soil, fixed;                          ///< cumulative inflows
  std::size_t w;                                         ///< dry matter, t/ha of covered ground
  std::size_t rows;
};

class FastDay;

class ColumnBatch {
 public:
  /// `lanes` is 1 or a multiple of 8, at least members.size(). Members must outlive the batch, and so must `factors`, which batches of one
  /// shape may share one after another; without it the batch keeps its own.
  ColumnBatch(const ColumnShape& shape, std::span<const Member> members, std::size_t lanes, DayFactors* factors = nullptr);

  const RowMap& map() const { return map_; }
  std::size_t lanes() const { return lanes_; }
  std::size_t days() const { return days_; }  ///< of the longest member
  std::span<const Member> members() const { return members_; }
  const ColumnShape& shape() const { return shape_; }

  /// State at 1 November, 00.
  void start();
  /// A lane as it stands between days: members that are the same until then may start from it.
  struct Checkpoint {
    std::vector<double> state, given, given_t_dm, age_d;
    std::size_t next_dose = 0;
  };
  Checkpoint checkpoint(std::size_t lane = 0) const;
  /// All lanes as the checkpoint has it, in place of the days before.
  void resume(const Checkpoint& from);
  /// The same of one lane, which stands still until `day`.
  void resume(std::size_t lane, const Checkpoint& from, std::size_t day);
  /// Events at 00 of day `d`, then that day's coefficients. A lane whose season is over stands still.
  void begin_day(std::size_t d);
  /// dy/dt of the day begun; both [rows][lanes].
  void rates(const double* y, double* dy);
  /// A bound on the day's fastest rate in a lane, per day. A function of that lane alone.
  double fastest_per_day(std::size_t lane) {
    if (!fastest_known_) find_fastest();
    return fastest_[lane];
  }
  /// The way through a day without starvation; see stepper_fast.hpp.
  FastDay& fast_day();
  /// Whether the lane's season is still running on the day begun.
  bool running(std::size_t lane) const { return running_[lane]; }

  double* state() { return y_.data(); }
  const double* state() const { return y_.data(); }
  double at(std::size_t row, std::size_t lane) const { return y_[row * lanes_ + lane]; }

  /// Critical N of the column now, kg/ha; 0 on bare ground. [lanes]
  void critical(std::span<double> kg_n_ha);
  /// What the plant would take from the soil now, kg/ha/d. [lanes]
  std::span<const double> need() const { return {need_.data(), lanes_}; }

  /// Which label each source of N carries. Feedings carry their dose's `source`.
  struct Labels {
    std::size_t count = 0, soil = 0, start_mineral = 0, start_plant = 0, fixed = 0;
  };
  /// Labels every gram, from start() on; only with one lane. Label state is [nitrogen_rows][labels].
  void use_labels(const Labels& labels);
  std::size_t labels() const { return labels_; }
  double* label_state() { return label_y_.data(); }
  const double* label_state() const { return label_y_.data(); }
  /// After rates(y, ...): the labels' rates under the same coefficients.
  void label_rates(const double* label_y, double* label_dy) const;

 private:
  friend class FastDay;
  static constexpr std::uint32_t k_none = 0xffffffffu;

  struct Transfer {
    std::uint32_t from, to, count;  // count: a cumulative row that the flow is added to as well, or k_none
  };
  struct SlotPlan {
    std::size_t first_flow, place;       // row in flow_coef_; starvation group
    std::vector<double> share, covered;  // by layer: share of the feed that lies there; share of the layer that it reaches
  };
  struct Place {  // feeds that lie in the same layers starve together
    std::vector<double> covered;
    std::vector<std::size_t> slots;
  };
  struct FlowTransfer {  // from a pool: weight x flow coefficient, x lambda, x bend
    std::size_t slot, flow_row, transfer;
    double weight;
    bool starves, bends;
  };
  struct Take {  // from mineral N of one layer and kind
    std::size_t slot, flow_row, driver_row, transfer;
    double weight;
    bool bends;
  };
  struct Ask {  // what one flow would take from mineral N if there were plenty
    std::size_t place, flow_row, driver_row;
    bool bends;
  };
  struct Wash {
    std::size_t slot, pool, transfer;
    double weight;
  };
  struct SurfaceTransfers {
    std::size_t to_air = 0, to_soil = 0;
  };
  struct SoilTransfers {
    std::size_t nitrify_fast, nitrify_slow, denitrify_fast, denitrify_slow, move_ammonium, move_fast, move_slow, take_ammonium, take_fast,
        take_slow;
  };
  using Parts = std::vector<std::pair<std::size_t, double>>;  // rows and their shares

  // column_layout.cpp
  void lay_out_rows();
  void plan_slots();
  void plan_soil();
  void plan_flow(std::size_t slot, std::size_t flow);
  std::size_t add(std::size_t from, std::size_t to, std::size_t count = k_none);
  Parts washed_to(std::size_t slot, int32_t end, const std::vector<double>& share) const;

  // column_day.cpp
  void give(std::size_t lane, const Dose& dose);
  void move(std::size_t lane, std::size_t from, std::size_t to, double share);
  void move_parts(std::size_t lane, std::size_t from, const Parts& to, double share);
  void water_in(std::size_t lane, double mm);
  void fill_soil_day(std::size_t d);
  void fill_plant_day(std::size_t d);
  void fill_feed_day(std::size_t d);
  void weigh_mulch();
  void find_fastest();
  void find_active();
  void fill_constants();
  /// Copies lane 0 of each row to all lanes, where one morning serves all.
  void spread(std::initializer_list<AlignedRows*> rows) const;
  std::size_t lanes_to_fill() const { return one_morning_ ? 1 : lanes_; }
  void choose_factors(std::size_t lane, std::size_t d);
  void find_soil_fastest(std::size_t lanes);
  void fill_slot_day(std::size_t slot, std::size_t d);
  void check_rates(std::size_t slot) const;
  lh_day release_day(std::size_t slot);
  [[noreturn]] void plugin_failed(const char* model, const char* function, const std::string& why) const;

  // column_rates.cpp
  void critical_of(const double* w, double* kg_n_ha);
  void starve(const double* y);
  void bend(const double* y);
  void feed_stage(const double* y);
  void soil_stage(const double* y);
  void plant_stage(const double* y, double* dy);

  double* lane_row(AlignedRows& rows, std::size_t row) { return rows.data() + row * lanes_; }
  const double* lane_row(const AlignedRows& rows, std::size_t row) const { return rows.data() + row * lanes_; }

  ColumnShape shape_;
  std::span<const Member> members_;
  std::vector<const Member*> of_lane_;
  std::size_t lanes_, days_ = 0, day_ = 0, n_, flows_ = 0;
  RowMap map_;
  AlignedRows y_;
  std::vector<char> running_;
  std::vector<double> fastest_;
  AlignedRows fastest_out_;   // [nitrogen rows][lanes]
  AlignedRows soil_fastest_;  // [lanes]; of mineral N alone, where nothing starves
  // A copy of a batch plans its own.
  struct OwnFastDay {
    std::unique_ptr<FastDay> day;
    OwnFastDay();
    OwnFastDay(const OwnFastDay&);
    ~OwnFastDay();
  } fast_;
  std::vector<std::size_t> next_dose_, first_day_;  // [lanes]; first_day_: until then a lane stands still

  std::vector<Transfer> transfers_;
  std::vector<SlotPlan> plans_;
  std::vector<Place> places_;
  std::vector<FlowTransfer> flow_t_;
  std::vector<Take> takes_;
  std::vector<Ask> asks_;
  std::vector<Wash> washes_;
  std::vector<SurfaceTransfers> surface_t_;
  std::vector<SoilTransfers> soil_t_;
  std::size_t reserve_t_ = 0;
  DayFactors own_factors_;
  DayFactors* factors_;
  std::vector<const SoilDays*> soil_days_;                                              // [lanes]
  std::vector<const FeedDays*> feed_days_;                                              // [slots][lanes]
  std::vector<char> bulky_;                                                             // [slots]: in some lane
  AlignedRows nitrify_at_most_, deny_at_most_, humus_a_year_, v_fast_, v_slow_, held_;  // a member's constants; held_ [layers][lanes]
  // Whether the lanes differ in nothing but their doses, as a search's do: then one morning serves all, if all run or none does.
  bool alike_ = false, one_morning_ = false;
  bool fastest_known_ = false, active_known_ = false;
  bool any_bend_ = false, stage_feeds_ = false;  // stage_feeds_: some flow of a feed changes within the day
  bool takes_set_ = false;                       // some stage has set what feeds take from mineral N
  std::vector<std::uint32_t> active_;            // transfers that can carry anything on the day begun

  AlignedRows coef_;                                                        // [transfers][lanes], per day
  AlignedRows flow_coef_, bend_;                                            // [flows of all slots][lanes], as the plugins gave them
  AlignedRows poor_;                                                        // [slots][lanes]: 1 where the slot asks for mineral N
  AlignedRows scarce_, lambda_, half_starve_;                               // [places][lanes]
  AlignedRows nit_top_, nit_half_, den_top_, den_half_, humus_in_, reach_;  // [layers][lanes]
  AlignedRows psi_, unreachable_, want_rate_, reserve_rate_, luxury_, fixed_, stress_, cover_, take_rate_, scratch_row_;  // [lanes]
  AlignedRows parameter_plant_, factor_;
  std::vector<AlignedRows> parameter_slot_, response_slot_, age_rate_;
  AlignedRows given_, given_t_dm_, age_days_;  // [slots][lanes]
  AlignedRows day_of_year_, t_min_, t_max_, radiation_, day_length_, rain_, rain3_, t_soil_, wfps_, rel_water_, mulch_;
  AlignedRows n_crit_, nni_, need_, goes_;  // goes_: 1 where the slot at hand has been given and the season runs

  Labels label_;
  std::size_t labels_ = 0;
  std::vector<double> label_y_;
  double fixed_now_ = 0;
};

}  // namespace leafhunger
