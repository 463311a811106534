"""Many gardens over many seasons, on whatever executor there is."""
from __future__ import annotations

import datetime
import functools
import io
import os
import sys
import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from os import PathLike
from typing import TYPE_CHECKING, Any

from . import _check, _html, _tasks
from ._garden import Garden
from ._scenario import Source, source

if TYPE_CHECKING:
    import concurrent.futures


@dataclass(frozen=True)
class StudyRow:
    """One planting of one garden in one season."""

    number: int  # of the garden, in the order given, from 0
    garden: str
    season: int
    planting: str
    outcome: str  # as in Verdict
    first_short: datetime.date | None
    nni_at_date: float  # nitrogen in the plant over nitrogen that its size needs, on the date asked about
    growth_frac: float  # growth over that of a plant never short of nitrogen
    taken_kg_n_ha: float
    leached_kg_n_ha: float
    gain_g: float  # uptake with the feed less uptake without, g N of all its plants

    @property
    def kept(self) -> bool:
        """Whether it was carried to the date."""
        return self.outcome in ("carried", "just-carried")


class Stopped(KeyboardInterrupt):
    """Ctrl-C stopped a study. `study` holds what was finished."""

    def __init__(self, study: Study) -> None:
        super().__init__(f"stopped after {study.finished} of {study.asked} seasons")
        self.study = study


class Study:
    """Many gardens over many seasons. Made by `ensemble()`; `print` it for words.

    Attributes:
        rows: StudyRow of each planting, by garden, season and the scenario's order.
        gardens: names, in the order given.
        asked, finished: seasons of gardens; they differ only where Ctrl-C came.
        notes: lines to be read.
    """

    def __init__(self, rows: tuple[StudyRow, ...], gardens: tuple[str, ...], carry_to: tuple[str, ...], asked: int, finished: int,
                 notes: tuple[str, ...]) -> None:
        self.rows, self.gardens, self.asked, self.finished, self.notes = rows, gardens, asked, finished, notes
        self._carry_to = carry_to

    @property
    def kept(self) -> Mapping[tuple[int, str], tuple[int, int]]:
        """For each garden's number and planting: in how many of how many seasons it was carried to the date."""
        counts: dict[tuple[int, str], list[int]] = {}
        for row in self.rows:
            count = counts.setdefault((row.number, row.planting), [0, 0])
            count[0] += row.kept
            count[1] += 1
        return {key: (kept, of) for key, (kept, of) in counts.items()}

    def to_csv(self) -> str:
        """A line for each row; the same text whatever ran it. Numbers are written so that reading them gives the same number."""
        import csv

        out = io.StringIO()
        names = [f.name for f in fields(StudyRow)]
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(names)
        for row in self.rows:
            cells = [getattr(row, n) for n in names]
            writer.writerow(["" if c is None else c.isoformat() if isinstance(c, datetime.date) else repr(c) if isinstance(c, float) else c for c in cells])
        return out.getvalue()

    def write(self, path: str | PathLike[str]) -> None:
        """`to_csv()` to a file, which is there whole or not at all."""
        import tempfile

        target = os.path.abspath(_check.path(path, "path"))
        handle, part = tempfile.mkstemp(dir=os.path.dirname(target), prefix=".leafhunger-", suffix=".csv")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="") as stream:
                stream.write(self.to_csv())
            os.replace(part, target)
        except BaseException:
            os.unlink(part)
            raise

    def words(self) -> str:
        """What came out, in words."""
        seasons = sorted({row.season for row in self.rows})
        if not seasons:
            return "No season was finished."
        span = f"{seasons[0]}" if len(seasons) == 1 else f"{seasons[0]} to {seasons[-1]}"
        lines = _of_one(self, span) if len(self.gardens) == 1 else _of_many(self, span)
        if self.finished < self.asked:
            lines = [f"Stopped after {self.finished:,} of {self.asked:,} seasons. Of these:", "", *lines]
        return "\n".join([*lines, *([""] if self.notes else []), *(f"  {n}" for n in self.notes)])

    def __str__(self) -> str:
        return self.words()

    def __repr__(self) -> str:
        return f"<leafhunger.Study: {len(self.gardens)} gardens, {self.finished} of {self.asked} seasons, {len(self.rows)} rows>"

    def _repr_html_(self) -> str:
        rows = [(self.gardens[number], planting, f"{kept} of {of}") for (number, planting), (kept, of) in self.kept.items()]
        more = f"and {len(rows) - 50} more" if len(rows) > 50 else ""
        return _html.table("In how many seasons is each carried to the date?", ("garden", "planting", "carried"), rows[:50], more)


