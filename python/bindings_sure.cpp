// How sure, what dose, and how it stands today.
#include "bindings_wait.hpp"
#include "leafhunger/enough.hpp"
#include "leafhunger/ensemble.hpp"
#include "leafhunger/today.hpp"

namespace leafhunger::bindings {
namespace {

using namespace py::literals;

// Rows of quantiles, days along each: [planting][series][quantile].
py::list bands_list(const EnsembleResult& r) {
  py::list all;
  for (const PlantingSureness& p : r.plantings) {
    py::dict series;
    for (const Band& b : p.bands) {
      py::list rows;
      for (const auto& q : b.at) rows.append(py::array_t<double>(static_cast<py::ssize_t>(q.size()), q.data()));
      series[py::str(b.name)] = rows;
    }
    all.append(series);
  }
  return all;
}

}  // namespace

void bind_sure(py::module_& m) {
  py::class_<EnsembleResult, std::shared_ptr<EnsembleResult>>(m, "Sureness", "Many ways that feed, soil and plant may be.")
      .def(
          "words", [](const EnsembleResult& r, bool more) { return in_words(r, more); }, "more"_a)
      .def("json", [](const EnsembleResult& r) { return in_json(r); })
      .def("csv", [](const EnsembleResult& r) { return in_csv(r); })
      .def("band_first", [](const EnsembleResult& r) { return to_iso(r.band_first); })
      .def("bands", &bands_list);
  py::class_<EnoughResult, std::shared_ptr<EnoughResult>>(m, "Enough", "What spring dose would do.")
      .def(
          "words", [](const EnoughResult& r, bool more) { return in_words(r, more); }, "more"_a)
      .def("json", [](const EnoughResult& r) { return in_json(r); })
      .def("svg", [](const EnoughResult& r) { return in_svg(r); });
  py::class_<TodayResult, std::shared_ptr<TodayResult>>(m, "Today", "How it stands on a day.")
      .def(
          "words", [](const TodayResult& r, bool more) { return in_words(r, more); }, "more"_a)
      .def("json", [](const TodayResult& r) { return in_json(r); });
  m.def(
      "how_sure",
      [](const Garden& g, int samples, std::uint64_t seed, double width, std::optional<int> season, const py::object& progress) {
        EnsembleQuestion q;
        q.samples = samples, q.seed = seed, q.width = width, q.season = season;
        return stoppable(in_python(g), progress,
                         [&](const Control& control) { return std::make_shared<EnsembleResult>(how_sure_it_is(g, q, control)); });
      },
      "garden"_a, "samples"_a, "seed"_a, "width"_a, "season"_a, "progress"_a = py::none());
  m.def(
      "enough",
      [](const Garden& g, const std::vector<double>& doses, const std::vector<std::string>& dates) {
        EnoughQuestion q;
        q.multiples = doses;
        for (const std::string& d : dates) q.dates.push_back(month_day_of(d, "dates", "04-15"));
        return stoppable(in_python(g), py::none(),
                         [&](const Control& control) { return std::make_shared<EnoughResult>(what_would_do(g, q, control)); });
      },
      "garden"_a, "doses"_a, "dates"_a);
  m.def(
      "today",
      [](const Garden& g, const std::string& on) {
        const Date day = day_of(on, "on", "2024-06-15");
        return without_lock(in_python(g), [&] { return std::make_shared<TodayResult>(how_it_stands(g, day)); });
      },
      "garden"_a, "on"_a);
}

}  // namespace leafhunger::bindings
