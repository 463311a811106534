"""Errors are the engine's, kept whole: which class, which parts, one sentence."""
import json
import pathlib
import pickle
import subprocess
import textwrap

import numpy as np
import pytest

import leafhunger as lh
from leafhunger import _engine

ROOT = pathlib.Path(__file__).resolve().parents[2]
DEMO = ROOT / "scenarios" / "saltmarsh-lane.json"
BAD = ROOT / "tests" / "bad"


@pytest.fixture(scope="module")
def garden():
    return lh.load(DEMO)


def test_the_tree_of_classes():
    assert issubclass(lh.InputError, lh.Error) and issubclass(lh.InputError, ValueError)
    for kind in (lh.PluginError, lh.SolverError, lh.LedgerError):
        assert issubclass(kind, lh.Error) and not issubclass(kind, ValueError)
    assert issubclass(lh.Error, Exception)


def changed(tmp_path, change):
    """The demo with something changed, in a folder of its own."""
    written = json.loads(DEMO.read_text())
    written["weather"]["file"] = str(DEMO.parent / written["weather"]["file"])
    change(written)
    path = tmp_path / "garden.json"
    path.write_text(json.dumps(written, indent=1))
    return path


def test_an_input_error_keeps_its_parts(tmp_path):
    def change(written):
        written["beds"][0]["plantings"][0]["plant"] = "hardy-bananna"

    path = changed(tmp_path, change)
    with pytest.raises(lh.InputError) as caught:
        lh.load(path)
    e = caught.value
    assert e.file == str(path) and e.place.endswith("/beds/0/plantings/0/plant") and e.place.startswith("line ")
    assert "hardy-bananna" in e.found and '"hardy-banana"' in e.hint and e.allowed
    assert str(e) == f"{e.file}, {e.place}: found {e.found}; allowed is {e.allowed}; {e.hint}."


def test_an_input_error_can_be_pickled(tmp_path):
    with pytest.raises(lh.InputError) as caught:
        lh.load(tmp_path / "none.json")
    again = pickle.loads(pickle.dumps(caught.value))
    assert type(again) is lh.InputError and str(again) == str(caught.value) and vars(again) == vars(caught.value)
    plugin = pickle.loads(pickle.dumps(lh.PluginError("sentence", at_load=True)))
    assert plugin.at_load and str(plugin) == "sentence"


def test_broken_json_names_line_and_column(tmp_path):
    path = tmp_path / "garden.json"
    path.write_text('{"format": 1,\n "garden": }')
    with pytest.raises(lh.InputError, match="line 2, column 12"):
        lh.load(path)


def test_the_command_says_the_same(tmp_path):
    path = changed(tmp_path, lambda w: w["feedings"][0].update(on="04-31"))
    cli = pathlib.Path(lh.__file__).parents[2] / "bin" / "leafhunger"
    told = subprocess.run([cli, "check", path], capture_output=True, text=True)
    with pytest.raises(lh.InputError) as caught:
        lh.load(path)
    assert told.returncode == 2 and told.stderr == f"leafhunger: {caught.value}\n"


def test_an_unknown_model_tells_what_was_searched(tmp_path):
    def change(written):
        written["materials"] = {"mine": {"title": "Mine", "model": "organic-two-pol", "n_percent": 4, "form": "powder", "bulk_density_kg_m3": 700,
                                         "price_per_kg": 1, "parameters": {}}}
        written["feedings"][0]["material"] = "mine"

    with pytest.raises(lh.InputError) as caught:
        lh.load(changed(tmp_path, change))
    assert "organic-two-pool" in caught.value.hint and "searched" in str(caught.value)


