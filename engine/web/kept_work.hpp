// What a page keeps between questions: the catalogue for good, and the weather and climates of the garden that is looked at.
#pragma once

#include <string>

namespace leafhunger::web {

/// Call before a scenario is read. `world`: all that its weather and its climates hang on. What was kept of another world is dropped.
void keep_work_of(std::string world);

}  // namespace leafhunger::web
