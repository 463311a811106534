// Monthly normals from anywhere. From what is let in days can be made up, or a sentence says why not; and the weather reader takes them.
#include "leafhunger/generator.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/weather_writer.hpp"
#include "support.hpp"

namespace lf = leafhunger;
using namespace lf::fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Watch watch;
  static const Folder folder;
  try {
    const auto normals = lf::read_normals(folder.write("normals.csv", text_of(data, size)));
    require(!normals.empty(), "no place was let in");
    lf::find_place(normals, normals.back().place, "normals.csv");
    lf::GeneratorRequest request;
    request.years = 1, request.seed = size;
    const lf::DailyWeather made = lf::WeatherGenerator(normals.front()).generate(request);
    try {
      const auto read = lf::read_weather(folder.write("weather.csv", lf::weather_csv(made, normals.front(), request, "0")));
      require(read.days() == made.days(), "made-up days went missing on the way through a file");
    } catch (const lf::InputError& e) {
      fail(std::string("made-up days are refused: ") + e.what());
    }
  } catch (const lf::InputError& e) {
    require_sentence(e);
  }
  return 0;
}
