"""Several gardens, one list of visits: kilos, bags and what is left over, worked out here again by hand from the scenarios; what a refused garden
does to the others."""
import html
import json
import math

import pytest

from browsing import CONTRAST, UNMARKED, WIDTHS, WORDS_BROKEN, browser, kept, printed_sheets, show  # noqa: F401
from trust import CLI, SCENARIOS, garden, lay, run, weather

pytestmark = pytest.mark.skipif(not CLI, reason="LEAFHUNGER_CLI names no command")


def plot(name, area_m2, *feedings, **parts):
    made = garden(**parts)
    made["garden"]["name"] = name
    made["beds"][0]["area_m2"] = area_m2
    made["feedings"] = [{"material": material, "on": on, "bed": "Bed", "amount": {"grams": grams, "per": "m2"}} for material, on, grams in feedings]
    return made


@pytest.fixture
def round_trip(tmp_path):
    """Three gardens in a folder, with what must not be taken for one."""
    (tmp_path / "weather.csv").write_text(weather(), encoding="utf-8")
    for file, made in {"b.json": plot("North plot", 100, ("concentrated-manure-powder", "04-15", 100), ("concentrated-manure-powder", "06-01", 40)),
                       "a.json": plot("South plot", 50, ("concentrated-manure-powder", "04-15", 120), ("stacked-farmyard-manure", "03-01", 2000)),
                       "c.json": plot("Unfed", 10)}.items():
        (tmp_path / file).write_text(json.dumps(made), encoding="utf-8")
    (tmp_path / "prices.schema.json").write_text('{"title": "no garden"}', encoding="utf-8")
    return tmp_path


def asked(*words):
    done = run("visits", *words, "--json")
    assert done.status == 0, done
    return json.loads(done.out)


def test_days_kilos_and_bags(round_trip):
    said = asked(round_trip)
    assert said["gardens"] == ["South plot", "North plot", "Unfed"], "by the names of their files"
    rows = [(v["on"][5:], v["garden"], l["material"], l["load_kg"], l["new_bags"], l["left_kg"]) for v in said["visits"] for l in v["loads"]]
    # 50 m2 x 2 kg; 50 x 120 g = 6 kg of a first bag of 15; 100 x 100 g = 10 kg, so a second one; 100 x 40 g = 4 kg, all 20 kg of two bags are 10 left.
    assert rows == [("03-01", "South plot", "stacked-farmyard-manure", pytest.approx(100), None, None),
                    ("04-15", "South plot", "concentrated-manure-powder", pytest.approx(6), 1, pytest.approx(9)),
                    ("04-15", "North plot", "concentrated-manure-powder", pytest.approx(10), 1, pytest.approx(14)),
                    ("06-01", "North plot", "concentrated-manure-powder", pytest.approx(4), 0, pytest.approx(10))]
    loose, bagged = said["to_buy"]
    prices = {k: m["price_per_kg"] for k, m in json.loads((SCENARIOS.parent / "plugins" / "catalogue" / "materials.json").read_text())["materials"].items()}
    assert (bagged["kg"], bagged["bags"], bagged["left_kg"]) == (pytest.approx(20), math.ceil(20 / 15), pytest.approx(10))
    assert bagged["cost"] == pytest.approx(30 * prices["concentrated-manure-powder"])
    assert (loose["bags"], loose["cost"]) == (None, pytest.approx(100 * prices["stacked-farmyard-manure"]))
    assert said["passed_over"] == [str(round_trip / "prices.schema.json")]


def test_own_bags_and_prices_are_bought_apart(round_trip):
    own = plot("Own bags", 10, ("concentrated-manure-powder", "04-15", 100), prices_per_kg={"concentrated-manure-powder": 9})
    (round_trip / "d.json").write_text(json.dumps(own), encoding="utf-8")
    stocks = [s for s in asked(round_trip)["to_buy"] if s["material"] == "concentrated-manure-powder"]
    assert [(round(s["kg"], 6), s["cost"]) for s in stocks] == [(20, pytest.approx(2 * 15 * 1.6)), (1, pytest.approx(15 * 9))]


def test_a_garden_named_twice_counts_once(round_trip):
    twice = asked(round_trip / "a.json", round_trip, round_trip / "." / "a.json")
    assert twice["gardens"] == ["South plot", "North plot", "Unfed"]


def test_two_of_one_name_are_told_apart(round_trip):
    (round_trip / "d.json").write_text((round_trip / "a.json").read_text(), encoding="utf-8")
    assert asked(round_trip)["gardens"][::3] == ["South plot (a.json)", "South plot (d.json)"]


def test_a_season_without_weather_does(round_trip):
    said = asked(round_trip / "a.json", "--season", "2031")
    assert [v["on"] for v in said["visits"]] == ["2031-03-01", "2031-04-15"]


