// A file of the catalogue, in turn in each of its three places.
#include "leafhunger/reader.hpp"
#include "support.hpp"

namespace lf = leafhunger;
using namespace lf::fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Watch watch;
  static const Folder folders[3];
  static const char* const names[3] = {"materials.json", "plants.json", "cautions.json"};
  static const bool ready = [] {
    for (const Folder& folder : folders)
      for (const char* name : names) folder.copy(std::string(LEAFHUNGER_SOURCE_DIR "/tests/bad/catalogue/") + name);
    return true;
  }();
  static_cast<void>(ready);
  for (int i = 0; i < 3; ++i) {
    folders[i].write(names[i], text_of(data, size));
    try {
      const lf::Catalogue catalogue = lf::read_catalogue(folders[i].at(""));
      for (const auto& [id, m] : catalogue.materials)
        require(m.id == id && std::isfinite(m.n_percent), "a material that is not what it says");
    } catch (const lf::InputError& e) {
      require_sentence(e);
    }
  }
  return 0;
}
