// A weather file from anywhere. What is let in has whole columns of finite figures.
#include "leafhunger/reader.hpp"
#include "support.hpp"

namespace lf = leafhunger;
using namespace lf::fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Watch watch;
  static const Folder folder;
  const std::string path = folder.write("weather.csv", text_of(data, size));
  for (const int fill_days : {0, 3}) {
    try {
      const lf::DailyWeather w = lf::read_weather(path, fill_days);
      require(w.days() > 0, "weather without a day was let in");
      for (const auto* column : {&w.tmin_c, &w.tmax_c, &w.rain_mm}) {
        require(column->size() == w.days(), "a column is short");
        for (const double x : *column) require(std::isfinite(x), "a blank was let in");
      }
      for (std::size_t d = 0; d < w.days(); ++d) require(w.tmin_c[d] <= w.tmax_c[d] && w.rain_mm[d] >= 0, "a day contradicts itself");
      for (const auto* column :
           {&w.sun_h, &w.radiation_mj_m2, &w.rh_mean_percent, &w.rh_max_percent, &w.rh_min_percent, &w.vapour_pressure_kpa, &w.wind_m_s})
        require(column->empty() || column->size() == w.days(), "a column that may be left out is short");
    } catch (const lf::InputError& e) {
      require_sentence(e);
    }
  }
  return 0;
}
