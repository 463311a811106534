"""Pictures that answer a question. Each takes Axes or makes them, and returns them; none shows or saves anything.

matplotlib is imported on the first call. Lines differ in shape as well as in shade and are labelled at their ends, so that a black-and-white
print says the same; what is amiss is hatched.
"""
from __future__ import annotations

import datetime
import os
import pathlib
import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from . import _check, _html
from ._curves import Curves
from ._jar import Material, incubate, materials
from ._run import Array, Column, Run

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import ArrayLike

_INK, _SOFT, _PALE, _ACCENT = "#1d1d1b", "#6b6b66", "#d9d7cf", "#2f6b3a"
_CURVES = ("#0b2f6b", "#2a78b8", "#79b3d9", "#f0923f", "#c95408", "#7f2704")  # blue to rust, told apart by every eye
_SHORT = 0.90  # the verdict's line, by which the report hatches too
_SERIF = ["DejaVu Serif", "serif"]


def _axes(ax: Axes | None, size: tuple[float, float] = (8.0, 4.2)) -> Axes:
    if ax is None:
        try:
            from matplotlib import pyplot
        except ImportError:
            raise ImportError("a picture needs matplotlib, which is not installed (Debian: python3-matplotlib); the numbers are in run.series") from None
        ax = pyplot.subplots(figsize=size, constrained_layout=True)[1]
    elif not hasattr(ax, "spines"):
        _check.of_kind(ax, type(None), "ax", "one matplotlib Axes", "make one with pyplot.subplots()[1], or leave it out")
    for side in ("top", "right"):
        ax.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        ax.spines[side].set_color(_SOFT)
    ax.tick_params(colors=_SOFT, labelcolor=_INK, labelsize=9)
    return ax


def _title(ax: Axes, question: str, unit: str) -> None:
    ax.set_title(f"{question}\n", loc="left", fontfamily=_SERIF, fontsize=12.5, color=_INK)
    ax.text(0, 1.02, unit, transform=ax.transAxes, fontsize=9, color=_SOFT, va="bottom")


def _months(ax: Axes, first: Any, last: Any) -> None:
    """Month names in the middle of each month, ticks between months."""
    from matplotlib import dates, ticker

    ax.set_xlim(first, last)
    ax.xaxis.set_major_locator(dates.MonthLocator())
    ax.xaxis.set_major_formatter(ticker.NullFormatter())
    ax.xaxis.set_minor_locator(dates.MonthLocator(bymonthday=15))
    ax.xaxis.set_minor_formatter(dates.DateFormatter("%b"))
    ax.tick_params(axis="x", which="minor", length=0, labelsize=9, labelcolor=_INK)


