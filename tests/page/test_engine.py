"""The page's engine beside the command, on every example: the same answers, the same sentences. Allowed is 1e-9 of the greater figure; figures that are
the small rest of greater ones (what is left of a pool, what a ledger fails to close by) are held to 1e-9 of the greatest of their kind instead."""
import json

import pytest
from built import EXAMPLES, SCENARIOS, WebEngine, command, scenario_files

RELATIVE = 1e-9
# A quotient by the small difference of great figures (a gain of a millionth of what was taken up): both are held by themselves.
OF_DIFFERENCES = {"cost_per_g_n_gained": 1e-6}


@pytest.fixture(scope="module")
def web():
    engine = WebEngine()
    yield engine
    engine.close()


def figures(value, place=()):
    """Every number of an answer by its place."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from figures(inner, place + (key,))
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            yield from figures(inner, place + (i,))
    else:
        yield place, value


def kind(place):
    return place[-1] if isinstance(place[-1], str) else place[-2]


def greatest_difference(native, page):
    a, b = dict(figures(native)), dict(figures(page))
    assert a.keys() == b.keys()
    words = {p: (a[p], b[p]) for p in a if not isinstance(a[p], float) and not isinstance(b[p], float) and a[p] != b[p]}
    assert words == {}, "words, dates and whole numbers are the same to the letter"
    numbers = [p for p in a if (isinstance(a[p], float) or isinstance(b[p], float)) and kind(p) != "relative_residual"]
    scale = {}
    for p in numbers:
        scale[kind(p)] = max(scale.get(kind(p), 0), abs(a[p]))
    worst = (0.0, "")
    for p in numbers:
        size = max(abs(a[p]), abs(b[p]))
        if kind(p) in OF_DIFFERENCES:
            assert abs(a[p] - b[p]) <= OF_DIFFERENCES[kind(p)] * size
        elif size > 0:
            worst = max(worst, (min(abs(a[p] - b[p]) / size, abs(a[p] - b[p]) / scale[kind(p)] if scale[kind(p)] else 1), str(p)))
    assert all(abs(b[p]) < 1e-9 for p in b if kind(p) == "relative_residual"), "the ledger closes here too"
    assert len(numbers) > 20
    return worst


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("ask", ["season", "lasts"])
def test_the_page_says_what_the_command_says(web, ask, name):
    said = web.ask(scenario_files(name), ask=ask, file=name)
    assert said["status"] == 0, said["text"]
    native = command(ask, name, "--json")
    assert native.returncode == 0
    worst, place = greatest_difference(json.loads(native.stdout), json.loads(said["text"]))
    print(f"{ask} {name}: {worst:.1e} at {place}, {said['ms']:.0f} ms")
    assert worst <= RELATIVE, place


def test_jars_too(web):
    said = web.ask(ask="curves", materials=["dried-blood", "straw", "concentrated-manure-powder"], temperature_c=[5, 12.5, 25], moisture=[None, 0.35], days=[1, 7, 28, 140])
    native = command("curves", "dried-blood", "straw", "concentrated-manure-powder", "--temps", "5,12.5,25", "--moisture", "field-capacity,0.35", "--days", "1,7,28,140", "--json")
    worst, place = greatest_difference(json.loads(native.stdout), json.loads(said["text"]))
    assert worst <= RELATIVE, place


def test_every_plugin_that_ships_is_linked_in(web):
    """Every material of the catalogue runs, each by its own model."""
    entries = json.loads(web.ask(ask="list", what="materials")["text"])["entries"]
    native = json.loads(command("list", "materials", "--json").stdout)["entries"]
    assert [e["id"] for e in entries] == [e["id"] for e in native]
    for entry in {e["model"]: e for e in entries}.values():
        said = web.ask(ask="curves", materials=[entry["id"]], temperature_c=[15], days=[28])
        assert said["status"] == 0, said["text"]
    models = {m["name"] for m in json.loads(command("plugins", "--json").stdout)["models"]}
    assert {e["model"] for e in entries} <= models


# What is wrong with it, as a change of a good scenario.
BAD = {
    "unknown key": lambda s: s["garden"].update(hight=3),
    "unknown material": lambda s: s["feedings"][0].update(material="concentrated-manure-powdr"),
    "no such day": lambda s: s["feedings"][0].update(on="02-30"),
    "unknown plant": lambda s: s["beds"][0]["plantings"][0].update(plant="hardy-bananna"),
    "no weather file": lambda s: s["weather"].update(file="other.csv"),
    "out of bounds": lambda s: s["garden"].update(latitude_deg=91),
    "a number as words": lambda s: s["beds"][0].update(area_m2="6"),
    "a season that is not there": lambda s: s.update(question={"season": 1950}),
}


@pytest.mark.parametrize("what", BAD)
def test_the_sentences_are_the_same(web, what, tmp_path):
    scenario = json.loads((SCENARIOS / "one-bed.json").read_text())
    BAD[what](scenario)
    text = json.dumps(scenario, indent=2)
    (tmp_path / "bad.json").write_text(text)
    (tmp_path / "saltmarsh-weather.csv").write_text((SCENARIOS / "saltmarsh-weather.csv").read_text())
    native = command("season", "bad.json", cwd=tmp_path)
    said = web.ask([["bad.json", text], scenario_files("one-bed.json")[1]], ask="season", file="bad.json")
    assert said["status"] == native.returncode == 2
    assert "leafhunger: " + said["text"] == native.stderr.rstrip("\n")


@pytest.mark.parametrize("text", ['{"beds": ' + "[" * 20000 + "]" * 20000 + "}", '{"a": ' * 30000 + "1" + "}" * 30000, '{"format": 1, "garden": {"name": "'], ids=["lists", "groups", "unclosed"])
def test_so_are_those_of_files_that_are_no_scenario(web, text, tmp_path):
    (tmp_path / "bad.json").write_text(text)
    said = web.ask([["bad.json", text]], ask="check", file="bad.json")
    native = command("check", "bad.json", cwd=tmp_path)
    assert said["status"] == native.returncode == 2
    assert "leafhunger: " + said["text"] == native.stderr.rstrip("\n")


@pytest.mark.parametrize("figure", ["1e-320", "1e400", "-0", "0.1e1", "1.", ".5", "007", "1_0", "nan", "inf", "+1", "0x10", "12345678901234567890.12345", "1e", "5e-324", "12.300000000000001"])
def test_decimals_are_read_as_the_command_reads_them(web, figure, tmp_path):
    """The page's <charconv> is our own."""
    head = "date,tmin_c,tmax_c,rain_mm\n"
    good = (SCENARIOS / "saltmarsh-weather.csv").read_text()
    rows = [line for line in good.splitlines() if line[:1].isdigit()]
    cells = rows[5].split(",")
    rows = [",".join(row.split(",")[:4]) for row in rows]
    rows[5] = f"{cells[0]},{cells[1]},{cells[2]},{figure}"
    weather = head + "\n".join(rows) + "\n"
    (tmp_path / "saltmarsh-weather.csv").write_text(weather)
    text = (SCENARIOS / "one-bed.json").read_text()
    (tmp_path / "one.json").write_text(text)
    native = command("season", "one.json", "--json", cwd=tmp_path)
    said = web.ask([["one.json", text], ["saltmarsh-weather.csv", weather]], ask="season", file="one.json")
    assert said["status"] == native.returncode
    if native.returncode:
        assert "leafhunger: " + said["text"] == native.stderr.rstrip("\n")
    else:
        assert greatest_difference(json.loads(native.stdout), json.loads(said["text"]))[0] <= RELATIVE


