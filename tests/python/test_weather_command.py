"""The command `leafhunger weather`, run as a user runs it: what it writes, what it says, what it leaves when it refuses."""
import csv
import datetime as dt
import io
import os
import pathlib
import re
import subprocess

import pytest

ROOT = pathlib.Path(__file__).resolve().parents[2]
COMMAND = os.environ.get("LEAFHUNGER_CLI", str(ROOT / "build" / "release" / "bin" / "leafhunger"))
NORMALS = ROOT / "plugins" / "catalogue" / "climate-normals.csv"

if not os.access(COMMAND, os.X_OK):
    pytest.skip(f"Skipped: the command is not built ({COMMAND}).", allow_module_level=True)


def run(*words, folder, **more):
    return subprocess.run([COMMAND, "weather", *map(str, words)], cwd=folder, capture_output=True, text=True, timeout=60, **more)


def days_of(text):
    return list(csv.DictReader(line for line in io.StringIO(text) if not line.startswith("#")))


def own_rows(folder, change=lambda rows: rows, name="mine.csv"):
    rows = [f"My garden,50.4,{m},{4 + min(m, 13 - m)},{11 + min(m, 13 - m)},{95 - 4 * min(m, 13 - m)}" for m in range(1, 13)]
    path = folder / name
    path.write_text("\n".join(["place,lat_deg,month,tmin_c,tmax_c,rain_mm", *change(rows)]) + "\n")
    return path


def test_writes_whole_seasons_to_a_file(tmp_path):
    done = run("--place", "Camborne", "--years", 30, "--seed", 7, "--start", 1995, "--out", "weather.csv", folder=tmp_path)
    assert done.returncode == 0 and done.stderr == ""
    assert done.stdout == ("weather.csv: 30 years of made-up days after the normals of Camborne, 1 November\n"
                           "  1995 to 31 October 2025.\n")
    text = (tmp_path / "weather.csv").read_text()
    days = days_of(text)
    assert days[0]["date"] == "1995-11-01" and days[-1]["date"] == "2025-10-31"
    assert [d["date"] for d in days] == [(dt.date(1995, 11, 1) + dt.timedelta(i)).isoformat() for i in range(len(days))]
    assert all(float(d["tmin_c"]) <= float(d["tmax_c"]) and float(d["rain_mm"]) >= 0 for d in days)
    assert os.listdir(tmp_path) == ["weather.csv"]


def test_says_that_it_is_generated_from_what_and_how(tmp_path):
    text = run("--place", "Camborne", "--years", 1, "--seed", 7, folder=tmp_path).stdout
    head = [line for line in text.splitlines() if line.startswith("#")]
    version = subprocess.run([COMMAND, "--version"], capture_output=True, text=True).stdout.strip()
    assert head[0].startswith("# GENERATED weather: no station measured it.")
    assert f"leafhunger {version}" in head[0] and "seed 7" in head[0]
    source = next(r["source"] for r in csv.DictReader(NORMALS.open()) if r["place"] == "Camborne")
    assert head[1] == f"# Monthly normals of Camborne: {source}."
    assert text.splitlines()[len(head)] == "date,tmin_c,tmax_c,rain_mm"


def test_to_the_terminal_is_the_same_as_to_a_file(tmp_path):
    words = ("--place", "Oxford", "--years", 2, "--seed", 3)
    printed = run(*words, folder=tmp_path).stdout
    run(*words, "--out", "w.csv", folder=tmp_path)
    assert (tmp_path / "w.csv").read_text() == printed
    assert run(*words, folder=tmp_path).stdout == printed
    assert run("--place", "Oxford", "--years", 2, "--seed", 4, folder=tmp_path).stdout != printed


def test_more_years_begin_with_the_same_years(tmp_path):
    few, many = (days_of(run("--place", "Oxford", "--years", n, folder=tmp_path).stdout) for n in (2, 5))
    assert many[:len(few)] == few and len(many) > len(few)


def test_months_are_near_the_normals(tmp_path):
    # Loose, for 300 years: the exact comparison is in tests/reference/generator_test.cpp.
    given = {int(r["month"]): r for r in csv.DictReader(NORMALS.open()) if r["place"] == "Durham"}
    days = days_of(run("--place", "durham", "--years", 300, folder=tmp_path).stdout)
    for month in range(1, 13):
        own = [d for d in days if int(d["date"][5:7]) == month]
        for column in ("tmin_c", "tmax_c"):
            assert sum(float(d[column]) for d in own) / len(own) == pytest.approx(float(given[month][column]), abs=0.35)
        assert sum(float(d["rain_mm"]) for d in own) / 300 == pytest.approx(float(given[month]["rain_mm"]), rel=0.12)


