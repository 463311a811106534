#!/usr/bin/env bash
# Every benchmark: installs what is missing, builds, runs all of them interleaved in one run, prints a table and writes build/bench/*.json.
# About 15 minutes on two cores. Times mean something only on a machine that does nothing else: the load is printed.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
. scenarios/needs.sh
need "${needs_build[@]}" "${needs_tests[@]}" "${needs_bench[@]}"
rounds=${LEAFHUNGER_BENCH_ROUNDS:-9}
cmake --preset release -DLEAFHUNGER_BENCH=ON >/dev/null
cmake --build --preset release -j "$(build_jobs)" --target bench leafhunger _engine | tail -n 1
out=build/bench
mkdir -p "$out"
cut -d' ' -f1-3 /proc/loadavg >"$out/load.txt"
bin=build/release/bin

"$bin/bench_peak" >"$out/peak.json"
"$bin/bench_column" --benchmark_enable_random_interleaving=true --benchmark_repetitions="$rounds" --benchmark_report_aggregates_only=true \
  --benchmark_out="$out/column.json" --benchmark_out_format=json >/dev/null
"$bin/bench_memory" 10000 >"$out/memory.json"
PYTHONPATH=build/release/python:tests/python LEAFHUNGER_PLUGIN_PATH=build/release/lib/leafhunger/plugins \
  /usr/bin/python3 tests/bench/scipy_case.py >"$out/scipy.json"
LEAFHUNGER_CLI=$bin/leafhunger /usr/bin/python3 tests/bench/command_line.py "$out" >"$out/command_line.json"
if command -v valgrind >/dev/null; then bash tests/bench/guard.sh --count >"$out/instructions.txt"; fi
/usr/bin/python3 tests/bench/table.py "$out" | tee "$out/table.txt"
