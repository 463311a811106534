#!/usr/bin/env bash
# The pages that run the engine: builds them by emscripten, holds their answers beside the command's, and works them in Chromium. Where
# emscripten cannot be installed it says so and passes. Wants the command of the release build, and builds it where it is missing.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 3
root=$PWD
. scenarios/needs.sh

need "${needs_page[@]}" || { echo "page: skipped, emscripten could not be installed"; exit 0; }
need "${needs_build[@]}" nodejs python3-pytest chromium chromium-driver python3-selenium fonts-dejavu-core || exit 3
mkdir -p build/results
log=build/results/page-build.log
jobs=$(build_jobs)
if [ ! -x build/release/bin/leafhunger ]; then
  { cmake --preset release -DLEAFHUNGER_TESTS=OFF -DLEAFHUNGER_PYTHON=OFF && cmake --build --preset release -j "$jobs"; } >"$log" 2>&1 || { tail -n 20 "$log"; exit 3; }
fi
began=$SECONDS
{ cmake --preset web -DLEAFHUNGER_WERROR=ON && cmake --build --preset web -j "$jobs"; } >"$log" 2>&1 || { tail -n 30 "$log"; exit 3; }
echo "page: built in $((SECONDS - began)) s; $(stat -c '%n %s bytes' build/web/web/garden.html build/web/web/workshop.html | sed 's|.*/||' | paste -sd ' ')"
LEAFHUNGER_WEB=$root/build/web/web LEAFHUNGER_CLI=$root/build/release/bin/leafhunger PYTHONDONTWRITEBYTECODE=1 \
  /usr/bin/python3 -m pytest -q --junitxml=build/results/page.xml tests/page "$@"
