#include "mistakes.hpp"

#include <algorithm>
#include <cctype>

#include "leafhunger/reader.hpp"
#include "lists.hpp"

namespace leafhunger::cli {
namespace {

std::string joined(const std::vector<std::string>& names) {
  std::string out;
  for (std::size_t i = 0; i < names.size(); ++i) out += (i == 0 ? "" : i + 1 < names.size() ? ", " : " or ") + names[i];
  return out;
}

// "--season" and "-h", but neither "-3" nor "-".
bool is_option(const std::string& word) { return word.size() > 1 && word[0] == '-' && !std::isdigit(static_cast<unsigned char>(word[1])); }

// "--season=2020" is about "--season".
std::string without_value(const std::string& word) { return word.substr(0, word.find('=')); }

std::string command_line(const CLI::App& command) {
  return command.get_parent() == nullptr ? "leafhunger" : "leafhunger " + command.get_name();
}

std::string see_help(const CLI::App& command) { return "`" + command_line(command) + " --help` says more"; }

// Empty where the program itself is meant.
std::string place_of(const CLI::App& command) { return command.get_parent() == nullptr ? "" : command.get_name(); }

InputError unknown_command(const CLI::App& app, const std::string& found) {
  std::vector<std::string> names, all;
  for (const CLI::App* c : app.get_subcommands([](const CLI::App*) { return true; })) {
    names.push_back(c->get_name()), all.push_back(c->get_name());
    for (const std::string& alias : c->get_aliases()) all.push_back(alias);
  }
  if (found.empty()) return InputError({"", "", "no command", joined(names), "`leafhunger --help` says what each does"});
  const std::string near = nearest_name(found, all);
  return InputError({"", "", "the unknown command " + in_quotes(found), joined(names),
                     near.empty() ? "the command comes first, such as `leafhunger season garden.json`" : "the nearest is " + near});
}

bool has_option(const CLI::App& command, const std::string& name) {
  return !command.get_options([&](const CLI::Option* o) { return o->nonpositional() && o->check_name(name); }).empty();
}

// `behind`: the command that the words go on with, where the option stands before it.
InputError unknown_option(const CLI::App& command, const std::string& found, const CLI::App* behind = nullptr) {
  std::vector<std::string> names;
  for (const CLI::Option* o : command.get_options([](const CLI::Option* o) { return o->nonpositional(); }))
    for (const std::string& name : o->get_lnames()) names.push_back("--" + name);
  if (behind && has_option(*behind, found))
    return InputError({"", "", in_quotes(found) + " before the command", joined(names), "write it after " + behind->get_name()});
  const std::string near = nearest_name(found, names);
  return InputError({"", place_of(command), "the unknown option " + in_quotes(found), joined(names),
                     near.empty() ? see_help(command) : "the nearest is " + near});
}

InputError one_too_many(const CLI::App& command, const std::string& found) {
  std::string takes = command_line(command);
  for (const CLI::Option* o : command.get_options([](const CLI::Option* o) { return o->get_positional(); })) takes += " " + o->get_name();
  const bool dashes_lack = !command.get_options([&](const CLI::Option* o) { return o->check_lname(found); }).empty();
  return InputError({"", place_of(command), in_quotes(found) + ", which is one word too many", "`" + takes + "` and options",
                     dashes_lack ? "the nearest is --" + found : "put what has blanks in it between quotation marks"});
}

InputError missing(const CLI::App& command, const CLI::Option& o) {
  const bool positional = o.get_positional();
  return InputError({"", place_of(command), "no " + o.get_name(), "a value for " + o.get_name() + ": " + o.get_description(),
                     positional ? "write it after the command; " + see_help(command) : "add " + o.get_name() + "; " + see_help(command)});
}

// What follows the option among the words.
std::string word_after(const std::vector<std::string>& words, const CLI::Option& o) {
  for (auto at = words.rbegin(); at != words.rend(); ++at)
    if (is_option(*at) && o.check_name(*at)) return at == words.rbegin() ? "" : *(at - 1);
  return "";
}

std::string kind_of(const CLI::Option& o) {
  const std::string type = o.get_type_name();
  return type == "INT" ? "a whole number: " : type == "FLOAT" ? "a number: " : "a value: ";
}

// The option that CLI11 speaks of: the longest name in its sentence.
const CLI::Option* option_named_in(const std::string& sentence, const CLI::App& command) {
  const CLI::Option* named = nullptr;
  for (const CLI::Option* o : command.get_options([](const CLI::Option*) { return true; }))
    if (sentence.find(o->get_name()) != std::string::npos && (!named || o->get_name().size() > named->get_name().size())) named = o;
  return named;
}

InputError wrong_value(const CLI::App& command, const CLI::Option& o, const std::vector<std::string>& words) {
  const bool flag = o.get_expected_max() == 0;
  const auto results = o.results();
  std::string found = results.empty() ? word_after(words, o) : results.back();
  found = found.empty() ? "nothing after it" : in_quotes(found);
  if (!flag && results.size() > 1) found = "it " + std::to_string(results.size()) + " times";
  const std::string allowed = flag                 ? "it without a value: " + o.get_description()
                              : results.size() > 1 ? "it once"
                                                   : kind_of(o) + o.get_description();
  const std::string where = place_of(command);
  return InputError({"", where.empty() ? o.get_name() : where + ", " + o.get_name(), found, allowed, see_help(command)});
}

}  // namespace

InputError mistake_in(const CLI::App& app, const std::vector<std::string>& words, const CLI::ParseError& refusal) {
  const auto parsed = app.get_subcommands();
  // A misspelt word explains all that then seems to be missing, so it goes first.
  for (const std::string& word : app.remaining()) {
    if (is_option(word)) return unknown_option(app, without_value(word), parsed.empty() ? nullptr : parsed.back());
    const bool before = parsed.empty() || std::find(words.begin(), words.end(), word) <
                                              std::find_if(
                                                  words.begin(), words.end(), [&](const auto& w) { return parsed.back()->check_name(w); });
    return before ? unknown_command(app, word) : one_too_many(*parsed.back(), word);
  }
  if (!parsed.empty()) {
    const CLI::App& command = *parsed.back();
    for (const std::string& word : command.remaining())
      if (is_option(word)) return unknown_option(command, without_value(word));
    const bool lacks = dynamic_cast<const CLI::RequiredError*>(&refusal) != nullptr;
    for (const CLI::Option* o : command.get_options([&](const CLI::Option* o) { return lacks && o->get_required() && o->count() == 0; }))
      return missing(command, *o);
    if (const CLI::Option* o = option_named_in(refusal.what(), command)) return wrong_value(command, *o, words);
    for (const std::string& word : command.remaining()) return one_too_many(command, word);
  }
  if (const CLI::Option* o = option_named_in(refusal.what(), app)) return wrong_value(app, *o, words);
  if (parsed.empty()) return unknown_command(app, "");
  return InputError({"", place_of(*parsed.back()), refusal.what(), "what its help says", see_help(*parsed.back())});
}

}  // namespace leafhunger::cli
