// Asks what was not said by an option, again where an answer is not understood, and writes nothing before the last one is in.
#include "new_command.hpp"

#include <filesystem>
#include <functional>
#include <iostream>

#include "commands.hpp"
#include "complain.hpp"
#include "folded.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/label.hpp"
#include "leafhunger/new_scenario.hpp"
#include "leafhunger/plugin_loader.hpp"
#include "leafhunger/reader.hpp"
#include "leafhunger/weather_writer.hpp"

namespace leafhunger::cli {
namespace {

namespace fs = std::filesystem;

// The person went away, by the end of input: nothing has been written yet.
struct WentAway {};

class Interview {
 public:
  explicit Interview(bool ask_nothing) : ask_nothing_(ask_nothing) {}

  using Take = std::function<void(const std::string&)>;
  using Show = std::function<void()>;

  // By `said`, the option's value, where there is one; else by asking until `take` does not refuse. An empty answer stands for `otherwise`
  // where that is not empty; `choices` shows what may be answered, to a question mark and after a wrong answer.
  void ask(const std::string& said, const char* option, const std::string& question, const std::string& otherwise, const Take& take,
           const Show& choices = nullptr) const {
    if (!said.empty()) return take(said);
    if (ask_nothing_) {
      if (otherwise.empty())
        throw InputError({"", option, "nothing", "an answer, as --ask-nothing was given", "add " + std::string(option)});
      return take(otherwise);
    }
    for (;;) {
      std::cout << '\n' << question;
      const std::size_t on_last_line = question.size() - (question.rfind('\n') == std::string::npos ? 0 : question.rfind('\n') + 1);
      if (!otherwise.empty()) std::cout << (on_last_line + otherwise.size() + 3 > k_width ? '\n' : ' ') << '[' << otherwise << ']';
      std::cout << "\n> " << std::flush;
      std::string answer;
      if (!std::getline(std::cin, answer)) throw WentAway{};
      while (!answer.empty() && (answer.back() == ' ' || answer.back() == '\r')) answer.pop_back();
      if (answer == "?" && choices) {
        choices();
        continue;
      }
      try {
        return take(answer.empty() ? otherwise : answer);
      } catch (const InputError& e) {
        const InputFault& f = e.fault();
        std::cout << folded("Not understood: " + f.found + "; it takes " + f.allowed + (f.hint.empty() ? "" : "; " + f.hint) + ".", 2);
      }
    }
  }

