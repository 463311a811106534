"""The reader and scenarios/scenario.schema.json agree: on every example, on the bad cases, and on what a walk through the schema breaks.

The reader is run through the command line `leafhunger check` (environment variable LEAFHUNGER_CLI); without it the tests of the schema
alone still run.
"""
import concurrent.futures
import copy
import json
import os
import pathlib
import re
import shutil
import subprocess

import jsonschema
import pytest

import leafhunger as lh

ROOT = pathlib.Path(__file__).resolve().parents[2]
BAD = ROOT / "tests" / "bad"
SCHEMA_FILE = ROOT / "scenarios" / "scenario.schema.json"
SCHEMA = json.loads(SCHEMA_FILE.read_text())
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)
EXAMPLES = sorted(p for p in (ROOT / "scenarios").glob("*.json") if p != SCHEMA_FILE) + [BAD / "garden.json"]
CASES = json.loads((BAD / "cases.json").read_text())["cases"]
CLI = os.environ.get("LEAFHUNGER_CLI")
needs_cli = pytest.mark.skipif(not CLI, reason="LEAFHUNGER_CLI does not name the built command, so the reader cannot be asked")

# What only the reader can see: it knows names, sums, the calendar, the weather file and the plugins.
READER_ONLY = [
    "found the unknown plant ", "found the unknown material ", "found the unknown bed ", "found the unknown planting ",
    "found the unknown caution ", "before the first watering on ", " minutes, which bring ", "though \"weather.csv\" has wind", "that the weather of ", "ground_m2 of ", "each of the three at least ",
    " % carbon; ", "which holds no whole season", "found no file ", "found no place ", "before the first feeding on ", " a second time; ", " mm, the depth of ", " mm in all; ", "/parameters/",
    # a plant's or material's model is a plugin's name
    "/model", " for carbon_to_nitrogen; ", " for ammonium_frac; ", "found the unknown size ", "no size here: ", "more than the x of the knot before it",
    # figures that a law or a model must be able to use together
    "though the law ", " for Q10; ", "below reference_c for the law ", " that do not fit together", "/responses",
]


def schema_accepts(document):
    return VALIDATOR.is_valid(document)


def parse(text):
    """The document, or None where the text is no JSON (Python alone takes NaN and broken numbers for numbers)."""
    def refuse(word):
        raise ValueError(word)
    try:
        return json.loads(text, parse_constant=refuse)
    except (ValueError, RecursionError):
        return None


def check(path, catalogue=None):
    """(exit status, what it said on stderr) of the command line."""
    env = dict(os.environ)
    if catalogue:
        env["LEAFHUNGER_CATALOGUE"] = str(catalogue)
    done = subprocess.run([CLI, "check", str(path)], capture_output=True, env=env, timeout=60)
    return done.returncode, done.stderr.decode()


def write_case(case, folder):
    """The files of a bad case; returns the path to check and the scenario's bytes."""
    def text(key, replace, base):
        if key in case:
            return case[key].encode()
        if key + "_hex" in case:
            return bytes.fromhex(case[key + "_hex"])
        whole = (BAD / base).read_text()
        if replace in case:
            old, new = case[replace]
            assert whole.count(old) == 1, f"{case['name']}: {old!r} stands {whole.count(old)} times"
            whole = whole.replace(old, new)
        return whole.encode()

    scenario = text("scenario", "replace", "garden.json")
    (folder / "garden.json").write_bytes(scenario)
    (folder / "weather.csv").write_bytes(text("weather", "weather_replace", "weather.csv"))
    return folder / case.get("open", "garden.json"), scenario


def test_the_schema_is_well_formed():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.name)
def test_the_schema_accepts_the_example(path):
    assert [e.message for e in VALIDATOR.iter_errors(json.loads(path.read_text()))] == []


@needs_cli
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.name)
def test_the_reader_accepts_the_example(path):
    assert check(path) == (0, "")


@pytest.mark.parametrize("case", CASES, ids=lambda c: c["name"])
def test_the_schema_sees_what_the_case_says(case, tmp_path):
    _, scenario = write_case(case, tmp_path)
    try:
        document = parse(scenario.decode())
    except UnicodeDecodeError:
        document = None
    # A text that is no JSON never comes before a schema.
    seen = document is not None and not schema_accepts(document)
    assert seen == case["schema_sees"]


