// A scenario from a stranger: read, checked against the models, laid out as soil columns; nothing run.
#include "leafhunger/garden.hpp"
#include "leafhunger/reader.hpp"
#include "support.hpp"

namespace lf = leafhunger;
using namespace lf::fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Watch watch;
  static const Folder folder;
  static const std::string catalogue = LEAFHUNGER_SOURCE_DIR "/tests/bad/catalogue";
  static const bool ready = [] {
    folder.copy(LEAFHUNGER_SOURCE_DIR "/tests/bad/weather.csv");
    return true;
  }();
  static_cast<void>(ready);
  const std::string path = folder.write("garden.json", text_of(data, size));
  try {
    const lf::Garden garden(lf::read_scenario(path, catalogue), models(), {});
    require(!garden.seasons().empty(), "a garden without a season was let in");
    require(garden.scenario().beds.size() <= 50 && garden.scenario().feedings.size() <= 200, "more beds or feedings than are allowed");
  } catch (const lf::InputError& e) {
    require_sentence(e);
  }
  return 0;
}
