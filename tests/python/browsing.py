"""Chromium, without a window, for tests of our pages: driven by its own driver (Debian: chromium, chromium-driver, python3-selenium). What a page
is measured by (widths, contrast, words in figures, sheets) is here once. LEAFHUNGER_SCREENSHOTS names a folder that keeps what pages looked like."""
import base64
import os
import pathlib
import re
import shutil
import sys

import pytest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "web"))

WIDTHS = (400, 900, 1400)  # of a telephone, a tablet and a desk, pixels


@pytest.fixture(scope="session")
def browser(tmp_path_factory):
    pytest.importorskip("selenium.webdriver")
    import chromium

    if not shutil.which("chromium") or not shutil.which("chromedriver"):
        pytest.skip("no chromium or no chromedriver on this machine (Debian: chromium, chromium-driver)")
    driver = chromium.start(tmp_path_factory.mktemp("chromium"))
    yield driver
    driver.quit()


def show(browser, width, height=1000):
    import chromium

    chromium.show(browser, width, height)


def kept(browser, name, data):
    if folder := os.environ.get("LEAFHUNGER_SCREENSHOTS"):
        pathlib.Path(folder).mkdir(parents=True, exist_ok=True)
        (pathlib.Path(folder) / f"{browser.called}-{name}").write_bytes(base64.b64decode(data))


def printed_pdf(browser):
    """The page that is open, on the paper that it asks for."""
    printed = browser.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True, "printBackground": False})["data"]
    kept(browser, "print.pdf", printed)
    return base64.b64decode(printed)


def printed_sheets(browser):
    """How many sheets the page that is open prints on; each must be A4."""
    pdf = printed_pdf(browser)
    assert {tuple(round(float(v)) for v in m.split()) for m in re.findall(rb"/MediaBox\s*\[([^\]]*)\]", pdf)} <= {(0, 0, 595, 842)}
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))


# The ratio of two colours by WCAG 2.1, and the colour behind an element.
RATIO = """
const light = c => { const f = v => (v /= 255, v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
                     const [r, g, b] = c.match(/[\\d.]+/g).map(Number); return 0.2126 * f(r) + 0.7152 * f(g) + 0.0722 * f(b); };
const ratio = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p); return (x + 0.05) / (y + 0.05); };
const behind = e => { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor; if (!/, 0\\)$/.test(c)) return c; } return 'rgb(255,255,255)'; };
"""
# Every text with its contrast.
CONTRAST = RATIO + """
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

# Tables and charts that are wider than their place and do not say so above it.
UNMARKED = """
document.querySelectorAll('details').forEach(d => d.open = true);
return [...document.querySelectorAll('.wide, .chart')].filter(e => e.scrollWidth > e.clientWidth + 1)
  .filter(e => !(getComputedStyle(e, '::before').content.includes('sideways') && getComputedStyle(e, '::before').display == 'block'))
  .map(e => e.getAttribute('aria-label'));
"""

# Words that stick out of their figure or lie on one another.
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

# How often a word is broken in each of the cells that a selector finds: it is then laid out in more boxes than one.
WORDS_BROKEN = """
return [...document.querySelectorAll(arguments[0])].flatMap(cell => { const walk = document.createTreeWalker(cell, NodeFilter.SHOW_TEXT), out = [];
  for (let n; (n = walk.nextNode());) out.push([...n.data.matchAll(/\\S+/g)].filter(w => { const r = document.createRange();
    r.setStart(n, w.index); r.setEnd(n, w.index + w[0].length);
    return new Set([...r.getClientRects()].map(b => Math.round(b.top))).size > 1; }).length);
  return out; });
"""
