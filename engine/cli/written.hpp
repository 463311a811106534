// What a command wrote, and where: the last words of its answer.
#pragma once

#include <iostream>
#include <string>
#include <vector>

#include "folded.hpp"

namespace leafhunger::cli {

/// "Written: out/report.html, out/calendar.ics and out/series.csv." Nothing where no file was asked for, or the answer is JSON.
inline void tell_written(const std::vector<std::string>& files, bool json) {
  if (files.empty() || json) return;
  std::string text = "  Written: ";
  for (std::size_t i = 0; i < files.size(); ++i) text += (i == 0 ? "" : i + 1 < files.size() ? ", " : " and ") + files[i];
  std::cout << '\n' << folded(text + ".", 4);
}
/// The same of one file, or of none where the path is empty.
inline void tell_written(const std::string& file, bool json) {
  tell_written(file.empty() ? std::vector<std::string>{} : std::vector<std::string>{file}, json);
}

}  // namespace leafhunger::cli
