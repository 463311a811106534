"""Series are lent, not copied: read-only views of the engine's memory that keep it alive."""
import gc
import pathlib

import numpy as np
import pytest

import leafhunger as lh
from leafhunger import _engine

DEMO = pathlib.Path(__file__).resolve().parents[2] / "scenarios" / "saltmarsh-lane.json"


@pytest.fixture(scope="module")
def garden():
    return lh.load(DEMO)


@pytest.fixture(scope="module")
def run(garden):
    return garden.season(reasons=False)


def owner(array):
    """The Python object at the end of an array's chain of bases."""
    while isinstance(array, np.ndarray):
        array = array.base
    return array


def test_two_looks_share_memory(run):
    for column in run.series:
        for name in run.series[column]:
            a, b = run.series[column][name], run.series[column][name]
            assert a is not b and np.shares_memory(a, b)
            assert a.__array_interface__["data"][0] == b.__array_interface__["data"][0]


def test_a_view_owns_nothing_and_names_its_owner(run):
    for name in ("nni", "soil_c"):
        view = run.series["Bananas"][name]
        assert not view.flags.owndata and isinstance(owner(view), _engine.Season)


def test_views_of_different_series_do_not_overlap(run):
    a, b, c = run.series["Bananas"]["nni"], run.series["Bananas"]["plant_kg_n_ha"], run.series["Cannas"]["nni"]
    assert not np.shares_memory(a, b) and not np.shares_memory(a, c)


def test_a_view_is_read_only_for_good(run):
    view = run.series["Bananas"]["nni"]
    with pytest.raises(ValueError, match="read-only"):
        view[0] = 1
    with pytest.raises(ValueError, match="WRITEABLE"):
        view.flags.writeable = True
    with pytest.raises(ValueError, match="WRITEABLE"):
        view[:10].flags.writeable = True


def test_layers_are_the_second_axis(run):
    days, layers = len(run.dates), len(run.columns["Bananas"].layers_mm)
    assert layers == 4 and run.columns["Bananas"].layers_mm == (50, 100, 150, 300)
    for name, shape in (("nni", (days,)), ("soil_c", (days, layers)), ("nitrate_kg_n_ha", (days, layers))):
        view = run.series["Bananas"][name]
        assert view.shape == shape and view.dtype == np.float64 and view.flags.c_contiguous
    # Day by day, layers together: the yearly swing of soil temperature shrinks with depth.
    swing = np.ptp(run.series["Bananas"]["soil_c"], axis=0)
    assert (np.diff(swing) < 0).all()


def test_a_view_outlives_its_run(garden):
    run = garden.season(reasons=False)
    views = [run.series[c][n] for c in run.series for n in run.series[c]]
    copies = [v.copy() for v in views]
    del run
    gc.collect()
    others = [garden.season(reasons=False) for _ in range(3)]  # takes the freed memory, if any was freed
    assert all(np.array_equal(v, c) for v, c in zip(views, copies))
    assert isinstance(owner(views[0]), _engine.Season) and len(others) == 3


def test_views_of_a_trace(garden):
    trace = garden.trace("Bananas")
    states, start, warmth = trace.states, trace.start, trace.forcings["t_c"]
    assert np.shares_memory(states, trace.states) and np.shares_memory(trace.state("plant"), states)
    for view in (states, start, warmth):
        assert not view.flags.writeable and isinstance(owner(view), _engine.Trace)
    kept = states.copy()
    del trace
    gc.collect()
    garden.trace("Cannas")
    np.testing.assert_array_equal(states, kept)


def test_a_jars_answer_is_the_callers_own():
    a = lh.incubate("dried-blood", [8, 15], [7, 14, 28])
    assert a.shape == (2, 3) and a.flags.owndata and a.flags.writeable
