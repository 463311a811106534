"""The page for a client: what it says, held against the scenario itself, and how a browser prints it (a sheet of A4 a bed). Plain words: no sign and
no term of the science (our own rule)."""
import calendar
import html
import json
import math
import re

import pytest

import leafhunger as lh
from browsing import CONTRAST, WIDTHS, browser, kept, printed_sheets, show  # noqa: F401
from test_report_page import HARD, ROOT, hard_names
from trust import CLI, garden, lay, one_sentence, run

pytestmark = pytest.mark.skipif(not CLI, reason="LEAFHUNGER_CLI names no command")
PAGES = ("saltmarsh-lane", "one-bed", "pots", "hard-names")
SCENARIO = json.loads((ROOT / "scenarios" / "saltmarsh-lane.json").read_text())
JARGON = re.compile(r"[%°²³±≤≥×=<>]|\bN\b|nitrate|mineralis|leach|volatil|denitrif|immobil|\bindex\b|/ha|g/m|C:N|\bNNI\b|\bmm\b", re.IGNORECASE)


@pytest.fixture(scope="session")
def pages(tmp_path_factory):
    folder = tmp_path_factory.mktemp("client")
    for name in PAGES:
        file = hard_names(folder) if name == "hard-names" else ROOT / "scenarios" / f"{name}.json"
        done = run("season", file, "--out", folder / name, "--for-client")
        assert done.status == 0, done
    return folder


@pytest.fixture(params=PAGES)
def page(request, browser, pages):
    show(browser, 900)
    browser.get(f"file://{pages / request.param}/for-client.html")
    browser.called = f"client-{request.param}"
    return browser


def test_from_python_it_is_the_same(pages, tmp_path):
    lh.load(ROOT / "scenarios" / "saltmarsh-lane.json").season().report(tmp_path / "out", for_client=True)
    assert (tmp_path / "out" / "for-client.html").read_bytes() == (pages / "saltmarsh-lane" / "for-client.html").read_bytes()


def text_of(markup):
    return html.unescape(re.sub(r"<[^>]+>", " ", re.sub(r"<style>.*?</style>", "", markup, flags=re.DOTALL)))


def beds_of(pages, name):
    """Name and markup of each bed's page."""
    parts = (pages / name / "for-client.html").read_text(encoding="utf-8").split('<section class="bed">')[1:]
    return {html.unescape(re.search(r"<h2>(.*?)</h2>", p)[1]): p for p in parts}


def months_of(part):
    return [(html.unescape(m), html.unescape(t)) for m, t in re.findall(r"<li(?: class=\"idle\")?><strong>(\w+)</strong> (.*?)</li>", part)]


def test_a_sheet_a_bed(page, pages):
    # Names of 80 characters in every line may run over.
    beds = len(page.find_elements("css selector", ".bed"))
    assert printed_sheets(page) <= beds + (1 if "hard" in page.called else 0)
    if "hard" not in page.called:
        assert printed_sheets(page) == beds


def test_nothing_is_wider_than_the_page_and_all_can_be_read(page):
    for width in WIDTHS:
        show(page, width)
        assert page.execute_script("return document.documentElement.scrollWidth") <= width
        kept(page, f"{width}.png", page.execute_cdp_cmd("Page.captureScreenshot", {"captureBeyondViewport": True})["data"])
    ratios = page.execute_script(CONTRAST)
    assert len(ratios) > 20 and [r for r in ratios if r[0] < 4.5] == []
    assert page.get_log("browser") == []
    assert page.execute_script("return document.scripts.length + document.querySelectorAll('img, link, iframe, [onerror]').length") == 0
    levels = page.execute_script("return [...document.querySelectorAll('h1,h2,h3,h4')].map(h => Number(h.tagName[1]))")
    assert levels[0] == 1 and levels.count(1) == 1 and all(b <= a + 1 for a, b in zip(levels, levels[1:]))


def test_every_bed_has_its_page_with_twelve_months(pages):
    beds = beds_of(pages, "saltmarsh-lane")
    assert list(beds) == [b["name"] for b in SCENARIO["beds"]]
    wanted = list(calendar.month_name)[11:] + list(calendar.month_name)[1:11]  # the season begins in November
    for part in beds.values():
        assert [m for m, _ in months_of(part)] == wanted
        assert all(t for _, t in months_of(part))


def test_plain_words_only(pages):
    for name in ("saltmarsh-lane", "one-bed", "pots"):
        text = text_of((pages / name / "for-client.html").read_text(encoding="utf-8"))
        for sold_as in ("calcium ammonium nitrate", "Keep nitrates dry"):  # a feed is called what it is sold as, hard words and all
            text = text.replace(sold_as, "feed")
        found = JARGON.search(text)
        assert not found, text[max(0, found.start() - 60):found.end() + 60]