# Wrong arguments: the call, the place named, words that must be in the sentence.
@pytest.mark.parametrize("call, place, words", [
    (lambda g: g.season(1900), "", "1900"),
    (lambda g: g.season("2024"), "year", '"2024"'),
    (lambda g: g.season(2020.5), "year", "2020.5"),
    (lambda g: g.season(True), "year", "True"),
    (lambda g: g.season(10**20), "year", "whole number"),
    (lambda g: g.season(reasons="yes"), "reasons", "True or False"),
    (lambda g: g.topup("dried-bloot"), "material", "dried-blood"),
    (lambda g: g.topup("dried-bloot"), "material", "garden.materials lists them all"),
    (lambda g: g.topup(None), "material", "None"),
    (lambda g: g.topup("dried-blood", "Banana"), "plantings", "Bananas"),
    (lambda g: g.topup("dried-blood", ["Bananas", 3]), "plantings", "3"),
    (lambda g: g.topup("dried-blood", 3), "plantings", "3"),
    (lambda g: g.topup("dried-blood", intervals_d=[]), "intervals_d", "interval"),
    (lambda g: g.topup("dried-blood", intervals_d=[14.5]), "intervals_d", "14.5"),
    (lambda g: g.topup("dried-blood", intervals_d="14"), "intervals_d", "14"),
    (lambda g: g.topup("dried-blood", intervals_d=[0]), "intervals_d", "0"),
    (lambda g: g.topup("dried-blood", first_after_d=0), "first_after_d", "0"),
    (lambda g: g.topup("dried-blood", leached_at_most_g_n_m2=-1), "leached_at_most_g_n_m2", "-1"),
    (lambda g: g.topup("dried-blood", until="01-01"), "until", "give until a later day or first_after_d a smaller number"),
    (lambda g: g.topup("dried-blood", until="04-31"), "until", "no year has such a day"),
    (lambda g: g.topup("dried-blood", until="31-08"), "until", 'the month comes first: "08-31"'),
    (lambda g: g.topup("dried-blood", doses_g_per_plant=[]), "doses_g_per_plant", "no dose"),
    (lambda g: g.topup("dried-blood", doses_g_per_plant=[float("nan")]), "doses_g_per_plant", "nan"),
    (lambda g: g.topup("dried-blood", doses_g_per_plant=[-1.0]), "doses_g_per_plant", "-1"),
    (lambda g: g.topup("dried-blood", until="31-08"), "until", "31-08"),
    (lambda g: g.topup("dried-blood", until=3), "until", "3"),
    (lambda g: g.topup([]), "material", "[]"),
    (lambda g: g.topup("dried-blood", together="yes"), "together", "yes"),
    (lambda g: g.topup("dried-blood", prefer="price"), "prefer", "price"),
    (lambda g: g.topup("dried-blood", years="most"), "years", "most"),
    (lambda g: g.topup("dried-blood", years=95), "years", 'found 95; allowed is so many years of so many, such as "9/10"'),
    (lambda g: g.enough(doses=[-1]), "doses", "such as doses=[0.5, 1, 1.5, 2, 3]"),
    (lambda g: g.enough(dates=["04-31"]), "dates", "no year has such a day"),
    (lambda g: g.enough(dates=["02-30"]), "dates", "no year has such a day"),
    (lambda g: g.enough(dates=["4-3"]), "dates", "month first, two digits each"),
    (lambda g: g.today("2024-13-01"), "on", "there is no such day"),
    (lambda g: g.today("2023-02-29"), "on", "there is no such day"),
    (lambda g: g.today("15 June"), "on", "give text or a datetime.date"),
    (lambda g: g.today("1800-02-20"), "on", "add the days that are missing"),
    (lambda g: g.topup("dried-blood", years=1.5), "years", "1.5"),
    (lambda g: g.topup("dried-blood", may_scorch=None), "may_scorch", "None"),
    (lambda g: g.topup("dried-blood", leached_at_most_g_n_m2="little"), "leached_at_most_g_n_m2", "little"),
    (lambda g: g.topup("dried-blood", leached_at_most_g_n_m2=-1), "", "-1"),
    (lambda g: g.topup("dried-blood", progress=3), "progress", "3"),
    (lambda g: g.topup("dried-blood", until="03-01"), "", "no day"),
    (lambda g: g.topup("dried-blood", first_after_d="soon"), "first_after_d", "soon"),
    (lambda g: g.trace("Banana"), "column", "Bananas"),
    (lambda g: g.trace("Bananas", 1900), "", "1900"),
    (lambda g: g.trace("Bananas", stepper="euler"), "stepper", "reference"),
    (lambda g: g.trace("Bananas", relative=0), "relative", "0"),
    (lambda g: g.trace("Bananas", absolute_kg_ha=np.inf), "absolute_kg_ha", "inf"),
    (lambda g: g.trace("Bananas", refine=0), "refine", "0"),
    (lambda g: g.trace("Bananas", refine=5000), "refine", "5000"),
    (lambda g: lh.load(None), "path", "None"),
    (lambda g: lh.load("a\0b"), "path", "a path"),
    (lambda g: lh.load(DEMO, "/no/such/folder"), "plugins", "no folder"),
    (lambda g: lh.load(DEMO, 7), "plugins", "7"),
    (lambda g: lh.load(DEMO, catalogue="/no/such/folder"), "", "/no/such/folder"),
    (lambda g: lh.plugins(["/no/such/folder"]), "plugins", "no folder"),
    (lambda g: lh.incubate("dried-bloot", 8, 14), "material", "dried-blood"),
    (lambda g: lh.incubate(3, 8, 14), "material", "3"),
    (lambda g: lh.incubate("dried-blood", 80, 14), "temperature_c", "80"),
    (lambda g: lh.incubate("dried-blood", [], 14), "temperature_c", "no temperature"),
    (lambda g: lh.incubate("dried-blood", "warm", 14), "temperature_c", "warm"),
    (lambda g: lh.incubate("dried-blood", float("nan"), 14), "temperature_c", "nan"),
    (lambda g: lh.incubate("dried-blood", 8, -1), "days", "-1"),
    (lambda g: lh.incubate("dried-blood", 8, 14.5), "days", "14.5"),
    (lambda g: lh.incubate("dried-blood", 8, 99999), "days", "99999"),
    (lambda g: lh.incubate("dried-blood", 8, []), "days", "no day"),
    (lambda g: lh.incubate("dried-blood", 8, 14, moisture=0), "moisture", "0"),
    (lambda g: lh.incubate("dried-blood", 8, 14, moisture=1.2), "moisture", "1.2"),
    (lambda g: lh.incubate("dried-blood", 8, 14, moisture="wet"), "moisture", "field-capacity"),
    (lambda g: lh.incubate("dried-blood", 8, 14, texture="lome"), "texture", "loam"),
    (lambda g: lh.incubate(lh.Material("Mine", "organic-two-pol"), 8, 14), "model", "organic-two-pool"),
    (lambda g: lh.incubate(lh.Material("Mine", "organic-two-pool", parameters={"fast_fraq": 0.5}), 8, 14), "", "fast_frac"),
    (lambda g: lh.incubate(lh.Material("Mine", "organic-two-pool", parameters={"fast_frac": 1.5}), 8, 14), "", "1.5"),
    (lambda g: lh.incubate(lh.Material("Mine", "organic-two-pool", parameters={"fast_frac": None}), 8, 14), "parameter fast_frac", "None"),
    (lambda g: lh.incubate(lh.Material("Mine", "organic-two-pool", 0), 8, 14), "n_percent", "0"),
    (lambda g: lh.incubate(lh.Material("Mine", "organic-two-pool", 1, 2000), 8, 14), "carbon_to_nitrogen", "2000"),
    (lambda g: lh.temperature_response("loyd_taylor"), "temperature response", "lloyd_taylor"),
    (lambda g: lh.temperature_response("q10")(8), "", "reference_c"),
    (lambda g: lh.temperature_response("q10")(8, reference_c="x", q=2), "reference_c", "x"),
    (lambda g: lh.moisture_response("relative_wett"), "moisture response", "relative_wet"),
    (lambda g: lh.moisture_response("relative_wet")(0.5, texture="mud"), "texture", "mud"),
    (lambda g: lh.plot_supply(g.season(reasons=False), "Banana"), "planting", "Bananas"),
    (lambda g: lh.plot_where_it_went(g.season(reasons=False), "Yuccas"), "planting", "fed nothing"),
    (lambda g: lh.plot_supply(g, "Bananas"), "run", "found a Garden; allowed is a Run, which is one season of a garden; call .season()"),
    (lambda g: lh.plot_supply(g.lasts(), "Bananas"), "run", "a Lasts"),
    (lambda g: lh.plot_supply("saltmarsh-lane.json", "Bananas"), "run", '"saltmarsh-lane.json"'),
    (lambda g: lh.plot_where_it_went(g), "run", "call .season()"),
    (lambda g: lh.plot_soil(None, "Bananas"), "run", "None"),
    (lambda g: lh.plot_curves("dried-blood"), "curves", 'found "dried-blood"; allowed is Curves, which curves() returns; call it first: lh.curves("dried-blood")'),
    (lambda g: lh.plot_curves(lh.incubate("dried-blood", 8, [14])), "curves", "an array"),
    (lambda g: lh.plot_fit(lh.materials()["straw"]), "fit", "calibrate()"),
    (lambda g: lh.plot_curves(lh.curves("dried-blood"), ax=3), "ax", "one matplotlib Axes"),
    (lambda g: lh.plot_soil(g.season(reasons=False), "Bananas", axes=[1]), "axes", "two Axes"),
])
def test_a_wrong_argument_is_one_sentence(garden, call, place, words):
    with pytest.raises(lh.InputError) as caught:
        call(garden)
    e = caught.value
    assert words in str(e) and "\n" not in str(e) and str(e).endswith(".")
    assert "::" not in str(e) and "incompatible function arguments" not in str(e)
    assert not place or place in e.place
    assert "--" not in str(e), "options are the command's"


