// --help for a terminal of 80 columns: CLI11 lets a description run on.
#pragma once

#include <CLI/CLI.hpp>
#include <string>

#include "folded.hpp"

namespace leafhunger::cli {

class HelpFormat : public CLI::Formatter {
 public:
  std::string make_usage(const CLI::App* app, std::string name) const override { return folded_lines(Formatter::make_usage(app, name), 4); }
  std::string make_description(const CLI::App* app) const override { return folded_lines(Formatter::make_description(app), 2); }
  std::string make_subcommand(const CLI::App* app) const override { return row(app->get_display_name(true), app->get_description()); }
  std::string make_option(const CLI::Option* option, bool positional) const override {
    return row(make_option_name(option, positional) + make_option_opts(option), make_option_desc(option));
  }

 private:
  // A name and what it is, in two columns; one too long for its column has a line of its own.
  std::string row(const std::string& name, const std::string& about) const {
    const std::size_t column = get_column_width();
    std::string left = "  " + name;
    std::string out;
    if (left.size() >= column) {
      out = left + '\n';
      left.clear();
    }
    left.resize(column, ' ');
    return out + folded(left + about, column);
  }

  static std::string folded_lines(const std::string& text, std::size_t inset) {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
      const std::size_t end = std::min(text.find('\n', at), text.size());
      out += folded(text.substr(at, end - at), inset);
      at = end + 1;
    }
    return out;
  }
};

}  // namespace leafhunger::cli
