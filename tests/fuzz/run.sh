#!/usr/bin/env bash
# Fuzzes every target in turn, two at a time, for so long or so often in all. Needs the preset `fuzz` to be built, or another that
# LEAFHUNGER_FUZZ_PRESET names (asan, which tests/all.sh has built).
#   bash tests/fuzz/run.sh [SECONDS] [TARGET...]       bash tests/fuzz/run.sh --runs 10000000       (hours)
# A crash, an input that takes more than a second of the processor (the targets count it; a column's season has four) or 512 MiB ends with
# status 1 and the input's path.
# What it found new is kept in build/fuzz/found, so that a longer run goes on from there; the last lines say how often each target ran, and
# are added to build/fuzz/found/runs.txt. LEAFHUNGER_FUZZ_AT_ONCE: how many targets at once;
# LEAFHUNGER_FUZZ_SEED: of what is drawn, else another each time.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.." || exit 3
runs=0
if [ "${1:-}" = --runs ]; then
  runs=${2:?how many}
  shift 2
else
  seconds=${1:-120}
  shift || true
fi
targets=("$@")
[ ${#targets[@]} -gt 0 ] || targets=(scenario catalogue weather normals plugin season label)
at_once=${LEAFHUNGER_FUZZ_AT_ONCE:-2}
built=build/${LEAFHUNGER_FUZZ_PRESET:-fuzz} found=build/fuzz/found
# Of a thousand runs: the quicker a target, the more it is given.
declare -A of_thousand=([label]=350 [normals]=300 [weather]=160 [scenario]=120 [catalogue]=45 [plugin]=15 [season]=10)
limit() {
  if [ "$runs" -gt 0 ]; then
    echo "-runs=$((runs * of_thousand[$1] / 1000))"
  else
    local each=$((seconds * at_once / ${#targets[@]}))
    echo "-max_total_time=$((each > 0 ? each : 1))"
  fi
}
mkdir -p $found

run() {
  local name=$1 dictionary=()
  mkdir -p $found/"$name" $found/"$name"-faults
  case $name in scenario | catalogue | weather | normals) dictionary=(-dict=tests/fuzz/words.dict) ;; esac
  ASAN_OPTIONS=allocator_may_return_null=0:detect_leaks=1 UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1 \
    "$built"/bin/fuzz_"$name" "$(limit "$name")" -seed="${LEAFHUNGER_FUZZ_SEED:-0}" -timeout=30 -rss_limit_mb=512 -malloc_limit_mb=256 \
    -print_final_stats=1 -artifact_prefix=$found/"$name"-faults/ "${dictionary[@]}" $found/"$name" tests/fuzz/seeds/"$name" >$found/"$name".log 2>&1
}

failed=0 total=0
for ((i = 0; i < ${#targets[@]}; i += at_once)); do
  waiting=()
  for name in "${targets[@]:i:at_once}"; do
    run "$name" &
    waiting+=("$!:$name")
  done
  for one in "${waiting[@]}"; do
    name=${one#*:}
    if wait "${one%%:*}"; then
      state="good"
    else
      state="FAILED, see $found/$name.log"
      failed=1
    fi
    ran=$(sed -n 's/^stat::number_of_executed_units: *//p' $found/"$name".log | tail -n 1)
    total=$((total + ${ran:-0}))
    printf '%-10s %10d runs  %s\n' "$name" "${ran:-0}" "$state" | tee -a $found/runs.txt
    [ "$state" = good ] || tail -n 30 $found/"$name".log
  done
done
printf '%-10s %10d runs\n' all "$total" | tee -a $found/runs.txt
exit $failed