def test_a_report_that_is_there_already_is_told_of_in_the_calls_words(garden, tmp_path):
    run = garden.season(reasons=False)
    run.report(tmp_path)
    with pytest.raises(lh.InputError) as caught:
        run.report(tmp_path)
    e = caught.value
    assert e.file == str(tmp_path / "report.html") and e.place == "folder" and e.hint == "take another folder, or give force=True"
    assert str(e) == f"{e.file}, folder: found {e.found}; allowed is {e.allowed}; {e.hint}."
    run.report(tmp_path, force=True)


def test_a_share_of_years_may_have_no_end_of_decimals(garden):
    asked = {"intervals_d": [56], "doses_g_per_plant": [60]}
    assert garden.topup("dried-blood", "Cannas", years=2 / 3, **asked).to_json() == garden.topup("dried-blood", "Cannas", years="2/3", **asked).to_json()


def test_an_unknown_name_is_a_key_error_with_the_nearest(garden):
    run = garden.season(reasons=False)
    for mapping, wrong, right in ((run.verdict, "Banana", "Bananas"), (run.series, "Canas", "Cannas"), (run.series["Bananas"], "nnj", "nni"),
                                  (run.columns, "Fan Palm", "Fan palm"), (run.sources, "Agave", "Agaves"), (garden.plantings, "Banana", "Bananas"),
                                  (garden.materials, "dried blood", "dried-blood"), (lh.materials(), "dried blood", "dried-blood")):
        with pytest.raises(KeyError, match=f'"{right}"'):
            mapping[wrong]
        assert wrong not in mapping and right in mapping


