"""Which figure does the answer for a planting hang on, and so, which should be measured first?"""
from __future__ import annotations

import copy
import textwrap
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from os import PathLike
from typing import TYPE_CHECKING, Any

import numpy as np

from . import _alone, _check, _engine, _html, _sobol, _tasks
from ._alone import Alone
from ._garden import Garden
from ._plugins import Model, plugins as list_plugins
from ._scenario import Source, source
from ._sobol import Sobol, Span

if TYPE_CHECKING:
    import concurrent.futures

_PACKED = 20  # variants of a planting in one scenario


@dataclass(frozen=True)
class Figure:
    """A figure that is not well known: what it is, how to measure it, what it may be."""

    key: str
    words: str
    measure: str
    span: Span


@dataclass(frozen=True)
class _Drawn:
    figure: Figure
    put: Callable[[Alone, float], None]


# Plant's figures: words, how to measure, span about the entry's value (equations.md 12 says what is weak and what a user can measure; the spans are our own
# guess). A pair of factors, or of degrees for the base temperature.
_PLANT = (
    ("base_c", "how cold it may be and it still grows", "write down the day of its first new leaf and the warmth of that week", (-2.0, 2.0)),
    ("radiation_use_g_mj", "how fast it grows", "measure its height every month", (0.75, 1.33)),
    ("critical_a_percent", "how much nitrogen its leaves need", "have one leaf and stem, dried in August, looked at by a laboratory", (0.85, 1.15)),
    ("root_depth_mm", "how deep its roots go", "dig down beside one plant in August", (0.7, 1.4)),
)


def _release(material: str, m: Any, model: Model, only_one: bool) -> list[_Drawn]:
    known = {p.name: p for p in model.parameters}
    drawn = []
    for name, sd in m.spread.items():
        if name not in known or sd <= 0:
            continue
        have = {**{n: p.default for n, p in known.items()}, **m.estimated, **m.parameters}
        value = have[name]
        if name == "carbon_to_nitrogen" and name not in m.parameters:  # the model's is of the organic part, and so is its spread
            value = m.carbon_to_nitrogen / (1 - have.get("ready_frac", 0.0))
        low = max(known[name].lower, m.ammonium_frac if name == "ready_frac" else known[name].lower)

        def put(v: Alone, x: float, name: str = name) -> None:
            v.materials[material].setdefault("parameters", {})[name] = x

        feed = "the feed" if only_one else m.title[0].lower() + m.title[1:]
        share = {"ready_frac": f"how much of {feed} is ready at once", "fast_frac": f"how much of {feed} decays fast",
                 "carbon_to_nitrogen": f"how much carbon {feed} holds"}.get(name, f"{feed}: {known[name].meaning}")
        figure = Figure(f"{material}: {name}", share, "keep a jar of it in soil at room temperature, test it after 2 and 6 weeks, and calibrate()",
                        Span(low, known[name].upper, middle=value, sd=sd))
        drawn.append(_Drawn(figure, put))
    return drawn


def _plant(v: Alone, model: Model) -> list[_Drawn]:
    known = {p.name: p for p in model.parameters}
    drawn = []
    for name, words, measure, (down, up) in _PLANT:
        if name not in known:
            continue
        value = float(v.plant["parameters"].get(name, known[name].default))
        low, high = (value + down, value + up) if name == "base_c" else (value * down, value * up)
        if name == "base_c":
            high = min(high, float(v.plant["parameters"].get("optimum_c", known["optimum_c"].default)) - 1) if "optimum_c" in known else high
        low, high = max(low, known[name].lower), min(high, known[name].upper)
        if not low < high or value <= 0 and name != "base_c":
            continue

        def put(v: Alone, x: float, name: str = name) -> None:
            v.plant["parameters"][name] = x

        drawn.append(_Drawn(Figure(name, words, measure, Span(low, high, log=name != "base_c")), put))

    def crown(v: Alone, x: float) -> None:
        v.planting["crown_m2"] = x

    def uptake(v: Alone, x: float) -> None:
        v.plant.setdefault("host", {})["uptake_per_day"] = x

    wide = v.planting["crown_m2"]
    reach = v.plant.get("host", {}).get("uptake_per_day", 0.10)
    return [_Drawn(Figure("crown_m2", "how far its leaves spread", "measure the crown of a full-grown plant with a tape", Span(0.7 * wide, 1.4 * wide, log=True)), crown),
            *drawn,
            # 0.05 to 0.25 about 0.10: equations.md 11.
            _Drawn(Figure("uptake_per_day", "how fast its roots find nitrogen", "hold a nitrate strip to the soil among its roots when leaves pale",
                          Span(0.5 * reach, 2.5 * reach, log=True)), uptake)]


