#!/usr/bin/env bash
# Every test, from a bare Debian 12 machine: installs what is missing, builds, runs the C++ and the Python tests and those of the pages that run
# the engine, counts the instructions of a pinned case, watches the plugin host with valgrind, runs the C++ tests once more under the address
# and undefined-behaviour sanitizers, fuzzes for two minutes, runs the tests of several threads under the thread sanitizer, and checks the
# code's format. tests/deep.sh has more of each, for hours. The last line is `N passed, N failed`.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 3
root=$PWD
. scenarios/needs.sh
. tests/steps.sh

need "${needs_build[@]}" "${needs_tests[@]}" "${needs_trust[@]}" || exit 3

one "Build, warnings are errors" build release -DLEAFHUNGER_TESTS=ON -DLEAFHUNGER_PYTHON=ON -DLEAFHUNGER_WERROR=ON || finish

say "C++ tests"
cpp release

say "Python tests"
python_tests
say "Pages that run the engine"
bash tests/page.sh
tally $? "$results/page.xml"
one "Plugin host under valgrind" under_valgrind "PluginRegistry.*:PluginLoader.*:Abi1*:PluginSdk*"

one "Instructions of a pinned case" bash tests/bench/guard.sh

# The release build has held every warning of GCC to be an error.
if one "Build with sanitizers" build asan -DLEAFHUNGER_TESTS=ON -DLEAFHUNGER_WERROR=OFF; then
  say "C++ tests, addresses and undefined behaviour watched"
  cpp asan
  one "Fuzzing for two minutes" env LEAFHUNGER_FUZZ_PRESET=asan LEAFHUNGER_FUZZ_SEED=1 bash tests/fuzz/run.sh 120
fi
if one "Build with threads watched" build tsan -DLEAFHUNGER_TESTS=ON -DLEAFHUNGER_WERROR=OFF; then
  say "C++ tests of several threads, watched"
  cpp tsan "*Threads*"
fi

format() { find engine plugins python tests -name '*.[ch]pp' -o -name '*.h' | xargs clang-format --dry-run --Werror; }
one "Format" format
finish
