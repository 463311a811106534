"""How far apart may top-ups be? A grid of interval and dose, run in full over every season of the weather."""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from . import _check, _engine, _html
from ._by_name import ByName
from ._run import Caution


@dataclass(frozen=True)
class TopUpPoint:
    """One interval and dose for one planting."""

    interval_d: int
    dose_g_per_plant: float
    top_ups: int  # a season
    kept: int  # years of all
    keeps: bool  # kept in 9 years of 10
    scorches: bool  # above 5 g of soluble N a square metre in one dose
    soluble_g_n_m2: float
    leached_g_n_m2: float  # mean of the years, whole season
    cost: float  # of one season's top-ups, all plants


@dataclass(frozen=True)
class PlantingTopUps:
    """The grid of one planting, which stands alone: plantings do not compete."""

    name: str
    count: int
    area_m2: float
    kept_without: int  # years kept with the scenario's own feeding alone
    first: str  # day of the first top-up, "MM-DD"
    grid: tuple[TopUpPoint, ...]  # doses within intervals
    best: TopUpPoint | None  # the longest interval that keeps it without scorch, at the smallest dose; None where nothing does

    @property
    def intervals_d(self) -> tuple[int, ...]:
        """Intervals tried, in the question's order."""
        return tuple(dict.fromkeys(p.interval_d for p in self.grid))

    @property
    def doses_g_per_plant(self) -> tuple[float, ...]:
        """Doses tried, in the question's order."""
        return tuple(dict.fromkeys(p.dose_g_per_plant for p in self.grid))

    @property
    def kept(self) -> np.ndarray[Any, np.dtype[np.int64]]:
        """Years kept, shaped (intervals, doses)."""
        return np.array([p.kept for p in self.grid]).reshape(len(self.intervals_d), -1)


class TopUps:
    """What top-ups would do. `print` it for the words of the command.

    Attributes:
        garden, note, currency: as in the scenario.
        material, material_title: what was topped up with.
        carry_to, until: days of the year, "MM-DD": the date asked about; no top-up after.
        seasons: the years run.
        years_wanted: how many count as 9 of 10.
        handful_g: what one handful of the material weighs.
        plantings: PlantingTopUps by name.
        cautions, notes: lines to be read.
        seasons_run: how many seasons were computed for this answer.
    """

    def __init__(self, result: _engine.TopUps) -> None:
        self._result = result
        summary = result.summary()
        self.garden: str = summary["garden"]
        self.note: str = summary["note"]
        self.weather_note: str = summary["weather_note"]
        self.currency: str = summary["currency"]
        self.material: str = summary["material"]
        self.material_title: str = summary["material_title"]
        self.carry_to: str = summary["carry_to"]
        self.until: str = summary["until"]
        self.seasons: tuple[int, ...] = tuple(summary["seasons"])
        self.years_wanted: int = summary["years_wanted"]
        self.handful_g: float = summary["handful_g"]
        self.cautions: tuple[Caution, ...] = tuple(Caution(*c) for c in summary["cautions"])
        self.notes: tuple[str, ...] = tuple(summary["notes"])
        self.seasons_run: int = summary["seasons_run"]
        self.plantings: Mapping[str, PlantingTopUps] = ByName("planting", {p["name"]: _planting(p) for p in summary["plantings"]})

    def to_json(self) -> str:
        """The same text as `leafhunger topup --json`."""
        return self._result.json()

    def words(self, *, more: bool = False) -> str:
        """The command's words; with `more`, also the grid of each planting."""
        return self._result.words(_check.flag(more, "more")).removesuffix("\n")

    def __str__(self) -> str:
        return self.words()

    def __repr__(self) -> str:
        return f'<leafhunger.TopUps "{self.garden}", {self.material}: {", ".join(self.plantings)}>'

    def _repr_html_(self) -> str:
        def best(p: PlantingTopUps) -> tuple[str, ...]:
            return (p.name, "none of these keeps it", "") if p.best is None else (p.name, f"every {p.best.interval_d} days",
                                                                                  f"{p.best.dose_g_per_plant:.0f} g a plant")
        return _html.table(f"{self.garden}: the longest interval of {self.material_title.lower()} that keeps each fed in 9 years of 10",
                           ("planting", "interval", "smallest dose"), [best(p) for p in self.plantings.values()])


def _planting(d: dict[str, Any]) -> PlantingTopUps:
    grid = tuple(TopUpPoint(**p) for p in d["grid"])
    d["grid"], d["best"] = grid, None if d["best"] is None else grid[d["best"]]
    return PlantingTopUps(**d)