def test_own_rows_and_the_south(tmp_path):
    own_rows(tmp_path)
    done = run("--normals", "mine.csv", "--years", 1, folder=tmp_path)
    assert done.returncode == 0
    assert "# Monthly normals of My garden: source not given." in done.stdout
    south = days_of(run("--place", "wellington nz", "--years", 2, "--start", 2001, folder=tmp_path).stdout)
    assert south[0]["date"] == "2001-05-01" and south[-1]["date"] == "2003-04-30"


def test_lists_every_place_with_its_source_in_eighty_columns(tmp_path):
    done = run("--list", folder=tmp_path)
    assert done.returncode == 0
    assert max(map(len, done.stdout.splitlines())) <= 80
    flat = re.sub(r"\s+", " ", done.stdout)
    for row in csv.DictReader(NORMALS.open()):
        assert row["place"] + ": latitude" in flat and row["source"] in flat


def test_does_not_overwrite_unless_told(tmp_path):
    kept = tmp_path / "w.csv"
    kept.write_text("mine")
    done = run("--place", "Oxford", "--years", 1, "--out", "w.csv", folder=tmp_path)
    assert done.returncode == 2 and kept.read_text() == "mine" and "--force" in done.stderr
    done = run("--place", "Oxford", "--years", 1, "--out", "w.csv", "--force", folder=tmp_path)
    assert done.returncode == 0 and kept.read_text().startswith("# GENERATED")
    assert os.listdir(tmp_path) == ["w.csv"]


BAD = {
    "unknown place": (("--place", "Cambourne"), 'the nearest name is "Camborne"'),
    "no place": ((), "--list"),
    "no years": (("--place", "Oxford", "--years", 0), "--years: found 0; allowed is 1 to 1000"),
    "too many years": (("--place", "Oxford", "--years", 1001), "--years: found 1001"),
    "years as a word": (("--place", "Oxford", "--years", "ten"), "--years"),
    "seed below nought": (("--place", "Oxford", "--seed", -1), "--seed: found -1"),
    "start too early": (("--place", "Oxford", "--start", 95), "--start: found 95"),
    "start too late": (("--place", "Oxford", "--start", 9999), "--start: found 9999"),
    "no such folder": (("--place", "Oxford", "--out", "no/w.csv"), "make the folder first"),
    "a folder": (("--place", "Oxford", "--out", "."), "found a folder"),
    "a device": (("--place", "Oxford", "--out", "/dev/null", "--force"), "no plain file"),
    "normals missing": (("--normals", "none.csv"), "no file of that name"),
    "unknown option": (("--plaec", "Oxford"), "--plaec"),
}


@pytest.mark.parametrize("case", BAD)
def test_refuses_with_status_2_and_leaves_nothing(case, tmp_path):
    words, said = BAD[case]
    if "--out" not in words:
        words = (*words, "--out", "w.csv")
    done = run(*words, folder=tmp_path)
    assert done.returncode == 2, done
    assert said in done.stderr
    assert done.stdout == "" and os.listdir(tmp_path) == []


def test_own_rows_at_fault_name_line_and_column(tmp_path):
    own_rows(tmp_path, lambda rows: rows[:6] + [rows[6].replace(",17,", ",3,")] + rows[7:])
    done = run("--normals", "mine.csv", "--out", "w.csv", folder=tmp_path)
    assert done.returncode == 2
    assert done.stderr.startswith("leafhunger: mine.csv, line 8, column tmax_c: found 3 with tmin_c 10")
    assert os.listdir(tmp_path) == ["mine.csv"]


def test_contradicting_rows_name_the_file_and_the_month(tmp_path):
    path = own_rows(tmp_path, lambda rows: [row + ",0.2,3" for row in rows])
    path.write_text(path.read_text().replace("rain_mm\n", "rain_mm,tmin_sd_c,tmax_sd_c\n"))
    done = run("--normals", "mine.csv", folder=tmp_path)
    assert done.returncode == 2
    assert done.stderr.startswith("leafhunger: mine.csv, normals of My garden, January: found standard deviations 0.2 and 3 degC")


def test_a_scenario_can_use_the_file(tmp_path):
    scenario = (ROOT / "scenarios" / "one-bed.json").read_text()
    named = re.search(r'"file": "([^"]+)"', scenario).group(1)
    run("--place", "Camborne", "--years", 3, "--out", "made.csv", folder=tmp_path)
    (tmp_path / "garden.json").write_text(re.sub(r'"season": \d+', '"season": 0', scenario.replace(named, "made.csv")))
    for command in ("check", "season"):
        done = subprocess.run([COMMAND, command, "garden.json"], cwd=tmp_path, capture_output=True, text=True, timeout=60)
        assert done.returncode == 0, done.stderr
    assert "2003" in done.stdout
