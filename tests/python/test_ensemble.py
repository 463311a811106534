"""Many gardens on any executor: the same answer, progress where it helps, and nothing half-done when it is stopped or a worker dies."""
import datetime
import json
import os
import pathlib
import pickle
import pty
import signal
import subprocess
import sys
import textwrap
import threading
import time
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context

import pytest
from dask_study import Killing

import leafhunger as lh

SCENARIOS = pathlib.Path(__file__).resolve().parents[2] / "scenarios"
ONE, POTS, DEMO = SCENARIOS / "one-bed.json", SCENARIOS / "pots.json", SCENARIOS / "saltmarsh-lane.json"


@pytest.fixture(scope="module")
def study():
    return lh.ensemble([ONE, POTS], [2018, 2020, 2023])


def in_memory(name="In memory"):
    written = json.loads(ONE.read_text())
    written["garden"]["name"] = name
    written["weather"]["file"] = str(SCENARIOS / written["weather"]["file"])
    return written


# ---- the answer -----------------------------------------------------------------------------------------------------

def test_it_is_what_each_season_says(study):
    for number, path in enumerate((ONE, POTS)):
        garden = lh.load(path)
        for season in (2018, 2020, 2023):
            run = garden.season(season, reasons=False)
            mine = [r for r in study.rows if (r.number, r.season) == (number, season)]
            assert [r.planting for r in mine] == list(run.verdict)
            for row in mine:
                v, c = run.verdict[row.planting], run.columns[row.planting]
                assert (row.outcome, row.first_short, row.nni_at_date, row.growth_frac) == (v.outcome, v.first_short, v.nni_at_date, v.growth_frac)
                assert (row.taken_kg_n_ha, row.leached_kg_n_ha, row.gain_g) == (c.ledger.taken, c.ledger.leached, c.gain_g)
    assert study.gardens == (lh.load(ONE).name, lh.load(POTS).name) and study.asked == study.finished == 6


def test_years_kept_are_those_of_lasts():
    """`lasts` runs the same seasons in batches, by another stepper."""
    study = lh.ensemble(ONE)
    lasts = lh.load(ONE).lasts()
    assert study.kept == {(0, name): (p.kept, len(lasts.seasons)) for name, p in lasts.plantings.items()}
    assert f"in {lasts.plantings['Bananas'].kept} years of {len(lasts.seasons)}" in str(study)
    usual = datetime.date.fromisoformat(f"2000-{lasts.plantings['Bananas'].usual_first_short}")
    assert f"usually short from {usual.day} {usual:%B}" in str(study)


class Backwards(Executor):
    """Runs what it was handed only when the batch is complete, the last first: an executor that nobody would want."""

    def __init__(self):
        self._held, self._timer = [], None

    def submit(self, function, *arguments):
        future = Future()
        self._held.append((future, function, arguments))
        if self._timer is not None:
            self._timer.cancel()
        self._timer = threading.Timer(0.05, self._go)
        self._timer.start()
        return future

    def _go(self):
        held, self._held = self._held, []
        for future, function, arguments in reversed(held):
            future.set_result(function(*arguments))


def pool_of(kind):
    return {"one thread": lambda: ThreadPoolExecutor(1), "four threads": lambda: ThreadPoolExecutor(4), "one process": lambda: ProcessPoolExecutor(1),
            "three processes": lambda: ProcessPoolExecutor(3), "spawned": lambda: ProcessPoolExecutor(2, mp_context=get_context("spawn")),
            "backwards": Backwards}[kind]()


@pytest.mark.parametrize("kind", ["one thread", "four threads", "one process", "three processes", "spawned", "backwards"])
def test_the_same_to_the_last_digit_on_any_executor(study, kind):
    with pool_of(kind) as executor:
        other = lh.ensemble([ONE, POTS], [2018, 2020, 2023], executor=executor)
    assert other.rows == study.rows and other.to_csv() == study.to_csv() and str(other) == str(study)


