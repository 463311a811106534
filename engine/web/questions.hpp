// What a page may ask the engine, as JSON, and what it hears: the command's own answers.
#pragma once

#include <string>

namespace leafhunger::web {

/// `question` is an object whose "ask" says what is asked; FILE is a name given to lh_put before.
/// - "season": {"file", "season", "warmer_c"}: as `leafhunger season FILE --json`.
/// - "lasts": the same keys: as `leafhunger lasts FILE --json`.
/// - "page": the same keys: {"season": as above, "answers": [...], "words": {...}, "days": [...]}, what the garden page shows.
/// - "glance": the same keys and "only", a planting: {"season": {"season", "carry_to"}, "answers", "days"} of "page" for that one, at once.
/// - "scenario": {"file"}: {"amounts": [{"value", "measure", "per"}], "seasons", "season", "season_starts", "made_up"}, for controls.
/// - "check": {"file"}: {"file": "ok"}.
/// - "curves": {"materials", "temperature_c", "moisture", "days", "texture"}: as `leafhunger curves MATERIAL... --json`.
/// - "list": {"what": "materials" or "plants"}: as `leafhunger list WHAT --json`.
/// - "weather": {"file"}: the scenario's weather as CSV, made-up days too.
/// "only": a planting's name leaves out every other bed; "reasons": false leaves out why plantings ran short. Both make it quicker.
/// "warmer_c" shifts every day's lowest and highest temperature. Throws what the engine throws.
std::string answer(const std::string& question);

}  // namespace leafhunger::web
