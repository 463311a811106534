"""Pictures: the question is the title, the answer is written where it happens, what is amiss is hatched, and the numbers are the run's."""
import datetime
import pathlib
import re

import matplotlib
import numpy as np
import pytest

import leafhunger as lh

matplotlib.use("Agg")
from matplotlib import pyplot  # noqa: E402
from matplotlib.colors import to_rgb  # noqa: E402

DEMO = pathlib.Path(__file__).resolve().parents[2] / "scenarios" / "saltmarsh-lane.json"


@pytest.fixture(scope="module")
def run():
    return lh.load(DEMO).season(reasons=False)


@pytest.fixture(autouse=True)
def closed():
    yield
    pyplot.close("all")


def texts(ax):
    return [t.get_text() for t in ax.texts] + [ax.get_title(loc="left")]


def short(run):
    return next(name for name, v in run.verdict.items() if v.outcome == "short")


def fine(run):
    return next(name for name, v in run.verdict.items() if v.outcome == "carried" and run.columns[name].fed)


def test_a_shortage_is_hatched_and_dated_where_it_happens(run):
    name = short(run)
    ax = lh.plot_supply(run, name)
    first = run.verdict[name].first_short
    label = next(t for t in ax.texts if t.get_text() == f"short from {first.day} {first:%B}")
    assert label.xy[0] == first
    assert any(c.get_hatch() and c.get_paths() for c in ax.collections)
    held, wanted = (line.get_ydata() for line in ax.lines[:2])
    i = (first - ax.lines[0].get_xdata()[0]).days
    assert held[i] / wanted[i] == pytest.approx(run.series[name]["nni"][run.dates == np.datetime64(first)][0], rel=1e-12) and held[i] < 0.9 * wanted[i]


def test_hatched_is_what_the_answer_and_the_report_call_short(run):
    """Less than nine tenths of what it needs, and not the first day on which it has a little less."""
    from matplotlib.dates import num2date

    for name in (short(run), "Bananas", "Cannas"):
        pyplot.close("all")
        ax = lh.plot_supply(run, name)
        hatched = next(c for c in ax.collections if c.get_hatch())
        first = min(num2date(path.vertices[:, 0].min()).date() for path in hatched.get_paths())
        low = run.dates[run.series[name]["nni"] < 0.9].astype(object)
        assert first == min(low) == run.verdict[name].first_short
        last = max(num2date(path.vertices[:, 0].max()).date() for path in hatched.get_paths())
        assert last in (max(low), max(low) + datetime.timedelta(1))
        assert any("hatched: has less than nine tenths" in t for t in texts(ax))
    assert not any("hatched" in t for t in texts(lh.plot_supply(run, "Fan palm")))


def test_what_is_carried_says_so(run):
    ax = lh.plot_supply(run, fine(run))
    assert any(t.startswith("carried to 31 August") for t in texts(ax))
    assert not any(t.startswith("short from") for t in texts(ax))


def test_it_says_when_it_was_fed(run):
    ax = lh.plot_supply(run, "Bananas")
    assert next(t for t in ax.texts if t.get_text() == "fed 15 April").xy[0].isoformat() == f"{run.season}-04-15"
    assert not any(t.startswith("fed") for t in texts(lh.plot_supply(run, "Yuccas")))


def test_every_planting_and_any_season_can_be_drawn(run):
    for name in run.verdict:
        pyplot.close("all")
        lh.plot_supply(run, name).figure.canvas.draw()


@pytest.mark.parametrize("name, question", [("Bananas", "Nitrogen the bananas have and need"),
                                            ("Fan palm", "Nitrogen the fan palm has and needs"),
                                            ("Waterside giant", "Nitrogen the waterside giant has and needs")])
def test_the_question_is_the_title(run, name, question):
    assert lh.plot_supply(run, name).get_title(loc="left").strip() == question


def test_amounts_start_at_zero_and_time_runs_by_month_names(run):
    ax = lh.plot_supply(run, "Bananas")
    ax.figure.canvas.draw()
    assert ax.get_ylim()[0] == 0
    assert [t.get_text() for t in ax.get_xticklabels(minor=True)] == ["Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct"]


def test_lines_are_labelled_at_their_ends_and_there_is_no_legend(run):
    for ax in (lh.plot_supply(run, "Bananas"), lh.plot_release("dried-blood")):
        assert ax.get_legend() is None
    assert {"in each plant", "what it needs"} <= set(texts(lh.plot_supply(run, "Bananas")))
    assert {"at 8 °C", "at 15 °C", "at 22 °C"} <= set(texts(lh.plot_release("dried-blood")))


