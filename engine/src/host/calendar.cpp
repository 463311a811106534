// When something is given, as a calendar: an event spans the days among which it waits for rain (RFC 5545): lines end in CRLF and are
// folded at 75 octets, text is escaped, stamps come from the season and not from the clock, so that the same season gives the same bytes.
#include <cstdint>
#include <cstdio>

#include "checks.hpp"
#include "leafhunger/report_folder.hpp"
#include "season_answers.hpp"

namespace leafhunger {
namespace {

std::string escaped(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c == '\\' || c == ';' || c == ',') out += '\\';
    if (c == '\n') {
      out += "\\n";
    } else if (static_cast<unsigned char>(c) >= 0x20 && c != 0x7f) {
      out += c;
    }
  }
  return out;
}

// At most 75 octets a line, the next begins with a blank; a UTF-8 character is never cut (RFC 5545, 3.1).
void add_line(std::string& out, const std::string& line) {
  constexpr std::size_t k_octets = 75;
  std::size_t room = k_octets;
  for (std::size_t i = 0; i < line.size();) {
    std::size_t n = 1;
    while (i + n < line.size() && (static_cast<unsigned char>(line[i + n]) & 0xc0) == 0x80) ++n;
    if (n > room) {
      out += "\r\n ";
      room = k_octets - 1;
    }
    out.append(line, i, n);
    room -= n;
    i += n;
  }
  out += "\r\n";
}

std::string compact(Date date) {
  std::string iso = to_iso(date);
  std::erase(iso, '-');
  return iso;
}

// FNV-1a: the same entry has the same name in every calendar, another one another.
std::string hashed(const std::string& text) {
  std::uint64_t h = 14695981039346656037ull;
  for (const char c : text) h = (h ^ static_cast<unsigned char>(c)) * 1099511628211ull;
  char hex[20];
  std::snprintf(hex, sizeof hex, "%016llx", static_cast<unsigned long long>(h));
  return hex;
}

}  // namespace

std::string in_calendar(const SeasonResult& r) {
  std::string out;
  add_line(out, "BEGIN:VCALENDAR");
  add_line(out, "VERSION:2.0");
  add_line(out, "PRODID:-//leafhunger//feeding days//EN");
  add_line(out, "CALSCALE:GREGORIAN");
  add_line(out, "X-WR-CALNAME:" + escaped(r.garden + ", feeding " + std::to_string(r.season)));
  for (const FeedDay& day : r.feed_days) {
    // A dose for a whole bed is told once.
    std::string description = day.words + ".\n";
    if (day.each != "in all") description += "To each: " + words_of_dose(day, day.each_g) + " " + day.each + ". ";
    description += "In all: " + words_of_dose(day, day.all_g) + ".";
    Date from = day.on, to = day.on;
    if (day.window) {
      const FeedWindow& w = r.windows[*day.window];
      from = w.opens, to = w.closes;
      description += "\n" + window_sentence(w, true);
    }
    for (const std::string& words : preparations(r, day)) description += "\n" + words;
    for (const std::string& key : day.cautions)
      for (const Caution& c : r.cautions)
        if (c.key == key) description += "\n" + c.words;
    add_line(out, "BEGIN:VEVENT");
    add_line(out,
             "UID:" + hashed(r.garden + '\n' + to_iso(day.on) + '\n' + std::to_string(day.feeding) + '\n' + day.words) + "@leafhunger");
    add_line(out, "DTSTAMP:" + compact(r.first) + "T000000Z");
    add_line(out, "DTSTART;VALUE=DATE:" + compact(from));
    add_line(out, "DTEND;VALUE=DATE:" + compact(to + std::chrono::days{1}));  // the first day after it (3.6.1)
    add_line(out, "SUMMARY:" + escaped("Feed: " + day.words));
    add_line(out, "DESCRIPTION:" + escaped(description));
    add_line(out, "TRANSP:TRANSPARENT");
    add_line(out, "BEGIN:VALARM");
    add_line(out, "ACTION:DISPLAY");
    add_line(out, "DESCRIPTION:" + escaped((from < to ? "From tomorrow, on a wet day: " : "Tomorrow: ") + day.words));
    add_line(out, "TRIGGER:-P1D");
    add_line(out, "END:VALARM");
    add_line(out, "END:VEVENT");
  }
  add_line(out, "END:VCALENDAR");
  return out;
}

}  // namespace leafhunger
