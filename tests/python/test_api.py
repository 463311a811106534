"""The package as a reader of its docstrings would use it, and beside the command."""
import ast
import datetime
import inspect
import json
import os
import pathlib
import subprocess
import sys
import types

import numpy as np
import pytest

import leafhunger as lh

ROOT = pathlib.Path(__file__).resolve().parents[2]
DEMO = ROOT / "scenarios" / "saltmarsh-lane.json"
PACKAGE = pathlib.Path(lh.__file__).resolve().parent
STUB = ROOT / "python" / "leafhunger" / "_engine.pyi"


@pytest.fixture(scope="module")
def garden():
    return lh.load(DEMO)


@pytest.fixture(scope="module")
def run(garden):
    return garden.season()


@pytest.fixture(scope="module")
def lasts(garden):
    return garden.lasts()


@pytest.fixture(scope="module")
def topups(garden):
    return garden.topup("dried-blood", ["Cannas", "Canna in the pot"], intervals_d=[28, 56], doses_g_per_plant=[20, 60.5], first_after_d=21, until="08-15",
                        whole_grid=True)


def command(*arguments):
    """What the command prints."""
    cli = os.environ.get("LEAFHUNGER_CLI") or pathlib.Path(lh.__file__).parents[2] / "bin" / "leafhunger"
    return subprocess.run([cli, *map(str, arguments)], capture_output=True, text=True, check=True).stdout


# ---- the same words as the command ----------------------------------------------------------------------------------

def test_print_says_what_the_command_says(run, capsys):
    print(run)
    assert capsys.readouterr().out == command("season", DEMO)
    print(run.words(more=True))
    assert capsys.readouterr().out == command("season", DEMO, "--more")


def test_json_is_the_commands(run, garden):
    assert run.to_json() == command("season", DEMO, "--json")
    year = garden.seasons[2]
    assert garden.season(year).to_json() == command("season", DEMO, "--season", year, "--json")


def test_lasts_is_the_commands(lasts, capsys):
    print(lasts)
    assert capsys.readouterr().out == command("lasts", DEMO)
    assert lasts.to_json() == command("lasts", DEMO, "--json")


def test_topup_is_the_commands(topups, capsys):
    asked = ["topup", DEMO, "--material", "dried-blood", "--plantings", "Cannas", "Canna in the pot", "--intervals", 28, 56, "--doses", 20, 60.5,
             "--first-after", 21, "--until", "08-15", "--whole-grid"]
    print(topups)
    assert capsys.readouterr().out == command(*asked)
    print(topups.words(more=True))
    assert capsys.readouterr().out == command(*asked, "--more")
    assert topups.to_json() == command(*asked, "--json")


def test_plugins_are_the_commands(capsys):
    print(lh.plugins())
    assert capsys.readouterr().out == command("plugins")
    assert lh.plugins().to_json(responses=True) == command("plugins", "--responses", "--json")


# ---- one season -----------------------------------------------------------------------------------------------------

def test_verdicts_are_the_reports(run):
    told = {c["name"]: c for c in json.loads(run.to_json())["columns"] if "verdict" in c}
    assert list(run.verdict) == list(told)
    iso = {None: None, "season": run.last_day.isoformat()}
    for name, verdict in run.verdict.items():
        want = told[name]["verdict"]
        assert verdict.outcome == want["outcome"] and verdict.carried == (want["outcome"] in ("carried", "just-carried"))
        assert (verdict.lasts_until and verdict.lasts_until.isoformat()) == iso.get(want["lasts_until"], want["lasts_until"])
        for ours, theirs in (("first_short", "first_short"), ("falls_behind", "supply_falls_behind"), ("wakes", "wakes")):
            date = getattr(verdict, ours)
            assert date is None or type(date) is datetime.date
            assert (date and date.isoformat()) == want[theirs]
        for number in ("days_short", "days_grown", "nni_at_date", "lowest_nni", "mean_nni", "days_in_hand", "growth_frac", "water_frac", "shortfall_kg_n_ha"):
            assert getattr(verdict, number) == want[number]


def test_a_planting_lasts_until_the_day_before_it_is_short(run):
    short = [v for v in run.verdict.values() if v.first_short]
    assert short, "the demo shows at least one planting that runs short"
    for verdict in short:
        assert verdict.lasts_until == verdict.first_short - datetime.timedelta(1)


