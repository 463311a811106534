#include "leafhunger/common_names.hpp"

#include <algorithm>
#include <cctype>

#include "host/words.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/reader.hpp"

namespace leafhunger {
namespace {

// Words in small letters, without their plural's s, so that "Chicken Pellets" and "chicken-pellet" are one.
std::vector<std::string> words_of(const std::string& text) {
  std::vector<std::string> words(1);
  for (const char c : text) {
    const auto u = static_cast<unsigned char>(c);
    if (c == '\'') continue;
    if (std::isalnum(u) || u >= 0x80)
      words.back() += static_cast<char>(std::tolower(u));
    else if (!words.back().empty())
      words.emplace_back();
  }
  if (words.back().empty()) words.pop_back();
  for (std::string& w : words)
    if (w.size() > 3 && w.back() == 's' && w[w.size() - 2] != 's') w.pop_back();
  return words;
}

template <class Entry>
Called called(const std::map<std::string, Entry>& entries, const std::string& said) {
  const auto wanted = words_of(said);
  Called out;
  for (const auto& [id, entry] : entries) {
    std::vector<std::string> all;
    bool whole = false;
    for (const std::string& name : names_of_entry(entry)) {
      const auto words = words_of(name);
      whole = whole || (!wanted.empty() && words == wanted);
      all.insert(all.end(), words.begin(), words.end());
    }
    const bool each = std::all_of(wanted.begin(), wanted.end(), [&](const std::string& w) {
      return std::any_of(all.begin(), all.end(), [&](const std::string& word) { return word.starts_with(w); });
    });
    if (whole && !out.exact)
      out.ids.insert(out.ids.begin(), id), out.exact = true;
    else if (each)
      out.ids.push_back(id);
  }
  return out;
}

template <class Entry>
std::string the_one(const std::map<std::string, Entry>& entries, const std::string& said, const char* kind, const std::string& file,
                    const std::string& place) {
  if (entries.contains(said)) return said;  // a scenario's own entry may bear another's name, but not its id
  const Called found = words_of(said).empty() ? Called{} : called(entries, said);
  if (found.exact || found.ids.size() == 1) return found.ids[0];
  if (!found.ids.empty())
    throw InputError({file, place, input::in_quotes(said) + ", which may be any of " + std::to_string(found.ids.size()) + " " + kind + "s",
                      input::one_of(found.ids, 12), "write the one that you mean"});
  const auto near = nearest_three(said, every_name(entries));
  throw InputError({file, place, input::in_quotes(said), std::string("a ") + kind + " of the catalogue",
                    (near.empty() ? "" : std::string("the nearest ") + (near.size() > 1 ? "are " : "is ") + input::one_of(near) + "; ") +
                        "`leafhunger list " + kind + "s` lists them all"});
}

template <class Entry>
std::vector<std::string> names_with(const Entry& e, const std::string& more) {
  std::vector<std::string> names{e.id, e.title};
  if (!more.empty()) names.push_back(more);
  names.insert(names.end(), e.also.begin(), e.also.end());
  return names;
}

}  // namespace

std::vector<std::string> names_of_entry(const Material& m) { return names_with(m, {}); }
std::vector<std::string> names_of_entry(const Plant& p) { return names_with(p, p.botanical); }

namespace {

template <class Entry>
std::map<std::string, std::string> names_to_ids(const std::map<std::string, Entry>& entries) {
  std::map<std::string, std::string> out;
  for (const auto& [id, entry] : entries)
    for (const std::string& name : names_of_entry(entry)) out.emplace(name, id);
  return out;
}

}  // namespace

std::map<std::string, std::string> every_name(const std::map<std::string, Material>& m) { return names_to_ids(m); }
std::map<std::string, std::string> every_name(const std::map<std::string, Plant>& p) { return names_to_ids(p); }

namespace {

template <class Entry>
std::string whole_name(const std::map<std::string, Entry>& entries, const std::string& said) {
  const Called found = called(entries, said);
  return found.exact ? found.ids[0] : "";
}

// A name that people say goes before one that only looks like it, or holds the word: a tender cousin is no help.
template <class Entry>
std::string nearest_of(const std::map<std::string, Entry>& entries, const std::string& said) {
  if (const std::string id = whole_name(entries, said); !id.empty()) return id;
  const auto names = names_to_ids(entries);
  std::vector<std::string> known;
  for (const auto& [name, id] : names) known.push_back(name);
  const std::string near = nearest_name(said, known);
  return near.empty() ? "" : names.at(near);
}

}  // namespace

std::string entry_named(const std::map<std::string, Material>& m, const std::string& said) { return whole_name(m, said); }
std::string entry_named(const std::map<std::string, Plant>& p, const std::string& said) { return whole_name(p, said); }
std::string nearest_entry(const std::map<std::string, Material>& m, const std::string& said) { return nearest_of(m, said); }
std::string nearest_entry(const std::map<std::string, Plant>& p, const std::string& said) { return nearest_of(p, said); }

Called materials_called(const Catalogue& c, const std::string& said) { return called(c.materials, said); }
Called plants_called(const Catalogue& c, const std::string& said) { return called(c.plants, said); }

std::vector<std::string> nearest_three(const std::string& said, std::map<std::string, std::string> known) {
  std::vector<std::string> near;
  while (near.size() < 3) {
    std::vector<std::string> names;
    for (const auto& [name, id] : known) names.push_back(name);
    const std::string next = nearest_name(said, names);
    if (next.empty()) break;
    const std::string id = known.at(next);
    near.push_back(id);
    std::erase_if(known, [&](const auto& entry) { return entry.second == id; });
  }
  return near;
}

std::string material_called(const Catalogue& c, const std::string& said, const std::string& file, const std::string& place) {
  return the_one(c.materials, said, "material", file, place);
}
std::string plant_called(const Catalogue& c, const std::string& said, const std::string& file, const std::string& place) {
  return the_one(c.plants, said, "plant", file, place);
}

}  // namespace leafhunger
