"""`leafhunger new`: what a newcomer answers, well or badly, and that the garden written runs. Drives the command over a pipe."""
import json
import os
import pathlib
import signal
import subprocess
import time

import jsonschema
import pytest

import leafhunger as lh

ROOT = pathlib.Path(__file__).resolve().parents[2]
SCHEMA = json.loads((ROOT / "scenarios" / "scenario.schema.json").read_text())
CLI = os.environ.get("LEAFHUNGER_CLI")
pytestmark = pytest.mark.skipif(not CLI, reason="LEAFHUNGER_CLI does not name the built command")

ALL = {"--name": "Home", "--place": "Camborne", "--area": "12", "--soil": "loam", "--plants": "3 hardy-banana, 8 canna", "--feed": "dried-blood",
       "--amount": "2 handfuls a plant", "--on": "04-15"}


def new(folder, *arguments, answers=""):
    return subprocess.run([CLI, "new", "my.json", *map(str, arguments)], input=answers, capture_output=True, text=True, cwd=folder, timeout=60)


def flags(**changed):
    said = {**ALL, **{f"--{k.replace('_', '-')}": v for k, v in changed.items()}}
    return [part for flag, value in said.items() if value is not None for part in (flag, value)]


def left(folder):
    return sorted(p.name for p in folder.iterdir())


def test_all_said_by_options_asks_nothing_and_runs(tmp_path):
    done = new(tmp_path, *flags())
    assert done.returncode == 0 and done.stderr == "" and "\n> " not in done.stdout
    assert left(tmp_path) == ["my.json", "my.txt"]
    written = json.loads((tmp_path / "my.json").read_text())
    jsonschema.Draft202012Validator(SCHEMA).validate(written)
    assert written["feedings"][0]["plantings"] == ["Hardy banana", "Canna"]
    assert subprocess.run([CLI, "check", "my.json"], cwd=tmp_path, capture_output=True, text=True).stdout.startswith("my.json: good. 1 bed, 2 plantings, 1 feeding")
    assert set(lh.load(tmp_path / "my.json").season().verdict) == {"Hardy banana", "Canna"}


def test_plants_and_feeds_are_what_people_call_them(tmp_path):
    done = new(tmp_path, *flags(plants="3 bananas, 2 Elephant Ears, palm", feed="chicken pellets"))
    assert done.returncode == 0, done.stderr
    written = json.loads((tmp_path / "my.json").read_text())
    assert [(p["plant"], p["count"]) for p in written["beds"][0]["plantings"]] == [("hardy-banana", 3), ("elephant-ear", 2), ("fan-palm", 1)]
    assert written["feedings"][0]["material"] == "poultry-manure-pellets"


@pytest.mark.parametrize("form", ["powder", "pellets", "granules", "bulky"])
@pytest.mark.parametrize("origin", ["1", "2", "3", "4", "5", "6", "7", "8"])
def test_every_bag_runs(form, origin, tmp_path):
    done = new(tmp_path, *flags(feed=None, bag_nitrogen="3", bag_origin=origin, bag_form=form), "--ask-nothing")
    assert done.returncode == 0, done.stderr
    checked = subprocess.run([CLI, "check", "my.json"], cwd=tmp_path, capture_output=True, text=True)
    assert checked.returncode == 0, checked.stderr


def test_the_page_beside_it_explains_every_part(tmp_path):
    new(tmp_path, *flags())
    page = (tmp_path / "my.txt").read_text()
    assert all(len(line) <= 80 for line in page.splitlines())
    for part in ("garden: ", "weather: ", "beds: ", "plantings: ", "feedings: ", "a handful: ", "leafhunger season my.json"):
        assert part in page


def test_wrong_answers_are_asked_again_with_what_is_allowed(tmp_path):
    answers = ["", "Cambourne", "?", "Camborne", "twelve", "12 m2", "loamy", "2", "3 bananna", "0 canna", "3 hardy bananas, 2 cannas (old-clump), hardy banana", "dung", "own",
               "Bag", "a lot", "4.5 %", "bird-manur", "5", "lumps", "powder", "2 handfuls", "2 handfuls a plant", "31 June", "20 April"]
    done = new(tmp_path, answers="\n".join(answers) + "\n")
    assert done.returncode == 0, done.stderr
    assert done.stdout.count("Not understood: ") == 11
    told = " ".join(done.stdout.split())
    for said in ('no place "Cambourne"', 'nearest name is "Camborne"', '"twelve"; it takes 0.05 to 10000 square metres', 'the nearest is "loamy sand"', 'the nearest is "hardy-banana"',
                 "a whole number of plants", 'the nearest is "bird-manure"', "say what it is for: a plant, a square metre, or in all", '"31 June"'):
        assert said in told, said
    assert all(len(line.removeprefix("> ")) <= 80 for line in done.stdout.splitlines())
    written = json.loads((tmp_path / "my.json").read_text())
    assert [(p["plant"], p["count"], p.get("size")) for p in written["beds"][0]["plantings"]] == [("hardy-banana", 4, None), ("canna", 2, "old-clump")]
    assert written["beds"][0]["soil"] == {"texture": "sandy loam"} and written["feedings"][0]["on"] == "04-20"
    own = written["materials"]["my-own-feed"]
    assert (own["title"], own["n_percent"], own["origin"], own["form"]) == ("Bag", 4.5, "bird-manure", "powder")
    jsonschema.Draft202012Validator(SCHEMA).validate(written)
    assert lh.load(tmp_path / "my.json").season().verdict


