"""Release models written in Python: the same bytes as compiled ones, one thread, and one sentence for each fault."""
import gc
import json
import pathlib
import subprocess
import sys
import textwrap
import threading

import numpy as np
import pytest

import leafhunger as lh

SCENARIOS = pathlib.Path(__file__).resolve().parents[2] / "scenarios"
FIRST_MORNING = "2023-04-15"  # of the feed in the garden below


@pytest.fixture(autouse=True)
def forgotten():
    yield
    for name in list(lh._places.registered):
        lh.unregister(name)


class Salt:
    """plugins/release/soluble_salt.cpp, line for line."""

    name, version, summary, source = "py-salt", "1", "nitrate and ammonium salts", "the compiled model, written again"
    parameters = [lh.Parameter("nitrate_frac", "-", 0.5, 0, 1, "share that is nitrate", "label"),
                  lh.Parameter("dissolved_wash_mm", "mm", 4, 0, 1e6, "rain", "as the plugin's"), lh.Parameter("dew_per_day", "1/d", 0.05, 0, 1, "dew", "a guess")]
    pools = [lh.Pool("nitrate on top", place="surface", wash_to="nitrate", wash_mm="dissolved_wash_mm", mix_per_day="dew_per_day")]

    def initial(self, given, parameters):
        nitrate = parameters["nitrate_frac"]
        return {"nitrate on top": given * nitrate, "surface ammonium": given * (1 - nitrate)}

    def rates(self, day, pools, parameters):
        return {}


class FirstOrder:
    """tests/plugins/good/first_order_nitrate.cpp, line for line."""

    name, version, summary, source = "py-first-order", "1", "one pool that turns to nitrate", "Stanford & Smith 1972"
    parameters = [lh.Parameter("per_week", "1/week", 0.054, 0.001, 1, "rate", "Stanford & Smith 1972"), lh.Parameter("reference_c", "degC", 35, 0, 40, "reference", "same"),
                  lh.Parameter("activation_kj_mol", "kJ/mol", 43.7, 0, 100, "activation energy", "same"),
                  lh.Parameter("wash_mm", "mm", 10, 0, 1e6, "rain", "a guess"), lh.Parameter("mix_per_day", "1/d", 0.01, 0, 1, "soil life", "a guess")]
    responses = [lh.Response("on top", "arrhenius", "flat", "surface", "reference_c", "activation_kj_mol"),
                 lh.Response("in soil", "arrhenius", "relative_water", "soil", "reference_c", "activation_kj_mol")]
    pools = [lh.Pool("bound on top", place="surface", wash_to="bound in soil", wash_mm="wash_mm", mix_per_day="mix_per_day"), lh.Pool("bound in soil")]
    flows = [lh.Flow("freed on top", "bound on top", "nitrate"), lh.Flow("freed in soil", "bound in soil", "nitrate")]

    def initial(self, given, parameters):
        return {"bound on top": given}

    def rates(self, day, pools, parameters):
        return parameters["per_week"] / 7 * day.response.array


def garden(tmp_path, model, name="garden.json", plugins=(), **parameters):
    """One bed of two plantings, fed twice with a material that names the model."""
    written = {
        "format": 1, "garden": {"name": "Yard", "note": "invented", "latitude_deg": 50.3}, "weather": {"file": str(SCENARIOS / "saltmarsh-weather.csv")},
        "question": {"season": 2023},
        "beds": [{"name": "Bed", "area_m2": 8, "soil": {"texture": "loam"},
                  "plantings": [{"name": "Bananas", "plant": "hardy-banana", "count": 2}, {"name": "Cannas", "plant": "canna", "count": 4}]}],
        "feedings": [{"material": "grains", "on": "04-15", "bed": "Bed", "amount": {"grams": 80, "per": "m2"}, "again": {"every_days": 40, "until": "06-30"}},
                     {"material": "grains", "on": "05-01", "plantings": ["Cannas"], "amount": {"grams": 40, "per": "plant"}, "forked_in_mm": 100}],
        "materials": {"grains": {"title": "Grains", "model": model, "n_percent": 10, "form": "granule", "bulk_density_kg_m3": 800, "price_per_kg": 1,
                                 "parameters": parameters}}}
    path = tmp_path / name
    path.write_text(json.dumps(written))
    return lh.load(path, plugins)


def compiled_samples():
    """The folder of the tests' own compiled plugins, where the tests were built."""
    import os
    for folder in os.environ.get("LEAFHUNGER_PLUGIN_PATH", "").split(os.pathsep):
        good = pathlib.Path(folder).parents[2] / "tests" / "plugins" / "good"
        if good.is_dir():
            return good
    pytest.skip("the sample plugins of the C++ tests are not built")


