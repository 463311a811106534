# Sourced by tests/all.sh and tests/deep.sh after `root` is set: steps that count their cases. The last line of either is `N passed, N failed`.

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

# cpp PRESET OPTION...
cpp() {
  ctest --preset "$1" --no-tests=error -j "$(nproc)" --output-junit "$results/cpp-$1.xml" "${@:2}"
  tally $? "$results/cpp-$1.xml"
}

python_tests() {
  local folder folders=()
  for folder in tests/python tests/notebooks; do
    compgen -G "$folder/test_*.py" >/dev/null && folders+=("$folder")
  done
  PYTHONPATH=$root/build/release/python LEAFHUNGER_CLI=$root/build/release/bin/leafhunger \
    LEAFHUNGER_PLUGIN_PATH=$root/build/release/lib/leafhunger/plugins LEAFHUNGER_CATALOGUE=$root/build/release/share/leafhunger/catalogue \
    PYTHONDONTWRITEBYTECODE=1 /usr/bin/python3 -m pytest -q --junitxml="$results/python.xml" "${folders[@]}"
  tally $? "$results/python.xml"
}

# under_valgrind FILTER: those units, each byte and each leak watched.
under_valgrind() {
  local log=$results/valgrind.log
  if valgrind -q --suppressions=tests/valgrind.supp --error-exitcode=9 --leak-check=full --errors-for-leak-kinds=definite,indirect \
    build/release/bin/test_unit --gtest_brief=1 --gtest_filter="$1" >"$log" 2>&1; then
    tail -n 2 "$log"
  else
    cat "$log"
    return 1
  fi
}
