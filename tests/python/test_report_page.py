"""The printed page as a browser lays it out: Chromium, without a window, driven by its own driver (Debian: chromium, chromium-driver,
python3-selenium). Widths of a telephone, a tablet and a desk; contrast by the formula of WCAG 2.1 (relative luminance); two sheets of A4."""
import base64
import json
import os
import pathlib
import re
import shutil

import pytest

import leafhunger as lh

ROOT = pathlib.Path(__file__).resolve().parents[2]
WIDTHS = (400, 900, 1400)
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


@pytest.fixture(scope="session")
def browser(tmp_path_factory):
    webdriver = pytest.importorskip("selenium.webdriver")
    from selenium.webdriver.chrome.service import Service

    program, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if not program or not driver:
        pytest.skip("no chromium or no chromedriver on this machine (Debian: chromium, chromium-driver)")
    options = webdriver.ChromeOptions()
    options.binary_location = program
    for flag in ("headless", "no-sandbox", "disable-gpu", "disable-quic", "no-first-run", "disable-background-networking", "disable-component-update",
                 "disable-sync", "disable-dev-shm-usage", "hide-scrollbars", f"user-data-dir={tmp_path_factory.mktemp('chromium')}"):
        options.add_argument(f"--{flag}")
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(service=Service(driver), options=options)
    driver.set_page_load_timeout(30)
    yield driver
    driver.quit()


@pytest.fixture(params=PAGES)
def page(request, browser, pages):
    """The browser with one of the pages open. LEAFHUNGER_SCREENSHOTS names a folder that keeps what it looked like."""
    show(browser, 900)
    browser.get(f"file://{pages / request.param}/report.html")
    browser.called = request.param
    return browser


def show(browser, width, height=1000):
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False})


def kept(browser, name, data):
    if folder := os.environ.get("LEAFHUNGER_SCREENSHOTS"):
        pathlib.Path(folder).mkdir(parents=True, exist_ok=True)
        (pathlib.Path(folder) / f"{browser.called}-{name}").write_bytes(base64.b64decode(data))


def test_nothing_is_wider_than_the_page(page):
    for width in WIDTHS:
        show(page, width)
        assert page.execute_script("return document.documentElement.scrollWidth") <= width
        # What may be wider scrolls by itself, inside the page.
        assert page.execute_script("return [...document.querySelectorAll('h1,h2,h3,p,li,figure,.wide')]"
                                   ".filter(e => e.getBoundingClientRect().right > innerWidth + 0.5).map(e => e.outerHTML.slice(0, 80))") == []
        kept(page, f"{width}.png", page.execute_cdp_cmd("Page.captureScreenshot", {"captureBeyondViewport": True})["data"])


def test_the_browser_has_nothing_to_say_and_nothing_is_fetched(page):
    assert page.get_log("browser") == []
    assert page.execute_script("return performance.getEntriesByType('resource').map(e => e.name)") == []
    assert page.execute_script("return document.scripts.length + document.querySelectorAll('img, link, iframe, [onerror]').length") == 0


def test_headings_go_down_step_by_step(page):
    levels = page.execute_script("return [...document.querySelectorAll('h1,h2,h3,h4,h5,h6')].map(h => Number(h.tagName[1]))")
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(b <= a + 1 for a, b in zip(levels, levels[1:]))
    assert page.execute_script("return document.documentElement.lang + ' ' + (document.title.length > 0)") == "en true"


CONTRAST = """
const light = c => { const f = v => (v /= 255, v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
                     const [r, g, b] = c.match(/[\\d.]+/g).map(Number); return 0.2126 * f(r) + 0.7152 * f(g) + 0.0722 * f(b); };
const ratio = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p); return (x + 0.05) / (y + 0.05); };
const behind = e => { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor; if (!/, 0\\)$/.test(c)) return c; } return 'rgb(255,255,255)'; };
document.querySelectorAll('details').forEach(d => d.open = true);
const out = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
for (let n; (n = walk.nextNode());) {
  const e = n.parentElement, svg = e.closest('svg');
  if (!n.data.trim() || (svg && e.tagName !== 'text')) continue;
  const s = getComputedStyle(e);
  // In a figure the palest ground under a text is white, the darkest the colour of what is held.
  for (const ground of svg ? ['rgb(255,255,255)', 'rgb(228,226,214)'] : [behind(e)]) out.push([ratio(svg ? s.fill : s.color, ground), n.data.slice(0, 40)]);
}
return out;
"""


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


INSIDE = """
return [...document.querySelectorAll('svg')].flatMap(svg => {
  const box = svg.getBoundingClientRect(), texts = [...svg.querySelectorAll('text')].map(t => [t.textContent, t.getBoundingClientRect()]);
  const out = texts.filter(([, b]) => b.left < box.left - 1 || b.right > box.right + 1 || b.top < box.top - 1 || b.bottom > box.bottom + 2).map(([t]) => 'outside: ' + t);
  const inner = b => ({l: b.left + 1, r: b.right - 1, t: b.top + b.height * 0.22, b: b.bottom - b.height * 0.22});
  texts.forEach(([t, a], i) => texts.slice(i + 1).forEach(([u, c]) => { const p = inner(a), q = inner(c);
    if (p.l < q.r && q.l < p.r && p.t < q.b && q.t < p.b) out.push(t + ' on ' + u); }));
  return out;
});
"""
SIZE = "return Math.min(...[...document.querySelectorAll('svg text')].map(t => parseFloat(getComputedStyle(t).fontSize) * t.getScreenCTM().a))"


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
    printed = page.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True, "printBackground": False})["data"]
    kept(page, "print.pdf", printed)
    pdf = base64.b64decode(printed)
    # Four names of 80 characters in every line may take a third.
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)) <= (3 if page.called == "hard-names" else 2)
    assert {tuple(round(float(v)) for v in m.split()) for m in re.findall(rb"/MediaBox\s*\[([^\]]*)\]", pdf)} <= {(0, 0, 595, 842)}