def test_what_the_diary_has_is_not_loaded_again(round_trip):
    day = f"{asked(round_trip / 'b.json')['season']}-04-15"
    written = run("fed", round_trip / "b.json", day, "Bed", "poultry manure pellets", "1", "kg", "in", "all")
    assert written.status == 0 and "not in the diary" in written.out.replace("\n    ", " ")
    assert all(len(line) <= 80 for line in written.out.splitlines()[1:]), "but for the first, which is the diary's line with its path"
    (round_trip / "b.diary.txt").unlink()
    assert run("fed", round_trip / "b.json", day, "Bed", "concentrated manure powder", "10", "kg", "in", "all").status == 0
    said = asked(round_trip)
    assert [v["on"][5:] for v in said["visits"] if v["garden"] == "North plot"] == ["06-01"]
    assert any("North plot: 1 feed is in its diary" in n for n in said["notes"])
    planned = asked(round_trip, "--as-planned")
    assert [v["on"][5:] for v in planned["visits"] if v["garden"] == "North plot"] == ["04-15", "06-01"]


def test_one_refused_hides_no_other(round_trip):
    for file, broken in {"e.json": '{"format": 1, "beds": [', "f.json": json.dumps(plot("Odd", -4))}.items():
        (round_trip / file).write_text(broken, encoding="utf-8")
    out = round_trip / "visits.html"
    done = run("visits", round_trip, "--out", out)
    assert done.status == 2
    lines = done.err.splitlines()
    assert "e.json" in lines[0] and "f.json" in lines[1] and "area_m2" in lines[1] and "not written" in lines[2] and len(lines) == 3
    assert not out.exists() and not list(round_trip.glob("*.part-*"))
    assert "South plot" in done.out and done.out.count("NOT in this list") == 2, "the others are answered, and one sees that it is not all"
    said = json.loads(run("visits", round_trip, "--json").out)
    assert [r["file"] for r in said["refused"]] == [str(round_trip / "e.json"), str(round_trip / "f.json")]
    assert all(r["why"].endswith(".") for r in said["refused"])
    alone = run("visits", round_trip / "f.json")
    assert alone.status == 2 and alone.out == "" and alone.err.count("\n") == 1


@pytest.mark.parametrize("words, part", [
    (["nowhere"], "nowhere"), (["empty"], "no garden"), (["a.json", "--season", "12"], "four digits"), (["a.json", "--out", "x.txt"], ".html"), ([], "GARDEN")])
def test_bad_questions(round_trip, words, part):
    (round_trip / "empty").mkdir()
    done = run("visits", *words, cwd=round_trip)
    assert done.status == 2 and done.out == "" and part in done.err


def test_eighty_columns_whatever_the_names(round_trip):
    long = plot("A garden with a name that goes on and on along the lane " + "W" * 20, 10, ("concentrated-manure-powder", "09-30", 9999))
    (round_trip / "long.json").write_text(json.dumps(long), encoding="utf-8")
    for more in ([], ["--more"]):
        said = run("visits", round_trip, *more)
        assert said.status == 0
        path = str(round_trip)
        assert [line for line in said.out.splitlines() if len(line) > 80 and path not in line] == []
    doses = run("visits", round_trip / "b.json", "--more").out
    # 56 g of it to the handful: 100 g are 1.8 and 40 g 0.7 of it, for which the hand has no word.
    assert "100 g a square metre" in doses and "40 g a square metre" in doses and "handful" not in doses
    assert "120 g (2 handfuls) a square metre" in run("visits", round_trip / "a.json", "--more").out


def test_the_page_prints_on_a4_and_names_stay_names(round_trip, browser):
    odd = plot("<img src=x onerror=alert(1)>", 10, ("concentrated-manure-powder", "05-01", 50))
    (round_trip / "odd.json").write_text(json.dumps(odd), encoding="utf-8")
    out = round_trip / "visits.html"
    assert run("visits", round_trip, "--out", out).status == 0
    assert "file of that name" in run("visits", round_trip, "--out", out).err
    markup = out.read_text(encoding="utf-8")
    assert "<img" not in markup and html.escape(odd["garden"]["name"]) in markup
    show(browser, 900)
    browser.get(f"file://{out}")
    browser.called = "visits"
    assert printed_sheets(browser) == 1
    for width in WIDTHS:
        show(browser, width)
        assert browser.execute_script("return document.documentElement.scrollWidth") <= width
        assert browser.execute_script(UNMARKED) == []
        broken = browser.execute_script(WORDS_BROKEN, "td:nth-child(3)")
        assert len(broken) == 5 and not any(broken), width
        kept(browser, f"{width}.png", browser.execute_cdp_cmd("Page.captureScreenshot", {"captureBeyondViewport": True})["data"])
    assert [r for r in browser.execute_script(CONTRAST) if r[0] < 4.5] == []
    assert browser.get_log("browser") == [] and browser.execute_script("return performance.getEntriesByType('resource').length") == 0
    assert len(browser.find_elements("css selector", "tbody tr")) == 5 + 2
