// A first scenario from a few answers: what a person says, read leniently, and the file that comes of it, with a page that explains it.
// Every reader throws InputError (place: the command's option) with the nearest name where there is one.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "leafhunger/catalogue.hpp"
#include "leafhunger/date.hpp"
#include "leafhunger/normals.hpp"
#include "leafhunger/scenario.hpp"

namespace leafhunger {

/// How a soil feels, wet and rubbed between thumb and fingers, with its texture (common practice, no source).
struct SoilFeel {
  const char *feels, *texture;
};
const std::vector<SoilFeel>& soil_feels();

struct NewPlanting {
  std::string name, plant, size;  ///< as the gardener will read it; id; size of the catalogue or empty
  int count = 1;
};

/// A feed that the catalogue lacks, as its bag tells it.
struct NewFeed {
  std::string title = "My own feed";
  double n_percent = 0;
  std::string origin;  ///< a word of label_origins()
  Form form = Form::pellet;
  std::string model;  ///< a release model
};

struct NewScenario {
  std::string name = "My garden";
  std::string place;                  ///< of the climate normals; empty where there is a weather file
  std::string weather_file;           ///< as the scenario is to name it: from its own folder
  double latitude_deg = 50;           ///< of the place where there is one
  std::optional<double> elevation_m;  ///< the same
  double area_m2 = 10;
  std::string texture = "loam";
  std::vector<NewPlanting> plantings;
  std::string feed;  ///< id in the catalogue; empty where it is `own_feed`
  std::optional<NewFeed> own_feed;
  Amount amount;
  MonthDay on{4, 15};
};

/// A name of 1 to 80 characters on one line.
std::string read_garden_name(const std::string& text);
double read_area_m2(const std::string& text);
double read_latitude_deg(const std::string& text);
/// The number of a row of soil_feels(), counted from 1, or a texture's name.
std::string read_soil(const std::string& text);
/// "3 hardy bananas, 8 canna (old-clump)": counts, ids or titles in any case, one or many. The same plant and size twice is added up.
std::vector<NewPlanting> read_plants(const std::string& text, const std::map<std::string, Plant>& plants);
/// Id of a material by id or title.
std::string read_feed(const std::string& text, const std::map<std::string, Material>& materials);
double read_n_percent(const std::string& text);
/// The number of a row of label_origins(), counted from 1, or its word.
std::string read_origin(const std::string& text);
/// "powder", "pellets", "granules" or "bulky": how it lies in the hand.
Form read_form(const std::string& text);
/// "150 g a square metre": a usual first dose of a feed with so much nitrogen, which scorches no plant however small. > 0.
std::string usual_amount(double n_percent);
/// "3 handfuls a plant", "150 g a square metre", "2 kg in all".
Amount read_amount(const std::string& text);
/// "15 April" or "04-15".
MonthDay read_day(const std::string& text);

/// The release model of what the catalogue has that comes nearest: of the same origin and as bulky or not; else only as bulky.
std::string model_of(const NewFeed& feed, const std::map<std::string, Material>& materials);
/// The scenario as JSON, ready for read_scenario().
std::string scenario_text(const NewScenario& scenario);
/// What each part of it means and how to change it, in plain words of 80 columns; `file` is its name.
std::string about_text(const NewScenario& scenario, const std::string& file);
/// Where that page goes: `file` with .txt in place of its ending.
std::string about_path(const std::string& file);

}  // namespace leafhunger