@needs_cli
@pytest.mark.parametrize("case", CASES, ids=lambda c: c["name"])
def test_the_command_refuses_the_case(case, tmp_path):
    path, _ = write_case(case, tmp_path)
    before = sorted(tmp_path.rglob("*"))
    status, said = check(path, BAD / "catalogue")
    assert status == 2
    assert case["place"] in said and case["found"] in said and case["hint"] in said
    assert said.count("\n") == 1 and said.endswith(".\n"), "one sentence on one line"
    assert sorted(tmp_path.rglob("*")) == before, "nothing is written"


@needs_cli
@pytest.mark.parametrize("material, group, says", [("test-powder", "decai", '"decay"'), ("test-powder", "coat", '"decay"'), ("test-salt", "decay", "neither warmth nor moisture")])
def test_a_law_for_what_the_model_does_not_have_is_refused(material, group, says, tmp_path):
    """Only a loaded plugin can say what of it hangs on warmth and moisture."""
    document = copy.deepcopy(FULL)
    document["materials"][material]["responses"] = {group: {"temperature": "lloyd_taylor"}}
    assert schema_accepts(document)
    shutil.copy(BAD / "weather.csv", tmp_path / "weather.csv")
    (tmp_path / "garden.json").write_text(json.dumps(document))
    status, said = check(tmp_path / "garden.json", BAD / "catalogue")
    assert status == 2 and f"/materials/{material}/responses" in said and f'"{group}"' in said and says in said and said.count("\n") == 1, said


# --- A walk through the schema, breaking one thing of a good garden at a time ---------------------------------------------------------

def resolved(schema):
    """The schema with its $ref merged in (draft 2020-12 keeps what stands beside it); of a group or a text, the group."""
    while isinstance(schema, dict) and "$ref" in schema:
        target = SCHEMA
        for part in schema["$ref"].removeprefix("#/").split("/"):
            target = target[part]
        schema = {**target, **{k: v for k, v in schema.items() if k != "$ref"}}
    if isinstance(schema, dict):
        for branch in schema.get("anyOf", []):
            if branch.get("type") == "object":  # the other way is to say it, which the tests of spoken amounts walk
                return {**{k: v for k, v in schema.items() if k != "anyOf"}, **branch}
    return schema


def walk(schema, value, path=()):
    """Every (path, schema, value) of a document."""
    schema = resolved(schema)
    yield path, schema, value
    if isinstance(value, dict):
        for key, inner in value.items():
            by_name = [b for pattern, b in schema.get("patternProperties", {}).items() if re.search(pattern, key)]
            below = schema.get("properties", {}).get(key, by_name[0] if by_name else schema.get("additionalProperties"))
            assert isinstance(below, dict), f"no schema for {path + (key,)}"
            yield from walk(below, inner, path + (key,))
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            yield from walk(schema["prefixItems"][i] if "prefixItems" in schema else schema["items"], inner, path + (i,))


def step(bound):
    return max(abs(bound) * 1e-3, 1e-3)