BAD = {
    "a plant that is none": (flags(plants="3 bannana"), "--plants: found \"bannana\"", "hardy-banana"),
    "no plant": (flags(plants="3"), "--plants: ", "such as 3 hardy bananas"),
    "half a plant": (flags(plants="0.5 canna"), "--plants: found \"0.5 canna\"", "whole number"),
    "a size that it has not": (flags(plants="3 canna (huge)"), "--plants: ", "\"new-rhizome\" or \"old-clump\""),
    "a place that is none": (flags(place="Oxfort"), "\"Oxfort\"", "\"Oxford\""),
    "an area below nought": (flags(area="-3"), "--area: found \"-3\"", "0.05 to 10000"),
    "an area with a comma": (flags(area="3,5"), "--area: found \"3,5\"", "0.05 to 10000"),
    "a texture that is none": (flags(soil="loan"), "--soil: found \"loan\"", "the nearest is \"loam\""),
    "a feed that is none": (flags(feed="dry-blood"), "--feed: found \"dry-blood\"", "the nearest is \"dried-blood\""),
    "an amount for nothing": (flags(amount="150 g"), "--amount: found \"150 g\"", "say what it is for"),
    "an amount of nothing": (flags(amount="0 g a plant"), "--amount: ", "above 0"),
    "a measure that is none": (flags(amount="3 spoons a plant"), "--amount: ", "handfuls or trowels"),
    "a day that is none": (flags(on="02-30"), "--on: found \"02-30\"", "15 April or 04-15"),
    "a name on two lines": (flags(name="a\nb"), "--name: ", "one line"),
    "a name too long": (flags(name="x" * 81), "--name: ", "1 to 80 characters"),
    "a bag and a feed": (flags(bag_nitrogen="4"), "--feed: ", "one of the two"),
    "too much nitrogen": (flags(feed=None, bag_nitrogen="60", bag_origin="straw"), "--bag-nitrogen: found \"60\"", "0.1 to 46.7"),
    "a record and a place": (flags(weather="w.csv"), "--weather: ", "one of the two"),
    "a record that is not there": (flags(place=None, weather="w.csv", latitude="50"), "w.csv", "no file of that name"),
    "nothing said of plants": (flags(plants=None), "--plants: found nothing", "--plants"),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_options_get_one_sentence_and_leave_nothing(name, tmp_path):
    arguments, found, hint = BAD[name]
    done = new(tmp_path, *arguments, "--ask-nothing")
    assert done.returncode == 2 and done.stdout == "" and done.stderr.startswith("leafhunger: ") and done.stderr.count("\n") == 1
    assert found in done.stderr and hint in done.stderr, done.stderr
    assert left(tmp_path) == []


def test_answers_that_end_early_leave_nothing(tmp_path):
    done = new(tmp_path, answers="Home\nCamborne\n")
    assert done.returncode == 130 and "nothing is written" in done.stderr and left(tmp_path) == []


def test_ctrl_c_leaves_nothing(tmp_path):
    asking = subprocess.Popen([CLI, "new", "my.json"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=tmp_path)
    asking.stdin.write("Home\nCamborne\n")
    asking.stdin.flush()
    heard = ""
    until = time.monotonic() + 30
    while "square metres" not in heard and time.monotonic() < until:
        heard += asking.stdout.read(1)
    asking.send_signal(signal.SIGINT)
    assert asking.wait(30) in (-signal.SIGINT, 130) and left(tmp_path) == []


@pytest.mark.parametrize("there", ["my.json", "my.txt"])
def test_nothing_is_overwritten_unasked(there, tmp_path):
    (tmp_path / there).write_text("mine")
    done = new(tmp_path, *flags())
    assert done.returncode == 2 and "already" in done.stderr and "--force" in done.stderr
    assert left(tmp_path) == [there] and (tmp_path / there).read_text() == "mine"
    assert new(tmp_path, *flags(), "--force").returncode == 0 and left(tmp_path) == ["my.json", "my.txt"]


def test_a_record_of_ones_own_is_named_from_the_scenarios_folder(tmp_path):
    (tmp_path / "gardens").mkdir()
    record = (ROOT / "scenarios" / "saltmarsh-weather.csv").read_text()
    (tmp_path / "days.csv").write_text(record)
    done = subprocess.run([CLI, "new", "gardens/my.json", *flags(place=None, weather="days.csv", latitude="50.3", amount="60 g a square metre")], cwd=tmp_path, capture_output=True,
                          text=True)
    assert done.returncode == 0, done.stderr
    written = json.loads((tmp_path / "gardens" / "my.json").read_text())
    assert written["weather"] == {"file": "../days.csv"} and written["feedings"][0]["bed"] == "Bed"
    assert lh.load(tmp_path / "gardens" / "my.json").season().verdict


def test_a_garden_in_the_south_is_fed_in_its_own_spring(tmp_path):
    done = new(tmp_path, *flags(place="Wellington NZ", on=None), "--ask-nothing")
    assert done.returncode == 0 and json.loads((tmp_path / "my.json").read_text())["feedings"][0]["on"] == "10-15"


@pytest.mark.parametrize("feed", ["concentrated-manure-powder", "dried-blood", "calcium-ammonium-nitrate", "garden-compost"])
def test_the_usual_dose_scorches_nothing_however_small_the_plant(tmp_path, feed):
    done = new(tmp_path, *flags(place="Camborne", plants="3 hardy bananas, 8 cannas", amount=None, feed=feed), "--ask-nothing")
    assert done.returncode == 0, done.stderr
    scenario = json.loads((tmp_path / "my.json").read_text())
    assert scenario["feedings"][0]["amount"]["per"] == "m2"
    answer = json.loads(subprocess.run([CLI, "season", "my.json", "--json"], cwd=tmp_path, capture_output=True, text=True).stdout)
    said = {c["key"] for c in answer["cautions"]}
    assert not said & {"scorch-now", "yearly-limit"}, said