def test_labels_do_not_overlap(run):
    for ax in (lh.plot_supply(run, "Bananas"), lh.plot_supply(run, short(run)), lh.plot_release("dried-blood"), lh.plot_release("feather-meal")):
        ax.figure.canvas.draw()
        ends = sorted((t.get_window_extent() for t in ax.texts if getattr(t, "xycoords", None) == ("axes fraction", "data")), key=lambda b: b.y0)
        assert len(ends) >= 2 and all(a.y1 <= b.y0 + 1.5 for a, b in zip(ends, ends[1:]))


@pytest.mark.parametrize("draw", [lambda run, ax: lh.plot_supply(run, "Bananas", ax=ax), lambda run, ax: lh.plot_release("dried-blood", ax=ax),
                                  lambda run, ax: lh.plot_curves(lh.curves(["dried-blood", "straw", "concentrated-manure-powder"], temps=[5, 15]), ax=ax)])
def test_labels_are_whole_in_a_figure_that_nothing_lays_out(run, draw):
    """A bare savefig cuts at the figure's edge."""
    for columns in (1, 2):
        figure, axes = pyplot.subplots(1, columns, figsize=(5 + 3 * columns, 4), squeeze=False)
        ax = draw(run, axes[0, -1])
        figure.canvas.draw()
        edge = figure.bbox.x1
        assert all(t.get_window_extent().x1 <= edge for t in ax.texts if t.get_text())
        assert ax.get_position().width > 0.1
    figure, (left, right) = pyplot.subplots(1, 2, figsize=(11, 4))
    ax = draw(run, left)
    figure.canvas.draw()
    ends = [t for t in ax.texts if getattr(t, "xycoords", None) == ("axes fraction", "data")]
    assert all(t.get_window_extent().x1 <= right.get_window_extent().x0 for t in ends), "not over the neighbour"


@pytest.fixture(scope="module")
def bed():
    return lh.load(DEMO.parent / "one-bed.json").season(reasons=False)


def test_figures_are_saved_the_same_twice_and_not_over_others(bed, tmp_path):
    names = bed.save_figures(tmp_path / "a")
    assert names == bed.save_figures(tmp_path / "b") and "where-it-went.png" in names
    fed = [c for c in bed.columns.values() if c.fed and not c.bare]
    assert len(names) == 2 * len(fed) + 1 and sorted(p.name for p in (tmp_path / "a").iterdir()) == sorted(names)
    for name in names:
        data = (tmp_path / "a" / name).read_bytes()
        assert data[:8] == b"\x89PNG\r\n\x1a\n" and data == (tmp_path / "b" / name).read_bytes()
        assert b"tIME" not in data and b"Software" not in data
    with pytest.raises(lh.InputError, match="already|without a file of that name"):
        bed.save_figures(tmp_path / "a")
    bed.save_figures(tmp_path / "a", force=True)
    with pytest.raises(lh.InputError, match="png"):
        bed.save_figures(tmp_path / "c", kind="gif")


def test_svg_figures_carry_no_date(bed, tmp_path):
    from xml.etree import ElementTree

    for where in "ab":
        names = bed.save_figures(tmp_path / where, kind="svg")
    for name in names:
        data = (tmp_path / "a" / name).read_bytes()
        assert data == (tmp_path / "b" / name).read_bytes() and b"<dc:date>" not in data
        assert ElementTree.fromstring(data).tag.endswith("svg")


def test_lines_differ_in_more_than_colour(run):
    for ax in (lh.plot_supply(run, "Bananas"), lh.plot_release("dried-blood")):
        drawn = [line for line in ax.lines if len(line.get_xdata()) > 2]
        shapes = {(line.get_linestyle(), str(line._dash_pattern)) for line in drawn}
        assert len(shapes) == len(drawn)
    upper, lower = lh.plot_soil(run, "Bananas")
    for ax in (upper, lower):
        assert ax.lines[1].get_linewidth() >= 2 * ax.lines[0].get_linewidth()


def test_areas_differ_in_grey(run):
    """Luminance of what the plant holds against what lies loose, as a black-and-white print shows it."""
    def grey(c):
        r, g, b = to_rgb(c.get_facecolor()[0][:3])
        alpha = c.get_facecolor()[0][3]
        return 1 - alpha * (1 - (0.2126 * r + 0.7152 * g + 0.0722 * b))

    loose, held = lh.plot_supply(run, "Bananas").collections[:2]
    assert grey(loose) - grey(held) > 0.1


