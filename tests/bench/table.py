"""The table of a run of run.sh, from the JSON files in a folder."""
import json
import math
import pathlib
import sys

FOLDER = pathlib.Path(sys.argv[1])
MEMBERS, DAYS = 1000, 365
# Counted by hand in stepper_fast.cpp and grower.hpp for four layers. A stage with a plant that grows and no gas: what roots reach 68, what
# the plant wants 50, soil 154, growth 50 in three of four and once more a day. A feed step's series and polynomials; a day's constants.
FLOPS_A_STAGE, FLOPS_A_FEED_STEP, FLOPS_A_DAY = 68 + 50 + 154 + 0.85 * 50, 260, 250
BYTES_A_STAGE = 8 * (18 * 2 + 18 * 2 + 4 * 12)  # read and written: stage state, sums, coefficients


def load(name):
    path = FOLDER / name
    return json.loads(path.read_text()) if path.exists() else None


runs = {}
for b in load("column.json")["benchmarks"]:
    if b.get("aggregate_name", "median") == "median":
        runs[b["run_name"].split("/min_time")[0].split("/repeats")[0]] = b


def milliseconds(name):
    return runs[name]["real_time"]


odeint = milliseconds("scalar/odeint_dopri5") * 1e3
rows = [("scalar/odeint_dopri5", odeint)]
rows += [(n, milliseconds(n) * 1e3) for n in ("scalar/rk4", "scalar/cvode_bdf", "scalar/cvode_adams")]
rows += [(n, milliseconds(n) * 1e3 / MEMBERS) for n in ("batch/search/threads:1", "batch/search/threads:2", "batch/ensemble/threads:1")]
load_text = (FOLDER / "load.txt").read_text().strip()
print(f"One column, four layers, three feedings, {DAYS} days; medians of interleaved rounds; load before: {load_text}\n")
print(f"{'way':28} {'us/member':>10} {'x Odeint':>9} {'worst error':>12} {'evaluations':>12}")
for name, us in rows:
    b = runs[name]
    print(f"{name:28} {us:10.1f} {odeint / us:9.2f} {b.get('error', float('nan')):12.1e} {b.get('evaluations', float('nan')):12.0f}")
scipy = load("scipy.json")
if scipy:
    print(f"{'SciPy LSODA on NumPy':28} {scipy['us_per_member']:10.0f} {odeint / scipy['us_per_member']:9.4f} {scipy['error']:12.1e}")
print("\nbatch/search: members that share weather run the days before their doses part once; batch/ensemble: every member runs every day")
two = milliseconds("batch/search/threads:1") / milliseconds("batch/search/threads:2")
print(f"\ntwo threads over one: {two:.2f}")

for what in ("members", "days", "feedings", "layers"):
    points = [(b["x"], b["real_time"]) for n, b in runs.items() if n.startswith(f"scaling/{what}:")]
    xs, ys = [math.log(p[0]) for p in points], [math.log(p[1]) for p in points]
    mx, my = sum(xs) / len(xs), sum(ys) / len(ys)
    slope = sum((x - mx) * (y - my) for x, y in zip(xs, ys)) / sum((x - mx) ** 2 for x in xs)
    print(f"cost goes with {what} to the power {slope:.2f}")

memory, peak, line = load("memory.json"), load("peak.json"), load("command_line.json")
print(f"\npeak memory of {memory['members']} members: {memory['peak_mib']:.0f} MiB")
print(f"season of the demo from the command line: {line['season_s'] * 1e3:.0f} ms")
print(f"topup of {line['years']} years x {line['schedules']} schedules: {line['topup_s']:.1f} s")
print(f"thirty years of days made up from normals: {milliseconds('generator/thirty_years'):.1f} ms")
stages = runs["scalar/rk4"]["evaluations"] / DAYS
flops = stages * FLOPS_A_STAGE + stages / 4 * FLOPS_A_FEED_STEP + FLOPS_A_DAY
bytes_moved = stages * BYTES_A_STAGE
a_day = milliseconds("batch/search/threads:1") * 1e-3 / MEMBERS / DAYS
print(f"\na member-day: {stages:.1f} stages, about {flops:.0f} flops, {bytes_moved:.0f} bytes to and from L1, {a_day * 1e9:.0f} ns")
print(f"  {flops / a_day / 1e9:.2f} Gflop/s of {peak['gflops']:.1f} ({100 * flops / a_day / 1e9 / peak['gflops']:.0f} %); "
      f"{bytes_moved / a_day / 1e9:.1f} GB/s of {peak['l1_gb_s']:.0f} from L1 ({100 * bytes_moved / a_day / 1e9 / peak['l1_gb_s']:.0f} %)")
(FOLDER / "table.json").write_text(json.dumps({"us_per_member": dict(rows), "ratio": {n: odeint / us for n, us in rows}, "threads": two}, indent=1))
