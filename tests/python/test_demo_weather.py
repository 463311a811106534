"""The demo's weather is what its generator makes, says that it is invented, and is the climate that the generator was given."""
import csv
import datetime as dt
import importlib.util
import pathlib
import subprocess
import sys

import numpy as np
import pytest

SCENARIOS = pathlib.Path(__file__).resolve().parents[2] / "scenarios"
FILE = SCENARIOS / "saltmarsh-weather.csv"

spec = importlib.util.spec_from_file_location("make_weather", SCENARIOS / "make_weather.py")
make_weather = importlib.util.module_from_spec(spec)
spec.loader.exec_module(make_weather)


@pytest.fixture(scope="module")
def rows():
    with open(FILE, encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@pytest.fixture(scope="module")
def columns(rows):
    return {k: np.array([float(r[k]) for r in rows]) for k in ("tmin_c", "tmax_c", "rain_mm", "sun_h")}


@pytest.fixture(scope="module")
def month(rows):
    return np.array([int(r["date"][5:7]) for r in rows])


def test_made_again_byte_for_byte(tmp_path):
    again = tmp_path / "again.csv"
    subprocess.run([sys.executable, SCENARIOS / "make_weather.py", again], check=True)
    assert again.read_bytes() == FILE.read_bytes()


def test_says_that_it_is_invented():
    assert FILE.read_text(encoding="utf-8").startswith("# INVENTED")


def test_whole_seasons_without_a_gap(rows):
    dates = [dt.date.fromisoformat(r["date"]) for r in rows]
    assert (dates[0].month, dates[0].day, dates[-1].month, dates[-1].day) == (11, 1, 10, 31)
    assert all(b - a == dt.timedelta(1) for a, b in zip(dates, dates[1:]))
    assert dates[-1].year - dates[0].year - 1 >= 12, "12 seasons and a year before the first to settle in"


def test_values_are_possible(rows, columns):
    c = columns
    assert (c["tmax_c"] > c["tmin_c"]).all() and (c["rain_mm"] >= 0).all() and (c["sun_h"] >= 0).all()
    longest = np.array([make_weather.daylight_h(dt.date.fromisoformat(r["date"])) for r in rows])
    assert (c["sun_h"] <= longest + 0.05).all()


@pytest.mark.parametrize("column, table, tolerance", [("tmin_c", "TMIN_C", 0.8), ("tmax_c", "TMAX_C", 0.8)])
def test_monthly_means_are_those_given(columns, month, column, table, tolerance):
    """14 years of each month; the slow swing alone makes a mean wander by about 0.2 degC (standard error), so 0.8 is four of them."""
    found = np.array([columns[column][month == m].mean() for m in range(1, 13)])
    given = getattr(make_weather, table)
    assert np.abs(found - given).max() < tolerance
    assert abs((found - given).mean()) < 0.25


def test_rain_and_wet_days_are_those_given(columns, month):
    """Of a year: 14 years of rain wander by about 4 % (standard error), monthly shares of wet days by about 0.03."""
    years = len(month) / 365.25
    assert columns["rain_mm"].sum() / years == pytest.approx(make_weather.RAIN_MM.sum(), rel=0.12)
    wet = np.array([(columns["rain_mm"][month == m] > 0).mean() for m in range(1, 13)])
    assert np.abs(wet - make_weather.WET_FRAC).max() < 0.09


def test_wet_follows_wet(columns):
    wet = columns["rain_mm"] > 0
    after_wet, after_dry = wet[1:][wet[:-1]].mean(), wet[1:][~wet[:-1]].mean()
    assert after_wet - after_dry == pytest.approx(make_weather.WET_AFTER, abs=0.06)


def test_wet_days_are_duller_and_summer_days_cooler(columns, month):
    summer, wet = np.isin(month, (6, 7, 8)), columns["rain_mm"] > 0
    assert columns["sun_h"][summer & wet].mean() < 0.75 * columns["sun_h"][summer & ~wet].mean()
    assert columns["tmax_c"][summer & wet].mean() < columns["tmax_c"][summer & ~wet].mean() - 0.5


def test_a_mild_coast_but_its_own(columns, month):
    """Near, and not a copy of, the 1991-2020 means of Camborne (Met Office station file): tmin Jan 4.9, Jul 13.2; tmax Jan 9.2, Jul 18.7."""
    mean = lambda column, m: columns[column][month == m].mean()
    assert 4.4 < mean("tmin_c", 1) < 6.4 and 12.7 < mean("tmin_c", 7) < 15.2
    assert 8.7 < mean("tmax_c", 1) < 10.7 and 19.2 < mean("tmax_c", 7) < 21.7