def test_warmth_moves_the_weather_and_is_saved_with_it(web):
    name = "one-bed.json"
    files = scenario_files(name)
    warm = web.ask(files, ask="season", file=name, warmer_c=2)
    csv = web.ask(ask="weather", file=name, warmer_c=2)
    saved = web.ask([["saltmarsh-weather.csv", csv["text"]], files[0]], ask="season", file=name)
    assert json.loads(warm["text"])["columns"][0]["verdict"] != json.loads(web.ask(files, ask="season", file=name)["text"])["columns"][0]["verdict"]
    assert greatest_difference(json.loads(warm["text"]), json.loads(saved["text"]))[0] <= RELATIVE


def test_what_the_page_keeps_between_questions_changes_nothing(web, tmp_path):
    """Soil climates are kept while doses change; each answer is the one that a fresh command gives."""
    weather = scenario_files("one-bed.json")[1]
    (tmp_path / weather[0]).write_text(weather[1])
    base = json.loads((SCENARIOS / "one-bed.json").read_text())

    def other(change):
        scenario = json.loads(json.dumps(base))
        change(scenario)
        return scenario

    steps = [
        other(lambda s: None),
        other(lambda s: s["feedings"][0]["amount"].update(handfuls=6)),
        other(lambda s: s["feedings"][0].update(watered_in_mm=15)),
        other(lambda s: s["feedings"].append({"material": "straw", "on": "05-01", "plantings": ["Bananas"], "amount": {"kilograms": 1, "per": "m2"}})),
        other(lambda s: s["beds"][0].update(mulch={"depth_mm": 80})),
        other(lambda s: s["beds"][0]["plantings"][0].update(count=1)),
        other(lambda s: s["garden"].update(latitude_deg=56)),
        other(lambda s: None),
    ]
    answers = []
    for scenario in steps:
        text = json.dumps(scenario)
        (tmp_path / "one.json").write_text(text)
        said = web.ask([["one.json", text], weather], ask="lasts", file="one.json")
        assert said["status"] == 0, said["text"]
        assert greatest_difference(json.loads(command("lasts", "one.json", "--json", cwd=tmp_path).stdout), json.loads(said["text"]))[0] <= RELATIVE
        answers.append(said["text"])
    assert len(set(answers)) >= 5 and answers[0] == answers[-1]