def test_first_short_is_the_first_of_five_growing_days_below_the_line(run):
    """Equation sheet 7: NNI below 0.90 on 5 growing days running (f_T > 0.02, W > 0.3)."""
    for name, verdict in run.verdict.items():
        s = run.series[name]
        growing = (s["growth_temperature_response"] > 0.02) & (s["dry_matter_t_ha"] > 0.3)
        below = s["nni"][growing] < 0.90
        days = run.dates[growing]
        runs = [i for i in range(len(below) - 4) if below[i:i + 5].all()]
        assert verdict.first_short == (days[runs[0]].astype(object) if runs else None)


def test_columns_hold_what_the_scenario_says(run, garden):
    written = json.loads(DEMO.read_text())
    names = [p["name"] for b in written["beds"] for p in b["plantings"]]
    assert list(garden.plantings) == names == list(run.verdict)
    assert [n for n in run.columns if not run.columns[n].bare] == names
    for bed in written["beds"]:
        area = bed.get("area_m2") or np.pi * (bed["container"]["diameter_mm"] / 2000) ** 2
        assert sum(c.area_m2 for c in run.columns.values() if c.bed == bed["name"]) == pytest.approx(area, rel=1e-12)
    bananas = run.columns["Bananas"]
    assert (bananas.count, bananas.hunger, bananas.plant_id, bananas.fed, bananas.bare) == (3, "greedy", "hardy-banana", True, False)
    assert not run.columns["Yuccas"].fed and run.columns["Yuccas"].gain_g == 0
    assert {s for s in bananas.states} <= {"asleep", "dry", "fed", "short"} and len(bananas.states) == len(run.dates)


def test_bare_ground_has_no_verdict(run):
    bare = [c for c in run.columns.values() if c.bare]
    assert bare and all(c.verdict is None and c.unfed is None and c.name not in run.verdict for c in bare)


def test_ledgers_close_and_add_up(run):
    parts = {term: 0.0 for term in ("given", "plant", "leached", "denitrified", "unfreed", "mineral", "humus")}
    for c in run.columns.values():
        assert abs(c.ledger.relative_residual) < 1e-9 and c.ledger.unit == "kg/ha"
        for term in parts:
            parts[term] += 0.1 * c.area_m2 * getattr(c.ledger, term)
    assert run.ledger.unit == "g" and abs(run.ledger.relative_residual) < 1e-9
    for term, total in parts.items():
        assert getattr(run.ledger, term) == pytest.approx(total, rel=1e-12)
    assert run.given_g == run.ledger.given > 0


def test_sources_share_out_the_ledger(run):
    """Labels sum to the pools (decisions: to 1e-9)."""
    for name, sources in run.sources.items():
        ledger = run.columns[name].ledger
        assert sum(s.given_kg_n_ha for s in sources) == pytest.approx(ledger.total_in, rel=1e-9)
        for term in ("plant", "leached", "mineral", "microbes", "volatilised"):
            assert sum(getattr(s.where, term) for s in sources) == pytest.approx(getattr(ledger, term), abs=1e-9 * ledger.total_in)
    assert any(s.name.startswith("feeding") for s in run.sources["Bananas"])
    assert not any(s.name.startswith("feeding") for s in run.sources["Yuccas"])


def test_drainage_by_month_is_that_of_the_series(run):
    column = run.columns["Bananas"]
    assert sum(m.drained_mm for m in column.drainage) == pytest.approx(run.series["Bananas"]["drained_mm"][:, -1].sum(), rel=1e-9)
    wet = max(column.drainage, key=lambda m: m.drained_mm)
    assert wet.mg_n_per_l == pytest.approx(100 * wet.leached_kg_n_ha / wet.drained_mm)
    assert wet.mg_no3_per_l == pytest.approx(wet.mg_n_per_l * 4.4268, rel=1e-4)  # 62.0049/14.0067, molar masses


def test_series_say_their_units_and_end_where_the_ledger_does(run):
    s, ledger = run.series["Bananas"], run.columns["Bananas"].ledger
    assert len(s) > 30 and all(s.meaning(name) for name in s)
    assert (s.unit("nni"), s.unit("soil_c"), s.layers("nni"), s.layers("soil_c")) == ("-", "degC", 1, 4)
    for name, term in (("plant_kg_n_ha", "plant"), ("leached_kg_n_ha", "leached"), ("unfreed_kg_n_ha", "unfreed"), ("taken_kg_n_ha", "taken")):
        assert s[name][-1] == getattr(ledger, term)
    assert (s["ammonium_kg_n_ha"] + s["nitrate_kg_n_ha"])[-1].sum() == pytest.approx(ledger.mineral, rel=1e-12)


