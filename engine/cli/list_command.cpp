#include "list_command.hpp"

#include <iostream>

#include "leafhunger/error.hpp"
#include "leafhunger/listing.hpp"
#include "leafhunger/plugin_loader.hpp"
#include "leafhunger/plugin_registry.hpp"
#include "lists.hpp"

namespace leafhunger::cli {

void add_list(CLI::App& app, ListCommand& c, Options& o) {
  c.app = app.add_subcommand("list", "find plants, materials, places and soils by what people call them");
  c.app->add_option("WHAT", c.what, "plants, materials, places or soils")->required();
  c.app->add_option("WORD", c.words, "such as banana, or chicken pellets; all of them without");
  c.app->add_flag("--json", o.json, "answer as JSON");
  c.app->add_flag("--more", o.more, "every figure's source, every caution");
}

int list(const ListCommand& c, const Options& o) {
  constexpr const char* k_what[] = {"plants", "materials", "places", "soils"};
  const auto at = std::find(std::begin(k_what), std::end(k_what), c.what);
  if (at == std::end(k_what))
    throw InputError({"", "WHAT", in_quotes(c.what), "plants, materials, places or soils", "such as `leafhunger list plants banana`"});
  const auto what = static_cast<Listed>(at - std::begin(k_what));
  std::string word;
  for (const std::string& w : c.words) word += (word.empty() ? "" : " ") + w;
  if (o.json) {
    std::cout << list_in_json(what, word, catalogue_folder(o.beside));
  } else {
    PluginRegistry registry;
    const LoadReport report = load_plugins(registry, plugin_folders(o.plugin_folders, o.beside));
    std::cout << list_in_words(what, word, catalogue_folder(o.beside), registry, report, o.more);
  }
  return 0;
}

}  // namespace leafhunger::cli
