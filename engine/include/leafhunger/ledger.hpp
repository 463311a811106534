// Where every kilogram came from and went. Closed to 1e-9 of what came in, or the run fails.
#pragma once

namespace leafhunger {

/// kg N/ha of one column, from the season's start to some day.
struct Ledger {
  // In.
  double given = 0;          ///< in feeds
  double from_soil = 0;      ///< freed by the soil's own organic matter
  double start_mineral = 0;  ///< in the soil on the first day
  double start_plant = 0;    ///< in plant and reserve on the first day
  double fixed = 0;          ///< from the air by symbionts
  // Out, or still here.
  double plant = 0, reserve = 0, litter = 0;
  double mineral = 0;  ///< ammonium and nitrate in the soil
  double unfreed = 0;  ///< still in the feed, surface ammonium included
  double microbes = 0, humus = 0;
  double leached = 0, volatilised = 0, denitrified = 0;
  double taken = 0;  ///< taken up from the soil so far; not a term of the balance

  double in() const { return given + from_soil + start_mineral + start_plant + fixed; }
  double out() const { return plant + reserve + litter + mineral + unfreed + microbes + humus + leached + volatilised + denitrified; }
  /// Over what came in.
  double relative_residual() const { return in() > 0 ? (in() - out()) / in() : in() - out(); }

  Ledger& operator+=(const Ledger& other);
  Ledger scaled(double factor) const;
};

}  // namespace leafhunger
