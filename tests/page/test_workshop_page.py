"""The workshop page in Chromium without a network: guesses come first, jars say what the command says, the worksheet prints."""
import json

import pytest
from built import command
from looks import fits, keep, quiet_and_alone, sheets, until
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select

PRESETS = ("warmth", "feeds", "moisture", "spring")


@pytest.fixture
def page(chrome, address):
    chrome.get(address("workshop"))
    until(chrome, "return document.body.dataset.ready")
    yield chrome
    assert chrome.get_log("browser") == []


def sliders(page):
    return page.find_elements("css selector", "#guesses input")


def test_opens_alone_and_closed(page):
    assert page.execute_script("return document.body.dataset.ready") == "worker"
    assert not page.find_element("id", "look").is_enabled() and page.execute_script("return document.getElementById('seen').childNodes.length") == 0
    quiet_and_alone(page)


@pytest.mark.parametrize("preset", PRESETS)
def test_jars_open_only_after_every_guess(page, preset):
    Select(page.find_element("id", "preset")).select_by_value(preset)
    look = page.find_element("id", "look")
    for i, slider in enumerate(sliders(page)):
        assert not look.is_enabled()
        slider.send_keys(*[Keys.ARROW_RIGHT] * (5 + i))
    assert look.is_enabled()
    look.click()
    until(page, "return document.querySelectorAll('#seen svg').length")
    rows = page.execute_script("return [...document.querySelectorAll('#seen tbody tr')].map(r => [...r.cells].map(c => c.textContent))")
    assert [r[1] for r in rows] == [f"{5 + i} g" for i in range(len(rows))]
    jars = page.execute_script("return preset.jars.map(j => [j.material, j.temperature, j.moisture, preset.day])")
    for row, (material, temperature, moisture, day) in zip(rows, jars):
        wet = [] if moisture is None else ["--moisture", str(moisture)]
        curve = json.loads(command("curves", material, "--temps", str(temperature), "--days", f"{day},140", *wet, "--json").stdout)["curves"][0]
        said = round(100 * curve["freed_frac"][0])
        # Halves may round either way.
        assert any(row[2] == (f"{g} g" if g >= 0 else f"ties up {-g} g") for g in (said, said + 1, said - 1) if abs(g - 100 * curve["freed_frac"][0]) <= 0.501), (row, said)
    assert page.find_element("css selector", "#seen desc").get_attribute("textContent").count(" after ") >= 2 * len(rows) - len(rows)
    keep(page, f"workshop-{preset}.png")


def test_a_jar_of_ones_own_follows_the_sliders_after_a_guess(page):
    assert not page.find_element("id", "open").is_enabled()
    page.find_element("id", "warmth").send_keys(Keys.ARROW_RIGHT)
    assert page.execute_script("return document.getElementById('jar').childNodes.length") == 0
    page.find_element("id", "guess").send_keys(Keys.ARROW_RIGHT)
    page.find_element("id", "open").click()
    seen = [until(page, "const d = document.querySelector('#jar desc'); return d && d.textContent")]
    for control in ("warmth", "moisture"):
        page.find_element("id", control).send_keys(*[Keys.ARROW_LEFT] * 8)
        seen.append(until(page, "const d = document.querySelector('#jar desc'); return d.textContent !== arguments[0] && d.textContent", 10, seen[-1]))
    page.find_element("id", "moisture").send_keys(*[Keys.ARROW_RIGHT] * 8)
    Select(page.find_element("id", "feed")).select_by_value("straw")
    assert "ties up" in until(page, "const d = document.querySelector('#jar desc'); return d.textContent.includes('ties up') && d.textContent")


def test_fits_screens_of_three_widths_light_and_dark(page):
    for slider in sliders(page):
        slider.send_keys(Keys.ARROW_RIGHT)
    page.find_element("id", "look").click()
    until(page, "return document.querySelectorAll('#seen svg').length")
    fits(page, "workshop")


@pytest.mark.parametrize("preset", PRESETS)
def test_the_worksheet_is_one_sheet_and_its_answers_lie_overleaf(page, preset):
    page.execute_script("window.print = () => {}")
    Select(page.find_element("id", "preset")).select_by_value(preset)
    until(page, "return document.querySelector('#sheet h2')?.textContent === 'Worksheet: ' + preset.title")
    page.find_element("id", "print").click()
    assert sheets(page, f"worksheet-{preset}") == 1
    page.find_element("id", "print-answers").click()
    assert sheets(page, f"worksheet-{preset}-answers") == 2
