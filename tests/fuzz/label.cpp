// What a bag says, any figures at all within what the reader allows, and one word on what it came from.
#include "leafhunger/label.hpp"

#include "support.hpp"

namespace lf = leafhunger;
using namespace lf::fuzz;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const Watch watch;
  Bytes bytes(data, size);
  lf::Label label;
  label.n_percent = bytes.between(1e-6, 100);
  label.dry_matter_percent = bytes.between(1e-6, 100);
  if (bytes.byte() & 1) label.carbon_to_nitrogen = bytes.between(0, 1000);
  if (bytes.byte() & 1) label.ammonium_frac = bytes.unit();
  lf::Material material;
  material.n_percent = label.n_percent, material.dry_matter_percent = label.dry_matter_percent;
  material.carbon_to_nitrogen = label.carbon_to_nitrogen.value_or(0), material.ammonium_frac = label.ammonium_frac.value_or(0);
  for (const lf::LabelOrigin& origin : lf::label_origins()) {
    const lf::LabelEstimate made = lf::estimate_from_label(label, origin);
    require(std::isfinite(made.carbon_to_nitrogen) && made.carbon_to_nitrogen >= 0, "a C:N that is none");
    for (const auto& [name, value] : made.parameters) {
      require(std::isfinite(value) && value >= 0, name + " is no share");
      require(!name.ends_with("_frac") || value <= 1, name + " is above 1");
    }
    for (const auto& [name, value] : made.spread) require(std::isfinite(value) && value >= 0, "the spread of " + name + " is none");
    lf::Material one = material;
    one.origin_word = origin.word;
    lf::estimate_from_label(one);
  }
  const std::string word = bytes.text(40);
  const lf::LabelOrigin* found = lf::find_label_origin(word);
  require(found == nullptr || word == found->word, "another origin than was asked for");
  material.origin_word = word;
  lf::estimate_from_label(material);
  const double available = lf::plant_available_frac(label.n_percent);
  require(std::isfinite(available), "what a plant can have is no number");
  return 0;
}
