#!/usr/bin/env bash
# The engine inside two pages, from a bare Debian 12 machine: installs what is missing, builds, and says where they lie. Each is one file that
# opens from a memory stick and asks no network. A garden of your own: bash scenarios/page.sh my-garden.json
set -euo pipefail
here=$PWD
cd "$(dirname "${BASH_SOURCE[0]}")/.."
. scenarios/needs.sh

need "${needs_page[@]}"
options=()
if [ $# -gt 0 ]; then
  garden=$(cd "$here" && realpath -- "$1")
  options=(-DLEAFHUNGER_PAGE_SCENARIO="$garden")
fi
mkdir -p build
log=build/page-build.log
echo "Building ..."
if ! { cmake --preset web "${options[@]+"${options[@]}"}" && cmake --build --preset web -j "$(build_jobs)"; } >"$log" 2>&1; then
  tail -n 30 "$log" >&2
  exit 3
fi
for page in garden workshop; do
  printf '%s  %s bytes\n' "build/web/web/$page.html" "$(stat -c %s "build/web/web/$page.html")"
done
