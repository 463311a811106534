"""One season of a garden: the answer for each planting, every series, where the nitrogen went."""
from __future__ import annotations

import datetime
import json
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from . import _check, _engine, _html, _keywords
from ._by_name import ByName

if TYPE_CHECKING:
    import pandas

    from ._garden import Garden

Array = np.ndarray[Any, np.dtype[np.float64]]


@dataclass(frozen=True)
class Verdict:
    """The answer for one planting. `outcome` is one of

    - "carried": never short up to the date asked about,
    - "just-carried": the same, but down to the last week's worth,
    - "short": nitrogen in the plant below 0.90 of what its size needs on 5 growing days running,
    - "water-limited": barely grew for want of water: no verdict on feed,
    - "never-woke": too cold to grow.
    """

    outcome: str
    first_short: datetime.date | None  # first of those 5 days, also where it lies after the date asked about
    lasts_until: datetime.date | None  # the day before, or the season's last day; None where it never woke
    falls_behind: datetime.date | None  # supply fell behind want, and the plant later lived on its store
    wakes: datetime.date | None  # first growing day
    days_short: int  # growing days below 0.90, up to the date
    days_grown: int  # growing days, up to the date
    nni_at_date: float  # nitrogen nutrition index on the date: N in the plant over N that its size needs
    lowest_nni: float  # over growing days, up to the date
    mean_nni: float
    days_in_hand: float  # how long what roots can reach would last, on the date
    growth_frac: float  # growth over that of a plant never short of nitrogen
    water_frac: float  # growth of that plant over one never short of water either
    shortfall_kg_n_ha: float  # the most that was wanted and not had, up to the date

    @property
    def carried(self) -> bool:
        """Whether it was carried to the date asked about."""
        return self.outcome in ("carried", "just-carried")


@dataclass(frozen=True)
class Ledger:
    """Where nitrogen came from (`given` to `fixed`) and where it is or went. `unit` says of what: "g" of the whole garden, or "kg/ha" of one
    column. `taken` is what was taken up from the soil so far; it is no term of the balance."""

    unit: str
    given: float
    from_soil: float  # freed by the soil's own organic matter
    start_mineral: float
    start_plant: float
    fixed: float  # from the air
    plant: float
    reserve: float
    litter: float
    mineral: float  # ammonium and nitrate in the soil
    unfreed: float  # still in the feed
    microbes: float
    humus: float
    leached: float  # washed below the roots
    volatilised: float
    denitrified: float
    taken: float

    @property
    def total_in(self) -> float:
        """All that came in."""
        return self.given + self.from_soil + self.start_mineral + self.start_plant + self.fixed

    @property
    def total_out(self) -> float:
        """All that is somewhere or went."""
        return (self.plant + self.reserve + self.litter + self.mineral + self.unfreed + self.microbes + self.humus + self.leached + self.volatilised +
                self.denitrified)

    @property
    def relative_residual(self) -> float:
        """What is not accounted for, over what came in. The run fails above 1e-9."""
        return (self.total_in - self.total_out) / self.total_in if self.total_in > 0 else self.total_in - self.total_out


@dataclass(frozen=True)
class Source:
    """One source of nitrogen and where its grams are at the season's end, by label; kg/ha of the column."""

    name: str  # "feeding 1", "soil organic matter", "mineral N at the start", ...
    given_kg_n_ha: float
    where: Ledger


@dataclass(frozen=True)
class DrainageMonth:
    """What drained below the roots in one month, and what it carried."""

    first: datetime.date  # first day of the month within the season
    drained_mm: float
    leached_kg_n_ha: float
    mg_n_per_l: float  # 0 where nothing drained

    @property
    def mg_no3_per_l(self) -> float:
        """The same as nitrate; drinking water may hold 50 (EU Directive 98/83/EC)."""
        return self.mg_n_per_l * 62.0049 / 14.0067


@dataclass(frozen=True)
class Reason:
    """The season once more with one limit taken away."""

    key: str  # "cold", "dry", "washed", "gas", "slow", "far"
    words: str
    moved_d: int  # days by which the first short day moves
    verdict: Verdict


@dataclass(frozen=True)
class Caution:
    """One line with what to do."""

    key: str
    words: str


