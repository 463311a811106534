#include "leafhunger/error.hpp"

#include <utility>

namespace leafhunger {
namespace {

std::string sentence_of(const InputFault& f) {
  std::string s = f.file;
  if (!f.place.empty()) s += (s.empty() ? "" : ", ") + f.place;
  if (!s.empty()) s += ": ";
  s += "found " + f.found;
  if (!f.allowed.empty()) s += "; allowed is " + f.allowed;
  if (!f.hint.empty()) s += "; " + f.hint;
  return s + ".";
}

}  // namespace

InputError::InputError(InputFault fault) : Error(sentence_of(fault)), fault_(std::move(fault)) {}

}  // namespace leafhunger
