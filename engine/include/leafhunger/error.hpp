// What can go wrong, as types. The tree is small on purpose: who must act tells them apart.
#pragma once

#include <stdexcept>
#include <string>

namespace leafhunger {

/// Base of all errors that the engine throws on purpose.
class Error : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// One fault in what the user gave, in the parts of the sentence that names it.
struct InputFault {
  std::string file;     ///< path as the user wrote it; empty where no file is at fault
  std::string place;    ///< "line 12, /beds/0/area_m2", a JSON Pointer, or an option's name; may be empty
  std::string found;    ///< what stands there
  std::string allowed;  ///< what may stand there
  std::string hint;     ///< how to mend it; may be empty
};

/// The user's input is at fault (exit status 2). what() is one sentence:
/// `FILE, PLACE: found FOUND; allowed is ALLOWED; HINT.` without the parts that are empty.
class InputError : public Error {
 public:
  explicit InputError(InputFault fault);
  const InputFault& fault() const noexcept { return fault_; }

 private:
  InputFault fault_;
};

/// A plugin is missing, of another ABI, or broke its contract (exit status 2 at load, 3 while running).
class PluginError : public Error {
 public:
  PluginError(const std::string& sentence, bool at_load) : Error(sentence), at_load_(at_load) {}
  bool at_load() const noexcept { return at_load_; }

 private:
  bool at_load_;
};

/// The integration failed (exit status 3).
class SolverError : public Error {
 public:
  using Error::Error;
};

/// Nitrogen went missing (exit status 3). Always a bug of ours or of a plugin.
class LedgerError : public Error {
 public:
  using Error::Error;
};

}  // namespace leafhunger
