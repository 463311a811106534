"""The garden page in Chromium without a network: every control, files in and out, names that are markup, and paper."""
import json
import shutil
import time

import pytest
from built import SCENARIOS, command
from looks import fits, quiet_and_alone, sheets, until
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select

SHOWN = "return Number(document.body.dataset.shown || 0)"
HEARD = "return Number(document.body.dataset.shown || 0) > arguments[0]"
ANSWER = "return [...document.querySelectorAll('#answers tbody tr')].map(r => [...r.cells].map(c => c.textContent))"


@pytest.fixture
def page(chrome, address):
    chrome.get(address("garden"))
    until(chrome, "return document.body.dataset.ready")
    yield chrome
    assert chrome.get_log("browser") == []


def answers_after(page, act):
    before = page.execute_script(SHOWN)
    act()
    until(page, HEARD, 30, before)
    assert not page.find_element("id", "fault").is_displayed(), page.find_element("id", "fault").text
    return page.execute_script(ANSWER)


def test_opens_with_the_engine_in_a_worker_and_says_what_the_command_says(page):
    assert page.execute_script("return document.body.dataset.ready") == "worker"
    rows = page.execute_script(ANSWER)
    season = json.loads(command("season", "saltmarsh-lane.json", "--json").stdout)
    lasts = {p["name"]: p for p in json.loads(command("lasts", "saltmarsh-lane.json", "--json").stdout)["plantings"]}
    assert sorted(r[0] for r in rows) == sorted(c["name"] for c in season["columns"] if "verdict" in c)
    words = command("season", "saltmarsh-lane.json").stdout
    for name, word, why, years, until_day in rows:
        assert years == f"{lasts[name]['kept_years']} of {len(lasts[name]['years'])}"
    assert rows[0][1] in words
    cautions = page.execute_script("return [...document.querySelectorAll('#care li')].map(e => e.textContent)")
    assert cautions == [c["words"] for c in season["cautions"]] and any("dogs" in c for c in cautions)
    quiet_and_alone(page)


@pytest.mark.parametrize("control, key", [("dose", Keys.ARROW_RIGHT), ("date", Keys.ARROW_RIGHT), ("interval", Keys.ARROW_RIGHT), ("mulch", Keys.ARROW_LEFT), ("warmth", Keys.ARROW_LEFT)])
def test_each_slider_changes_words_figure_and_its_text(page, control, key):
    state = ("return ['#answers', '#figure figcaption', '#figure desc', '#where', '#cost'].map(q => document.querySelector(q).textContent)"
             ".concat(document.querySelector('#figure path.has').getAttribute('d'))")
    slider, before = page.find_element("id", control), page.execute_script(state)
    said = page.find_element("id", control + "-said").text

    def move():
        for _ in range(6):
            slider.send_keys(key)

    answers_after(page, move)
    after = page.execute_script(state)
    assert page.find_element("id", control + "-said").text != said
    assert slider.get_attribute("aria-valuetext") == page.find_element("id", control + "-said").text
    assert before[5] != after[5], "the figure follows"
    if control != "mulch":  # which moves it by less than a tenth of a gram
        assert before[1] != after[1] and before[2] != after[2], "and so does its text"
    if control in ("dose", "interval"):
        assert before[4] != after[4], "so does the cost"


def test_material_year_and_planting_are_chosen(page):
    first = page.execute_script(ANSWER)
    assert answers_after(page, lambda: Select(page.find_element("id", "material")).select_by_value("dried-blood")) != first
    assert answers_after(page, lambda: Select(page.find_element("id", "season")).select_by_value("2015")) != first
    assert "2015" in page.find_element("tag name", "h1").text
    drawn = page.find_element("css selector", "#figure h3").text
    Select(page.find_element("id", "planting")).select_by_value("Agaves")
    assert page.find_element("css selector", "#figure h3").text != drawn
    assert "Agaves" in page.find_element("css selector", "#figure desc").get_attribute("textContent")
    assert answers_after(page, lambda: page.find_element("id", "reset").click()) == first


def test_what_is_saved_gives_the_same_answer_by_the_command(page, downloads):
    answers_after(page, lambda: [page.find_element("id", "dose").send_keys(Keys.ARROW_RIGHT) for _ in range(10)])
    answers_after(page, lambda: page.find_element("id", "interval").send_keys(Keys.ARROW_RIGHT, Keys.ARROW_RIGHT, Keys.ARROW_RIGHT))
    rows = answers_after(page, lambda: page.find_element("id", "warmth").send_keys(Keys.ARROW_RIGHT))
    page.find_element("id", "save").click()
    scenario, weather = downloads / "saltmarsh-lane-changed.json", downloads / "saltmarsh-lane-weather.csv"
    end = time.monotonic() + 10
    while not (scenario.exists() and weather.exists()) and time.monotonic() < end:
        time.sleep(0.05)
    saved = json.loads(scenario.read_text())
    assert saved["feedings"][0]["again"]["every_days"] == 21 and saved["feedings"][0]["amount"]["grams"] == 150 * 1.5
    assert saved["comment"], "what the file held besides is kept"
    lasts = {p["name"]: p for p in json.loads(command("lasts", str(scenario), "--json").stdout)["plantings"]}
    assert {r[0]: r[3] for r in rows} == {n: f"{p['kept_years']} of {len(p['years'])}" for n, p in lasts.items()}
    scenario.unlink(), weather.unlink()