def assert_same_bytes(a, b):
    for name in a.columns:
        for series, values in a.series[name].items():
            np.testing.assert_array_equal(values, b.series[name][series], err_msg=f"{name}, {series}")


# ---- the same as compiled -------------------------------------------------------------------------------------------

def test_a_rewritten_salt_gives_the_same_bytes(tmp_path):
    lh.register(Salt)
    ours, theirs = garden(tmp_path, "py-salt", nitrate_frac=0.3), garden(tmp_path, "soluble-salt", "c.json", nitrate_frac=0.3)
    assert_same_bytes(ours.season(), theirs.season())
    assert str(ours.lasts()) == str(theirs.lasts()), "batches of many members too"
    ask = {"intervals_d": [28, 42], "doses_g_per_plant": [20.0]}
    assert str(ours.topup("grains", "Bananas", **ask)) == str(theirs.topup("grains", "Bananas", **ask))
    a, b = (g.trace("Cannas", stepper="batch").states for g in (ours, theirs))
    np.testing.assert_array_equal(a, b)


def test_a_rewritten_pool_gives_the_same_bytes(tmp_path):
    folder = compiled_samples()
    lh.register(FirstOrder())
    ours, theirs = garden(tmp_path, "py-first-order"), garden(tmp_path, "sample-first-order-nitrate", "c.json", folder)
    assert_same_bytes(ours.season(), theirs.season())
    jar = [lh.incubate(lh.Material("G", m), [5, 15, 35], [7, 70], moisture=0.4, plugins=folder) for m in ("py-first-order", "sample-first-order-nitrate")]
    np.testing.assert_array_equal(*jar)


def test_a_jar_follows_its_closed_form():
    """1 - exp(-kt): 0.054 a week at 35 degC (Stanford & Smith 1972), within the jar's own 1e-9."""
    lh.register(FirstOrder)
    weeks = np.array([1, 10, 30])
    np.testing.assert_allclose(lh.incubate(lh.Material("G", "py-first-order"), 35, 7 * weeks)[0], 1 - np.exp(-0.054 * weeks), atol=1e-8)


def test_microbes_may_take_from_the_soil(tmp_path):
    """A flow from mineral N, driven by a pool, starves: a jar with plenty ties up k x N a day from the start."""

    @lh.register
    class Straw:
        name, version, summary, source = "py-straw", "1", "ties up", "invented"
        pools = [lh.Pool("straw"), lh.Pool("microbes", kind="microbes")]
        flows = [{"name": "eaten", "donor": "straw", "to": "microbes", "starves": True}, {"name": "tied up", "donor": "mineral", "to": "microbes", "driver": "straw"}]

        def initial(self, given, parameters):
            return {"straw": given}

        def rates(self, day, pools, parameters):
            return {"eaten": 0.05, "tied up": 0.1}

    share = lh.incubate(lh.Material("S", "py-straw"), 15, [0, 10, 100])[0]
    np.testing.assert_allclose(share, [0, -2 * (1 - np.exp(-0.5)), -2 * (1 - np.exp(-5))], atol=1e-6)


def test_it_is_told_the_day_and_all_its_members(tmp_path):
    seen = []

    @lh.register
    class Curious(Salt):
        name = "curious"
        flows = [lh.Flow("gone", "nitrate on top", "air")]

        def rates(self, day, pools, parameters):
            assert len(pools) == 1 and len(parameters) == 3 and list(parameters) == [p.name for p in Salt.parameters]
            assert pools["nitrate on top"].shape == pools[0].shape == (day.members,) and np.asarray(pools).shape == (1, day.members)
            for row in (day.t_min_c, day.rain_mm, day.t_soil_c, day.wfps_frac, day.age_d, day.given_kg_n_ha, day.day_of_year):
                assert row.shape == (day.members,) and np.isfinite(row).all()
            pools[0][:] = -1  # a copy: nobody minds
            seen.append((day.members, float(day.given_kg_n_ha[0]), float(day.age_d[0])))
            return np.zeros((1, day.members))

    curious = garden(tmp_path, "curious")
    curious.season(reasons=False)
    assert max(given for _, given, _ in seen) == pytest.approx(2 * 80, rel=0.2) and max(age for *_, age in seen) > 150
    curious.lasts()
    assert {members for members, *_ in seen} >= {1, len(curious.seasons)}


