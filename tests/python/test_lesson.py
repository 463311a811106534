"""The lesson page: its figures against those that the Python package gives for the same jars and against the weather file itself; guesses before
answers, on a screen and on paper."""
import csv
import json
import os
import pathlib
import re
import shutil
import statistics
import subprocess

import numpy as np
import pytest

import leafhunger as lh
from browsing import CONTRAST, INSIDE, SIZE, UNMARKED, WIDTHS, browser, kept, printed_pdf, printed_sheets, show  # noqa: F401
from trust import CLI, SCENARIOS, garden, lay, one_sentence, run, weather

pytestmark = pytest.mark.skipif(not CLI, reason="LEAFHUNGER_CLI names no command")
PRESETS = json.loads((SCENARIOS.parent / "plugins" / "catalogue" / "lesson.json").read_text())["lesson"]
QUESTIONS = 4


@pytest.fixture(scope="session")
def written(tmp_path_factory):
    out = tmp_path_factory.mktemp("lesson") / "lesson.html"
    done = run("lesson", SCENARIOS / "saltmarsh-lane.json", "--out", out)
    assert done.status == 0, done
    assert all(len(line) <= 80 for line in done.out.splitlines())
    return out


@pytest.fixture(scope="session")
def said():
    return json.loads(run("lesson", SCENARIOS / "saltmarsh-lane.json", "--json").out)


@pytest.fixture
def page(browser, written):
    show(browser, 900)
    browser.get(f"file://{written}")
    browser.called = "lesson"
    return browser


def test_answers_agree_with_the_tables_above_them(tmp_path):
    """A class takes one figure of the table from the other."""
    for name in ("one-bed", "saltmarsh-lane"):
        out = tmp_path / f"{name}.html"
        assert run("lesson", SCENARIOS / f"{name}.json", "--out", out).status == 0
        markup = out.read_text(encoding="utf-8")
        soil = [float(re.search(rf'<th scope="row">{spring}, \d+</th><td class="n">([\d.]+)</td>', markup).group(1)) for spring in ("cold", "warm")]
        assert f"By {soil[1] - soil[0]:.1f} over those six weeks" in markup
        air = [float(t) for t in re.search(r"in the air ([\d.]+) and ([\d.]+) degrees", markup).groups()]
        assert f"if the air differs by {air[1] - air[0]:.1f}?" in markup
        table = re.search(r"Grams free of each 100 g of nitrogen, by warmth</caption>.*?</table>", markup, re.S).group(0)
        jars = [float(g) for g in re.findall(r"(\d+) g</td>", table)]
        early, late = jars[::2], jars[1::2]
        assert f"Cold and warm lie {max(early) - min(early):.0f} g apart after" in markup and f"and {max(late) - min(late):.0f} g at the end" in markup


def test_dry_ground_is_slow_and_does_not_stop(said, written):
    dry, moist, wet = (100 * j["freed_frac"] for j in said["moisture"]["jars"])
    assert 1 < dry < 0.5 * moist and 1 < wet < moist, "slow, and yet something"
    markup = written.read_text(encoding="utf-8")
    assert "nothing happens" not in markup and f"The 15 % jar freed {dry:.0f} g, the best one {moist:.0f} g." in markup


def test_jars_are_those_of_the_package(said):
    warmth = PRESETS["warmth"]
    ours = lh.incubate(warmth["material"], [j["temperature_c"] for j in warmth["jars"]], [warmth["look_on_day"], PRESETS["last_day"]])
    assert np.array([[j["freed_frac"], j["freed_at_end_frac"]] for j in said["warmth"]["jars"]]) == pytest.approx(ours, rel=1e-6)
    moisture = PRESETS["moisture"]
    for jar, preset in zip(said["moisture"]["jars"], moisture["jars"], strict=True):
        ours = lh.incubate(moisture["material"], moisture["temperature_c"], moisture["look_on_day"], moisture=preset["pores_with_water_percent"] / 100)
        assert jar["freed_frac"] == pytest.approx(float(ours.squeeze()), rel=1e-6)
    dry, moist, wet = (j["freed_frac"] for j in said["moisture"]["jars"])
    assert moist > dry and moist > wet
    assert min(f["freed_frac"] for f in said["feeds"]["materials"]) < -0.1, "one of them ties up"