def test_dates_are_the_season(run):
    assert run.dates.dtype == "datetime64[D]" and not run.dates.flags.writeable
    assert (run.dates[0].astype(object), run.dates[-1].astype(object)) == (run.first_day, run.last_day)
    assert (run.first_day.month, run.first_day.day, run.last_day.month, run.last_day.day, run.last_day.year) == (11, 1, 10, 31, run.season)
    assert all(len(run.series[c][n]) == len(run.dates) for c in run.series for n in run.series[c])


def test_the_season_may_be_chosen(garden):
    assert garden.season_asked in garden.seasons
    year = garden.seasons[0]
    run = garden.season(np.int64(year), reasons=np.False_)
    assert run.season == year and run.first_day.year == year - 1 and not any(c.reasons for c in run.columns.values())


def test_reasons_come_first_things_first(run):
    told = [c for c in run.columns.values() if c.reasons]
    assert told
    for c in told:
        assert {r.key for r in c.reasons} == {"cold", "dry", "washed", "gas", "slow", "far"}
        moved = [r.moved_d for r in c.reasons]
        assert moved == sorted(moved, reverse=True)


def test_cautions_and_notes_are_there(run):
    assert run.cautions and all(c.key and c.words for c in run.cautions)
    assert len(run.feedings) == 5 and run.trips == 1 and run.cost > 0


# ---- data frames ----------------------------------------------------------------------------------------------------

class _Pandas(types.ModuleType):
    """Stands in for pandas where it is not installed: keeps what it is given."""

    class DatetimeIndex:
        def __init__(self, values, name):
            self.values, self.name = values, name

    class DataFrame:
        def __init__(self, data, index):
            self.data, self.index = data, index


def test_a_data_frame_has_a_column_for_each_layer(run, monkeypatch):
    monkeypatch.setitem(sys.modules, "pandas", _Pandas("pandas"))
    frame = run.to_dataframe("Bananas")
    s = run.series["Bananas"]
    assert frame.index.name == "date" and frame.index.values is run.dates
    np.testing.assert_array_equal(frame.data["nni"], s["nni"])
    np.testing.assert_array_equal(frame.data["soil_c_50_150_mm"], s["soil_c"][:, 1])
    assert len(frame.data) == sum(s.layers(n) for n in s)


def test_a_real_data_frame(run):
    pandas = pytest.importorskip("pandas", reason="pandas is optional")
    frame = run.to_dataframe("Bananas")
    assert isinstance(frame, pandas.DataFrame) and frame["nni"].iloc[-1] == run.series["Bananas"]["nni"][-1]


def test_without_pandas_one_sentence_says_so(run, monkeypatch):
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(ImportError, match=r"needs pandas, which is not installed \(Debian: python3-pandas\); run.series\[\"Bananas\"\] gives"):
        run.to_dataframe("Bananas")


# ---- years and top-ups ----------------------------------------------------------------------------------------------

def test_lasts_counts_its_own_years(lasts, garden):
    assert lasts.seasons == garden.seasons and list(lasts.plantings) == list(garden.plantings)
    for p in lasts.plantings.values():
        assert [y.season for y in p.years] == [y.season for y in p.unfed] == list(lasts.seasons)
        for years, kept in ((p.years, p.kept), (p.unfed, p.kept_unfed)):
            date = lambda y: datetime.date.fromisoformat(f"{y.season}-{lasts.carry_to}")
            assert kept == sum(y.outcome != "never-woke" and (y.first_short is None or y.first_short > date(y)) for y in years)
        assert (p.usual_first_short is None) == all(y.outcome != "short" for y in p.years)


def test_a_year_of_lasts_is_that_season(lasts, run):
    """The batch stepper's first short day is the reference stepper's within a day (steppers agree to 1e-5 of what is reported)."""
    for name, verdict in run.verdict.items():
        year = next(y for y in lasts.plantings[name].years if y.season == run.season)
        assert (year.first_short is None) == (verdict.first_short is None)
        if verdict.first_short:
            assert abs((year.first_short - verdict.first_short).days) <= 1
        assert year.taken_kg_n_ha == pytest.approx(run.columns[name].ledger.taken, rel=1e-4)


