// The files that a season leaves: a page in which nothing that a user wrote is more than text, a calendar that keeps to RFC 5545, a table
// with a row for each planting and day; all of them or none.
#include "leafhunger/report_folder.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <regex>
#include <set>
#include <sstream>

#include "leafhunger/compare.hpp"
#include "leafhunger/error.hpp"
#include "leafhunger/report.hpp"
#include "support/garden.hpp"
#include "temp_garden.hpp"

namespace leafhunger {
namespace {

namespace fs = std::filesystem;

const char* k_wicked = "<script>alert('1')</script> & \"Sons\", ltd; \\";

const Garden& garden() {
  static const Garden g = [] {
    Scenario s = testing::empty_scenario(4);
    s.garden = k_wicked, s.note = "<b>invented</b>";
    s.beds = {testing::bed("Bed", 12)};
    s.beds[0].plantings = {testing::planting(s, k_wicked, "hardy-banana", 3), testing::planting(s, "Yuccas", "yucca", 1)};
    s.feedings = {testing::broadcast("concentrated-manure-powder", {4, 15}, 60, "Bed"),
                  testing::per_plant("dried-blood", {5, 20}, 20, {k_wicked})};
    s.feedings[1].every_days = 42, s.feedings[1].until = MonthDay{8, 15};
    return testing::garden_of(std::move(s));
  }();
  return g;
}
const SeasonResult& season() {
  static const SeasonResult r = run_season(garden());
  return r;
}

std::vector<std::string> tags(const std::string& html, const std::string& pattern) {
  std::vector<std::string> out;
  const std::regex tag(pattern);
  for (std::sregex_iterator it(html.begin(), html.end(), tag), end; it != end; ++it) out.push_back((*it)[1]);
  return out;
}

TEST(ReportPage, EscapesWhatAUserWrote) {
  const std::string html = in_html(season(), year_bands(garden(), season()));
  EXPECT_EQ(html.find("<script"), std::string::npos);
  EXPECT_EQ(html.find("<b>invented"), std::string::npos);
  EXPECT_NE(html.find("&lt;script&gt;alert(&#39;1&#39;)&lt;/script&gt; &amp; &quot;Sons&quot;, ltd; \\"), std::string::npos);
}

TEST(ReportPage, NeedsNothingButItself) {
  const std::string html = in_html(season(), {});
  for (const char* part : {"http://", "https://", "src=", "<link", "@import", "url(//", "javascript:"})
    EXPECT_EQ(html.find(part), std::string::npos) << part;
}

TEST(ReportPage, IsWellFormed) {
  const std::string html = in_html(season(), year_bands(garden(), season()));
  // Every element that opens closes, in order; void ones are meta only.
  std::vector<std::string> open;
  const std::regex tag(R"(<(/?)([a-zA-Z0-9]+)([^>]*?)(/?)>)");
  for (std::sregex_iterator it(html.begin(), html.end(), tag), end; it != end; ++it) {
    const std::string name = (*it)[2];
    if (name == "meta" || (*it)[4] == "/") continue;
    if ((*it)[1] == "/") {
      ASSERT_FALSE(open.empty()) << it->str();
      EXPECT_EQ(open.back(), name);
      open.pop_back();
    } else {
      open.push_back(name);
    }
  }
  EXPECT_TRUE(open.empty()) << open.back();
  EXPECT_EQ(tags(html, "<(h1)>").size(), 1u);
  EXPECT_GE(tags(html, "<(h2)>").size(), 5u);
  for (const std::string& svg : tags(html, "<svg ([^>]*)>")) {
    EXPECT_NE(svg.find("role=\"img\""), std::string::npos);
    EXPECT_NE(svg.find("aria-labelledby=\""), std::string::npos) << "a figure says in words what it shows";
  }
}

TEST(ReportPage, SaysWhatToGiveInGramsAndScoops) {
  const std::string html = in_html(season(), {});
  // A handful is 80 ml (common practice, no source) of 0.7 kg/L: 56 g; a trowel 300 ml of it: 210 g. 60 g/m2 on 12 m2 are 720 g.
  EXPECT_NE(html.find("60 g (1 handful) a square metre"), std::string::npos);
  EXPECT_NE(html.find("720 g (3 and a half trowels)"), std::string::npos);
  EXPECT_NE(html.find("20 May and every 42 days to 12 August, 3 times"), std::string::npos);
  EXPECT_NE(html.find("each time"), std::string::npos);
  for (const char* head : {"The answer", "What to do", "Shopping list", "Take care", "What they have against what they want",
                           "Where each gram went", "How it was worked out"})
    EXPECT_NE(html.find(std::string("<h2>") + head + "</h2>"), std::string::npos) << head;
}

// The lines are what the plant has and what it needs; what the soil frees is not drawn.
TEST(ReportPage, AFigureIsCalledWhatItDraws) {
  const std::string html = in_html(season(), {});
  EXPECT_TRUE(std::regex_search(html, std::regex("Nitrogen the [^<]* (have and need|has and needs)")));
  EXPECT_EQ(html.find("soil frees against"), std::string::npos);
}

TEST(ComparePicture, TheDayAskedAboutIsNamed) {
  Scenario less = testing::one_bed(4);
  less.feedings[0].amount.value /= 4;
  const std::string svg = in_svg(compare(testing::garden_of(testing::one_bed(4)), testing::garden_of(less), "one", "the other"));
  EXPECT_NE(svg.find("stroke-dasharray"), std::string::npos);
  EXPECT_NE(svg.find("asked about: 31 August"), std::string::npos) << svg;
}

TEST(ReportPage, NamesNoPartTwice) {
  const auto ids = tags(in_html(season(), year_bands(garden(), season())), " id=\"([^\"]*)\"");
  EXPECT_GE(ids.size(), 6u);
  EXPECT_EQ(std::set<std::string>(ids.begin(), ids.end()).size(), ids.size());
}

TEST(ReportPage, IsTheSameTwice) {
  EXPECT_EQ(in_html(season(), year_bands(garden(), season())), in_html(run_season(garden()), year_bands(garden(), run_season(garden()))));
}

TEST(ReportPage, BandsHoldTheYears) {
  const auto bands = year_bands(garden(), season());
  ASSERT_EQ(bands.size(), 1u) << "the one greedy planting that is fed";
  EXPECT_EQ(bands[0].years, garden().seasons().size());
  ASSERT_EQ(bands[0].low.size(), season().days);
  for (std::size_t d = 0; d < season().days; ++d) ASSERT_LE(bands[0].low[d], bands[0].high[d]);
}

TEST(ReportCalendar, KeepsToTheStandard) {
  const std::string ics = in_calendar(season());
  EXPECT_EQ(ics.substr(0, 17), "BEGIN:VCALENDAR\r\n");
  EXPECT_EQ(ics.substr(ics.size() - 15), "END:VCALENDAR\r\n");
  std::size_t events = 0;
  for (std::size_t at = 0; at < ics.size();) {
    const std::size_t end = ics.find("\r\n", at);
    ASSERT_NE(end, std::string::npos);
    const std::string line = ics.substr(at, end - at);
    EXPECT_LE(line.size(), 75u) << line;
    EXPECT_EQ(line.find('\n'), std::string::npos);
    events += line == "BEGIN:VEVENT";
    at = end + 2;
  }
  EXPECT_EQ(events, 4u) << "15 April; 20 May, 1 July, 12 August";
  EXPECT_NE(ics.find("DTSTART;VALUE=DATE:20070520"), std::string::npos) << ics.substr(0, 600);
  EXPECT_NE(ics.find("TRIGGER:-P1D"), std::string::npos);
  // RFC 5545, 3.3.11: commas, semicolons and backslashes of text are escaped.
  std::string unfolded = ics;
  for (std::size_t at; (at = unfolded.find("\r\n ")) != std::string::npos;) unfolded.erase(at, 3);
  EXPECT_NE(unfolded.find("\"Sons\"\\, ltd\\; \\\\"), std::string::npos);
}

TEST(ReportCalendar, NamesAreItsOwnAndStay) {
  std::set<std::string> names;
  const std::string ics = in_calendar(season());
  for (std::size_t at = ics.find("UID:"); at != std::string::npos; at = ics.find("UID:", at + 1))
    names.insert(ics.substr(at, ics.find("\r\n", at) - at));
  EXPECT_EQ(names.size(), 4u);
  EXPECT_EQ(ics, in_calendar(run_season(garden())));
}

TEST(ReportTable, HasARowForEachPlantingAndDay) {
  const std::string csv = in_csv(season());
  std::istringstream in(csv);
  std::string line;
  std::getline(in, line);
  const auto commas = std::count(line.begin(), line.end(), ',');
  EXPECT_EQ(line.substr(0, 18), "planting,date,nni,");
  EXPECT_NE(line.find("soil_c_layer4"), std::string::npos);
  std::size_t rows = 0;
  while (std::getline(in, line)) {
    ++rows;
    if (line.rfind("Yuccas,", 0) == 0) {
      EXPECT_EQ(std::count(line.begin(), line.end(), ','), commas) << line;
    }
  }
  EXPECT_EQ(rows, season().columns.size() * season().days);
  EXPECT_NE(csv.find("\"<script>alert('1')</script> & \"\"Sons\"\", ltd; \\\","), std::string::npos) << "quoted as RFC 4180 has it";
}

TEST(ReportCalendar, SaysWhatThatIsInAll) {
  std::string ics = in_calendar(season());
  for (std::size_t at; (at = ics.find("\r\n ")) != std::string::npos;) ics.erase(at, 3);
  EXPECT_NE(ics.find("To each: 60 g (1 handful) a square metre. In all: 720 g (3 and a half trowels)."), std::string::npos);
}

TEST(ReportFigures, AreFilesOfTheirOwn) {
  const auto files = figure_files(season(), year_bands(garden(), season()));
  ASSERT_EQ(files.size(), 3u) << "two fed plantings, and where it went";
  EXPECT_EQ(files[0].first, "supply-1-script-alert-1-script-sons-ltd.svg") << "nothing of a name that a file system would mind";
  EXPECT_EQ(files[1].first, "supply-2-yuccas.svg");
  EXPECT_EQ(files[2].first, "where-it-went.svg");
  for (const auto& [name, svg] : files) {
    EXPECT_EQ(svg.rfind("<?xml", 0), 0u);
    EXPECT_NE(svg.find("xmlns=\"http://www.w3.org/2000/svg\""), std::string::npos);
    EXPECT_EQ(svg.find("<script"), std::string::npos);
  }
  EXPECT_EQ(files, figure_files(season(), year_bands(garden(), season())));
}

TEST(ReportFolder, IsWrittenWholeOrNotAtAll) {
  const testing::TempFolder folder;
  const std::string out = folder.at("report");
  write_report(out, garden(), season(), false);
  for (const char* name : {"report.html", "calendar.ics", "series.csv"}) EXPECT_TRUE(fs::exists(fs::path(out) / name)) << name;
  EXPECT_EQ(std::distance(fs::directory_iterator(out), fs::directory_iterator()), 3) << "no temporary file is left";
  const std::string page = testing::read_all(fs::path(out) / "report.html");
  EXPECT_THROW(write_report(out, garden(), season(), false), InputError) << "what is there is not overwritten unasked";
  fs::remove(fs::path(out) / "series.csv");
  EXPECT_THROW(write_report(out, garden(), season(), false), InputError);
  EXPECT_FALSE(fs::exists(fs::path(out) / "series.csv")) << "refused before the first is written";
  write_report(out, garden(), season(), true);
  EXPECT_EQ(testing::read_all(fs::path(out) / "report.html"), page);
  write_report(folder.at("drawn"), garden(), season(), false, {.figures = true});
  EXPECT_TRUE(fs::exists(fs::path(folder.at("drawn")) / "where-it-went.svg"));
  folder.write("a-file", "x");
  EXPECT_THROW(write_report(folder.at("a-file"), garden(), season(), true), InputError);
}

}  // namespace
}  // namespace leafhunger
