"""How sure, what dose, and today, from Python: the command's answers, with bands as arrays."""
import datetime
import json
import os
import subprocess
from pathlib import Path

import numpy as np
import pytest

import leafhunger as lh

ONE_BED = Path(__file__).parents[2] / "scenarios" / "one-bed.json"


@pytest.fixture(scope="module")
def garden():
    return lh.load(ONE_BED)


def command(*words):
    return subprocess.run([os.environ["LEAFHUNGER_CLI"], *words], capture_output=True, text=True, check=True).stdout


def test_the_same_answer_as_the_command(garden):
    assert garden.how_sure(6, seed=3).to_json() == command("lasts", str(ONE_BED), "--sure", "6", "--seed", "3", "--json")
    assert garden.enough(doses=[0.5, 2]).to_json() == command("lasts", str(ONE_BED), "--enough", "--doses", "0.5,2", "--json")
    assert garden.today("2020-06-01").to_json() == command("today", str(ONE_BED), "--on", "2020-06-01", "--json")
    assert str(garden.today(datetime.date(2020, 6, 1))) + "\n" == command("today", str(ONE_BED), "--on", "2020-06-01")


def test_bands_are_quantiles_by_day(garden):
    sure = garden.how_sure(8, season=2020)
    for planting in sure.plantings.values():
        for band in planting.bands.values():
            assert band.days[0] == np.datetime64("2019-11-01") and band.days[-1] == np.datetime64("2020-10-31")
            assert band.at.shape == (5, 366)
            assert (np.diff(band.at, axis=0) >= 0).all()
        assert np.isclose(planting.kept_share, sum(planting.kept_years_by_draw) / 8 / len(sure.seasons))


def test_no_width_is_lasts(garden):
    lasts, sure = garden.lasts(), garden.how_sure(2, width=0)
    for name, planting in sure.plantings.items():
        assert set(planting.kept_years_by_draw) == {lasts.plantings[name].kept}


def test_picture(garden):
    assert garden.enough(dates=["04-01", "05-01"]).to_svg().startswith("<?xml")


@pytest.mark.parametrize("ask", [
    lambda g: g.how_sure(1), lambda g: g.how_sure(2.5), lambda g: g.how_sure(2, seed=-1), lambda g: g.how_sure(2, width=3),
    lambda g: g.how_sure(2, season=1800), lambda g: g.enough(doses=[0]), lambda g: g.enough(doses="half"), lambda g: g.enough(dates=["31-08"]),
    lambda g: g.today("tomorrow"), lambda g: g.today(20200601), lambda g: g.today("1800-06-01"), lambda g: g.enough().to_svg(),
])
def test_what_cannot_be_answered_is_refused(garden, ask):
    with pytest.raises(lh.InputError):
        ask(garden)


def test_data_is_the_json(garden):
    today = garden.today("2020-06-01")
    assert today.data == json.loads(today.to_json())
    assert today.on == datetime.date(2020, 6, 1)
