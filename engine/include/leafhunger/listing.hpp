// Finding things: plants, materials, places and soils by the words that people use, and one entry on one screen.
#pragma once

#include <string>

#include "leafhunger/plugin_loader.hpp"

namespace leafhunger {

enum class Listed { plants, materials, places, soils };

/// What the catalogue in that folder has for `word`; empty: everything, a line each. One that is meant, or the only one, is told whole:
/// what it is, how hungry or how fast, what to beware of, where its figures come from (`more`: every figure's source, every caution). Where
/// nothing is called so, InputError with the three nearest. `registry` holds the release models, for how fast a material is.
std::string list_in_words(Listed what, const std::string& word, const std::string& catalogue_dir, const PluginRegistry& registry,
                          const LoadReport& report, bool more);
/// The same entries, with every figure that the catalogue has.
std::string list_in_json(Listed what, const std::string& word, const std::string& catalogue_dir);

}  // namespace leafhunger
