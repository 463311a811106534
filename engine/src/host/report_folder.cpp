// The folder of a season: what goes into it, all or nothing.
#include "leafhunger/report_folder.hpp"

#include <algorithm>
#include <cctype>
#include <filesystem>

#include "core/season.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/weather_writer.hpp"
#include "report_figures.hpp"
#include "sampling.hpp"
#include "years.hpp"

namespace leafhunger {
namespace {

// A user's name as part of a file's: nothing in it means anything to any file system. The number keeps two apart that differ only in the
// rest.
std::string file_name(std::size_t number, const std::string& name) {
  std::string out;
  for (const char c : name) {
    const auto u = static_cast<unsigned char>(c);
    if (u < 0x80 && std::isalnum(u)) {
      out += static_cast<char>(std::tolower(u));
    } else if (!out.empty() && out.back() != '-') {
      out += '-';
    }
  }
  out = out.substr(0, 40);
  while (!out.empty() && out.back() == '-') out.pop_back();
  return "supply-" + std::to_string(number) + (out.empty() ? "" : "-" + out) + ".svg";
}

}  // namespace

std::vector<std::pair<std::string, std::string>> figure_files(const SeasonResult& r, const std::vector<YearBand>& bands) {
  std::vector<std::pair<std::string, std::string>> files;
  for (const ColumnResult& c : r.columns) {
    if (c.bare || !c.fed) continue;
    const auto band = std::find_if(bands.begin(), bands.end(), [&](const YearBand& b) { return b.planting == c.name; });
    const std::size_t number = files.size() + 1;
    files.emplace_back(
        file_name(number, c.name),
        as_file(season_figure(r, c, band == bands.end() ? nullptr : &*band, true, "f" + std::to_string(number)), title_of(c)));
  }
  if (r.given_g > 0) files.emplace_back("where-it-went.svg", as_file(where_figure(r, "where"), "Where each 100 g of nitrogen given went"));
  return files;
}

std::vector<YearBand> year_bands(const Garden& garden, const SeasonResult& r) {
  const Garden::Plan& plan = garden.plan();
  const Years years = all_years(plan);
  std::vector<YearBand> out;
  for (const ColumnResult* c : drawn_of(r))
    for (const ColumnPlan& column : plan.columns) {
      if (column.name != c->name) continue;
      const auto climates = climates_of(plan, column, years);
      std::vector<Member> members;
      for (std::size_t y = 0; y < climates.size(); ++y)
        members.push_back(member_of(plan, column, climates[y], doses_of(plan, column, years.first[y], climates[y].days)));
      const auto briefs = run_batch(column.shape, members);
      YearBand band{c->name, {}, {}, briefs.size()};
      for (std::size_t d = 0; d < r.days; ++d) {
        std::vector<double> day;
        for (const Brief& b : briefs) day.push_back(b.plant.nni[std::min(d, b.plant.nni.size() - 1)]);
        std::sort(day.begin(), day.end());
        band.low.push_back(quantile_of_sorted(day, 0.1)), band.high.push_back(quantile_of_sorted(day, 0.9));
      }
      out.push_back(std::move(band));
    }
  return out;
}

std::vector<std::string> write_report(const std::string& folder, const Garden& garden, const SeasonResult& r, bool force,
                                      const ReportExtras& extras) {
  namespace fs = std::filesystem;
  std::error_code ec;
  const bool made = fs::create_directories(folder, ec);
  if (ec || !fs::is_directory(folder, ec))
    throw InputError({folder, "--out", "no folder, and none can be made there", "a folder that can be written", "name another place"});
  const auto bands = year_bands(garden, r);
  std::vector<std::pair<std::string, std::string>> files = {
      {"report.html", in_html(r, bands)}, {"calendar.ics", in_calendar(r)}, {"series.csv", in_csv(r)}};
  if (extras.for_client) files.emplace_back("for-client.html", in_client_html(garden, r, how_often_it_lasts(garden)));
  if (extras.figures)
    for (auto& file : figure_files(r, bands)) files.push_back(std::move(file));
  // All or none: refuse before the first is written.
  for (const auto& [name, text] : files)
    if (!force && fs::exists(fs::path(folder) / name, ec))
      throw InputError({(fs::path(folder) / name).string(), "--out", "a file of that name already", "a folder without it",
                        "take another folder, or add --force"});
  std::vector<NewFile> written;
  for (auto& [name, text] : files) written.push_back({(fs::path(folder) / name).string(), std::move(text)});
  try {
    write_whole_files(written, force);
  } catch (...) {
    if (made) fs::remove(folder, ec);  // only where it is empty: what somebody else laid there meanwhile stays
    throw;
  }
  std::vector<std::string> paths;
  for (const NewFile& file : written) paths.push_back(file.path);
  return paths;
}

}  // namespace leafhunger
