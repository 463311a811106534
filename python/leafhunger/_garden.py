"""A scenario made ready to run."""
from __future__ import annotations

import datetime
import pathlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from os import PathLike

from . import _check, _engine, _html, _keywords, _places
from ._by_name import ByName
from ._jar import Material
from ._run import Run
from ._sureness import Enough, Sureness, Today
from ._topups import TopUps
from ._trace import Trace
from ._years import Lasts


@dataclass(frozen=True)
class Planting:
    """A planting as the scenario names it."""

    name: str
    bed: str
    plant: str  # id in the catalogue
    count: int


class Garden:
    """A garden, read and checked. Made by `load()`. It never changes, so any number of threads may use it at once; each long call frees
    Python's lock while it computes.

    Attributes:
        name, note: as in the scenario.
        file: path as given to `load()`.
    """

    def __init__(self, engine: _engine.Garden, models: tuple[str, ...], again: Callable[[int | None, str | None], _engine.Garden]) -> None:
        self._engine = engine
        self._again = again  # the same files read again, following the diary of another season or as on a day
        self.models = models  # of the plugins that were loaded
        self.name: str = engine.name
        self.note: str = engine.note
        self.file: str = engine.file

    def _following(self, season: int | None = None, today: str | None = None) -> _engine.Garden:
        """The garden as the diary beside its file has it for that season, or as on that day: the one loaded follows the season it asks about."""
        if (today is None and season in (None, self.season_asked)) or not pathlib.Path(self._engine.diary).exists():
            return self._engine
        return self._again(season, today)

    @property
    def seasons(self) -> tuple[int, ...]:
        """Seasons that the weather covers from end to end, by the year each ends in."""
        return tuple(self._engine.seasons)

    @property
    def season_asked(self) -> int:
        """The season that the scenario asks about."""
        return self._engine.season_asked

    @property
    def carry_to(self) -> str:
        """The day that the scenario asks about, "MM-DD"."""
        return self._engine.carry_to

    @property
    def plantings(self) -> Mapping[str, Planting]:
        """Plantings by name."""
        return ByName("planting", {p[0]: Planting(*p) for p in self._engine.plantings()})

    @property
    def materials(self) -> Mapping[str, Material]:
        """Materials that the scenario may name: the catalogue's and its own, by id."""
        return ByName("material", {id: Material.from_engine(d) for id, d in self._engine.materials().items()})

    @property
    def notes(self) -> tuple[str, ...]:
        """What was noticed on reading."""
        return tuple(self._engine.notes)

    def layers_mm(self, bed: str) -> tuple[float, ...]:
        """Thickness of a bed's soil layers, top first."""
        return tuple(self._engine.layers_mm(bed))

    def season(self, year: int | None = None, *, reasons: bool = True) -> Run:
        """Runs one season, day by day, every gram labelled.

        Args:
            year: the year that the season ends in; the scenario's own where none is given.
            reasons: also find out why plantings ran short (a few seasons more for each).

        Raises:
            InputError: the weather does not cover that season.
            PluginError, SolverError, LedgerError: the run failed.
        """
        season = None if year is None else _check.whole(year, "year")
        followed = self._following(season)
        return Run(followed.season(season, _check.flag(reasons, "reasons")), self, followed)

    def lasts(self) -> Lasts:
        """Runs every season that the weather covers, on all cores: in how many is each planting carried to the date?"""
        return Lasts(_engine.lasts(self._engine))

    def how_sure(self, samples: int = 50, *, seed: int = 1, width: float = 1.0, season: int | None = None,
                 progress: Callable[[int, int], object] | None = None) -> Sureness:
        """How sure is that? Runs every season for many ways that feed, soil and plant may truly be, on all cores.

        Args:
            samples: how many ways to try, 2 to 10000.
            seed: another whole number from 0 gives other draws.
            width: factor on how far each figure may lie, 0 to 2.
            season: of the bands by day; the scenario's own where none is given.
            progress: called with how many of how many seasons are done, now and then. Ctrl-C stops the work.

        Raises:
            InputError: a number is out of range, or the weather does not cover that season.
        """
        _check.told(progress)
        return Sureness(_engine.how_sure(self._engine, _check.whole(samples, "samples"), _check.whole(seed, "seed", 0),
                                         _check.number(width, "width"), None if season is None else _check.whole(season, "season"), progress))

    def enough(self, *, doses: Sequence[float] | None = None, dates: str | Iterable[str] | None = None) -> Enough:
        """What spring dose would do in 9 years of 10? Runs every season of the weather for each dose and date, on all cores.

        Args:
            doses: multiples of the spring dose, above 0 and at most 100, for a curve.
            dates: days of the year to give it on instead, "MM-DD", for a curve.

        Raises:
            InputError: a number or day is out of range, or nothing in the garden is fed.
        """
        multiples = [] if doses is None else [_check.number(m, "doses") for m in _check.each(doses, "doses", "multiples")]
        days = _check.names(dates, "dates")
        with _keywords.of_enough():
            return Enough(_engine.enough(self._engine, multiples, days))

    def today(self, on: str | datetime.date) -> Today:
        """How does each planting stand on a day, and when is its next feed due? Nothing of the record after that day is used for its season.

        Args:
            on: the day that counts as today, a date or "YYYY-MM-DD".

        Raises:
            InputError: there is no such day, the weather begins later than that day's season does, or it holds no other season. Where it ends
                before that day, other years stand for the days that are missing.
        """
        if isinstance(on, datetime.date):
            on = on.isoformat()[:10]
        if not isinstance(on, str):
            _check.refuse("on", on, "a day as YYYY-MM-DD, such as 2024-06-15")
        with _keywords.of_today():
            return Today(_engine.today(self._following(today=on), on))

    def topup(self, material: str | Iterable[str], plantings: str | Iterable[str] | None = None, *, intervals_d: Sequence[int] | None = None,
              doses_g_per_plant: Sequence[float] | None = None, first_after_d: int | Sequence[int] = 30,
              until: str | Iterable[str] | None = None, together: bool = False, prefer: str | Iterable[str] = (), years: str | float = "9/10",
              may_scorch: bool = False, leached_at_most_g_n_m2: float | None = None, whole_grid: bool = False,
              progress: Callable[[int, int], object] | None = None) -> TopUps:
        """What to top up with, how far apart, how much and how long? Searches a grid over every season of the weather, on all cores. Exact: what
        is left out cannot be among the schedules to choose from. Ctrl-C stops it.

        Args:
            material: what to top up with, as people call it or by its id in the catalogue, or several to choose from.
            plantings: names; those of greedy plants where none is given.
            intervals_d: days between top-ups to try; 14 to 70 in weeks where none is given.
            doses_g_per_plant: grams of material a plant to try; 1/2 to 4 handfuls where none is given.
            first_after_d: days from a planting's first feeding to its first top-up; several to try.
            until: no top-up after this day, "MM-DD"; several to try. Where none is given 31 August, in the south 28 February.
            together: one calendar for all plantings, each with a dose of its own.
            prefer: of "cost", "trips" and "leached" what matters most first; those left out come after, as trips, cost, leached.
            years: in how many of them it is to last: "9/10" or 0.9.
            may_scorch: also doses of more than 5 g of soluble nitrogen a square metre at once.
            leached_at_most_g_n_m2: nitrogen that may wash out in a season, mean of the years.
            whole_grid: run every schedule to the end and keep all.
            progress: called with how many of how many are done, now and then.

        Raises:
            InputError: a name is unknown, or the grid is empty, too large or out of bounds.
        """
        materials = _check.names(material, "material")
        if not materials:
            _check.refuse("material", material, 'the id of a material, such as "dried-blood", or several')
        intervals = None if intervals_d is None else [_check.whole(d, "intervals_d") for d in _check.each(intervals_d, "intervals_d", "days")]
        doses = [] if doses_g_per_plant is None else [_check.number(g, "doses_g_per_plant") for g in
                                                      _check.each(doses_g_per_plant, "doses_g_per_plant", "grams")]
        if doses_g_per_plant is not None and not doses:
            _check.refuse("doses_g_per_plant", _check.Words("no dose"), "at least one", "leave it out for 1/2 to 4 handfuls")
        if not isinstance(years, str):
            share = _check.number(years, "years")
            if not 0 < share <= 1:
                _check.refuse("years", years, 'so many years of so many, such as "9/10", or a share above 0 and at most 1, such as 0.9', "1 asks for every year")
            # As a fraction, since the engine takes no more decimals than a person would type: 2/3 has no end of them.
            from fractions import Fraction  # slow to import, and seldom needed
            of = Fraction(share).limit_denominator(10**5)
            years = f"{of.numerator}/{of.denominator}"
        _check.told(progress)
        aims = [_check.one_of(aim, "prefer", ["cost", "trips", "leached"]) for aim in _check.names(prefer, "prefer")]
        limit = None if leached_at_most_g_n_m2 is None else _check.number(leached_at_most_g_n_m2, "leached_at_most_g_n_m2")
        firsts = [_check.whole(d, "first_after_d") for d in _check.each(first_after_d, "first_after_d", "days")]
        with _keywords.of_topup():
            return TopUps(_engine.topup(self._engine, materials, _check.names(plantings, "plantings"), intervals, doses, firsts,
                                        _check.names(until, "until"), _check.flag(together, "together"), aims, years, _check.flag(may_scorch, "may_scorch"),
                                        limit, _check.flag(whole_grid, "whole_grid"), progress))

    def trace(self, column: str, season: int | None = None, *, stepper: str = "reference", absolute_kg_ha: float = 1e-7, relative: float = 1e-7,
              refine: int = 1) -> Trace:
        """Runs one column and keeps every state of every day.

        Args:
            column: a planting's name, or "NAME OF BED: bare ground".
            season: the year that it ends in; the scenario's own where none is given.
            stepper: "reference" (Odeint's controlled Dormand-Prince) or "batch" (what ensembles and searches use).
            absolute_kg_ha, relative: tolerances of the reference stepper, 0 (excluded) to 1.
            refine: multiplies the steps of the batch stepper, 1 to 1000.
        """
        names = self._engine.column_names()
        index = names.index(_check.one_of(column, "column", names))
        which = _check.one_of(stepper, "stepper", ("reference", "batch"))
        tolerance = {"absolute_kg_ha": _check.number(absolute_kg_ha, "absolute_kg_ha"), "relative": _check.number(relative, "relative")}
        for place, value in tolerance.items():
            if not 0 < value <= 1:
                _check.refuse(place, value, "a tolerance above 0 and at most 1")
        steps = _check.whole(refine, "refine", least=1)
        if steps > 1000:
            _check.refuse("refine", refine, "a whole number from 1 to 1000")
        year = self.season_asked if season is None else _check.whole(season, "season")
        return Trace(_engine.trace(self._engine, index, year, which == "reference", refine=steps, **tolerance))

    def __repr__(self) -> str:
        return f'<leafhunger.Garden "{self.name}": {len(self.plantings)} plantings, seasons {self.seasons[0]} to {self.seasons[-1]}>'

    def _repr_html_(self) -> str:
        rows = [(p.name, p.bed, p.plant, p.count) for p in self.plantings.values()]
        return _html.table(f"{self.name}, weather for {self.seasons[0]} to {self.seasons[-1]}", ("planting", "bed", "plant", "count"), rows, self.note)


def load(path: str | PathLike[str], plugins: object = (), *, catalogue: str | PathLike[str] | None = None) -> Garden:
    """Reads a scenario and all that it names, opens the plugins, and makes the garden ready to run.

    Args:
        path: scenario file (JSON).
        plugins: folders to look for plugins in first, beside $LEAFHUNGER_PLUGIN_PATH and the installation's own.
        catalogue: folder with materials.json, plants.json and cautions.json; $LEAFHUNGER_CATALOGUE or the installation's where none is given.

    Raises:
        InputError: anything wrong with a file, with its place in it; or a model that no plugin brings.
        PluginError: a file in a folder of `plugins` was refused.

    Example:
        >>> lh.load("saltmarsh-lane.json").season(2022).verdict["Bananas"].outcome
    """
    opened = _places.open_plugins(plugins)
    file, folder = _check.path(path, "path"), _places.catalogue_folder(catalogue)

    def again(season: int | None, today: str | None) -> _engine.Garden:
        return _engine.Garden(file, folder, opened, season, today)

    return Garden(again(None, None), tuple(m["name"] for m in opened.models()), again)