class ColumnSeries(Mapping[str, Array]):
    """Daily series of one column by name. Each is a read-only view of the engine's own memory, shaped (days,) or (days, layers)."""

    def __init__(self, season: _engine.Season, index: int, column: str) -> None:
        self._season, self._index, self._column = season, index, column
        self._about = {name: (unit, meaning, layers) for name, unit, meaning, layers in season.series_about(index)}

    def __getitem__(self, name: str) -> Array:
        if name not in self._about:
            near = _engine.nearest_name(str(name), list(self._about))
            raise KeyError(f'no series "{name}" in "{self._column}"' + (f'; the nearest is "{near}"' if near else f"; there are {', '.join(self._about)}"))
        return self._season.series(self._index, name)

    def __iter__(self) -> Iterator[str]:
        return iter(self._about)

    def __len__(self) -> int:
        return len(self._about)

    def unit(self, name: str) -> str:
        """Unit of a series, such as "kg/ha"; "-" for a plain ratio."""
        return self._about[name][0]

    def meaning(self, name: str) -> str:
        """What a series holds, in words."""
        return self._about[name][1]

    def layers(self, name: str) -> int:
        """Soil layers of a series; 1 where it has one value a day."""
        return self._about[name][2]

    def __repr__(self) -> str:
        return f'<leafhunger.ColumnSeries of "{self._column}": {", ".join(self._about)}>'

    def _repr_html_(self) -> str:
        rows = [(name, unit, meaning + (f" ({layers} layers)" if layers > 1 else "")) for name, (unit, meaning, layers) in self._about.items()]
        return _html.table(f"Series of {self._column}", ("name", "unit", "meaning"), rows)


@dataclass(frozen=True)
class Column:
    """The ground that one planting feeds from, or ground of a bed that nothing grows on (`bare`; then it has no verdict)."""

    name: str
    bed: str
    bare: bool
    plant_id: str
    plant_title: str
    hunger: str  # "greedy", "moderate" or "frugal"
    count: int
    area_m2: float
    cover: float  # crowns over ground
    fed: bool
    verdict: Verdict | None
    unfed: Verdict | None  # the same season without any feed
    second_feed: SecondFeed | None  # smallest second feed, a month after the first, that would have carried it
    reasons: tuple[Reason, ...]  # only where it ran short; the one that mattered most first
    ledger: Ledger  # kg/ha at the season's end
    sources: tuple[Source, ...]
    drainage: tuple[DrainageMonth, ...]  # below the column, by month
    taken_unfed_kg_n_ha: float
    gain_g: float  # uptake with the feed less uptake without, g N of the whole column
    days_full: int  # growing days on which its store of N was full: feed was not wanted
    cost: float
    states: tuple[str, ...]  # a day each: "asleep", "dry", "fed", "short"; empty where bare
    layers_mm: tuple[float, ...]  # thickness of the soil layers, top first
    series: ColumnSeries

    def __repr__(self) -> str:
        return f'<leafhunger.Column "{self.name}": {self.verdict.outcome if self.verdict else "bare"}>'


def _verdict(d: dict[str, Any], last: datetime.date) -> Verdict:
    if d["outcome"] == "never-woke":
        until = None
    else:
        until = last if d["first_short"] is None else d["first_short"] - datetime.timedelta(1)
    return Verdict(lasts_until=until, **d)


@dataclass(frozen=True)
class SecondFeed:
    """More of what a planting had first, by the handful."""

    on: datetime.date
    handfuls: float
    g_per_plant: float
    material_title: str


@dataclass(frozen=True)
class Carried:
    """One material over the whole season and garden."""

    material: str
    kg: float
    cost: float
    bags: int | None  # to buy; None where it is sold loose


