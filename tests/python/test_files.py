"""Files on the way out and in: killed at any moment, on a full disk, in a folder that may not be written; and files too large to be a garden."""
import json
import os
import random
import resource
import signal
import subprocess
import time

import pytest
from trust import CLI, DEEP, SCENARIOS, garden, lay, one_sentence, run, run_weighed, weather

pytestmark = pytest.mark.skipif(not CLI, reason="LEAFHUNGER_CLI names no command")

KILLS = 2000 if DEEP else 200
NAMES = ("report.html", "calendar.ics", "series.csv")


def words_of(kind, scenario, out):
    return {"report": ["season", scenario, "--out", out, "--force"],
            "days": ["weather", "--place", "Camborne", "--years", "60", "--seed", scenario, "--out", out, "--force"],
            "curves": ["curves", "--file", scenario, "--materials", "dried-blood", "--out", out, "--force"]}[kind]


def bytes_of(kind, out):
    """What lies there under its final names, by name."""
    if kind != "report":
        return {out.name: out.read_bytes()} if out.exists() else {}
    return {n: (out / n).read_bytes() for n in NAMES if (out / n).exists()}


def kill_at_random(kind, words, out, expected, rng, kills):
    """Kills `words` again and again, half of the times while a temporary file lies there. Answers how many were caught in the act."""
    folder, caught, before = out if kind == "report" else out.parent, 0, bytes_of(kind, out)
    span_s = min(_timed(words[0]), 3)
    for k in range(kills):
        child = subprocess.Popen([CLI, *map(str, words[k % 2])], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        if k % 4 < 2:
            until = time.monotonic() + 30
            while child.poll() is None and time.monotonic() < until and not _parts(folder):
                time.sleep(0.0002)
            time.sleep(rng.uniform(0, 0.006))
        else:
            time.sleep(rng.uniform(0, 1.1 * span_s))
        child.send_signal(signal.SIGKILL)
        child.wait()
        caught += bool(_parts(folder))
        now = bytes_of(kind, out)
        assert set(now) >= set(before), f"kill {k}: a file that was there is gone"
        for name, text in now.items():
            assert text in expected[name], f"kill {k}: {name} is neither the old nor the new one ({len(text)} bytes)"
        before = now
        for part in _parts(folder):
            os.unlink(os.path.join(folder, part))
    return caught


def _parts(folder):
    return [n for n in os.listdir(folder) if ".part-" in n] if os.path.isdir(folder) else []


def _timed(words):
    begun = time.monotonic()
    assert run(*words).status == 0
    return time.monotonic() - begun


@pytest.mark.parametrize("kind,share", [("report", 0.5), ("days", 0.5)])
def test_a_kill_leaves_the_old_or_the_new(tmp_path, kind, share):
    rng = random.Random(20240415)
    if kind == "report":
        wet = garden(feedings=[])
        inputs = [lay(tmp_path / "a"), lay(tmp_path / "b", wet)]
        out = tmp_path / "out"
    else:
        inputs, out = ["1", "2"], tmp_path / "days.csv"
    words = [words_of(kind, i, out) for i in inputs]
    expected = {}
    for one in words:
        assert run(*one).status == 0
        for name, text in bytes_of(kind, out).items():
            expected.setdefault(name, set()).add(text)
    assert all(len(texts) == 2 for name, texts in expected.items()), "the two runs must differ, or nothing could be seen"
    kills = round(KILLS * share)
    caught = kill_at_random(kind, words, out, expected, rng, kills)
    print(f"{kind}: {kills} kills, {caught} while a temporary file lay there")
    assert caught >= kills // 8, "too few kills fell into the writing to show anything"


def limited(mib):
    def limit():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (mib << 10, mib << 10))
    return limit


