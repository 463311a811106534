// What our pages share: one look, no script, nothing fetched, every text escaped.
#pragma once

#include <string>
#include <vector>

namespace leafhunger::page {

/// The page up to its first heading: title, style, a policy under which a browser loads nothing. `style`: rules after the common ones, such
/// as how it prints.
std::string opened(const std::string& title, const std::string& style);
std::string closed();

/// An element with a text in it. `attribute` is our own, not escaped.
std::string element(const char* tag, const std::string& text, const char* attribute = "");
/// A list with an item for each text; nothing where there is none. `attribute` as above.
std::string list(const std::vector<std::string>& items, const char* attribute = "");

struct Head {
  const char* words;
  bool number = false;
};

/// A table that scrolls by itself where the page is too narrow, by keyboard too. The first cell of a row is its heading.
class Table {
 public:
  Table(const std::string& caption, std::vector<Head> heads);
  /// `second`: attribute of the second cell.
  void row(const std::vector<std::string>& cells, const char* second = "");
  std::string closed() const { return out_ + "</tbody></table></section>\n"; }

 private:
  std::vector<Head> heads_;
  std::string out_;
};

}  // namespace leafhunger::page
