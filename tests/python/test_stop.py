"""Ctrl-C on long work: it stops soon, prints what was finished, leaves no file, and ends with 130."""
import json
import os
import pathlib
import pty
import re
import signal
import subprocess
import sys
import tempfile
import time

import pytest

import leafhunger as lh

DEMO = pathlib.Path(__file__).resolve().parents[2] / "scenarios" / "saltmarsh-lane.json"
CLI = os.environ.get("LEAFHUNGER_CLI") or pathlib.Path(lh.__file__).parents[2] / "bin" / "leafhunger"
LONG = ["topup", str(DEMO), "--material", "dried-blood", "--whole-grid", "--intervals", *map(str, range(14, 94, 2)),
        "--doses", *map(str, range(10, 110, 10))]  # 400 schedules in 14 years, each to its end


def stopped(words, folder, at_percent):
    """Sends SIGINT once the line of progress, which only a terminal sees, has come so far. Status, standard output, what the terminal saw."""
    terminal, theirs = pty.openpty()
    printed = tempfile.TemporaryFile()  # a pipe would fill while the terminal is being read
    work = subprocess.Popen([CLI, *words], stdout=printed, stderr=theirs, cwd=folder, env={**os.environ, "LEAFHUNGER_THREADS": "2"})
    os.close(theirs)
    seen = b""
    sent = False
    try:
        while True:
            try:
                more = os.read(terminal, 1000)
            except OSError:  # the other end is closed
                break
            if not more:
                break
            seen += more
            percents = [int(p) for p in re.findall(rb" (\d+) %", seen)]
            if not sent and percents and percents[-1] >= at_percent:
                work.send_signal(signal.SIGINT)
                sent = True
        work.wait(timeout=120)
    finally:
        work.kill()
        os.close(terminal)
    assert sent
    printed.seek(0)
    return work.returncode, printed.read().decode(), seen.decode()


def test_a_stopped_search_prints_finished_plantings_and_leaves_no_file(tmp_path):
    status, out, seen = stopped([*LONG, "--json", "--out", "schedules.csv"], tmp_path, 20)
    answer = json.loads(out)
    assert status == 130
    assert answer["stopped"] and 1 <= len(answer["plantings"]) < 6
    assert all(p["best"] for p in answer["plantings"])
    assert list(tmp_path.iterdir()) == []
    assert "schedules.csv was not written" in seen


def test_a_stopped_search_says_in_words_how_far_it_came(tmp_path):
    status, out, _ = stopped(LONG, tmp_path, 20)
    assert status == 130
    assert re.search(r"Stopped: [1-5] of 6 plantings had been answered\.", out) and "Bananas: every" in out


@pytest.mark.parametrize("words", [["lasts", str(DEMO), "--sure", "2000", "--out", "bands.csv"],
                                   ["lasts", str(DEMO), "--enough", "--doses", ",".join(str(k / 10) for k in range(1, 200)), "--out", "curve.svg"]],
                         ids=["sure", "doses"])
def test_stopped_lasts_leaves_no_file(tmp_path, words):
    status, _, seen = stopped(words, tmp_path, 1)
    assert status == 130 and "stopped" in seen and list(tmp_path.iterdir()) == []


def test_no_line_of_progress_where_nobody_looks(tmp_path):
    done = subprocess.run([CLI, "topup", DEMO, "--material", "dried-blood", "--intervals", "42", "--doses", "28"], capture_output=True, text=True, check=True)
    assert done.stderr == ""


@pytest.mark.parametrize("call", ["g.topup('dried-blood', intervals_d=range(14, 94), doses_g_per_plant=range(10, 510, 10), whole_grid=True)",
                                  "g.how_sure(10000)", "g.enough(doses=[k / 10 for k in range(1, 300)])"])
def test_ctrl_c_reaches_a_long_call_from_python(call):
    program = f"import leafhunger as lh\ng = lh.load({str(DEMO)!r})\nprint('on', flush=True)\n{call}"
    work = subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        assert work.stdout.readline() == "on\n"
        time.sleep(0.5)
        begin = time.monotonic()
        work.send_signal(signal.SIGINT)
        _, err = work.communicate(timeout=60)
    finally:
        work.kill()
    assert err.rstrip().endswith("KeyboardInterrupt") and time.monotonic() - begin < 20


def test_what_the_progress_function_raises_ends_the_work():
    def tired(done, of):
        raise RuntimeError(f"enough after {done} of {of}")
    with pytest.raises(RuntimeError, match="enough after"):
        lh.load(DEMO).topup("dried-blood", intervals_d=range(14, 94), doses_g_per_plant=range(10, 510, 10), progress=tired)