def _soil(v: Alone) -> list[_Drawn]:
    drawn = []
    ground = v.bed.get("soil") or v.bed["container"]
    which = "soil" if "soil" in v.bed else "container"
    usual = 3.0 if which == "soil" else 0.0
    matter = ground.get("organic_matter_percent", usual)

    def organic(v: Alone, x: float) -> None:
        v.bed[which]["organic_matter_percent"] = x

    if matter > 0:  # the soil's own nitrogen is unknown by a factor of two: equations.md 12
        drawn.append(_Drawn(Figure("organic_matter_percent", "how much organic matter the soil holds", "have the soil tested", Span(matter / 2, min(2 * matter, 60), log=True)), organic))
    names, key = _engine.textures(), "texture" if which == "soil" else "mix"
    texture = ground.get(key, "loam")
    ranked = [t for t in names if t != "potting mix"]
    if texture in ranked and not {"field_capacity", "wilting_point", "porosity"} & set(ground):
        at = ranked.index(texture)

        def grain(v: Alone, x: float) -> None:
            v.bed[which][key] = ranked[min(max(at + int(np.floor(x + 0.5)), 0), len(ranked) - 1)]

        # One class coarser, as it is, one finer: equally likely.
        drawn.append(_Drawn(Figure("texture", "whether the soil is coarser or finer than it feels", "let a jar of soil and water settle and read its bands", Span(-1.5, 1.4999)), grain))
    return drawn


def _amount(v: Alone) -> list[_Drawn]:
    by_hand = ("handfuls", "trowels")
    if not any(set(by_hand) & set(f["amount"]) for f in v.feedings):
        return []

    def weigh(v: Alone, x: float) -> None:
        for given in v.feedings:
            for measure in by_hand:
                if measure in given["amount"]:
                    given["amount"][measure] *= x

    return [_Drawn(Figure("handful", "what a handful of it weighs", "weigh three handfuls on kitchen scales", Span(0.75, 1.33, log=True)), weigh)]


def _figures(v: Alone, garden: Garden, models: Mapping[str, Model]) -> list[_Drawn]:
    drawn = _amount(v)
    for material in v.materials:
        m = garden.materials[material]
        drawn += _release(material, m, models[m.model], len(v.materials) == 1)
    return [*drawn, *_plant(v, models[v.plant["model"]]), *_soil(v)]


@dataclass(frozen=True)
class _Task:
    source: Source
    season: int
    count: int


def _answers(task: _Task) -> list[tuple[float, float, float]]:
    """Of each variant: the index on the date, the first short day (the season's length where there is none), whether short by the date."""
    run = task.source.load().season(task.season, reasons=False)
    told = []
    for k in range(task.count):
        v = run.verdict[f"v{k}"]
        day = (run.last_day - run.first_day).days + 1 if v.first_short is None else (v.first_short - run.first_day).days
        told.append((v.nni_at_date, float(day), float(v.outcome == "short")))
    return told