def opened(page, *files):
    return answers_after(page, lambda: page.find_element("id", "file").send_keys("\n".join(map(str, files))))


def test_a_scenario_and_its_weather_are_read_here(page, tmp_path):
    rows = opened(page, SCENARIOS / "one-bed.json")
    assert [r[0] for r in rows] == ["Bananas"] and rows[0][2].startswith("short from 3 July")
    # Weather alone: for the garden shown.
    lines = (SCENARIOS / "saltmarsh-weather.csv").read_text().splitlines(keepends=True)
    (tmp_path / "short.csv").write_text("".join(line for line in lines if not line[:4].isdigit() or line[:4] < "2014"))
    rows = opened(page, tmp_path / "short.csv")
    assert rows[0][3].endswith("of 3") and page.execute_script("return document.querySelectorAll('#season option').length") == 3


def test_a_file_can_be_dropped(page):
    text = (SCENARIOS / "pots.json").read_text()
    drop = """const data = new DataTransfer(); data.items.add(new File([arguments[0]], 'pots.json'));
              document.getElementById('drop').dispatchEvent(new DragEvent('drop', {dataTransfer: data, bubbles: true, cancelable: true}));"""
    rows = answers_after(page, lambda: page.execute_script(drop, text))
    assert {r[0] for r in rows} == {"Barrel banana", "Pot canna", "Trough dahlias"}
    assert page.find_element("id", "mulch").get_attribute("disabled")


def test_a_bad_file_gets_the_commands_sentence_and_leaves_the_garden(page, tmp_path):
    bad = tmp_path / "bad.json"
    bad.write_text((SCENARIOS / "one-bed.json").read_text().replace("hardy-banana", "hardy-bananna"))
    shutil.copy(SCENARIOS / "saltmarsh-weather.csv", tmp_path)
    before = page.execute_script(ANSWER)
    page.find_element("id", "file").send_keys(str(bad))
    said = until(page, "return document.getElementById('fault').textContent")
    assert "leafhunger: " + said == command("check", "bad.json", cwd=tmp_path).stderr.strip()
    assert page.execute_script(ANSWER) == before


def test_names_that_are_markup_stay_text(page, tmp_path):
    scenario = json.loads((SCENARIOS / "saltmarsh-lane.json").read_text())
    hard = ["<script>document.title='no'</script>", "<img src=x onerror=document.title='no'>", "W" * 80, "constructor"]
    scenario["garden"].update(name="</title><h1>no heading</h1>", note="</style><b>no</b> javascript:alert(1)")
    bed = scenario["beds"][0]
    bed["name"] = "<svg onload=alert(1)>"
    bed["plantings"] = [{"name": n, "plant": "canna", "count": 2} for n in hard]
    scenario["beds"] = [bed]
    scenario["materials"] = {"own": {"title": "<i>own</i> & \"mixed\"", "model": "organic-two-pool", "n_percent": 5, "carbon_to_nitrogen": 8, "form": "pellet", "bulk_density_kg_m3": 600, "price_per_kg": 1, "parameters": {"fast_frac": 0.5}}}
    scenario["feedings"] = [{"material": m, "on": "04-15", "plantings": hard, "amount": {"grams": 30, "per": "plant"}} for m in ("own", "dried-blood")]
    (tmp_path / "hard.json").write_text(json.dumps(scenario))
    rows = opened(page, tmp_path / "hard.json")
    assert sorted(r[0] for r in rows) == sorted(hard)
    assert page.execute_script("return [document.querySelectorAll('h1').length, document.querySelectorAll('main img, main script, main b, main i, main [onload], main [onerror]').length]") == [1, 0]
    assert page.title.startswith("</title><h1>no heading</h1>")
    fits(page, "garden-hard")


def test_fits_screens_of_three_widths_light_and_dark(page):
    page.execute_script("document.querySelectorAll('details').forEach(d => d.open = true)")
    fits(page, "garden")


def test_keys_reach_every_control_in_reading_order(page):
    order = page.execute_script("return [...document.querySelectorAll('select, input, button, .wide, summary')].filter(e => e.checkVisibility() && !e.disabled).map(e => e.id || e.getAttribute('aria-label') || e.textContent)")
    page.execute_script("document.body.tabIndex = -1; document.body.focus(); scrollTo(0, 0)")
    seen = []
    for _ in order:
        ActionChains(page).send_keys(Keys.TAB).perform()
        seen.append(page.execute_script("const e = document.activeElement; return [e.id || e.getAttribute('aria-label') || e.textContent, parseFloat(getComputedStyle(e).outlineWidth)]"))
    assert [s[0] for s in seen] == order and all(s[1] >= 2 for s in seen)


def test_prints(page):
    assert 2 <= sheets(page, "garden") <= 5


def test_less_motion_where_it_is_asked_for(page):
    page.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [{"name": "prefers-reduced-motion", "value": "reduce"}]})
    moving = page.execute_script("return [...document.querySelectorAll('*')].filter(e => { const s = getComputedStyle(e); return s.animationName !== 'none' || (s.transitionProperty !== 'none' && parseFloat(s.transitionDuration) > 0); }).length")
    page.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
    assert moving == 0