def test_what_is_fed_stands_in_its_month_with_the_amount_for_this_bed(pages):
    beds = beds_of(pages, "saltmarsh-lane")
    april = dict(months_of(beds["Hungry bed"]))["April"]
    # 150 g on each of 14 square metres.
    assert "150 g" in april and "2.1 kg" in april and "whole bed" in april
    # It waits for rain about the day that it is planned for.
    first, last = map(int, re.search(r"Feed on the first wet day of (\d+) to (\d+) April", april).groups())
    assert 15 - 7 <= first <= 15 + 7 and 4 <= last - first <= 13
    assert "Elephant ears" in dict(months_of(beds["Damp corner"]))["April"]
    assert all("feed" not in t.lower() for _, t in months_of(beds["Gravel terrace"]))
    for name, part in beds.items():
        for month, text in months_of(part):
            assert (text.startswith("Feed ") or " Feed " in text) == (month == "April" and name != "Gravel terrace"), (name, month)


def test_a_feed_again_and_again_is_one_sentence_a_month(pages):
    # Every 21 days from 1 April: the 1st and the 22nd, then 13 May; 5 mm of water is 5 litres on a square metre.
    barrel = dict(months_of(beds_of(pages, "pots")["Half barrel"]))
    assert "Feed about 1 April and about 22 April: 54 g (1 handful) of poultry manure pellets" in barrel["April"] and barrel["April"].count("Feed about") == 1
    assert "Feed about 13 May:" in barrel["May"] and "5 litres on each square metre" in barrel["May"]


def test_cost_is_a_band_from_what_is_used_to_whole_bags(pages):
    # Concentrated manure powder as the catalogue sells it: 15 kg, 1.60 a kilogram.
    feed = json.loads((ROOT / "plugins" / "catalogue" / "materials.json").read_text())["materials"]["concentrated-manure-powder"]
    bag = feed["bag_kg"] * feed["price_per_kg"]
    beds = beds_of(pages, "saltmarsh-lane")
    low, high = map(int, re.search(r"Feed for this bed: £(\d+) to £(\d+) a year", beds["Hungry bed"]).groups())
    assert low == math.floor(2.1 * feed["price_per_kg"])
    assert high == math.ceil(bag)
    assert "nothing to pay" in beds["Gravel terrace"]
    # 2 handfuls of 56 g each to a palm and two bamboos: what is under a pound is not nothing.
    assert f"Feed for this bed: £{0.336 * feed['price_per_kg']:.2f} to £{math.ceil(bag)} a year" in beds["Evergreen edge"]
    # 8 doses of 3 g, sold loose: under a pound at both ends. The garden's lower end is what its season says.
    pots = beds_of(pages, "pots")
    season = lh.load(ROOT / "scenarios" / "pots.json").season()
    assert "Feed for this bed: under £1 a year." in pots["Trough"] and "the higher" not in text_of(pots["Trough"])
    assert season.cost < 1 and all(f"all 3 beds: £{season.cost:.2f} to £" in part for part in pots.values())


def test_feed_that_may_be_spared_is_not_ordered(pages, tmp_path):
    edge = beds_of(pages, "saltmarsh-lane")["Evergreen edge"]
    assert edge.count("would do as well without feed") == 2
    assert "6 handfuls) in all. This feed may be left out." in dict(months_of(edge))["April"]
    assert "Left out, as it may be, it costs nothing." in edge
    assert all("may be left out" not in part for name, part in beds_of(pages, "saltmarsh-lane").items() if name != "Evergreen edge")
    # One feeding for who needs it and who does not.
    made = json.loads((ROOT / "scenarios" / "saltmarsh-lane.json").read_text())
    made["weather"]["file"] = str(ROOT / "scenarios" / "saltmarsh-weather.csv")
    made["beds"][2]["plantings"].append({"name": "Bananas by the palm", "plant": "hardy-banana", "count": 1})
    made["feedings"][2]["plantings"].append("Bananas by the palm")
    (tmp_path / "mixed.json").write_text(json.dumps(made), encoding="utf-8")
    assert run("season", tmp_path / "mixed.json", "--out", tmp_path / "mixed", "--for-client").status == 0
    mixed = beds_of(tmp_path, "mixed")["Evergreen edge"]
    spared = re.findall(r"<li>([^<(]+) \(\d+\): would do as well without feed, which saves £(\d+\.\d\d)", mixed)
    assert spared and "Bananas by the palm" not in dict(spared)
    names = " and ".join(name for name, _ in spared)
    assert f"This feed may be left out for {names}." in dict(months_of(mixed))["April"]
    assert f"it costs £{sum(float(saves) for _, saves in spared):.2f} less" in mixed