@dataclass(frozen=True)
class Sensitivity:
    """What the answer for a planting hangs on. Made by `sensitivity()`; `print` it for words.

    Attributes:
        garden, planting, season: what was asked about.
        carry_to: the date, "MM-DD".
        figures: what is not well known, in the order of the indices.
        nni: Sobol indices of how well fed it is on the date (nitrogen in the plant over what its size needs).
        first_short: Sobol indices of the first short day; a season without one counts as its last day and one.
        short_share: in how large a share of the variants it is short by the date.
    """

    garden: str
    planting: str
    season: int
    carry_to: str
    figures: tuple[Figure, ...]
    nni: Sobol
    first_short: Sobol
    short_share: float

    def ranked(self) -> tuple[Figure, ...]:
        """Figures, the one to measure first in front: by its total index for how well fed the planting is on the date."""
        return tuple(self.figures[i] for i in np.argsort(-self.nni.total, kind="stable"))

    def words(self) -> str:
        """What to measure first, in words."""
        import datetime

        date = _html.day(datetime.date.fromisoformat(f"2000-{self.carry_to}"))
        name = self.planting[0].lower() + self.planting[1:] if self.planting[1:2].islower() else self.planting
        lines = [*_filled(f"{self.garden}, {self.season}, {name}: what does the answer hang on?", ""), ""]
        tenths = round(10 * self.short_share)
        lines += _filled(f"As far as we can tell, in {tenths} of 10 gardens like this one the planting runs short by {date}.", "  ")
        if not self.nni.variance > 0:
            return "\n".join([*lines, "", *_filled("No figure that is in doubt changes the answer: there is nothing to measure.", "  ")])
        order = np.argsort(-self.nni.total, kind="stable")
        first, rest = self.figures[order[0]], [i for i in order[1:] if self.nni.total[i] >= 0.05]
        lines += ["", *_filled(f"Measure first {first.words}: {first.measure}.", "  ")]
        if rest:
            second = self.figures[rest[0]]
            near = self.nni.total_high[rest[0]] > self.nni.total_low[order[0]]
            lines += _filled((f"Or {second.words}: {second.measure}. So few tries cannot tell which of the two counts for more." if near else
                              f"Then {second.words}: {second.measure}."), "  ")
        idle = [self.figures[i].words for i in order if self.nni.total[i] < 0.05]
        if idle:
            lines += _filled(f"Hardly worth a measurement: {'; '.join(idle)}.", "  ")
        wide = min(44, max(25, *(len(f.words) for f in self.figures)))
        lines += ["", f"  {'':{wide}}  how fed on the date  first short", f"  {'Of 100 parts of the doubt':{wide}}  alone   with others          day"]
        for i in order:
            label = textwrap.shorten(self.figures[i].words, wide, placeholder="...")
            day = f"{100 * self.first_short.total[i]:11.0f}" if self.first_short.variance > 0 else f"{'-':>11}"
            lines.append(f"  {label:{wide}}  {100 * max(0.0, self.nni.first[i]):5.0f}   {100 * self.nni.total[i]:11.0f}  {day}")
        return "\n".join(lines)

    def __str__(self) -> str:
        return self.words()

    def _repr_html_(self) -> str:
        order = np.argsort(-self.nni.total, kind="stable")
        rows = [(self.figures[i].words, self.figures[i].measure, f"{100 * self.nni.total[i]:.0f}", f"{100 * self.nni.total_low[i]:.0f} to {100 * self.nni.total_high[i]:.0f}")
                for i in order]
        return _html.table(f"{self.garden}, {self.planting}: what does the answer hang on?", ("figure", "how to measure it", "parts of 100", "19 times in 20"), rows)


def _filled(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, 80, initial_indent=indent, subsequent_indent=indent)


