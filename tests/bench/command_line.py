"""Wall time of whole answers from the command line: a season of the demo garden, and a search of 2,000 schedules over 30 made-up years.

Usage: command_line.py FOLDER, with LEAFHUNGER_CLI in the environment. Says one JSON object."""
import json
import os
import pathlib
import statistics
import subprocess
import sys
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
CLI, OUT = os.environ["LEAFHUNGER_CLI"], pathlib.Path(sys.argv[1])
DEMO = ROOT / "scenarios" / "saltmarsh-lane.json"
INTERVALS = [str(d) for d in range(14, 94, 2)]          # 40
DOSES = [str(g) for g in range(10, 510, 10)]            # 50


def seconds(*words):
    begin = time.perf_counter()
    subprocess.run([CLI, *map(str, words)], check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - begin


weather = OUT / "thirty-years.csv"
subprocess.run([CLI, "weather", "--place", "Camborne", "--years", "30", "--out", weather, "--force"], check=True, stdout=subprocess.DEVNULL)
scenario = json.loads(DEMO.read_text())
scenario["weather"]["file"] = weather.name
first = next(line for line in weather.read_text().splitlines() if line[:1].isdigit())
scenario["question"]["season"] = int(first[:4]) + 10
(OUT / "thirty-years.json").write_text(json.dumps(scenario))

season = [seconds("season", DEMO) for _ in range(9)]
topup = seconds("topup", OUT / "thirty-years.json", "--material", "dried-blood", "--intervals", *INTERVALS, "--doses", *DOSES)
print(json.dumps({"season_s": statistics.median(season), "topup_s": topup, "schedules": len(INTERVALS) * len(DOSES), "years": 30}))
