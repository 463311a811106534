#!/usr/bin/env bash
# The demo, from a bare Debian 12 machine: installs what is missing, builds, and asks the demo garden its three questions.
# Run as root or with sudo at hand. A second run with nothing changed takes seconds.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
. scenarios/needs.sh

need "${needs_build[@]}"

if [ ! -e build/release/CMakeCache.txt ]; then
  # Tests and the Python module want more packages; tests/all.sh turns them on.
  first=(-DLEAFHUNGER_TESTS=OFF -DLEAFHUNGER_PYTHON=OFF)
fi
mkdir -p build
log=build/demo-build.log
if ! cmake --preset release "${first[@]+"${first[@]}"}" >"$log" 2>&1; then
  cat "$log" >&2
  exit 3
fi
# On a terminal Ninja's own line counts the steps; elsewhere one sentence will do.
if [ -t 1 ]; then
  NINJA_STATUS='Building, step %f of %t: ' cmake --build --preset release -j "$(build_jobs)"
else
  echo "Building ..."
  if ! cmake --build --preset release -j "$(build_jobs)" >"$log" 2>&1; then
    cat "$log" >&2
    exit 3
  fi
fi

ask() {
  printf '\n$ leafhunger %s\n\n' "$*"
  build/release/bin/leafhunger "$@"
}
ask season scenarios/saltmarsh-lane.json
ask lasts scenarios/saltmarsh-lane.json
ask topup scenarios/saltmarsh-lane.json --material dried-blood