def test_topup_takes_what_is_preferred_of_the_grid_it_was_given(topups):
    assert list(topups.plantings) == ["Cannas", "Canna in the pot"]
    for p in topups.plantings.values():
        assert [(g.interval_d, g.dose_g_per_plant) for g in p.grid] == [(28, 20), (28, 60.5), (56, 20), (56, 60.5)]
        assert all(g.keeps == (g.kept >= topups.years_wanted) for g in p.grid)
        good = [g for g in p.grid if g.keeps and not g.scorches]
        if p.best is None:
            assert not good and not p.front and p.gives
        else:
            assert p.best == min(good, key=lambda g: (g.trips, g.cost, g.leached_g_n_m2)) == p.front[0]
    assert topups.searched.schedules == 8 and topups.prefer == ("trips", "cost", "leached")


def test_topup_takes_one_name_and_defaults(garden):
    answer = garden.topup("sulphate-of-ammonia", "Cannas", intervals_d=[70], doses_g_per_plant=[15])
    assert list(answer.plantings) == ["Cannas"] and answer.until == ("08-31",) and answer.plantings["Cannas"].grid == ()


def test_topup_chooses_among_feeds_days_and_aims(garden):
    ask = dict(intervals_d=[28, 42, 56], doses_g_per_plant=[10, 20, 40], first_after_d=[21, 30], until=["07-31", "08-31"])
    both = garden.topup(["dried-blood", "sulphate-of-ammonia"], "Bananas", prefer=["cost"], years=0.8, **ask)
    bananas = both.plantings["Bananas"]
    assert both.prefer == ("cost", "trips", "leached") and both.years_wanted == 12  # of 14
    assert both.searched.schedules == 2 * 3 * 3 * 2 * 2
    assert bananas.best.cost == min(p.cost for p in bananas.front)
    for material in ("dried-blood", "sulphate-of-ammonia"):  # what one feed alone can do is not better
        alone = garden.topup(material, "Bananas", prefer="cost", years="8/10", **ask).plantings["Bananas"].best
        assert alone is None or alone.cost >= bananas.best.cost
    assert [r["planting"] for r in both.rows] == ["Bananas"] * len(bananas.front)
    pandas = pytest.importorskip("pandas")
    frame = both.to_frame()
    assert isinstance(frame, pandas.DataFrame) and list(frame.cost) == [p.cost for p in bananas.front]
    assert both.to_csv().splitlines()[0].startswith("planting,material,interval_d,")
    assert len(both.to_csv().splitlines()) == 1 + len(bananas.front)


def test_topup_together_shares_the_days(garden):
    told = []
    answer = garden.topup("dried-blood", ["Bananas", "Cannas"], together=True, intervals_d=[42, 70], doses_g_per_plant=[28, 56, 84],
                          progress=lambda done, of: told.append(done / of))
    best = answer.together[0]
    assert set(best.doses) == {"Bananas", "Cannas"}
    assert len({(p.first, p.last, p.interval_d) for p in best.doses.values()}) == 1
    assert best.cost == pytest.approx(sum(p.cost for p in best.doses.values()))
    assert best.trips == max(p.trips for p in best.doses.values())
    assert all(0 <= t <= 1 for t in told)


# ---- trace ----------------------------------------------------------------------------------------------------------

def test_trace_ends_where_the_season_does(garden, run):
    trace = garden.trace("Bananas", run.season)
    assert trace.states.shape == (len(run.dates), len(trace.rows)) and trace.start.shape == (len(trace.rows),)
    np.testing.assert_array_equal(trace.dates, run.dates)
    np.testing.assert_allclose(trace.state("plant"), run.series["Bananas"]["plant_kg_n_ha"], rtol=1e-4)
    assert trace.slot_material == ("concentrated-manure-powder",) and len(trace.doses) == 1
    assert run.dates[trace.doses[0]["day"]] == np.datetime64(f"{run.season}-04-15")
    np.testing.assert_array_equal(trace.forcings["t_c"], run.series["Bananas"]["soil_c"])
    assert trace.forcings["rain_mm"].shape == (len(run.dates),) and trace.evaluations > len(run.dates)


def test_both_steppers_agree_and_finer_steps_agree_better(garden):
    name, year = "Cannas", garden.seasons[1]
    fine = garden.trace(name, year, absolute_kg_ha=1e-10, relative=1e-10).states
    scale = np.abs(fine).max(axis=0) + 1e-9
    error = [np.max(np.abs(garden.trace(name, year, stepper="batch", refine=k).states - fine) / scale) for k in (1, 4)]
    assert error[0] < 1e-3 and error[1] < error[0] / 4