@pytest.mark.parametrize("there", [False, True])
def test_a_disk_that_fills_is_told(tmp_path, there):
    """A limit on the size of files stands for it: the write fails in the middle, for everyone and without a disk of its own."""
    path, out = lay(tmp_path / "garden"), tmp_path / "out"
    before = {}
    if there:
        assert run("season", path, "--out", out).status == 0
        before = bytes_of("report", out)
    said = one_sentence(run("season", path, "--out", out, "--force", before=limited(48)))
    assert "cannot be written to its end" in said and "room on the disk" in said, said
    assert bytes_of("report", out) == before, "all or none"
    assert not _parts(out)
    assert out.exists() == there, "a folder that it made is taken away again"


def test_a_full_disk_is_told(tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    made = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "none", disk], capture_output=True, text=True)
    if made.returncode != 0:
        pytest.skip("no small disk can be mounted here: " + made.stderr.strip())
    try:
        said = one_sentence(run("season", lay(tmp_path / "garden"), "--out", disk / "out"))
        assert "No space left on device" in said, said
        assert list(disk.iterdir()) == []
    finally:
        subprocess.run(["umount", disk], check=True)


@pytest.mark.parametrize("words", [["season", "--json"], ["season"], ["lasts"], ["check"], ["plugins"], ["weather", "--list"]])
def test_an_answer_that_finds_no_room_is_told(tmp_path, words):
    path = [lay(tmp_path)] if words[0] in ("season", "lasts", "check") else []
    with open("/dev/full", "w") as full:
        answer = run(words[0], *path, *words[1:], stdout=full)
    assert answer.status == 3 and "could not be written to its end" in answer.err and answer.err.count("\n") == 1, answer


def test_a_folder_that_may_not_be_written(tmp_path):
    for out in ("/proc/leafhunger", "/sys/leafhunger"):
        assert "none can be made there" in one_sentence(run("season", lay(tmp_path), "--out", out))


def test_a_folder_that_is_read_only(tmp_path_factory):
    import pathlib
    import shutil
    import tempfile

    folder = pathlib.Path(tempfile.mkdtemp())  # pytest's own folders are closed to others
    try:
        folder.chmod(0o755)
        path = lay(folder / "garden")
        (folder / "out").mkdir()
        (folder / "out").chmod(0o555)

        def nobody():
            if os.getuid() == 0:
                os.setgroups([])
                os.setgid(65534)
                os.setuid(65534)

        for words in (["season", path, "--out", folder / "out"], ["season", path, "--out", folder / "out" / "new"],
                      ["weather", "--place", "Camborne", "--years", "1", "--out", folder / "out" / "w.csv"]):
            said = one_sentence(run(*words, before=nobody))
            assert "may not be written" in said or "none can be made there" in said, said
        assert list((folder / "out").iterdir()) == []
    finally:
        shutil.rmtree(folder)


# Sizes. What is refused is refused soon and in little memory.


def refused_soon(answer, mib=512, seconds=20):
    assert answer.peak_mib < mib and answer.seconds < seconds, answer
    return one_sentence(answer)


def test_a_weather_file_of_a_gibibyte_is_refused(tmp_path):
    path = lay(tmp_path)
    with open(tmp_path / "weather.csv", "a", encoding="utf-8") as stream:
        stream.truncate(1 << 30)
    assert "256 MiB" in refused_soon(run_weighed("season", path), mib=64)


def test_a_large_weather_file_streams(tmp_path):
    path = lay(tmp_path)
    remark = ("# " + "x" * 1021 + "\n") * 1024
    with open(tmp_path / "weather.csv", "a", encoding="utf-8") as stream:
        for _ in range(100):
            stream.write(remark)
    answer = run_weighed("check", path)
    assert answer.status == 0 and answer.peak_mib < 64, answer


@pytest.mark.parametrize("text,says", [
    ("x" * 70000, "more than 65536 bytes"),
    ("date,tmin_c,tmax_c,rain_mm," + ",".join(f"c{i}" for i in range(9000)), "at most 200"),
    ("date,tmin_c,tmax_c,rain_mm" + "," * 60000, "at most 200"),
    ("date,tmin_c,tmax_c,rain_mm\n2021-11-01,1,2,0" + "," * 60000, "4, as in the column names"),
    ("date,tmin_c,tmax_c,rain_mm\n2021-11-01," + "9" * 60000 + ",2,0", "999..."),
    ("\0" * 60000, "names no column of weather"),
], ids=["long", "columns", "blank columns", "cells", "digits", "noughts"])
def test_a_line_that_is_no_weather(tmp_path, text, says):
    assert says in refused_soon(run_weighed("season", lay(tmp_path, days=text + "\n")), mib=64, seconds=10)