def test_springs_are_the_coldest_and_the_warmest_of_the_record(said):
    means = {}
    with (SCENARIOS / "saltmarsh-weather.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(line for line in file if not line.startswith("#")):
            if row["date"][5:7] in ("03", "04", "05"):
                means.setdefault(int(row["date"][:4]), []).append((float(row["tmin_c"]) + float(row["tmax_c"])) / 2)
    seasons = lh.load(SCENARIOS / "saltmarsh-lane.json").seasons
    means = {year: statistics.fmean(days) for year, days in means.items() if year in seasons}
    springs = said["springs"]
    assert springs["cold"]["season"] == min(means, key=means.get) and springs["warm"]["season"] == max(means, key=means.get)
    assert springs["cold"]["air_c"] == pytest.approx(min(means.values())) and springs["warm"]["air_c"] == pytest.approx(max(means.values()))
    assert springs["cold"]["soil_c"] < springs["warm"]["soil_c"] and springs["cold"]["freed_frac"] < springs["warm"]["freed_frac"]
    assert springs["fed_on"] == "04-15" and springs["looked_on"] == "05-27"
    assert springs["feed_behind_days"] > 0 and springs["plants_behind_days"] > 0


def test_springs_are_those_of_a_season(said):
    """The same garden run by the package in those two years, its series put together here."""
    springs = said["springs"]
    for which in ("cold", "warm"):
        run_of_it = lh.load(SCENARIOS / "saltmarsh-lane.json").season(springs[which]["season"], reasons=False)
        series, planting = run_of_it.series["Bananas"], run_of_it.columns["Bananas"]
        day = int(np.argmax(run_of_it.dates == np.datetime64(f"{springs[which]['season']}-05-27")))
        free = series["given_kg_n_ha"] - series["unfreed_kg_n_ha"] - series["microbes_kg_n_ha"] - series["humus_kg_n_ha"]
        assert springs[which]["freed_frac"] == pytest.approx(free[day] / series["given_kg_n_ha"][day], rel=1e-6)
        assert springs[which]["taken_g_per_plant"] == pytest.approx(series["taken_kg_n_ha"][day] * 0.1 * planting.area_m2 / planting.count, rel=1e-6)
        assert springs[which]["soil_c"] == pytest.approx(series["soil_c"][day - 42:day, 1].mean())


def test_one_handful_is_all_that_is_given(tmp_path):
    fed = garden()
    fed["feedings"] = [{"material": "dried-blood", "on": "06-01", "plantings": ["Bananas"], "amount": {"handfuls": 1, "per": "plant"}},
                       {"material": "dried-blood", "on": "04-20", "plantings": ["Bananas"], "amount": {"handfuls": 2, "per": "plant"}, "again": {"every_days": 20, "until": "07-01"}}]
    springs = json.loads(run("lesson", lay(tmp_path / "a", fed), "--json").out)["springs"]
    assert springs["feed"].startswith("20 April: 2 handfuls") and "every" not in springs["feed"]


def test_nothing_is_fetched_and_nothing_runs(page, written):
    markup = written.read_text(encoding="utf-8")
    assert not re.search(r"<script|<link|<img|<iframe|@import|url\((?!#)|javascript:|\bon\w+=", markup)
    assert set(re.findall(r"https?://[^\s\"<]+", markup)) <= {"http://www.w3.org/2000/svg"}, "a name of a format, not an address"
    assert "default-src 'none'" in markup
    assert page.get_log("browser") == []
    assert page.execute_script("return performance.getEntriesByType('resource').length + document.scripts.length") == 0


def test_a_guess_comes_before_its_answer(page):
    assert page.execute_script("return document.querySelectorAll('details.answer').length") == QUESTIONS
    hidden = "return [...document.querySelectorAll('.answer table, .answer svg')].map(e => e.checkVisibility({contentVisibilityAuto: true}))"
    assert not any(page.execute_script(hidden))
    assert page.execute_script("return [...document.querySelectorAll('.unit')].every(u => u.querySelector('.guess').compareDocumentPosition(u.querySelector('details')) == 4)")
    page.find_element("css selector", "summary").click()
    assert page.execute_script(hidden)[0], "opened by hand, without a script"
    levels = page.execute_script("return [...document.querySelectorAll('h1,h2,h3,h4')].map(h => Number(h.tagName[1]))")
    assert levels[0] == 1 and levels.count(1) == 1 and all(b <= a + 1 for a, b in zip(levels, levels[1:]))


def test_empty_axes_are_those_of_the_answer(page):
    units = page.execute_script("""return [...document.querySelectorAll('.unit')].map(u => [...u.querySelectorAll('svg')].slice(0, 2).map(s => [
        s.querySelectorAll('polyline, polygon, circle').length,
        [...s.querySelectorAll('line')].filter(l => l.getAttribute('stroke') == '#dedcd4').map(l => l.getAttribute('y1') - s.querySelector('line').getAttribute('y1')),
        [...s.querySelectorAll('text[text-anchor=end], text[text-anchor=middle]')].map(t => t.textContent)]))""")
    assert len(units) == QUESTIONS
    for (lines, grid, ticks), (answer_lines, answer_grid, answer_ticks) in units:
        assert lines == 0 and answer_lines > 2
        assert grid == pytest.approx(answer_grid) and ticks == answer_ticks


def test_it_is_readable_at_every_width(page):
    page.execute_script("document.querySelectorAll('details').forEach(d => d.open = true)")
    for width in (*WIDTHS, 500, 640, 820):
        show(page, width)
        assert page.execute_script("return document.documentElement.scrollWidth") <= width
        assert page.execute_script(INSIDE) == []
        assert page.execute_script(UNMARKED) == [], width
        assert page.execute_script(SIZE) >= 10
        kept(page, f"{width}.png", page.execute_cdp_cmd("Page.captureScreenshot", {"captureBeyondViewport": True})["data"])
    assert [r for r in page.execute_script(CONTRAST) if r[0] < 4.5] == []


def test_every_landmark_and_table_has_a_name_of_its_own(page):
    names = page.execute_script("return [...document.querySelectorAll('section[aria-label]')].map(s => s.getAttribute('aria-label'))")
    assert len(names) == 2 * QUESTIONS and len(set(names)) == len(names)


def test_on_paper_the_answer_is_overleaf(page, tmp_path):
    assert printed_sheets(page) == 2 + 2 * QUESTIONS, "notes and how it was worked out, then question and answer in turn"
    if not shutil.which("pdftotext"):
        pytest.skip("no pdftotext on this machine (Debian: poppler-utils)")
    (tmp_path / "lesson.pdf").write_bytes(printed_pdf(page))
    sheets = subprocess.run(["pdftotext", "-layout", str(tmp_path / "lesson.pdf"), "-"], capture_output=True, text=True, check=True).stdout.split("\f")
    assert "For the teacher" in sheets[0] and "How it was worked out" in sheets[1]
    for unit in range(1, QUESTIONS + 1):
        question, answer = sheets[2 * unit], sheets[2 * unit + 1]
        assert f"{unit}. " in question and "my guess" in question and "Answers" not in question
        assert f"Answer to {unit}. " in answer and "Answers" in answer


def test_bad_input(tmp_path):
    path = lay(tmp_path / "a")
    assert ".html" in one_sentence(run("lesson", path, "--out", tmp_path / "x.pdf"))
    unfed = garden()
    unfed["feedings"] = []
    assert "/feedings" in one_sentence(run("lesson", lay(tmp_path / "b", unfed)))
    short = lay(tmp_path / "c", days=weather(years=1))
    assert "two seasons" in one_sentence(run("lesson", short, "--out", tmp_path / "none.html"))
    assert not (tmp_path / "none.html").exists()
    out = tmp_path / "there.html"
    out.write_text("mine")
    assert "file of that name" in one_sentence(run("lesson", path, "--out", out))
    assert out.read_text() == "mine"


def test_names_stay_names(tmp_path):
    odd = garden()
    odd["garden"].update(name="<script>alert(1)</script>", note="</style><h1>x</h1>")
    odd["beds"][0]["plantings"][0]["name"] = "<b>B & B</b>"
    odd["feedings"][0]["plantings"] = ["<b>B & B</b>"]
    out = tmp_path / "odd.html"
    assert run("lesson", lay(tmp_path / "a", odd), "--out", out).status == 0
    markup = out.read_text(encoding="utf-8")
    assert "<script" not in markup and "<b>" not in markup and markup.count("</style>") == 1 and markup.count("<h1>") == 1


@pytest.mark.parametrize("wrong, said", [
    ({"last_day": 3}, "last_day"), ({"warmth": {**PRESETS["warmth"], "material": "dried-bloud"}}, "dried-blood"),
    ({"feeds": {**PRESETS["feeds"], "materials": ["straw", "straw"]}}, "second time"), ({"colour": 1}, "colour"),
    ({"moisture": {**PRESETS["moisture"], "jars": PRESETS["moisture"]["jars"][::-1]}}, "order")])
def test_bad_presets_are_a_sentence(tmp_path, wrong, said):
    """An installation whose lesson.json somebody changed: the command beside a catalogue of its own."""
    built = pathlib.Path(CLI).resolve().parents[1]
    own = tmp_path / "tree"
    (own / "bin").mkdir(parents=True)
    shutil.copy(CLI, own / "bin" / "leafhunger")
    shutil.copytree(built / "share" / "leafhunger" / "catalogue", own / "share" / "leafhunger" / "catalogue")
    file = own / "share" / "leafhunger" / "catalogue" / "lesson.json"
    file.write_text(json.dumps({"format": 1, "lesson": {**PRESETS, **wrong}}))
    env = {k: v for k, v in os.environ.items() if k != "LEAFHUNGER_CATALOGUE"}
    env["LEAFHUNGER_PLUGIN_PATH"] = str(built / "lib" / "leafhunger" / "plugins")
    done = subprocess.run([str(own / "bin" / "leafhunger"), "lesson", str(SCENARIOS / "one-bed.json")], capture_output=True, text=True, env=env)
    assert done.returncode == 2 and done.stdout == ""
    assert "lesson.json" in done.stderr and said in done.stderr and done.stderr.count("\n") == 1