def broken_values(schema, value):
    """(what was broken, another value) for one place; every one must be refused."""
    kind = schema.get("type")
    if "oneOf" in schema and kind is None:  # a number or a day
        for other in (None, True, "seven", [], {}):
            yield f"neither {other!r}", other
        return
    for other in (None, True, 7, "seven", [], {}):
        fits = {"number": (int, float), "integer": (int, float), "string": str, "array": list, "object": dict}.get(kind, ())
        if isinstance(other, bool) and kind == "boolean":
            continue
        if isinstance(other, bool) or not isinstance(other, fits):
            if other == 7 and value == 7:
                continue
            yield f"type {other!r}", other
    if "minimum" in schema:
        yield "below minimum", (schema["minimum"] - (1 if kind == "integer" else step(schema["minimum"])))
        yield "far below minimum", -1e300
    if "exclusiveMinimum" in schema:
        yield "at the excluded minimum", schema["exclusiveMinimum"]
    if "maximum" in schema:
        yield "above maximum", (schema["maximum"] + (1 if kind == "integer" else step(schema["maximum"])))
        yield "far above maximum", 1e300
    if kind == "integer":
        yield "half", value + 0.5
    if "enum" in schema:
        yield "not in enum", "no such word"
        yield "capital letters", value.upper()
    if "const" in schema:
        yield "not the constant", schema["const"] + 1
    if "minLength" in schema:
        yield "too short", "x" * (schema["minLength"] - 1)
    if "maxLength" in schema:
        yield "too long", "x" * (schema["maxLength"] + 1)
    if "pattern" in schema:
        for what, other in (("line end", value + "\n"), ("blank in front", " " + value), ("tab", value[0] + "\t" + value[1:]),
                            ("thirty-second", "04-32"), ("month 0", "00-10"), ("February 30", "02-30"), ("capitals", value.upper()),
                            ("hyphen in front", "-" + value), ("delete", value + "\x7f")):
            if not re.search(schema["pattern"], other):
                yield what, other
    if "minItems" in schema and schema["minItems"] > 0:
        yield "too few items", value[:schema["minItems"] - 1]
    if "maxItems" in schema and value:
        yield "too many items", (value * (schema["maxItems"] + 1))[:schema["maxItems"] + 1]
    if schema.get("uniqueItems") and value:
        yield "item twice", value + value[:1]
    if kind == "object":
        for key in schema.get("required", []):
            yield f"without {key}", {k: v for k, v in value.items() if k != key}
        if schema.get("additionalProperties") is False:
            yield "unknown key", {**value, "no_such_key": 1}
            yield "comment of a number", {**value, "comment": 1}
        if "propertyNames" in schema and value:
            yield "odd name", {**value, "Odd name": next(iter(value.values()))}
        if "anyOf" in schema:
            either = {key for branch in schema["anyOf"] for key in branch["required"]}
            yield f"without any of {sorted(either)}", {k: v for k, v in value.items() if k not in either}
        for rule in schema.get("allOf", []):
            pair = rule["not"]["required"]
            if any(key in value for key in pair):
                yield f"both of {pair}", {**{key: 1 for key in pair}, **value}
        for branch in schema.get("oneOf", []):
            for key in branch["required"]:
                if key in value:
                    yield f"without {key}", {k: v for k, v in value.items() if k != key}
                else:
                    yield f"with {key} too", {**value, key: fitting(resolved(schema["properties"][key]))}


def fitting(schema):
    """Some value that the schema takes, for a key that stands beside its rival."""
    kind = schema.get("type")
    if kind in ("number", "integer"):
        return max(schema.get("minimum", 0), schema.get("exclusiveMinimum", 0) + 1)
    if kind == "array":
        return ["Tub leaves"]
    if kind == "object":
        return {k: fitting(resolved(schema["properties"][k])) for k in schema.get("required", [])}
    return schema["enum"][0] if "enum" in schema else "Long bed"


def other_good_values(schema, value):
    """Values that the schema alone cannot refuse at one place: both ends of a range, each word of an enum, one optional key less."""
    for bound in ("minimum", "maximum"):
        if bound in schema:
            yield f"at the {bound}", schema[bound]
    if "exclusiveMinimum" in schema:
        yield "just above the minimum", schema["exclusiveMinimum"] + 1e-9
    if schema.get("type") == "integer":
        yield "whole with a point", float(value)
    for word in schema.get("enum", []):
        yield f"word {word}", word
    if schema.get("type") == "boolean":
        yield "the other", not value
    if "maxLength" in schema and "pattern" not in schema:
        yield "longest", "é" * schema["maxLength"]
    if isinstance(value, dict):
        for key in value:
            yield f"without {key}", {k: v for k, v in value.items() if k != key}
        yield "with a comment", {**value, "comment": "ignored"}
    if isinstance(value, list):
        yield "first item only", value[:1]
        yield "no item", []


def replaced(document, path, value):
    if not path:
        return value
    document = copy.deepcopy(document)
    at = document
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = value
    return document


FULL = json.loads((BAD / "garden.json").read_text())
# The same with weather made up from a place, which stands where the file stood.
MADE = {**FULL, "weather": {"place": "Nowhere Sound", "years": 5, "seed": 3, "start": 2001}}


