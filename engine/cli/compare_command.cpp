#include "compare_command.hpp"

#include <filesystem>
#include <iostream>

#include "leafhunger/common_names.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/weather_writer.hpp"
#include "lists.hpp"
#include "written.hpp"

namespace leafhunger::cli {

void add_compare(CLI::App& app, CompareCommand& c, Options& o) {
  c.app = app.add_subcommand("compare", "what differs between two scenarios, or one and the same fed otherwise");
  c.app->add_option("FILE", o.file, "scenario A (JSON)")->required();
  c.app->add_option("OTHER", c.other, "scenario B (JSON); without it, B is A with the changes below");
  c.app->add_option("--material", c.material, "give this instead, as people call it");
  c.app->add_flag("--same-nitrogen", c.change.same_nitrogen, "so much of it that the nitrogen stays the same");
  c.app->add_option("--times", c.change.times, "give so many times as much");
  c.app->add_option("--first", c.first, "day of the first feeding, MM-DD; later ones keep their distance");
  c.app->add_option("--out", o.out, "write a picture (FILE.svg)");
  c.app->add_flag("--force", o.force, "overwrite that file");
  c.app->add_flag("--json", o.json, "answer as JSON");
  c.app->add_flag("--as-planned", o.as_planned, "leave the diary out");
}

int compare(const CompareCommand& c, const Options& o) {
  if (!o.out.empty() && std::filesystem::path(o.out).extension() != ".svg")
    throw InputError({o.out, "--out", "a name that does not end in .svg", ".svg for a picture", "such as --out differs.svg"});
  const Garden a = garden_of(o);
  Change change = c.change;
  if (!c.material.empty()) change.material = material_called(a.scenario().catalogue, c.material, "", "--material");
  if (!c.first.empty()) {
    change.first = parse_month_day(c.first);
    if (!change.first)
      throw InputError({"", "--first", in_quotes(c.first), "a day as MM-DD, such as 05-01", "month first, two digits each"});
  }
  if (c.other.empty() && !change.any())
    throw InputError({"", "OTHER", "neither a second scenario nor a change", "a file, --material, --times or --first", "say what B is"});
  if (change.same_nitrogen && change.material.empty())
    throw InputError({"", "--same-nitrogen", "no --material", "the option beside --material", "say what is given instead"});
  Options other = o;
  if (!c.other.empty()) other.file = c.other;
  const Garden b = garden_of(other, std::nullopt, change);
  const auto title = [](const Garden& g) { return g.scenario().garden + " (" + g.scenario().file + ")"; };
  std::string title_b = c.other.empty() ? "" : title(b);
  if (change.any()) title_b += (title_b.empty() ? "" : ", ") + in_words(change, b.scenario().catalogue);
  const CompareResult r = compare(a, b, title(a), title_b);
  if (!o.out.empty()) write_whole_file(o.out, in_svg(r), o.force);
  std::cout << (o.json ? in_json(r) : in_words(r));
  tell_written(o.out, o.json);
  return 0;
}

}  // namespace leafhunger::cli
