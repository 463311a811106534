"""What is true of every page that runs the engine."""
import os
import pathlib
import time

import chromium
from browsing import INSIDE, RATIO, SIZE, printed_sheets

WIDTHS = (360, 900, 1400)

# WCAG 2.1, 1.4.3, by its formula of relative luminance: texts that stand out too little from their ground, with the ratio.
FAINT = RATIO + """
const out = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
for (let n; (n = walk.nextNode());) {
  const e = n.parentElement, svg = e.closest('svg');
  if (!n.data.trim() || !e.checkVisibility() || e.closest('option, :disabled') || (svg && e.tagName !== 'text')) continue;
  const s = getComputedStyle(e);
  out.push([ratio(svg ? s.fill : s.color, behind(e)), n.data.slice(0, 40)]);
}
return out;
"""


def until(driver, script, seconds=30, *arguments):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if value := driver.execute_script(script, *arguments):
            return value
        time.sleep(0.02)
    raise AssertionError(f"did not come true in {seconds} s: {script}; the page says {driver.find_element('id', 'fault').text!r}")


def dark(driver, on):
    driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [{"name": "prefers-color-scheme", "value": "dark" if on else "light"}]})


def keep(driver, name):
    """LEAFHUNGER_SCREENSHOTS names a folder that keeps what pages looked like."""
    if folder := os.environ.get("LEAFHUNGER_SCREENSHOTS"):
        pathlib.Path(folder).mkdir(parents=True, exist_ok=True)
        chromium.picture(driver, pathlib.Path(folder) / name)


def fits(driver, name):
    for width in WIDTHS:
        for shade in (False, True):
            chromium.show(driver, width)
            dark(driver, shade)
            assert driver.execute_script("return document.documentElement.scrollWidth") <= width
            wide = driver.execute_script("return [...document.querySelectorAll('h1,h2,h3,p,li,figure,.wide,.control,input,select,output')].filter(e => e.checkVisibility() && "
                                         "e.getBoundingClientRect().right > innerWidth + 0.5).map(e => e.outerHTML.slice(0, 80))")
            assert wide == []
            ratios = driver.execute_script(FAINT)
            assert len(ratios) > 40 and [r for r in ratios if r[0] < 4.5] == []
            crowded = driver.execute_script(INSIDE)
            assert crowded == [], f"at {width}: {crowded}"
            assert driver.execute_script(SIZE) >= 10, "pixels"
            keep(driver, f"{name}-{width}-{'dark' if shade else 'light'}.png")
    dark(driver, False)
    chromium.show(driver, 900)


def sheets(driver, name):
    """Pages of A4 that the page prints on."""
    driver.called = name
    return printed_sheets(driver)


def quiet_and_alone(driver):
    """Nothing on the console, nothing fetched, and a fetch that is tried is refused by the page's own policy."""
    assert driver.get_log("browser") == []
    assert [n for n in driver.execute_script("return performance.getEntriesByType('resource').map(e => e.name)") if not n.startswith("blob:")] == []
    policy = driver.execute_script("return document.querySelector('meta[http-equiv]').content")
    assert "default-src 'none'" in policy and "unsafe-inline" not in policy and "connect-src" not in policy and "http" not in policy
    refused = driver.execute_async_script("const done = arguments[0]; fetch('data:text/plain,x').then(() => done('went'), () => done('refused'))")
    assert refused == "refused"
    assert driver.execute_async_script("const done = arguments[0]; document.addEventListener('securitypolicyviolation', e => done(e.effectiveDirective), {once: true});"
                                       "const i = new Image(); i.src = 'data:image/gif;base64,R0lGODlhAQABAAAAACw='") == "img-src"
    driver.get_log("browser")  # what the two refusals said
    levels = driver.execute_script("return [...document.querySelectorAll('h1,h2,h3,h4')].filter(h => h.checkVisibility()).map(h => Number(h.tagName[1]))")
    assert levels[0] == 1 and levels.count(1) == 1 and all(b <= a + 1 for a, b in zip(levels, levels[1:]))
    assert driver.execute_script("return [...document.querySelectorAll('input,select')].every(e => e.labels.length === 1)")
    ids = driver.execute_script("return [...document.querySelectorAll('[id]')].map(e => e.id)")
    assert len(ids) == len(set(ids))