def test_years_are_bounded(tmp_path):
    import datetime

    first = datetime.date(1000, 11, 1)
    days = "date,tmin_c,tmax_c,rain_mm\n" + "".join(f"{first + datetime.timedelta(days=d)},5,12,1\n" for d in range(366_001))
    assert "at most 1000 years" in refused_soon(run_weighed("season", lay(tmp_path, days=days)), mib=128)
    made = garden(weather={"place": "Camborne", "years": 1001})
    assert "1 to 1000" in refused_soon(run_weighed("season", lay(tmp_path, made)), mib=64)


def test_a_scenario_of_a_gibibyte_is_refused(tmp_path):
    path = lay(tmp_path)
    with open(path, "a", encoding="utf-8") as stream:
        stream.truncate(1 << 30)
    assert "16 MiB" in refused_soon(run_weighed("season", path), mib=128)


@pytest.mark.parametrize("text,says", [
    ("[" * 1_000_000, "64 deep"),
    ('{"a":' * 1_000_000, "64 deep"),
    ("[" + "0," * 7_000_000 + "0]", "at most 500000"),
    ('{"format":1' + "".join(f',"k{i}":0' for i in range(490_000)) + "}", 'unknown key "k0"'),
    ('{"format":1,"format":1' + ',"format":1' * 400_000 + "}", "a second time"),
    ('{"format":1,"garden":{"name":"' + "x" * 15_000_000 + '"}}', "characters"),
    ('{"format":1,"garden":{"name":"a","latitude_deg":' + "1" * 1_000_000 + "}}", "308 digits"),
], ids=["lists", "groups", "values", "keys", "one key", "text", "digits"])
def test_json_that_is_too_much(tmp_path, text, says):
    assert says in refused_soon(run_weighed("check", lay(tmp_path, text)))


def test_numbers_of_things_are_bounded(tmp_path):
    bed = garden()["beds"][0]
    planting, feeding = bed["plantings"][0], garden()["feedings"][0]
    many = {
        "1 to 50 beds": garden(beds=[dict(bed, name=f"Bed {i}", plantings=[]) for i in range(51)], feedings=[]),
        "0 to 50 plantings": garden(beds=[dict(bed, plantings=[dict(planting, name=f"Plant {i}") for i in range(51)])], feedings=[]),
        "0 to 200 feedings": garden(feedings=[feeding] * 201),
        "1 to 10000 plants": garden(beds=[dict(bed, plantings=[dict(planting, count=10001)])]),
        "1 to 50 waterings": garden(beds=[dict(bed, waterings=[{"on": "05-01", "give_mm": 5}] * 51)]),
        "1 to 20 layers": garden(beds=[dict(bed, soil={"texture": "loam", "layers_mm": [20] * 21})]),
    }
    for says, made in many.items():
        assert says in refused_soon(run_weighed("check", lay(tmp_path, made)), mib=64)
    huge = {f"m{i}": {"title": "x", "model": "organic-two-pool", "n_percent": 4, "carbon_to_nitrogen": 7, "form": "pellet", "bulk_density_kg_m3": 700,
                     "parameters": {}} for i in range(60_000)}
    answer = run_weighed("check", lay(tmp_path, garden(materials=huge)))
    assert answer.peak_mib < 512 and answer.seconds < 30, answer


def test_layers_of_a_tenth_of_a_millimetre_are_refused(tmp_path):
    bed = garden()["beds"][0]
    said = one_sentence(run("check", lay(tmp_path, garden(beds=[dict(bed, soil={"texture": "loam", "layers_mm": [0.1, 50]})]))))
    assert "at least 10 mm thick" in said and "0.1" in said
