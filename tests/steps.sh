# Sourced by tests/all.sh and tests/deep.sh after `root` is set: steps that count their cases. The last line of either is `N passed, N failed`.

passed=0 failed=0
# say WORDS: a step's heading, with the minutes gone so far.
say() { printf '\n== %s (after %d:%02d)\n' "$*" $((SECONDS / 60)) $((SECONDS % 60)); }
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

# cpp PRESET [FILTER]: each test program in as many shards as there are processors (a process a case, as ctest has it, takes much longer under
# sanitizers), and what ctest alone has.
cpp() {
  local bin=build/$1/bin filter=${2:-*} program shard shards code log; shards=$(nproc)
  # std::regex calls itself once a character, and unoptimised frames are large.
  ulimit -S -s 65536 2>/dev/null || true
  for program in unit conformance reference property; do
    [ -x "$bin/test_$program" ] || continue
    local pids=()
    for ((shard = 0; shard < shards; ++shard)); do
      GTEST_TOTAL_SHARDS=$shards GTEST_SHARD_INDEX=$shard UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1 \
        "$bin/test_$program" --gtest_brief=1 --gtest_filter="$filter" --gtest_output="xml:$results/$program-$1-$shard.xml" \
        >"$results/$program-$1-$shard.log" 2>&1 &
      pids+=($!)
    done
    for ((shard = 0; shard < shards; ++shard)); do
      log=$results/$program-$1-$shard
      wait "${pids[shard]}"; code=$?
      if [ "$code" -ne 0 ]; then cat "$log.log"; fi
      echo "$program, part $((shard + 1)) of $shards: $(grep '^\[===.* ran' "$log.log" || echo "ended with status $code")"
      tally "$code" "$log.xml"
    done
  done
  ctest --test-dir "build/$1" -L '^install$' --no-tests=ignore --output-on-failure --output-junit "$results/cpp-$1.xml"
  tally $? "$results/cpp-$1.xml"
}

python_tests() {
  local folder folders=()
  for folder in tests/python tests/notebooks; do
    compgen -G "$folder/test_*.py" >/dev/null && folders+=("$folder")
  done
  PYTHONPATH=$root/build/release/python LEAFHUNGER_CLI=$root/build/release/bin/leafhunger \
    LEAFHUNGER_PLUGIN_PATH=$root/build/release/lib/leafhunger/plugins LEAFHUNGER_CATALOGUE=$root/build/release/share/leafhunger/catalogue \
    PYTHONDONTWRITEBYTECODE=1 /usr/bin/python3 -m pytest -q -n "$(nproc)" --junitxml="$results/python.xml" "${folders[@]}"
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
