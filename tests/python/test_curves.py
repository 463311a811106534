"""Curves: the jar's own numbers, the command's own words and picture, and Axes that show them."""
import json
import os
import subprocess

import matplotlib
import numpy as np
import pytest

import leafhunger as lh

matplotlib.use("Agg")
from matplotlib import pyplot  # noqa: E402


@pytest.fixture(autouse=True)
def closed():
    yield
    pyplot.close("all")


def command(*words):
    return subprocess.run([os.environ["LEAFHUNGER_CLI"], "curves", *words], capture_output=True, text=True, check=True).stdout


STRAW = lh.Material("Straw", "organic-two-pool", 0.5, 80, {"fast_frac": 0.8})


def test_shape_and_numbers_are_the_jars():
    c = lh.curves(["dried-blood", STRAW], temps=[8, 22], moisture=["field-capacity", 0.3, 0.6], days=[56, 0, 28])
    assert c.freed_frac.shape == c.spread_frac.shape == (2, 3, 2, 3)
    assert (c.days, c.temperature_c, c.moisture) == ((0, 28, 56), (8.0, 22.0), ("field-capacity", 0.3, 0.6)) and [m.title for m in c.materials][1] == "Straw"
    for m, feed in enumerate(["dried-blood", STRAW]):
        for w, wet in enumerate(c.moisture):
            np.testing.assert_array_equal(c.freed_frac[m, w], lh.incubate(feed, [8, 22], [0, 28, 56], moisture=wet))
    assert c.freed_frac[1, 0, 1, 1] < -0.2, "straw ties up"
    daily, spread = c.daily()
    assert daily.shape == spread.shape == (2, 3, 2, 57)
    np.testing.assert_array_equal(daily[..., [0, 28, 56]], c.freed_frac)


def test_every_feed_of_the_catalogue_has_a_curve():
    for feed in lh.materials():
        share = lh.curves(feed, temps=[5, 25], days=[0, 28, 140]).freed_frac
        assert np.isfinite(share).all() and (share <= 1 + 1e-9).all(), feed


def test_spread_is_what_moving_the_parameters_makes_of_it():
    feed = lh.materials()["dried-blood"]
    import dataclasses
    known = dataclasses.replace(feed, spread={"fast_frac": 0.1, "fast_per_day": 0.05})
    c = lh.curves(known, temps=[10], days=[7, 28])
    moved = {}
    base = {**feed.estimated, **feed.parameters}
    default = {p.name: p.default for p in lh.plugins().models[feed.model].parameters}
    for name, by in known.spread.items():
        at = base.get(name, default[name])
        moved[name] = [lh.incubate(feed.but(**{name: at + sign * by}), 10, [7, 28])[0] for sign in (1, -1)]
    want = np.sqrt(sum((0.5 * (a - b)) ** 2 for a, b in moved.values()))
    np.testing.assert_allclose(c.spread_frac[0, 0, 0], want, rtol=1e-6)
    assert np.isnan(lh.curves(STRAW, temps=[10], days=[7]).spread_frac).all()


def test_laws_that_a_material_chose_count():
    import dataclasses
    q3 = dataclasses.replace(STRAW, responses={"decay": {"temperature": "q10", "reference_c": 25, "q": 3}})
    a, b = (lh.incubate(m, [15, 25], 14)[:, 0] for m in (STRAW, q3))
    assert abs(a[0] - b[0]) > 0.05 and a[1] == pytest.approx(b[1], abs=1e-5)
    assert lh.curves(q3, temps=[15], days=[14]).freed_frac[0, 0, 0, 0] == b[0]
    with pytest.raises(lh.InputError, match="lloyd_taylor"):
        lh.incubate(dataclasses.replace(STRAW, responses={"decay": {"temperature": "loyd_taylor"}}), 15, 14)


def test_words_json_csv_and_picture_are_the_commands(tmp_path):
    c = lh.curves(["dried-blood", "seed-meal"], temps=[5, 15])
    ask = ("dried-blood", "seed-meal", "--temps", "5,15")
    assert str(c) + "\n" == command(*ask) and c.words(more=True) + "\n" == command(*ask, "--more")
    assert c.to_json() == command(*ask, "--json")
    np.testing.assert_array_equal(json.loads(c.to_json())["curves"][0]["freed_frac"], c.freed_frac[0, 0, 0])
    for ending, text in (("svg", c.to_svg()), ("csv", c.to_csv())):
        command(*ask, "--out", str(tmp_path / f"a.{ending}"))
        assert (tmp_path / f"a.{ending}").read_text() == text


def test_it_shows_in_a_notebook_and_as_a_frame():
    pandas = pytest.importorskip("pandas")
    c = lh.curves("dried-blood", temps=[5, 15], moisture=[0.3, 0.6], days=[7, 28])
    assert "<table>" in c._repr_html_() and "15 °C" in c._repr_html_() and "Dried blood" in repr(c)
    frame = c.to_dataframe()
    assert isinstance(frame, pandas.DataFrame) and len(frame) == 8
    one = frame[(frame.moisture == 0.6) & (frame.temperature_c == 15) & (frame.day == 28)]
    assert one.freed_frac.item() == c.freed_frac[0, 1, 1, 1]