def test_one_thread_and_no_lock_held_for_ever(tmp_path):
    threads = set()

    @lh.register
    class Where(Salt):
        name = "where"

        def rates(self, day, pools, parameters):
            threads.add(threading.get_ident())
            return {}

    asked = garden(tmp_path, "where")
    asked.season(), asked.lasts()
    assert threads == {threading.get_ident()}
    # Several threads of Python may each run such a garden; none waits for ever.
    done = []
    workers = [threading.Thread(target=lambda: done.append(str(asked.season(reasons=False)))) for _ in range(3)]
    for w in workers:
        w.start()
    for w in workers:
        w.join(120)
    assert len(done) == 3 and len(set(done)) == 1


def test_registering_a_name_again_replaces_it_for_what_is_loaded_later(tmp_path):
    lh.register(Salt)
    before = garden(tmp_path, "py-salt")
    first = str(before.season(reasons=False))

    class Anew(Salt):
        def initial(self, given, parameters):
            return {"nitrate on top": given}

    lh.register(Anew)
    assert str(before.season(reasons=False)) == first
    assert str(garden(tmp_path, "py-salt").season(reasons=False)) != first
    lh.unregister("py-salt")
    assert str(before.season(reasons=False)) == first
    with pytest.raises(lh.InputError, match='"py-salt"'):
        garden(tmp_path, "py-salt")
    with pytest.raises(lh.PluginError, match="not registered"):
        lh.unregister("py-salt")


def test_it_is_listed_and_the_command_never_sees_it(tmp_path):
    assert lh.register(Salt) is Salt
    model = lh.plugins().models["py-salt"]
    assert (model.kind, model.origin, model.licence) == ("release", "Python: Salt", "not given") and model.parameters[0].name == "nitrate_frac"
    assert "registered by Python in this process" in str(lh.plugins()) and "Python: Salt: py-salt" in str(lh.plugins())
    garden(tmp_path, "py-salt")
    import os
    answer = subprocess.run([os.environ["LEAFHUNGER_CLI"], "season", tmp_path / "garden.json"], capture_output=True, text=True)
    assert answer.returncode == 2 and '"py-salt"' in answer.stderr


def test_curves_take_it_too():
    lh.register(FirstOrder)
    c = lh.curves([lh.Material("Grains", "py-first-order", spread={"per_week": 0.009})], temps=[35], days=[70])
    assert c.freed_frac[0, 0, 0, 0] == pytest.approx(1 - np.exp(-0.54), abs=1e-8)
    assert c.spread_frac[0, 0, 0, 0] == pytest.approx(10 * np.exp(-0.54) * 0.009, rel=0.01)


# ---- room -----------------------------------------------------------------------------------------------------------

def numbered(i):
    return type(f"Salt{i}", (Salt,), {"name": f"salt-{i}"})


def test_thirty_two_have_room_and_one_more_is_refused():
    for i in range(32):
        lh.register(numbered(i))
    with pytest.raises(lh.PluginError, match="salt-32: 32 models written in Python live") as caught:
        lh.register(numbered(32))
    assert caught.value.at_load and "salt-32" not in lh.plugins().models
    lh.unregister("salt-0")
    gc.collect()
    lh.register(numbered(32))
    np.testing.assert_allclose(lh.incubate(lh.Material("S", "salt-32"), 15, 3), 1, atol=1e-12)


# ---- faults while running -------------------------------------------------------------------------------------------

def shares(**values):
    return lambda self, given, parameters: {k.replace("_", " "): v * given for k, v in values.items()}


class Grains:
    name, version, summary, source = "grains", "1", "a test", "invented"
    parameters = [lh.Parameter("per_day", "1/d", 0.1, 0, 1, "speed", "invented")]
    pools = [lh.Pool("top", place="surface", wash_to="soil"), lh.Pool("soil")]
    flows = [lh.Flow("freed", "top", "surface ammonium"), lh.Flow("out", "soil", "ammonium")]

    def initial(self, given, parameters):
        return {"top": given}

    def rates(self, day, pools, parameters):
        return {"freed": parameters["per_day"], "out": 0.1}


def crash(self, *_):
    return 1 / 0


