"""How sure the answer is, what spring dose would do, and how it stands on a day."""
from __future__ import annotations

import datetime
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from . import _check, _engine
from ._by_name import ByName

if TYPE_CHECKING:
    import numpy.typing as npt  # slow to import, and never needed to run

QUANTILES = (0.05, 0.25, 0.5, 0.75, 0.95)


@dataclass(frozen=True)
class Band:
    """Quantiles by day of one season, over the draws."""

    days: npt.NDArray[np.datetime64]  # [day]
    at: npt.NDArray[np.float64]  # [quantile, day], of `quantiles`
    quantiles: tuple[float, ...] = QUANTILES


@dataclass(frozen=True)
class PlantingSureness:
    """One planting over all draws and seasons. Days of the year are texts, "MM-DD"; None where it was not short before the season's end."""

    name: str
    hunger: str
    fed: bool
    kept_share: float  # of all draws and seasons: the chance of being kept to the date
    standard_error: float  # of that
    kept_share_of_draw: tuple[float, ...]  # QUANTILES over the draws of the share of seasons kept
    draws_that_keep_share: float  # share of the draws in which it is kept in 9 seasons of 10
    first_short: tuple[str | None, ...]  # QUANTILES over all
    kept_nine_in_ten_until: str  # "season" where that is the season's end
    too_uncertain: bool  # neither yes nor no can be said, and weather is not why
    tells_most: str | None  # name of the unknown that goes most closely with its first short day
    moved_by_days: Mapping[str, float]  # "weather", "unknown", "both_together": standard deviations, days
    kept_years_by_draw: tuple[int, ...]
    unknowns: tuple[Mapping[str, Any], ...]  # what was drawn: of, name, value, low, high
    bands: Mapping[str, Band]  # "nni", "mineral_kg_n_ha"


class _Words:
    """Words, JSON, and the result as a dict, for those that answer with more than fits a dataclass."""

    def __init__(self, result: Any) -> None:
        self._result = result
        self.data: Mapping[str, Any] = json.loads(result.json())
        self.garden: str = self.data["garden"]
        self.note: str = self.data["note"]
        self.weather_note: str = self.data["weather_note"]

    def words(self, *, more: bool = False) -> str:
        """The command's words; with `more`, also how it was worked out."""
        return str(self._result.words(_check.flag(more, "more"))).removesuffix("\n")

    def to_json(self) -> str:
        """The same text as the command's --json."""
        return str(self._result.json())

    def __str__(self) -> str:
        return self.words()


class Sureness(_Words):
    """How sure is it that the feed lasts? `print` it for the words of `leafhunger lasts --sure`.

    Attributes:
        garden, note, weather_note: as in the scenario.
        seasons: the years run.
        plantings: PlantingSureness by name, in the scenario's order.
        data: the whole answer, as in the JSON.
    """

    def __init__(self, result: _engine.Sureness) -> None:
        super().__init__(result)
        self.seasons: tuple[int, ...] = tuple(self.data["seasons"])
        first = np.datetime64(result.band_first())
        plantings = {}
        for p, bands in zip(self.data["plantings"], result.bands(), strict=True):
            made = {name: Band(first + np.arange(len(rows[0])), np.array(rows)) for name, rows in bands.items()}
            sequences = {k: tuple(v) for k, v in p.items() if isinstance(v, list)}
            plantings[p["name"]] = PlantingSureness(**{**p, **sequences}, bands=made)
        self.plantings: Mapping[str, PlantingSureness] = ByName("planting", plantings)

    def to_csv(self) -> str:
        """The bands by day, as the command's --out FILE.csv."""
        return str(self._result.csv())

    def __repr__(self) -> str:
        return f'<leafhunger.Sureness "{self.garden}": {self.data["samples"]} draws, {len(self.seasons)} seasons>'


class Enough(_Words):
    """What spring dose would do, and when? `print` it for the words of `leafhunger lasts --enough`. `data` holds the whole answer."""

    def __init__(self, result: _engine.Enough) -> None:
        super().__init__(result)
        self.plantings: Mapping[str, Mapping[str, Any]] = ByName("planting", {p["name"]: p for p in self.data["plantings"]})

    def to_svg(self) -> str:
        """Years kept against the dose or the date, whichever of the two was asked."""
        return str(self._result.svg())

    def __repr__(self) -> str:
        return f'<leafhunger.Enough "{self.garden}": {len(self.plantings)} plantings>'


class Today(_Words):
    """How each planting stands, and when its next feed is due. `print` it for the words of `leafhunger due`.

    Attributes:
        on: the day that counts as today.
        plantings: a dict each, by name: words, nni, days_in_hand, needed, due_early, due_usual, due_late (ISO dates or None), futures.
        data: the whole answer, as in the JSON.
    """

    def __init__(self, result: _engine.Today) -> None:
        super().__init__(result)
        self.on = datetime.date.fromisoformat(self.data["on"])
        self.plantings: Mapping[str, Mapping[str, Any]] = ByName("planting", {p["name"]: p for p in self.data["plantings"]})

    def __repr__(self) -> str:
        return f'<leafhunger.Today "{self.garden}": {self.on}>'