# ---- plugins at fault -----------------------------------------------------------------------------------------------

# A release model that frees its one pool at a rate of 0.1 a day, or misbehaves on demand.
BAD_PLUGIN = """
#include <math.h>
#include <leafhunger/plugin.h>
static const lh_parameter par[1] = {{"mode", "-", "0 good, 1 not a number, 2 far too fast, 3 loses mass", "test", 0, 0, 3}};
static const lh_pool pool[1] = {{"all", LH_SOIL, LH_UNFREED, LH_NONE, LH_NONE, LH_NONE}};
static const lh_flow flow[1] = {{"freed", 0, LH_AMMONIUM, 0, 0, 0, {0, 0}}};
static int32_t start(const lh_day *d, double *p, double *a, double *age) {
  for (int i = 0; i < d->m_pad; ++i) p[i] = d->given_kg_n_ha[i] * (d->parameter[i] == 3 ? 0.9 : 1), a[i] = 0;
  return LH_OK;
}
static int32_t rates(const lh_day *d, const double *p, const double *age, double *c, double *r) {
  for (int i = 0; i < d->m_pad; ++i) c[i] = d->parameter[i] == 1 ? NAN : d->parameter[i] == 2 ? 1e12 : 0.1;
  return LH_OK;
}
static const lh_release model = {sizeof(lh_release), {"faulty", "1", "a model for tests", "MIT", "test", 1, par, 0}, 0, 1, 1, 0, 0, pool, flow, 0,
                                 start, rates, 0};
static const lh_release *const all[1] = {&model};
static const lh_plugins plugins = {LH_ABI, sizeof(lh_plugins), 1, 0, all, 0};
const lh_plugins *leafhunger_plugins(uint32_t host) { return &plugins; }
"""


@pytest.fixture(scope="module")
def faulty(tmp_path_factory):
    folder = tmp_path_factory.mktemp("plugins")
    source = folder / "faulty.c"
    source.write_text(textwrap.dedent(BAD_PLUGIN))
    subprocess.run(["cc", "-shared", "-fPIC", "-std=c11", f"-I{ROOT / 'engine' / 'include'}", source, "-o", folder / "faulty.so"], check=True)
    return folder


def jar(folder, mode):
    return lh.incubate(lh.Material("Mine", "faulty", parameters={"mode": mode}), 10, [0, 5], plugins=[folder])


def test_a_strangers_plugin_works(faulty):
    np.testing.assert_allclose(jar(faulty, 0), [[0, 1 - np.exp(-0.5)]], atol=1e-8)
    assert "faulty" in lh.plugins([faulty]).models and "faulty" not in lh.plugins().models


@pytest.mark.parametrize("mode, words", [(1, "not finite"), (3, "did not share out")])
def test_a_plugin_that_breaks_its_contract_while_running(faulty, mode, words):
    with pytest.raises(lh.PluginError, match=words) as caught:
        jar(faulty, mode)
    assert "faulty" in str(caught.value) and caught.value.at_load is False


def test_a_stiff_plugin_ends_in_a_solver_error(faulty):
    with pytest.raises(lh.SolverError, match="integration failed"):
        jar(faulty, 2)


def test_a_plugin_refused_at_load(tmp_path):
    (tmp_path / "text.so").write_text("no library")
    for call in (lambda: lh.load(DEMO, tmp_path), lambda: lh.plugins([tmp_path])):
        with pytest.raises(lh.PluginError, match="text.so") as caught:
            call()
        assert caught.value.at_load is True


def test_a_ledger_error_crosses_the_border():
    with pytest.raises(lh.LedgerError, match="^does not close$"):
        _engine.throw_ledger_error("does not close")