def _day(month_day: str) -> str:
    return _html.day(datetime.date.fromisoformat(f"2000-{month_day}"))


def _usual(rows: Iterable[StudyRow]) -> str:
    """"usually short from 12 August" of the middle one of those that ran short."""
    # By the calendar, so that a leap year is not a day late.
    short = sorted(((row.first_short.year - row.season, row.first_short.month, row.first_short.day), row.first_short)
                   for row in rows if row.outcome == "short" and row.first_short)
    if not short:
        return ""
    day = short[len(short) // 2][1]
    return f"usually short from {_html.day(day)}" if len(short) > 1 else f"short from {_html.day(day)}"


def _of_one(study: Study, span: str) -> list[str]:
    rows = study.rows
    years = len({row.season for row in rows})
    names = list(dict.fromkeys(row.planting for row in rows))
    wide = max(map(len, names))
    lines = [f"{study.gardens[0]}, {years} seasons, {span}: carried to {_day(study._carry_to[0])}?", ""]
    for name in names:
        mine = [row for row in rows if row.planting == name]
        kept = sum(row.kept for row in mine)
        others = [f"{n} {text}" for outcome, text in (("never-woke", "too cold to wake"), ("water-limited", "short of water"))
                  if (n := sum(row.outcome == outcome for row in mine))]
        lines.append(f"  {name:{wide}}  in {kept} years of {len(mine)}" + "".join(f"; {t}" for t in [_usual(mine), *others] if t))
    return lines


def _of_many(study: Study, span: str) -> list[str]:
    kept = study.kept
    names = list(dict.fromkeys(planting for _, planting in kept))
    wide = max(map(len, [*names, "planting"]))
    lines = [f"{len(study.gardens):,} gardens, seasons {span}. Carried to the date that each asks about?", "",
             f"  {'planting':{wide}}  gardens  in 9 years of 10  in half or more"]
    for name in names[:20]:
        counts = [count for (_, planting), count in kept.items() if planting == name]
        nine = sum(10 * k >= 9 * of for k, of in counts)
        half = sum(2 * k >= of for k, of in counts)
        lines.append(f"  {name:{wide}}  {len(counts):7,}  {nine:16,}  {half:15,}")
    if len(names) > 20:
        lines.append(f"  and {len(names) - 20:,} plantings more")
    return lines


@dataclass(frozen=True)
class _Task:
    number: int
    source: Source
    seasons: tuple[int, ...]
    call: int  # tells calls apart: a file may have changed since the last one


@functools.lru_cache(maxsize=8)
def _garden(where: Source, call: int) -> Garden:
    return where.load()


def _rows(task: _Task) -> list[StudyRow]:
    """What one garden came to in some seasons; runs wherever the executor puts it."""
    garden = _garden(task.source, task.call)
    rows = []
    for season in task.seasons:
        run = garden.season(season, reasons=False)
        for name, column in run.columns.items():
            v = column.verdict
            if v is not None:
                rows.append(StudyRow(task.number, garden.name, season, name, v.outcome, v.first_short, v.nni_at_date, v.growth_frac, column.ledger.taken,
                                     column.ledger.leached, column.gain_g))
    return rows


def ensemble(gardens: Any, seasons: Iterable[int] | None = None, *, executor: concurrent.futures.Executor | None = None, plugins: object = (),
             catalogue: str | PathLike[str] | None = None, out: str | PathLike[str] | None = None, progress: bool | None = None) -> Study:
    """Runs one or many gardens over many seasons, each garden and season by itself.

    The answer is the same to the last digit whatever runs it: threads, processes or machines of one kind, few or many. Every garden is read before the
    first season is run, so that a slip in the last one is told at once. A worker that dies is survived: by a fresh pool of processes here, by the
    cluster itself where that is Dask. Ctrl-C prints what was finished and raises `Stopped`, a KeyboardInterrupt whose `study` holds it.

    Args:
        gardens: one or several: paths of scenarios, scenarios as dicts, or Gardens.
        seasons: years that seasons end in; every one that the garden's weather covers where none is given.
        executor: a concurrent.futures.Executor, such as ProcessPoolExecutor(4) or a Dask client's get_executor(); threads of this process where none is
            given. Its workers must see the same files. Models that `register()` brought are known in this process only.
        plugins: folders to look for plugins in first.
        catalogue: folder of another catalogue.
        out: file for `Study.to_csv()`; written when all is done, and whole.
        progress: whether to show it on stderr; on a terminal only where nothing is said.

    Raises:
        InputError: anything wrong with a garden, or a season that its weather does not cover.
        Stopped: Ctrl-C.

    Example:
        >>> with ProcessPoolExecutor(4) as pool:
        ...     print(lh.ensemble(["front.json", "back.json"], executor=pool))
    """
    _tasks.check_executor(executor)
    many = [gardens] if isinstance(gardens, (str, PathLike, Mapping, Garden)) else gardens
    if isinstance(many, bytes) or not isinstance(many, Iterable):
        _check.refuse("gardens", gardens, "a path, a scenario or a list of such")
    sources = [source(g, plugins, catalogue) for g in many]
    if not sources:
        _check.refuse("gardens", _check.Words("none"), "at least one")
    wanted = None if seasons is None else list(dict.fromkeys(_check.whole(s, "seasons") for s in _check.each(seasons, "seasons", "years")))
    if wanted is not None and not wanted:
        _check.refuse("seasons", _check.Words("none"), "at least one", "leave it out for all that the weather covers")
    if out is not None:
        folder = os.path.dirname(os.path.abspath(_check.path(out, "out")))
        if not os.path.isdir(folder):
            _check.refuse("out", str(out), "a file in a folder that is there", "make the folder first")
    call = time.time_ns()
    names, carry, years = [], [], []
    for where in sources:
        garden = where.load()
        names.append(garden.name)
        carry.append(garden.carry_to)
        covered = garden.seasons
        for season in wanted or ():
            if season not in covered:
                _check.refuse("seasons", season, f"{covered[0]} to {covered[-1]}, which the weather of {garden.name} covers")
        years.append(tuple(covered if wanted is None else wanted))
    asked = sum(map(len, years))
    block = max(1, min(30, asked // 256))
    tasks = [_Task(number, where, mine[k:k + block], call) for number, (where, mine) in enumerate(zip(sources, years)) for k in range(0, len(mine), block)]
    notes: list[str] = []

    def study(answers: dict[int, list[StudyRow]]) -> Study:
        rows = tuple(row for index in sorted(answers) for row in answers[index])
        return Study(rows, tuple(names), tuple(carry), asked, sum(len(tasks[i].seasons) for i in answers), tuple(notes))

    try:
        answers = _tasks.run(_rows, tasks, executor, what="seasons", size=lambda task: len(task.seasons), progress=progress, notes=notes)
    except _tasks.Halted as halted:
        part = study(halted.answers)
        print(part, file=sys.stderr)
        raise Stopped(part) from None
    whole = study(answers)
    if out is not None:
        whole.write(out)
    return whole
