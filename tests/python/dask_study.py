"""Many gardens on a Dask cluster of processes, a worker of which is killed on the way: is the answer still one process's, to the last digit?

    python3 dask_study.py                                      # 12 gardens x 3 years, as the tests run it
    python3 dask_study.py --gardens 1000 --years 30 --check 20

Gardens, weather and amounts are invented. It prints what was found, and ends with 1 where two answers differ. `--check` says how many of the gardens this
process computes again, 0 for all.
"""
import argparse
import os
import signal
import sys
import threading
import time

PLANTS = ("hardy-banana", "canna", "ginger-lily", "elephant-ear", "hardy-banana")
FEEDS = ("concentrated-manure-powder", "dried-blood", "cottonseed-meal", "poultry-manure-pellets", "feather-meal", "alfalfa-pellets", "hoof-and-horn")
TEXTURES = ("sandy loam", "loam", "silt loam", "clay")


def garden(number, years):
    """An invented garden of one bed and one planting; all else follows from its number."""
    return {
        "format": 1,
        "garden": {"name": f"Invented garden {number}", "note": "invented", "latitude_deg": 50.2},
        "weather": {"place": "Camborne", "years": years, "seed": number + 1, "start": 1990},
        "beds": [{"name": "Bed", "area_m2": 4, "soil": {"texture": TEXTURES[number % 4], "organic_matter_percent": 1.5 + number % 6},
                  "plantings": [{"name": PLANTS[number % 5], "plant": PLANTS[number % 5], "count": 3, "ground_m2": 4}]}],
        "feedings": [{"material": FEEDS[number % 7], "on": "04-15", "bed": "Bed", "amount": {"grams": 60 + 40 * (number % 11), "per": "m2"}}],
    }


class Killing:
    """An executor that hands everything on to another, and kills a process when so many tasks are done."""

    def __init__(self, executor, victim, after):
        self._executor, self._victim, self._after = executor, victim, after
        self._lock, self._done, self.killed_after = threading.Lock(), 0, None

    def submit(self, function, *arguments):
        future = self._executor.submit(function, *arguments)
        future.add_done_callback(self._count)
        return future

    def _count(self, _):
        with self._lock:
            self._done += 1
            if self._done == self._after:
                os.kill(self._victim, signal.SIGKILL)
                self.killed_after = self._done


def main():
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    for name, usual in (("gardens", 12), ("years", 3), ("workers", 2), ("check", 0)):
        asked.add_argument(f"--{name}", type=int, default=usual)
    asked = asked.parse_args()
    try:
        from distributed import Client, LocalCluster
    except ImportError:
        print("skipped: Dask's distributed is not installed (Debian: python3-distributed)")
        return 0
    import leafhunger as lh

    gardens = [garden(i, asked.years) for i in range(asked.gardens)]
    with LocalCluster(n_workers=asked.workers, threads_per_worker=1, processes=True, dashboard_address=None) as cluster, Client(cluster) as client:
        before = set(client.run(os.getpid).values())
        executor = Killing(client.get_executor(), min(before), max(1, asked.gardens // 3))
        began = time.monotonic()
        study = lh.ensemble(gardens, executor=executor)
        took = time.monotonic() - began
        print(f"{asked.gardens:,} gardens x {asked.years} years on {asked.workers} workers: {took:.0f} s, {took / study.asked * 1000:.1f} ms a season")
        client.wait_for_workers(asked.workers)
        after = set(client.run(os.getpid).values())
    if executor.killed_after is None or min(before) in after:
        print("no worker was killed")
        return 1
    print(f"one worker was killed after {executor.killed_after} tasks; the cluster brought up {len(after - before)} in its place")
    print(study)
    again = asked.check or asked.gardens
    alone = lh.ensemble(gardens[:again])
    same = alone.rows == tuple(row for row in study.rows if row.number < again)
    whole = study.finished == study.asked == asked.gardens * asked.years
    print(f"{again:,} gardens once more in this process: {'the same to the last digit' if same else 'NOT the same'}")
    return 0 if same and whole else 1


if __name__ == "__main__":
    sys.exit(main())