def test_the_full_garden_uses_every_key():
    """Else the walk would leave parts of the schema out."""
    def keys(schema, seen):
        if isinstance(schema, dict):
            for name, below in schema.get("properties", {}).items():
                if name != "comment" and isinstance(below, dict):
                    seen.add(name)
            for below in schema.values():
                keys(below, seen)
        elif isinstance(schema, list):
            for below in schema:
                keys(below, seen)
        return seen

    used = {path[-1] for path, _, _ in walk(SCHEMA, FULL) if path}
    assert keys(SCHEMA, set()) - used == set(RIVALS) | set(MADE["weather"])


def test_every_property_says_what_it_is():
    """Titles for all, and bounds for every number."""
    def visit(schema, path):
        for name, below in schema.get("properties", {}).items():
            if below is False:
                continue
            whole = resolved(below)
            if "oneOf" not in path:
                assert "title" in whole, path + "/" + name
            if whole.get("type") in ("number", "integer"):
                assert "maximum" in whole and ("minimum" in whole or "exclusiveMinimum" in whole), path + "/" + name
                assert "description" in whole or name in {"ph", "grams", "kilograms", "millilitres", "litres", "handfuls", "trowels"}, path + "/" + name
            visit(below, path + "/" + name)
        if isinstance(schema.get("additionalProperties"), dict):
            visit(schema["additionalProperties"], path + "/*")

    visit(SCHEMA, "")
    for name, definition in SCHEMA["$defs"].items():
        visit(definition, name)


def test_the_schema_knows_the_laws_that_there_are():
    laws = lh.responses()
    for key, known in (("temperature", laws.temperature), ("moisture", laws.moisture)):
        assert SCHEMA["$defs"]["response"]["properties"][key]["enum"] == list(known)


def test_the_schema_knows_the_origins_that_there_are():
    assert SCHEMA["$defs"]["material"]["properties"]["origin"]["enum"] == [word for word, _ in lh._engine.origins()]


RIVALS = ("kilograms", "millilitres", "litres", "trowels")  # one measure at a time: the full garden has grams and handfuls


def places():
    """(document, path, schema, value) of every place in the full garden, and of the weather and the amount in the forms that it lacks."""
    for place in walk(SCHEMA, FULL):
        yield FULL, *place
    for path, schema, value in walk(SCHEMA, MADE):
        if path[:1] == ("weather",):
            yield MADE, path, schema, value
    amount = ("feedings", 0, "amount")
    for measure in RIVALS:
        document = replaced(FULL, amount, {measure: 3, "per": "m2"})
        for path, schema, value in walk(SCHEMA, document):
            if path == (*amount, measure):
                yield document, path, schema, value


def changed(values):
    for document, path, schema, value in places():
        for what, other in values(schema, value):
            yield f"/{'/'.join(map(str, path))}: {what}", replaced(document, path, other)


def broken():
    return changed(broken_values)


def varied():
    return changed(other_good_values)


def test_the_schema_refuses_all_that_the_walk_breaks():
    missed = [what for what, document in broken() if schema_accepts(document)]
    assert missed == []
    assert sum(1 for _ in broken()) > 800


def read_all(documents, folder):
    """(what, document, status, sentence) of each, two at a time."""
    shutil.copy(BAD / "weather.csv", folder / "weather.csv")

    def ask(numbered):
        i, (what, document) = numbered
        path = folder / f"{i}.json"
        path.write_text(json.dumps(document))
        return (what, document, *check(path, BAD / "catalogue"))

    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        return list(pool.map(ask, enumerate(documents)))


@needs_cli
def test_the_reader_refuses_all_that_the_walk_breaks(tmp_path):
    for what, _, status, said in read_all(broken(), tmp_path):
        assert status == 2, f"{what}: status {status} {said}"
        assert re.fullmatch(r".*/\d+\.json, line \d+, column \d+(, /.*)?: found .*; allowed is .*; .*\.\n", said), f"{what}: {said}"


@needs_cli
def test_the_reader_and_the_schema_agree_on_variants(tmp_path):
    accepted = 0
    for what, document, status, said in read_all(varied(), tmp_path):
        if not schema_accepts(document):
            assert status == 2, f"{what}: the schema refuses it, the reader does not"
        elif status != 0:
            assert status == 2 and any(words in said for words in READER_ONLY), f"{what}: the reader alone refuses it: {said}"
        else:
            accepted += 1
    assert accepted > 200