RATES = [
    pytest.param(crash, ["raised ZeroDivisionError: division by zero"], id="raises"),
    pytest.param(lambda s, d, p, k: k["per_dya"], ["raised KeyError", "per_day"], id="unknown parameter"),
    pytest.param(lambda s, d, p, k: None, ["returned nothing"], id="returns nothing"),
    pytest.param(lambda s, d, p, k: {"freed": 0.1}, ['returned nothing for the flow "out"'], id="a flow left out"),
    pytest.param(lambda s, d, p, k: {"freed": 0.1, "out": 0.1, "outt": 0}, ['"outt"', 'did you mean "out"'], id="a flow too many"),
    pytest.param(lambda s, d, p, k: {"freed": -0.1, "out": 0.1}, ['returned -0.1 for the flow "freed"', "0 or above"], id="negative"),
    pytest.param(lambda s, d, p, k: {"freed": 0.1, "out": np.nan}, ['returned nan for the flow "out"'], id="no number"),
    pytest.param(lambda s, d, p, k: {"freed": np.inf, "out": 0.1}, ["returned inf"], id="infinite"),
    pytest.param(lambda s, d, p, k: {"freed": np.zeros(5), "out": 0.1}, ["shaped (5,)", "(1,)"], id="wrong number of members"),
    pytest.param(lambda s, d, p, k: np.zeros((3, d.members)), ["shaped (3, 1)", "(2, 1)"], id="wrong number of rows"),
    pytest.param(lambda s, d, p, k: {"freed": "fast", "out": 0.1}, ["returned str", "wanted: numbers"], id="text"),
    pytest.param(lambda s, d, p, k: object(), ["returned object"], id="anything"),
]
INITIAL = [
    pytest.param(crash, ["raised ZeroDivisionError"], id="raises"),
    pytest.param(shares(top=1.5), ["hands out 1.5 of each 1"], id="frees more than it holds"),
    pytest.param(shares(top=0.9), ["hands out 0.9 of each 1"], id="keeps some back"),
    pytest.param(shares(top=1.1, soil=-0.1), ['for the pool "soil"', "0 or above"], id="owes"),
    pytest.param(shares(top=np.nan), ["returned nan"], id="no number"),
    pytest.param(shares(tip=1.0), ['"tip"', 'did you mean "top"'], id="unknown pool"),
    pytest.param(lambda s, given, k: np.zeros((7, 1)), ["shaped (7, 1)"], id="wrong shape"),
    pytest.param(lambda s, given, k: None, ["returned nothing"], id="returns nothing"),
]


def model_with(method, function):
    return type("Faulty", (Grains,), {method: function})


@pytest.mark.parametrize("method, function, says", [pytest.param("rates", *p.values, id=f"rates {p.id}") for p in RATES]
                         + [pytest.param("initial", *p.values, id=f"initial {p.id}") for p in INITIAL])
def test_a_fault_stops_the_run_with_one_sentence(tmp_path, method, function, says):
    lh.register(model_with(method, function))
    faulty = garden(tmp_path, "grains")
    for call in (faulty.season, faulty.lasts, lambda: faulty.trace("Cannas"), lambda: lh.incubate(lh.Material("G", "grains"), 15, 3)):
        with pytest.raises(lh.PluginError) as caught:
            call()
        sentence = str(caught.value)
        assert not caught.value.at_load and "\n" not in sentence
        assert sentence.startswith(f"model grains: `{method}` ") and " on 20" in sentence[-14:]
        if call == faulty.season:  # the others run more members at once, and say so
            for words in says:
                assert words in sentence
    with pytest.raises(lh.PluginError, match="2023-04-15" if method == "initial" else "2022-11-01"):
        faulty.season()


def test_what_was_raised_is_the_cause(tmp_path):
    lh.register(model_with("rates", crash))
    with pytest.raises(lh.PluginError) as caught:
        garden(tmp_path, "grains").season()
    assert isinstance(caught.value.__cause__, ZeroDivisionError)
    assert caught.value.__cause__.__traceback__ is not None


def test_a_fault_late_in_the_season_names_its_day(tmp_path):
    def rates(self, day, pools, parameters):
        return {"freed": 0.1, "out": np.where(day.age_d >= 20, -1, 0.1)}

    lh.register(model_with("rates", rates))
    with pytest.raises(lh.PluginError, match="returned -1 for the flow \"out\".* on 2023-05-05"):
        garden(tmp_path, "grains").season()


def test_a_fault_leaves_nothing_behind(tmp_path):
    lh.register(model_with("rates", crash))
    faulty = garden(tmp_path, "grains")
    with pytest.raises(lh.PluginError):
        faulty.season()
    lh.register(Salt)
    assert garden(tmp_path, "py-salt", "b.json").season()
    with pytest.raises(lh.InputError):  # of another kind, and not dressed as the model's
        lh.incubate("no-such-feed", 15, 3)


def test_whoever_wants_to_stop_stops(tmp_path):
    def rates(self, day, pools, parameters):
        raise KeyboardInterrupt

    lh.register(model_with("rates", rates))
    with pytest.raises(KeyboardInterrupt):
        garden(tmp_path, "grains").season()


# ---- what is refused when it is registered --------------------------------------------------------------------------

def declared(**changed):
    return type("Faulty", (Grains,), changed)


