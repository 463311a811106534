"""The same garden and feeding over every season that the weather covers."""
from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from . import _check, _engine, _html
from ._by_name import ByName


@dataclass(frozen=True)
class YearVerdict:
    """One planting in one season."""

    season: int
    outcome: str  # as in Verdict
    first_short: datetime.date | None
    taken_kg_n_ha: float
    leached_kg_n_ha: float


@dataclass(frozen=True)
class PlantingYears:
    """One planting over all seasons. Days of the year are texts, "MM-DD"."""

    name: str
    hunger: str
    fed: bool
    years: tuple[YearVerdict, ...]  # by season, ascending
    unfed: tuple[YearVerdict, ...]  # the same without any feed
    kept: int  # years in which it was awake and not short by the date
    kept_unfed: int
    never_woke: int
    water_limited: int
    usual_first_short: str | None  # median over the years that ran short by the date
    kept_nine_in_ten_until: str  # last day up to which it was kept in 9 years of 10
    kept_whole_season: bool  # that day is the season's last


class Lasts:
    """In how many years is each planting carried to the date? `print` it for the words of the command.

    Attributes:
        garden, note: as in the scenario.
        carry_to: day of the year asked about, "MM-DD".
        seasons: the years run.
        plantings: PlantingYears by name, in the scenario's order.
        feedings, notes: lines to be read.
    """

    def __init__(self, result: _engine.Lasts) -> None:
        self._result = result
        summary = result.summary()
        self.garden: str = summary["garden"]
        self.note: str = summary["note"]
        self.weather_note: str = summary["weather_note"]
        self.carry_to: str = summary["carry_to"]
        self.seasons: tuple[int, ...] = tuple(summary["seasons"])
        self.feedings: tuple[str, ...] = tuple(summary["feedings"])
        self.notes: tuple[str, ...] = tuple(summary["notes"])
        self.plantings: Mapping[str, PlantingYears] = ByName("planting", {p["name"]: _planting(p) for p in summary["plantings"]})

    def to_json(self) -> str:
        """The same text as `leafhunger lasts --json`."""
        return self._result.json()

    def words(self, *, more: bool = False) -> str:
        """The command's words; with `more`, also the feeding as it is."""
        return self._result.words(_check.flag(more, "more")).removesuffix("\n")

    def __str__(self) -> str:
        return self.words()

    def __repr__(self) -> str:
        return f'<leafhunger.Lasts "{self.garden}": {len(self.plantings)} plantings, {len(self.seasons)} seasons>'

    def _repr_html_(self) -> str:
        n = len(self.seasons)
        rows = [(p.name, f"{p.kept} of {n}", f"{p.kept_unfed} of {n}") for p in self.plantings.values()]
        return _html.table(f"{self.garden}: years carried to {_html.day(datetime.date.fromisoformat('2001-' + self.carry_to))}",
                           ("planting", "fed", "unfed"), rows)


def _planting(d: dict[str, Any]) -> PlantingYears:
    for key in ("years", "unfed"):
        d[key] = tuple(YearVerdict(**y) for y in d[key])
    return PlantingYears(**d)
