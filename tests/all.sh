#!/usr/bin/env bash
# Every test, from a bare Debian 12 machine: installs what is missing, builds, runs the C++ and the Python tests, counts the instructions of
# a pinned case, runs the C++ tests once more under the address and undefined-behaviour sanitizers, and checks the code's format. The last
# line is `N passed, N failed`.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 3
root=$PWD
. scenarios/needs.sh

need "${needs_build[@]}" "${needs_tests[@]}" || exit 3

passed=0 failed=0
say() { printf '\n== %s\n' "$*"; }
# tally EXIT_CODE FILE: adds the cases of a JUnit file. A runner that is unhappy though no case failed (a crash, nothing found, no file)
# is one failure.
tally() {
  local p=0 f=0
  [ ! -e "$2" ] || read -r p f < <(/usr/bin/python3 tests/count_cases.py "$2")
  [ "$1" -eq 0 ] || [ "${f:-0}" -gt 0 ] || f=1
  passed=$((passed + p)) failed=$((failed + f))
}
finish() {
  printf '\n%d passed, %d failed\n' "$passed" "$failed"
  [ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
  exit
}
# one NAME COMMAND...: a step that passes or fails as a whole.
one() {
  say "$1"
  if "${@:2}"; then passed=$((passed + 1)); else failed=$((failed + 1)); echo "FAILED: $1"; return 1; fi
}
results=$root/build/results
rm -rf "$results" && mkdir -p "$results"

# build PRESET OPTION...: says much only if it fails.
build() {
  local log=$results/build-$1.log
  if cmake --preset "$1" "${@:2}" >"$log" 2>&1 && cmake --build --preset "$1" -j "$(build_jobs)" >>"$log" 2>&1; then
    tail -n 1 "$log"
  else
    cat "$log"
    return 1
  fi
}
one "Build, warnings are errors" build release -DLEAFHUNGER_TESTS=ON -DLEAFHUNGER_PYTHON=ON -DLEAFHUNGER_WERROR=ON || finish

# cpp PRESET OPTION...
cpp() {
  ctest --preset "$1" --no-tests=error -j "$(nproc)" --output-junit "$results/cpp-$1.xml" "${@:2}"
  tally $? "$results/cpp-$1.xml"
}
say "C++ tests"
cpp release

say "Python tests"
folders=()
for folder in tests/python tests/notebooks; do
  compgen -G "$folder/test_*.py" >/dev/null && folders+=("$folder")
done
PYTHONPATH=$root/build/release/python LEAFHUNGER_CLI=$root/build/release/bin/leafhunger \
  LEAFHUNGER_PLUGIN_PATH=$root/build/release/lib/leafhunger/plugins LEAFHUNGER_CATALOGUE=$root/build/release/share/leafhunger/catalogue \
  PYTHONDONTWRITEBYTECODE=1 /usr/bin/python3 -m pytest -q --junitxml="$results/python.xml" "${folders[@]}"
tally $? "$results/python.xml"

one "Instructions of a pinned case" bash tests/bench/guard.sh

# The release build has held every warning to be an error; under sanitizers GCC 12 sees more in the standard library that is not there.
if one "Build with sanitizers" build asan -DLEAFHUNGER_TESTS=ON -DLEAFHUNGER_WERROR=OFF; then
  say "C++ tests, addresses and undefined behaviour watched"
  cpp asan
fi

format() { find engine plugins python tests -name '*.[ch]pp' -o -name '*.h' | xargs clang-format --dry-run --Werror; }
one "Format" format
finish
