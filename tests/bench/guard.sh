#!/usr/bin/env bash
# Counts the instructions of one pinned case under callgrind and fails when they are more than 30 % above the number in guard.txt. The case
# is 160 members of the timed column in batches; counting is off outside them. Counts are those of AVX2: valgrind knows no wider registers.
#   guard.sh           compare       guard.sh --count   say the count only       guard.sh --pin   write it to guard.txt
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
case_program=build/release/bin/guard_case
if ! grep -qw avx2 /proc/cpuinfo 2>/dev/null; then
  echo "This machine has no AVX2, with which the instructions were pinned: nothing to compare." >&2
  exit 0
fi
if [ ! -x "$case_program" ] || [ "${1:-}" != --count ]; then
  cmake --preset release -DLEAFHUNGER_BENCH=ON >/dev/null
  cmake --build --preset release -j 2 --target guard_case >/dev/null
fi
command -v valgrind >/dev/null || { echo "guard.sh needs valgrind: apt-get install valgrind" >&2; exit 2; }
told=$(valgrind --tool=callgrind --toggle-collect='leafhunger::run_batch*' --callgrind-out-file=/dev/null "$case_program" 160 search 2>&1)
count=$(sed -n 's/.*Collected : *\([0-9]*\).*/\1/p' <<<"$told")
[ "${count:-0}" -gt 1000000 ] || { echo "nothing was counted:" >&2; echo "$told" >&2; exit 2; }
case "${1:-}" in
  --count) echo "$count"; exit ;;
  --pin) echo "$count" >tests/bench/guard.txt; echo "pinned at $count"; exit ;;
esac
pinned=$(cat tests/bench/guard.txt)
percent=$((count * 100 / pinned))
echo "$count instructions, $percent % of the $pinned pinned"
[ "$percent" -le 130 ] || { echo "FAILED: more than 30 % above; if that is meant, run guard.sh --pin and say why in the commit" >&2; exit 1; }
