"""timings.py: how long the pages take in Chromium on this machine. Prints, and judges nothing: the goals are a season of a planting under 5 ms,
30 years of 6 plantings under 1 s, and a figure drawn within 50 ms of the answer."""
import json
import pathlib
import statistics
import sys
import tempfile

for part in ("web", "python"):
    sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / part))
import chromium  # noqa: E402
from built import BUILT, SCENARIOS  # noqa: E402
from looks import until  # noqa: E402


def scenario_of(years, plantings):
    written = json.loads((SCENARIOS / "saltmarsh-lane.json").read_text())
    bed = written["beds"][0]
    bed["plantings"] = [{"name": f"Bed {i}", "plant": plant, "count": 1} for i, plant in enumerate(["hardy-banana", "canna", "ginger-lily", "dahlia", "elephant-ear", "bamboo"][:plantings])]
    written.update(beds=[bed], feedings=written["feedings"][:1], weather={"place": "Camborne", "years": years}, question={})
    return json.dumps(written)


ASK = """const [question, files, done] = [arguments[0], arguments[1], arguments[2]];
const began = performance.now();
engine.ask(question, files).then(a => done({...a, text: a.status ? a.text : a.text.length, whole_ms: performance.now() - began}));"""


def main():
    with tempfile.TemporaryDirectory() as folder:
        driver = chromium.start(folder)
        try:
            driver.set_script_timeout(120)
            driver.get((BUILT / "garden.html").as_uri())
            until(driver, "return document.body.dataset.ready")

            def timed(question, files=(), times=5):
                said = [driver.execute_async_script(ASK, question, files) for _ in range(times)]
                assert all(s["status"] == 0 for s in said), said
                return statistics.median(s["ms"] for s in said)

            def shown(name, ms):
                print(f"{name:60} {ms:8.1f} ms")

            for n in (1, 6):
                files = [["t.json", scenario_of(30, n)]]
                read = timed({"ask": "scenario", "file": "t.json"}, files)
                shown(f"reading a garden of {n} with 30 years", read)
                shown(f"one season, {n} planted, no reasons", timed({"ask": "season", "file": "t.json", "reasons": False}, files) - read)
                shown(f"one season, {n} planted, with reasons", timed({"ask": "season", "file": "t.json"}, files) - read)
                shown(f"30 years, {n} planted, fed and unfed", timed({"ask": "lasts", "file": "t.json"}, files, 3) - read)
            for name in ("one-bed", "saltmarsh-lane"):
                files = [[f"{name}.json", (SCENARIOS / f"{name}.json").read_text()]]
                shown(f"{name}: what a slider asks", timed({"ask": "page", "file": f"{name}.json"}, files))
                shown(f"{name}: all its years", timed({"ask": "lasts", "file": f"{name}.json"}, files, 3))
            moves = []
            for step in range(8):
                driver.execute_script("document.body.dataset.quick = document.body.dataset.years = ''; const d = document.getElementById('dose'); d.value = arguments[0]; d.dispatchEvent(new Event('input'))", 1 + step / 10)
                moves.append(json.loads(until(driver, "return document.body.dataset.quick")))
                until(driver, "return document.body.dataset.years")
            for key, name in (("engine_ms", "a slider on the demo garden: the engine"), ("redraw_ms", "then drawing"), ("whole_ms", "in all")):
                shown(name, statistics.median(m[key] for m in moves))
        finally:
            driver.quit()


if __name__ == "__main__":
    main()
