"""Python's lock is free while the engine computes, and many threads may ask one garden at once."""
import pathlib
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

import leafhunger as lh

DEMO = pathlib.Path(__file__).resolve().parents[2] / "scenarios" / "saltmarsh-lane.json"


@pytest.fixture(scope="module")
def garden():
    return lh.load(DEMO)


class Ticker:
    """Counts in another thread whenever it is let."""

    def __enter__(self):
        self.ticks, self._stop = 0, False
        self._before = sys.getswitchinterval()
        # From now on Python takes the lock from nobody: only who lets go of it gives another a turn.
        sys.setswitchinterval(1000)
        self._thread = threading.Thread(target=self._run)
        self._thread.start()
        return self

    def __exit__(self, *_):
        self._stop = True
        self._thread.join()
        sys.setswitchinterval(self._before)

    def _run(self):
        while not self._stop:
            self.ticks += 1
            time.sleep(0)

    def during(self, call):
        before = self.ticks
        call()
        return self.ticks - before


def test_the_ticker_stands_still_while_the_lock_is_held():
    """Else the test below would prove nothing."""
    with Ticker() as ticker:
        assert ticker.during(lambda: sum(range(3_000_000))) == 0


@pytest.mark.parametrize("call", [
    pytest.param(lambda g: g.topup("dried-blood", "Cannas", intervals_d=[28], doses_g_per_plant=[20]), id="topup"),
    pytest.param(lambda g: g.lasts(), id="lasts"),
    pytest.param(lambda g: g.season(), id="season"),
    pytest.param(lambda g: g.trace("Bananas"), id="trace"),
    pytest.param(lambda g: lh.load(DEMO), id="load"),
    pytest.param(lambda g: lh.incubate("dried-blood", [8, 15, 22], [365]), id="incubate"),
])
def test_another_thread_ticks_meanwhile(garden, call):
    with Ticker() as ticker:
        # A short call may be over before the other thread has woken, so it may try again.
        assert any(ticker.during(lambda: call(garden)) > 0 for _ in range(20))


def test_another_thread_keeps_ticking_through_a_long_search(garden):
    stamps, stop = [], threading.Event()

    def tick():
        while not stop.is_set():
            stamps.append(time.perf_counter())
            time.sleep(0.005)

    thread = threading.Thread(target=tick)
    thread.start()
    began = time.perf_counter()
    garden.topup("dried-blood", ["Cannas", "Bananas"], intervals_d=[28, 42], doses_g_per_plant=[20, 40])
    ended = time.perf_counter()
    stop.set()
    thread.join()
    within = [t for t in stamps if began < t < ended]
    # Both cores are busy, so not every 5 ms; but never as if it had been shut out.
    assert len(within) > 10 * (ended - began)


def test_many_threads_one_garden_one_answer(garden):
    years = garden.seasons[:4]
    alone = [garden.season(y).to_json() for y in years]
    with ThreadPoolExecutor(4) as pool:
        for _ in range(2):
            assert list(pool.map(lambda y: garden.season(y).to_json(), years)) == alone


def test_many_threads_open_plugins_at_once():
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda _: sorted(lh.plugins().models), range(32)))
    assert all(f == found[0] for f in found) and "herbaceous" in found[0]


def test_an_error_in_a_thread_is_that_threads(garden):
    with ThreadPoolExecutor(2) as pool:
        bad, good = pool.submit(garden.season, 1900), pool.submit(garden.season, garden.seasons[0])
        assert good.result().season == garden.seasons[0]
        with pytest.raises(lh.InputError, match="1900"):
            bad.result()