def test_one_bed_alone_says_the_same_of_its_plantings(web):
    name = "saltmarsh-lane.json"
    whole = json.loads(web.ask(scenario_files(name), ask="page", file=name)["text"])
    alone = json.loads(web.ask(ask="page", file=name, only="Cannas", reasons=False)["text"])
    of = {c["name"]: c for c in whole["season"]["columns"]}
    seen = [c["name"] for c in alone["season"]["columns"]]
    assert "Cannas" in seen and "Yuccas" not in seen
    for column in alone["season"]["columns"]:
        for key in ("verdict", "ledger_kg_n_ha", "gain_g_n", "cost"):
            assert column.get(key) == of[column["name"]].get(key)
    assert next(d for d in alone["days"] if d["planting"] == "Cannas") == next(d for d in whole["days"] if d["planting"] == "Cannas")


@pytest.mark.parametrize("season", [2018, 2023])
def test_a_glance_shows_what_the_season_says(web, season):
    """The picture that follows a slider comes from the production stepper, the season from the reference: allowed is 2e-5 of a figure's range, which the few worst members need."""
    name = "saltmarsh-lane.json"
    whole = json.loads(web.ask(scenario_files(name), ask="page", file=name, season=season, reasons=False)["text"])
    for answer, days in ((a, next(d for d in whole["days"] if d["planting"] == a["planting"])) for a in whole["answers"]):
        said = web.ask(ask="glance", file=name, season=season, only=answer["planting"])
        assert said["status"] == 0, said["text"]
        quick = json.loads(said["text"])
        assert quick["season"]["carry_to"] == whole["season"]["carry_to"]
        # Whether it was carried with little in hand needs what roots could still reach, which only the whole season counts.
        assert quick["answers"][0]["word"] == ("yes" if answer["word"] == "just" else answer["word"]) and answer["why"].startswith(quick["answers"][0]["why"])
        assert {k: v for k, v in quick["days"][0].items() if k not in ("has_g", "needs_g")} == {k: v for k, v in days.items() if k not in ("has_g", "needs_g")}
        for key in ("has_g", "needs_g"):
            size = max(days[key]) - min(days[key])
            assert max(abs(a - b) for a, b in zip(quick["days"][0][key], days[key], strict=True)) <= 2e-5 * size, (answer["planting"], key)
    assert web.ask(ask="glance", file=name, only="Nobody")["status"] == 2
