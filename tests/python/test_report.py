"""What a season leaves on disk, from Python: the calendar as a general parser reads it (python3-icalendar), the table as csv reads it."""
import csv
import datetime
import json
import pathlib

import pytest

import leafhunger as lh

ROOT = pathlib.Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    out = tmp_path_factory.mktemp("report") / "2023"
    lh.load(ROOT / "scenarios" / "saltmarsh-lane.json").season(2023).report(out)
    return out


def test_calendar_is_read_by_a_parser(folder):
    icalendar = pytest.importorskip("icalendar")
    calendar = icalendar.Calendar.from_ical((folder / "calendar.ics").read_bytes())
    events = calendar.walk("VEVENT")
    assert len(events) == 5
    # An event spans the days among which the feed waits for rain; DTEND is the day after them (RFC 5545, 3.6.1).
    window = json.loads(lh.load(ROOT / "scenarios" / "saltmarsh-lane.json").season(2023).to_json())["windows"][0]
    assert window["planned"] == "2023-04-15"
    day = datetime.date.fromisoformat
    assert {(e["DTSTART"].dt, e["DTEND"].dt) for e in events} == {(day(window["opens"]), day(window["closes"]) + datetime.timedelta(days=1))}
    assert day(window["opens"]) < day(window["closes"])
    assert all(e["DTSTART"].params["VALUE"] == e["DTEND"].params["VALUE"] == "DATE" for e in events)
    assert any(str(e["SUMMARY"]) == "Feed: 150 g a square metre of concentrated manure powder over Hungry bed" for e in events)
    assert all(window["words"] in str(e["DESCRIPTION"]) and "vet" in str(e["DESCRIPTION"]) for e in events)
    assert any("To each: 150 g (2 and a half handfuls) a square metre. In all: 2.1 kg (10 trowels)." in str(e["DESCRIPTION"]) for e in events)
    assert all(a["TRIGGER"].dt == datetime.timedelta(days=-1) for e in events for a in e.walk("VALARM"))
    assert len({str(e["UID"]) for e in events}) == 5


def test_a_dose_for_a_whole_bed_is_told_once(tmp_path):
    icalendar = pytest.importorskip("icalendar")
    lh.load(ROOT / "scenarios" / "pots.json").season().report(tmp_path / "pots")
    events = icalendar.Calendar.from_ical((tmp_path / "pots" / "calendar.ics").read_bytes()).walk("VEVENT")
    barrel = [str(e["DESCRIPTION"]) for e in events if "Half barrel" in str(e["SUMMARY"])]
    assert barrel and all(d.splitlines()[1] == "In all: 54 g (1 handful)." for d in barrel)


def test_a_diary_is_followed_in_the_season_asked_about(tmp_path):
    """The garden asks about 2024; the diary speaks of 2023. The command and Python follow it alike, and the page shows plan against done."""
    text = (ROOT / "scenarios" / "one-bed.json").read_text().replace("saltmarsh-weather.csv", str(ROOT / "scenarios" / "saltmarsh-weather.csv"))
    (tmp_path / "bed.json").write_text(text)
    planned = lh.load(tmp_path / "bed.json").season(2023)
    (tmp_path / "bed.diary.txt").write_text("2023-05-02; Bananas; dried-blood; 1 handful each\n")
    garden = lh.load(tmp_path / "bed.json")
    done = garden.season(2023)
    assert "given, though not planned: 2 May" in " ".join(done.words().split())
    assert done.given_g != planned.given_g and garden.season(2022).given_g == planned.given_g
    done.report(tmp_path / "page")
    assert "What was planned and what the diary says" in (tmp_path / "page" / "report.html").read_text()
    # On the 1st the feed of the 2nd is not known yet, on the 3rd it is.
    before, after = ([*map(str, json.loads(garden.today(day).to_json())["given"])] for day in ("2023-05-01", "2023-05-03"))
    assert not any("blood" in g for g in before) and any("blood" in g for g in after)


def test_table_has_the_series(folder):
    run = lh.load(ROOT / "scenarios" / "saltmarsh-lane.json").season(2023)
    rows = [r for r in csv.DictReader((folder / "series.csv").open(encoding="utf-8", newline="")) if r["planting"] == "Bananas"]
    assert len(rows) == len(run.series["Bananas"]["nni"])
    day = 250
    assert float(rows[day]["nni"]) == pytest.approx(run.series["Bananas"]["nni"][day], rel=1e-5)
    assert float(rows[day]["nitrate_kg_n_ha_layer2"]) == pytest.approx(run.series["Bananas"]["nitrate_kg_n_ha"][day, 1], rel=1e-5)


def test_figures_are_svg_of_their_own(tmp_path):
    from xml.etree import ElementTree

    run = lh.load(ROOT / "scenarios" / "one-bed.json").season()
    run.report(tmp_path / "drawn", figures=True)
    names = sorted(p.name for p in (tmp_path / "drawn").iterdir())
    assert names == ["calendar.ics", "report.html", "series.csv", "supply-1-bananas.svg", "where-it-went.svg"]
    for name in names[-2:]:
        svg = ElementTree.fromstring((tmp_path / "drawn" / name).read_bytes())
        assert svg.tag == "{http://www.w3.org/2000/svg}svg" and svg.find("{http://www.w3.org/2000/svg}title").text


def test_nothing_is_overwritten_unasked(folder):
    run = lh.load(ROOT / "scenarios" / "saltmarsh-lane.json").season(2023)
    with pytest.raises(lh.InputError, match="already"):
        run.report(folder)
    run.report(folder, force=True)
