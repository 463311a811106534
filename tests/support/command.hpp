// The command as a user runs it: what it printed where, and with which status it ended.
#pragma once

#include <sys/wait.h>

#include <cstdlib>
#include <string>
#include <vector>

#include "unit/temp_garden.hpp"

namespace leafhunger::testing {

struct Answer {
  int status = -1;
  std::string out, err;
};

inline std::string quoted(const std::string& text) {
  std::string q = "'";
  for (const char c : text) {
    if (c == '\'') q += "'\\'";  // closes, gives one that is escaped, opens again
    q += c;
  }
  q += '\'';
  return q;
}

/// Runs the command with these words, and these settings of the environment in front ("LEAFHUNGER_THREADS=1").
inline Answer command(const std::vector<std::string>& words, const std::string& environment = "") {
  const TempFolder folder;
  std::string line = "env -u LEAFHUNGER_PLUGIN_PATH -u LEAFHUNGER_CATALOGUE " + environment + " " + quoted(LEAFHUNGER_CLI);
  for (const std::string& w : words) line += " " + quoted(w);
  line += " >" + quoted(folder.at("out")) + " 2>" + quoted(folder.at("err")) + " </dev/null";
  const int raw = std::system(line.c_str());
  Answer a;
  a.status = WIFEXITED(raw) ? WEXITSTATUS(raw) : 256 + WTERMSIG(raw);
  a.out = read_all(folder.at("out")), a.err = read_all(folder.at("err"));
  return a;
}

}  // namespace leafhunger::testing
