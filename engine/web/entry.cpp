// The page's way into the engine: four plain functions. Files live in memory; the sentences of faults are the command's.
#include <emscripten.h>

#include <cstdio>
#include <exception>
#include <string>

#include "leafhunger/error.hpp"
#include "questions.hpp"

namespace {

std::string g_said;

int fails(int status, const std::string& sentence) {
  g_said = sentence;
  return status;
}

}  // namespace

extern "C" {

/// Puts a file where questions find it. 0 where the name cannot be one.
EMSCRIPTEN_KEEPALIVE int lh_put(const char* name, const char* bytes, int size) {
  std::FILE* file = std::fopen(name, "wb");
  if (!file) return 0;
  const bool whole = std::fwrite(bytes, 1, static_cast<std::size_t>(size), file) == static_cast<std::size_t>(size);
  return std::fclose(file) == 0 && whole;
}

/// Asks; the answer or the sentence is at lh_said. The command's exit status: 0 answered, 2 bad input, 3 the run failed.
EMSCRIPTEN_KEEPALIVE int lh_ask(const char* question) {
  using namespace leafhunger;
  try {
    g_said = web::answer(question);
    return 0;
  } catch (const InputError& e) {
    return fails(2, e.what());
  } catch (const std::exception& e) {
    return fails(3, e.what());
  }
}

EMSCRIPTEN_KEEPALIVE const char* lh_said() { return g_said.c_str(); }
EMSCRIPTEN_KEEPALIVE int lh_said_size() { return static_cast<int>(g_said.size()); }
}