def test_tasks_and_rows_can_be_sent(study):
    assert pickle.loads(pickle.dumps(study.rows)) == study.rows


def test_a_garden_in_memory_is_as_good_as_one_in_a_file(study):
    mine = lh.ensemble(in_memory(), [2018, 2020])
    assert [r.nni_at_date for r in mine.rows] == [r.nni_at_date for r in study.rows if r.number == 0 and r.season < 2023]
    assert lh.ensemble(lh.load(ONE), 2018).rows == tuple(r for r in study.rows if r.number == 0 and r.season == 2018)


def test_a_changed_file_is_read_anew(tmp_path):
    path = tmp_path / "garden.json"
    written = in_memory()
    path.write_text(json.dumps(written))
    before = lh.ensemble(path, 2020)
    written["feedings"][0]["amount"]["handfuls"] = 6
    path.write_text(json.dumps(written))
    assert lh.ensemble(path, 2020).rows[0].taken_kg_n_ha > before.rows[0].taken_kg_n_ha


def test_the_words_of_many_gardens():
    words = str(lh.ensemble([in_memory("A"), in_memory("B")], [2018, 2019]))
    assert words.startswith("2 gardens, seasons 2018 to 2019.") and "Bananas" in words and max(map(len, words.splitlines())) <= 80