def test_who_is_short_in_most_years_is_told_so(pages):
    """The one season that decides second feeds may have been a good one, or no one feed more is enough."""
    beds = beds_of(pages, "saltmarsh-lane")
    for name, planting in {"Damp corner": "Elephant ears", "Big pot": "Red banana in the pot", "Small pot": "Canna in the pot"}.items():
        assert f"<p>The feed planned here is not enough for {planting} in most years: how many top-ups would be is for the gardener to work out.</p>" in beds[name]
        assert "Work, water and top-ups are not counted." in beds[name]
    # These have a second feed, or need none.
    for name in ("Hungry bed", "Evergreen edge", "Gravel terrace"):
        assert "top-up" not in beds[name], name
    pots = beds_of(pages, "pots")
    assert "in 11 years of 14" in pots["Clay pot"] and "not enough for Pot canna in some years" in pots["Clay pot"]
    assert "top-up" not in pots["Trough"]


def test_leaves_are_looked_at_from_an_early_year_on(pages):
    lasts = json.loads(run("lasts", ROOT / "scenarios" / "saltmarsh-lane.json", "--json").out)
    told = {}
    for part in beds_of(pages, "saltmarsh-lane").values():
        for month, text in months_of(part):
            if found := re.search(r"Look at the youngest leaves of (.*?): in an early year they turn pale from now on", text):
                told.update({name: month for name in re.split(r", | and ", found[1])})
    assert told
    later = 0
    for planting in lasts["plantings"]:
        short = sorted(y["first_short"] for y in ({"first_short": (y["first_short"] or "")[5:]} for y in planting["years"]) if y["first_short"])
        if planting["name"] in told:
            # 14 years: the first of them.
            assert told[planting["name"]] == calendar.month_name[int(short[0][:2])], planting["name"]
            later += short[0][:2] != short[len(short) // 2][:2]
    assert later, "one of them was told a month too late by the middle of its years"


def test_cautions_are_those_of_the_bed_and_who_decides_is_said(pages):
    beds = beds_of(pages, "saltmarsh-lane")
    law = "the law restricts this plant in Great Britain"
    assert law in beds["Damp corner"] and law not in beds["Hungry bed"]
    assert "keep dogs off" in beds["Hungry bed"] and "keep dogs off" not in beds["Gravel terrace"]
    # Whose it is: nobody's name where it is the only feed, else the planting's.
    assert "<li>Water it in and keep dogs off" in beds["Hungry bed"] and "<li>Rice-paper plant: Wear mask" in beds["Hungry bed"]
    # A plant that weedkiller in manure would harm is not itself spread, and grows no peas.
    assert "<li>Rice-paper plant: Give no manure, straw, hay or compost untried" in beds["Hungry bed"]
    assert "Rice-paper plant: Before you spread it" not in beds["Hungry bed"]
    # Farm rules' 25 g of nitrogen a square metre in a year (SI 2015/668): 150 g of 4.5 % are 6.75.
    assert "Give less:" not in beds["Hungry bed"]
    for part in beds.values():
        last = part[part.index("Who decides"):]
        for who in ("The gardener", "The client", "A vet", "doctor", "local rules"):
            assert who in last


def test_names_stay_names(pages):
    markup = (pages / "hard-names" / "for-client.html").read_text(encoding="utf-8")
    assert "<script" not in markup and "<img" not in markup and markup.count("</style>") == 1
    for name in HARD:
        assert html.escape(name, quote=True).replace("&#x27;", "&#39;") in markup


def test_the_command_writes_it_whole_or_not_at_all(tmp_path):
    path = lay(tmp_path / "garden", garden())
    assert "--out" in one_sentence(run("season", path, "--for-client"))
    out = tmp_path / "out"
    done = run("season", path, "--out", out, "--for-client")
    assert done.status == 0 and sorted(p.name for p in out.iterdir()) == ["calendar.ics", "for-client.html", "report.html", "series.csv"]
    first = (out / "for-client.html").read_bytes()
    (out / "report.html").unlink()
    assert "already" in one_sentence(run("season", path, "--out", out, "--for-client"))
    assert not (out / "report.html").exists(), "nothing is half-written"
    assert run("season", path, "--out", out, "--for-client", "--force").status == 0
    assert (out / "for-client.html").read_bytes() == first


def test_the_south_begins_its_year_in_may(tmp_path):
    made = garden()
    made["garden"]["latitude_deg"] = -43
    made["feedings"][0]["on"] = "10-15"
    path = lay(tmp_path / "garden", made)
    assert run("season", path, "--out", tmp_path / "out", "--for-client").status == 0
    months = months_of((tmp_path / "out" / "for-client.html").read_text(encoding="utf-8"))
    assert [months[0][0], months[-1][0], len(months)] == ["May", "April", 12]
    assert "Feed on the first wet day of" in dict(months)["October"]