# ---- notebook faces -------------------------------------------------------------------------------------------------

def test_html_is_small_and_escaped(tmp_path):
    written = json.loads(DEMO.read_text())
    written["garden"]["name"] = written["garden"]["note"] = "<script>alert('Mole & Co')</script>"
    written["weather"]["file"] = str(DEMO.parent / written["weather"]["file"])
    written["beds"] = [b for b in written["beds"] if b["name"] == "Hungry bed"]
    written["beds"][0]["plantings"] = [{"name": "<b>Bananas", "plant": "hardy-banana"}]
    written["feedings"] = []
    path = tmp_path / "garden.json"
    path.write_text(json.dumps(written))
    garden = lh.load(path)
    run = garden.season(reasons=False)
    for thing in (garden, run, run.series["<b>Bananas"], lh.plugins(), lh.responses()):
        html = thing._repr_html_()
        assert "<script" not in html and "<b>" not in html and len(html) < 12_000
    assert "&lt;b&gt;Bananas" in run._repr_html_() and "Mole &amp; Co" in run._repr_html_()


def test_html_names_version_plugins_and_every_planting(run):
    html = run._repr_html_()
    assert lh.__version__ in html and "organic-two-pool" in html
    assert all(name in html for name in run.verdict)


def test_reprs_are_one_line(garden, run, lasts, topups):
    for thing in (garden, run, lasts, topups, run.series["Bananas"], run.columns["Bananas"], lh.plugins()):
        assert "\n" not in repr(thing) and repr(thing).startswith("<leafhunger.")
    assert lasts._repr_html_() and topups._repr_html_()


# ---- the package itself ---------------------------------------------------------------------------------------------

def public(thing):
    return [(n, m) for n, m in vars(thing).items() if not n.startswith("_") and (inspect.isfunction(m) or isinstance(m, (property, classmethod)))]


def test_everything_public_is_documented():
    assert sorted(lh.__all__) == lh.__all__ and len(set(lh.__all__)) == len(lh.__all__)
    for name in lh.__all__:
        thing = getattr(lh, name)
        if name == "__version__":
            continue
        assert inspect.getdoc(thing), name
        if inspect.isclass(thing):
            for method, member in public(thing):
                doc = inspect.getdoc(member)
                assert doc and "::" not in doc, f"{name}.{method}"


def test_keyword_only_beyond_two_arguments():
    natural = {"incubate"}  # material, temperature, days
    positional = (inspect.Parameter.POSITIONAL_ONLY, inspect.Parameter.POSITIONAL_OR_KEYWORD)
    for name in lh.__all__:
        thing = getattr(lh, name)
        functions = {name: thing} if inspect.isfunction(thing) else dict(m for m in public(thing) if inspect.isfunction(m[1])) if inspect.isclass(thing) else {}
        for f, function in functions.items():
            given = [p for p in inspect.signature(function).parameters.values() if p.kind in positional and p.name != "self"]
            assert len(given) <= (3 if f in natural else 2), f


def test_the_stub_is_the_module():
    stub = ast.parse(STUB.read_text())
    told = {}
    for node in stub.body:
        if isinstance(node, ast.FunctionDef):
            told[node.name] = [a.arg for a in node.args.args]
        elif isinstance(node, ast.AnnAssign):
            told[node.target.id] = None
        elif isinstance(node, ast.ClassDef):
            told[node.name] = {m.name: [a.arg for a in m.args.args] for m in node.body}
    engine = sys.modules["leafhunger._engine"]
    assert set(told) == {n for n in dir(engine) if not n.startswith("__")}
    for name, members in told.items():
        if isinstance(members, dict):
            real = {n for n in vars(getattr(engine, name)) if not n.startswith("_")}
            assert real == set(members) - {"__init__"}, name
        elif members is not None:
            doc = getattr(engine, name).__doc__.splitlines()[0]
            assert all(f"{argument}: " in doc for argument in members), (name, doc)


def test_the_package_is_typed():
    assert (PACKAGE / "py.typed").exists()
    for file in sorted((ROOT / "python" / "leafhunger").glob("*.py")):
        for node in ast.walk(ast.parse(file.read_text())):
            if isinstance(node, ast.FunctionDef):
                untyped = [a.arg for a in node.args.args + node.args.kwonlyargs if a.annotation is None and a.arg not in ("self", "cls")]
                assert node.returns is not None and not untyped, f"{file.name}: {node.name}"
