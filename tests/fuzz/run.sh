#!/usr/bin/env bash
# Fuzzes every target in turn, two at a time: bash tests/fuzz/run.sh [SECONDS_IN_ALL] [TARGET...]. Needs the preset `fuzz` to be built.
# A crash, an input that takes more than a second of the processor (the targets count it) or 512 MiB ends with status 1 and the input's path. What it found new is kept in
# build/fuzz/found, so that a longer run goes on from there; the last lines say how often each target ran.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.." || exit 3
seconds=${1:-120}
shift || true
targets=("$@")
[ ${#targets[@]} -gt 0 ] || targets=(scenario catalogue weather normals plugin season label)
at_once=2
each=$((seconds * at_once / ${#targets[@]}))
[ "$each" -gt 0 ] || each=1
found=build/fuzz/found
mkdir -p $found

run() {
  local name=$1 dictionary=()
  mkdir -p $found/"$name" $found/"$name"-faults
  case $name in scenario | catalogue | weather | normals) dictionary=(-dict=tests/fuzz/words.dict) ;; esac
  ASAN_OPTIONS=allocator_may_return_null=0:detect_leaks=1 UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1 \
    build/fuzz/bin/fuzz_"$name" -max_total_time="$each" -timeout=30 -rss_limit_mb=512 -malloc_limit_mb=256 \
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
    runs=$(sed -n 's/^stat::number_of_executed_units: *//p' $found/"$name".log | tail -n 1)
    total=$((total + ${runs:-0}))
    printf '%-10s %10d runs  %s\n' "$name" "${runs:-0}" "$state"
    [ "$state" = good ] || tail -n 30 $found/"$name".log
  done
done
printf '%-10s %10d runs\n' all "$total"
exit $failed
