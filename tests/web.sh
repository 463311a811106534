#!/usr/bin/env bash
# Our pages before judges from outside: axe-core (accessibility, in Chromium) and html-validate (the HTML standard), both from npm. The one
# place that uses a registry; where there is none it says so and passes. The tests of pages in tests/python check much of it without.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 3
root=$PWD
. scenarios/needs.sh

skip() { echo "web: skipped, $*"; exit 0; }
command -v npm >/dev/null || skip "npm is not installed here"
need "${needs_build[@]}" chromium chromium-driver python3-selenium fonts-dejavu-core || skip "the browser could not be installed"

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
if ! (cd "$work" && npm install --no-audit --no-fund --ignore-scripts --silent axe-core@4 html-validate@9) >"$work/npm.log" 2>&1; then
  skip "no registry answers (the last it said: $(tail -n 1 "$work/npm.log"))"
fi

cli=$root/build/release/bin/leafhunger
if [ ! -x "$cli" ]; then
  { cmake --preset release -DLEAFHUNGER_TESTS=OFF -DLEAFHUNGER_PYTHON=OFF && cmake --build --preset release -j "$(build_jobs)"; } >"$work/build.log" 2>&1 ||
    { tail -n 20 "$work/build.log"; exit 3; }
fi
pages=()
for garden in saltmarsh-lane one-bed pots; do
  "$cli" season "scenarios/$garden.json" --out "$work/$garden" --for-client >/dev/null || exit 1
  pages+=("$work/$garden/report.html" "$work/$garden/for-client.html")
done
"$cli" visits scenarios --out "$work/visits.html" >/dev/null && "$cli" lesson scenarios/saltmarsh-lane.json --out "$work/lesson.html" >/dev/null || exit 1
pages+=("$work/visits.html" "$work/lesson.html")

# The pages with the engine inside, where tests/page.sh has built them.
for page in build/web/web/garden.html build/web/web/workshop.html; do
  [ ! -e "$page" ] || { mkdir -p "$work/with-engine" && cp "$page" "$work/with-engine/" && pages+=("$work/with-engine/$(basename "$page")"); }
done

failed=0
cp tests/web/htmlvalidate.json "$work/.htmlvalidate.json"
(cd "$work" && npx --no-install html-validate "${pages[@]#"$work"/}") && echo "web: html-validate has nothing to say of ${#pages[@]} pages" || failed=1
/usr/bin/python3 tests/web/axe.py "$work/node_modules/axe-core/axe.min.js" "${pages[@]}" || failed=1
exit $failed