def test_where_it_went_is_what_the_words_say(run):
    """"Of each 100 g of nitrogen given, by 31 October: 42 taken up, ...": the same numbers within their rounding."""
    said = re.search(r"Of each 100 g of nitrogen given, by .*?: (.*?)\.", str(run).replace("\n ", ""), re.S).group(1)
    words = {name: int(n) for n, name in re.findall(r"(\d+) ([a-z' ]+?)(?:,|$)", " ".join(said.split()))}
    ax = lh.plot_where_it_went(run)
    bars = {label.get_text(): bar.get_width() for label, bar in zip(ax.get_yticklabels(), ax.patches)}
    assert set(bars) == set(words) and sum(bars.values()) == pytest.approx(100)
    assert all(abs(bars[name] - words[name]) <= 1 for name in words)
    assert {label for label, bar in zip(bars, ax.patches) if bar.get_hatch()} == {"washed below the roots", "lost to the air"}


def test_where_it_went_of_one_planting(run):
    ax = lh.plot_where_it_went(run, "Bananas")
    feeds = [s for s in run.sources["Bananas"] if s.name.startswith("feeding")]
    taken = sum(s.where.plant + s.where.reserve + s.where.litter for s in feeds) / sum(s.given_kg_n_ha for s in feeds)
    assert ax.patches[0].get_width() == pytest.approx(100 * taken) and "the bananas" in ax.get_title(loc="left")


def test_release_draws_what_the_jar_gives():
    ax = lh.plot_release("seed-meal", [5, 25], days=30)
    np.testing.assert_array_equal([line.get_ydata() for line in ax.lines], 100 * lh.incubate("seed-meal", [5, 25], range(31)))
    assert ax.get_ylim()[0] == 0


def test_what_ties_up_is_drawn_below_a_line():
    ax = lh.plot_release(lh.Material("Straw", "organic-two-pool", 0.5, 80, {"fast_frac": 0.8}))
    assert ax.get_ylim()[0] < 0 and any("tied up" in t for t in texts(ax)) and "straw" in ax.get_title(loc="left")


def test_soil_has_two_panels_with_the_runs_numbers(run):
    warm, wet = lh.plot_soil(run, "Bananas")
    np.testing.assert_array_equal(warm.lines[1].get_ydata(), run.series["Bananas"]["soil_c"][:, 2])
    np.testing.assert_array_equal(wet.lines[0].get_ydata(), 100 * run.series["Bananas"]["available_frac"][:, 0])
    assert warm.figure is wet.figure and wet.get_ylim()[0] == 0
    assert {"0 to 5 cm", "15 to 30 cm"} <= set(texts(warm))


def test_bare_ground_has_soil_too(run):
    bare = next(name for name, c in run.columns.items() if c.bare)
    lh.plot_soil(run, bare)[0].figure.canvas.draw()


def test_they_draw_where_they_are_told_and_return_it(run):
    figure, grid = pyplot.subplots(3, 2)
    assert lh.plot_supply(run, "Bananas", ax=grid[0, 0]) is grid[0, 0]
    assert lh.plot_where_it_went(run, ax=grid[0, 1]) is grid[0, 1]
    assert lh.plot_release("dried-blood", ax=grid[1, 0]) is grid[1, 0]
    assert lh.plot_soil(run, "Bananas", axes=grid[2]) == (grid[2, 0], grid[2, 1])
    assert len(pyplot.get_fignums()) == 1 and figure.axes == list(grid.ravel())


def test_a_southern_garden_is_drawn_from_september(tmp_path):
    import json

    written = json.loads(DEMO.read_text())
    written["garden"]["latitude_deg"] = -50.3
    written["weather"]["file"] = str(DEMO.parent / written["weather"]["file"])
    written["question"] = {"carry_to": "02-28"}
    for feeding in written["feedings"]:
        feeding["on"] = "10-15"
    path = tmp_path / "south.json"
    path.write_text(json.dumps(written))
    run = lh.load(path).season(reasons=False)
    ax = lh.plot_supply(run, "Bananas")
    ax.figure.canvas.draw()
    assert [t.get_text() for t in ax.get_xticklabels(minor=True)] == ["Sep", "Oct", "Nov", "Dec", "Jan", "Feb", "Mar", "Apr"]
