#include "trunk.hpp"

#include <algorithm>

#include "season.hpp"
#include "stepper.hpp"

namespace leafhunger {
namespace {

double nni_of(double plant_kg_n_ha, double critical_kg_n_ha) { return critical_kg_n_ha > 0 ? plant_kg_n_ha / critical_kg_n_ha : 1; }

// A day of a whole batch, and what each lane's judge makes of it.
class Days {
 public:
  Days(const ColumnShape& shape, std::span<const Member> members, std::size_t lanes, std::size_t until, DayFactors& factors,
       const Trunk& trunk)
      : batch(shape, members, lanes, &factors), judged(members.size(), trunk.judged), until_(until), critical_(lanes) {
    batch.start();
    for (std::size_t i = 0; i < members.size(); ++i) first_.push_back(ledger_of(batch, i));
    if (trunk.day > 0) batch.resume(trunk.checkpoint);
  }

  void run(std::size_t d) {
    batch.begin_day(d);
    stepper_->day(batch, d);
    batch.critical(critical_);
    for (std::size_t i = 0; i < judged.size(); ++i) {
      if (!batch.running(i)) continue;
      const SoilClimate& k = *batch.members()[i].climate;
      judged[i].day(d, nni_of(batch.at(batch.map().plant, i), critical_[i]), k.f_t[d], batch.at(batch.map().w, i), until_);
    }
  }
  double leached_kg_n_ha(std::size_t i) const { return batch.at(batch.map().leached, i); }

  void require_all_closed(std::size_t d) const {
    for (std::size_t i = 0; i < judged.size(); ++i) {
      Ledger l = ledger_of(batch, i);
      l.given = 0;  // of what was planned, so much has been given by now
      for (const Dose& dose : batch.members()[i].doses)
        if (dose.day <= d) l.given += dose.kg_n_ha;
      l.start_mineral = first_[i].mineral, l.start_plant = first_[i].plant + first_[i].reserve;
      require_closed(l, "member " + std::to_string(i));
    }
  }

  ColumnBatch batch;
  std::vector<KeptSoFar> judged;

 private:
  std::size_t until_;
  std::vector<double> critical_;
  std::vector<Ledger> first_;
  std::unique_ptr<Stepper> stepper_ = make_batch_stepper();
};

void run_part(const ColumnShape& shape, std::span<const Member> members, std::span<const Wanted> wanted, std::size_t until,
              DayFactors& factors, const Trunk& trunk, std::span<Told> told, std::size_t most_lanes) {
  Days days(shape, members, lanes_for(members.size(), most_lanes), until, factors, trunk);
  std::vector<char> on(members.size(), 1);
  std::size_t left = members.size(), d = trunk.day;
  for (; d < days.batch.days() && left > 0; ++d) {
    days.run(d);
    for (std::size_t i = 0; i < members.size(); ++i) {
      if (!on[i]) continue;
      const SoilClimate& climate = *members[i].climate;
      Told& t = told[i];
      const Wanted& w = wanted[i];
      t.leached_kg_n_ha = days.leached_kg_n_ha(i);
      t.to_the_end = d + 1 == climate.days;
      t.decided = t.to_the_end || days.judged[i].decided();
      t.kept = t.decided && days.judged[i].kept(climate, until);
      const bool given_up = t.leached_kg_n_ha > w.leached_at_most_kg_n_ha || (t.decided && !t.kept && !w.even_short);
      if (t.to_the_end || given_up || (t.decided && !w.to_the_end)) on[i] = 0, --left;
    }
  }
  if (d > trunk.day) days.require_all_closed(d - 1);
}

}  // namespace

Trunk run_trunk(const ColumnShape& shape, const Member& member, std::size_t day, std::size_t until, DayFactors& factors,
                const Trunk& from) {
  if (day <= from.day) return from;
  Days days(shape, {&member, 1}, 1, until, factors, from);
  for (std::size_t d = from.day; d < day; ++d) days.run(d);
  return {day, days.batch.checkpoint(), days.judged[0], days.leached_kg_n_ha(0)};
}

void run_as_wanted(const ColumnShape& shape, std::span<const Member> members, std::span<const Wanted> wanted, std::size_t until,
                   DayFactors& factors, const Trunk& trunk, std::span<Told> told, std::size_t lanes) {
  for (std::size_t at = 0; at < members.size(); at += lanes) {
    const std::size_t n = std::min(lanes, members.size() - at);
    run_part(shape, members.subspan(at, n), wanted.subspan(at, n), until, factors, trunk, told.subspan(at, n), lanes);
  }
}

}  // namespace leafhunger
