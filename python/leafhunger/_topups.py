"""What to top up with, how far apart, how much and how long? A search over a grid of schedules and every season of the weather."""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from . import _check, _engine, _html
from ._by_name import ByName
from ._run import Caution


@dataclass(frozen=True)
class TopUpPoint:
    """One schedule for one planting. Days are "MM-DD"."""

    material: str
    interval_d: int
    dose_g_per_plant: float
    first_after_d: int  # from the spring feed to the first top-up
    first: str  # days of the first and the last top-up
    last: str
    until: str  # as asked
    top_ups: int  # a season
    trips: int  # of these, dates on which nothing else in the garden is fed
    kept: int  # years of all
    keeps: bool  # kept in the share of years asked for
    scorches: bool  # above 5 g of soluble N a square metre in one dose
    soluble_g_n_m2: float
    leached_g_n_m2: float  # mean of the years, whole season
    cost: float  # of one season's top-ups, all plants


@dataclass(frozen=True)
class Searched:
    """What was done with the grid: each schedule is in the first of these that applies."""

    schedules: int
    same_dates: int  # another gives the same on the same days
    scorching: int
    short_too_often: int
    washing: int  # leach more than is allowed
    beaten: int  # another keeps it and is no worse in cost, trips and wash-out, and better in one
    left: int
    seasons_asked: int
    seasons_run: int


@dataclass(frozen=True)
class PlantingTopUps:
    """What was found for one planting; plantings do not compete."""

    name: str
    count: int
    area_m2: float
    kept_without: int  # years kept with the scenario's own feeding alone
    leached_without_g_n_m2: float
    needs_none: bool  # that is enough: nothing was searched
    best: TopUpPoint | None  # the first of the front
    front: tuple[TopUpPoint, ...]  # those that keep it and of which no other is better, what is preferred first
    custom_interval_d: int  # 28 or 42, whichever is nearer to the best's; 0 where there is no best
    custom_kept: int  # years kept at that interval, all else as in the best
    nearest: TopUpPoint | None  # where nothing does: what would if `gives` gave
    gives: str | None  # "leached", "scorch" or "years"
    grid: tuple[TopUpPoint, ...]  # only with whole_grid: every schedule
    searched: Searched


@dataclass(frozen=True)
class GardenTopUps:
    """One calendar for the whole garden."""

    interval_d: int
    first_after_d: int
    first: str
    last: str
    until: str
    top_ups: int
    trips: int
    cost: float
    leached_g_n_m2: float  # mean over the ground of all plantings asked about
    doses: Mapping[str, TopUpPoint]  # by planting: the cheapest that keeps it on those days


class TopUps:
    """What top-ups would do. `print` it for the words of the command.

    Attributes:
        garden, note, currency: as in the scenario.
        materials: ids of what to choose from; `handful_g` by id: what one handful weighs.
        carry_to: the date asked about, "MM-DD"; until: last days tried.
        prefer: what matters most first.
        seasons: the years run.
        years_wanted: in how many of them a planting is to be kept.
        plantings: PlantingTopUps by name.
        together: with one calendar for all, GardenTopUps from which to choose, what is preferred first; else None.
        searched: what was done with the grid.
        cautions, notes: lines to be read.
    """

    def __init__(self, result: _engine.TopUps) -> None:
        self._result = result
        summary = result.summary()
        self.garden: str = summary["garden"]
        self.note: str = summary["note"]
        self.weather_note: str = summary["weather_note"]
        self.currency: str = summary["currency"]
        self.materials: tuple[str, ...] = tuple(m["id"] for m in summary["materials"])
        self.handful_g: Mapping[str, float] = {m["id"]: m["handful_g"] for m in summary["materials"]}
        self._titles: tuple[str, ...] = tuple(m["title"] for m in summary["materials"])
        self.carry_to: str = summary["carry_to"]
        self.until: tuple[str, ...] = tuple(summary["until"])
        self.prefer: tuple[str, ...] = tuple(summary["prefer"])
        self.seasons: tuple[int, ...] = tuple(summary["seasons"])
        self.years_wanted: int = summary["years_wanted"]
        self.cautions: tuple[Caution, ...] = tuple(Caution(*c) for c in summary["cautions"])
        self.notes: tuple[str, ...] = tuple(summary["notes"])
        self.searched = Searched(**summary["searched"])
        self.plantings: Mapping[str, PlantingTopUps] = ByName("planting", {p["name"]: _planting(p) for p in summary["plantings"]})
        names = list(self.plantings)
        together = summary["together"]
        self.together: tuple[GardenTopUps, ...] | None = None if together is None else tuple(_garden(g, names) for g in together)

    @property
    def rows(self) -> list[dict[str, Any]]:
        """The schedules to choose from, one row a planting and schedule: "planting" and the fields of TopUpPoint."""
        if self.together is not None:
            return [{"planting": name, **vars(p)} for g in self.together for name, p in g.doses.items()]
        return [{"planting": name, **vars(p)} for name, planting in self.plantings.items() for p in planting.front]

    def to_frame(self) -> Any:
        """The same as a pandas DataFrame. Raises ImportError where pandas is not installed."""
        import pandas
        return pandas.DataFrame(self.rows, columns=["planting", *TopUpPoint.__dataclass_fields__])

    def to_json(self) -> str:
        """The same text as `leafhunger topup --json`."""
        return self._result.json()

    def to_csv(self) -> str:
        """The same text as `leafhunger topup --out FILE.csv`."""
        return self._result.csv()

    def words(self, *, more: bool = False) -> str:
        """The command's words; with `more`, also the schedules to choose from and what was searched."""
        return self._result.words(_check.flag(more, "more")).removesuffix("\n")

    def __str__(self) -> str:
        return self.words()

    def __repr__(self) -> str:
        return f'<leafhunger.TopUps "{self.garden}", {", ".join(self.materials)}: {", ".join(self.plantings)}>'

    def _repr_html_(self) -> str:
        def best(name: str, p: TopUpPoint | None) -> tuple[str, ...]:
            return (name, "none", "", "") if p is None else (name, f"every {p.interval_d} days", f"{p.dose_g_per_plant:.0f} g a plant", str(p.trips))
        found = {name: p.best for name, p in self.plantings.items()}
        if self.together:
            found.update(self.together[0].doses)
        return _html.table(f"{self.garden}: top-ups of {' or '.join(t.lower() for t in self._titles)}", ("planting", "interval", "dose", "trips"),
                           [best(name, p) for name, p in found.items()])


def _point(d: dict[str, Any] | None) -> TopUpPoint | None:
    return None if d is None else TopUpPoint(**d)


def _planting(d: dict[str, Any]) -> PlantingTopUps:
    for many in ("front", "grid"):
        d[many] = tuple(TopUpPoint(**p) for p in d[many])
    d["best"], d["nearest"], d["searched"] = _point(d["best"]), _point(d["nearest"]), Searched(**d["searched"])
    return PlantingTopUps(**d)


def _garden(d: dict[str, Any], names: list[str]) -> GardenTopUps:
    d["doses"] = {names[at]: TopUpPoint(**p) for at, p in zip(d.pop("of"), d.pop("points"))}
    return GardenTopUps(**d)