def sensitivity(garden: Garden | str | PathLike[str], planting: str, *, season: int | None = None, known: str | Iterable[str] = (),
                spans: Mapping[str, Span | tuple[float, float]] | None = None, samples: int = 64, resamples: int = 1000, seed: int = 1,
                executor: concurrent.futures.Executor | None = None, plugins: object = (), catalogue: str | PathLike[str] | None = None,
                progress: bool | None = None) -> Sensitivity:
    """On which of the figures that nobody knows well does the answer for a planting hang? Measure that one first.

    Drawn are: release figures of what it is fed, by the catalogue's spread; what a handful weighs, where handfuls are given; crown, base temperature,
    growth, nitrogen wanted, depth and reach of its roots; organic matter and texture of its soil. The spans of plant and soil are our own guess of how far
    a careful gardener may be off. All of them are drawn independently of each other. Each variant is a season of the planting alone, on the ground that
    goes with its crown. What depends on no such figure (weather, the date asked about, mulch, watering) stays as the scenario says.

    Args:
        garden: from `load()`, or a path.
        planting: its name.
        season: the year that it ends in; the scenario's own where none is given.
        known: keys of figures that you measured: they stay as the scenario says.
        spans: by key, what a figure may be, where you know better: a Span, or (low, high).
        samples: rows of the design, a power of two; samples x (figures + 2) seasons are run.
        resamples: of the bootstrap that gives intervals.
        seed: the same seed gives the same answer.
        executor: as in `ensemble()`.
        plugins: folders to look for plugins in first.
        catalogue: folder of another catalogue.
        progress: as in `ensemble()`.

    Raises:
        InputError: an unknown name or key, or a span that a scenario may not hold.
        KeyboardInterrupt: Ctrl-C; nothing is left behind.

    Example:
        >>> print(lh.sensitivity("saltmarsh-lane.json", "Bananas", known="crown_m2"))
    """
    _sobol.need_scipy("sensitivity()")
    _tasks.check_executor(executor)
    n = _sobol.sample_size(samples)
    repeats, start = _check.whole(resamples, "resamples", least=1), _check.whole(seed, "seed", least=0)
    where = source(garden, plugins, catalogue)
    opened = where.load()
    name = _check.one_of(planting, "planting", tuple(opened.plantings))
    year = opened.season_asked if season is None else _check.whole(season, "season")
    run = opened.season(year, reasons=False)
    base = _alone.alone(opened, name, run.columns[name].area_m2, where.catalogue)
    drawn = _figures(base, opened, list_plugins(where.plugins).models)
    keys = [d.figure.key for d in drawn]
    measured = {_check.one_of(k, "known", keys) for k in _check.names(known, "known")}
    better = {_check.one_of(k, "spans", keys): s if isinstance(s, Span) else Span(*s) for k, s in dict(spans or {}).items()}
    drawn = [_Drawn(Figure(f.key, f.words, f.measure, better.get(f.key, f.span)), d.put) for d in drawn if (f := d.figure).key not in measured]
    if not drawn:
        _check.refuse("known", _check.Words("every figure"), "fewer of them", "nothing is left to draw")
    points = _sobol.design([d.figure.span for d in drawn], n, start)

    variants = []
    for point in points:
        v = copy.deepcopy(base)
        for d, x in zip(drawn, point):
            d.put(v, float(x))
        v.settle()
        variants.append(v)
    # A scenario holds 50 beds and 200 feedings.
    most = max(1, min(_PACKED, 200 // max(1, len(base.feedings))))
    packs = [variants[k:k + most] for k in range(0, len(variants), most)]
    tasks = [_Task(Source("", _alone.pack(p), where.plugins, where.catalogue), year, len(p)) for p in packs]
    try:
        told = _tasks.run(_answers, tasks, executor, what="seasons", size=lambda t: t.count, progress=progress, notes=[])
    except _tasks.Halted as halted:
        done = sum(tasks[i].count for i in halted.answers)
        raise KeyboardInterrupt(f"stopped after {done} of {len(variants)} seasons") from None
    answers = np.array([row for i in range(len(tasks)) for row in told[i]])
    names = [d.figure.key for d in drawn]
    nni, first = (_sobol.from_answers(names, answers[:, k], n, resamples=repeats, seed=start) for k in (0, 1))
    return Sensitivity(opened.name, name, year, opened.carry_to, tuple(d.figure for d in drawn), nni, first, float(answers[:2 * n, 2].mean()))
