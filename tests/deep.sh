#!/usr/bin/env bash
# Everything under everything: hours, not minutes. bash tests/deep.sh [SECONDS_OF_FUZZING]. What tests/all.sh leaves out of a change's checks:
# all C++ tests under addresses, undefined behaviour and threads; the plugin host and all units under valgrind; 2,000 kills; long property runs
# with another seed each time; the fuzz targets for an hour (as many as ten million runs where the machine is quick). The last line is
# `N passed, N failed`.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 3
root=$PWD
. scenarios/needs.sh
. tests/steps.sh
need "${needs_build[@]}" "${needs_tests[@]}" "${needs_trust[@]}" || exit 3
seconds=${1:-3600}
seed=${LEAFHUNGER_SEED:-$RANDOM}
export RC_PARAMS="seed=$seed max_success=500"
export LEAFHUNGER_DEEP=1
echo "RC_PARAMS=\"$RC_PARAMS\""

one "Build" build release -DLEAFHUNGER_TESTS=ON -DLEAFHUNGER_PYTHON=ON -DLEAFHUNGER_WERROR=ON || finish
say "C++ tests"
cpp release
say "Python tests"
python_tests
one "Plugin host and units under valgrind" under_valgrind "*-*Threads*:Command.*:BadInput.*:*Fifty*"

for preset in asan tsan; do
  if one "Build $preset" build $preset -DLEAFHUNGER_TESTS=ON -DLEAFHUNGER_WERROR=OFF -DLEAFHUNGER_ONLY_THREADS=OFF; then
    say "C++ tests, $preset: all of them"
    cpp $preset
  fi
done

if one "Build fuzz targets" build fuzz; then
  one "Fuzzing, $seconds s" bash tests/fuzz/run.sh "$seconds"
fi
finish
