// Generated weather as a file that read_weather() takes back unchanged, and files that are either whole or not there.
#pragma once

#include <string>
#include <vector>

#include "leafhunger/generator.hpp"

namespace leafhunger {

/// The CSV: lines with # that say it is generated, from which normals and whose source, with which seed and version; then
/// date,tmin_c,tmax_c,rain_mm and a row a day. Ends of lines are LF. The same bytes for the same arguments on every machine.
std::string weather_csv(const DailyWeather& weather, const ClimateNormals& normals, const GeneratorRequest& request,
                        const std::string& version);

/// Writes to a temporary name beside `path` and moves it into place. Throws InputError where something of that name is there and `force`
/// is not set, where it is no plain file, or where the folder cannot be written; then nothing of it is left.
void write_whole_file(const std::string& path, const std::string& text, bool force);

struct NewFile {
  std::string path, text;
};
/// Several files that belong together: none is moved into place before all of them lie whole on the disk. Throws as write_whole_file().
void write_whole_files(const std::vector<NewFile>& files, bool force);

/// What a scenario's reader is told of generated weather: one sentence with place, source and seed.
std::string generated_note(const ClimateNormals& normals, const GeneratorRequest& request);

}  // namespace leafhunger
