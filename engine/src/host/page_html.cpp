#include "page_html.hpp"

#include "markup.hpp"

namespace leafhunger::page {
namespace {

// One column, a serif to read, one accent, tabular figures. A table of many columns says on a telephone that it goes on, since a finger's
// scroll bar is not seen; a caption wraps where the page ends, not where the table does.
constexpr const char* k_style = R"(
:root{color-scheme:light}
body{margin:0;background:#fff;color:#22302a;font:17px/1.5 Georgia,'DejaVu Serif',serif}
main{max-width:42rem;margin:2.5rem auto;padding:0 1.2rem}
h1{font-size:1.55rem;line-height:1.25;margin:0 0 .4rem}h1,h3,p,li,summary,figcaption{overflow-wrap:anywhere}
h2{font-size:1.15rem;margin:2rem 0 .5rem;border-bottom:1px solid #1f6b45;padding-bottom:.15rem}
h3{font-size:1rem;margin:1.4rem 0 .3rem;font-weight:normal;font-style:italic}
p,ul{margin:.5rem 0}ul{padding-left:1.2rem}li{margin:.25rem 0}
.said,caption,th,figcaption{color:#4a5a52}
.wide{overflow-x:auto;margin:.6rem 0}
table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums lining-nums;font-size:.94rem}
caption{text-align:left;overflow-wrap:anywhere;font-style:italic;padding-bottom:.2rem}
th,td{text-align:left;vertical-align:top;padding:.25rem .8rem .25rem 0;border-bottom:1px solid #dbe6df}
th{font-weight:normal}tbody th{color:#22302a}thead th{vertical-align:bottom}
.n{text-align:right}tbody th,.long{overflow-wrap:anywhere;min-width:5.4rem}tbody th.day{min-width:4.5rem}.word{font-style:italic;white-space:nowrap}
th:last-child,td:last-child{padding-right:0}
svg{width:100%;max-width:38rem;height:auto;display:block}
figure{margin:.6rem 0 1rem}figcaption{font-size:.92rem}
summary{cursor:pointer;color:#1f6b45;font-size:.92rem;padding:.3rem 0}
:focus-visible{outline:3px solid #1f6b45;outline-offset:2px}
@media(max-width:40rem){body{font-size:16px}main{margin:1.2rem auto;padding:0 .9rem}th,td{padding-right:.55rem}table{font-size:.9rem}}
@media screen and (max-width:36rem){caption{max-width:calc(100vw - 1.8rem)}
.many::before{content:"Slide the table sideways: it goes on to the right \2192";display:block;position:sticky;left:0;color:#1f6b45;font-size:.88rem}}
)";

}  // namespace

std::string opened(const std::string& title, const std::string& style) {
  return "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta http-equiv=\"Content-Security-Policy\" "
         "content=\"default-src 'none'; style-src 'unsafe-inline'\"><meta name=\"viewport\" content=\"width=device-width, "
         "initial-scale=1\"><title>" +
         escaped_markup(title) + "</title><style>" + k_style + style + "</style></head><body><main>\n";
}

std::string closed() { return "</main></body></html>\n"; }

std::string element(const char* tag, const std::string& text, const char* attribute) {
  return "<" + std::string(tag) + (*attribute ? " " + std::string(attribute) : "") + ">" + escaped_markup(text) + "</" + tag + ">";
}

std::string list(const std::vector<std::string>& items, const char* attribute) {
  if (items.empty()) return "";
  std::string out = "<ul" + (*attribute ? " " + std::string(attribute) : "") + ">";
  for (const std::string& item : items) out += element("li", item);
  return out + "</ul>\n";
}

Table::Table(const std::string& caption, std::vector<Head> heads) : heads_(std::move(heads)) {
  constexpr std::size_t k_fit_a_telephone = 5;
  out_ = "<section class=\"wide" + std::string(heads_.size() > k_fit_a_telephone ? " many" : "") + "\" tabindex=\"0\" aria-label=\"" +
         escaped_markup(caption) + "\"><table><caption>" + escaped_markup(caption) + "</caption><thead><tr>";
  for (const Head& h : heads_) out_ += element("th", h.words, h.number ? "scope=\"col\" class=\"n\"" : "scope=\"col\"");
  out_ += "</tr></thead><tbody>\n";
}

void Table::row(const std::vector<std::string>& cells, const char* second) {
  out_ += "<tr>";
  // A date is not broken where there is room.
  const char* first = std::string(heads_[0].words) == "day" ? "scope=\"row\" class=\"day\"" : "scope=\"row\"";
  for (std::size_t i = 0; i < cells.size(); ++i)
    out_ += i == 0 ? element("th", cells[i], first)
                   : element("td", cells[i],
                             heads_[i].number    ? "class=\"n\""
                             : i == 1 && *second ? second
                                                 : "class=\"long\"");
  out_ += "</tr>\n";
}

}  // namespace leafhunger::page
