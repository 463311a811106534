"""Every state of one column, day by day, beside the weather and soil it ran under: for checks against other solvers and curious readers."""
from __future__ import annotations

import datetime
from collections.abc import Mapping
from functools import cached_property
from types import MappingProxyType
from typing import Any

import numpy as np

from . import _check, _engine
from ._run import Array


class Trace:
    """One column through one season. All arrays are read-only views of the engine's own memory.

    Attributes:
        rows: names of the states, such as "ammonium, layer 1" or "plant"; kg N/ha, but dry matter in t/ha of covered ground.
        first_day: of the season.
        layers: soil layers.
        evaluations: of the right-hand side.
        doses: dicts with day (index), slot, kg_n_ha, watered_in_mm.
        slot_material: catalogue id of each slot.
    """

    def __init__(self, trace: _engine.Trace) -> None:
        self._trace = trace
        self.rows: tuple[str, ...] = tuple(trace.rows)
        self.first_day: datetime.date = trace.first_day
        self.layers: int = trace.layers
        self.evaluations: int = trace.evaluations
        self.doses: tuple[dict[str, Any], ...] = tuple(trace.doses)
        self.slot_material: tuple[str, ...] = tuple(trace.slot_material)
        self.w_reference_t_ha: float = trace.w_reference_t_ha

    @property
    def start(self) -> Array:
        """States at 00 of the first day, before that day's events, shaped (rows,)."""
        return self._trace.start

    @property
    def states(self) -> Array:
        """States at 24:00 of each day, shaped (days, rows)."""
        return self._trace.states

    def state(self, row: str) -> Array:
        """One state, shaped (days,)."""
        return self.states[:, self.rows.index(_check.one_of(row, "row", self.rows))]

    @cached_property
    def forcings(self) -> Mapping[str, Array]:
        """What the column ran under, by name: soil climate (days,) or (days, layers), and the plant's constants of the day as "factor"."""
        return MappingProxyType(self._trace.forcings())

    @property
    def dates(self) -> np.ndarray[Any, np.dtype[np.datetime64]]:
        """The season's days, datetime64[D]."""
        first = np.datetime64(self.first_day, "D")
        return np.arange(first, first + len(self.states))

    def __repr__(self) -> str:
        return f"<leafhunger.Trace: {len(self.rows)} states, {len(self.states)} days>"
