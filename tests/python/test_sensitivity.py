"""Which figure the answer for a planting hangs on: the planting alone is the planting in its garden, and what is ranked first does move the answer most."""
import dataclasses
import json
import pathlib
from concurrent.futures import ProcessPoolExecutor

import numpy as np
import pytest

import leafhunger as lh
from leafhunger import _alone, _scenario

SCENARIOS = pathlib.Path(__file__).resolve().parents[2] / "scenarios"
ONE, DEMO = SCENARIOS / "one-bed.json", SCENARIOS / "saltmarsh-lane.json"
EVERY = [(path.stem, name) for path in sorted(SCENARIOS.glob("*.json")) if path.name != "scenario.schema.json"
         for bed in json.loads(path.read_text())["beds"] for name in [p["name"] for p in bed["plantings"]]]


@pytest.fixture(scope="module")
def found():
    return lh.sensitivity(ONE, "Bananas", samples=64)


@pytest.fixture(scope="module")
def runs():
    kept = {}

    def of(stem):
        if stem not in kept:
            garden = lh.load(SCENARIOS / f"{stem}.json")
            kept[stem] = garden, garden.season(reasons=False)
        return kept[stem]

    return of


def packed(variants, year):
    return _scenario.Source("", _alone.pack(variants), (), None).load().season(year, reasons=False)


# ---- a planting alone -----------------------------------------------------------------------------------------------

@pytest.mark.parametrize("stem, name", EVERY, ids=lambda x: x)
def test_a_planting_alone_does_what_it_did_in_its_garden(runs, stem, name):
    garden, run = runs(stem)
    here = run.columns[name]
    alone = packed([_alone.alone(garden, name, here.area_m2, None)], run.season).columns["v0"]
    assert alone.area_m2 == pytest.approx(here.area_m2, rel=1e-12) and alone.count == here.count
    assert alone.verdict.first_short == here.verdict.first_short and alone.verdict.outcome == here.verdict.outcome
    for series in ("nni", "taken_kg_n_ha", "given_kg_n_ha"):
        np.testing.assert_allclose(alone.series[series], here.series[series], rtol=1e-9, atol=1e-9)


def test_a_wider_crown_gets_the_ground_that_the_engine_gives_it(tmp_path, runs):
    """The demo's hungry bed is full: its plants share it by their crowns."""
    garden, run = runs("saltmarsh-lane")
    alone = _alone.alone(garden, "Cannas", run.columns["Cannas"].area_m2, None)
    alone.planting["crown_m2"] *= 1.5
    alone.settle()
    written = json.loads(DEMO.read_text())
    written["weather"]["file"] = str(SCENARIOS / written["weather"]["file"])
    next(p for b in written["beds"] for p in b["plantings"] if p["name"] == "Cannas")["crown_m2"] = alone.planting["crown_m2"]
    (tmp_path / "garden.json").write_text(json.dumps(written))
    whole = lh.load(tmp_path / "garden.json").season(reasons=False)
    assert alone.planting["ground_m2"] == pytest.approx(whole.columns["Cannas"].area_m2, rel=1e-12)
    assert packed([alone], run.season).verdict["v0"].nni_at_date == pytest.approx(whole.verdict["Cannas"].nni_at_date, rel=1e-9)


def test_variants_in_one_scenario_do_not_touch_each_other(runs):
    garden, run = runs("one-bed")
    variants = []
    for matter in (1, 3, 5):
        v = _alone.alone(garden, "Bananas", run.columns["Bananas"].area_m2, None)
        v.bed["soil"]["organic_matter_percent"] = matter
        variants.append(v)
    together = packed(variants, run.season)
    alone = [packed([v], run.season).verdict["v0"].nni_at_date for v in variants]
    assert [together.verdict[f"v{k}"].nni_at_date for k in range(3)] == alone and alone == sorted(alone) and alone[0] < alone[2]


# ---- what it says ---------------------------------------------------------------------------------------------------

def test_what_is_ranked_first_moves_the_answer_most(found, runs):
    """Each figure by itself from a tenth up to a tenth below the end of its span, all others as the scenario has them; no Sobol index in it."""
    from leafhunger import _sensitivity as inside
    from leafhunger._plugins import plugins

    garden, run = runs("one-bed")
    base = _alone.alone(garden, "Bananas", run.columns["Bananas"].area_m2, None)
    moved = {}
    for drawn in inside._figures(base, garden, plugins().models):
        pair = []
        for share in (0.1, 0.9):
            v = _alone.alone(garden, "Bananas", run.columns["Bananas"].area_m2, None)
            drawn.put(v, float(drawn.figure.span.at(np.array([share]))[0]))
            v.settle()
            pair.append(v)
        a, b = (packed(pair, run.season).verdict[k].nni_at_date for k in ("v0", "v1"))
        moved[drawn.figure.key] = abs(a - b)
    by_hand = sorted(moved, key=moved.get, reverse=True)
    ranked = [f.key for f in found.ranked()]
    print("by hand:", {k: round(moved[k], 3) for k in by_hand}, "\nranked:", ranked)
    assert set(by_hand) == set(ranked) and by_hand[0] == ranked[0] and set(by_hand[-3:]) & set(ranked[-4:])


def test_the_words_say_what_to_measure(found):
    said = str(found)
    first = found.ranked()[0]
    flat = " ".join(said.split())
    assert f"Measure first {first.words}: {first.measure}." in flat and "Of 100 parts of the doubt" in said
    assert max(map(len, said.splitlines())) <= 80 and all(f.words[:40] in flat for f in found.figures)
    assert "handful" in {f.key for f in found.figures}  # one-bed is fed by handfuls