class Run:
    """What one season of a garden came to. Made by `Garden.season()`; `print` it for the words of the command.

    Attributes:
        garden, note, currency: as in the scenario.
        season: the year that the season ends in.
        first_day, last_day: of the season.
        carry_to: the date asked about.
        feedings: one line a feeding.
        ledger: g N of the whole garden.
        cost, trips: money and visits that the feed took.
        given_g, gain_g: g N given; g N taken up more than without it.
        beside_g: what came with the N: g of "phosphorus", "potassium" (as elements) and "organic_matter".
        carried: of each material kg, cost and bags to buy (None where it is sold loose).
        by_feeding: where each feeding's N is at the season's end, g of the garden, in the scenario's order.
        cautions, notes: lines to be read.
    """

    def __init__(self, season: _engine.Season, garden: Garden, followed: _engine.Garden) -> None:
        self._season, self._garden, self._followed = season, garden, followed
        summary = season.summary()
        self.garden: str = summary["garden"]
        self.note: str = summary["note"]
        self.weather_note: str = summary["weather_note"]
        self.currency: str = summary["currency"]
        self.season: int = summary["season"]
        self.first_day: datetime.date = summary["first_day"]
        self.last_day: datetime.date = self.first_day + datetime.timedelta(summary["days"] - 1)
        self.carry_to: datetime.date = summary["carry_to"]
        self.feedings: tuple[str, ...] = tuple(summary["feedings"])
        self.ledger = Ledger(unit="g", **summary["total_g"])
        self.cost: float = summary["cost"]
        self.trips: int = summary["trips"]
        self.given_g: float = summary["given_g"]
        self.gain_g: float = summary["gain_g"]
        self.beside_g: dict[str, float] = summary["beside_g"]
        self.carried: tuple[Carried, ...] = tuple(Carried(*c) for c in summary["carried"])
        self.by_feeding: tuple[Ledger, ...] = tuple(Ledger(unit="g", **l) for l in summary["by_feeding_g"])
        self.cautions: tuple[Caution, ...] = tuple(Caution(*c) for c in summary["cautions"])
        self.notes: tuple[str, ...] = tuple(summary["notes"])

    @cached_property
    def _said(self) -> Mapping[str, Any]:
        said: Mapping[str, Any] = json.loads(self.to_json())
        return said

    @property
    def windows(self) -> tuple[Mapping[str, Any], ...]:
        """When to go out with what waits for rain, by date; none where the season was run without reasons. Dicts as in the JSON."""
        return tuple(self._said["windows"])

    @property
    def leave_alone(self) -> tuple[Mapping[str, Any], ...]:
        """What gains nothing from feed, why, and the money saved. Dicts as in the JSON."""
        return tuple(self._said["leave_alone"])

    @property
    def checks(self) -> tuple[Mapping[str, Any], ...]:
        """What to look at, on which day, and what to do on either outcome, the most telling first. Dicts as in the JSON."""
        return tuple(self._said["checks"])

    @cached_property
    def columns(self) -> Mapping[str, Column]:
        """Columns by name, in the scenario's order: plantings, and after those of a bed the ground of it that is bare."""
        return ByName("column", {name: self._column(i) for i, name in enumerate(self._season.column_names())})

    def _column(self, index: int) -> Column:
        d = self._season.column(index)
        for key in ("verdict", "unfed"):
            d[key] = d[key] and _verdict(d[key], self.last_day)
        d["reasons"] = tuple(Reason(r["key"], r["words"], r["moved_d"], _verdict(r["verdict"], self.last_day)) for r in d["reasons"])
        d["second_feed"] = d["second_feed"] and SecondFeed(*d["second_feed"])
        d["sources"] = tuple(Source(s["name"], s["given_kg_n_ha"], Ledger(unit="kg/ha", **s["where"])) for s in d["sources"])
        d["drainage"] = tuple(DrainageMonth(*month) for month in d["drainage"])
        d["ledger"] = Ledger(unit="kg/ha", **d["ledger"])
        d["states"] = tuple(d["states"])
        d["layers_mm"] = tuple(self._garden.layers_mm(d["bed"]))
        return Column(series=ColumnSeries(self._season, index, d["name"]), **d)

    @cached_property
    def verdict(self) -> Mapping[str, Verdict]:
        """The answer for each planting, by the name that the gardener gave it."""
        return ByName("planting", {name: c.verdict for name, c in self.columns.items() if c.verdict})

    @cached_property
    def series(self) -> Mapping[str, ColumnSeries]:
        """Daily series of each column: `run.series["Bananas"]["nni"]`. Views, not copies; a view outlives the run."""
        return ByName("column", {name: c.series for name, c in self.columns.items()})

    @cached_property
    def sources(self) -> Mapping[str, tuple[Source, ...]]:
        """For each column, where the grams of every source are at the season's end."""
        return ByName("column", {name: c.sources for name, c in self.columns.items()})

    @cached_property
    def dates(self) -> np.ndarray[Any, np.dtype[np.datetime64]]:
        """The season's days, datetime64[D], one for each row of every series."""
        days = np.arange(np.datetime64(self.first_day, "D"), np.datetime64(self.last_day, "D") + 1)
        days.flags.writeable = False
        return days

    def words(self, *, more: bool = False) -> str:
        """The command's words; with `more`, also how it was worked out, the whole ledger and all cautions."""
        return self._season.words(_check.flag(more, "more")).removesuffix("\n")

    def to_json(self) -> str:
        """The same text as `leafhunger season --json`."""
        return self._season.json()

    def to_dataframe(self, column: str) -> pandas.DataFrame:
        """All series of one column as a pandas DataFrame, a row a day. A series of several layers becomes one column each, with its depth in
        the name: `soil_c_0_50_mm`. This copies.

        Raises:
            ImportError: pandas is not installed; nothing else needs it.
            KeyError: no such column.
        """
        c = self.columns[column]
        try:
            import pandas
        except ImportError:
            raise ImportError(f'a DataFrame needs pandas, which is not installed (Debian: python3-pandas); run.series["{column}"] gives the same as '
                              "NumPy arrays") from None
        edges = [0, *np.cumsum(c.layers_mm)]
        data: dict[str, Array] = {}
        for name, values in c.series.items():
            if values.ndim == 1:
                data[name] = values
            else:
                for layer in range(values.shape[1]):
                    data[f"{name}_{edges[layer]:.0f}_{edges[layer + 1]:.0f}_mm"] = values[:, layer]
        return pandas.DataFrame(data, index=pandas.DatetimeIndex(self.dates, name="date"))

    def report(self, folder: str | os.PathLike[str], *, figures: bool = False, for_client: bool = False, force: bool = False) -> None:
        """Writes report.html (one page that needs nothing else), calendar.ics and series.csv into `folder`, made where it is missing; with
        `figures`, the page's figures too, as SVG; with `for_client`, for-client.html too, a page a bed for somebody who does not feed it.

        InputError where one of them is there and `force` is not set, or nothing can be written; then nothing is half-written.
        """
        with _keywords.of_report():
            self._season.write_report(self._followed, os.fspath(folder), _check.flag(force, "force"), _check.flag(figures, "figures"),
                                      _check.flag(for_client, "for_client"))

    def save_figures(self, folder: str | os.PathLike[str], *, kind: str = "png", force: bool = False) -> tuple[str, ...]:
        """Saves the plots of this run (supply and soil of each fed planting, where it went) into `folder`, made where it is missing.

        Args:
            folder: where to.
            kind: "png" or "svg". The same run gives the same bytes: no date, no random names.
            force: overwrite what is there.

        Returns:
            The files' names, in the order of the plantings.

        Raises:
            ImportError: matplotlib is not installed; `report(figures=True)` needs nothing.
            InputError: one of the files is there and `force` is not set.
        """
        from .plots import save_figures

        return save_figures(self, folder, kind=kind, force=force)

    def __str__(self) -> str:
        return self.words()

    def __repr__(self) -> str:
        short = sum(v.outcome == "short" for v in self.verdict.values())
        return f'<leafhunger.Run "{self.garden}" {self.season}: {len(self.verdict)} plantings, {short} short by {_html.day(self.carry_to)}>'

    def _repr_html_(self) -> str:
        def answer(v: Verdict) -> str:
            if v.outcome == "short" and v.first_short:
                return f"short from {_html.day(v.first_short)}"
            return {"carried": "yes", "just-carried": "just", "water-limited": "water is the limit, not feed", "never-woke": "never woke: too cold"}[v.outcome]

        rank = ("short", "water-limited", "never-woke", "just-carried", "carried")
        worst_first = sorted(self.verdict.items(), key=lambda item: (rank.index(item[1].outcome), item[1].first_short or self.last_day))
        rows = [(name, answer(v), f"{100 * v.growth_frac:.0f} %") for name, v in worst_first]
        from . import __version__
        foot = f"leafhunger {__version__}; models {', '.join(self._garden.models)}; ledger closed to {abs(self.ledger.relative_residual):.0e}"
        return _html.table(f"{self.garden}, {self.season}. Does the feed last until {_html.day(self.carry_to)}?",
                           ("planting", "does it?", "growth, of a plant never short"), rows, foot)


def ledger_terms() -> tuple[str, ...]:
    """Names of the amounts of a Ledger, in order."""
    return tuple(f.name for f in fields(Ledger) if f.name != "unit")