@pytest.mark.parametrize("changed, says", [
    ({"name": ""}, ["Faulty", "`name`"]),
    ({"name": 7}, ["`name` is 7"]),
    ({"name": "soluble-salt"}, ["soluble-salt", "taken already", "soluble_salt.so"]),
    ({"version": None}, ["`version`"]),
    ({"summary": " "}, ["`summary`"]),
    ({"pools": []}, ["`pools` is empty"]),
    ({"pools": "top"}, ["`pools` must be a list of Pool"]),
    ({"pools": [3]}, ["row of `pools` is int"]),
    ({"pools": [{"nmae": "top"}]}, ["a row of `pools` does not fit", "name, place, kind"]),
    ({"pools": [lh.Pool("top", place="air")]}, ['place of the pool "top" is "air"', '"surface" or "soil"']),
    ({"pools": [lh.Pool("top", kind="rock")]}, ['kind of the pool "top"']),
    ({"pools": [lh.Pool("ammonium")]}, ['"ammonium" is called like something of the host']),
    ({"pools": [lh.Pool("top", place="surface"), lh.Pool("soil")]}, ["washes into nothing"]),
    ({"pools": [lh.Pool("top", place="surface", wash_to="soli"), lh.Pool("soil")]}, ['names the pool "soli"', 'did you mean "soil"']),
    ({"pools": [lh.Pool("top", place="surface", wash_to="soil", wash_mm="rain"), lh.Pool("soil")]}, ['the parameter "rain"', "not declared"]),
    ({"pools": [lh.Pool("soil"), lh.Pool("soil"), lh.Pool("top", place="surface", wash_to="soil")]}, ["soil", "twice"]),
    ({"flows": [lh.Flow("freed", "tpo", "air")]}, ['the pool "tpo"', 'did you mean "top"']),
    ({"flows": [lh.Flow("freed", "top", "mineral")]}, ["freed", "nothing that can take"]),
    ({"flows": [lh.Flow("freed", "nitrate", "top")]}, ["freed", "nothing that can give"]),
    ({"flows": [lh.Flow("freed", "mineral", "soil")]}, ["freed", "driven"]),
    ({"responses": [lh.Response("r", temperature="hot")]}, ["names no known temperature law"]),
    ({"responses": [lh.Response("r", "q10", q="Q")]}, ['the parameter "Q"']),
    ({"parameters": [lh.Parameter("per_day", "1/d", 5, 0, 1, "m", "s")]}, ["per_day", "default within finite bounds"]),
    ({"parameters": [lh.Parameter("per_day", "1/d", np.nan, 0, 1, "m", "s")]}, ["per_day", "finite"]),
    ({"parameters": [lh.Parameter("per_day", "1/d", "0.1", 0, 1, "m", "s")]}, ["default of the parameter", "number belongs"]),
    ({"parameters": [lh.Parameter("per_day", "1/d", 0.1, 0, 1, "", "s")]}, ["per_day", "meaning"]),
    ({"initial": None}, ["has no method `initial`"]),
    ({"rates": 3}, ["has no method `rates`"]),
], ids=lambda v: " ".join(v) if isinstance(v, list) else None)
def test_a_malformed_model_is_refused(changed, says):
    with pytest.raises(lh.PluginError) as caught:
        lh.register(declared(**changed))
    sentence = str(caught.value)
    assert caught.value.at_load and "\n" not in sentence
    for words in says:
        assert words in sentence
    assert not lh._places.registered


def test_a_class_that_cannot_be_made_is_refused():
    class Needy(Grains):
        def __init__(self, something):
            pass

    with pytest.raises(lh.PluginError, match="Needy: cannot be made without arguments"):
        lh.register(Needy)
    lh.register(Needy(3))


def test_a_refused_one_leaves_its_forerunner():
    lh.register(Grains)
    with pytest.raises(lh.PluginError):
        lh.register(declared(pools=[]))
    assert "grains" in lh.plugins().models


def test_python_ends_quietly_with_models_still_alive(tmp_path):
    """At the end of the process gardens and models go in any order."""
    code = textwrap.dedent("""
        import sys
        sys.path.insert(0, sys.argv[1])
        from test_register import Salt, garden
        import pathlib, leafhunger as lh
        lh.register(Salt)
        kept = garden(pathlib.Path(sys.argv[2]), "py-salt")
        run = kept.season(reasons=False)
        print(len(run.verdict))
    """)
    answer = subprocess.run([sys.executable, "-c", code, str(pathlib.Path(__file__).parent), str(tmp_path)], capture_output=True, text=True)
    assert (answer.returncode, answer.stdout, answer.stderr) == (0, "2\n", "")