def test_shares_are_shares(found):
    for s in (found.nni, found.first_short):
        assert s.variance > 0 and s.evaluations == 64 * (len(found.figures) + 2)
        assert (s.total >= 0).all() and (s.total_low <= s.total).all() and (s.total <= s.total_high).all()
        assert 0.5 < s.first.sum() < 1.5 and s.total.sum() > 0.8
    assert 0 < found.short_share <= 1


def test_the_same_on_any_executor(found):
    with ProcessPoolExecutor(2) as pool:
        other = lh.sensitivity(ONE, "Bananas", samples=8, executor=pool)
    here = lh.sensitivity(lh.load(ONE), "Bananas", samples=8)
    np.testing.assert_array_equal(other.nni.total, here.nni.total)
    np.testing.assert_array_equal(other.first_short.first_low, here.first_short.first_low)
    assert str(other) == str(here)


def test_what_was_measured_is_left_alone(found):
    keys = [f.key for f in found.figures]
    fewer = lh.sensitivity(ONE, "Bananas", known=["organic_matter_percent", "crown_m2"], samples=4)
    assert [f.key for f in fewer.figures] == [k for k in keys if k not in ("organic_matter_percent", "crown_m2")]
    narrow = lh.sensitivity(ONE, "Bananas", spans={"organic_matter_percent": (2.99, 3.01)}, samples=16)
    at = [f.key for f in narrow.figures].index("organic_matter_percent")
    assert narrow.figures[at].span == lh.Span(2.99, 3.01) and narrow.nni.total[at] < 0.01 < found.nni.total[at]


def test_where_nothing_matters_it_says_so():
    keys = [f.key for f in lh.sensitivity(ONE, "Bananas", samples=2).figures]
    nothing = lh.sensitivity(ONE, "Bananas", known=[k for k in keys if k != "texture"], spans={"texture": (-0.4, 0.4)}, samples=4)
    assert nothing.nni.variance == 0 and "nothing to measure" in str(nothing)


def test_a_catalogue_spread_is_what_is_drawn(found):
    blood = lh.load(ONE).materials["concentrated-manure-powder"]
    span = next(f.span for f in found.figures if f.key == "concentrated-manure-powder: fast_frac")
    assert (span.middle, span.sd) == (blood.parameters["fast_frac"], blood.spread["fast_frac"])
    ready = next(f.span for f in found.figures if f.key == "concentrated-manure-powder: ready_frac")
    assert ready.low == blood.ammonium_frac  # which is a part of it


def test_a_feed_known_by_its_label_alone(tmp_path):
    """Its carbon is in doubt too; the middle of that span is what the garden reckons with, so that a span of no width gives the garden's own answer."""
    written = json.loads(ONE.read_text())
    written["weather"]["file"] = str(SCENARIOS / written["weather"]["file"])
    written["materials"] = {"sack": {"title": "Sack", "model": "organic-two-pool", "n_percent": 4, "origin": "bird-manure", "form": "pellet", "bulk_density_kg_m3": 650,
                                     "price_per_kg": 1}}
    written["feedings"][0]["material"] = "sack"
    (tmp_path / "garden.json").write_text(json.dumps(written))
    garden = lh.load(tmp_path / "garden.json")
    keys = [f.key for f in lh.sensitivity(garden, "Bananas", samples=2).figures]
    carbon = "sack: carbon_to_nitrogen"
    m = garden.materials["sack"]
    middle = m.carbon_to_nitrogen / (1 - m.estimated["ready_frac"])
    only = lh.sensitivity(garden, "Bananas", known=[k for k in keys if k != carbon], samples=4)
    assert only.figures[0].words == "how much carbon the feed holds" and only.figures[0].span.middle == pytest.approx(middle)
    still = lh.sensitivity(garden, "Bananas", known=[k for k in keys if k != carbon], spans={carbon: (middle, middle * (1 + 1e-12))}, samples=2)
    assert still.nni.mean == pytest.approx(garden.season(reasons=False).verdict["Bananas"].nni_at_date, rel=1e-6)


def test_figures_can_be_read(found):
    assert all(dataclasses.asdict(f)["measure"] for f in found.figures)


@pytest.mark.parametrize("call, place, words", [
    (lambda: lh.sensitivity(ONE, "Banana"), "planting", "Bananas"),
    (lambda: lh.sensitivity(ONE, "Bananas", known="crown_m3"), "known", "crown_m2"),
    (lambda: lh.sensitivity(ONE, "Bananas", spans={"crown": (1, 2)}), "spans", "crown_m2"),
    (lambda: lh.sensitivity(ONE, "Bananas", spans={"crown_m2": (2, 1)}), "span", "2 to 1"),
    (lambda: lh.sensitivity(ONE, "Bananas", samples=63), "samples", "power of two"),
    (lambda: lh.sensitivity(ONE, "Bananas", executor=2), "executor", "Executor"),
    (lambda: lh.sensitivity(ONE, "Bananas", season=1900), "", "1900"),
    (lambda: lh.sensitivity(ONE, "Bananas", spans={"organic_matter_percent": (50, 90)}, samples=4), None, "organic_matter_percent"),
])
def test_a_wrong_question_is_refused(call, place, words):
    with pytest.raises(lh.InputError) as caught:
        call()
    assert (place is None or caught.value.place == place) and words in str(caught.value)
