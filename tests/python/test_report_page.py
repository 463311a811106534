"""The printed page as a browser lays it out: Chromium, without a window, driven by its own driver (Debian: chromium, chromium-driver,
python3-selenium). Widths of a telephone, a tablet and a desk; contrast by the formula of WCAG 2.1 (relative luminance); two sheets of A4."""
import json
import pathlib

import pytest

import leafhunger as lh
from browsing import CONTRAST, INSIDE, SIZE, UNMARKED, WIDTHS, browser, kept, printed_sheets, show  # noqa: F401

ROOT = pathlib.Path(__file__).resolve().parents[2]
PAGES = ("saltmarsh-lane", "one-bed", "pots", "hard-names")

# As wicked and as long as a name may be: markup, a word without a blank, quotation marks.
HARD = ["<script>alert(1)</script>", "W" * 80, 'Bananas & "Sons" <b>', "An old clump that came with the garden, by the north wall, half in shade, aged"]


def hard_names(folder):
    written = json.loads((ROOT / "scenarios" / "saltmarsh-lane.json").read_text())
    written["weather"]["file"] = str(ROOT / "scenarios" / "saltmarsh-weather.csv")
    written["garden"].update(name="<img src=x onerror=alert(1)>" + "M" * 50, note="</style><h1>no heading</h1>")
    bed = written["beds"][0]
    bed["plantings"] = [{"name": name, "plant": "canna", "count": 2} for name in HARD]
    written["beds"] = [bed]
    written["feedings"] = [{"material": "concentrated-manure-powder", "on": f"0{m}-15", "plantings": HARD, "amount": {"grams": 30, "per": "plant"}} for m in (4, 6)]
    file = folder / "hard.json"
    file.write_text(json.dumps(written))
    return file


@pytest.fixture(scope="session")
def pages(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pages")
    for name in PAGES:
        file = hard_names(folder) if name == "hard-names" else ROOT / "scenarios" / f"{name}.json"
        lh.load(file).season().report(folder / name)
    return folder


@pytest.fixture(params=PAGES)
def page(request, browser, pages):
    """The browser with one of the pages open. LEAFHUNGER_SCREENSHOTS names a folder that keeps what it looked like."""
    show(browser, 900)
    browser.get(f"file://{pages / request.param}/report.html")
    browser.called = request.param
    return browser


def test_nothing_is_wider_than_the_page(page):
    for width in WIDTHS:
        show(page, width)
        assert page.execute_script("return document.documentElement.scrollWidth") <= width
        # What may be wider scrolls by itself, inside the page.
        assert page.execute_script("return [...document.querySelectorAll('h1,h2,h3,p,li,figure,.wide')]"
                                   ".filter(e => e.getBoundingClientRect().right > innerWidth + 0.5).map(e => e.outerHTML.slice(0, 80))") == []
        kept(page, f"{width}.png", page.execute_cdp_cmd("Page.captureScreenshot", {"captureBeyondViewport": True})["data"])


def test_a_table_that_scrolls_says_so(page):
    for width in (*WIDTHS, 500, 640):
        show(page, width)
        assert page.execute_script(UNMARKED) == [], width
    assert page.execute_script("return [...document.querySelectorAll('.wide')].every(e => getComputedStyle(e, '::before').display != 'block')"), "where all fits"


def test_the_browser_has_nothing_to_say_and_nothing_is_fetched(page):
    assert page.get_log("browser") == []
    assert page.execute_script("return performance.getEntriesByType('resource').map(e => e.name)") == []
    assert page.execute_script("return document.scripts.length + document.querySelectorAll('img, link, iframe, [onerror]').length") == 0


def test_headings_go_down_step_by_step(page):
    levels = page.execute_script("return [...document.querySelectorAll('h1,h2,h3,h4,h5,h6')].map(h => Number(h.tagName[1]))")
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(b <= a + 1 for a, b in zip(levels, levels[1:]))
    assert page.execute_script("return document.documentElement.lang + ' ' + (document.title.length > 0)") == "en true"


def test_every_text_stands_out_from_its_ground(page):
    """WCAG 2.1, 1.4.3: 4.5:1 for text of ordinary size."""
    ratios = page.execute_script(CONTRAST)
    assert len(ratios) > 60
    assert [r for r in ratios if r[0] < 4.5] == []


def test_figures_have_names_and_descriptions(page):
    """As a screen reader gets them: from the browser's own tree of what can be read out."""
    page.execute_cdp_cmd("Accessibility.enable", {})
    nodes = page.execute_cdp_cmd("Accessibility.getFullAXTree", {})["nodes"]
    role = lambda n: n.get("role", {}).get("value")  # noqa: E731
    images = [n for n in nodes if role(n) in ("image", "img", "graphics-document") and not n.get("ignored")]
    assert len(images) == page.execute_script("return document.querySelectorAll('svg').length") >= 2
    for image in images:
        assert len(image["name"]["value"]) > 60, "says what it shows, not only what it is"
    tables = [n for n in nodes if role(n) == "table" and not n.get("ignored")]
    assert len(tables) >= 4 and all(t["name"]["value"] for t in tables)
    assert page.execute_script("return [...document.querySelectorAll('th')].every(t => t.scope && t.textContent.trim())")
    ids = page.execute_script("return [...document.querySelectorAll('[id]')].map(e => e.id)")
    assert len(ids) == len(set(ids))


def test_keys_reach_what_scrolls_and_opens_in_reading_order(page):
    from selenium.webdriver.common.keys import Keys

    wanted = page.execute_script("document.querySelectorAll('details').forEach(d => d.open = false);"
                                 "window.stops = [...document.querySelectorAll('.wide, summary')].filter(e => e.checkVisibility()); return stops.length")
    body = page.find_element("css selector", "body")
    body.click()
    page.execute_script("document.activeElement.blur(); getSelection().removeAllRanges(); scrollTo(0, 0)")
    page.execute_script("document.body.tabIndex = -1; document.body.focus()")
    seen = []
    for _ in range(wanted):
        page.switch_to.active_element.send_keys(Keys.TAB)
        seen.append(page.execute_script("return [stops.indexOf(document.activeElement), parseFloat(getComputedStyle(document.activeElement).outlineWidth)]"))
    assert [s[0] for s in seen] == list(range(wanted)), "top to bottom, none left out"
    assert all(s[1] >= 2 for s in seen), "one sees where one is"


def test_words_in_figures_are_whole_apart_and_large_enough(page):
    for width in WIDTHS:
        show(page, width)
        found = page.execute_script(INSIDE)
        assert found == [], found
        assert page.execute_script(SIZE) >= 10, "pixels"


def test_shortfall_and_lines_differ_in_shape(page):
    held, needed = page.execute_script("const s = document.querySelector('.drawn svg'), p = [...s.querySelectorAll('path[fill=none]')];"
                                       "return ['#1f6b45', '#22302a'].map(c => p.filter(e => e.getAttribute('stroke') == c)[0].getAttribute('stroke-dasharray'))")
    assert held is None and needed, "solid against broken"
    lost = page.execute_script("return [...document.querySelectorAll('svg')].pop().querySelectorAll('rect[fill^=url]').length")
    assert lost == 2, "washed out and lost to the air are hatched"
    if "short from" in page.find_element("css selector", ".drawn svg desc").get_attribute("textContent"):
        assert page.execute_script("return document.querySelectorAll('.drawn svg:first-of-type path[fill^=url]').length") > 0


def test_prints_on_two_sheets_of_a4(page):
    # Four names of 80 characters in every line may take a third.
    assert printed_sheets(page) <= (3 if page.called == "hard-names" else 2)