def test_the_table_can_be_read_back(study, tmp_path):
    import csv

    study.write(tmp_path / "study.csv")
    with open(tmp_path / "study.csv", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert [float(r["nni_at_date"]) for r in rows] == [r.nni_at_date for r in study.rows]
    assert [r["first_short"] for r in rows] == ["" if r.first_short is None else r.first_short.isoformat() for r in study.rows]
    assert os.listdir(tmp_path) == ["study.csv"]


# ---- what goes wrong ------------------------------------------------------------------------------------------------

class Never(Executor):
    def submit(self, *_):
        raise AssertionError("nothing may be run before every garden was read")


def test_a_slip_in_the_last_garden_is_told_before_anything_runs():
    broken = in_memory()
    broken["beds"][0]["plantings"][0]["plant"] = "hardy-bananna"
    with pytest.raises(lh.InputError, match='^scenario, line .*"hardy-banana"') as caught:
        lh.ensemble([ONE, POTS, broken], executor=Never())
    assert caught.value.file == "scenario"


@pytest.mark.parametrize("call, place, words", [
    (lambda: lh.ensemble([]), "gardens", "at least one"),
    (lambda: lh.ensemble(7), "gardens", "7"),
    (lambda: lh.ensemble(ONE, []), "seasons", "at least one"),
    (lambda: lh.ensemble(ONE, [1900]), "seasons", "which the weather of One bed covers"),
    (lambda: lh.ensemble(ONE, ["2020"]), "seasons", "whole number"),
    (lambda: lh.ensemble(ONE, executor=ThreadPoolExecutor), "executor", "Executor"),
    (lambda: lh.ensemble(ONE, executor=4), "executor", "Executor"),
    (lambda: lh.ensemble(ONE, out="nowhere/study.csv"), "out", "make the folder first"),
])
def test_a_wrong_question_is_refused(call, place, words):
    with pytest.raises(lh.InputError) as caught:
        call()
    assert caught.value.place == place and words in str(caught.value)


def test_a_fault_in_a_worker_comes_through_whole():
    with ProcessPoolExecutor(1, initializer=os.environ.__setitem__, initargs=("LEAFHUNGER_CATALOGUE", "/nowhere")) as pool:
        with pytest.raises(lh.InputError, match="nowhere"):
            lh.ensemble(ONE, [2020], executor=pool)


def test_a_dead_worker_of_a_pool_is_survived(study):
    with ProcessPoolExecutor(2) as pool:
        victim = pool.submit(os.getpid).result()
        os.kill(victim, signal.SIGKILL)
        mended = lh.ensemble([ONE, POTS], [2018, 2020, 2023], executor=pool)
    assert mended.rows == study.rows and "worker died" in mended.notes[0] and "worker died" in str(mended)


def test_a_worker_that_dies_on_the_way_is_survived():
    with ProcessPoolExecutor(2) as pool:
        killing = Killing(pool, pool.submit(os.getpid).result(), after=4)
        mended = lh.ensemble(DEMO, executor=killing)
    assert killing.killed_after == 4 and "worker died" in mended.notes[0]
    assert mended.rows == lh.ensemble(DEMO).rows


def test_what_kills_every_worker_ends_in_a_sentence():
    from leafhunger import _tasks

    with ProcessPoolExecutor(1) as pool, pytest.raises(lh.Error, match="died again in a fresh pool, after 0 of 2 tasks"):
        _tasks.run(os._exit, [1, 1], pool, what="tasks", size=lambda _: 1, progress=None, notes=[])


# ---- progress and Ctrl-C --------------------------------------------------------------------------------------------

LONG = f"""
import sys, leafhunger as lh
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
with {{"threads": ThreadPoolExecutor, "processes": ProcessPoolExecutor}}[sys.argv[2]](2) as pool:
    try:
        lh.ensemble([{str(DEMO)!r}] * 40, executor=pool, out=sys.argv[1], progress=True)
    except KeyboardInterrupt as stop:
        print(type(stop).__name__, stop.study.finished, stop.study.asked, len(stop.study.rows))
        raise SystemExit(130)
"""


@pytest.mark.parametrize("workers", ["threads", "processes"])
def test_ctrl_c_prints_what_was_finished_and_leaves_nothing_half_written(tmp_path, workers):
    """Sent to every process of the group, as a terminal does; workers say nothing of it."""
    child = subprocess.Popen([sys.executable, "-c", LONG, str(tmp_path / "study.csv"), workers], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
                             start_new_session=True)
    seen = ""
    while seen.count(" of 560 seasons") < 2:  # some seasons are done
        seen += child.stderr.read(1)
        assert child.poll() is None, seen
    os.killpg(child.pid, signal.SIGINT)
    out, err = child.communicate(timeout=60)
    kind, finished, asked, rows = out.split()
    assert child.returncode == 130 and kind == "Stopped" and 0 < int(finished) < int(asked) == 560 and int(rows) == 13 * int(finished)
    assert f"Stopped after {finished} of 560 seasons. Of these:" in err and "Bananas" in err and "Traceback" not in err
    assert os.listdir(tmp_path) == []


QUICK = f"import leafhunger as lh; lh.ensemble([{str(ONE)!r}] * 4, [2018, 2020])"


def test_no_progress_where_nobody_looks():
    done = subprocess.run([sys.executable, "-c", QUICK], capture_output=True, text=True)
    assert done.returncode == 0 and done.stdout == "" and done.stderr == ""


def test_progress_on_a_terminal_is_wiped_in_the_end():
    ours, its = pty.openpty()
    child = subprocess.Popen([sys.executable, "-c", QUICK], stdout=subprocess.DEVNULL, stderr=its)
    os.close(its)
    shown, until = b"", time.monotonic() + 60
    while time.monotonic() < until:
        try:
            part = os.read(ours, 1000)
        except OSError:  # Linux says so when the other end is closed
            break
        if not part:
            break
        shown += part
    os.close(ours)
    assert child.wait() == 0
    text = shown.decode()
    assert "8 of 8 seasons" in text and text.endswith("\r") and text.split("\r")[-2].strip() == ""


def test_the_docstring_example_holds():
    code = textwrap.dedent(f"""
        from concurrent.futures import ProcessPoolExecutor
        import leafhunger as lh
        if __name__ == "__main__":
            with ProcessPoolExecutor(2) as pool:
                print(lh.ensemble([{str(ONE)!r}, {str(POTS)!r}], [2020], executor=pool))
        """)
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0 and done.stdout.startswith("2 gardens, seasons 2020."), done.stderr
