"""Every --json answer keeps to scenarios/answers/answers.schema.json, which allows nothing that it does not name (validated by jsonschema)."""
import copy
import json
import os
import pathlib
import subprocess

import jsonschema
import pytest

ROOT = pathlib.Path(__file__).resolve().parents[2]
SCHEMA = json.loads((ROOT / "scenarios" / "answers" / "answers.schema.json").read_text())
CLI = os.environ.get("LEAFHUNGER_CLI")
pytestmark = pytest.mark.skipif(not CLI, reason="LEAFHUNGER_CLI does not name the built command")

ASKED = {
    "season": [["season", "saltmarsh-lane.json"], ["season", "pots.json"], ["season", "straw-or-alfalfa.json"]],
    "lasts": [["lasts", "one-bed.json"]],
    "sure": [["lasts", "one-bed.json", "--sure", "4"]],
    "enough": [["lasts", "one-bed.json", "--enough"], ["lasts", "one-bed.json", "--doses", "1,2"], ["lasts", "watered-beds.json", "--dates", "04-01,05-01"]],
    "compare": [["compare", "one-bed.json", "--times", "0.5"], ["compare", "one-bed.json", "pots.json"]],
    "today": [["due", "one-bed.json", "--on", "2023-05-15"], ["today", "one-bed.json", "--on", "2023-06-15"], ["today", "one-bed.json", "--on", "2023-02-01"]],
    "topup": [["topup", "one-bed.json", "--material", "dried-blood", "--intervals", "28", "70", "--doses", "20", "60"],
              ["topup", "one-bed.json", "--material", "dried-blood", "--doses", "0.1"],
              ["topup", "one-bed.json", "--material", "dried-blood", "--doses", "20", "--leached-at-most", "0.1", "--whole-grid"],
              ["topup", "pots.json", "--material", "dried-blood", "--doses", "20", "40", "--intervals", "28", "42", "--together"]],
    "curves": [["curves", "dried-blood", "straw", "--moisture", "0.4"], ["curves", "dried-blood"]],
    "visits": [["visits", "."], ["visits", "one-bed.json", "straw-or-alfalfa.json", "--season", "2030"]],
    "lesson": [["lesson", "one-bed.json"]],
    "check": [["check", "one-bed.json"]],
    "plugins": [["plugins"], ["plugins", "--responses"]],
}


def answer(arguments):
    done = subprocess.run([CLI, *arguments, "--json"], capture_output=True, text=True, cwd=ROOT / "scenarios", timeout=120, check=True)
    return json.loads(done.stdout)


def validator(name):
    return jsonschema.Draft202012Validator({"$schema": SCHEMA["$schema"], "$ref": f"#/$defs/{name}", "$defs": SCHEMA["$defs"]})


def test_the_schema_is_one_itself():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert set(ASKED) <= set(SCHEMA["$defs"])


@pytest.mark.parametrize("name, arguments", [(name, a) for name, asked in ASKED.items() for a in asked], ids=lambda v: "-".join(v) if isinstance(v, list) else v)
def test_answers_keep_to_it(name, arguments):
    said = answer(arguments)
    faults = [f"{'/'.join(map(str, e.absolute_path))}: {e.message[:200]}" for e in validator(name).iter_errors(said)]
    assert faults == []
    for other in ASKED:
        assert other == name or not validator(other).is_valid(said), "no answer passes for another"


def test_it_refuses_what_is_missing_new_or_of_another_kind():
    season = answer(["season", "one-bed.json"])
    check = validator("season")
    for key in season:
        less = copy.deepcopy(season)
        del less[key]
        assert not check.is_valid(less), key
    assert not check.is_valid({**season, "colour": "green"})
    assert not check.is_valid({**season, "cost": "0.81"})
    odd = copy.deepcopy(season)
    odd["columns"][0]["verdict"]["outcome"] = "fine"
    assert not check.is_valid(odd)