 private:
  bool ask_nothing_;
};

template <class Entries>
void show_names(const Entries& entries) {
  std::string line;
  for (const auto& [id, entry] : entries) {
    if (line.size() + id.size() + 2 > 78) {
      std::cout << line << '\n';
      line.clear();
    }
    line += (line.empty() ? "  " : ", ") + id;
  }
  std::cout << line << '\n';
}

std::string soil_question() {
  std::string out = "How does the soil feel? Wet a pinch and rub it between thumb and fingers.\n";
  int row = 0;
  for (const SoilFeel& s : soil_feels()) out += "  " + std::to_string(++row) + "  " + s.feels + " (" + s.texture + ")\n";
  return out + "The number, or the name if you know it:";
}

std::string origin_question() {
  std::string out = "What did it come from?\n";
  int row = 0;
  for (const LabelOrigin& o : label_origins()) out += "  " + std::to_string(++row) + "  " + o.meaning + "\n";
  return out + "The number:";
}

// From the scenario's folder, as a scenario names its weather.
std::string seen_from(const std::string& scenario, const std::string& weather) {
  std::error_code ec;
  const fs::path folder = fs::absolute(scenario).parent_path();
  const fs::path relative = fs::relative(fs::absolute(weather), folder, ec);
  return ec || relative.empty() ? fs::absolute(weather).string() : relative.string();
}

NewScenario interview(const NewCommand& c, const std::string& catalogue_dir) {
  const Catalogue catalogue = read_catalogue(catalogue_dir);
  const std::string normals_file = shipped_normals(catalogue_dir);
  const auto normals = read_normals(normals_file);
  const Interview i(c.ask_nothing);
  NewScenario s;

  if (!c.ask_nothing)
    std::cout << "A few questions, and you have a garden to ask. Enter takes what stands in\nbrackets; a question mark lists what may be "
                 "answered.\n";
  i.ask(c.name, "--name", "What do you call the garden?", "My garden", [&](const auto& t) { s.name = read_garden_name(t); });

  const auto take_place = [&](const std::string& t) {
    const ClimateNormals& place = find_place(normals, t, "");
    s.place = place.place, s.latitude_deg = place.latitude_deg, s.elevation_m = place.elevation_m;
  };
  const auto show_places = [&] {
    for (const ClimateNormals& n : normals) std::cout << "  " << n.place << '\n';
  };
  if (!c.weather.empty() && !c.place.empty())
    throw InputError({"", "--weather", "that and --place", "one of the two", "keep your own record, if you have one"});
  if (!c.weather.empty()) {
    read_weather(c.weather);  // what is wrong with it is better said now
    s.weather_file = seen_from(c.file, c.weather);
    i.ask(c.latitude, "--latitude", "How far north is the garden, in degrees? South is negative.", "50",
          [&](const auto& t) { s.latitude_deg = read_latitude_deg(t); });
  } else {
    i.ask(c.place, "--place",
          "Which of these places has weather most like yours? Such as Camborne for a mild\ncoast, Oxford for inland. (? lists them)", "",
          take_place, show_places);
    if (!c.latitude.empty()) s.latitude_deg = read_latitude_deg(c.latitude);
  }
  i.ask(c.area, "--area", "How large is the bed, in square metres?", "10", [&](const auto& t) { s.area_m2 = read_area_m2(t); });
  i.ask(c.soil, "--soil", soil_question(), "3", [&](const auto& t) { s.texture = read_soil(t); });
  i.ask(
      c.plants, "--plants", "What grows in it, and how many of each? Such as: 3 hardy bananas, 8 cannas\n(? lists them)", "",
      [&](const auto& t) { s.plantings = read_plants(t, catalogue.plants); }, [&] { show_names(catalogue.plants); });

  const bool own_bag = !c.bag_nitrogen.empty() || !c.bag_origin.empty() || !c.bag_name.empty() || !c.bag_form.empty();
  if (own_bag && !c.feed.empty() && c.feed != "own")
    throw InputError({"", "--feed", "that and the label of a bag", "one of the two", "leave out --feed, or all that begins with --bag"});
  const auto take_feed = [&](const std::string& t) {
    if (t == "own") {
      s.own_feed.emplace();
    } else {
      s.feed = read_feed(t, catalogue.materials);
    }
  };
  i.ask(own_bag ? "own" : c.feed, "--feed", "What do you feed with? Say own for a bag that is not listed. (? lists them)",
        "concentrated manure powder", take_feed, [&] { show_names(catalogue.materials); });
  if (s.own_feed) {
    i.ask(c.bag_name, "--bag-name", "What is it called?", "My own feed", [&](const auto& t) { s.own_feed->title = read_garden_name(t); });
    i.ask(c.bag_nitrogen, "--bag-nitrogen", "How many percent of nitrogen (N) does the bag print?", "",
          [&](const auto& t) { s.own_feed->n_percent = read_n_percent(t); });
    i.ask(c.bag_origin, "--bag-origin", origin_question(), "", [&](const auto& t) { s.own_feed->origin = read_origin(t); });
    i.ask(c.bag_form, "--bag-form", "Is it powder, pellets, granules, or bulky, as what is forked on by the barrow?", "pellets",
          [&](const auto& t) { s.own_feed->form = read_form(t); });
    s.own_feed->model = model_of(*s.own_feed, catalogue.materials);
  }
  i.ask(c.amount, "--amount", "How much do you give? Such as: 3 handfuls a plant, 150 g a square metre",
        usual_amount(s.own_feed ? s.own_feed->n_percent : catalogue.materials.at(s.feed).n_percent),
        [&](const auto& t) { s.amount = read_amount(t); });
  i.ask(c.on, "--on", "On which day?", s.latitude_deg < 0 ? "15 October" : "15 April", [&](const auto& t) { s.on = read_day(t); });
  return s;
}

}  // namespace

void add_new(CLI::App& app, NewCommand& c) {
  c.app = app.add_subcommand("new", "ask a few questions and write a first scenario, with a page that explains it");
  c.app->add_option("FILE", c.file, "where to write it, such as my-garden.json")->required();
  c.app->add_option("--name", c.name, "what you call the garden");
  c.app->add_option("--place", c.place, "a place of `leafhunger weather --list` with weather like yours");
  c.app->add_option("--weather", c.weather, "or a record of your own (CSV)");
  c.app->add_option("--latitude", c.latitude, "degrees, north positive (default: the place's)");
  c.app->add_option("--area", c.area, "square metres of the bed");
  c.app->add_option("--soil", c.soil, "texture, or its number by feel");
  c.app->add_option("--plants", c.plants, "such as \"3 hardy bananas, 8 cannas\"");
  c.app->add_option("--feed", c.feed, "a feed of the catalogue");
  c.app->add_option("--bag-name", c.bag_name, "or your own bag: what it is called");
  c.app->add_option("--bag-nitrogen", c.bag_nitrogen, "its nitrogen in percent");
  c.app->add_option("--bag-origin", c.bag_origin, "what it came from, such as bird-manure");
  c.app->add_option("--bag-form", c.bag_form, "powder, pellets, granules or bulky");
  c.app->add_option("--amount", c.amount, "such as \"3 handfuls a plant\" or \"150 g a square metre\"");
  c.app->add_option("--on", c.on, "day, such as 04-15");
  c.app->add_flag("--ask-nothing", c.ask_nothing, "take the usual answer to what no option says; --place and --plants have none");
  c.app->add_flag("--force", c.force, "overwrite the two files");
}

int make_new(const NewCommand& c, const Options& o) {
  const std::string about = about_path(c.file);
  if (about == c.file)
    throw InputError(
        {"", "FILE", "a name that ends in .txt", "one that ends in .json", "the page beside it, which explains it, takes that name"});
  std::error_code ec;
  // Before the first question: nobody answers eight of them for nothing.
  for (const std::string& path : {c.file, about})
    if (!c.force && fs::exists(path, ec))
      throw InputError({path, "", "a file of that name already", "a name that is free", "take another name, or add --force"});
  NewScenario s;
  try {
    s = interview(c, catalogue_folder(o.beside));
  } catch (const WentAway&) {
    std::cout << '\n';
    complain("the answers ended before the last question; nothing is written");
    return 130;
  }
  write_whole_files({{c.file, scenario_text(s)}, {about, about_text(s, fs::path(c.file).filename().string())}}, c.force);
  std::cout << (c.ask_nothing ? "" : "\n") << c.file << " is written, and " << about << " says what is in it.\nNow ask: leafhunger season "
            << c.file << '\n';
  return 0;
}

}  // namespace leafhunger::cli