@pytest.mark.parametrize("feeds, ask, place", [
    ("dryed-blood", {}, "material"), ([], {}, "material"), (7, {}, "material"), ("dried-blood", {"temps": []}, "temperature_c"), ("dried-blood", {"temps": "warm"}, "temps"),
    ("dried-blood", {"temps": [99]}, "temperature_c"), ("dried-blood", {"temps": range(13)}, "temperature_c"), ("dried-blood", {"moisture": 1.5}, "moisture"),
    ("dried-blood", {"moisture": "wet"}, "moisture"), ("dried-blood", {"moisture": []}, "moisture"), ("dried-blood", {"days": []}, "days"),
    ("dried-blood", {"days": [-1]}, "days"), ("dried-blood", {"days": [4000]}, "days"), ("dried-blood", {"texture": "custard"}, "texture"),
])
def test_what_it_refuses(feeds, ask, place):
    with pytest.raises(lh.InputError) as caught:
        lh.curves(feeds, **ask)
    assert caught.value.place == place and "\n" not in str(caught.value)


def test_axes_show_the_numbers_and_the_spread():
    import dataclasses
    known = dataclasses.replace(STRAW, spread={"fast_frac": 0.1})
    c = lh.curves(known, temps=[5, 25])
    ax = lh.plot_curves(c)
    np.testing.assert_allclose([line.get_ydata() for line in ax.lines[:2]], 100 * c.daily()[0][0, 0])
    assert list(ax.lines[0].get_xdata()) == list(range(141)) and ax.lines[0].get_markevery() == list(c.days)
    assert len(ax.collections) == 2, "two bands"
    texts = [t.get_text() for t in ax.texts]
    assert "5 °C" in texts and "25 °C" in texts and any("tied up" in t for t in texts) and "straw" in ax.get_title(loc="left")
    assert ax.lines[0].get_linestyle() != ax.lines[1].get_linestyle()
    low, high = ax.get_ylim()
    assert low < 100 * (c.freed_frac - c.spread_frac).min() and high > 100 * c.freed_frac.max()


def test_axes_name_lines_by_what_differs():
    figure, ax = pyplot.subplots()
    assert lh.plot_curves(lh.curves(["dried-blood", "seed-meal"], temps=15), ax=ax) is ax
    assert {"Dried blood", lh.materials()["seed-meal"].title} <= {t.get_text() for t in ax.texts}
    many = lh.plot_curves(lh.curves(["dried-blood", "seed-meal"], temps=[5, 15], moisture=[0.3, 0.6]))
    assert len(many.lines) == 8 and not many.collections and "Dried blood, 30 % of pores with water, 5 °C" in {t.get_text() for t in many.texts}
    one = lh.plot_curves(lh.curves("dried-blood", temps=15))
    assert "15 °C" in {t.get_text() for t in one.texts}


def look(line):
    return line.get_color(), str(line._dash_pattern), line.get_marker(), line.get_linewidth(), str(line.get_markerfacecolor())


def test_a_warmth_has_one_colour_and_a_feed_one_kind_of_line():
    ax = lh.plot_curves(lh.curves(["dried-blood", "straw"]))
    drawn = [line for line in ax.lines if len(line.get_xdata()) > 2]
    blood, straw = drawn[:5], drawn[5:]
    assert [b.get_color() for b in blood] == [s.get_color() for s in straw] and len({b.get_color() for b in blood}) == 5
    assert [b.get_marker() for b in blood] == [s.get_marker() for s in straw] and len({b.get_marker() for b in blood}) == 5
    assert len({str(b._dash_pattern) for b in blood}) == len({str(s._dash_pattern) for s in straw}) == 1
    assert blood[0]._dash_pattern != straw[0]._dash_pattern


@pytest.mark.parametrize("feeds, ask", [(["dried-blood", "straw"], {}), (["dried-blood"], {"temps": range(2, 26, 2)}), (["dried-blood"], {"temps": [5, 25]}),
                                        (["dried-blood", "straw", "seed-meal", "bone-meal-raw", "wool-pellets", "feather-meal"], {"temps": 10}),
                                        (["dried-blood", "straw", "seed-meal"], {"temps": [5, 15, 25], "moisture": [0.2, 0.4, 0.6, 0.8]})])
def test_no_two_lines_of_a_picture_look_alike(feeds, ask):
    drawn = [line for line in lh.plot_curves(lh.curves(feeds, days=[14, 56], **ask)).lines if len(line.get_xdata()) > 2]
    assert len({look(line) for line in drawn}) == len(drawn) > 1


def test_labels_stand_where_their_lines_end():
    """In the lines' order, no further off than the other labels push them, and led to where that is far."""
    ax = lh.plot_curves(lh.curves(["dried-blood", "straw"]))
    ax.figure.canvas.draw()
    labels = {t.get_text(): t for t in ax.texts if getattr(t, "xycoords", None) == ("axes fraction", "data")}
    ends = {name: line.get_ydata()[-1] for name, line in zip(labels, (line for line in ax.lines if len(line.get_xdata()) > 2))}
    assert len(ends) == 10 and sorted(ends, key=ends.get) == sorted(ends, key=lambda name: labels[name].xy[1])
    low, high = ax.get_ylim()
    assert labels["Straw, 25 °C"].xy[1] == pytest.approx(ends["Straw, 25 °C"], abs=1e-9), "nothing pushes it"
    assert all(abs(labels[name].xy[1] - at) < 0.15 * (high - low) for name, at in ends.items())
    far = [name for name, at in ends.items() if abs(labels[name].xy[1] - at) > 0.04 * (high - low)]
    led = {t.xy[1] for t in ax.texts if not t.get_text() and t.arrow_patch is not None}
    assert far and {ends[name] for name in far} <= led


@pytest.mark.parametrize("wanted, places", [([5, 5, 5], [5, 6, 4]), ([1, 9], [1, 9]), ([0, 0.2], [0, 1]), ([10, 9.8, 3], [10, 9, 3]), ([4, 4.5], [3.75, 4.75])])
def test_labels_are_spread_about_where_they_belong(wanted, places):
    from leafhunger.plots import _spread

    assert sorted(_spread(wanted, 1, 0, 10)) == pytest.approx(sorted(places))
