"""What a season leaves on disk, from Python: the calendar as a general parser reads it (python3-icalendar), the table as csv reads it."""
import csv
import datetime
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
    assert {e["DTSTART"].dt for e in events} == {datetime.date(2023, 4, 15)}
    assert any(str(e["SUMMARY"]) == "Feed: 150 g a square metre of concentrated manure powder over Hungry bed" for e in events)
    assert all("wet day" in str(e["DESCRIPTION"]) and "vet" in str(e["DESCRIPTION"]) for e in events)
    assert any("To each: 150 g (2 and a half handfuls) a square metre. In all: 2.1 kg (10 trowels)." in str(e["DESCRIPTION"]) for e in events)
    assert all(a["TRIGGER"].dt == datetime.timedelta(days=-1) for e in events for a in e.walk("VALARM"))
    assert len({str(e["UID"]) for e in events}) == 5


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