def _spread(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Places as near the wanted ones as may be, in the same order, at least `gap` apart, between low and high where there is room."""
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    # With the gaps taken out what is left may not fall: neighbours that would cross stand together about their mean (pool adjacent violators).
    pools: list[tuple[float, int]] = []
    for k, i in enumerate(order):
        mean, count = wanted[i] - k * gap, 1
        while pools and pools[-1][0] > mean:
            before, many = pools.pop()
            mean, count = (before * many + mean * count) / (many + count), many + count
        pools.append((mean, count))
    place = [mean for mean, count in pools for _ in range(count)]
    out = [0.0] * len(place)
    for k, i in enumerate(order):
        out[i] = float(max(low, min(place[k], high - (len(place) - 1) * gap)) + k * gap)
    return out


def _label_ends(ax: Axes, ends: Sequence[tuple[float, str, str]], size: float = 9) -> None:
    """Texts to the right of the axes at the height of each line's end, moved apart where they would overlap; a thin line leads to one that had to
    move by more than half its height. ends: (y, text, colour)."""
    from matplotlib.transforms import offset_copy

    low, high = ax.get_ylim()
    height_in = ax.get_position().height * ax.figure.get_size_inches()[1]
    line = 1.25 * size / 72 / max(height_in, 0.5) * (high - low)
    lines = max(text.count("\n") + 1 for _, text, _ in ends)
    places = _spread([e[0] for e in ends], line * lines, low, high)
    moved = [abs(at - end[0]) > line / 2 for end, at in zip(ends, places)]
    beside = 18 if any(moved) else 6
    at_end = ax.get_yaxis_transform()
    for (y, _, _), at, led in zip(ends, places, moved):
        if led:
            ax.annotate("", (1, y), xycoords=at_end, xytext=(1, at), textcoords=offset_copy(at_end, ax.figure, x=beside - 2, units="points"),
                        annotation_clip=False, arrowprops={"arrowstyle": "-", "color": _SOFT, "lw": 0.6, "shrinkA": 0, "shrinkB": 2})
    for (_, text, colour), at in zip(ends, places):
        ax.annotate(text, (1, at), xycoords=("axes fraction", "data"), xytext=(beside, 0), textcoords="offset points", va="center", fontsize=size,
                    color=colour, annotation_clip=False)
    _make_room(ax, len(ends))


def _make_room(ax: Axes, labels: int) -> None:
    """Narrows Axes of a figure that nothing lays out, so that the labels on their right are neither cut off nor laid over the next Axes."""
    figure = ax.figure
    if figure.get_layout_engine() is not None:
        return
    box = ax.get_position()
    room = figure.bbox.x1 - 4
    for other in figure.axes:
        at = other.get_position()
        if at.x0 >= box.x1 and at.y0 < box.y1 and box.y0 < at.y1:
            room = min(room, other.get_tightbbox().x0 - 4)
    over = max(t.get_window_extent().x1 for t in ax.texts[-labels:]) - room
    if over > 0:
        # At least two fifths are left for the lines themselves, whatever the names.
        ax.set_position((box.x0, box.y0, max(0.4 * box.width, box.width - over / figure.bbox.width), box.height))


def _spring(run: Run) -> datetime.date:
    """First day of the season's fifth month: 1 March, or 1 September in the south."""
    months = run.first_day.month + 3
    return datetime.date(run.first_day.year + months // 12, months % 12 + 1, 1)


def _explored(column: Column) -> Array:
    """Share of each layer that roots have reached, (days, layers)."""
    bottom = np.cumsum(column.layers_mm)
    top = bottom - column.layers_mm
    explored: Array = np.clip((column.series["root_front_mm"][:, None] - top) / (bottom - top), 0, 1)
    return explored


def _fed_on(run: Run, column: Column) -> list[datetime.date]:
    given = np.diff(column.series["given_kg_n_ha"], prepend=0.0)
    return [d.astype(object) for d in run.dates[given > 0]]


def _called(name: str) -> str:
    """"the bananas" of "Bananas"; a name that does not begin like a word is left alone."""
    return "the " + (name[0].lower() + name[1:] if name[1:2].islower() else name)


def _many(column: Column) -> bool:
    return column.name.endswith("s") and (column.count > 1 or not column.name.endswith("ss"))


def _season(run: object) -> None:
    _check.of_kind(run, Run, "run", "a Run, which is one season of a garden", "call .season() on the garden and give what it returns")


def _planting(run: Run, name: str) -> Column:
    column = run.columns[_check.one_of(name, "planting", tuple(run.verdict))]
    return column


def plot_supply(run: Run, planting: str, *, ax: Axes | None = None) -> Axes:
    """The nitrogen a planting has against what it needs, from 1 March (in the south 1 September) to the season's end, in grams of nitrogen a
    plant.

    The filled area is what the plant holds; the pale band upon it lies loose among its roots, freed and not yet taken. The broken line is what a
    plant of its size needs to grow at full speed. Where the plant, once awake, holds less than nine tenths of that, the gap is hatched: five such
    growing days running are what the answer calls short, and it stands there.

    Args:
        run: from `Garden.season()`.
        planting: its name.
        ax: to draw on; new ones where none is given.

    Returns:
        The Axes.
    """
    _season(run)
    column = _planting(run, planting)
    verdict, s = column.verdict, column.series
    assert verdict is not None
    ax = _axes(ax)
    show = run.dates >= np.datetime64(_spring(run))
    days = run.dates[show].astype(object)
    per_plant = 0.1 * column.area_m2 / column.count  # kg/ha of its ground to g a plant
    held = per_plant * s["plant_kg_n_ha"][show]
    loose = per_plant * (_explored(column) * (s["ammonium_kg_n_ha"] + s["nitrate_kg_n_ha"])).sum(axis=1)[show]
    wanted = per_plant * s["critical_kg_n_ha"][show]

    ax.fill_between(days, held, held + loose, color=_PALE, lw=0)
    ax.fill_between(days, 0, held, color=_ACCENT, alpha=0.45, lw=0)
    ax.plot(days, held, color=_ACCENT, lw=2)
    ax.plot(days, wanted, color=_INK, lw=1.6, ls=(0, (5, 2)))
    lacking = s["nni"][show] < _SHORT
    if verdict.wakes is not None:
        lacking &= run.dates[show] >= np.datetime64(verdict.wakes)
    # To the day after, as far as the line between the two days is drawn.
    ax.fill_between(days, np.minimum(held, wanted), wanted, where=lacking | np.r_[False, lacking[:-1]], facecolor="none", edgecolor=_INK, hatch="////", lw=0)
    ax.set_ylim(0, 1.18 * max((held + loose).max(), wanted.max()))
    _months(ax, days[0], days[-1])
    _title(ax, f"Nitrogen {_called(planting)} {'have and need' if _many(column) else 'has and needs'}",
           "grams of nitrogen a plant" + ("; hatched: has less than nine tenths of what it needs" if lacking.any() else ""))

    carry = run.carry_to
    at_carry = int(np.argmin(abs(run.dates[show] - np.datetime64(carry))))
    ax.axvline(carry, color=_SOFT, lw=0.8, ls=":")
    ax.annotate(_html.day(carry), (carry, 1), xycoords=("data", "axes fraction"), xytext=(-3, -2), textcoords="offset points", ha="right", va="top",
                fontsize=8, color=_SOFT)
    fed = [d for d in _fed_on(run, column) if d >= days[0]]
    for k, date in enumerate(fed):
        ax.axvline(date, color=_SOFT, lw=0.8, ls=":")
        if k == 0:
            ax.annotate(f"fed {_html.day(date)}" if len(fed) == 1 else f"fed {len(fed)} times", (date, 1), xycoords=("data", "axes fraction"), xytext=(-3, -2),
                        textcoords="offset points", ha="right", va="top", fontsize=8, color=_SOFT)
    if verdict.first_short is not None and verdict.outcome == "short":
        i = int(np.argmin(abs(run.dates[show] - np.datetime64(verdict.first_short))))
        ax.annotate(f"short from {_html.day(verdict.first_short)}", (days[i], wanted[i]), xytext=(-14, 30), textcoords="offset points", ha="right",
                    fontsize=10, fontweight="bold", color=_INK, arrowprops={"arrowstyle": "-", "color": _INK, "lw": 0.8})
    else:
        answer = {"carried": f"carried to {_html.day(carry)}", "just-carried": f"just carried to {_html.day(carry)}",
                  "water-limited": "water is the limit, not feed", "never-woke": "never woke: too cold"}.get(verdict.outcome, verdict.outcome)
        ax.annotate(answer, (carry, max(held[at_carry], wanted[at_carry])), xytext=(-14, 26), textcoords="offset points", ha="right", fontsize=10,
                    fontweight="bold", color=_INK, arrowprops={"arrowstyle": "-", "color": _INK, "lw": 0.8})
    ends = [(held[-1], "in the plant" if column.count == 1 else "in each plant", _ACCENT), (wanted[-1], "what it needs", _INK)]
    if loose[-1] > 0.02 * ax.get_ylim()[1]:
        ends.append((held[-1] + loose[-1] / 2, "loose among its roots", _SOFT))
    else:
        peak = int(np.argmax(loose))
        ax.annotate("loose among its roots", (days[peak], held[peak] + loose[peak]), xytext=(0, 3), textcoords="offset points", ha="center", va="bottom",
                    fontsize=9, color=_SOFT)
    _label_ends(ax, ends)
    return ax


_WHERE = (("taken up", ("plant", "reserve", "litter")), ("still to come", ("unfreed",)), ("loose in the soil", ("mineral",)),
          ("washed below the roots", ("leached",)), ("lost to the air", ("volatilised", "denitrified")), ("in the soil's own life", ("microbes", "humus")))


def _where_it_went(run: Run, planting: str | None) -> list[tuple[str, float]]:
    columns = run.columns.values() if planting is None else [_planting(run, planting)]
    grams = dict.fromkeys((name for name, _ in _WHERE), 0.0)
    for column in columns:
        for source in column.sources:
            if not source.name.startswith("feeding"):
                continue
            for name, parts in _WHERE:
                grams[name] += sum(getattr(source.where, part) for part in parts) * 0.1 * column.area_m2
    total = sum(grams.values())
    return [(name, 100 * g / total if total > 0 else 0.0) for name, g in grams.items()]


def plot_where_it_went(run: Run, planting: str | None = None, *, ax: Axes | None = None) -> Axes:
    """Of each 100 g of nitrogen given, where it is at the season's end, by label.

    Args:
        run: from `Garden.season()`.
        planting: only what was given to this one; the whole garden where none is given.
        ax: to draw on.

    Returns:
        The Axes.
    """
    _season(run)
    parts = _where_it_went(run, planting)
    if not any(share for _, share in parts):
        _check.refuse("planting" if planting else "run", _check.Words(f'"{planting}", which was fed nothing' if planting else "a season in which nothing was fed"),
                      "one that was fed", "choose a planting that was given something")
    ax = _axes(ax, (7.0, 3.2))
    lost = ("washed below the roots", "lost to the air")
    for row, (name, share) in enumerate(parts):
        ax.barh(row, share, height=0.62, color=_ACCENT if name == "taken up" else "white" if name in lost else _PALE, edgecolor=_INK, lw=0.8,
                hatch="////" if name in lost else None)
        ax.annotate(f"{share:.0f}", (share, row), xytext=(5, 0), textcoords="offset points", va="center", fontsize=10, color=_INK)
    ax.set_yticks(range(len(parts)), [name for name, _ in parts])
    ax.invert_yaxis()
    ax.set_xlim(0, max(50.0, 1.12 * max(share for _, share in parts)))
    ax.xaxis.set_visible(False)
    for side in ("bottom", "left"):
        ax.spines[side].set_visible(False)
    ax.tick_params(axis="y", length=0, labelsize=10)
    where = "the garden" if planting is None else _called(planting)
    _title(ax, f"Where what was given to {where} went", f"of each 100 g of nitrogen given, by {_html.day(run.last_day)}; hatched: lost")
    return ax


def plot_release(material: str | Material, temperature_c: ArrayLike = (8, 15, 22), *, days: int = 140, moisture: str | float = "field-capacity",
                 ax: Axes | None = None) -> Axes:
    """How fast a material frees its nitrogen in a jar of moist soil at each temperature; below zero it ties up more than it frees.

    Args:
        material: id of the catalogue, or a Material.
        temperature_c: one line each.
        days: how long to look.
        moisture: as in `incubate()`.
        ax: to draw on.

    Returns:
        The Axes.
    """
    last = _check.whole(days, "days", least=1)
    warmth = [_check.number(t, "temperature_c") for t in _check.each(temperature_c, "temperature_c", "degrees Celsius")]
    share = 100 * incubate(material, warmth, range(last + 1), moisture=moisture)
    ax = _axes(ax, (7.0, 4.0))
    styles: tuple[Any, ...] = ("-", (0, (6, 2)), (0, (2, 2)), (0, (6, 2, 1, 2)))
    ends = []
    for i, (t, line) in enumerate(zip(warmth, share)):
        colour = _ACCENT if i == len(warmth) - 1 else _INK if i % 2 == 0 else _SOFT
        ax.plot(range(last + 1), line, color=colour, lw=1.8, ls=styles[(len(warmth) - 1 - i) % len(styles)])
        ends.append((line[-1], f"at {t:g} °C", colour))
    ax.set_xlim(0, last)
    ax.set_ylim(min(0.0, 1.08 * share.min()), max(5.0, 1.08 * share.max()))
    if share.min() < -0.5:
        ax.axhline(0, color=_SOFT, lw=0.8)
        ax.annotate("below this line: tied up by microbes", (last, 0), xytext=(-4, -4), textcoords="offset points", ha="right", va="top", fontsize=9,
                    color=_SOFT)
    ax.set_xlabel("days after mixing into moist soil", fontsize=9, color=_INK)
    title = (material if isinstance(material, Material) else materials()[material]).title
    _title(ax, f"How much of its nitrogen has {title[0].lower() + title[1:]} freed?", "of each 100 g of its nitrogen, grams that plants can take up")
    _label_ends(ax, ends)
    return ax


def _shade(k: int, of: int) -> Any:
    """The k-th of so many shades from cold to warm."""
    if of <= len(_CURVES):
        return _CURVES[k * (len(_CURVES) - 1) // max(1, of - 1)]
    at = k * (len(_CURVES) - 1) / (of - 1)
    given = [[int(shade[i:i + 2], 16) / 255 for i in (1, 3, 5)] for shade in _CURVES]
    return tuple(float(np.interp(at, range(len(given)), [shade[c] for shade in given])) for c in range(3))


def _looks(feeds: int, warmths: int) -> list[dict[str, Any]]:
    """How each line is drawn, warmths of a feed together, feeds in order ("feed" is one at one moisture).

    Where several feeds stand at several warmths, a warmth has its shade and its mark, the same for every feed, and a feed its dashes. Where only
    one of the two differs, its lines differ in all three.
    """
    dashes: tuple[Any, ...] = ("-", (0, (6, 2)), (0, (2, 2)), (0, (6, 2, 1, 2)), (0, (4, 1.5)))
    marks = "os^DvP*X<>hp"
    looks = []
    for f in range(feeds):
        for w in range(warmths):
            shaded, dashed = (f, f) if warmths == 1 else (w, w) if feeds == 1 else (w, f)
            colour = _shade(shaded, feeds if warmths == 1 else warmths) if feeds * warmths > 1 else _ACCENT
            # More feeds than dashes: full marks, then thick and thin lines too.
            turn = dashed // len(dashes) if warmths > 1 and feeds > 1 else 0
            looks.append({"color": colour, "lw": (1.9, 1.1, 3.0)[turn // 2 % 3], "ls": dashes[dashed % len(dashes)], "marker": marks[shaded % len(marks)], "ms": 4,
                          "mfc": colour if turn % 2 else "white"})
    return looks


def plot_curves(curves: Curves, *, ax: Axes | None = None) -> Axes:
    """What feeds freed in jars: a line for each feed, moisture and temperature, named at its end by what they differ in. A temperature has one colour
    and mark, a feed or moisture one kind of line. The pale band about a line is how sure it is (two bags in three), drawn where there are at most
    three lines.

    Args:
        curves: from `curves()`.
        ax: to draw on.

    Returns:
        The Axes.
    """
    _check.of_kind(curves, Curves, "curves", "Curves, which curves() returns", 'call it first: lh.curves("dried-blood"), or with several feeds')
    ax = _axes(ax, (7.6, 4.2))
    many = [len(curves.materials) > 1, len(curves.moisture) > 1, len(curves.temperature_c) > 1]
    if not any(many):
        many[2] = True
    freed_frac, spread_frac = curves.daily()
    looks = _looks(len(curves.materials) * len(curves.moisture), len(curves.temperature_c))
    lines = []
    for m, fed in enumerate(curves.materials):
        for w, wet in enumerate(curves.moisture):
            moist = "moist" if isinstance(wet, str) else f"{100 * wet:g} % of pores with water"
            for t, warm in enumerate(curves.temperature_c):
                name = ", ".join(part for part, differs in zip((fed.title, moist, f"{warm:g} °C"), many) if differs)
                lines.append((name, 100 * freed_frac[m, w, t], 100 * spread_frac[m, w, t]))
    days = np.arange(freed_frac.shape[-1])
    banded = len(lines) <= 3
    ends, low, high = [], 0.0, 5.0
    for i, (name, freed, spread) in enumerate(lines):
        colour = looks[i]["color"]
        ax.plot(days, freed, markevery=list(curves.days), **looks[i])
        wide = np.where(np.isfinite(spread), spread, 0) if banded else np.zeros_like(freed)
        if wide.any():
            ax.fill_between(days, freed - wide, freed + wide, color=colour, alpha=0.14, lw=0)
        low, high = min(low, float((freed - wide).min())), max(high, float((freed + wide).max()))
        ends.append((float(freed[-1]), name, _INK))
    ax.set_xlim(0, max(1, days[-1]))
    ax.set_ylim(1.08 * low, 1.08 * high)
    if low < -0.5:
        ax.axhline(0, color=_SOFT, lw=0.8)
        ax.annotate("below this line: tied up by microbes", (days[-1], 0), xytext=(-4, -4), textcoords="offset points", ha="right", va="top", fontsize=9,
                    color=_SOFT)
    ax.set_xlabel("days after mixing into moist soil", fontsize=9, color=_INK)
    who = curves.materials[0].title
    title = f"How fast is the nitrogen in {who[0].lower() + who[1:] if who[1:2].islower() else who} freed?" if len(curves.materials) == 1 else "How fast is their nitrogen freed?"
    _title(ax, title, "of each 100 g of nitrogen given, grams that plants can take up")
    _label_ends(ax, ends)
    return ax


def plot_soil(run: Run, planting: str, *, axes: Sequence[Axes] | None = None) -> tuple[Axes, Axes]:
    """Warmth and water of the soil under a planting through the season, near the top and deeper.

    Args:
        run: from `Garden.season()`.
        planting: its name, or a column's ("NAME OF BED: bare ground").
        axes: two to draw on.

    Returns:
        The two Axes: temperature, moisture.
    """
    _season(run)
    column = run.columns[_check.one_of(planting, "planting", tuple(run.columns))]
    if axes is not None and len(_check.each(axes, "axes", "two Axes")) != 2:
        _check.refuse("axes", _check.Words(f"{len(axes)} of them"), "two Axes, one above the other", "make them with pyplot.subplots(2, 1)[1], or leave them out")
    if axes is None:
        upper = _axes(None, (8.0, 5.6))
        upper.figure.clear()
        axes = upper.figure.subplots(2, 1, sharex=True)
    warm, wet = (_axes(ax) for ax in axes)
    edges = np.array([0.0, *np.cumsum(column.layers_mm)]) / 10
    top, deep = 0, min(2, len(column.layers_mm) - 1)
    days = run.dates.astype(object)

    def depth(layer: int) -> str:
        return f"{edges[layer]:.0f} to {edges[layer + 1]:.0f} cm"

    def lines(ax: Axes, values: Array, layers: Sequence[int]) -> None:
        ends = []
        for k, layer in enumerate(layers):
            colour = _SOFT if k == 0 else _ACCENT
            ax.plot(days, values[:, layer], color=colour, lw=0.8 if k == 0 else 1.8)
            ends.append((values[-1, layer], depth(layer), colour))
        _months(ax, days[0], days[-1])
        _label_ends(ax, ends)

    layers = [top] if deep == top else [top, deep]
    t = column.series["soil_c"]
    warm.set_ylim(min(0.0, 1.1 * float(t.min())), 1.08 * float(t.max()))
    lines(warm, t, layers)
    if not column.bare and column.verdict is not None and column.verdict.wakes is not None:
        woke = column.verdict.wakes
        at = t[(woke - run.first_day).days, deep]
        warm.annotate(f"begins to grow, {_html.day(woke)}", (woke, at), xytext=(-12, 26), textcoords="offset points", ha="right", fontsize=9, color=_INK,
                      arrowprops={"arrowstyle": "-", "color": _INK, "lw": 0.8})
    _title(warm, f"How warm is the soil under {_called(planting) if not column.bare else planting}?", "degrees Celsius, mean of the day")

    a = 100 * column.series["available_frac"]
    wet.set_ylim(0, 108)
    lines(wet, a, layers)
    watered = column.series["watered_mm"] > 0
    if watered.any():
        wet.plot(run.dates[watered].astype(object), np.full(int(watered.sum()), 3.0), ls="", marker="|", ms=7, color=_INK)
        wet.annotate("watered", (run.dates[watered].astype(object)[0], 3.0), xytext=(-6, 0), textcoords="offset points", ha="right", va="center",
                     fontsize=8, color=_INK)
    _title(wet, "And how moist?", "of each 100 parts of water that plants can draw from full soil, parts that are there")
    return warm, wet


def _bytes(figure: Figure, kind: str) -> bytes:
    """The same figure gives the same bytes: no date, no version, names in SVG by a fixed salt."""
    import io

    from matplotlib import rc_context

    out = io.BytesIO()
    with rc_context({"svg.hashsalt": "leafhunger", "svg.fonttype": "none"}):
        figure.savefig(out, format=kind, dpi=150, metadata={"Software": None} if kind == "png" else {"Date": None, "Creator": None})
    return out.getvalue()


def save_figures(run: Run, folder: str | os.PathLike[str], *, kind: str = "png", force: bool = False) -> tuple[str, ...]:
    """See `Run.save_figures()`."""
    try:
        from matplotlib.figure import Figure
    except ImportError:
        raise ImportError("pictures need matplotlib, which is not installed (Debian: python3-matplotlib); run.report(folder, figures=True) writes SVG "
                          "without it") from None
    kind, force = _check.one_of(kind, "kind", ("png", "svg")), _check.flag(force, "force")
    place = pathlib.Path(folder)
    fed = [name for name in run.verdict if run.columns[name].fed]
    names: dict[str, tuple[str, str | None]] = {}
    for number, name in enumerate(fed, 1):
        # As the engine's own: letters and figures only, so that no file system sees anything in a user's name.
        stem = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40].strip("-")
        for what in ("supply", "soil"):
            names[f"{what}-{number}{'-' + stem if stem else ''}.{kind}"] = (what, name)
    if fed:
        names[f"where-it-went.{kind}"] = ("where", None)
    taken = [name for name in names if (place / name).exists()]
    if taken and not force:
        _check.refuse("folder", str(place / taken[0]), "a folder without a file of that name", "take another folder, or force=True")
    drawn = {}
    for file, (what, planting) in names.items():
        figure = Figure(figsize=(8.0, 5.6) if what == "soil" else (8.0, 4.2), constrained_layout=True)
        if what == "soil":
            plot_soil(run, str(planting), axes=figure.subplots(2, 1, sharex=True))
        elif what == "supply":
            plot_supply(run, str(planting), ax=figure.subplots())
        else:
            plot_where_it_went(run, ax=figure.subplots())
        drawn[file] = _bytes(figure, kind)
    place.mkdir(parents=True, exist_ok=True)
    for file, data in drawn.items():
        half = place / f".{file}.{os.getpid()}"
        half.write_bytes(data)
        half.replace(place / file)
    return tuple(drawn)
